"""The table of gauge readings, and what they come to in JSON types."""

from typing import Any

from swalekit.design.gauging.gauging import Gauging
from swalekit.design.plan.columns import Column, Entry, row_of

GAUGE_COLUMNS = (
    Column("date", "", "day of the rain", of="note.date"),
    Column("swale", "", "where it was read", of="note.swale"),
    Column("rain_mm", "mm", "rain that fell", 1, "note.rain_mm"),
    Column("after_h", "h", "from the end of the rain to the reading", 1, "note.after_h"),
    Column("depth_m", "m", "water above the ditch floor", 3),
    Column("level_m", "m", "its level", 3),
    Column("stood_m3", "m3", "water in the ditch at the reading, by its stages as built", 1),
    Column("soaked_m3", "m3", "water that had soaked away by then", 1),
    Column("came_m3", "m3", "water that the rain brought, the rain on the ditch with it", 1),
    Column("from_swales_m3", "m3", "part of it that came over sills above", 1),
    Column("runoff_mm", "mm", "runoff of the catchment that this speaks for", 2),
    Column("brief_mm", "mm", "runoff of the same rain by the brief, on ground neither dry nor wet before", 2),
    Column("curve_number", "", "number that makes this runoff of this rain", 1),
    Column("state", "", "used, at least, at most, read later, from above, or more than fell"),
)
"""Columns of ``gauge.csv``."""


def gauge_rows(gauging: Gauging) -> list[dict[str, Entry]]:
    """A row a reading.

    Parameters
    ----------
    gauging : Gauging
        Notes read back.

    Returns
    -------
    list of dict
        By the names of `GAUGE_COLUMNS`.

    Examples
    --------
    >>> from swalekit.design.gauging import GaugeNote, gauge
    >>> gauging = gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, depth_m=0.0)])
    >>> gauge_rows(gauging)[0]["state"]
    'at most'
    """
    return [row_of(reading, GAUGE_COLUMNS) for reading in gauging.readings]


def gauge_summary(gauging: Gauging) -> dict[str, Any]:
    """The fit, its trend and what the brief would have to say, in JSON types.

    Parameters
    ----------
    gauging : Gauging
        Notes read back.

    Returns
    -------
    dict
        Counts of readings by state, the fitted number with its interval, the brief's, and the numbers to put.

    Examples
    --------
    >>> from swalekit.design.gauging import GaugeNote, gauge
    >>> told = gauge_summary(gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, depth_m=0.0)]))
    >>> told["states"], told["fitted"]
    ({'at most': 1}, None)
    """
    states = [reading.state for reading in gauging.readings]
    fitted, trend = gauging.fitted, gauging.trend
    return {
        "readings": len(states),
        "states": {state: states.count(state) for state in dict.fromkeys(states)},
        "initial_abstraction_ratio": gauging.ratio,
        "fitted": None
        if fitted is None
        else {
            "curve_number": _to_tenths(fitted.curve_number),
            "low": _to_tenths(fitted.low),
            "high": _to_tenths(fitted.high),
            "median": _to_tenths(fitted.median),
            "rms_mm": round(fitted.rms_mm, 2),
            "readings": fitted.readings,
            "rains": fitted.storms,
        },
        "trend": None
        if trend is None
        else {
            "kind": trend.kind,
            "limit": _to_tenths(trend.limit),
            "at_least_rain": _to_tenths(trend.at_least_rain),
            "at_most_rain": _to_tenths(trend.at_most_rain),
        },
        "brief_curve_number": _to_tenths(gauging.brief_number),
        "curve_numbers_to_put": [_to_tenths(number) for number in gauging.numbers_to_put],
        "intake_mm_h": None if gauging.intake_mm_h is None else round(gauging.intake_mm_h, 2),
        "intake_from_pairs": gauging.intake_read,
        "design_runoff_mm": round(gauging.design_mm, 1),
        "fitted_design_runoff_mm": None if gauging.fitted_design_mm is None else round(gauging.fitted_design_mm, 1),
    }


def _to_tenths(number: float | None) -> float | None:
    return None if number is None else round(number, 1)
