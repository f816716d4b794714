"""Which cells of a grid lie within a polygon."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.grid import Grid

_BLOCK_CELLS = 1_000_000


def cells_within(grid: Grid, polygon: BaseGeometry) -> NDArray[np.bool_]:
    """Cells whose centre lies within a polygon.

    Parameters
    ----------
    grid : Grid
        The cells.
    polygon : shapely polygon or multipolygon
        In the CRS of the grid.

    Returns
    -------
    ndarray of bool, shape (rows, columns)

    Examples
    --------
    >>> grid = Grid.from_corner((2, 3), cell_m=1.0, west_m=0.0, north_m=2.0)
    >>> cells_within(grid, shapely.box(0.0, 1.0, 2.0, 2.0)).astype(int)
    array([[1, 1, 0],
           [0, 0, 0]])
    """
    within: NDArray[np.bool_] = grid.zeros(np.bool_)
    if polygon.is_empty:
        return within
    shapely.prepare(polygon)
    rows, columns = grid.shape
    west, south, east, north = polygon.bounds
    (top, bottom), (left, right) = grid.rows_columns([west, east], [north, south])
    first, last = max(0, int(np.floor(top))), min(rows, int(np.ceil(bottom)) + 1)
    seen = np.arange(max(0, int(np.floor(left))), min(columns, int(np.ceil(right)) + 1))
    block = max(1, _BLOCK_CELLS // max(1, seen.size))
    for start in range(first, last, block):
        row, column = np.meshgrid(np.arange(start, min(start + block, last)), seen, indexing="ij")
        x, y = grid.centres(row, column)
        within[row, column] = shapely.contains_xy(polygon, x, y)
    return within
