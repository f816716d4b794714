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
from swalekit.terrain.terrain import Terrain

_DEEPER_COST_PER_M = 4.0
"""What a metre of pipe costs more for each metre that it lies deeper, over a shallow one's cost; common practice."""
_COVER_M = 0.2
"""Least depth of a pipe below the ground, where its fall allows; common practice."""
_LEAST_MARGIN_M = 30.0
_HAIR_M = 1e-6


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
        Level at which its end must lie, or higher: the cheapest way that brings it there, or else the shortest [m].
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
    if arrive_m is None or route.invert_m[-1] >= arrive_m - _HAIR_M:
        return route
    return laid(_cheapest(np.where(cost < 0.0, -1.0, 1.0), local))


def pipe_lengths_m(
    terrain: Terrain, xy: tuple[float, float], *, within_m: float, allowed: NDArray[np.bool_] | None = None
) -> NDArray[np.float64]:
    """Length of the shortest pipe on the ground from a place to each cell around it.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    xy : tuple of float
        Where the pipe begins [m]; it may lie on ground that isn't allowed, such as a house.
    within_m : float
        Distance up to which it is followed, east, west, north and south [m].
    allowed : ndarray of bool, shape (rows, columns), optional
        Ground that it may cross.

    Returns
    -------
    ndarray of float64, shape (rows, columns)
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
    >>> pipe_lengths_m(terrain, (1.0, 5.0), within_m=50.0, allowed=wall).round(1)[0].tolist()
    [0.0, inf, 9.7, 10.5]
    """
    open_ground = terrain.valid if allowed is None else terrain.valid & allowed
    check_same_shape(heights=terrain.heights, allowed=open_ground)
    check_positive(within_m=within_m)
    start = [round(place) for place in outlet_cell(terrain, xy)]
    reach = int(np.ceil(within_m / terrain.grid.cell_m)) + 1
    start = [min(max(place, 0), size - 1) for place, size in zip(start, terrain.grid.shape, strict=True)]
    rows, columns = (slice(max(place - reach, 0), place + reach + 1) for place in start)
    cost = np.where(open_ground[rows, columns], 1.0, -1.0)
    local = start[0] - rows.start, start[1] - columns.start
    cost[local] = 1.0
    lengths, _ = MCP_Geometric(cost, fully_connected=True).find_costs([local])
    whole = np.full(terrain.grid.shape, np.inf)
    whole[rows, columns] = terrain.grid.cell_m * lengths
    return whole


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
