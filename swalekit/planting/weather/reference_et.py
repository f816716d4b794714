"""Reference evapotranspiration: what a well-watered grass would use in this weather."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.planting.weather.air import Air, Filling, air_of
from swalekit.planting.weather.atmosphere import psychrometric_kpa_c, saturation_kpa, saturation_slope_kpa_c
from swalekit.planting.weather.radiation import extraterrestrial_mj_m2, net_longwave_mj_m2, net_shortwave_mj_m2
from swalekit.planting.weather.weather import Weather

Values = NDArray[np.float64]

MM_PER_MJ_M2 = 0.408
"""Water that a megajoule a square metre evaporates, FAO-56 (1998) eq. 20 [mm]."""


@one_line("et_mm")
@dataclass(frozen=True, eq=False)
class ReferenceEt(Frozen):
    """Reference evapotranspiration with the air it was worked out from.

    Parameters
    ----------
    et_mm : ndarray of float64, shape (n,)
        Reference evapotranspiration, never below zero [mm/d].
    air : Air
        Vapour, sun and wind, with what was filled.
    """

    et_mm: Values
    air: Air


def reference_et(weather: Weather, *, filling: Filling | None = None) -> ReferenceEt:
    """Reference evapotranspiration by Penman and Monteith, missing readings filled the published way.

    Parameters
    ----------
    weather : Weather
        Days, over which no heat goes into the soil.
    filling : Filling, optional
        What stands in for missing readings.

    Returns
    -------
    ReferenceEt
        Millimetres a day and how each reading was had.

    References
    ----------
    .. [1] FAO-56 (1998) eq. 6 and ch. 4.

    Examples
    --------
    >>> from swalekit.planting.weather.weather import Place, Readings
    >>> day = np.array(["2001-07-06"], "datetime64[D]")
    >>> measured = {"rh_max_percent": 84.0, "rh_min_percent": 63.0, "wind_m_s": 10.0 / 3.6, "sunshine_h": 9.25}
    >>> readings = Readings(**{name: np.array([value]) for name, value in measured.items()})
    >>> uccle = Weather(Place(50.8, 100.0, 10.0), day, np.array([21.5]), np.array([12.3]), np.zeros(1), readings)
    >>> reference_et(uccle).et_mm.round(1)
    array([3.9])
    """
    air = air_of(weather, filling=filling)
    short = net_shortwave_mj_m2(air.solar_mj_m2)
    long = net_longwave_mj_m2(
        weather.tmax_c, weather.tmin_c, air.vapour_kpa, solar=air.solar_mj_m2, clear_sky=air.clear_sky_mj_m2
    )
    et = penman_monteith_mm(
        weather.tmax_c,
        weather.tmin_c,
        short - long,
        vapour_kpa=air.vapour_kpa,
        wind_m_s=air.wind_m_s,
        elevation_m=weather.place.elevation_m,
    )
    return ReferenceEt(np.maximum(et, 0.0), air)


def penman_monteith_mm(
    tmax_c: ArrayLike,
    tmin_c: ArrayLike,
    energy_mj_m2: ArrayLike,
    *,
    vapour_kpa: ArrayLike,
    wind_m_s: ArrayLike,
    elevation_m: float,
) -> Values:
    """Evapotranspiration of the grass reference.

    Parameters
    ----------
    tmax_c, tmin_c : array_like
        Highest and lowest temperature [°C].
    energy_mj_m2 : array_like
        Net radiation less heat into the soil [MJ/m² d].
    vapour_kpa : array_like
        Vapour pressure [kPa].
    wind_m_s : array_like
        Wind at 2 m [m/s].
    elevation_m : float
        Height above the sea [m].

    Returns
    -------
    ndarray of float64
        [mm/d].

    Notes
    -----
    ET₀ = [0.408 Δ (Rn − G) + γ 900 / (T + 273) u₂ (es − ea)] / [Δ + γ (1 + 0.34 u₂)], with es the mean of the
    saturation pressures at both extremes: at the mean temperature it would be too small.

    References
    ----------
    .. [1] FAO-56 (1998) eq. 6.

    Examples
    --------
    >>> round(float(penman_monteith_mm(34.8, 25.6, 14.33 - 0.14, vapour_kpa=2.85, wind_m_s=2.0, elevation_m=2.0)), 2)
    5.72
    """
    high, low, wind = (np.asarray(values, np.float64) for values in (tmax_c, tmin_c, wind_m_s))
    mean = 0.5 * (high + low)
    deficit = 0.5 * (saturation_kpa(high) + saturation_kpa(low)) - np.asarray(vapour_kpa, np.float64)
    slope, gamma = saturation_slope_kpa_c(mean), psychrometric_kpa_c(elevation_m)
    sun = MM_PER_MJ_M2 * slope * np.asarray(energy_mj_m2, np.float64)
    drying = gamma * 900.0 / (mean + 273.0) * wind * deficit
    return np.asarray((sun + drying) / (slope + gamma * (1.0 + 0.34 * wind)))


def hargreaves_mm(weather: Weather) -> Values:
    """Reference evapotranspiration from temperature alone.

    Parameters
    ----------
    weather : Weather
        Only its temperatures, days and latitude count.

    Returns
    -------
    ndarray of float64, shape (n,)
        [mm/d].

    Notes
    -----
    ET₀ = 0.0023 (Tmean + 17.8) √(Tmax − Tmin) 0.408 Ra. Too low in strong wind, too high in damp air; best over a week
    or longer.

    References
    ----------
    .. [1] FAO-56 (1998) eq. 52; Hargreaves & Samani (1985).

    Examples
    --------
    >>> from swalekit.planting.weather.weather import Place
    >>> day = np.array(["2001-07-15"], "datetime64[D]")
    >>> hargreaves_mm(Weather(Place(45.72, 200.0), day, np.array([26.6]), np.array([14.8]), np.zeros(1))).round(1)
    array([5.])
    """
    above = extraterrestrial_mj_m2(weather.place.latitude_deg, weather.day_of_year)
    spread = np.sqrt(weather.tmax_c - weather.tmin_c)
    return np.maximum(0.0023 * (weather.tmean_c + 17.8) * spread * MM_PER_MJ_M2 * above, 0.0)
