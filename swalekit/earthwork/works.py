"""A swale's works as the kernels take them, and the cells that they may touch."""

from dataclasses import dataclass, replace
from typing import NamedTuple, Self

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from swalekit.contours.line import LevelLine
from swalekit.grid import Grid
from swalekit.kernels.earthwork_band import cells_around, cells_of_works
from swalekit.kernels.earthwork_surface import Corner, Ends, Works, finish_points
from swalekit.kernels.section_nodes import CREST_OUTER_EDGE, DOWNHILL_LIP
from swalekit.section.crossing import CrossingWorks, roadways_of
from swalekit.section.returns import BEYOND_PLANE, BermReturns, end_axes, return_bounds_m
from swalekit.section.shape import ShapedSwale
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

Cells = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class LaidWorks:
    """Works of a swale on the cells of a tile.

    Parameters
    ----------
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it.
    sill : tuple of float
        Chainage of the middle of its sill, and its length [m].
    works : Works
        As the kernels take them.
    cells, nearest, legs_off : ndarray of int64, shape (n,)
        Flat indices of the cells that they may touch, the station next to each, and how many legs from there the leg
        next to a point of the cell may lie.
    """

    line: LevelLine
    shape: ShapedSwale
    sill: tuple[float, float]
    works: Works
    cells: Cells
    nearest: Cells
    legs_off: Cells

    def with_shape(self, shape: ShapedSwale) -> Self:
        """Lay another shape on the same line and cells.

        Parameters
        ----------
        shape : ShapedSwale
            Another shape, with a crest that is no higher.

        Returns
        -------
        LaidWorks
            Its works.
        """
        return replace(self, shape=shape, works=_works(self.line, shape, self.sill))


