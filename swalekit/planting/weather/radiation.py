"""Radiation on a day, from the sun above the air to what warms the ground; all in MJ/m² a day."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.tables.load import named_row

Values = NDArray[np.float64]

_SOLAR_CONSTANT = 0.0820  # MJ/m² a minute, FAO-56 (1998) eq. 21
_STEFAN_BOLTZMANN = 4.903e-9  # MJ/m² a day and K⁴, FAO-56 (1998) eq. 39
_KELVIN = 273.16  # as FAO-56 rounds it


def sun_distance_factor(day_of_year: ArrayLike) -> Values:
    """Inverse relative distance of earth and sun, FAO-56 eq. 23.

    Parameters
    ----------
    day_of_year : array_like, shape (...)
        1 for 1 January to 366.

    Returns
    -------
    ndarray of float64, shape (...)
        Factor d_r [-].

    Examples
    --------
    >>> round(float(sun_distance_factor(246)), 3)
    0.985
    """
    return np.asarray(1.0 + 0.033 * np.cos(2.0 * np.pi / 365.0 * np.asarray(day_of_year, np.float64)))


def declination_rad(day_of_year: ArrayLike) -> Values:
    """Height of the sun over the equator, FAO-56 eq. 24.

    Parameters
    ----------
    day_of_year : array_like, shape (...)
        1 for 1 January to 366.

    Returns
    -------
    ndarray of float64, shape (...)
        Declination δ, positive from March to September [rad].

    Examples
    --------
    >>> round(float(declination_rad(246)), 3)
    0.12
    """
    return np.asarray(0.409 * np.sin(2.0 * np.pi / 365.0 * np.asarray(day_of_year, np.float64) - 1.39))


def sunset_angle_rad(latitude_deg: float, day_of_year: ArrayLike) -> Values:
    """Hour angle of sunset, FAO-56 eq. 25.

    Parameters
    ----------
    latitude_deg : float
        Latitude, south negative [°].
    day_of_year : array_like, shape (...)
        1 for 1 January to 366.

    Returns
    -------
    ndarray of float64, shape (...)
        Angle ω_s [rad]: π where the sun doesn't set, 0 where it doesn't rise.

    Examples
    --------
    >>> round(float(sunset_angle_rad(-20.0, 246)), 3)
    1.527
    """
    cosine = -np.tan(np.radians(latitude_deg)) * np.tan(declination_rad(day_of_year))
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))


def daylight_h(latitude_deg: float, day_of_year: ArrayLike) -> Values:
    """Hours between sunrise and sunset, FAO-56 eq. 34.

    Parameters
    ----------
    latitude_deg : float
        Latitude, south negative [°].
    day_of_year : array_like, shape (...)
        1 for 1 January to 366.

    Returns
    -------
    ndarray of float64, shape (...)
        Hours N, 0 to 24 [h].

    Examples
    --------
    >>> round(float(daylight_h(-20.0, 246)), 1)
    11.7
    """
    return np.asarray(24.0 / np.pi * sunset_angle_rad(latitude_deg, day_of_year))


def extraterrestrial_mj_m2(latitude_deg: float, day_of_year: ArrayLike) -> Values:
    """Radiation above the air.

    Parameters
    ----------
    latitude_deg : float
        Latitude, south negative [°].
    day_of_year : array_like
        1 for 1 January to 366.

    Returns
    -------
    ndarray of float64
        Radiation Ra [MJ/m² d].

    References
    ----------
    .. [1] FAO-56 (1998) eq. 21.

    Examples
    --------
    >>> round(float(extraterrestrial_mj_m2(-20.0, 246)), 1)
    32.2
    """
    latitude, sun = np.radians(latitude_deg), declination_rad(day_of_year)
    sunset = sunset_angle_rad(latitude_deg, day_of_year)
    turned = sunset * np.sin(latitude) * np.sin(sun) + np.cos(latitude) * np.cos(sun) * np.sin(sunset)
    return np.asarray(24.0 * 60.0 / np.pi * _SOLAR_CONSTANT * sun_distance_factor(day_of_year) * turned)


def solar_from_sunshine_mj_m2(sunshine_h: ArrayLike, daylight: ArrayLike, extraterrestrial: ArrayLike) -> Values:
    """Radiation on the ground from hours of sunshine.

    Parameters
    ----------
    sunshine_h : array_like, shape (...)
        Hours of sunshine n [h]; no more than the daylight counts.
    daylight : array_like, shape (...)
        Hours between sunrise and sunset N [h].
    extraterrestrial : array_like, shape (...)
        Radiation above the air Ra [MJ/m² d].

    Returns
    -------
    ndarray of float64, shape (...)
        Radiation Rs [MJ/m² d].

    Notes
    -----
    Rs = (0.25 + 0.50 n / N) Ra, the coefficients for places without their own.

    References
    ----------
    .. [1] FAO-56 (1998) eq. 35.

    Examples
    --------
    >>> round(float(solar_from_sunshine_mj_m2(7.1, 10.9, 25.1)), 2)
    14.45
    """
    share = np.asarray(sunshine_h, np.float64) / np.maximum(np.asarray(daylight, np.float64), np.finfo(np.float64).tiny)
    return np.asarray((0.25 + 0.50 * np.minimum(share, 1.0)) * np.asarray(extraterrestrial, np.float64))


def solar_from_range_mj_m2(
    tmax_c: ArrayLike, tmin_c: ArrayLike, extraterrestrial: ArrayLike, *, coefficient: float
) -> Values:
    """Radiation on the ground from the day's range of temperature.

    Parameters
    ----------
    tmax_c, tmin_c : array_like
        Highest and lowest temperature [°C].
    extraterrestrial : array_like
        Radiation above the air [MJ/m² d].
    coefficient : float
        0.16 inland, 0.19 on a coast [°C^-0.5].

    Returns
    -------
    ndarray of float64
        Radiation Rs [MJ/m² d].

    Notes
    -----
    Rs = k √(Tmax − Tmin) Ra. Weak on small islands and where cold air gathers.

    References
    ----------
    .. [1] FAO-56 (1998) eq. 50.

    Examples
    --------
    >>> round(float(solar_from_range_mj_m2(26.6, 14.8, 40.6, coefficient=0.16)), 1)
    22.3
    """
    spread = np.asarray(tmax_c, np.float64) - np.asarray(tmin_c, np.float64)
    return np.asarray(coefficient * np.sqrt(spread) * np.asarray(extraterrestrial, np.float64))


def clear_sky_mj_m2(extraterrestrial: ArrayLike, *, elevation_m: float) -> Values:
    """Radiation on the ground under a clear sky, FAO-56 eq. 37.

    Parameters
    ----------
    extraterrestrial : array_like, shape (...)
        Radiation above the air Ra [MJ/m² d].
    elevation_m : float
        Height above the sea [m].

    Returns
    -------
    ndarray of float64, shape (...)
        Radiation Rso [MJ/m² d].

    Examples
    --------
    >>> round(float(clear_sky_mj_m2(41.09, elevation_m=100.0)), 2)
    30.9
    """
    return np.asarray((0.75 + 2e-5 * elevation_m) * np.asarray(extraterrestrial, np.float64))


def net_shortwave_mj_m2(solar: ArrayLike) -> Values:
    """Radiation from the sun that grass doesn't throw back, FAO-56 eq. 38.

    Parameters
    ----------
    solar : array_like, shape (...)
        Radiation on the ground Rs [MJ/m² d].

    Returns
    -------
    ndarray of float64, shape (...)
        Radiation Rns [MJ/m² d].

    Examples
    --------
    >>> round(float(net_shortwave_mj_m2(14.5)), 3)
    11.165
    """
    return np.asarray((1.0 - named_row("evapotranspiration", constant="albedo").value) * np.asarray(solar, np.float64))


def net_longwave_mj_m2(
    tmax_c: ArrayLike, tmin_c: ArrayLike, vapour_kpa: ArrayLike, *, solar: ArrayLike, clear_sky: ArrayLike
) -> Values:
    """Heat that the ground loses to the sky.

    Parameters
    ----------
    tmax_c, tmin_c : array_like
        Highest and lowest temperature [°C].
    vapour_kpa : array_like
        Vapour pressure [kPa].
    solar, clear_sky : array_like
        Radiation on the ground, and the same under a clear sky [MJ/m² d].

    Returns
    -------
    ndarray of float64
        Radiation Rnl [MJ/m² d].

    References
    ----------
    .. [1] FAO-56 (1998) eq. 39, with Rs / Rso at most 1.

    Examples
    --------
    >>> round(float(net_longwave_mj_m2(25.1, 19.1, 2.1, solar=14.5, clear_sky=18.8)), 1)
    3.5
    """
    high, low = (np.asarray(temperature_c, np.float64) + _KELVIN for temperature_c in (tmax_c, tmin_c))
    above = np.maximum(np.asarray(clear_sky, np.float64), np.finfo(np.float64).tiny)
    cloud = 1.35 * np.minimum(np.asarray(solar, np.float64) / above, 1.0) - 0.35
    damp = 0.34 - 0.14 * np.sqrt(np.asarray(vapour_kpa, np.float64))
    return np.asarray(_STEFAN_BOLTZMANN * 0.5 * (high**4 + low**4) * damp * cloud)
