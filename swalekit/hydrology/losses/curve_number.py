"""Storm runoff by the curve number."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between
from swalekit.errors import InputError


def retention_mm(curve_number: ArrayLike) -> NDArray[np.float64]:
    """Potential retention S of the ground after runoff begins.

    Parameters
    ----------
    curve_number : array_like
        Curve number, above 0 and at most 100 [-].

    Returns
    -------
    ndarray of float64
        Retention [mm].

    Raises
    ------
    InputError
        If a curve number lies outside its range.

    Notes
    -----
    S = 25400 / CN − 254.

    References
    ----------
    .. [1] USDA NRCS (2004). NEH Part 630, ch. 10, eq. 10-12.

    Examples
    --------
    >>> round(float(retention_mm(74)), 1)
    89.2
    """
    number = np.asarray(curve_number, np.float64)
    if not np.all((number > 0) & (number <= 100)):
        wrong = number[~((number > 0) & (number <= 100))].flat[0]
        message = f"curve_number is {wrong:g}; it must be above 0 and at most 100"
        raise InputError(message)
    return np.asarray(25400.0 / number - 254.0)


def runoff_mm(
    rain_mm: ArrayLike, curve_number: ArrayLike, *, initial_abstraction_ratio: float = 0.2
) -> NDArray[np.float64]:
    """Depth of runoff from a storm.

    Parameters
    ----------
    rain_mm : array_like
        Storm depth [mm]; broadcast against the curve number.
    curve_number : array_like
        Curve number that belongs to the initial abstraction ratio [-].
    initial_abstraction_ratio : float
        Part of the retention filled before runoff begins, Ia / S [-].

    Returns
    -------
    ndarray of float64
        Runoff [mm].

    Raises
    ------
    InputError
        If rain is negative, or a curve number or the ratio lies outside its range.

    Notes
    -----
    Q = (P − λS)² / (P + (1 − λ)S) for P > λS, else 0. Published curve numbers stand for λ = 0.2. The method is for
    whole storms, and is weak where runoff is a small part of the rain: another is wanted where CN is below 40.

    References
    ----------
    .. [1] USDA SCS (1986). TR-55, eq. 2-1 to 2-4.
    .. [2] USDA NRCS (2004). NEH Part 630, ch. 10.

    Examples
    --------
    >>> runoff_mm([25.0, 50.0, 100.0], 80).round(1)
    array([ 2. , 13.8, 50.5])
    """
    check_between(0.0, 1.0, initial_abstraction_ratio=initial_abstraction_ratio)
    rain = np.asarray(rain_mm, np.float64)
    if not np.all(rain >= 0):
        message = f"rain_mm is {np.min(rain):g}; it must be zero or greater"
        raise InputError(message)
    retention = retention_mm(curve_number)
    effective = np.maximum(rain - initial_abstraction_ratio * retention, 0.0)
    total = effective + retention
    runoff = np.divide(effective**2, total, out=np.zeros_like(total), where=total > 0)
    return np.asarray(np.minimum(runoff, effective))  # rounding may lift it above
