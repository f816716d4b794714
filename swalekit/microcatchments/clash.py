"""Units of one block that would stand on those of another."""

import numpy as np
import shapely
from numpy.typing import NDArray

_TOUCH_M = 1e-3
"""Bunds that overlap by less only touch."""


def without_clashes(rims: NDArray[np.object_], group: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Which units stay when of two that overlap the later one goes.

    Parameters
    ----------
    rims : ndarray of shapely polygon, shape (n,)
        Outlines with their bunds, the weightier first.
    group : ndarray of int64, shape (n,)
        Units of one group may share their bunds.

    Returns
    -------
    ndarray of bool, shape (n,)

    Examples
    --------
    >>> squares = shapely.box([0.0, 0.5, 1.2], 0.0, [1.0, 1.5, 2.2], 1.0)
    >>> without_clashes(squares, np.array([1, 2, 3])).tolist(), without_clashes(squares, np.array([1, 1, 2])).tolist()
    ([True, False, True], [True, True, False])
    """
    kept = np.ones(len(rims), bool)
    first, second = shapely.STRtree(rims).query(shapely.buffer(rims, -_TOUCH_M), predicate="intersects")
    meets = (first < second) & (group[first] != group[second])
    pairs = np.column_stack([first[meets], second[meets]])
    for one, other in pairs[np.lexsort(pairs.T[::-1])]:
        if kept[one]:
            kept[other] = False
    return kept
