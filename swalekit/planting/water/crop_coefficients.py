"""Coefficients of a crop day by day, and what organic mulch takes off them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_ordered
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.planting.weather.air import Air
from swalekit.planting.weather.atmosphere import saturation_kpa
from swalekit.planting.weather.days import day_of_year
from swalekit.planting.weather.weather import Weather
from swalekit.tables.crop_coefficients import CropRow, StageRow
from swalekit.tables.load import named_row

Values = NDArray[np.float64]

_INITIAL, _MID, _LATE = 0.0, 2.0, 3.0
_LEAST_ADJUSTED = 0.45
_FIRST_OF_MONTH = np.cumsum([1, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])


@one_line("dates", "latitude_deg")
@dataclass(frozen=True, eq=False)
class GrowingDays(Frozen):
    """What a crop's coefficients depend on, day by day.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days.
    latitude_deg : float
        Latitude, south negative [°].
    wind_m_s : ndarray of float64, shape (n,)
        Wind at 2 m [m/s].
    rh_min_percent : ndarray of float64, shape (n,)
        Lowest relative humidity [%].
    """

    dates: NDArray[np.datetime64]
    latitude_deg: float
    wind_m_s: Values
    rh_min_percent: Values


def growing_days(weather: Weather, air: Air) -> GrowingDays:
    """Days as a crop meets them.

    Parameters
    ----------
    weather : Weather
        Temperature, and the place.
    air : Air
        Vapour pressure and wind of the same days.

    Returns
    -------
    GrowingDays
        Wind at 2 m and lowest humidity, at most 100 %, of every day.

    Notes
    -----
    Lowest humidity is the day's vapour pressure over the saturation pressure at the highest temperature.

    References
    ----------
    .. [1] FAO-56 (1998) eq. 63; eq. 64 where the dew point is taken as the lowest temperature.
    """
    lowest = np.minimum(100.0 * air.vapour_kpa / saturation_kpa(weather.tmax_c), 100.0)
    return GrowingDays(weather.dates, weather.place.latitude_deg, air.wind_m_s, lowest)


def climate_term(wind_m_s: ArrayLike, rh_min_percent: ArrayLike, height_m: float) -> Values:
    """What wind and dry air add to a crop coefficient.

    Parameters
    ----------
    wind_m_s : array_like, shape (...)
        Wind at 2 m [m/s].
    rh_min_percent : array_like, shape (...)
        Lowest relative humidity of the day [%].
    height_m : float
        Height of the crop [m].

    Returns
    -------
    ndarray of float64, shape (...)
        Addition, negative in still, damp air [-].

    Notes
    -----
    [0.04 (u₂ − 2) − 0.004 (RHmin − 45)] (h / 3)^0.3, for wind of 1 to 6 m/s, humidity of 20 to 80 % and crops of 0.1 to
    10 m; values beyond are taken at these limits.

    References
    ----------
    .. [1] FAO-56 (1998) eq. 62 and 65.

    Examples
    --------
    >>> round(float(climate_term(2.0, 45.0, 4.0)), 3), round(float(climate_term(3.0, 20.0, 3.0)), 3)
    (0.0, 0.14)
    """
    wind = np.clip(np.asarray(wind_m_s, np.float64), 1.0, 6.0)
    humidity = np.clip(np.asarray(rh_min_percent, np.float64), 20.0, 80.0)
    height = min(max(height_m, 0.1), 10.0)
    return np.asarray((0.04 * (wind - 2.0) - 0.004 * (humidity - 45.0)) * (height / 3.0) ** 0.3)


def _stage_places(stages: StageRow, dates: NDArray[np.datetime64], *, latitude_deg: float) -> Values:
    """Where in its year a crop is on each day.

    Parameters
    ----------
    stages : StageRow
        Lengths of the stages and the month in which the first begins, half a year later south of the equator.
    dates : ndarray of datetime64[D], shape (n,)
        Days.
    latitude_deg : float
        Latitude [°].

    Returns
    -------
    ndarray of float64, shape (n,)
        0 in the initial stage and out of season, 1 to 2 in development, 2 in mid-season, 3 to 4 in the late stage.

    Examples
    --------
    >>> row = StageRow("a crop", (30, 60, 60, 40), 3, "a handbook")
    >>> days = np.array(["2001-03-10", "2001-05-01", "2001-07-01", "2001-09-05", "2001-12-01"], "datetime64[D]")
    >>> _stage_places(row, days, latitude_deg=37.0).round(2).tolist()
    [0.0, 1.52, 2.0, 3.95, 0.0]
    """
    month = stages.start_month if latitude_deg >= 0.0 else (stages.start_month + 5) % 12 + 1
    day = np.mod(day_of_year(dates) - _FIRST_OF_MONTH[month - 1], 365)
    ini, dev, mid, late = np.cumsum(stages.days)
    places = np.zeros(dates.shape)
    developing, grown, ageing = (day >= ini) & (day < dev), (day >= dev) & (day < mid), (day >= mid) & (day < late)
    places[developing] = 1.0 + (day[developing] - ini) / max(stages.days[1], 1)
    places[grown] = _MID
    places[ageing] = _LATE + (day[ageing] - mid) / max(stages.days[3], 1)
    return places


def basal_coefficients(crop: CropRow, days: GrowingDays) -> Values:
    """Basal crop coefficient of every day.

    Parameters
    ----------
    crop : CropRow
        Published or given coefficients.
    days : GrowingDays
        The days with wind and humidity.

    Returns
    -------
    ndarray of float64, shape (n,)
        Kcb [-].

    Raises
    ------
    InputError
        If the crop has no basal coefficients, or they change through the year and its stages aren't known.

    Notes
    -----
    Level in the initial stage and mid-season, straight in between and to the end; out of season as in the initial
    stage. The values of mid-season and end, where 0.45 or more, take the climate's term of their stage.

    References
    ----------
    .. [1] FAO-56 (1998) ch. 6 and 7, eq. 70.

    Examples
    --------
    >>> days = GrowingDays(np.array(["2001-07-01"], "datetime64[D]"), 37.0, np.full(1, 2.0), np.full(1, 45.0))
    >>> basal_coefficients(CropRow("an evergreen", None, (0.6, 0.6, 0.6), 4.0), days)
    array([0.6])
    """
    if crop.kcb is None:
        message = f"no basal crop coefficient is published for '{crop.crop}'; give its kcb_ini, kcb_mid and kcb_end"
        raise InputError(message)
    if crop.stages is None:
        if len(set(crop.kcb)) > 1:
            message = (
                f"no stage lengths are published for '{crop.crop}', whose coefficient goes {crop.kcb[0]:g}, "
                f"{crop.kcb[1]:g}, {crop.kcb[2]:g} through the year; give its stages"
            )
            raise InputError(message)
        return np.full(days.dates.shape, _adjusted(crop.kcb[1], crop, days, np.ones(days.dates.shape, np.bool_)))
    places = _stage_places(crop.stages, days.dates, latitude_deg=days.latitude_deg)
    ini = crop.kcb[0]
    mid = _adjusted(crop.kcb[1], crop, days, places == _MID)
    end = _adjusted(crop.kcb[2], crop, days, places >= _LATE)
    return np.interp(places, [_INITIAL, 1.0, _MID, _LATE, 4.0], [ini, ini, mid, mid, end])


def greatest_coefficients(kcb: Values, days: GrowingDays, *, height_m: float) -> Values:
    """Most that crop and wet soil together use, over the reference.

    Parameters
    ----------
    kcb : ndarray of float64, shape (n,)
        Basal crop coefficient of each day [-].
    days : GrowingDays
        The days with wind and humidity.
    height_m : float
        Height of the crop [m].

    Returns
    -------
    ndarray of float64, shape (n,)
        Kc,max [-].

    References
    ----------
    .. [1] FAO-56 (1998) eq. 72.

    Examples
    --------
    >>> days = GrowingDays(np.array(["2001-07-01"], "datetime64[D]"), 37.0, np.full(1, 2.0), np.full(1, 45.0))
    >>> [greatest_coefficients(np.array([kcb]), days, height_m=3.0).round(2).item() for kcb in (0.6, 1.2)]
    [1.2, 1.25]
    """
    return np.maximum(1.2 + climate_term(days.wind_m_s, days.rh_min_percent, height_m), kcb + 0.05)


def _adjusted(value: float, crop: CropRow, days: GrowingDays, chosen: NDArray[np.bool_]) -> float:
    """A coefficient for the mean climate of the chosen days."""
    if value < _LEAST_ADJUSTED or not chosen.any():
        return value
    wind, humidity = float(days.wind_m_s[chosen].mean()), float(days.rh_min_percent[chosen].mean())
    return value + float(climate_term(wind, humidity, crop.height_m))


def evaporation_factor(cover: float) -> float:
    """Evaporation from soil under mulch over that from bare soil.

    Parameters
    ----------
    cover : float
        Share of the ground that is mulched, 0 to 1 [-].

    Returns
    -------
    float
        1 without mulch, 0.5 under full cover [-].

    Raises
    ------
    InputError
        If the share lies outside 0 to 1.

    Notes
    -----
    About 5 % less for each 10 % of the surface covered. A guide: depth and kind of mulch matter.

    References
    ----------
    .. [1] FAO-56 (1998) ch. 10, organic mulches.

    Examples
    --------
    >>> evaporation_factor(0.5)
    0.75
    """
    check_between(0.0, 1.0, mulch_cover=cover)
    return 1.0 - named_row("evapotranspiration", constant="evaporation cut by full mulch").value * cover


def mulched_kc_ini(kc_ini: float, cover: float) -> float:
    """Initial crop coefficient, all of it evaporation, under mulch.

    Parameters
    ----------
    kc_ini : float
        The coefficient without mulch, 0 to 2 [-].
    cover : float
        Share of the ground that is mulched, 0 to 1 [-].

    Returns
    -------
    float
        The coefficient under mulch [-].

    Raises
    ------
    InputError
        If a value lies outside its range.

    References
    ----------
    .. [1] FAO-56 (1998) ch. 10: 25 % less where half the surface is covered.

    Examples
    --------
    >>> round(mulched_kc_ini(0.60, 0.5), 3)
    0.45
    """
    check_between(0.0, 2.0, kc_ini=kc_ini)
    return kc_ini * evaporation_factor(cover)


def mulched_kc_mid(kc_mid: float, kcb_mid: float, cover: float) -> float:
    """Mid-season crop coefficient under mulch, which saves on evaporation alone.

    Parameters
    ----------
    kc_mid, kcb_mid : float
        Single and basal coefficient without mulch [-].
    cover : float
        Share of the ground that is mulched, 0 to 1 [-].

    Returns
    -------
    float
        The single coefficient under mulch [-].

    Raises
    ------
    InputError
        If the basal coefficient exceeds the single one, or the share lies outside 0 to 1.

    References
    ----------
    .. [1] FAO-56 (1998) ch. 10: less by a quarter of Kc mid − Kcb mid where half the surface is covered.

    Examples
    --------
    >>> round(mulched_kc_mid(0.90, 0.80, 0.5), 3)
    0.875
    """
    check_ordered("kcb_mid", kcb_mid, "kc_mid", kc_mid)
    return kcb_mid + (kc_mid - kcb_mid) * evaporation_factor(cover)
