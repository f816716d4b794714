"""Readings that can't be right, told in words."""

from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import NDArray

from swalekit.planting.weather.days import day_of_year
from swalekit.planting.weather.radiation import daylight_h, extraterrestrial_mj_m2

Values = NDArray[np.float64]
Dates = NDArray[np.datetime64]
Naming = Callable[[NDArray[np.intp]], str]
"""How the first of some rows is named."""

HOTTEST_C, COLDEST_C = 56.7, -89.2
"""Extremes of the air's temperature ever measured (WMO): Furnace Creek 1913 and Vostok 1983."""
HOTTEST_YEAR_C = 34.6
"""Highest mean of years, at Dallol, Ethiopia, 1960 to 1966."""
GREATEST_WIND_M_S = 50.0
"""No day's mean wind over land comes near it."""
GREATEST_RAIN_MM = 2000.0
"""More never fell in 24 hours: the record is 1825 mm, at Foc-Foc, La Réunion, in 1966 (WMO)."""

_NEEDED = ("tmax_c", "tmin_c", "rain_mm")
_RANGES = {
    "tmax_c": (COLDEST_C, HOTTEST_C, "°C, beyond what air ever had; if the record is in Fahrenheit, convert it"),
    "tmin_c": (COLDEST_C, HOTTEST_C, "°C, beyond what air ever had; if the record is in Fahrenheit, convert it"),
    "rain_mm": (0.0, GREATEST_RAIN_MM, "mm; it must be 0 to 2000 mm, check the unit"),
    "rh_max_percent": (0.0, 100.0, "%; it must lie between 0 and 100"),
    "rh_min_percent": (0.0, 100.0, "%; it must lie between 0 and 100"),
    "rh_mean_percent": (0.0, 100.0, "%; it must lie between 0 and 100"),
    "wind_m_s": (0.0, GREATEST_WIND_M_S, "m/s; it must be 0 to 50 m/s, check the unit"),
    "sunshine_h": (0.0, 24.0, "h; it must be 0 to 24 h"),
    "solar_mj_m2": (0.0, np.inf, "MJ/m²; it can't be negative"),
}
_DAYS_OF_YEAR = 365
_DAYLIGHT_SLACK_H = 0.6  # refraction, the sun's disc, and a recorder's tolerance
_SOLAR_SLACK = 1.03


def reading_fault(
    dates: Dates, measured: dict[str, Values], *, latitude_deg: float, monthly: bool = False
) -> str | None:
    """First reading that can't be right.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days.
    measured : dict of str to ndarray, shape (n,)
        Readings by name; NaN is a gap, which temperature and rain may not have.
    latitude_deg : float
        Latitude, south negative [°].
    monthly : bool
        Whether each day stands for its month, and is named so.

    Returns
    -------
    str or None
        What is wrong with it, by name and day; None if there is none.

    Examples
    --------
    >>> days = np.array(["2001-07-01", "2001-07-02"], "datetime64[D]")
    >>> reading_fault(days, {"tmax_c": np.array([30.0, 96.8])}, latitude_deg=37.0)
    'tmax_c of 2001-07-02 (row 2) is 96.8 °C, beyond what air ever had; if the record is in Fahrenheit, convert it'
    """
    named = partial(_month if monthly else _row, dates)
    disorder = np.flatnonzero(np.diff(dates) <= np.timedelta64(0, "D"))
    if disorder.size:
        return f"day {dates[disorder[0] + 1]} (row {disorder[0] + 2}) comes after {dates[disorder[0]]}; sort the days"
    for name, values in measured.items():
        low, high, words = _RANGES[name]
        gaps = np.flatnonzero(np.isnan(values))
        if name in _NEEDED and gaps.size:
            return f"{name} of {named(gaps)} is missing; fill it from a station near by, or cut the record there"
        wrong = np.flatnonzero((values < low) | (values > high))
        if wrong.size:
            return f"{name} of {named(wrong)} is {values[wrong[0]]:g} {words}"
    whole_year = monthly or len(dates) >= _DAYS_OF_YEAR
    return (
        _order_fault(measured, named)
        or (_mean_fault(measured) if whole_year else None)
        or _sun_fault(dates, measured, latitude_deg, named)
    )


