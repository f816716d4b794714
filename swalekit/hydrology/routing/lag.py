"""Time of concentration by the lag formula, from length, slope and curve number alone."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit.hydrology.losses.curve_number import area_weighted_curve_number, retention_mm
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.routing.travel_time import LEAST_PATH_SLOPE
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH


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
