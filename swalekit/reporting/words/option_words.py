"""What a comparison says, in sentences."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from math import isinf
from typing import Any

from swalekit.design.brief.settings import storm_of
from swalekit.design.layout.ground import first_few
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.limits import CHECK_STORM, FILL, STANDING, STORM, bars_all
from swalekit.design.options.option import Option
from swalekit.design.options.ranks import DEARER_FOR_MORE
from swalekit.design.plan.cautions import is_curable
from swalekit.reporting.words.shown import shown, unit_name
from swalekit.units import to_us

OPTION_CAUTION = (
    "what an option that fails does to those below is looked at in its plan alone; plan the one that is chosen and "
    "read its cautions before a machine is hired; local codes and licensed practice decide"
)
"""What a reader of options must know."""

RULE = (
    "Recommended is, of the options that keep all limits (the storm held, dry in time, fill, no berm overtopped, and "
    "those asked for), the one with the least "
    f"{{price}} / (share of the water kept)^{DEARER_FOR_MORE:g}: keeping 1 % more of the water may {{take}} "
    f"{DEARER_FOR_MORE:g} % more."
)
"""By which rule an option is recommended; `price` and what it does stand in braces."""

_OF_A_THING = ("above ", "spill towards ", "works meet ", "works reach ")
"""How the names of cautions begin that name a thing."""

_OTHERS = " and others"

_CLEARLY_MORE = 0.05
"""Share of the water by which another option must keep more to be named beside the recommended one."""


def option_sentences(comparison: Comparison) -> list[str]:
    """How many options were laid out, which is recommended and why, or what bars every one.

    Parameters
    ----------
    comparison : Comparison
        One or more options.

    Returns
    -------
    list of str
        What was laid out; then the recommended option, that a larger or smaller interval or spacing may be better still
        where its own is the largest or smallest tried, and the rule; or what bars every one, and the nearest.

    Examples
    --------
    >>> option_sentences(comparison)[0]
    '2 options were laid out.'
    """
    best = comparison.recommended
    if best is None:
        nearest = comparison.nearest
        return [_scope(comparison), _barred(comparison), *([] if nearest is None else [caution_words(nearest)])]
    return [
        _scope(comparison),
        _why(comparison, best),
        caution_words(best),
        *_at_the_end(comparison, best),
        *_rule(comparison),
    ]


def caution_words(option: Option) -> str:
    """The cautions that the swales of an option raise: those that its geometry could cure apart from those of place.

    Of those that name a thing, as a spill towards a road, the first is named and the others counted with it.

    Parameters
    ----------
    option : Option
        The option.

    Returns
    -------
    str
        A sentence with each name and the number of swales.

    Examples
    --------
    >>> from dataclasses import replace
    >>> caution_words(replace(comparison.options[0], cautions={"stands long": 2, "above road": 1}))
    'Its cautions: 2 that another section, line or sill could cure (stands long 2) and 1 of the place (above road 1).'
    """
    gathered: dict[bool, dict[str, int]] = {False: {}, True: {}}
    for name, count in option.cautions.items():
        kind = next((word for word in _OF_A_THING if name.startswith(word)), "")
        same = next((own for own in gathered[is_curable(name)] if kind and own.startswith(kind)), name)
        more = gathered[is_curable(name)].pop(same, 0)
        together = f"{same.removesuffix(_OTHERS)}{_OTHERS}" if more else name
        gathered[is_curable(name)][together] = more + count
    kinds = (
        (True, option.to_cure, "that another section, line or sill could cure"),
        (False, option.of_place, "of the place"),
    )
    told = [f"{total} {words} ({_counted(gathered[curable])})" for curable, total, words in kinds if total]
    return f"Its cautions: {' and '.join(told)}." if told else "Its swales raise no caution."


def _counted(cautions: Mapping[str, int]) -> str:
    """Names with their numbers, the most frequent first."""
    return ", ".join(f"{name} {count}" for name, count in sorted(cautions.items(), key=lambda item: -item[1]))


def broken_words(option: Option, comparison: Comparison) -> list[str]:
    """Every limit that an option breaks, and by how much.

    Parameters
    ----------
    option : Option
        One of the options.
    comparison : Comparison
        The comparison, for the limits and units.

    Returns
    -------
    list of str
        A phrase a limit, the design storm first; none where it keeps all.

    Examples
    --------
    >>> from dataclasses import replace
    >>> broken_words(replace(comparison.options[0], beyond=("greatest fill",), fill_m=1.25), comparison)
    ['its fill stands 1.25 m high where 1.00 m is allowed']
    """
    brief, limits = comparison.site.brief, comparison.limits
    units = brief.site.units

    def told(amount: float | None, unit: str, decimals: int = 0) -> str:
        return shown(amount, unit, units=units, decimals=decimals)

    stands = option.standing_h
    hours = "over 200 h" if stands is None or isinf(stands) else f"{stands:.0f} h"
    over = told(option.over_m, "m", 2)
    words = {
        STANDING: f"its water stands {hours} where {brief.soil.empty_within_h:g} h are allowed",
        FILL: f"its fill stands {told(option.fill_m, 'm', 2)} high where "
        f"{told(brief.section.greatest_fill_m, 'm', 2)} is allowed",
        CHECK_STORM: f"the check storm rises {over} over the berm of {first_few(option.overtopped)}",
        "greatest depth": f"it digs {told(option.deepest_m, 'm', 2)} where {told(limits.greatest_depth_m, 'm', 2)} is "
        "allowed",
        "budget": f"it costs {option.amount('cost'):,.0f} where {limits.budget or 0.0:,.0f} is allowed",
        "length a day": f"it has {told(option.amount('length_m'), 'm')} where {told(limits.greatest_length_m, 'm')} "
        "can be built",
        "water kept": f"it keeps {_percent(option)} where {100 * (limits.least_kept_share or 0.0):g} % is asked for",
        "slope window": "no line can be laid in the slope window",
    }
    held = told(option.amount("held_storm_mm"), "mm", 1)
    storm = [] if option.holds else [f"it holds {held} of the design storm of {_storm(comparison)}"]
    return [*storm, *(words[name] for name in option.beyond)]


def price_words(option: Option, comparison: Comparison) -> str:
    """What an option costs, or digs where it is chosen by that.

    Parameters
    ----------
    option : Option
        One of the options.
    comparison : Comparison
        The comparison, for units, currency and what its options are chosen by.

    Returns
    -------
    str
        Cost with its currency, or volume dug.

    Examples
    --------
    >>> price_words(comparison.options[0], comparison)
    '174 m³ dug'
    """
    brief = comparison.site.brief
    if comparison.priced_by_volume:
        return f"{shown(option.amount('dug_m3'), 'm3', units=brief.site.units)} dug"
    return f"{option.amount('cost'):,.0f} {brief.rates.currency}".rstrip()


def figures_words(comparison: Comparison, option: Option) -> str:
    """Cost, soil and storm of an option in one phrase.

    Parameters
    ----------
    comparison : Comparison
        The comparison, for units and currency.
    option : Option
        One of its options.

    Returns
    -------
    str
        The figures, parted by dots; without the cost where the brief names no price.

    Examples
    --------
    >>> figures_words(comparison, comparison.options[0])
    '174 m³ dug · holds 50.9 mm'
    """
    brief, cost = comparison.site.brief, option.totals["cost"]
    held = shown(option.amount("held_storm_mm"), "mm", units=brief.site.units, decimals=1)
    return " · ".join(
        [
            *([] if cost is None else [f"{option.amount('cost'):,.0f} {brief.rates.currency}".rstrip()]),
            f"{shown(option.amount('dug_m3'), 'm3', units=brief.site.units)} dug",
            f"holds {held}" + ("" if option.holds else ": short"),
        ]
    )


def cost_of_water(cost_per_m3: float | None, *, units: str) -> str:
    """Cost of a unit of the water held.

    Parameters
    ----------
    cost_per_m3 : float or None
        Cost of a cubic metre; None is shown as a dash.
    units : str
        ``metric`` or ``us``, for which it is that of a cubic yard.

    Returns
    -------
    str
        The number.

    Examples
    --------
    >>> cost_of_water(10.0, units="metric"), cost_of_water(10.0, units="us"), cost_of_water(None, units="us")
    ('10.0', '7.6', '–')
    """
    if cost_per_m3 is None:
        return "–"
    return f"{cost_per_m3 / (to_us(1.0, 'm3')[0] if units == 'us' else 1.0):,.1f}"


def comparison_summary(comparison: Comparison) -> dict[str, Any]:
    """What a comparison says, and every option, as JSON holds it.

    Parameters
    ----------
    comparison : Comparison
        One or more options.

    Returns
    -------
    dict of str to object
        Sentences, cautions, what was asked for, and under ``options`` the figures of each; metric.

    Examples
    --------
    >>> [option["number"] for option in comparison_summary(comparison)["options"]]
    [1, 2]
    """
    site, limits = comparison.site.brief.site.name, comparison.limits
    return {
        "site": site,
        "says": option_sentences(comparison),
        "cautions": [OPTION_CAUTION],
        "storm_mm": round(storm_of(comparison.site).depth_mm, 1),
        "limits": {name: value for name, value in asdict(limits).items() if value is not None},
        "chosen_by": "dug volume" if comparison.priced_by_volume else "cost",
        "asked": comparison.asked,
        "seed": comparison.seed,
        "stopped": comparison.stopped,
        "options": [option.figures for option in comparison.options],
    }


def _scope(comparison: Comparison) -> str:
    count, asked = len(comparison.options), comparison.asked
    if comparison.seed is not None:
        how = "was stopped when it had tried" if comparison.stopped else "tried"
        grid = f"its grid has {asked:,}, and the gap above the best interval or spacing is halved besides"
        return f"The search (seed {comparison.seed}) {how} {count} designs; {grid}."
    if comparison.stopped:
        return f"The work was stopped when {count} of {asked} options were laid out."
    return f"{count} options were laid out." if count > 1 else "One option was laid out."


def _why(comparison: Comparison, best: Option) -> str:
    storm, price = _storm(comparison), price_words(best, comparison)
    fit = [option for option in comparison.options if option.keeps_all]
    within = " within all limits" if any(option.beyond for option in comparison.options) else ""
    head = f"Option {best.number} is recommended ({best.label}): "
    if len(fit) == 1:
        return f"{head}it alone holds the design storm of {storm}{within}, for {price}; {_does(best, comparison)}."
    of_these = f"of the {len(fit)} that hold the design storm of {storm}{within} it"
    if best.cheapest:
        dearest = max(fit, key=lambda option: option.price(by_volume=comparison.by_volume))
        why = f"{of_these} is the cheapest, at {price} against up to {price_words(dearest, comparison)}"
        return f"{head}{why}; {_does(best, comparison)}{_more_kept(best, fit, comparison)}."
    cheapest = next(option for option in fit if option.cheapest)
    return (
        f"{head}{of_these} keeps much of the water for its price, {price}; {_does(best, comparison)}; "
        f"option {cheapest.number} is the cheapest, at {price_words(cheapest, comparison)}, and keeps "
        f"{_percent(cheapest)}{_more_kept(best, fit, comparison)}."
    )


def _at_the_end(comparison: Comparison, best: Option) -> list[str]:
    """That the recommended levels are the farthest apart or the nearest of those tried: the best may lie beyond."""
    for key, word in (("interval_m", "interval"), ("spacing_m", "spacing")):
        tried = {float(value) for option in comparison.options if (value := option.chosen[key]) is not None}
        if len(tried) > 1 and best.chosen[key] in (min(tried), max(tried)):
            end, beyond = ("largest", "larger") if best.chosen[key] == max(tried) else ("smallest", "smaller")
            return [f"Its {word} is the {end} tried; a {beyond} one may be better still."]
    return []


def _rule(comparison: Comparison) -> list[str]:
    """By which rule an option is recommended, where there was a choice."""
    if sum(option.keeps_all for option in comparison.options) < 2:
        return []
    by_volume = comparison.priced_by_volume
    return [RULE.format(price="volume dug" if by_volume else "cost", take="take" if by_volume else "cost")]


def _does(option: Option, comparison: Comparison) -> str:
    """What an option holds and keeps."""
    held = shown(option.amount("held_storm_mm"), "mm", units=comparison.site.brief.site.units, decimals=1)
    words = f"it holds {held} and keeps {_percent(option)} of the water that the design storm brings to the site"
    if option.cost_per_m3 is None:
        return words
    brief = comparison.site.brief
    each, unit = cost_of_water(option.cost_per_m3, units=brief.site.units), unit_name("m3", units=brief.site.units)
    return f"{words}, for {f'{each} {brief.rates.currency}'.rstrip()} a {unit} that its swales hold"


def _more_kept(best: Option, fit: Sequence[Option], comparison: Comparison) -> str:
    """Which of those that fit keeps most water, where it is clearly more."""
    most = max(fit, key=lambda option: (option.amount("kept_share"), -option.price(by_volume=comparison.by_volume)))
    if most.amount("kept_share") < best.amount("kept_share") + _CLEARLY_MORE:
        return ""
    return f"; option {most.number} keeps {_percent(most)}, at {price_words(most, comparison)}"


def _percent(option: Option) -> str:
    return f"{100 * option.amount('kept_share'):.0f} %"


def _barred(comparison: Comparison) -> str:
    return f"{_what_bars(comparison)}{_nearest(comparison)}"


def _nearest(comparison: Comparison) -> str:
    """The option that misses the limits by least, and what it breaks by how much."""
    nearest = comparison.nearest
    if nearest is None:
        return ""
    broken = ", ".join(broken_words(nearest, comparison))
    return f" Nearest is option {nearest.number} ({nearest.label}): {broken}."


def _what_bars(comparison: Comparison) -> str:
    barring = bars_all(comparison.options)
    if barring:
        first, *more = (_barring_words(name, comparison) for name in barring)
        every = "every one so far" if comparison.stopped else "every one"
        return f"No option is recommended: {first} bars {every}{''.join(f'; so does {bar}' for bar in more)}."
    return (
        f"No option is recommended: each limit is met by some, but no option that holds the design storm of "
        f"{_storm(comparison)} keeps to all; loosen one or vary more."
    )


def _barring_words(name: str, comparison: Comparison) -> str:
    """A limit with its value and how near the options come to it, those that hold the design storm if any does."""
    limits, units = comparison.limits, comparison.site.brief.site.units
    holding = [option for option in comparison.options if option.holds]
    options = holding or comparison.options
    which = "option that holds the storm" if holding else "option"
    if name == "greatest depth":
        deepest = shown(min(option.deepest_m for option in options), "m", units=units, decimals=2)
        most = shown(limits.greatest_depth_m, "m", units=units, decimals=2)
        return f"the greatest depth of {most} (the shallowest {which} digs {deepest})"
    if name == "budget":
        cost = min(option.amount("cost") for option in options)
        return f"the budget of {limits.budget:,.0f} (the cheapest {which} costs {cost:,.0f})"
    if name == "length a day":
        most = shown(limits.greatest_length_m, "m", units=units)
        least = shown(min(option.amount("length_m") for option in options), "m", units=units)
        return f"the length a day, {most} in the days there are (the shortest {which} has {least})"
    if name == "water kept":
        share = f"{100 * (limits.least_kept_share or 0.0):g} %"
        return f"the least share of water kept of {share} (the best {which} keeps {_percent(max(options, key=_share))})"
    if name == "slope window":
        gentlest, steepest = limits.slopes or (0.0, 0.0)
        return f"the slope window of {100 * gentlest:g} to {100 * steepest:g} % (no line can be laid)"
    return _brief_words(name, comparison, options, which)


def _brief_words(name: str, comparison: Comparison, options: Sequence[Option], which: str) -> str:
    """A limit of the brief, and how near the options come to it."""
    brief = comparison.site.brief
    if name == STORM:
        held = max(option.amount("held_storm_mm") for option in options)
        held_words = shown(held, "mm", units=brief.site.units, decimals=1)
        return f"the design storm of {_storm(comparison)} (the best option holds {held_words})"
    if name == STANDING:
        most = f"{brief.soil.empty_within_h:g} h"
        return f"the {most} in which ditches should be dry (in the best {which} water stands {_least_hours(options)})"
    fill_m = min(option.fill_m for option in options), brief.section.greatest_fill_m
    fill, most = (shown(height_m, "m", units=brief.site.units, decimals=2) for height_m in fill_m)
    if name == FILL:
        return f"the greatest fill of {most} (the lowest {which} has {fill})"
    over = shown(min(option.over_m for option in options), "m", units=brief.site.units, decimals=2)
    return f"the check storm (in the best {which} it rises {over} over a berm)"


def _least_hours(options: Sequence[Option]) -> str:
    least_h = min(option.standing_h or 0.0 for option in options)
    return "over 200 h" if isinf(least_h) else f"{least_h:.0f} h"


def _share(option: Option) -> float:
    return option.amount("kept_share")


def _storm(comparison: Comparison) -> str:
    return shown(storm_of(comparison.site).depth_mm, "mm", units=comparison.site.brief.site.units, decimals=1)
