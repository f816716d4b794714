"""Lines laid on the grid so that no flow path slips through."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import Polyline
from swalekit.grid import Grid
from swalekit.kernels.contour_walk import walk_cells


def barrier_labels(
    grid: Grid, lines: Sequence[LevelLine], strips: Sequence[NDArray[np.int64]] = ()
) -> NDArray[np.int32]:
    """Number of the line that stands on each cell.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    lines : sequence of LevelLine
        The lines; what runs beyond the grid is left out.
    strips : sequence of ndarray of int64, none or one a line
        Flat indices of the cells on which the works of each line catch water beside it.

    Returns
    -------
    ndarray of int32, shape (rows, columns)
        1 for cells of the first line, 2 for the second and so on, 0 elsewhere. Cells of one line are joined by their
        sides, so a path that steps straight or diagonally can't cross it; where lines share a cell, the higher keeps
        it, and no strip takes a cell of a line.

    Examples
    --------
    >>> grid = Grid.from_corner((3, 4), cell_m=1.0, west_m=0.0, north_m=3.0)
    >>> line = LevelLine(5.0, False, np.array([[0.5, 2.5], [3.5, 0.5]]), np.full(2, 5.0), np.full(2, 0.1))
    >>> barrier_labels(grid, [line])
    array([[1, 1, 0, 0],
           [0, 1, 1, 0],
           [0, 0, 1, 1]], dtype=int32)
    """
    labels: NDArray[np.int32] = grid.zeros(np.int32)
    lowest_first = sorted(range(len(lines)), key=lambda i: (lines[i].level_m, -i))
    for i in lowest_first if strips else ():
        labels.ravel()[strips[i]] = i + 1
    for i in lowest_first:
        row, column, _ = cells_on_path(grid, lines[i].path)
        inside = inside_grid(grid, row, column)
        labels[row[inside], column[inside]] = i + 1
    return labels


def cells_on_path(grid: Grid, path: Polyline) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """Cells that a path passes through, in order, each sharing a side with the one before.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    path : ndarray of float64, shape (n, 2)
        Vertices of the path [m].

    Returns
    -------
    row, column : ndarray of int64, shape (k,)
        The cells; beyond the grid's edge too.
    entry : ndarray of float64, shape (k,)
        Where each is entered: number of the vertex before plus the fraction of the leg walked.

    Examples
    --------
    >>> grid = Grid.from_corner((2, 2), cell_m=1.0, west_m=0.0, north_m=2.0)
    >>> row, column, entry = cells_on_path(grid, np.array([[0.5, 1.5], [1.5, 1.5]]))
    >>> row, column, entry
    (array([0, 0]), array([0, 1]), array([0. , 0.5]))
    """
    row, column = grid.rows_columns(*path.T)
    steps = sum(int(np.abs(np.diff(np.floor(place + 0.5))).sum()) for place in (row, column))
    cell_row, cell_column, entry = np.empty(steps + 1, np.int64), np.empty(steps + 1, np.int64), np.empty(steps + 1)
    walk_cells(row, column, cell_row, cell_column, entry)
    return cell_row, cell_column, entry


def inside_grid(grid: Grid, row: NDArray[np.int64], column: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Which cells lie on the grid.

    Parameters
    ----------
    grid : Grid
        The grid.
    row, column : ndarray of int64, shape (k,)
        The cells.

    Returns
    -------
    ndarray of bool, shape (k,)
        False beyond the edge.

    Examples
    --------
    >>> inside_grid(Grid.from_corner((2, 2), cell_m=1.0), np.array([0, 2]), np.array([1, 1]))
    array([ True, False])
    """
    rows, columns = grid.shape
    return (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