def lay_out_works(
    line: LevelLine, shape: ShapedSwale, sill: tuple[float, float], *, grid: Grid, taken: NDArray[np.bool_]
) -> LaidWorks:
    """Find the cells that a swale's works may touch.

    Parameters
    ----------
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.
    sill : tuple of float
        Chainage of the middle of its sill, and its length [m].
    grid : Grid
        The cells.
    taken : ndarray of bool, shape (rows, columns)
        False everywhere, and again on return.

    Returns
    -------
    LaidWorks
        Works and cells.

    Examples
    --------
    >>> from swalekit.section import Section, Stations
    >>> line = LevelLine(10.0, False, np.array([[4.0, 9.0], [20.0, 9.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> grid = Grid.from_corner((4, 6), cell_m=4.0, west_m=0.0, north_m=16.0)
    >>> lay_out_works(line, shape, (12.0, 4.0), grid=grid, taken=np.zeros((4, 6), bool)).cells.size
    22
    """
    works = _works(line, shape, sill)
    found = np.concatenate([_cells_beside(line, shape, grid, taken), _cells_at_ends(grid, line, shape)])
    cells = cells_near(found, 0, grid=grid, taken=taken)
    centres = np.column_stack(grid.centres(cells // grid.shape[1], cells % grid.shape[1]))
    away_m, nearest = cKDTree(line.xy).query(centres)
    legs_off = np.ceil((2.0 * away_m + 1.5 * grid.cell_m) / line.spacing_m).astype(np.int64) + 1
    touched = cells_of_works(corner_of(grid), grid.shape[1], cells, nearest, legs_off, works)
    return LaidWorks(line, shape, sill, works, cells[touched], nearest[touched], legs_off[touched])


def cells_near(cells: Cells, steps: int, *, grid: Grid, taken: NDArray[np.bool_]) -> Cells:
    """Cells and those up to so many steps round them, each once.

    Parameters
    ----------
    cells : ndarray of int64, shape (n,)
        Flat indices; one may come more than once.
    steps : int
        How far round them, along rows, columns and diagonals [cells].
    grid : Grid
        The cells.
    taken : ndarray of bool, shape (rows, columns)
        False everywhere, and again on return.

    Returns
    -------
    ndarray of int64
        Flat indices, in the order in which they are found.

    Examples
    --------
    >>> grid = Grid.from_corner((3, 3), cell_m=1.0)
    >>> cells_near(np.array([8, 8]), 1, grid=grid, taken=np.zeros((3, 3), bool))
    array([4, 5, 7, 8])
    """
    rows, columns = np.divmod(cells, grid.shape[1])
    return cells_around(rows.astype(np.float64), columns.astype(np.float64), steps, taken)


class FinishedPoints(NamedTuple):
    """What a swale makes of the ground at n points.

    Parameters
    ----------
    heights : ndarray of float64, shape (n,)
        Finished height, NaN where the ground isn't known [m].
    part : ndarray of uint8, shape (n,)
        What stands there, as in `BuiltGround`.
    offset_m : ndarray of float64, shape (n,)
        Distance from the line, positive downhill [m].
    """

    heights: NDArray[np.float64]
    part: NDArray[np.uint8]
    offset_m: NDArray[np.float64]


def finish_ground(
    terrain: Terrain, line: LevelLine, shape: ShapedSwale, xy: NDArray[np.float64], *, sill: tuple[float, float]
) -> FinishedPoints:
    """Finished ground of a swale that stands alone, at any points.

    Parameters
    ----------
    terrain : Terrain
        Natural ground.
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.
    xy : ndarray of float64, shape (n, 2)
        The points [m].
    sill : tuple of float
        Chainage of the middle of its sill, and its length [m].

    Returns
    -------
    FinishedPoints
        Heights, parts and distances from the line.

    Examples
    --------
    >>> swale = design.swales[0]
    >>> sill = (swale.sill.chainage_m, swale.sill.length_m)
    >>> there = finish_ground(terrain, swale.line, swale.sized.shape, swale.line.xy, sill=sill)
    >>> bool(np.allclose(there.heights, swale.sized.shape.floor_level_m))
    True
    """
    away_m, nearest = cKDTree(line.xy).query(xy)
    legs_off = np.ceil(2.0 * away_m / line.spacing_m).astype(np.int64) + 1
    x, y = np.ascontiguousarray(xy.T)
    part, offset_m = np.empty(len(xy), np.uint8), np.empty(len(xy))
    ground_m = sample_heights(terrain, x, y)
    heights = finish_points(ground_m, x, y, nearest, legs_off, _works(line, shape, sill), part, offset_m)
    return FinishedPoints(heights, part, offset_m)


def corner_of(grid: Grid) -> Corner:
    """Where the cells of a grid lie, as the kernels take it.

    Parameters
    ----------
    grid : Grid
        The cells.

    Returns
    -------
    Corner
        West and north edge, and the side of a cell [m].

    Examples
    --------
    >>> corner_of(Grid.from_corner((4, 6), cell_m=4.0, west_m=0.0, north_m=16.0))
    Corner(west=0.0, north=16.0, cell=4.0)
    """
    return Corner(grid.bounds[0], grid.bounds[3], grid.cell_m)


def _offset_range_m(shape: ShapedSwale) -> tuple[float, float]:
    """Farthest uphill (negative) and downhill distance from the line at which earth is moved."""
    x, _ = shape.nodes
    return BEYOND_PLANE * float(x.min()), BEYOND_PLANE * float(x.max())


def _cells_beside(line: LevelLine, shape: ShapedSwale, grid: Grid, taken: NDArray[np.bool_]) -> Cells:
    """Flat indices of the cells where a line's ditch and berm may lie."""
    rows, columns = grid.rows_columns(line.xy[:, 0], line.xy[:, 1])
    farthest_m = max(map(abs, _offset_range_m(shape))) + line.spacing_m / 2.0
    beside = cells_around(rows, columns, int(np.ceil(farthest_m / grid.cell_m)) + 1, taken)
    crossed = [_cells_crossed(line, works, grid, taken) for works in shape.crossings]
    return np.concatenate([beside, *crossed]) if crossed else beside


def _cells_crossed(line: LevelLine, works: CrossingWorks, grid: Grid, taken: NDArray[np.bool_]) -> Cells:
    """Flat indices of the cells where a crossing may move earth."""
    ways, place = works.ways, works.place
    farthest_m = max(-float(ways.least[0]), float(ways.greatest[0]), line.spacing_m)
    along_m = place.chainage_m + np.linspace(-1.0, 1.0, 9) * works.half_length_m * BEYOND_PLANE
    rows, columns = grid.rows_columns(*line.at(line.xy.T, along_m))
    return cells_around(rows, columns, int(np.ceil(farthest_m / grid.cell_m)) + 1, taken)


def _cells_at_ends(grid: Grid, line: LevelLine, shape: ShapedSwale) -> Cells:
    """Flat indices of the cells where a line's returns may lie."""
    found = [np.empty(0, np.int64)]
    for end, axes in enumerate(end_axes(line)):
        beyond, downhill = np.transpose(return_bounds_m(shape.returns, end))
        corners = np.array([[along, across] for along in beyond for across in downhill])
        rows, columns = grid.rows_columns(*(line.xy[-end] + corners @ axes).T)
        row = np.arange(max(np.floor(rows.min()), 0), min(np.ceil(rows.max()) + 1, grid.shape[0]), dtype=np.int64)
        column = np.arange(
            max(np.floor(columns.min()), 0), min(np.ceil(columns.max()) + 1, grid.shape[1]), dtype=np.int64
        )
        found.append((row[:, np.newaxis] * grid.shape[1] + column).ravel())
    return np.concatenate(found)


def _works(line: LevelLine, shape: ShapedSwale, sill: tuple[float, float]) -> Works:
    """Ditch, berm and returns as the kernel takes them."""
    stations, section, (x, _) = shape.stations, shape.section, shape.nodes
    toe, (uphill_m, downhill_m) = x[DOWNHILL_LIP] + section.bench_m, _offset_range_m(shape)
    return Works(
        xy=line.xy,
        floor=stations.ground_m - shape.station_depth_m,
        toe=toe,
        toe_level=stations.ground_m - stations.slope * toe,
        crest_edge=x[CREST_OUTER_EDGE],
        chainage=line.chainage_m,
        closed=line.closed,
        length=line.length_m,
        half_floor=section.bottom_width_m / 2.0,
        ditch_uphill=section.uphill_side_slope,
        ditch_downhill=section.downhill_side_slope,
        berm_uphill=section.berm_uphill_side_slope,
        berm_downhill=section.berm_downhill_side_slope,
        crest=shape.crest_level_m,
        sill=shape.sill_level_m,
        sill_at=sill[0],
        sill_length=sill[1],
        farthest_up=uphill_m,
        farthest_down=downhill_m,
        ends=_ends(line, shape.returns),
        ways=roadways_of(shape.crossings),
    )


def _ends(line: LevelLine, returns: BermReturns) -> Ends:
    """Returns as the kernel takes them."""
    axes = end_axes(line)
    bounds = np.reshape([return_bounds_m(returns, end) for end in range(len(axes))], (-1, 2, 2))
    place = line.xy[[0, -1]][: len(axes)]
    corners = (returns.inner_corner_m, returns.outer_corner_m, bounds[:, 0], bounds[:, 1])
    return Ends(place, np.array(axes, order="C"), *(np.array(corner, order="C") for corner in corners))
