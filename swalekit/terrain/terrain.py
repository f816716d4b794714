"""The terrain value: heights on a grid, cells that hold none, cells within a polygon."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Self

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_not_negative, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import TerrainError
from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.terrain.control import TerrainControl
from swalekit.terrain.taken_off import TakenOff

_MARKERS = (-9999.0, -32767.0, -32768.0)
"""Values that fill cells without data by common practice, also where a file does not declare them."""
_LOWEST_M, _HIGHEST_M = -12_000.0, 9_000.0
"""Below every sea floor, above every summit: what lies outside is no height."""
_BLOCK_CELLS = 1_000_000


@one_line("grid", "relief_m", "vertical_sigma_m")
@dataclass(frozen=True, eq=False)
class Terrain(Frozen):
    """Ground heights on a grid, with a mask of the cells that hold one.

    Heights below sea level are ordinary.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    heights : ndarray of float32, shape (rows, columns)
        Ground height at cell centres [m]; NaN where ``valid`` is false.
    valid : ndarray of bool, shape (rows, columns)
        Cells that hold ground.
    vertical_sigma_m : float
        Standard error of a height [m].
    notes : tuple of str
        What was done to the tile on the way in, one sentence each.
    control : TerrainControl, optional
        What points measured on the ground say of it.
    drawn_sigma : ndarray of float32, shape (rows, columns), optional
        Standard error that comes from drawing the ground across where it wasn't seen [m]; 0 where it was. None where
        all of it was seen.
    taken_off : TakenOff, optional
        What was taken off a surface to get this ground.
    height_step_m : float
        Step that the heights of the file come in, as of whole metres, also where they were resampled since [m]; 0 where
        none is known.
    hashes : mapping of str to str
        SHA-256 of the files that it was read from, by ``part.key`` of the brief.

    Raises
    ------
    TerrainError
        If no cell is valid, a valid cell's height isn't finite, or a void has one.
    """

    grid: Grid
    heights: NDArray[np.float32]
    valid: NDArray[np.bool_]
    vertical_sigma_m: float = 0.10
    notes: tuple[str, ...] = field(default=())
    control: TerrainControl | None = None
    drawn_sigma: NDArray[np.float32] | None = None
    taken_off: TakenOff | None = None
    height_step_m: float = 0.0
    hashes: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        check_same_shape(heights=self.heights, valid=self.valid)
        check_positive(vertical_sigma_m=self.vertical_sigma_m)
        check_not_negative(height_step_m=self.height_step_m)
        if self.heights.shape != self.grid.shape:
            message = f"heights have shape {self.heights.shape} but the grid has {self.grid.shape}"
            raise TerrainError(message)
        if not self.valid.any():
            message = "the tile holds no ground: every cell is void; check its nodata value and its bounds"
            raise TerrainError(message)
        if self.drawn_sigma is not None:
            check_same_shape(heights=self.heights, drawn_sigma=self.drawn_sigma)
        _check_heights_where_valid(self.heights, self.valid)
        super().__post_init__()

    @classmethod
    def from_heights(
        cls, heights: NDArray[np.floating], grid: Grid, *, vertical_sigma_m: float = 0.10, notes: tuple[str, ...] = ()
    ) -> Self:
        """Terrain from an array of heights.

        Parameters
        ----------
        heights : ndarray of float, shape (rows, columns)
            Ground heights, north up [m]; what isn't finite marks a void. They are copied.
        grid : Grid
            Where the cells lie.
        vertical_sigma_m : float
            Standard error of the heights [m].
        notes : tuple of str
            What was done to the heights before.

        Returns
        -------
        Terrain
            The ground.

        Examples
        --------
        >>> terrain = Terrain.from_heights(np.array([[3.0, np.nan]]), Grid.from_corner((1, 2), cell_m=1.0))
        >>> terrain.valid
        array([[ True, False]])
        """
        copied = np.array(heights, dtype=np.float32)
        valid = np.isfinite(copied)
        copied[~valid] = np.nan
        return cls(grid, copied, valid, vertical_sigma_m, notes)

    @property
    def relief_m(self) -> float:
        """Highest less lowest ground [m]."""
        return float(np.nanmax(self.heights) - np.nanmin(self.heights))

    def sigma_at(self, x_m: ArrayLike, y_m: ArrayLike) -> NDArray[np.float64]:
        """Standard error of the height at points.

        Parameters
        ----------
        x_m, y_m : array_like
            Easting and northing [m].

        Returns
        -------
        ndarray of float64
            √(``vertical_sigma_m``² + `drawn_sigma_at`²) [m].

        Examples
        --------
        >>> terrain = Terrain.from_heights(np.zeros((2, 2)), Grid.from_corner((2, 2), cell_m=1.0))
        >>> terrain.sigma_at([1.0, 2.0], [3.0, 4.0])
        array([0.1, 0.1])
        """
        return np.hypot(self.vertical_sigma_m, self.drawn_sigma_at(x_m, y_m))

    def drawn_sigma_at(self, x_m: ArrayLike, y_m: ArrayLike) -> NDArray[np.float64]:
        """Part of the standard error at points that comes from ground that wasn't seen.

        Parameters
        ----------
        x_m, y_m : array_like
            Easting and northing [m].

        Returns
        -------
        ndarray of float64
            That of the cell they lie in, beyond the tile of the nearest [m].

        Examples
        --------
        >>> terrain = Terrain.from_heights(np.zeros((2, 2)), Grid.from_corner((2, 2), cell_m=1.0))
        >>> terrain.drawn_sigma_at([1.0, 2.0], [3.0, 4.0])
        array([0., 0.])
        """
        if self.drawn_sigma is None:
            return np.zeros(np.broadcast(x_m, y_m).shape)
        row, column = (np.rint(place).astype(int) for place in self.grid.rows_columns(x_m, y_m))
        rows, columns = self.grid.shape
        found = self.drawn_sigma[row.clip(0, rows - 1), column.clip(0, columns - 1)]
        return np.asarray(found, np.float64)


def _check_heights_where_valid(heights: NDArray[np.float32], valid: NDArray[np.bool_]) -> None:
    """Raise unless exactly the valid cells hold a finite height; row by row, so that little memory is taken."""
    step = max(1, _BLOCK_CELLS // heights.shape[1])
    for first in range(0, heights.shape[0], step):
        rows = slice(first, first + step)
        wrong = np.isfinite(heights[rows]) != valid[rows]
        if wrong.any():
            row, column = np.argwhere(wrong)[0]
            cell = f"row {first + row}, column {column}"
            height = heights[first + row, column]
            message = f"terrain has {'void' if np.isfinite(height) else 'valid'} cells with height {height} ({cell})"
            raise TerrainError(message)


def mask_sentinels(heights: NDArray[np.floating], *, metres_per_unit: float = 1.0) -> NDArray[np.bool_]:
    """Tell heights from markers that stand for "no data".

    Parameters
    ----------
    heights : ndarray of float
        Heights as stored.
    metres_per_unit : float
        Length of the unit the heights are stored in [m].

    Returns
    -------
    ndarray of bool
        True where the value can be a height; false for NaN, infinity, the usual markers
        (−9999, −32767, −32768) and whatever lies below −12 000 m or above 9 000 m.

    Examples
    --------
    >>> mask_sentinels(np.array([-430.0, 0.0, -9999.0, -3.4e38, np.nan]))
    array([ True,  True, False, False, False])
    """
    with np.errstate(invalid="ignore"):
        valid = (heights >= _LOWEST_M / metres_per_unit) & (heights <= _HIGHEST_M / metres_per_unit)
    for marker in _MARKERS:
        valid &= heights != marker
    return valid


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
