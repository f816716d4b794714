"""The air that drives evaporation, with the published ways to fill what a station didn't measure."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_not_negative
from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.planting.weather.atmosphere import saturation_kpa, wind_at_2m
from swalekit.planting.weather.radiation import (
    clear_sky_mj_m2,
    daylight_h,
    extraterrestrial_mj_m2,
    solar_from_range_mj_m2,
    solar_from_sunshine_mj_m2,
)
from swalekit.planting.weather.weather import Weather
from swalekit.tables.load import named_row

Values = NDArray[np.float64]


def _constant(name: str) -> float:
    return named_row("evapotranspiration", constant=name).value


@dataclass(frozen=True)
class Filling:
    """What stands in for readings that are missing.

    Parameters
    ----------
    range_coefficient : float, optional
        k in Rs = k √(Tmax − Tmin) Ra: 0.16 inland, which is taken when not given, 0.19 on a coast [°C^-0.5].
    wind_m_s : float, optional
        Wind at 2 m; 2 m/s when not given [m/s].
    dew_below_tmin_c : float
        How far the dew point lies below the lowest temperature; 2 to 3 °C in dry country away from water [°C].

    Raises
    ------
    InputError
        If a value lies outside its range.
    """

    range_coefficient: float | None = None
    wind_m_s: float | None = None
    dew_below_tmin_c: float = 0.0

    def __post_init__(self) -> None:
        if self.range_coefficient is not None:
            check_between(0.10, 0.25, range_coefficient=self.range_coefficient)
        if self.wind_m_s is not None:
            check_not_negative(wind_m_s=self.wind_m_s)
        check_between(0.0, 10.0, dew_below_tmin_c=self.dew_below_tmin_c)


@one_line("vapour_kpa", "solar_mj_m2", "wind_m_s")
@dataclass(frozen=True, eq=False)
class Air(Frozen):
    """Vapour, sun and wind of every day, whole.

    Parameters
    ----------
    vapour_kpa : ndarray of float64, shape (n,)
        Vapour pressure [kPa].
    solar_mj_m2, clear_sky_mj_m2 : ndarray of float64, shape (n,)
        Radiation on the ground, and under a clear sky [MJ/m² d].
    wind_m_s : ndarray of float64, shape (n,)
        Wind at 2 m [m/s].
    days_by_way : dict of str to int
        How many days each figure was taken which way.
    """

    vapour_kpa: Values
    solar_mj_m2: Values
    clear_sky_mj_m2: Values
    wind_m_s: Values
    days_by_way: dict[str, int]


class _Way(NamedTuple):
    name: str
    values: Values


def air_of(weather: Weather, *, filling: Filling | None = None) -> Air:
    """Air of every day, by the best way that the day's readings allow.

    Parameters
    ----------
    weather : Weather
        The readings.
    filling : Filling, optional
        What stands in for missing ones.

    Returns
    -------
    Air
        Whole, with a count of days by way.

    Notes
    -----
    Vapour: from both extremes of humidity (eq. 17), from the highest alone (eq. 18), from the mean (eq. 19), else from
    a dew point at the lowest temperature (eq. 48). Sun: measured, from hours of sunshine (eq. 35), else from the range
    of temperature (eq. 50), at most a clear sky. Wind: measured (eq. 47), else 2 m/s.

    References
    ----------
    .. [1] FAO-56 (1998) ch. 3.

    Examples
    --------
    >>> from swalekit.planting.weather.weather import Place, Readings
    >>> day = np.array(["2001-07-06"], "datetime64[D]")
    >>> humid = Readings(rh_max_percent=np.array([82.0]), rh_min_percent=np.array([54.0]))
    >>> air = air_of(Weather(Place(50.8, 100.0), day, np.array([25.0]), np.array([18.0]), np.zeros(1), humid))
    >>> air.vapour_kpa.round(2), air.wind_m_s
    (array([1.7]), array([2.]))
    >>> air.days_by_way
    {'humidity, both extremes': 1, 'sun by temperature range': 1, 'wind of 2 m/s': 1}
    """
    fill = filling or Filling()
    above = extraterrestrial_mj_m2(weather.place.latitude_deg, weather.day_of_year)
    clear = clear_sky_mj_m2(above, elevation_m=weather.place.elevation_m)
    counts: dict[str, int] = {}
    vapour = _first_known(_vapour_ways(weather, fill), counts)
    solar = _first_known(_solar_ways(weather, fill, above, clear), counts)
    wind = _first_known(_wind_ways(weather, fill), counts)
    return Air(vapour, solar, clear, wind, counts)


def _vapour_ways(weather: Weather, fill: Filling) -> list[_Way]:
    readings = weather.readings
    at_high, at_low = saturation_kpa(weather.tmax_c), saturation_kpa(weather.tmin_c)
    highest, lowest, mean = (
        _reading(weather, humidity) / 100.0
        for humidity in (readings.rh_max_percent, readings.rh_min_percent, readings.rh_mean_percent)
    )
    return [
        _Way("humidity, both extremes", 0.5 * (at_low * highest + at_high * lowest)),
        _Way("humidity, highest", at_low * highest),
        _Way("humidity, mean", mean * 0.5 * (at_high + at_low)),
        _Way("dew point by lowest temperature", saturation_kpa(weather.tmin_c - fill.dew_below_tmin_c)),
    ]


def _solar_ways(weather: Weather, fill: Filling, above: Values, clear: Values) -> list[_Way]:
    readings = weather.readings
    daylight = daylight_h(weather.place.latitude_deg, weather.day_of_year)
    coefficient = (
        _constant("radiation by temperature range, inland")
        if fill.range_coefficient is None
        else fill.range_coefficient
    )
    by_range = solar_from_range_mj_m2(weather.tmax_c, weather.tmin_c, above, coefficient=coefficient)
    return [
        _Way("sun, measured", _reading(weather, readings.solar_mj_m2)),
        _Way(
            "sun by hours of sunshine",
            solar_from_sunshine_mj_m2(_reading(weather, readings.sunshine_h), daylight, above),
        ),
        _Way("sun by temperature range", np.minimum(by_range, clear)),
    ]


def _wind_ways(weather: Weather, fill: Filling) -> list[_Way]:
    usual = _constant("wind where none is measured") if fill.wind_m_s is None else fill.wind_m_s
    return [
        _Way("wind, measured", wind_at_2m(_reading(weather, weather.readings.wind_m_s), weather.place.wind_height_m)),
        _Way(f"wind of {usual:g} m/s", np.full(weather.dates.shape, usual)),
    ]


def _reading(weather: Weather, values: Values | None) -> Values:
    """A reading, all gaps where the station doesn't take it."""
    return np.full(weather.dates.shape, np.nan) if values is None else values


def _first_known(ways: list[_Way], counts: dict[str, int]) -> Values:
    """Each day's figure by the first way that gives one; the days of each way are added to ``counts``."""
    chosen = np.full_like(ways[0].values, np.nan)
    for way in ways:
        taken = np.isnan(chosen) & ~np.isnan(way.values)
        chosen[taken] = way.values[taken]
        if taken.any():
            counts[way.name] = int(np.count_nonzero(taken))
    return chosen
