"""Curve numbers for ground that is drier or wetter than average before the storm."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_one_of
from swalekit.tables.load import read_table

CONDITIONS = ("dry", "average", "wet")


def antecedent_curve_number(curve_number: ArrayLike, condition: str) -> NDArray[np.float64]:
    """Curve number for an antecedent runoff condition.

    Parameters
    ----------
    curve_number : array_like
        Curve number for the average condition (ARC II), 0 to 100 [-].
    condition : str
        ``dry`` (ARC I), ``average`` (ARC II) or ``wet`` (ARC III).

    Returns
    -------
    ndarray of float64
        Curve number [-].

    Raises
    ------
    InputError
        If the condition is unknown.

    Notes
    -----
    Linear between the printed whole numbers. The condition is a choice of the designer: the older limits of five-day
    rain were withdrawn.

    References
    ----------
    .. [1] USDA NRCS (2004). NEH Part 630, ch. 10, Table 10-1.

    Examples
    --------
    >>> antecedent_curve_number([74, 80.5], "wet")
    array([88. , 91.5])
    """
    check_one_of(CONDITIONS, condition=condition)
    rows = read_table("antecedent")
    average = [float(row["average"]) for row in rows]
    return np.asarray(np.interp(np.asarray(curve_number, np.float64), average, [float(row[condition]) for row in rows]))
