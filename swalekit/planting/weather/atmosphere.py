"""Pressure, vapour and wind as FAO-56 works them out."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Values = NDArray[np.float64]


def saturation_kpa(temperature_c: ArrayLike) -> Values:
    """Vapour pressure of saturated air.

    Parameters
    ----------
    temperature_c : array_like, shape (...)
        Temperature of the air [°C].

    Returns
    -------
    ndarray of float64, shape (...)
        Pressure e° [kPa].

    Notes
    -----
    e° = 0.6108 exp[17.27 T / (T + 237.3)], T in °C.

    References
    ----------
    .. [1] FAO-56 (1998) eq. 11.

    Examples
    --------
    >>> saturation_kpa([24.5, 15.0]).round(3)
    array([3.075, 1.705])
    """
    temperature = np.asarray(temperature_c, np.float64)
    return np.asarray(0.6108 * np.exp(17.27 * temperature / (temperature + 237.3)))


def saturation_slope_kpa_c(temperature_c: ArrayLike) -> Values:
    """Rise of the saturation vapour pressure with temperature.

    Parameters
    ----------
    temperature_c : array_like, shape (...)
        Temperature of the air [°C].

    Returns
    -------
    ndarray of float64, shape (...)
        Slope Δ [kPa/°C].

    References
    ----------
    .. [1] FAO-56 (1998) eq. 13.

    Examples
    --------
    >>> round(float(saturation_slope_kpa_c(30.2)), 3)
    0.246
    """
    temperature = np.asarray(temperature_c, np.float64)
    return np.asarray(4098.0 * saturation_kpa(temperature) / (temperature + 237.3) ** 2)


def pressure_kpa(elevation_m: float) -> float:
    """Mean pressure of the air at a height above the sea.

    Parameters
    ----------
    elevation_m : float
        Height [m].

    Returns
    -------
    float
        Pressure [kPa].

    References
    ----------
    .. [1] FAO-56 (1998) eq. 7.

    Examples
    --------
    >>> round(pressure_kpa(1800.0), 1)
    81.8
    """
    return float(101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0) ** 5.26)


def psychrometric_kpa_c(elevation_m: float) -> float:
    """Psychrometric constant at a height above the sea.

    Parameters
    ----------
    elevation_m : float
        Height [m].

    Returns
    -------
    float
        Constant γ [kPa/°C].

    References
    ----------
    .. [1] FAO-56 (1998) eq. 8.

    Examples
    --------
    >>> round(psychrometric_kpa_c(1800.0), 3)
    0.054
    """
    return 0.665e-3 * pressure_kpa(elevation_m)


def wind_at_2m(wind_m_s: ArrayLike, height_m: float) -> Values:
    """Wind two metres above grass from wind at another height.

    Parameters
    ----------
    wind_m_s : array_like, shape (...)
        Wind as measured [m/s].
    height_m : float
        Height of the gauge above the ground [m].

    Returns
    -------
    ndarray of float64, shape (...)
        Wind u₂ [m/s].

    References
    ----------
    .. [1] FAO-56 (1998) eq. 47.

    Examples
    --------
    >>> round(float(wind_at_2m(3.2, 10.0)), 1)
    2.4
    """
    return np.asarray(np.asarray(wind_m_s, np.float64) * 4.87 / np.log(67.8 * height_m - 5.42))
