"""Larger cells by averaging."""

import numpy as np
from affine import Affine

from swalekit.errors import TerrainError
from swalekit.grid import Grid
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.terrain import Terrain


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
    drawn_sigma = None if terrain.drawn_sigma is None else np.nan_to_num(block_mean(terrain.drawn_sigma, factor))
    notes = (*terrain.notes, f"averaged blocks of {factor} × {factor} cells to cells of {cell_m:g} m")
    return Terrain(grid, heights, ~np.isnan(heights), terrain.vertical_sigma_m, notes, drawn_sigma=drawn_sigma)
