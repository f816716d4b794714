"""Ground that is drier or wetter than average before the storm: its curve number, and how that spreads."""

from math import log
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_one_of
from swalekit.tables.load import named_rows, read_table

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


def natural_retention_sigma() -> float:
    """Standard deviation of ln S from storm to storm, S being the retention of the curve number.

    Returns
    -------
    float
        Standard deviation [-].

    Notes
    -----
    Antecedent runoff conditions I and III stand for the storms that run off least and most of ten [1]_, and their
    retentions are 2.281 and 0.427 times that of condition II [2]_: ln(2.281 / 0.427) spans 2 × 1.2816 deviations.

    References
    ----------
    .. [1] Hjelmfelt, Kramer & Burwell (1982). Curve numbers as random variables.
    .. [2] Hawkins, Hjelmfelt & Zevenbergen (1985). J. Irrig. Drain. Eng. 111(4).

    Examples
    --------
    >>> round(natural_retention_sigma(), 3)
    0.654
    """
    rows = named_rows("uncertainty")
    dry, wet = rows["retention on dry ground"].value, rows["retention on wet ground"].value
    return log(dry / wet) / (2.0 * NormalDist().inv_cdf((1.0 + rows["storms between dry and wet"].value) / 2.0))
