"""How sure a layout is, in a client's words."""

from collections.abc import Mapping
from typing import Any

from swalekit.reporting.words.shown import number, shown

_SURE = 0.995
"""Share from which a chance is told as more than 99 %, and below whose complement as less than 1 %."""


def chance_sentence(summary: Mapping[str, Any], *, units: str) -> str:
    """The chance that no swale spills, with the storm and the ground that it holds for.

    Parameters
    ----------
    summary : mapping
        Of how sure a layout is, as `swalekit.design.reliability.table.reliability_summary` gives it.
    units : str
        Those of the reader, ``metric`` or ``us``.

    Returns
    -------
    str
        One sentence, with the chance of a year where it is known.

    Examples
    --------
    >>> told = {"storm_mm": {"design": 60.0, "low": 47.0, "high": 77.0}, "moisture": "average ground",
    ...     "chance_to_hold": 0.62, "chance_of_year": None, "swales": [{}, {}]}
    >>> chance_sentence(told, units="metric")
    'In a storm of 60 mm, which may be 47 to 77 mm, on average ground, no swale spills with a chance of 62 %.'
    """
    storm = summary["storm_mm"]
    design, high = (shown(storm[name], "mm", units=units, decimals=0) for name in ("design", "high"))
    low = number(storm["low"], "mm", units=units, decimals=0)
    may_be = f", which may be {low} to {high}," if storm["low"] < storm["high"] else ""
    who = "no swale spills" if len(summary["swales"]) > 1 else "the swale doesn't spill"
    sentence = (
        f"In a storm of {design}{may_be} on {summary['moisture']}, {who} with a chance of "
        f"{chance_words(summary['chance_to_hold'])}"
    )
    year = summary.get("chance_of_year")
    return f"{sentence}." if year is None else f"{sentence}; in a whole year with one of {chance_words(year)}."


def size_sentence(sizes: Mapping[str, Any], *, units: str, currency: str) -> str:
    """What storm to size for so that no swale spills with the chance asked for, and what that costs.

    Parameters
    ----------
    sizes : mapping
        As `swalekit.design.reliability.sizes.sizes_summary` gives it.
    units : str
        Those of the reader, ``metric`` or ``us``.
    currency : str
        Of the costs; may be empty.

    Returns
    -------
    str
        One sentence; empty where no chance is asked for.

    Examples
    --------
    >>> row = {"factor": 1.3, "sized_for_mm": 78.0, "chance_to_hold": 0.81, "cost": 17300, "dug_m3": 900.0}
    >>> size_sentence({"hold_chance": 0.8, "sure_enough": row, "rows": [row]}, units="metric", currency="EUR")
    'To hold with a chance of 80 %: size for 78 mm, at 17,300 EUR (81 % of the draws).'
    """
    target, found = sizes["hold_chance"], sizes["sure_enough"]
    if target is None:
        return ""
    opening = f"To hold with a chance of {100.0 * target:.3g} %"
    if found is None:
        last, why = sizes["rows"][-1], "the limits of the section" if sizes["at_limit"] else "a size worth looking at"
        most = shown(last["sized_for_mm"], "mm", units=units, decimals=0)
        return (
            f"{opening}: beyond {why}; sized for {most} the swales hold in {chance_words(last['chance_to_hold'])} of "
            "the draws: lay lines closer, allow deeper or wider ditches, or see what is unsure."
        )
    size = f"size for {shown(found['sized_for_mm'], 'mm', units=units, decimals=0)}"
    size = "as designed, sized for" + size.removeprefix("size for") if found["factor"] == 1.0 else size
    priced = found["cost"] is not None
    price = f"{found['cost']:,} {currency}".strip() if priced else f"{shown(found['dug_m3'], 'm3', units=units)} dug"
    return f"{opening}: {size}, at {price} ({chance_words(found['chance_to_hold'])} of the draws)."


def chance_words(chance: float) -> str:
    """A chance in whole per cent, never told as certain.

    Parameters
    ----------
    chance : float
        From 0 to 1 [-].

    Returns
    -------
    str
        The words.

    Examples
    --------
    >>> chance_words(0.62), chance_words(1.0), chance_words(0.0)
    ('62 %', 'more than 99 %', 'less than 1 %')
    """
    if chance >= _SURE:
        return "more than 99 %"
    return "less than 1 %" if chance <= 1.0 - _SURE else f"{100.0 * chance:.0f} %"
