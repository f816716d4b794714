"""Where a ranked sample is plotted."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit.tables.load import named_row


def plotting_positions(count: int, rule: str) -> NDArray[np.float64]:
    """Probability that a year exceeds each value of a sample, the largest value first.

    Parameters
    ----------
    count : int
        Values in the sample.
    rule : str
        ``weibull``, ``hazen``, ``gringorten``, ``cunnane`` or ``blom`` (the rule of FAO's water harvesting manual).

    Returns
    -------
    ndarray of float64, shape (count,)
        Exceedance probability [-], rising.

    Raises
    ------
    InputError
        If the rule is unknown or the sample empty.

    Notes
    -----
    p = (m − a) / (n + 1 − 2a) for rank m of n, with a by the rule.

    References
    ----------
    .. [1] FHWA (2002). Highway Hydrology, HDS-2, section 4.3.
    .. [2] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91.

    Examples
    --------
    >>> plotting_positions(4, "weibull")
    array([0.2, 0.4, 0.6, 0.8])
    """
    check_positive(count=count)
    offset = named_row("plotting_positions", rule=rule).value
    return np.asarray((np.arange(1, count + 1) - offset) / (count + 1 - 2 * offset), np.float64)