def hemisphere_fault(dates: Dates, tmean_c: Values, *, latitude_deg: float) -> str | None:
    """Say so where it is warm when the sun is low all year, as with a latitude of the wrong sign.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days.
    tmean_c : ndarray of float64, shape (n,)
        Mean temperature [°C].
    latitude_deg : float
        Latitude, south negative [°].

    Returns
    -------
    str or None
        What is wrong; None if nothing is.

    Notes
    -----
    Looked for beyond 25° of latitude on records that cover most of a year: correlation of temperature with the
    radiation above the air below −0.3.

    Examples
    --------
    >>> days = np.arange("2001-01-15", "2001-12-31", 30, dtype="datetime64[D]")
    >>> warm_in_july = 15.0 - 10.0 * np.cos(np.arange(12) * np.pi / 6)
    >>> hemisphere_fault(days, warm_in_july, latitude_deg=-37.0)
    'it is warmest when the sun is lowest at latitude -37°; check its sign: south of the equator is negative'
    """
    span_d = int((dates[-1] - dates[0]).astype(np.int64))
    if abs(latitude_deg) < 25.0 or len(dates) < 12 or span_d < 300 or np.ptp(tmean_c) < 1.0:
        return None
    likeness = np.corrcoef(tmean_c, extraterrestrial_mj_m2(latitude_deg, day_of_year(dates)))[0, 1]
    if likeness > -0.3:
        return None
    return (
        f"it is warmest when the sun is lowest at latitude {latitude_deg:g}°; "
        "check its sign: south of the equator is negative"
    )


def _row(dates: Dates, rows: NDArray[np.intp]) -> str:
    """The first of some rows as day and number."""
    return f"{dates[rows[0]]} (row {rows[0] + 1})"


def _month(dates: Dates, rows: NDArray[np.intp]) -> str:
    """The first of some rows as month."""
    return f"month {int(dates[rows[0]].astype('datetime64[M]').astype(np.int64)) % 12 + 1}"


def _order_fault(measured: dict[str, Values], named: Naming) -> str | None:
    """A lowest reading above the highest."""
    for low, high in (("tmin_c", "tmax_c"), ("rh_min_percent", "rh_max_percent")):
        if low in measured and high in measured:
            wrong = np.flatnonzero(measured[low] > measured[high])
            if wrong.size:
                first = wrong[0]
                found = f"{measured[low][first]:g} and {high} {measured[high][first]:g}"
                return f"{low} of {named(wrong)} is {found}; the least can't exceed the greatest"
    return None


def _mean_fault(measured: dict[str, Values]) -> str | None:
    """A record warmer than the warmest place, as Fahrenheit is read for Celsius."""
    if not {"tmax_c", "tmin_c"} <= measured.keys():
        return None
    mean_c = 0.5 * float(np.mean(measured["tmax_c"]) + np.mean(measured["tmin_c"]))
    if mean_c <= HOTTEST_YEAR_C:
        return None
    return (
        f"the mean temperature is {mean_c:.1f} °C, above the {HOTTEST_YEAR_C:g} °C of the hottest place on record; "
        "if the record is in Fahrenheit, convert it"
    )


def _sun_fault(dates: Dates, measured: dict[str, Values], latitude_deg: float, named: Naming) -> str | None:
    """More sunshine than daylight or more radiation than comes from the sun."""
    day = day_of_year(dates)
    limits = {
        "sunshine_h": (daylight_h(latitude_deg, day) + _DAYLIGHT_SLACK_H, "h", "of sun"),
        "solar_mj_m2": (_SOLAR_SLACK * extraterrestrial_mj_m2(latitude_deg, day), "MJ/m²", "of radiation"),
    }
    for name, (limit, unit, what) in limits.items():
        if name in measured:
            wrong = np.flatnonzero(measured[name] > limit)
            if wrong.size:
                return (
                    f"{name} of {named(wrong)} is {measured[name][wrong[0]]:g} {unit}, and no more than "
                    f"{limit[wrong[0]]:.1f} {unit} {what} are possible; "
                    f"check unit and sign of the latitude {latitude_deg:g}°"
                )
    return None
