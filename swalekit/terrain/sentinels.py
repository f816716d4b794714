"""Cells that hold a marker in place of a height."""

import numpy as np
from numpy.typing import NDArray

_MARKERS = (-9999.0, -32767.0, -32768.0)
"""Values that fill cells without data by common practice, also where a file does not declare them."""

_LOWEST_M, _HIGHEST_M = -12_000.0, 9_000.0
"""Below every sea floor, above every summit: what lies outside is no height."""


def mask_sentinels(heights: NDArray[np.floating], *, metres_per_unit: float = 1.0) -> NDArray[np.bool_]:
    """Tell heights from markers that stand for "no data".

    Parameters
    ----------
    heights : ndarray of float
        Heights as stored.
    metres_per_unit : float
        Length of the unit the heights are stored in [m].

    Returns
    -------
    ndarray of bool
        True where the value can be a height; false for NaN, infinity, the usual markers
        (−9999, −32767, −32768) and whatever lies below −12 000 m or above 9 000 m.

    Examples
    --------
    >>> mask_sentinels(np.array([-430.0, 0.0, -9999.0, -3.4e38, np.nan]))
    array([ True,  True, False, False, False])
    """
    with np.errstate(invalid="ignore"):
        valid = (heights >= _LOWEST_M / metres_per_unit) & (heights <= _HIGHEST_M / metres_per_unit)
    for marker in _MARKERS:
        valid &= heights != marker
    return valid
