"""Time that runoff takes to a store: by the speed of shallow flow, or by the lag formula."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit.hydrology.losses.curve_number import area_weighted_curve_number, retention_mm
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.stores import Stores
from swalekit.tables.load import TableRow, named_row
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH

LEAST_PATH_SLOPE = 0.005
"""Slope that a flow path is given at least, so that water crosses level ground in the end; common practice."""

LEAST_CONCENTRATION_H = 0.1
"""Time of concentration that no ground is taken to fall short of, six minutes: USDA SCS (1986), TR-55, chapter 3."""

_SECONDS_PER_HOUR = 3600.0


def roughness(surface: str) -> TableRow:
    """Manning's n of a surface, for sheet flow or of a channel.

    Parameters
    ----------
    surface : str
        Name of the surface, such as ``natural range``.

    Returns
    -------
    TableRow
        The value [s/m^(1/3)] with its source.

    Raises
    ------
    InputError
        If there is no such surface.

    Notes
    -----
    The values for sheet flow hold for water a few centimetres deep, which finds far more resistance than a channel.

    Examples
    --------
    >>> roughness("natural range").value
    0.13
    """
    return named_row("roughness", surface=surface)


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
        Length and fall of each path, NaN where there is none; see `swalekit.flow.accumulation.longest_paths` [m].
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


def time_of_concentration_h(flow_length_m: float, slope: float, curve_number: float) -> float:
    """Time from the farthest point of a catchment to its outlet, by the lag method.

    Parameters
    ----------
    flow_length_m : float
        Longest flow path [m].
    slope : float
        Mean slope of the ground [m/m].
    curve_number : float
        Curve number of the ground [-].

    Returns
    -------
    float
        Time of concentration [h].

    Raises
    ------
    InputError
        If length or slope isn't positive or the curve number lies outside its range.

    Notes
    -----
    Tc = ℓ^0.8 (S + 1)^0.7 / (1140 Y^0.5) with ℓ in feet, S in inches and Y in percent. Made for farm catchments with
    overland flow and curve numbers of 50 to 95, not for pavement.

    References
    ----------
    .. [1] USDA NRCS (2010). NEH Part 630, ch. 15, eq. 15-4b.

    Examples
    --------
    >>> round(time_of_concentration_h(150.0, 0.12, 80.0), 3)
    0.087
    """
    check_positive(flow_length_m=flow_length_m, slope=slope)
    retention_in = float(retention_mm(curve_number)) / MM_PER_INCH
    length_ft = flow_length_m / METRES_PER_FOOT
    return float(length_ft**0.8 * (retention_in + 1.0) ** 0.7 / (1140.0 * (100.0 * slope) ** 0.5))


def lag_concentration_h(
    stores: Stores, soil: Soil, length_m: NDArray[np.float64], slope: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Time of concentration of the ground of every store, by the lag method.

    Parameters
    ----------
    stores : Stores
        The stores with their ground, n of them.
    soil : Soil
        Curve numbers, one for each column of ``stores.area_m2``; their mean by area counts.
    length_m : ndarray of float64, shape (n,)
        Longest flow path on the ground of each store [m].
    slope : ndarray of float64, shape (n,)
        Mean slope of the ground of each store; none is taken flatter than 0.005 [m/m].

    Returns
    -------
    ndarray of float64, shape (n,)
        Time of concentration, 0 for a store without ground [h].

    Raises
    ------
    InputError
        If a soil class has no curve number.

    Examples
    --------
    >>> from swalekit.hydrology.losses.curve_number import CurveNumberLoss
    >>> stores = Stores(np.array([[1800.0]]), np.zeros(1), np.array([-1], np.int32))
    >>> lag_concentration_h(stores, Soil((CurveNumberLoss(80.0),)), np.array([150.0]), np.array([0.12])).round(3)
    array([0.087])
    """
    hours = np.zeros(stores.downstream.size)
    for store in np.flatnonzero((stores.area_m2.sum(axis=1) > 0) & (length_m > 0)):
        mean = area_weighted_curve_number(soil.curve_number, stores.area_m2[store])
        hours[store] = time_of_concentration_h(float(length_m[store]), max(float(slope[store]), LEAST_PATH_SLOPE), mean)
    return hours
