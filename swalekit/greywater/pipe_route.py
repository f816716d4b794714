"""The way of a pipe from one place to another."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from skimage.graph import MCP_Geometric, route_through_array

from swalekit._checks import check_finite, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.contours.polyline import chainages
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.greywater.served_ground import outlet_cell
from swalekit.kernels.gravity_reach import arrival_levels
from swalekit.terrain.terrain import Terrain

_DEEPER_COST_PER_M = 4.0
"""What a metre of pipe costs more for each metre that it lies deeper, over a shallow one's cost; common practice."""
_COVER_M = 0.2
"""Least depth of a pipe below the ground, where its fall allows; common practice."""
_LEAST_MARGIN_M = 30.0
_HAIR_M = 1e-6
_ABOVE_M = 0.3
"""How far above the ground a pipe may lie, on a low bank or on blocks: our choice."""
_WALL_M = 3.0
"""Distance from its beginning within which it may come down a wall or stand on posts: our choice."""


@one_line("length_m", "deepest_m")
@dataclass(frozen=True, eq=False)
class PipeRoute(Frozen):
    """A pipe's way.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        Easting and northing of its vertices, downstream [m].
    ground_m, invert_m : ndarray of float64, shape (n,)
        Levels of the ground, and of the pipe [m].
    """

    xy: NDArray[np.float64]
    ground_m: NDArray[np.float64]
    invert_m: NDArray[np.float64]

    @property
    def length_m(self) -> float:
        """Length [m]."""
        return float(chainages(self.xy)[-1])

    @property
    def deepest_m(self) -> float:
        """Greatest depth of the trench [m]."""
        return float(np.max(self.ground_m - self.invert_m))

    @property
    def highest_m(self) -> float:
        """Greatest height above the ground farther than 3 m from its beginning, negative where it lies in it [m]."""
        far = np.hypot(*(self.xy - self.xy[0]).T) > _WALL_M
        return float(np.max((self.invert_m - self.ground_m)[far], initial=-np.inf))

    @property
    def above_m(self) -> float:
        """Length of pipe that lies above the ground, or in it without its cover [m]."""
        shallow = (self.ground_m - self.invert_m < _COVER_M - _HAIR_M)[1:]
        return float(np.diff(chainages(self.xy))[shallow].sum())


def pipe_route(
    terrain: Terrain,
    start_xy: tuple[float, float],
    end_xy: tuple[float, float],
    *,
    start_level_m: float,
    grade: float,
    arrive_m: float | None = None,
    allowed: NDArray[np.bool_] | None = None,
) -> PipeRoute:
    """Cheapest way of a pipe that falls all along.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    start_xy, end_xy : tuple of float
        Where it begins and ends [m].
    start_level_m : float
        Level at which it begins [m].
    grade : float
        Least fall [m/m].
    arrive_m : float, optional
        Level at which its end must lie, or higher: the cheapest way that brings it there no more than 0.3 m above the
        ground, or else the way that keeps it highest [m].
    allowed : ndarray of bool, shape (rows, columns), optional
        Ground that it may cross.

    Returns
    -------
    PipeRoute
        From cell to cell; the pipe falls by the grade at least, and steeper where the ground does. It goes no lower
        than it must lie to arrive: from an outlet above the ground it comes along a wall or on posts at first.

    Raises
    ------
    InputError
        If an end lies off the tile or on ground it may not cross, or there is no way.

    Notes
    -----
    A metre costs 1, and 4 more for each metre that the ground stands above a pipe falling straight from the start; a
    trench over a rise is so traded for a way round it. Sought within the ends' distance around them.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> ground = np.tile(np.linspace(20.0, 16.0, 9), (5, 1))
    >>> terrain = Terrain.from_heights(ground, Grid.from_corner((5, 9), cell_m=2.0, west_m=0.0, north_m=10.0))
    >>> route = pipe_route(terrain, (1.0, 5.0), (17.0, 5.0), start_level_m=19.8, grade=0.02)
    >>> route.length_m, round(route.deepest_m, 2), round(float(route.invert_m[-1]), 2)
    (16.0, 0.2, 15.8)
    """
    check_finite(start_level_m=start_level_m)
    check_positive(grade=grade)
    open_ground = terrain.valid if allowed is None else terrain.valid & allowed
    check_same_shape(heights=terrain.heights, allowed=open_ground)
    ends = [tuple(round(place) for place in outlet_cell(terrain, xy)) for xy in (start_xy, end_xy)]
    window = _window(terrain, ends)
    corner = (window[0].start, window[1].start)
    local = [(row - corner[0], column - corner[1]) for row, column in ends]
    cost = _cost(terrain, window, local[0], start_level_m=start_level_m, grade=grade)
    cost[~open_ground[window]] = -1.0

    def laid(path: NDArray[np.intp]) -> PipeRoute:
        row, column = path[:, 0] + corner[0], path[:, 1] + corner[1]
        xy = np.column_stack(terrain.grid.centres(row, column))
        ground = terrain.heights[row, column].astype(np.float64)
        inverts = _inverts(xy, ground, start_level_m=start_level_m, grade=grade, arrive_m=arrive_m)
        return PipeRoute(xy, ground, inverts)

    route = laid(_cheapest(cost, local))
    if arrive_m is None or (route.invert_m[-1] >= arrive_m - _HAIR_M and route.highest_m <= _ABOVE_M + _HAIR_M):
        return route
    _, before = _levels(terrain, window, local[0], open_ground, level_m=start_level_m, grade=grade)
    return laid(_way_back(before, local, cost.shape[1]))


