"""Heights between cell centres."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel


@part_of_kernel
def between_centres(heights: NDArray[np.float32], row: float, column: float) -> float:
    """Bilinear height within half a cell of the outermost centres, as `swalekit.terrain.sample.bilinear`.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights [m].
    row, column : float
        Place; whole numbers at cell centres.

    Returns
    -------
    float
        Height [m].
    """
    rows, columns = heights.shape
    row, column = min(max(row, 0.0), rows - 1.0), min(max(column, 0.0), columns - 1.0)
    i, j = int(row), int(column)
    v, u = row - i, column - j
    height = float(heights[i, j])
    if u > 0.0:
        height += u * (float(heights[i, j + 1]) - height)
    if v > 0.0:
        below = float(heights[i + 1, j])
        if u > 0.0:
            below += u * (float(heights[i + 1, j + 1]) - below)
        height += v * (below - height)
    return height


@kernel
def sample_points(
    heights: NDArray[np.float32], row: NDArray[np.float64], column: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Bilinear heights at places of shape (n,); NaN further than half a cell beyond the outermost centres.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights [m].
    row, column : ndarray of float64, shape (n,)
        Places; whole numbers at cell centres.

    Returns
    -------
    ndarray of float64, shape (n,)
        Heights [m].
    """
    rows, columns = heights.shape
    sampled = np.empty(row.size, np.float64)
    for k in range(row.size):
        sampled[k] = np.nan
        if -0.5 <= row[k] <= rows - 0.5 and -0.5 <= column[k] <= columns - 0.5:
            sampled[k] = between_centres(heights, row[k], column[k])
    return sampled
