"""Lengths of flow paths, and the longest one on the ground of each label."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def farthest_of_labels(
    receiver: NDArray[np.int32],
    order: NDArray[np.int32],
    stops: NDArray[np.int32],
    labels: NDArray[np.int32],
    columns: int,
    length: NDArray[np.float32],
    farthest: NDArray[np.int64],
) -> None:
    """Give each cell the length of its path, and each label the cell with the longest.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    order : ndarray of int32
        Flat indices, receivers first.
    stops, labels : ndarray of int32, shape (n_cells,)
        Label of the stop a cell belongs to, 0 for none; and of the store its water meets first, 0, 1, ….
    columns : int
        Columns of the grid.
    length : ndarray of float32, shape (n_cells,)
        0 at further cells where a path ends, negative elsewhere; filled at the cells of ``order`` [cells].
    farthest : ndarray of int64
        −1 everywhere; filled with a flat index for each label that has cells, the first in order of equals.
    """
    diagonal = math.sqrt(2.0)
    for i in order:
        j = receiver[i]
        if j == i or stops[i] > 0 or length[i] == 0.0:
            length[i] = 0.0
        else:
            straight = i // columns == j // columns or i % columns == j % columns
            length[i] = length[j] + (1.0 if straight else diagonal)
        label = labels[i]
        if farthest[label] < 0 or length[i] > length[farthest[label]]:
            farthest[label] = i


@kernel
def path_feet(receiver: NDArray[np.int32], length: NDArray[np.float32], starts: NDArray[np.int64]) -> NDArray[np.int64]:
    """Flat indices of the cells of length 0 that paths from ``starts`` end at."""
    feet = starts.copy()
    for k in range(feet.size):
        while length[feet[k]] > 0.0:
            feet[k] = receiver[feet[k]]
    return feet
