"""What the cells of a tile and the error of their heights can carry, found on a sample of them."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.slope import gradient
from swalekit.terrain.terrain import Terrain
from swalekit.units import METRES_PER

SLOPE_CELL_M = 3.0
"""Slope is judged on ground averaged to about this cell, so that roughness does not count as slope: our choice."""

_SLOPE_CELLS, _STEP_CELLS = 2**22, 2**18
"""Cells looked at for the slope and for the step of the heights, at most about so many."""
_LEAST_SIDE = 128
"""Cells along the side of a sampled square, at least."""
_LEAST_AVERAGED = 16
"""Averaged cells along the side of a sampled square, at least."""

_STEPS_M = (1.0, 0.5, METRES_PER["us-ft"], METRES_PER["ft"])
"""Steps that heights are looked through for: whole and half metres, whole feet; heights rounded finer are ordinary."""
_IN_STEPS = 0.95
"""Share of heights that must be multiples of a step: our choice, since filled voids and seams need not be."""
_OFF_STEP_M = 0.002
"""A height so far from a multiple is none; above what single precision loses, below what surveys are rounded to."""

Window = tuple[slice, slice]


@one_line("cell_m", "height_step_m", "median_slope", "vertical_sigma_m")
@dataclass(frozen=True)
class Fitness:
    """What a tile can carry.

    Parameters
    ----------
    cell_m : float
        Side of a cell [m].
    height_step_m : float
        Step that the heights come in, as of whole metres [m]; 0 where there is none worth telling.
    median_slope : float
        Median slope of the ground that was asked for [m/m].
    vertical_sigma_m : float
        Standard error of a height [m].
    """

    cell_m: float
    height_step_m: float
    median_slope: float
    vertical_sigma_m: float

    @property
    def place_error_m(self) -> float:
        """Standard error of a level line's place, σ_z / median slope [m]; infinite on level ground."""
        return self.vertical_sigma_m / self.median_slope if self.median_slope > 0 else math.inf

    def spacing_m(self, interval_m: float) -> float:
        """Horizontal distance between levels on the median slope.

        Parameters
        ----------
        interval_m : float
            Vertical distance between them [m].

        Returns
        -------
        float
            Interval / median slope [m]; infinite on level ground.

        Examples
        --------
        >>> Fitness(1.0, 0.0, 0.1, 0.05).spacing_m(2.0)
        20.0
        """
        return interval_m / self.median_slope if self.median_slope > 0 else math.inf


def fitness(
    terrain: Terrain, area: BaseGeometry | None = None, *, least_slope: float = 0.0, greatest_slope: float = math.inf
) -> Fitness:
    """What the cells of a tile and the error of their heights can carry.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    area : shapely geometry, optional
        The site, in the terrain's CRS; the whole tile when not given.
    least_slope, greatest_slope : float
        Ground that lines may lie on [m/m]: the median is that of the slopes between, of all where none lies between.

    Returns
    -------
    Fitness
        Cell, step, median slope and error. On a site without a sampled cell of ground the slope is 0.

    Notes
    -----
    Up to about four million cells are looked at, in squares spread evenly over the site, so that a large tile takes no
    longer and is not copied. Slope is by `gradient` on ground averaged to about 3 m, or on the cells where they are
    wider: wide cells smooth the ground, and the slope found on them is on the low side.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(30.0)[::-1], np.ones(40))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((30, 40), cell_m=1.0), vertical_sigma_m=0.2)
    >>> found = fitness(terrain)
    >>> found
    Fitness(cell 1 m, height step 0 m, median slope 0.1, vertical sigma 0.2 m)
    >>> round(found.place_error_m, 3)
    2.0
    """
    slopes = np.concatenate([np.zeros(0, np.float32), *_slopes_sampled(terrain, area)])
    workable = slopes[(slopes >= least_slope) & (slopes <= greatest_slope)]
    counted = workable if workable.size else slopes
    return Fitness(
        terrain.grid.cell_m,
        terrain.height_step_m or height_step_m(terrain.heights),
        float(np.median(counted.astype(np.float64))) if counted.size else 0.0,
        terrain.vertical_sigma_m,
    )


