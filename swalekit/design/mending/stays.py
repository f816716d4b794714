"""Why cautions stay: what the cures that were tried did, and what the brief would have to allow."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from swalekit.design.brief.decided_lines import Lines
from swalekit.design.mending.beyond_brief import WIDEST_FLOOR_M, floor_that_dries_m
from swalekit.design.mending.edits import LeaveOut
from swalekit.design.mending.trying import Trial, costs_of, raised_by
from swalekit.design.plan.cautions import is_curable
from swalekit.design.plan.design import Caution, Design, Swale
from swalekit.design.plan.pipeline import lay_out
from swalekit.units import with_unit

_MOST_TRIED = 3
_MOST_TOLD = 3
_STANDS_LONG = "stands long"
_TOO_MUCH = "more of the water kept would be lost than may be"


def wider_floors(design: Design, lines: Lines, only: Sequence[str]) -> dict[str, str]:
    """What floor, wider than the brief allows, would do for each swale that stands long, as tried on the layout.

    Parameters
    ----------
    design : Design
        The layout.
    lines : Lines
        Its decisions.
    only : sequence of str
        Swales that are looked at; all unless given.

    Returns
    -------
    dict of str to str
        What is told, by swale; nothing of those that no floor helps.

    Examples
    --------
    >>> from swalekit.design.plan.lines_of import lines_of
    >>> wider_floors(design, lines_of(design), ())
    {}
    """
    step_m, costs = design.site.brief.section.bottom_width_step_m, costs_of(design)
    long = [swale for swale in design.swales if (swale.id, _STANDS_LONG) in raised_by([swale])]
    floors = {swale.id: floor_that_dries_m(design, swale) for swale in long if not only or swale.id in only}
    asked = {name: floor_m for name, floor_m in floors.items() if floor_m is not None}
    told: dict[str, str] = {}
    for _ in range(_MOST_TRIED if asked else 0):
        trying = lines
        for name, floor_m in asked.items():
            trying = trying.decide(name, lines.state(name), bottom_width_m=floor_m)
        tried = lay_out(design.site.with_lines(trying), design.ground)
        after, dear = raised_by(tried.swales), costs_of(tried)
        for name, floor_m in tuple(asked.items()):
            if (name, _STANDS_LONG) not in after and name in dear:
                told[name] = _floor_words(design, floor_m, dear[name][0] - costs[name][0])
                others = [caution for swale, caution in sorted(after - raised_by(design.swales)) if swale == name]
                told[name] += f", and raises {', '.join(others)}" if others else ""
                del asked[name]
        asked = {name: round(floor_m + step_m, 3) for name, floor_m in asked.items() if floor_m < WIDEST_FLOOR_M}
        if not asked:
            break
    return told


def _floor_words(design: Design, floor_m: float, extra_cost: float) -> str:
    brief = design.site.brief
    units, price = brief.site.units, ""
    if design.cost is not None:
        price = f", for {extra_cost:+,.0f} {brief.rates.currency}".rstrip()
    floor, greatest = (
        with_unit(width_m, "m", units=units, decimals=2) for width_m in (floor_m, brief.section.greatest_bottom_width_m)
    )
    return f"a floor {floor} wide would do{price} (the brief's greatest_bottom_width is {greatest})"


def left_of(
    design: Design, trials: Sequence[Trial], floors: Mapping[str, str], may_lose_m3: float
) -> tuple[Caution, ...]:
    """Cautions that stay, each with why.

    Parameters
    ----------
    design : Design
        The layout once it is mended.
    trials : sequence of Trial
        All that was tried.
    floors : mapping of str to str
        What a wider floor would do, by swale.
    may_lose_m3 : float
        Water kept that may still be lost with lines that are left out [m³].

    Returns
    -------
    tuple of Caution
        With the reason as advice.

    Examples
    --------
    >>> left_of(design, (), {}, 0.0)[0].advice.partition(":")[0]
    'no shape or place of the works removes it'
    """
    return tuple(
        replace(caution, advice=_reason(swale, caution, trials, floors, may_lose_m3))
        for swale in design.swales
        for caution in swale.cautions
    )


def _reason(
    swale: Swale, caution: Caution, trials: Sequence[Trial], floors: Mapping[str, str], may_lose_m3: float
) -> str:
    if not is_curable(caution.name):
        return f"no shape or place of the works removes it: {caution.advice}"
    tried = [t for t in trials if (t.cure.swale, t.cure.caution) == (caution.swale, caution.name) and not t.taken]
    outcomes = list(dict.fromkeys(map(_outcome, tried)))
    if swale.held_m3 > may_lose_m3 and not any(isinstance(trial.cure.edit, LeaveOut) for trial in tried):
        outcomes.append(f"leave it out: {_TOO_MUCH}")
    told = outcomes[:_MOST_TOLD] or ["nothing that the brief allows applies"]
    if len(outcomes) > _MOST_TOLD:
        more = len(outcomes) - _MOST_TOLD
        told.append(f"{more} more way{'s' if more > 1 else ''}")
    if caution.name == _STANDS_LONG:
        told.append(floors.get(caution.swale, ""))
    return "; ".join(filter(None, [*told, swale.sized.cure if caution.name == "too small" else ""]))


def _outcome(trial: Trial) -> str:
    """What a cure that wasn't taken did, in words."""
    if trial.worsened:
        raised = ", ".join(dict.fromkeys(f"'{name}' at {swale}" for swale, name in trial.worsened))
        return f"{trial.cure.words}: raises {raised}"
    if not trial.works:
        return f"{trial.cure.words}: it stays"
    if trial.too_much:
        return f"{trial.cure.words}: {_TOO_MUCH}"
    return f"{trial.cure.words}: not beside the other cures"
