"""Errors of heights, drawn on nodes, added to cells between them."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def add_errors(
    heights: NDArray[np.float32],
    nodes: NDArray[np.float32],
    cells: int,
    sigma_m: float,
    drawn_sigma: NDArray[np.float32],
    found: NDArray[np.float32],
) -> None:
    """Add a field of errors to heights, even between four nodes.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights, NaN where void [m].
    nodes : ndarray of float32, shape (m, n)
        Errors of unit spread at every so many cells, the first at the centre of the first cell [-].
    cells : int
        Cells from node to node.
    sigma_m : float
        Standard error of a height [m].
    drawn_sigma : ndarray of float32, shape (rows, columns) or (1, 1)
        Part that comes from ground that wasn't seen [m]; (1, 1) where all was.
    found : ndarray of float32, shape (rows, columns)
        Filled [m].
    """
    rows, columns = heights.shape
    seen = drawn_sigma.size == 1
    for row in range(rows):
        i, v = row // cells, (row % cells) / cells
        for column in range(columns):
            j, u = column // cells, (column % cells) / cells
            above = (1.0 - u) * nodes[i, j] + u * nodes[i, j + 1]
            below = (1.0 - u) * nodes[i + 1, j] + u * nodes[i + 1, j + 1]
            sigma = sigma_m if seen else np.hypot(sigma_m, drawn_sigma[row, column])
            found[row, column] = heights[row, column] + sigma * ((1.0 - v) * above + v * below)