def height_step_m(heights: NDArray[np.float32]) -> float:
    """Step that heights come in.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights as they were before they were resampled [m]; NaN where void.

    Returns
    -------
    float
        1, 0.5 or the length of a foot where at least 95 % of the sampled heights are whole multiples of it [m]; else 0.

    Notes
    -----
    Heights that rise by one and the same amount from cell to cell are those of an even plane: they tell of no step.

    Examples
    --------
    >>> ground = np.hypot(*np.mgrid[0:40.0, 0:40.0]).astype(np.float32)
    >>> height_step_m(np.rint(ground)), height_step_m(ground)
    (1.0, 0.0)
    """
    rows, columns = heights.shape
    windows = _windows(slice(0, rows), slice(0, columns), side=_LEAST_SIDE, most_cells=_STEP_CELLS)
    squares = [heights[window] for window in windows]
    found = np.concatenate([square[np.isfinite(square)] for square in squares]).astype(np.float64)
    if not found.size or not _uneven(squares):
        return 0.0
    return next((step for step in _STEPS_M if _share_in_steps(found, step) >= _IN_STEPS), 0.0)


def height_step_words(step_m: float) -> str:
    """A step of heights in the unit that it is whole in.

    Parameters
    ----------
    step_m : float
        The step [m].

    Returns
    -------
    str
        As "1 m" or "1 ft".

    Examples
    --------
    >>> height_step_words(0.5), height_step_words(0.3048)
    ('0.5 m', '1 ft')
    """
    return "1 ft" if step_m in (METRES_PER["us-ft"], METRES_PER["ft"]) else f"{step_m:g} m"


def _share_in_steps(heights: NDArray[np.float64], step_m: float) -> float:
    off_m = np.abs(heights - step_m * np.rint(heights / step_m))
    return float(np.mean(off_m <= _OFF_STEP_M))


def _uneven(squares: list[NDArray[np.float32]]) -> bool:
    """Whether the rise from cell to cell differs along the rows, or along the columns."""
    for axis in (0, 1):
        rises = [np.abs(np.diff(square, axis=axis)) for square in squares]
        rises = [rise[np.isfinite(rise)] for rise in rises]
        given = [rise for rise in rises if rise.size]
        if given and max(rise.max() for rise in given) - min(rise.min() for rise in given) > _OFF_STEP_M:
            return True
    return False


def _slopes_sampled(terrain: Terrain, area: BaseGeometry | None) -> Iterator[NDArray[np.float32]]:
    """Slopes of the site's sampled ground; of the squares that hold them where none has its middle in the site."""
    grid = terrain.grid
    rows, columns = (slice(0, cells) for cells in grid.shape)
    if area is not None:
        west, south, east, north = area.bounds
        (top, bottom), (left, right) = grid.rows_columns([west, east], [north, south])
        rows, columns = _part(top, bottom, grid.shape[0]), _part(left, right, grid.shape[1])
        shapely.prepare(area)
    factor = max(1, round(SLOPE_CELL_M / grid.cell_m))
    found = partial(_slopes_of, terrain, factor=factor)
    side = max(_LEAST_SIDE, _LEAST_AVERAGED * factor)
    windows = list(_windows(rows, columns, side=side, most_cells=_SLOPE_CELLS))
    within = [found(window, area) for window in windows]
    yield from within if any(slopes.size for slopes in within) else (found(window, None) for window in windows)


def _slopes_of(terrain: Terrain, window: Window, area: BaseGeometry | None, *, factor: int) -> NDArray[np.float32]:
    rows, columns = window
    averaged = block_mean(terrain.heights[rows, columns], factor)
    steepness = np.hypot(*gradient(averaged, factor * terrain.grid.cell_m))
    counted = np.isfinite(steepness)
    if area is not None:
        row, column = (factor * (place + 0.5) - 0.5 for place in np.mgrid[: averaged.shape[0], : averaged.shape[1]])
        x, y = terrain.grid.centres(rows.start + row, columns.start + column)
        counted &= shapely.contains_xy(area, x, y)
    slopes: NDArray[np.float32] = steepness[counted]
    return slopes


def _part(first: float, last: float, length: int) -> slice:
    """Cells from one fractional place to another, at least two of them."""
    start = min(max(0, math.floor(first)), max(0, length - 2))
    return slice(start, max(min(math.ceil(last) + 1, length), min(start + 2, length)))


def _windows(rows: slice, columns: slice, *, side: int, most_cells: int) -> Iterator[Window]:
    """Squares spread evenly over a part of a grid; the whole part where it is small."""
    height, width = rows.stop - rows.start, columns.stop - columns.start
    if height * width <= most_cells:
        yield rows, columns
        return
    along = max(2, math.isqrt(most_cells // side**2))
    for top in _spread(rows, side, along):
        for left in _spread(columns, side, along):
            yield slice(top, min(top + side, rows.stop)), slice(left, min(left + side, columns.stop))


def _spread(part: slice, side: int, count: int) -> list[int]:
    """First cells of squares along one side, without overlap."""
    room = part.stop - part.start
    count = min(count, max(1, room // side))
    first = part.start + (np.arange(count) + 0.5) * room / count - side / 2.0
    return [max(part.start, int(place)) for place in first]
