"""Larger cells by averaging."""

import math

import numpy as np
from affine import Affine
from numpy.typing import NDArray

from swalekit.errors import TerrainError
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

_STRIP_CELLS = 2**20
"""Cells that are averaged at a time, so that a huge tile is not copied whole."""


def coarsen(terrain: Terrain, factor: int) -> Terrain:
    """Terrain with cells that are a whole number of times as wide.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    factor : int
        Cells averaged along each side.

    Returns
    -------
    Terrain
        Means of the valid cells of each block, void where fewer than half of them are valid. The standard error of a
        height is kept: averaging removes the noise between neighbours but not the error they share.

    Raises
    ------
    TerrainError
        If the factor is less than one, or no block is half valid.

    Examples
    --------
    >>> terrain = Terrain.from_heights(np.array([[1.0, 3.0], [5.0, 7.0]]), Grid.from_corner((2, 2), cell_m=0.5))
    >>> coarse = coarsen(terrain, 2)
    >>> print(coarse.heights[0, 0], coarse.grid.cell_m)
    4.0 1.0
    """
    if factor < 1:
        message = f"coarsening factor is {factor}; it must be 1 or more"
        raise TerrainError(message)
    heights = block_mean(terrain.heights, factor)
    cell_m, (west_m, _, _, north_m) = factor * terrain.grid.cell_m, terrain.grid.bounds
    grid = Grid(heights.shape, Affine(cell_m, 0.0, west_m, 0.0, -cell_m, north_m), terrain.grid.crs)
    notes = (*terrain.notes, f"averaged blocks of {factor} × {factor} cells to cells of {cell_m:g} m")
    return Terrain(grid, heights, ~np.isnan(heights), terrain.vertical_sigma_m, notes)


def block_mean(heights: NDArray[np.float32], factor: int) -> NDArray[np.float32]:
    """Means of square blocks of cells.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights, NaN where void [m].
    factor : int
        Cells along each side of a block; blocks that overhang the last row or column count the overhang as void.

    Returns
    -------
    ndarray of float32, shape (ceil(rows / factor), ceil(columns / factor))
        Mean of the valid cells of each block; NaN where fewer than half of them are valid [m].

    Examples
    --------
    >>> block_mean(np.array([[1, 2, 9], [3, np.nan, np.nan]], np.float32), 2)
    array([[ 2., nan]], dtype=float32)
    """
    if factor == 1:
        return heights
    means = np.empty(tuple(math.ceil(side / factor) for side in heights.shape), np.float32)
    step = max(1, _STRIP_CELLS // (factor * heights.shape[1]))
    for first in range(0, means.shape[0], step):
        rows = slice(first, min(first + step, means.shape[0]))
        means[rows] = _strip_mean(heights[rows.start * factor : rows.stop * factor], factor, means[rows].shape)
    return means


def _strip_mean(heights: NDArray[np.float32], factor: int, shape: tuple[int, ...]) -> NDArray[np.float64]:
    """Means of the blocks of a few rows of blocks."""
    rows, columns = shape
    overhang = ((0, rows * factor - heights.shape[0]), (0, columns * factor - heights.shape[1]))
    blocks = np.pad(heights, overhang, constant_values=np.nan).reshape(rows, factor, columns, factor)
    count = (~np.isnan(blocks)).sum(axis=(1, 3))
    total = np.nansum(blocks, axis=(1, 3), dtype=np.float64)
    return np.where(2 * count >= factor**2, total / np.maximum(count, 1), np.nan)
