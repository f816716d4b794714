"""Averages along strings of vertices."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def averaged(
    xy: NDArray[np.float64], before: NDArray[np.int64], after: NDArray[np.int64], times: int
) -> NDArray[np.float64]:
    """Each vertex half-way to the middle of its neighbours, a number of times.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        Vertices of all strings [m].
    before, after : ndarray of int64, shape (n,)
        Neighbours of each vertex; itself where there is none.
    times : int
        How often.

    Returns
    -------
    ndarray of float64, shape (n, 2)
        Vertices afterwards [m].
    """
    old, new = xy.copy(), np.empty_like(xy)
    for _ in range(times):
        for k in range(len(xy)):
            for axis in range(2):
                new[k, axis] = 0.5 * old[k, axis] + 0.25 * (old[before[k], axis] + old[after[k], axis])
        old, new = new, old
    return old
