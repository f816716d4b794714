"""A mended layout in words: terminal and report alike."""

from swalekit.design.mending.mend import Mended
from swalekit.design.mending.table import caution_counts
from swalekit.design.mending.trying import Trial
from swalekit.design.plan.cautions import is_curable
from swalekit.reporting.words.shown import in_units, listed, number, shown, unit_name


def mending_table(mended: Mended) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Heads and rows of the cures that the mended layout has.

    Parameters
    ----------
    mended : Mended
        Before and after.

    Returns
    -------
    tuple of str
        Heads.
    list of tuple of str
        A row a cure.

    Examples
    --------
    >>> from swalekit.design.mending import mend
    >>> mending_table(mend(design, only=["S1"]))[0]
    ('swale', 'cured', 'by', 'extra cost', 'extra soil m³')
    """
    rates, units = mended.before.site.brief.rates, mended.before.site.brief.site.units
    heads = ("swale", "cured", "by", f"extra {rates.currency or 'cost'}", f"extra soil {unit_name('m3', units=units)}")
    return heads, [_row(trial, units) for trial in mended.taken]


def _row(trial: Trial, units: str) -> tuple[str, ...]:
    cured = listed(list(dict.fromkeys(name for _, name in trial.cured)))
    cost = "" if trial.extra_cost is None else f"{trial.extra_cost:+,.0f}"
    return trial.cure.swale, cured, trial.cure.words, cost, number(trial.extra_dug_m3, "m3", units=units)


def mending_sentences(mended: Mended) -> tuple[str, ...]:
    """What mending did, and what stays, in sentences.

    Parameters
    ----------
    mended : Mended
        Before and after.

    Returns
    -------
    tuple of str
        Without a full stop.

    Examples
    --------
    >>> from swalekit.design.mending import mend
    >>> from dataclasses import replace
    >>> mending_sentences(replace(mend(design, only=["S1"]), trials=()))
    ('no swale raises a caution that another shape or place of its works could remove',)
    """
    if not mended.trials:
        return ("no swale raises a caution that another shape or place of its works could remove",)
    curable = [(before, after) for name, before, after in caution_counts(mended) if is_curable(name)]
    was, is_now = (sum(counts[place] for counts in curable) for place in (0, 1))
    before, after, units = mended.before, mended.after, mended.before.site.brief.site.units
    told = [
        f"{len(mended.trials)} cures tried on the real layout, {len(mended.taken)} taken: "
        f"{was} curable cautions before, {is_now} after",
        f"soil dug {shown(before.dug_m3, 'm3', units=units)} before, {shown(after.dug_m3, 'm3', units=units)} after; "
        f"held storm {shown(before.held_storm_mm, 'mm', units=units, decimals=1)} before, "
        f"{shown(after.held_storm_mm, 'mm', units=units, decimals=1)} after; "
        f"runoff kept {100 * before.kept_share:.0f} % before, {100 * after.kept_share:.0f} % after",
    ]
    if before.cost is not None and after.cost is not None:
        currency = before.site.brief.rates.currency
        told.append(f"cost {before.cost:,.0f} before, {after.cost:,.0f} {currency} after".rstrip())
    stays: dict[tuple[str, str], list[str]] = {}
    for caution in filter(lambda caution: is_curable(caution.name), mended.left):
        stays.setdefault((caution.name, caution.advice), []).append(caution.swale)
    told += [f"stays: {listed(swales)} {name} ({in_units(why, units=units)})" for (name, why), swales in stays.items()]
    return tuple(told)
