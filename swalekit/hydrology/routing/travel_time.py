"""Travel time of runoff, reach by reach: sheet flow, shallow flow, channel."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit.tables.load import TableRow, named_row
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH

LEAST_PATH_SLOPE = 0.005
"""Slope that a flow path is given at least, so that water crosses level ground in the end; common practice."""

_SECONDS_PER_HOUR = 3600.0


def roughness(surface: str) -> TableRow:
    """Manning's n of a surface, for sheet flow or of a channel [s/m^(1/3)].

    Notes
    -----
    The values for sheet flow hold for water a few centimetres deep, which finds far more resistance than a channel.

    Examples
    --------
    >>> roughness("natural range").value
    0.13
    """
    return named_row("roughness", surface=surface)


def sheet_flow_h(length_m: float, slope: float, *, roughness: float, rain_2y_24h_mm: float) -> float:
    """Travel time of sheet flow.

    Parameters
    ----------
    length_m : float
        Length of the reach, at most `sheet_flow_limit_m` [m].
    slope : float
        Slope of the ground [m/m].
    roughness : float
        Manning's n for sheet flow [s/m^(1/3)], see `roughness`.
    rain_2y_24h_mm : float
        Depth of 24 hours' rain that comes once in two years [mm].

    Returns
    -------
    float
        Time [h].

    Raises
    ------
    InputError
        If a value isn't positive.

    Notes
    -----
    t = 0.007 (n L)^0.8 / (P^0.5 s^0.4) with L in feet and P in inches: a kinematic wave under steady rain.

    References
    ----------
    .. [1] USDA NRCS (2010). NEH Part 630, ch. 15, eq. 15-8.
    .. [2] USDA SCS (1986). TR-55, eq. 3-3.

    Examples
    --------
    >>> round(sheet_flow_h(30.0, 0.05, roughness=0.13, rain_2y_24h_mm=40.0), 3)
    0.142
    """
    check_positive(length_m=length_m, slope=slope, roughness=roughness, rain_2y_24h_mm=rain_2y_24h_mm)
    length_ft, rain_in = length_m / METRES_PER_FOOT, rain_2y_24h_mm / MM_PER_INCH
    return float(0.007 * (roughness * length_ft) ** 0.8 / (rain_in**0.5 * slope**0.4))


def sheet_flow_limit_m(slope: float, *, roughness: float) -> float:
    """Greatest length of sheet flow before the water gathers in rills.

    Parameters
    ----------
    slope : float
        Slope of the ground [m/m].
    roughness : float
        Manning's n for sheet flow [s/m^(1/3)].

    Returns
    -------
    float
        Length [m].

    Raises
    ------
    InputError
        If a value isn't positive.

    Notes
    -----
    L = 100 s^0.5 / n in feet; NEH 630 advises to take no more than 100 ft (30 m) whatever it gives.

    References
    ----------
    .. [1] McCuen & Spiess, in USDA NRCS (2010). NEH Part 630, ch. 15, Table 15-2.

    Examples
    --------
    >>> round(sheet_flow_limit_m(0.05, roughness=0.13), 1)
    52.4
    """
    check_positive(slope=slope, roughness=roughness)
    return 100.0 * math.sqrt(slope) / roughness * METRES_PER_FOOT


def overland_velocity_m_s(slope: ArrayLike, surface: str) -> NDArray[np.float64]:
    """Speed of shallow flow down a surface.

    Parameters
    ----------
    slope : array_like
        Slope along the path, zero or more [m/m].
    surface : str
        A row of ``overland_velocity``, such as ``nearly bare``.

    Returns
    -------
    ndarray of float64
        Speed, in the shape of the slope [m/s].

    Raises
    ------
    InputError
        If a slope is negative or the surface unknown.

    Notes
    -----
    v = a s^0.5: Manning's equation at the depth and roughness that go with the surface.

    References
    ----------
    .. [1] USDA NRCS (2010). NEH Part 630, ch. 15, Table 15-3.

    Examples
    --------
    >>> overland_velocity_m_s([0.01, 0.09], "nearly bare").round(2)
    array([0.3 , 0.91])
    """
    gradient = np.asarray(slope, np.float64)
    check_not_negative(least_slope=float(np.nanmin(gradient, initial=0.0)))
    return np.asarray(named_row("overland_velocity", surface=surface).value * METRES_PER_FOOT * np.sqrt(gradient))


def overland_travel_h(
    length_m: ArrayLike, fall_m: ArrayLike, surface: str, *, least_slope: float = LEAST_PATH_SLOPE
) -> NDArray[np.float64]:
    """Travel time of shallow flow down paths of which length and fall are known, at their mean slope.

    Parameters
    ----------
    length_m, fall_m : array_like
        Length and fall of each path, NaN where there is none; see `swalekit.flow.travel.longest_paths` [m].
    surface : str
        A row of ``overland_velocity``.
    least_slope : float
        Slope that a path is given at least [m/m].

    Returns
    -------
    ndarray of float64
        Time, in the shape of the lengths [h].

    Raises
    ------
    InputError
        If the least slope isn't positive or the surface unknown.

    Notes
    -----
    The mean slope of a whole path stays clear of the noise of single cells. On ground that flattens towards the foot
    it gives a somewhat shorter time, and so a higher peak, than reach by reach.

    Examples
    --------
    >>> overland_travel_h([0.0, 150.0], [0.0, 12.0], "nearly bare").round(3)
    array([0.   , 0.049])
    """
    check_positive(least_slope=least_slope)
    length, fall = np.asarray(length_m, np.float64), np.asarray(fall_m, np.float64)
    gradient = np.divide(fall, length, out=np.zeros_like(length), where=length > 0)
    speed = overland_velocity_m_s(np.maximum(gradient, least_slope), surface)
    return np.asarray(length / speed / _SECONDS_PER_HOUR)


def manning_velocity_m_s(hydraulic_radius_m: float, slope: float, *, roughness: float) -> float:
    """Speed of steady, even flow in a channel.

    Parameters
    ----------
    hydraulic_radius_m : float
        Area of flow over wetted perimeter; of a wide sheet its depth [m].
    slope : float
        Slope of the bed [m/m].
    roughness : float
        Manning's n [s/m^(1/3)], see `roughness`.

    Returns
    -------
    float
        Speed [m/s].

    Raises
    ------
    InputError
        If a value isn't positive.

    Notes
    -----
    v = R^(2/3) s^(1/2) / n, for rough turbulent flow.

    References
    ----------
    .. [1] Chow (1959). Open-Channel Hydraulics, ch. 5.

    Examples
    --------
    >>> round(manning_velocity_m_s(0.2859, 0.005236, roughness=0.03), 4)
    1.0468
    """
    check_positive(hydraulic_radius_m=hydraulic_radius_m, slope=slope, roughness=roughness)
    return float(hydraulic_radius_m ** (2.0 / 3.0) * math.sqrt(slope) / roughness)


def travel_time_h(length_m: float, velocity_m_s: float) -> float:
    """Time that water of a steady speed takes down a reach.

    Parameters
    ----------
    length_m : float
        Length of the reach [m].
    velocity_m_s : float
        Speed of the water [m/s].

    Returns
    -------
    float
        Time [h].

    Raises
    ------
    InputError
        If the length is negative or the speed isn't positive.

    Examples
    --------
    >>> travel_time_h(1800.0, 0.5)
    1.0
    """
    check_not_negative(length_m=length_m)
    check_positive(velocity_m_s=velocity_m_s)
    return length_m / velocity_m_s / _SECONDS_PER_HOUR
