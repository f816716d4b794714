"""How the ground under beds falls, over the width of a bed and its path rather than from cell to cell."""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter
from shapely.geometry.base import BaseGeometry

from swalekit.beds.bed import BedRules
from swalekit.contours.lay import terrain_around
from swalekit.terrain.terrain import Terrain, cells_within

_LEAST_CELLS = 3


def fall_within(terrain: Terrain, area: BaseGeometry, width_m: float) -> NDArray[np.float64]:
    """Fall of the ground at the cells of an area, evened over a width.

    Parameters
    ----------
    terrain : Terrain
        The ground around the area; its outermost cells have no fall of their own.
    area : shapely geometry
        The area, in the CRS of the terrain.
    width_m : float
        Width over which heights are averaged [m].

    Returns
    -------
    ndarray of float64, shape (k, 2)
        Fall eastward and northward [m/m]; none where fewer than three cells are known either way.

    Examples
    --------
    >>> import shapely
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.05 * np.arange(20.0)[::-1], np.ones(20))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0, west_m=0.0, north_m=20.0))
    >>> fall_within(terrain, shapely.box(8.0, 8.0, 9.0, 9.0), 3.0).round(3).tolist()
    [[-0.0, -0.05]]
    """
    if min(terrain.grid.shape) < _LEAST_CELLS:
        return np.empty((0, 2))
    cell_m = terrain.grid.cell_m
    size = max(1, round(width_m / cell_m))
    weight = uniform_filter(terrain.valid.astype(np.float64), size)
    base_m = float(terrain.heights[terrain.valid].mean()) if terrain.valid.any() else 0.0
    above = np.where(terrain.valid, terrain.heights - base_m, 0.0).astype(np.float64)
    smooth = uniform_filter(above, size) / np.maximum(weight, 1e-9)
    south, east = np.gradient(smooth, cell_m)
    at = cells_within(terrain.grid, area) & terrain.valid
    return np.column_stack([-east[at], south[at]])


def steepness_m2(terrain: Terrain, area: BaseGeometry, rules: BedRules) -> tuple[float, float]:
    """Ground of an area that is too flat and too steep for beds.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    area : shapely geometry
        The area, in the CRS of the terrain.
    rules : BedRules
        Least and greatest slope.

    Returns
    -------
    flat_m2, steep_m2 : float
        Plan areas [m²].

    Examples
    --------
    >>> import shapely
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.4 * np.arange(30.0)[::-1], np.ones(30))
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((30, 30), cell_m=1.0, west_m=0.0, north_m=30.0))
    >>> steepness_m2(terrain, shapely.box(10.0, 10.0, 20.0, 20.0), BedRules())
    (0.0, 100.0)
    """
    window = terrain_around(terrain, area, 4.0 * rules.width_m + 2.0 * terrain.grid.cell_m)
    if window is None:
        return 0.0, 0.0
    slope = np.hypot(*fall_within(window, area, 2.0 * rules.width_m).T)
    cell_m2 = terrain.grid.cell_area_m2
    flat, steep = np.count_nonzero(slope < rules.least_slope), np.count_nonzero(slope > rules.greatest_slope)
    return float(flat * cell_m2), float(steep * cell_m2)
