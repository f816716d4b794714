"""The cells that a polyline passes through."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def walk_cells(
    row: NDArray[np.float64],
    column: NDArray[np.float64],
    cell_row: NDArray[np.int64],
    cell_column: NDArray[np.int64],
    entry: NDArray[np.float64],
) -> None:
    """Every cell on the way from vertex to vertex, each a neighbour by side of the one before.

    Vertices are given in fractional rows and columns, whole numbers at cell centres. ``entry`` receives where a cell
    is entered, as the number of the vertex before plus the fraction of the leg walked. Through a corner of four cells
    the way goes by row first. The arrays filled hold 1 + Σ (rows + columns stepped) cells.

    Parameters
    ----------
    row, column : ndarray of float64, shape (n,)
        Vertices.
    cell_row, cell_column : ndarray of int64
        Filled: cells of the way.
    entry : ndarray of float64
        Filled: where each is entered.
    """
    r, c = int(np.floor(row[0] + 0.5)), int(np.floor(column[0] + 0.5))
    cell_row[0], cell_column[0], entry[0] = r, c, 0.0
    place = 1
    for leg in range(row.size - 1):
        end_r, end_c = int(np.floor(row[leg + 1] + 0.5)), int(np.floor(column[leg + 1] + 0.5))
        step_r, step_c = (1 if end_r > r else -1), (1 if end_c > c else -1)
        while r != end_r or c != end_c:
            at_r, at_c = np.inf, np.inf
            if r != end_r:
                at_r = (r + 0.5 * step_r - row[leg]) / (row[leg + 1] - row[leg])
            if c != end_c:
                at_c = (c + 0.5 * step_c - column[leg]) / (column[leg + 1] - column[leg])
            if at_r <= at_c:
                r += step_r
            else:
                c += step_c
            cell_row[place], cell_column[place] = r, c
            entry[place] = leg + min(max(min(at_r, at_c), 0.0), 1.0)
            place += 1
