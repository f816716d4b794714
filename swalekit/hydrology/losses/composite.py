"""One curve number for ground of several kinds."""

import numpy as np
from numpy.typing import ArrayLike

from swalekit._checks import check_between
from swalekit.errors import InputError

IMPERVIOUS_CURVE_NUMBER = 98.0
"""Curve number of pavement and roofs, TR-55 Table 2-2a."""


def area_weighted_curve_number(curve_number: ArrayLike, area_m2: ArrayLike) -> float:
    """Mean of curve numbers by area.

    Parameters
    ----------
    curve_number : array_like, shape (n,)
        Curve numbers [-].
    area_m2 : array_like, shape (n,)
        Area of each [m²].

    Returns
    -------
    float
        Weighted curve number [-].

    Raises
    ------
    InputError
        If an area is negative or all are zero.

    Notes
    -----
    Runoff isn't linear in the curve number: where the numbers differ much, the runoff of each part weighted by area
    is exact and this mean gives too little.

    References
    ----------
    .. [1] USDA NRCS (2004). NEH Part 630, ch. 10, examples 10-3 and 10-4.

    Examples
    --------
    >>> round(area_weighted_curve_number([75, 69], [400, 230]), 1)
    72.8
    """
    area = np.asarray(area_m2, np.float64)
    if not np.all(area >= 0) or area.sum() <= 0:
        message = f"area_m2 runs from {area.min():g} to {area.max():g}; none may be negative and one must be above zero"
        raise InputError(message)
    return float(np.average(np.asarray(curve_number, np.float64), weights=area))


def composite_curve_number(
    pervious_curve_number: float, impervious_percent: float, *, unconnected_ratio: float = 0.0
) -> float:
    """Curve number of pervious ground with pavement and roofs in it.

    Parameters
    ----------
    pervious_curve_number : float
        Curve number of the pervious ground [-].
    impervious_percent : float
        Impervious part of the whole area [%].
    unconnected_ratio : float
        Part of the impervious area that drains over pervious ground [-].

    Returns
    -------
    float
        Composite curve number [-].

    Raises
    ------
    InputError
        If a value lies outside its range, or an unconnected part is given where 30 % or more is impervious.

    Notes
    -----
    CN = CNp + (Pimp / 100) (98 − CNp) (1 − 0.5 R). With R above zero valid only below 30 % impervious.

    References
    ----------
    .. [1] USDA SCS (1986). TR-55, figures 2-3 and 2-4 and appendix F.
    .. [2] USDA NRCS (2004). NEH Part 630, ch. 9, eq. 9-1 and 9-2.

    Examples
    --------
    >>> composite_curve_number(61, 20)
    68.4
    """
    check_between(0.0, 100.0, pervious_curve_number=pervious_curve_number, impervious_percent=impervious_percent)
    check_between(0.0, 1.0, unconnected_ratio=unconnected_ratio)
    if unconnected_ratio > 0 and impervious_percent >= 30:
        message = f"impervious_percent is {impervious_percent:g}; an unconnected part counts only below 30"
        raise InputError(message)
    raised = (IMPERVIOUS_CURVE_NUMBER - pervious_curve_number) * (1.0 - 0.5 * unconnected_ratio)
    return pervious_curve_number + impervious_percent / 100.0 * raised
