"""Gradient and slope of the ground."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit.terrain.terrain import Terrain

_BLOCK_ROWS = 256
"""Rows worked on at a time, so that the passing arrays stay small beside the tile."""


def gradient(heights: NDArray[np.float32], cell_m: float) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Rise of the ground per metre eastward and northward.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Ground heights, north up, NaN where void [m].
    cell_m : float
        Side of a cell [m].

    Returns
    -------
    dz_dx, dz_dy : ndarray of float32, shape (rows, columns)
        Rise eastward and northward [m/m]; NaN where void.

    Raises
    ------
    InputError
        If the cell size isn't greater than zero.

    Notes
    -----
    With the nine heights numbered row by row from the north-west,
    dz/dx = ((z3 + 2 z6 + z9) − (z1 + 2 z4 + z7)) / (8 cell), and dz/dy alike: exact on every quadratic surface.
    Where a neighbour is missing (tile edge, void) each of the three rows gives the difference it still can,
    central or one-sided, and the weights 1, 2, 1 are shared among the rows that give one: exact on a plane.
    A cell without neighbours counts as level.

    References
    ----------
    .. [1] Horn, B. K. P. (1981). Hill shading and the reflectance map. Proceedings of the IEEE 69(1), 14-47.

    Examples
    --------
    >>> dz_dx, dz_dy = gradient(np.array([[2.0, 4.0], [1.0, 3.0]], np.float32), 10.0)
    >>> print(dz_dx[0, 0], dz_dy[0, 0])
    0.2 0.1
    """
    check_positive(cell_m=cell_m)
    dz_dx, dz_dy = np.empty_like(heights, np.float32), np.empty_like(heights, np.float32)
    for first in range(0, heights.shape[0], _BLOCK_ROWS):
        rows = slice(first, min(first + _BLOCK_ROWS, heights.shape[0]))
        window = _with_rim(heights, rows)
        x, y = _full_differences(window)
        void = np.isnan(window[1:-1, 1:-1])
        row, column = np.nonzero(np.isnan(x + y) & ~void)
        nine = np.lib.stride_tricks.sliding_window_view(window, (3, 3))[row, column]
        x[row, column] = _partial_difference(nine)
        y[row, column] = _partial_difference(nine.swapaxes(1, 2)[:, :, ::-1])
        x[void] = y[void] = np.nan
        dz_dx[rows], dz_dy[rows] = x / cell_m, y / cell_m
    return dz_dx, dz_dy


def slope(terrain: Terrain) -> NDArray[np.float32]:
    """Steepest rise of the ground at every cell.

    Parameters
    ----------
    terrain : Terrain
        The ground.

    Returns
    -------
    ndarray of float32, shape (rows, columns)
        Slope [m/m]; NaN where void.

    Notes
    -----
    √((dz/dx)² + (dz/dy)²) of `gradient`.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> x = np.arange(5) * 2.0
    >>> terrain = Terrain.from_heights(np.tile(0.25 * x, (4, 1)), Grid.from_corner((4, 5), cell_m=2.0))
    >>> print(slope(terrain)[1, 1])
    0.25
    """
    dz_dx, dz_dy = gradient(terrain.heights, terrain.grid.cell_m)
    return np.hypot(dz_dx, dz_dy, out=dz_dx)


def _with_rim(heights: NDArray[np.float32], rows: slice) -> NDArray[np.float32]:
    """The rows and one cell more on every side, NaN beyond the tile."""
    above, below = min(rows.start, 1), min(heights.shape[0] - rows.stop, 1)
    block = heights[rows.start - above : rows.stop + below].astype(np.float32)
    return np.pad(block, ((1 - above, 1 - below), (1, 1)), constant_values=np.nan)


def _full_differences(window: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Horn's differences per cell, eastward and northward; NaN where one of the eight neighbours is missing."""
    east, north = window[:, 2:] - window[:, :-2], window[:-2] - window[2:]
    eighth, quarter = np.float32(0.125), np.float32(0.25)
    return (
        eighth * (east[:-2] + east[2:]) + quarter * east[1:-1],
        eighth * (north[:, :-2] + north[:, 2:]) + quarter * north[:, 1:-1],
    )


def _partial_difference(nine: NDArray[np.float32]) -> NDArray[np.float32]:
    """Weighted mean of the differences that the three rows of (k, 3, 3) neighbourhoods still give, in column order."""
    west, middle, east = nine[:, :, 0], nine[:, :, 1], nine[:, :, 2]
    sides = np.stack([east - middle, middle - west, (east - west) / 2], axis=-1)
    by_row = _given_mean(sides, np.ones(3, np.float32))
    return np.nan_to_num(_given_mean(by_row, np.array([1, 2, 1], np.float32)))


def _given_mean(values: NDArray[np.float32], weight: NDArray[np.float32]) -> NDArray[np.float32]:
    """Weighted mean over the last axis of what is not NaN; NaN where nothing is."""
    given = ~np.isnan(values)
    total = (np.where(given, values, 0) * weight).sum(axis=-1)
    total[~given.any(axis=-1)] = np.nan
    mean: NDArray[np.float32] = total / np.maximum((given * weight).sum(axis=-1), 1)
    return mean
