"""Ground height at any point of a tile."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.frozen import read_only
from swalekit.kernels.terrain_sample import sample_points
from swalekit.terrain.terrain import Terrain


def sample_heights(terrain: Terrain, x_m: ArrayLike, y_m: ArrayLike) -> NDArray[np.float64]:
    """Heights of points by bilinear interpolation between cell centres.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    x_m, y_m : array_like, shape (n,)
        Easting and northing of the points [m].

    Returns
    -------
    ndarray of float64, shape (n,)
        Ground height [m]; NaN outside the tile and where a void has a say in the height.

    Notes
    -----
    With u and v the fractions of a cell between the four surrounding centres,
    z = (1−u)(1−v) z00 + u(1−v) z01 + (1−u)v z10 + uv z11, which is exact on a plane and on a saddle z = xy.
    Within half a cell of the tile's edge the height of the nearest row or column of centres is held.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> grid = Grid.from_corner((2, 2), cell_m=10.0, west_m=0.0, north_m=20.0)
    >>> terrain = Terrain.from_heights(np.array([[1.0, 3.0], [5.0, 7.0]]), grid)
    >>> sample_heights(terrain, [5.0, 10.0, 20.0, 21.0], [15.0, 10.0, 15.0, 15.0])
    array([ 1.,  4.,  3., nan])
    """
    row, column = terrain.grid.rows_columns(x_m, y_m)
    return bilinear(terrain.heights, np.atleast_1d(row), np.atleast_1d(column))


def bilinear(
    heights: NDArray[np.float32], row: NDArray[np.float64], column: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Heights between cell centres by fractional row and column, even between four centres.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights, NaN where void [m].
    row, column : ndarray of float64, any one shape
        Where to look; whole numbers at cell centres.

    Returns
    -------
    ndarray of float64, the shape of ``row``
        Height [m]; NaN further than half a cell beyond the outermost centres and where a void has a say.

    Examples
    --------
    >>> bilinear(np.array([[1, 3], [5, 7]], np.float32), np.array([0.5, -0.5, 2.0]), np.array([0.5, 1.0, 0.0]))
    array([ 4.,  3., nan])
    """
    flat = (np.ascontiguousarray(part, np.float64).ravel() for part in (row, column))
    return sample_points(read_only(heights), *flat).reshape(row.shape)