def _levels(
    terrain: Terrain,
    window: tuple[slice, slice],
    start: tuple[int, int],
    open_ground: NDArray[np.bool_],
    *,
    level_m: float,
    grade: float,
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Highest level at which the pipe comes to each cell of a window, and the cell before each."""
    ground = terrain.heights[window].astype(np.float64)
    passable = np.array(open_ground[window])
    return arrival_levels(
        np.where(np.isfinite(ground), ground, -np.inf), passable, *start, level_m, grade, terrain.grid.cell_m,
        _ABOVE_M, _WALL_M,
    )  # fmt: skip


def _way_back(before: NDArray[np.int64], ends: list[tuple[int, int]], columns: int) -> NDArray[np.intp]:
    """Cells from the first end to the other, each the one that comes before the next."""
    here = ends[1][0] * columns + ends[1][1]
    cells = [here]
    while before[here] >= 0:
        here = int(before[here])
        cells.append(here)
    if here != ends[0][0] * columns + ends[0][1]:
        message = "there is no way for the pipe between its ends: what may not be crossed closes it off; move an end"
        raise InputError(message)
    return np.column_stack(np.divmod(np.array(cells[::-1]), columns)).astype(np.intp)


def pipe_levels_m(
    terrain: Terrain,
    xy: tuple[float, float],
    level_m: float,
    cells: tuple[NDArray[np.intp], NDArray[np.intp]],
    *,
    grade: float,
    within_m: float,
    allowed: NDArray[np.bool_] | None = None,
) -> NDArray[np.float64]:
    """Highest level at which a pipe along the ground comes to some cells.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    xy : tuple of float
        Where the pipe begins [m].
    level_m : float
        Its level there [m]; above the ground it comes down a wall, or stands on posts, within 3 m.
    cells : tuple of ndarray of int, shape (k,)
        Rows and columns of the cells.
    grade : float
        Fall of the pipe [m/m].
    within_m : float
        Distance up to which it is followed, east, west, north and south [m].
    allowed : ndarray of bool, shape (rows, columns), optional
        Ground that it may cross.

    Returns
    -------
    ndarray of float64, shape (k,)
        Level: by the way that keeps it highest, on which it lies in the ground or no more than 0.3 m above it [m]; -inf
        where none leads.

    Raises
    ------
    InputError
        If the place lies off the tile or shapes differ.

    Examples
    --------
    A pipe comes to a knoll only round the dip before it:

    >>> from swalekit.grid import Grid
    >>> heights = np.array([[9.0, 9.0, 9.0, 9.0, 9.0], [9.0, 7.0, 7.0, 7.0, 8.8]])
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((2, 5), cell_m=5.0, west_m=0.0, north_m=10.0))
    >>> at = (np.array([1, 1]), np.array([3, 4]))
    >>> pipe_levels_m(terrain, (2.5, 2.5), 9.2, at, grade=0.02, within_m=50.0).round(2).tolist()
    [7.3, 8.72]
    """
    open_ground = terrain.valid if allowed is None else terrain.valid & allowed
    check_same_shape(heights=terrain.heights, allowed=open_ground)
    check_positive(within_m=within_m, grade=grade)
    window, start = _square_around(terrain, xy, within_m)
    levels, _ = _levels(terrain, window, start, open_ground, level_m=level_m, grade=grade)
    return _at_cells(levels, window, cells, -np.inf)


def pipe_lengths_m(
    terrain: Terrain,
    xy: tuple[float, float],
    cells: tuple[NDArray[np.intp], NDArray[np.intp]],
    *,
    within_m: float,
    allowed: NDArray[np.bool_] | None = None,
) -> NDArray[np.float64]:
    """Length of the shortest pipe on the ground from a place to some cells around it.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    xy : tuple of float
        Where the pipe begins [m]; it may lie on ground that isn't allowed, such as a house.
    cells : tuple of ndarray of int, shape (k,)
        Rows and columns of the cells.
    within_m : float
        Distance up to which it is followed, east, west, north and south [m].
    allowed : ndarray of bool, shape (rows, columns), optional
        Ground that it may cross.

    Returns
    -------
    ndarray of float64, shape (k,)
        Length in plan from cell to cell, infinite where none leads [m].

    Raises
    ------
    InputError
        If the place lies off the tile or shapes differ.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> terrain = Terrain.from_heights(np.zeros((3, 4)), Grid.from_corner((3, 4), cell_m=2.0, west_m=0.0, north_m=6.0))
    >>> wall = np.ones((3, 4), np.bool_)
    >>> wall[:2, 1] = False
    >>> top = (np.zeros(4, np.intp), np.arange(4))
    >>> pipe_lengths_m(terrain, (1.0, 5.0), top, within_m=50.0, allowed=wall).round(1).tolist()
    [0.0, inf, 9.7, 10.5]
    """
    open_ground = terrain.valid if allowed is None else terrain.valid & allowed
    check_same_shape(heights=terrain.heights, allowed=open_ground)
    check_positive(within_m=within_m)
    window, start = _square_around(terrain, xy, within_m)
    cost = np.where(open_ground[window], 1.0, -1.0)
    cost[start] = 1.0
    lengths, _ = MCP_Geometric(cost, fully_connected=True).find_costs([start])
    return terrain.grid.cell_m * _at_cells(lengths, window, cells, np.inf)


def _square_around(
    terrain: Terrain, xy: tuple[float, float], within_m: float
) -> tuple[tuple[slice, slice], tuple[int, int]]:
    """Part of the tile around a place, and the place in it."""
    sizes, reach = terrain.grid.shape, int(np.ceil(within_m / terrain.grid.cell_m)) + 1
    row, column = (
        min(max(round(place), 0), size - 1) for place, size in zip(outlet_cell(terrain, xy), sizes, strict=True)
    )
    rows, columns = (slice(max(place - reach, 0), place + reach + 1) for place in (row, column))
    return (rows, columns), (row - rows.start, column - columns.start)


def _at_cells(
    values: NDArray[np.float64],
    window: tuple[slice, slice],
    cells: tuple[NDArray[np.intp], NDArray[np.intp]],
    beyond: float,
) -> NDArray[np.float64]:
    """Values of a window at cells of the tile, and what is taken beyond it."""
    row, column = cells[0] - window[0].start, cells[1] - window[1].start
    inside = (row >= 0) & (column >= 0) & (row < values.shape[0]) & (column < values.shape[1])
    found = np.full(row.shape, beyond)
    found[inside] = values[row[inside], column[inside]]
    return found


def _window(terrain: Terrain, ends: list[tuple[int, ...]]) -> tuple[slice, slice]:
    """Part of the tile around both ends."""
    cells = np.array(ends)
    span = float(np.hypot(*(cells[1] - cells[0])))
    margin = int(np.ceil(max(span, _LEAST_MARGIN_M / terrain.grid.cell_m)))
    low, high = np.maximum(cells.min(axis=0) - margin, 0), cells.max(axis=0) + margin + 1
    return slice(int(low[0]), int(high[0])), slice(int(low[1]), int(high[1]))


def _cost(
    terrain: Terrain, window: tuple[slice, slice], start: tuple[int, int], *, start_level_m: float, grade: float
) -> NDArray[np.float64]:
    """What a metre of pipe costs in each cell of the window."""
    ground = terrain.heights[window].astype(np.float64)
    row, column = np.ogrid[: ground.shape[0], : ground.shape[1]]
    distance = terrain.grid.cell_m * np.hypot(row - start[0], column - start[1])
    above = np.maximum(ground - (start_level_m - grade * distance), 0.0)
    return np.asarray(1.0 + _DEEPER_COST_PER_M * np.nan_to_num(above))


def _cheapest(cost: NDArray[np.float64], ends: list[tuple[int, int]]) -> NDArray[np.intp]:
    """Cells from end to end."""
    for name, cell in zip(("start", "end"), ends, strict=True):
        if cost[cell] < 0.0:
            message = f"the {name} of the pipe lies on ground that it may not cross; move it"
            raise InputError(message)
    try:
        path, _ = route_through_array(cost, ends[0], ends[1], fully_connected=True, geometric=True)
    except ValueError as error:
        message = "there is no way for the pipe between its ends: what may not be crossed closes it off; move an end"
        raise InputError(message) from error
    return np.asarray(path, np.intp)


def _inverts(
    xy: NDArray[np.float64],
    ground: NDArray[np.float64],
    *,
    start_level_m: float,
    grade: float,
    arrive_m: float | None,
) -> NDArray[np.float64]:
    """Levels of a pipe that falls by the grade at least, and lies below its cover where it needn't lie higher."""
    walked = chainages(xy)
    legs = np.diff(walked)
    least = np.full(len(xy), -np.inf) if arrive_m is None else arrive_m + grade * (walked[-1] - walked)
    inverts = np.empty(len(xy))
    inverts[0] = min(start_level_m, max(ground[0], least[0]))
    for place, leg in enumerate(legs, 1):
        inverts[place] = min(inverts[place - 1] - grade * leg, max(ground[place] - _COVER_M, least[place]))
    return inverts
