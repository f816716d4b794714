"""Voids: small ones are filled."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from swalekit._checks import check_positive
from swalekit.grid import Grid
from swalekit.terrain.film import harmonic_heights
from swalekit.terrain.terrain import Terrain
from swalekit.terrain.unseen import with_drawn_ground


def fill_small_voids(terrain: Terrain, *, greatest_m2: float) -> Terrain:
    """Give the cells of small enclosed voids a height drawn across from their rim.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    greatest_m2 : float
        Greatest area of a void that is filled [m²].

    Returns
    -------
    Terrain
        The ground with small voids filled and a note of what was filled and what was left. Voids that are
        larger, or that touch the tile's edge, stay void. Cells that touch at a corner belong to one void.

    Raises
    ------
    InputError
        If the greatest area isn't greater than zero.

    Notes
    -----
    Exact where the ground around the void is a plane.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.tile(np.arange(5.0), (5, 1))
    >>> heights[2, 2] = np.nan
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((5, 5), cell_m=2.0))
    >>> filled = fill_small_voids(terrain, greatest_m2=25.0)
    >>> print(filled.heights[2, 2], filled.notes[0])
    2.0 filled 1 void of 4 m²
    """
    check_positive(greatest_m2=greatest_m2)
    if terrain.valid.all():
        return terrain
    grid = terrain.grid
    label = grid.zeros(np.int32)
    ndimage.label(np.logical_not(terrain.valid, out=grid.zeros(np.bool_)), structure=np.ones((3, 3)), output=label)
    cells = np.flatnonzero(label)
    void_of_cell = label.ravel()[cells] - 1
    area_m2 = np.multiply(np.bincount(void_of_cell), terrain.grid.cell_area_m2, dtype=np.float64)
    small = area_m2 <= greatest_m2
    for edge in (label[0], label[-1], label[:, 0], label[:, -1]):
        small[edge[edge > 0] - 1] = False
    unknown = cells[small[void_of_cell]]
    left = f"left void (above {greatest_m2:g} m² or at the tile's edge)"
    notes = _told("filled", area_m2[small]) + _told(left, area_m2[~small])
    if unknown.size:
        heights = grid.zeros(np.float32)
        np.copyto(heights, terrain.heights)
        heights.flat[unknown] = harmonic_heights(terrain.heights, unknown)
        terrain = replace(terrain, heights=heights, valid=cells_with_height(grid, heights))
    terrain = replace(terrain, notes=(*terrain.notes, *notes))
    return with_drawn_ground(terrain, unknown) if unknown.size else terrain


def cells_with_height(grid: Grid, heights: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Cells whose height is known.

    Parameters
    ----------
    grid : Grid
        The cells.
    heights : ndarray of float32, shape (rows, columns)
        Ground heights, NaN where void [m].

    Returns
    -------
    ndarray of bool, shape (rows, columns)
        False where the height is NaN.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> cells_with_height(Grid.from_corner((1, 2), cell_m=1.0), np.array([[3.0, np.nan]], np.float32))
    array([[ True, False]])
    """
    valid: NDArray[np.bool_] = np.isnan(heights, out=grid.zeros(np.bool_))
    return np.logical_not(valid, out=valid)


def _told(done: str, area_m2: NDArray[np.float64]) -> list[str]:
    """A sentence on voids with these areas; none if there are none."""
    if area_m2.size == 0:
        return []
    whole, largest = (f"{area:,.0f}" if area >= 10 else f"{area:.2g}" for area in (area_m2.sum(), area_m2.max()))
    if area_m2.size == 1:
        return [f"{done} 1 void of {whole} m²"]
    return [f"{done} {area_m2.size:,} voids, {whole} m² in all, the largest {largest} m²"]
