"""How wide what stands on a surface is, where anything does: the radius to look for."""

import numpy as np
from numpy.typing import NDArray

from swalekit.grid import Grid
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.standing import above_drawn_ground, standing_cells
from swalekit.terrain.terrain import Terrain

RADII_M = (1.5, 3.0, 5.0, 8.0)
"""Radii that are tried: our choice, up to the widest that is looked for."""
_MOST_CELLS = 1000
"""Cells looked at along each side, at most: our choice; on a larger tile those in the middle of the site."""
_CELL_M, _WIDEST_CELL_M = 1.0, 2.5
"""Things are looked for on cells of about this width; on wider ones than the second none is told from the ground."""
_LEAST_STANDING = 0.002
"""Share of the ground on which things stand, from which a surface is taken for one: our choice."""
_NEARLY_ALL = 0.9
"""Share of what the widest radius finds that is enough: our choice."""
_STANDS_M = 0.4
"""What stands lower is a tuft or a stone: our choice."""


def radius_to_take_off(terrain: Terrain, middle_m: tuple[float, float] | None = None) -> float:
    """Half the width of what stands on a surface.

    Parameters
    ----------
    terrain : Terrain
        A surface, or bare ground.
    middle_m : tuple of float, optional
        Easting and northing round which it is looked at where it is large; the middle of the tile unless given [m].

    Returns
    -------
    float
        The least of `RADII_M` that finds nearly all that the greatest finds and that stands 0.4 m and higher [m]; 0
        where that is less than 0.2 % of the ground, or the cells are too wide to tell.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.add.outer(0.1 * np.arange(60.0), np.zeros(60))
    >>> bare = Terrain.from_heights(heights, Grid.from_corner((60, 60), cell_m=1.0))
    >>> heights[20:22, 30:32] += 1.5
    >>> heights[40:42, 10:13] += 1.5
    >>> shrubs = Terrain.from_heights(heights, Grid.from_corner((60, 60), cell_m=1.0))
    >>> radius_to_take_off(bare), radius_to_take_off(shrubs)
    (0.0, 1.5)
    """
    if terrain.grid.cell_m > _WIDEST_CELL_M:
        return 0.0
    factor = max(1, round(_CELL_M / terrain.grid.cell_m))
    heights = block_mean(terrain.heights[_window(terrain.grid, middle_m, _MOST_CELLS * factor)], factor)
    cell_m = factor * terrain.grid.cell_m
    known = max(int(np.count_nonzero(~np.isnan(heights))), 1)
    counts = [_standing(heights, cell_m, radius_m) for radius_m in RADII_M]
    if counts[-1] < _LEAST_STANDING * known:
        return 0.0
    return next(radius_m for radius_m, count in zip(RADII_M, counts, strict=True) if count >= _NEARLY_ALL * counts[-1])


def _window(grid: Grid, middle_m: tuple[float, float] | None, most_cells: int) -> tuple[slice, slice]:
    """So many rows and columns at most, round a place."""
    west, south, east, north = grid.bounds
    x_m, y_m = middle_m or ((west + east) / 2.0, (south + north) / 2.0)
    slices = []
    for place, cells in zip(grid.rows_columns(x_m, y_m), grid.shape, strict=True):
        first = min(max(round(float(place)) - most_cells // 2, 0), max(cells - most_cells, 0))
        slices.append(slice(first, first + most_cells))
    return slices[0], slices[1]


def _standing(heights: NDArray[np.float32], cell_m: float, radius_m: float) -> int:
    objects = standing_cells(heights, cell_m=cell_m, radius_m=radius_m)
    return int(np.count_nonzero(above_drawn_ground(heights, objects) > _STANDS_M))
