"""Heights of cells from the points in them."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from swalekit.grid import Grid

_STRIP_CELLS = 2**20
"""Cells that are worked on at a time."""

_UNITS_A_METRE = 10_000
"""Heights are summed in whole tenths of a millimetre: the sum is exact, whatever the order of the points."""

_ENOUGH_POINTS = 8
"""So many in a cell, and the lowest may be a false echo."""

Placed = Iterable[tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]]
"""Easting, northing and height of points [m], chunk by chunk."""


def mean_heights(points: Placed, grid: Grid) -> tuple[NDArray[np.float32], NDArray[np.int32]]:
    """Mean height of the points of each cell.

    Parameters
    ----------
    points : iterable of tuple of ndarray
        Points on the ground.
    grid : Grid
        The cells.

    Returns
    -------
    heights : ndarray of float32, shape (rows, columns)
        Mean [m], to 0.1 mm; NaN where a cell has no point.
    count : ndarray of int32, shape (rows, columns)
        Points of each cell.

    Examples
    --------
    >>> x, y, height_m = np.array([0.5, 0.7, 1.5]), np.array([0.5, 0.5, 0.5]), np.array([3.0, 4.0, 5.0])
    >>> mean_heights([(x, y, height_m)], Grid.from_corner((1, 3), cell_m=1.0, west_m=0.0, north_m=1.0))[0]
    array([[3.5, 5. , nan]], dtype=float32)
    """
    total, count = grid.zeros(np.int64), grid.zeros(np.int32)
    for x, y, height_m in points:
        cell = _cells(grid, x, y)
        np.add.at(total.reshape(-1), cell, np.rint(height_m * _UNITS_A_METRE).astype(np.int64))
        np.add.at(count.reshape(-1), cell, np.ones(cell.size, np.int32))
    heights = grid.zeros(np.float32)
    for rows in _strips(grid):
        with np.errstate(invalid="ignore"):
            heights[rows] = total[rows] / count[rows] / _UNITS_A_METRE
    return heights, count


def low_heights(points: Placed, grid: Grid) -> tuple[NDArray[np.float32], NDArray[np.int32]]:
    """Height of the lowest point of each cell, of the second lowest where a cell has eight or more.

    Parameters
    ----------
    points : iterable of tuple of ndarray
        Points on the ground and on what stands on it.
    grid : Grid
        The cells.

    Returns
    -------
    heights : ndarray of float32, shape (rows, columns)
        Low height [m]; NaN where a cell has no point.
    count : ndarray of int32, shape (rows, columns)
        Points of each cell.

    Notes
    -----
    Plants and roofs lie above the ground, so the lowest points are the likeliest to be on it. Where there are many, one
    alone below all others is more likely a false echo. Low points read low: by about the noise of the
    points, and by up to half a cell's fall on a slope. Both shift the level of the ground and hardly its shape.

    Examples
    --------
    >>> x, y = np.full(9, 0.5), np.full(9, 0.5)
    >>> x[8], heights = 1.5, np.array([-40.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 5.0])
    >>> low_heights([(x, y, heights)], Grid.from_corner((1, 2), cell_m=1.0, west_m=0.0, north_m=1.0))[0]
    array([[3., 5.]], dtype=float32)
    """
    lowest, second = grid.filled(np.inf, np.float32), grid.filled(np.inf, np.float32)
    count = grid.zeros(np.int32)
    for x, y, height_m in points:
        cell = _cells(grid, x, y)
        np.add.at(count.reshape(-1), cell, np.ones(cell.size, np.int32))
        _lower(lowest.reshape(-1), second.reshape(-1), cell, height_m.astype(np.float32))
    for rows in _strips(grid):
        np.copyto(lowest[rows], second[rows], where=count[rows] >= _ENOUGH_POINTS)
        lowest[rows][count[rows] == 0] = np.nan
    return lowest, count


def _cells(grid: Grid, x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.int64]:
    """Number of the cell of each point; one on the southern or eastern edge is in the last."""
    (rows, columns), a = grid.shape, grid.transform
    row = np.clip(np.floor((y - a.f) / a.e), 0, rows - 1).astype(np.int64)
    column = np.clip(np.floor((x - a.c) / a.a), 0, columns - 1).astype(np.int64)
    cell: NDArray[np.int64] = row * columns + column
    return cell


def _lower(
    lowest: NDArray[np.float32], second: NDArray[np.float32], cell: NDArray[np.int64], height_m: NDArray[np.float32]
) -> None:
    """Bring the two lowest heights of cells down to those of more points, in place."""
    order = np.lexsort((height_m, cell))
    cell, height_m = cell[order], height_m[order]
    first = np.flatnonzero(np.diff(cell, prepend=-1))
    following = np.minimum(first + 1, cell.size - 1)
    own_second = np.where((cell[following] == cell[first]) & (following > first), height_m[following], np.inf)
    at = cell[first]
    before, least = lowest[at], height_m[first]
    second[at] = np.minimum(np.minimum(second[at], own_second), np.maximum(before, least))
    lowest[at] = np.minimum(before, least)


def share_of_gaps(count: NDArray[np.int32]) -> float:
    """Share of cells without a point among those within the survey's outline.

    Within are cells that have points or lie between some, both in their row and in their column.

    Parameters
    ----------
    count : ndarray of int32, shape (rows, columns)
        Points of each cell.

    Returns
    -------
    float
        From 0 to 1.

    Examples
    --------
    >>> share_of_gaps(np.array([[0, 1, 2, 0], [1, 0, 0, 1], [0, 3, 1, 0]], np.int32))
    0.25
    """
    rows, columns = count.shape
    west, east = np.full(rows, columns), np.full(rows, -1)
    north, south = np.full(columns, rows), np.full(columns, -1)
    step = max(1, _STRIP_CELLS // columns)
    for top in range(0, rows, step):
        row, column = np.nonzero(count[top : top + step])
        np.minimum.at(west, row + top, column)
        np.maximum.at(east, row + top, column)
        np.minimum.at(north, column, row + top)
        np.maximum.at(south, column, row + top)
    within = filled = 0
    for top in range(0, rows, step):
        row, column = np.ogrid[top : min(top + step, rows), :columns]
        between = (west[row] <= column) & (column <= east[row]) & (north[column] <= row) & (row <= south[column])
        within += int(np.count_nonzero(between))
        filled += int(np.count_nonzero(count[top : top + step]))
    return 1.0 - filled / within


def _strips(grid: Grid) -> Iterable[slice]:
    """Rows of the grid, a strip at a time."""
    step = max(1, _STRIP_CELLS // grid.shape[1])
    return (slice(top, top + step) for top in range(0, grid.shape[0], step))
