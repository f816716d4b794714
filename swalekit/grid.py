"""The grid value: where a cell lies, in metres."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from affine import Affine
from numpy.typing import ArrayLike, DTypeLike, NDArray
from pyproj import CRS

from swalekit._one_line import one_line
from swalekit.errors import InputError

Allocator = Callable[[tuple[int, ...], DTypeLike], NDArray[Any]]
"""Makes an array of a shape and type, filled with zeros."""


@one_line("shape", "cell_m", "crs.name")
@dataclass(frozen=True)
class Grid:
    """A north-up grid of square cells in a projected CRS in metres.

    Parameters
    ----------
    shape : tuple of int
        Rows and columns.
    transform : Affine
        From column and row of a cell's upper left corner to easting and northing [m].
    crs : CRS
        Projected, axis unit metre.
    allocate : callable
        Makes the arrays over this grid: in memory, or on disk where they are larger than memory.

    Raises
    ------
    InputError
        If the grid is empty, rotated, oblong, south-up or not in metres.

    Examples
    --------
    >>> grid = Grid.from_corner((3, 4), cell_m=2.0, west_m=100.0, north_m=50.0)
    >>> grid.bounds
    (100.0, 44.0, 108.0, 50.0)
    >>> grid.centres([0], [0])
    (array([101.]), array([49.]))
    """

    shape: tuple[int, int]
    transform: Affine
    crs: CRS
    allocate: Allocator = field(default=np.zeros, compare=False, repr=False)

    def __post_init__(self) -> None:
        rows, columns = self.shape
        a = self.transform
        if rows < 1 or columns < 1:
            message = f"grid has {rows} rows and {columns} columns; it needs at least one of each"
            raise InputError(message)
        if a.b != 0 or a.d != 0 or a.a <= 0 or a.e >= 0 or abs(a.a + a.e) > 1e-6 * a.a:
            message = f"grid transform {tuple(a)[:6]} is not north-up with square cells; warp the tile first"
            raise InputError(message)
        if not self.crs.is_projected or any(axis.unit_conversion_factor != 1.0 for axis in self.crs.axis_info[:2]):
            message = f"grid CRS '{self.crs.name}' is not projected in metres; warp the tile first"
            raise InputError(message)

    @classmethod
    def from_corner(
        cls,
        shape: tuple[int, int],
        *,
        cell_m: float,
        west_m: float = 500_000.0,
        north_m: float = 4_000_000.0,
        crs: str = "EPSG:32630",
    ) -> "Grid":
        """Grid from its upper left corner and the size of a cell.

        Parameters
        ----------
        shape : tuple of int
            Rows and columns.
        cell_m : float
            Side of a cell [m].
        west_m, north_m : float
            Easting of the western and northing of the northern edge [m].
        crs : str
            Coordinate reference system, projected and in metres, as an EPSG code or WKT.

        Returns
        -------
        Grid
            North up, with square cells.

        Raises
        ------
        InputError
            If the grid is empty, the cell size isn't greater than zero, or the CRS isn't projected in metres.

        Examples
        --------
        >>> print(*Grid.from_corner((2, 3), cell_m=5.0, west_m=0.0, north_m=10.0).centres(0, 0))
        2.5 7.5
        """
        return cls(shape, Affine(cell_m, 0.0, west_m, 0.0, -cell_m, north_m), CRS.from_user_input(crs))

    @property
    def cell_m(self) -> float:
        """Side of a cell [m]."""
        return float(self.transform.a)

    @property
    def cell_area_m2(self) -> float:
        """Area of a cell [m²]."""
        return self.cell_m**2

    @property
    def n_cells(self) -> int:
        """Number of cells."""
        return self.shape[0] * self.shape[1]

    def zeros(self, dtype: DTypeLike) -> NDArray[Any]:
        """Array with a zero for every cell.

        Parameters
        ----------
        dtype : dtype_like
            Kind of its values.

        Returns
        -------
        ndarray, shape (rows, columns)
            The array, on disk where the grid's arrays lie there.

        Examples
        --------
        >>> Grid.from_corner((1, 3), cell_m=1.0).zeros(np.int32)
        array([[0, 0, 0]], dtype=int32)
        """
        return self.allocate(self.shape, dtype)

    def filled(self, value: float, dtype: DTypeLike) -> NDArray[Any]:
        """Array with one value for every cell.

        Parameters
        ----------
        value : float
            The value.
        dtype : dtype_like
            Kind of its values.

        Returns
        -------
        ndarray, shape (rows, columns)
            The array, on disk where the grid's arrays lie there.

        Examples
        --------
        >>> Grid.from_corner((1, 3), cell_m=1.0).filled(-1, np.int32)
        array([[-1, -1, -1]], dtype=int32)
        """
        array = self.zeros(dtype)
        array.fill(value)
        return array

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """West, south, east and north edge [m]."""
        a, (rows, columns) = self.transform, self.shape
        return float(a.c), float(a.f + rows * a.e), float(a.c + columns * a.a), float(a.f)

    def centres(self, row: ArrayLike, column: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Easting and northing of cell centres.

        Parameters
        ----------
        row, column : array_like
            Rows from the north, columns from the west, from 0; fractions are allowed, and places beyond the edge.

        Returns
        -------
        x_m, y_m : ndarray of float64
            Easting and northing [m].

        Examples
        --------
        >>> x_m, y_m = Grid.from_corner((2, 3), cell_m=5.0, west_m=0.0, north_m=10.0).centres([0, 1], [2, 2])
        >>> x_m, y_m
        (array([12.5, 12.5]), array([7.5, 2.5]))
        """
        x = self.transform.c + (np.asarray(column, np.float64) + 0.5) * self.transform.a
        y = self.transform.f + (np.asarray(row, np.float64) + 0.5) * self.transform.e
        return x, y

    def rows_columns(self, x_m: ArrayLike, y_m: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Fractional rows and columns of points, whole numbers at cell centres.

        Parameters
        ----------
        x_m, y_m : array_like
            Easting and northing [m]; no bounds are checked.

        Returns
        -------
        row, column : ndarray of float64
            Rows from the north, columns from the west, counted from 0.

        Examples
        --------
        >>> print(*Grid.from_corner((2, 3), cell_m=5.0, west_m=0.0, north_m=10.0).rows_columns(12.5, 5.0))
        0.5 2.0
        """
        row = (np.asarray(y_m, np.float64) - self.transform.f) / self.transform.e - 0.5
        column = (np.asarray(x_m, np.float64) - self.transform.c) / self.transform.a - 0.5
        return row, column
