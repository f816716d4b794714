"""Lengths of flow paths, and the greatest value on the ground of each label."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def measure_paths(
    receiver: NDArray[np.int32],
    order: NDArray[np.int32],
    stops: NDArray[np.int32],
    heights: NDArray[np.float32],
    columns: int,
    cell: float,
    length: NDArray[np.float32],
    fall: NDArray[np.float32],
) -> None:
    """Give each cell the length of its path to the first stop or its end, and the fall on it.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    order : ndarray of int32
        Flat indices, receivers first.
    stops : ndarray of int32, shape (n_cells,)
        Label of the stop a cell belongs to, 0 for none.
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    columns : int
        Columns of the grid.
    cell : float
        Side of a cell [m].
    length, fall : ndarray of float32, shape (n_cells,)
        Filled at the cells of ``order`` [m].
    """
    for i in order:
        j = receiver[i]
        if j == i or stops[i] > 0:
            length[i] = 0.0
            fall[i] = heights[i]  # the height of the path's foot, for now
        else:
            straight = i // columns == j // columns or i % columns == j % columns
            length[i] = length[j] + (cell if straight else cell * math.sqrt(2.0))
            fall[i] = fall[j]
    for i in order:
        fall[i] = heights[i] - fall[i]


@kernel
def greatest_of_labels(values: NDArray[np.floating], labels: NDArray[np.int32], greatest: NDArray[np.float64]) -> None:
    """Raise ``greatest`` at each label (0, 1, …) to the greatest value of its cells; negative labels count nowhere."""
    for i in range(labels.size):
        label = labels[i]
        if label >= 0 and values[i] > greatest[label]:
            greatest[label] = values[i]
