"""Stores that would pass water in a circle."""

import numpy as np
from numpy.typing import NDArray


def cut_circles(
    downstream: NDArray[np.int32], level_m: NDArray[np.float64]
) -> tuple[NDArray[np.int32], tuple[int, ...]]:
    """Let the surplus of the lowest store of every circle leave.

    Circles come up where the ground between two stores is as low as its noise; water can't circle uphill.

    Parameters
    ----------
    downstream : ndarray of int32, shape (n,)
        Store that each one's surplus goes to; −1 leaves.
    level_m : ndarray of float64, shape (n,)
        Level at which each store spills [m].

    Returns
    -------
    downstream : ndarray of int32, shape (n,)
        Without circles.
    cut : tuple of int
        Stores whose surplus was made to leave.

    Examples
    --------
    >>> cut_circles(np.array([1, 2, 1], np.int32), np.array([9.0, 8.0, 7.0]))
    (array([ 1,  2, -1], dtype=int32), (2,))
    """
    straight, cut, seen = downstream.copy(), [], np.zeros(downstream.size, np.int64)
    for start in range(downstream.size):
        store = start
        while store >= 0 and seen[store] == 0:
            seen[store] = start + 1
            store = int(straight[store])
        if store < 0 or seen[store] != start + 1:
            continue
        circle = [store]
        while (following := int(straight[circle[-1]])) != store:
            circle.append(following)
        lowest = min(circle, key=lambda each: (level_m[each], each))
        straight[lowest] = -1
        cut.append(lowest)
    return straight, tuple(cut)
