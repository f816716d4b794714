"""The ground on which the spacing of lines is judged."""

import numpy as np
from numpy.typing import NDArray
from shapely import Geometry

from swalekit.errors import GeometryError
from swalekit.terrain.coarsen import coarsen
from swalekit.terrain.slope import slope
from swalekit.terrain.terrain import Terrain
from swalekit.terrain.within import cells_within

SPACING_CELL_M = 3.0
"""Spacing is judged on ground averaged to about this cell, so that roughness does not count as slope."""


def spacing_ground(terrain: Terrain, area: Geometry) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Heights and slopes of an area, without the roughness of the ground.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    area : shapely geometry
        The site, in the terrain's CRS.

    Returns
    -------
    heights, slope : ndarray of float32, shape (n_cells,)
        Height [m] and slope [m/m] of every cell of about 3 m whose centre lies in the area.

    Raises
    ------
    GeometryError
        If there is no such cell.

    Examples
    --------
    >>> import shapely
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(30.0)[::-1], np.ones(40))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((30, 40), cell_m=1.0, west_m=0.0, north_m=30.0))
    >>> heights_m, slopes = spacing_ground(terrain, shapely.box(0, 0, 40, 30))
    >>> round(float(slopes.mean()), 3)
    0.1
    """
    coarse = coarsen(terrain, max(1, round(SPACING_CELL_M / terrain.grid.cell_m)))
    inside = cells_within(coarse.grid, area) & coarse.valid
    if not inside.any():
        message = (
            f"the site is too narrow to judge a spacing: none of the ground's cells of {coarse.grid.cell_m:g} m has "
            "its middle in it; give interval_m or levels_m, or a larger boundary"
        )
        raise GeometryError(message)
    return coarse.heights[inside], slope(coarse)[inside]
