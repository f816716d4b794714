"""Ground that a pipe of even grade comes down to."""

import numpy as np
from numba import prange
from numpy.typing import NDArray

from swalekit.kernels.jit import parallel_kernel


@parallel_kernel
def commanded(
    heights: NDArray[np.float32], row: float, column: float, level: float, grade: float, cell: float
) -> NDArray[np.bool_]:
    """Cells no higher than ``level`` less ``grade`` times their distance, with cells of side ``cell`` [m]; no voids."""
    rows, columns = heights.shape
    reached = np.zeros((rows, columns), np.bool_)
    for r in prange(rows):
        for c in range(columns):
            distance = cell * np.sqrt((r - row) ** 2 + (c - column) ** 2)
            reached[r, c] = heights[r, c] <= level - grade * distance
    return reached


@parallel_kernel
def commanded_counts(
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    height: NDArray[np.float32],
    from_x: NDArray[np.float64],
    from_y: NDArray[np.float64],
    level: NDArray[np.float64],
    grade: float,
) -> NDArray[np.int64]:
    """How many of n cells each of k places commands; positions and levels [m]."""
    counts = np.zeros(from_x.size, np.int64)
    for k in prange(from_x.size):
        count = 0
        for n in range(x.size):
            distance = np.sqrt((x[n] - from_x[k]) ** 2 + (y[n] - from_y[k]) ** 2)
            if height[n] <= level[k] - grade * distance:
                count += 1
        counts[k] = count
    return counts
