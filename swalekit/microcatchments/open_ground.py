"""Where microcatchments may lie."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from affine import Affine
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_ordered, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.frozen import Frozen, locked_property
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain


@one_line("terrain.grid", "least_slope", "greatest_slope")
@dataclass(frozen=True, eq=False)
class OpenGround(Frozen):
    """Ground for microcatchments: a polygon less what stands there, cells that are taken, and the slopes of the kind.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    area : shapely polygon or multipolygon
        Where units and their bunds may stand, in the CRS of the terrain: setbacks are taken off.
    taken : ndarray of bool, shape (rows, columns)
        Cells that they may not touch besides: watercourses, ponds, catchments of swales.
    least_slope, greatest_slope : float
        Gentlest and steepest ground [m/m].

    Raises
    ------
    InputError
        If the slopes aren't in order, or the cells aren't those of the terrain.
    """

    terrain: Terrain
    area: BaseGeometry
    taken: NDArray[np.bool_]
    least_slope: float = 0.005
    greatest_slope: float = 0.05

    def __post_init__(self) -> None:
        check_positive(least_slope=self.least_slope)
        check_ordered("least_slope", self.least_slope, "greatest_slope", self.greatest_slope)
        check_same_shape(heights=self.terrain.heights, taken=self.taken)
        super().__post_init__()

    @cached_property
    def window(self) -> tuple[slice, slice]:
        """Rows and columns of the tile that hold the area."""
        rows, columns = self.terrain.grid.shape
        if self.area.is_empty:
            return slice(0, 0), slice(0, 0)
        west, south, east, north = self.area.bounds
        (top, bottom), (left, right) = self.terrain.grid.rows_columns([west, east], [north, south])
        first_row, first_column = max(int(np.floor(top)), 0), max(int(np.floor(left)), 0)
        return (
            slice(first_row, max(min(int(np.ceil(bottom)) + 1, rows), first_row)),
            slice(first_column, max(min(int(np.ceil(right)) + 1, columns), first_column)),
        )

    @locked_property
    def _clearance_m(self) -> NDArray[np.float32]:
        """Distance of each cell of the window to the nearest one of it that is taken or holds no ground [m]."""
        free = self.terrain.valid[self.window] & ~self.taken[self.window]
        if free.all():
            return np.full(free.shape, np.inf, np.float32)
        return np.asarray(self.terrain.grid.cell_m * distance_transform_edt(free), np.float32)

    def clearance_m(self, x_m: NDArray[np.float64], y_m: NDArray[np.float64]) -> NDArray[np.float32]:
        """Distance from points to the nearest cell that is taken or holds no ground.

        Parameters
        ----------
        x_m, y_m : ndarray of float64, shape (n,)
            Easting and northing, within the box round the area [m].

        Returns
        -------
        ndarray of float32, shape (n,)
            From middle to middle of cells, of those of that box; zero beyond it, infinite where none is taken [m].

        Examples
        --------
        >>> open_ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(bool))
        >>> open_ground.clearance_m(np.array([500010.5]), np.array([3999990.5]))
        array([inf], dtype=float32)
        """
        row, column = (np.rint(part).astype(np.int64) for part in self.terrain.grid.rows_columns(x_m, y_m))
        row, column = row - self.window[0].start, column - self.window[1].start
        rows, columns = self._clearance_m.shape
        there = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
        found = np.zeros(len(row), np.float32)
        found[there] = self._clearance_m[row[there], column[there]]
        return found

    def is_free(self, x_m: NDArray[np.float64], y_m: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether the cells at points hold ground and aren't taken.

        Parameters
        ----------
        x_m, y_m : ndarray of float64, any one shape
            Easting and northing [m].

        Returns
        -------
        ndarray of bool
            False off the tile too.

        Examples
        --------
        >>> open_ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(bool))
        >>> open_ground.is_free(np.array([500010.0, 400000.0]), np.array([3999990.0, 3999990.0]))
        array([ True, False])
        """
        grid = self.terrain.grid
        row, column = (np.rint(part).astype(np.int64) for part in grid.rows_columns(x_m, y_m))
        there = (row >= 0) & (row < grid.shape[0]) & (column >= 0) & (column < grid.shape[1])
        at = np.where(there, row, 0), np.where(there, column, 0)
        return there & self.terrain.valid[at] & ~self.taken[at]

    def holds(self, outlines: NDArray[np.object_]) -> NDArray[np.bool_]:
        """Whether the area holds each of many outlines whole.

        Parameters
        ----------
        outlines : ndarray of shapely polygon, shape (n,)
            In the CRS of the terrain.

        Returns
        -------
        ndarray of bool, shape (n,)

        Examples
        --------
        >>> open_ground = OpenGround(terrain, shapely.box(0.0, 0.0, 5.0, 5.0), terrain.grid.zeros(bool))
        >>> open_ground.holds(np.array([shapely.box(1.0, 1.0, 2.0, 2.0), shapely.box(4.0, 4.0, 6.0, 6.0)]))
        array([ True, False])
        """
        shapely.prepare(self.area)
        return np.asarray(shapely.contains_properly(self.area, outlines))


def cropped(grid: Grid, window: tuple[slice, slice]) -> Grid:
    """The part of a grid in some rows and columns.

    Parameters
    ----------
    grid : Grid
        The whole.
    window : tuple of slice
        Rows and columns, one of each at least.

    Returns
    -------
    Grid
        The part, in memory.

    Examples
    --------
    >>> cropped(Grid.from_corner((4, 6), cell_m=2.0, west_m=0.0, north_m=8.0), (slice(1, 3), slice(2, 6))).bounds
    (4.0, 2.0, 12.0, 6.0)
    """
    rows, columns = window
    moved = grid.transform * Affine.translation(columns.start, rows.start)
    return Grid((rows.stop - rows.start, columns.stop - columns.start), moved, grid.crs)
