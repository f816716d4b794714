"""Rows of places over a block of ground, and the plane that the ground of each is nearest to."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.microcatchments.open_ground import OpenGround
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_PHASES = 3
"""Ways, in either direction, in which rows are shifted to find those that hold most units."""
_CELL_SHARE = 0.7
"""Points at which a unit is tried lie closer than cells,"""
_RIM_SHARE = 0.25
"""and closer still along its outline."""
_LEAST_POINTS, _MOST_POINTS = 9, 15
"""Across a unit, where its ground is read."""
_MOST_AT_ONCE = 2_000_000
"""Points tried at a time."""

Values = NDArray[np.float64]
Block = tuple[tuple[slice, slice], NDArray[np.bool_], float]
"""Window, cells and direction of the fall, as `fall_blocks` gives them."""


@dataclass(frozen=True, eq=False)
class Pattern(Frozen):
    """How units repeat, in metres downhill and across (to the right, looking uphill).

    Parameters
    ----------
    row_m, along_m : float
        Distance from row to row, and from unit to unit along a row; every other row is shifted by half of it.
    points : ndarray of float64, shape (m, 2)
        Points spread evenly over what a unit encloses, from its middle.
    rim : ndarray of float64, shape (k, 2)
        Outline of the unit with its bund.
    """

    row_m: float
    along_m: float
    points: Values
    rim: Values

    def tried(self, cell_m: float) -> Values:
        """Points within a unit and along its outline that tell which cells it touches.

        Parameters
        ----------
        cell_m : float
            Side of a cell [m].

        Returns
        -------
        ndarray of float64, shape (m, 2)
            Downhill and across, from the middle of the unit [m].

        Examples
        --------
        >>> square = np.array([[1.0, 0.0], [0.0, -1.0], [-1.0, 0.0], [0.0, 1.0]])
        >>> len(Pattern(1.0, 2.0, np.zeros((1, 2)), square).tried(cell_m=2.0))
        14
        """
        ring = shapely.segmentize(shapely.LinearRing(self.rim), _RIM_SHARE * cell_m)
        low, high = self.rim.min(axis=0), self.rim.max(axis=0)
        count = np.ceil((high - low) / (_CELL_SHARE * cell_m)).astype(int) + 1
        down, across = np.meshgrid(*(np.linspace(*ends) for ends in zip(low, high, count, strict=True)), indexing="ij")
        inside = shapely.contains_xy(shapely.Polygon(self.rim), down, across)
        return np.vstack([np.column_stack([down[inside], across[inside]]), shapely.get_coordinates(ring)])


def spread(width_m: float, cell_m: float) -> Values:
    """Places across a unit at which its ground is read.

    Parameters
    ----------
    width_m, cell_m : float
        Width of the unit and side of a cell [m].

    Returns
    -------
    ndarray of float64
        Middles of equal parts, from the middle of the unit [m].

    Examples
    --------
    >>> spread(9.0, 5.0).tolist()
    [-4.0, -3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0]
    """
    count = int(np.clip(np.ceil(width_m / (_CELL_SHARE * cell_m)), _LEAST_POINTS, _MOST_POINTS)) | 1
    return np.asarray((np.arange(count) + 0.5) / count * width_m - width_m / 2.0)


def axes_of(direction: float) -> Values:
    """Downhill and across as unit vectors.

    Parameters
    ----------
    direction : float
        Of the fall, from east, counter-clockwise [rad].

    Returns
    -------
    ndarray of float64, shape (2, 2)
        Downhill, then to the right, looking uphill.

    Examples
    --------
    >>> axes_of(-np.pi / 2).round().tolist()  # a slope that falls southward
    [[0.0, -1.0], [1.0, 0.0]]
    """
    down = np.array([np.cos(direction), np.sin(direction)])
    return np.array([down, [-down[1], down[0]]])


def place_rows(ground: OpenGround, grid: Grid, block: Block, pattern: Pattern) -> tuple[Values, NDArray[np.int64]]:
    """Middles of the units of a block, in rows that hold most of them.

    Parameters
    ----------
    ground : OpenGround
        Where they may lie.
    grid : Grid
        Cells of the fall that the block was found in.
    block : Block
        The block.
    pattern : Pattern
        How they repeat.

    Returns
    -------
    middles : ndarray of float64, shape (n, 2)
        Row by row from the highest, each from the left, looking uphill [m].
    places : ndarray of int64, shape (n, 2)
        Number of the row, and twice the number along it, of which every other is odd.

    Examples
    --------
    >>> from swalekit.microcatchments.fall import fall_blocks, fall_of
    >>> ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(bool), greatest_slope=0.2)
    >>> fall = fall_of(ground, width_m=10.0)
    >>> (block,) = fall_blocks(fall, fall.slope > 0, turn_rad=0.2, least_m2=25.0)
    >>> square = np.array([[5.0, 0.0], [0.0, -5.0], [-5.0, 0.0], [0.0, 5.0]])
    >>> middles, places = place_rows(ground, fall.grid, block, Pattern(5.0, 10.0, np.zeros((1, 2)), square))
    >>> len(middles) > 150
    True
    """
    axes, (rows, columns), cells = axes_of(block[2]), block[0], block[1]
    x, y = grid.centres(
        rows.start + np.array([0, cells.shape[0] - 1]), columns.start + np.array([0, cells.shape[1] - 1])
    )
    corners = np.array([[east, north] for east in x for north in y])
    origin = corners.mean(axis=0)
    reach = np.abs((corners - origin) @ axes.T).max(axis=0)
    best: tuple[Values, NDArray[np.int64]] = np.empty((0, 2)), np.empty((0, 2), np.int64)
    n_rows, n_along = np.ceil(reach / [pattern.row_m, pattern.along_m]).astype(int) + 1
    row, along = np.meshgrid(np.arange(-n_rows, n_rows + 1), np.arange(-n_along, n_along + 1), indexing="ij")
    places = np.column_stack([row.ravel(), 2 * along.ravel() + row.ravel() % 2])
    steps = places * [pattern.row_m, pattern.along_m / 2.0]
    for shift in np.ndindex(_PHASES, _PHASES):
        middles = origin + (steps + np.array(shift) / _PHASES * [pattern.row_m, pattern.along_m]) @ axes
        fits = _in_block(grid, block, middles)
        fits[fits] = is_open(ground, middles[fits], pattern, axes)
        if np.count_nonzero(fits) > len(best[0]):
            best = middles[fits], places[fits]
    return best


def _in_block(grid: Grid, block: Block, xy: Values) -> NDArray[np.bool_]:
    """Whether points lie on the cells of a block."""
    (rows, columns), cells, _ = block
    row, column = (np.rint(part).astype(np.int64) for part in grid.rows_columns(*xy.T))
    row, column = row - rows.start, column - columns.start
    there = (row >= 0) & (row < cells.shape[0]) & (column >= 0) & (column < cells.shape[1])
    return np.asarray(there & cells[np.where(there, row, 0), np.where(there, column, 0)])


def is_open(ground: OpenGround, middles: Values, pattern: Pattern, axes: Values) -> NDArray[np.bool_]:
    """Whether units at places lie on open ground whole, with their bunds.

    Parameters
    ----------
    ground : OpenGround
        Where they may lie.
    middles : ndarray of float64, shape (n, 2)
        Middles of the units [m].
    pattern : Pattern
        What they cover.
    axes : ndarray of float64, shape (2, 2) or (n, 2, 2)
        Downhill and across as unit vectors; one for all, or one for each.

    Returns
    -------
    ndarray of bool, shape (n,)

    Examples
    --------
    >>> ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(bool), greatest_slope=0.2)
    >>> square = np.array([[5.0, 0.0], [0.0, -5.0], [-5.0, 0.0], [0.0, 5.0]])
    >>> pattern = Pattern(5.0, 10.0, np.zeros((1, 2)), square)
    >>> is_open(ground, np.array([[500020.0, 3999950.0], [500002.0, 3999950.0]]), pattern, axes_of(-np.pi / 2)).tolist()
    [True, False]
    """
    cell_m, axes = ground.terrain.grid.cell_m, np.broadcast_to(axes, (len(middles), 2, 2))
    clear_m = ground.clearance_m(*middles.T)
    open_to_all = clear_m > np.hypot(*pattern.rim.T).max() + 2.0 * cell_m
    doubtful = np.flatnonzero(~open_to_all & (clear_m > 0.0))
    tried = pattern.tried(cell_m)
    for some in np.array_split(doubtful, max(1, len(doubtful) * len(tried) // _MOST_AT_ONCE)):
        at = middles[some, np.newaxis] + tried @ axes[some]
        open_to_all[some] = ground.is_free(at[..., 0], at[..., 1]).all(axis=1)
    left = np.flatnonzero(open_to_all)
    open_to_all[left] = ground.holds(outlines_at(middles[left], pattern.rim @ axes[left]))
    return np.asarray(open_to_all)


def outlines_at(middles: Values, rim: Values) -> NDArray[np.object_]:
    """One outline at many places.

    Parameters
    ----------
    middles : ndarray of float64, shape (n, 2)
        Places [m].
    rim : ndarray of float64, shape (k, 2) or (n, k, 2)
        The outline round the place; one for all, or one for each [m].

    Returns
    -------
    ndarray of shapely polygon, shape (n,)

    Examples
    --------
    >>> triangle = np.array([[0.0, 1.0], [1.0, -1.0], [-1.0, -1.0]])
    >>> [shape.bounds for shape in outlines_at(np.array([[5.0, 5.0]]), triangle)]
    [(4.0, 4.0, 6.0, 6.0)]
    """
    return np.asarray(shapely.polygons(middles[:, np.newaxis] + rim))


@dataclass(frozen=True, eq=False)
class Planes(Frozen):
    """The plane through the ground of each unit.

    Parameters
    ----------
    heights_m : ndarray of float32, shape (n, m)
        The ground at the points of the pattern [m].
    middle_m : ndarray of float64, shape (n,)
        Height of the plane at the middle of the unit [m].
    down, across : ndarray of float64, shape (n,)
        Fall downhill, and to the right, looking uphill [m/m].
    rough_m : ndarray of float64, shape (n,)
        Standard deviation of the ground from the plane [m].
    """

    heights_m: NDArray[np.float32]
    middle_m: Values
    down: Values
    across: Values
    rough_m: Values

    @property
    def slope(self) -> Values:
        """Steepest fall of each [m/m]."""
        return np.hypot(self.down, self.across)

    def level_m(self, points: Values) -> Values:
        """Height of each plane at points of the pattern.

        Parameters
        ----------
        points : ndarray of float64, shape (m, 2)
            Downhill and across, from the middle of the unit [m].

        Returns
        -------
        ndarray of float64, shape (n, m)
            Heights [m].

        Examples
        --------
        >>> none, one, read = np.zeros(1), np.ones(1), np.zeros((1, 1), np.float32)
        >>> Planes(read, 10.0 * one, 0.1 * one, none, none).level_m(np.array([[2.0, 5.0]])).tolist()
        [[9.8]]
        """
        return np.asarray(self.middle_m[:, np.newaxis] - np.column_stack([self.down, self.across]) @ points.T)


def planes_at(terrain: Terrain, middles: Values, points: Values, axes: Values) -> Planes:
    """Fit a plane to the ground of each unit by least squares.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    middles : ndarray of float64, shape (n, 2)
        Middles of the units [m].
    points : ndarray of float64, shape (m, 2)
        Where the ground is read: downhill and across [m].
    axes : ndarray of float64, shape (2, 2) or (n, 2, 2)
        Downhill and across as unit vectors; one for all, or one for each.

    Returns
    -------
    Planes
        NaN where ground is unknown.

    Examples
    --------
    >>> grid = np.array([[x, y] for x in (-2.0, 0.0, 2.0) for y in (-2.0, 0.0, 2.0)])
    >>> found = planes_at(terrain, np.array([[500020.0, 3999950.0]]), grid, axes_of(-np.pi / 2))
    >>> round(float(found.down[0]), 3), round(abs(float(found.across[0])), 3)
    (0.1, 0.0)
    """
    axes = np.broadcast_to(axes, (len(middles), 2, 2))
    wanted = np.column_stack([np.ones(len(points)), -points])
    to_plane = np.linalg.pinv(wanted).T
    heights = np.empty((len(middles), len(points)), np.float32)
    fitted, rough = np.empty((len(middles), 3)), np.empty(len(middles))
    for some in np.array_split(np.arange(len(middles)), max(1, heights.size // _MOST_AT_ONCE)):
        at = middles[some, np.newaxis] + points @ axes[some]
        read = sample_heights(terrain, at[..., 0].ravel(), at[..., 1].ravel()).reshape(at.shape[:2])
        fitted[some] = read @ to_plane
        rough[some] = (read - fitted[some] @ wanted.T).std(axis=1)
        heights[some] = read
    return Planes(heights, fitted[:, 0], fitted[:, 1], fitted[:, 2], rough)
