"""Where a reed bed may stand: candidates between house and garden, ranked by the ground that their water serves."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_not_negative, check_ordered, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.greywater.pipe_route import pipe_lengths_m, pipe_levels_m
from swalekit.greywater.served_ground import outlet_cell
from swalekit.kernels.gravity_reach import commanded_counts
from swalekit.tables.load import named_row
from swalekit.terrain.slope import slope
from swalekit.terrain.terrain import Terrain

_APART_M = 5.0
"""Distance between the places that are tried."""
_OPEN_SHARE = 0.01
"""What ground of the site that isn't planted counts beside planted ground: our choice."""
_MOST_OPEN_CELLS = 20_000
_AS_GOOD = 0.98
"""Of places whose water serves this share of the most that any does, the one with the shortest pipe is taken."""
_HIGHER_M = 0.5
"""How much higher an outlet is thought to be, to tell what that would gain."""


@one_line("level_m")
@dataclass(frozen=True)
class HouseOutlet:
    """Where greywater leaves the house.

    Parameters
    ----------
    xy : tuple of float
        Place [m].
    level_m : float
        Level of the pipe's invert [m].
    name : str
        What the designer calls it; '' where there is one alone.
    flow_m3_d : float
        Water that leaves there a day [m³/d].

    Raises
    ------
    InputError
        If nothing leaves there.
    """

    xy: tuple[float, float]
    level_m: float
    name: str = ""
    flow_m3_d: float = 1.0

    def __post_init__(self) -> None:
        check_positive(flow_m3_d=self.flow_m3_d)


@dataclass(frozen=True)
class PlaceRules:
    """What a place for the bed must keep to.

    Parameters
    ----------
    grade : float
        Fall of the pipes; the table's 0.02 when not given [m/m].
    outlet_depth_m : float
        Bed's outlet below the ground it is built into [m].
    least_distance_m, greatest_distance_m : float
        From the house's outlet [m].
    greatest_slope : float
        Steepest ground to build the bed on [m/m].

    Raises
    ------
    InputError
        If a value lies outside its range.
    """

    grade: float = named_row("greywater_practice", practice="pipe grade").value
    outlet_depth_m: float = 0.4
    least_distance_m: float = 5.0
    greatest_distance_m: float = 150.0
    greatest_slope: float = 0.15

    def __post_init__(self) -> None:
        check_between(0.001, 0.2, grade=self.grade)
        check_not_negative(outlet_depth_m=self.outlet_depth_m, least_distance_m=self.least_distance_m)
        check_ordered("least_distance_m", self.least_distance_m, "greatest_distance_m", self.greatest_distance_m)
        check_positive(greatest_slope=self.greatest_slope)


class BedPlace(NamedTuple):
    """A place for the bed.

    Parameters
    ----------
    xy : tuple of float
        Its middle [m].
    ground_m, outlet_level_m : float
        Level of the ground, and at which water leaves the bed [m].
    distance_m : float
        From the house's outlet, straight [m].
    commanded_m2 : float
        Planted ground that it serves by gravity [m²].
    pipe_m : float
        Shortest pipe on the ground from the farthest outlet that is led there [m].
    led : tuple of int
        Outlets whose water comes down to it, by their place in the list.
    """

    xy: tuple[float, float]
    ground_m: float
    outlet_level_m: float
    distance_m: float
    commanded_m2: float
    pipe_m: float
    led: tuple[int, ...]


@one_line("outlet.name", "commanded_m2", "gain_m2")
@dataclass(frozen=True)
class OutletReach:
    """What one outlet reaches alone.

    Parameters
    ----------
    outlet : HouseOutlet
        The outlet.
    xy : tuple of float or None
        The place that its water comes down to and that serves most; None where it comes down to none [m].
    ground_m : float or None
        Level of the ground there [m].
    commanded_m2 : float
        Planted ground that a bed or basin there serves by gravity [m²].
    gain_m2 : float
        What the same outlet half a metre higher would serve more [m²].
    """

    outlet: HouseOutlet
    xy: tuple[float, float] | None
    ground_m: float | None
    commanded_m2: float
    gain_m2: float


@one_line("places", "reason")
@dataclass(frozen=True)
class BedPlaces:
    """Places, the one whose water serves most first; none where gravity serves nothing.

    Parameters
    ----------
    places : tuple of BedPlace
        Ranked.
    reason : str
        Why there is none, '' if there is one.
    reaches : tuple of OutletReach
        What each outlet reaches alone, in the order given; none where no ground may be built on.
    """

    places: tuple[BedPlace, ...]
    reason: str = ""
    reaches: tuple[OutletReach, ...] = ()


@dataclass(frozen=True, eq=False)
class _Tried(Frozen):
    """Places that are tried: where, how high, how far by pipe from each outlet, and what they serve."""

    x: NDArray[np.float64]
    y: NDArray[np.float64]
    ground: NDArray[np.float64]
    distance: NDArray[np.float64]
    pipe: NDArray[np.float64]
    planted_m2: NDArray[np.float64]
    weight: NDArray[np.float64]


def bed_places(
    terrain: Terrain,
    outlets: Sequence[HouseOutlet],
    *,
    garden: NDArray[np.bool_],
    open_ground: NDArray[np.bool_] | None = None,
    allowed: NDArray[np.bool_] | None = None,
    passable: NDArray[np.bool_] | None = None,
    rules: PlaceRules | None = None,
    most: int = 5,
) -> BedPlaces:
    """Rank places for the bed, and say which outlets to lead there.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    outlets : sequence of HouseOutlet
        Where the water comes from, one or more.
    garden : ndarray of bool, shape (rows, columns)
        Planted ground that is to be served; not the ditches that take storm water.
    open_ground : ndarray of bool, shape (rows, columns), optional
        Ground that may be planted yet, which counts a hundredth.
    allowed : ndarray of bool, shape (rows, columns), optional
        Ground on which the bed may stand: not the house, keep-outs, watercourses, ditches.
    passable : ndarray of bool, shape (rows, columns), optional
        Ground that a pipe may cross.
    rules : PlaceRules, optional
        What a place must keep to.
    most : int
        How many places to give.

    Returns
    -------
    BedPlaces
        Ranked by the ground that they serve times the water that comes down to them; of those nearly as good as the
        best the one with the shortest pipe stands first. Each lies below the pipes led there, at their grade along a
        way on which they lie in the ground or no more than 0.3 m above it.

    Raises
    ------
    InputError
        If there is no outlet, one lies off the tile, or shapes differ.

    Notes
    -----
    Candidates are cells of an even lattice, 5 m apart. A higher place serves more ground and fewer outlets come down to
    it: ground × flow weighs one against the other. Ways go from cell to cell, and so count up to 8 % more than straight
    ones do.

    Examples
    --------
    Ground that falls 10 % eastward, with the house in the west and a garden in the east:

    >>> from swalekit.grid import Grid
    >>> grid = Grid.from_corner((20, 40), cell_m=1.0, west_m=0.0, north_m=20.0)
    >>> terrain = Terrain.from_heights(np.tile(10.0 - 0.1 * np.arange(40.0), (20, 1)), grid)
    >>> garden = np.zeros((20, 40), np.bool_)
    >>> garden[:, 30:] = True
    >>> best = bed_places(terrain, [HouseOutlet((5.0, 10.0), 9.3)], garden=garden).places[0]
    >>> best.commanded_m2, best.ground_m < 9.3, best.led
    (200.0, True, (0,))
    """
    kept = rules or PlaceRules()
    if not outlets:
        message = "no outlet of the house is given; give one at least"
        raise InputError(message)
    mask = terrain.valid if allowed is None else terrain.valid & allowed
    still_open = np.zeros_like(garden) if open_ground is None else open_ground
    check_same_shape(heights=terrain.heights, garden=garden, allowed=mask, open_ground=still_open)
    for outlet in outlets:
        outlet_cell(terrain, outlet.xy)
    if not garden.any():
        return BedPlaces((), "nothing is planted, so there is no ground to serve")
    row, column, distance = _around(terrain, outlets, mask, kept)
    if not row.size:
        return BedPlaces((), _none_allowed(kept))
    cells, within_m = (row, column), kept.greatest_distance_m
    ways = {
        outlet.xy: pipe_lengths_m(terrain, outlet.xy, cells, within_m=within_m, allowed=passable) for outlet in outlets
    }
    pipe = np.array([ways[outlet.xy] for outlet in outlets])
    tried = _tried(terrain, row, column, distance, pipe, garden, still_open & ~garden, kept)

    def comes_down(outlet: HouseOutlet, higher_m: float = 0.0) -> NDArray[np.bool_]:
        """Places that its pipe comes down to."""
        level_m = outlet.level_m + higher_m
        comes_m = pipe_levels_m(
            terrain, outlet.xy, level_m, cells, grade=kept.grade, within_m=within_m, allowed=passable
        )
        return np.asarray(tried.ground <= comes_m)

    comes = np.array([comes_down(outlet) for outlet in outlets])
    reaches = tuple(_reach(outlet, tried, comes[k], comes_down(outlet, _HIGHER_M)) for k, outlet in enumerate(outlets))
    if not comes.any():
        return BedPlaces((), _too_high(max(outlets, key=lambda outlet: outlet.level_m), tried.ground, kept), reaches)
    if not tried.planted_m2[comes.any(axis=0)].any():
        reason = "no planted ground lies below any place for the bed: pump, or give lower ground"
        return BedPlaces((), reason, reaches)
    return BedPlaces(tuple(_ranked(tried, outlets, comes, kept)[:most]), "", reaches)


def _tried(
    terrain: Terrain,
    row: NDArray[np.intp],
    column: NDArray[np.intp],
    distance: NDArray[np.float64],
    pipe: NDArray[np.float64],
    garden: NDArray[np.bool_],
    still_open: NDArray[np.bool_],
    rules: PlaceRules,
) -> _Tried:
    """Places with the ground that each serves."""
    ground = terrain.heights[row, column].astype(np.float64)
    x, y = terrain.grid.centres(row, column)
    level, cell_m2 = ground - rules.outlet_depth_m, terrain.grid.cell_area_m2
    planted = np.asarray(commanded_counts(*_cells(terrain, garden, 1), x, y, level, rules.grade) * cell_m2, np.float64)
    step = max(1, int(np.ceil(np.sqrt(np.count_nonzero(still_open) / _MOST_OPEN_CELLS))))
    unplanted = commanded_counts(*_cells(terrain, still_open, step), x, y, level, rules.grade) * cell_m2 * step**2
    return _Tried(x, y, ground, distance, pipe, planted, planted + _OPEN_SHARE * unplanted)


def _ranked(
    tried: _Tried, outlets: Sequence[HouseOutlet], comes: NDArray[np.bool_], rules: PlaceRules
) -> list[BedPlace]:
    """Places that serve planted ground, the best first."""
    flow = np.array([outlet.flow_m3_d for outlet in outlets])
    score = (flow @ comes) * tried.weight
    score[tried.planted_m2 == 0.0] = 0.0
    pipe = np.where(comes, tried.pipe, 0.0).max(axis=0)
    order = np.lexsort((tried.x, tried.y, pipe, -score))
    good = [k for k in order.tolist() if score[k] >= _AS_GOOD * score[order[0]]]
    first = min(good, key=lambda k: (pipe[k], -score[k]))
    return [
        BedPlace(
            (float(tried.x[k]), float(tried.y[k])),
            float(tried.ground[k]),
            float(tried.ground[k] - rules.outlet_depth_m),
            float(tried.distance[k]),
            float(tried.planted_m2[k]),
            float(pipe[k]),
            tuple(np.flatnonzero(comes[:, k]).tolist()),
        )
        for k in (first, *(k for k in order.tolist() if k != first))
        if score[k] > 0.0
    ]


def _reach(
    outlet: HouseOutlet, tried: _Tried, comes: NDArray[np.bool_], comes_higher: NDArray[np.bool_]
) -> OutletReach:
    """The best place of one outlet alone, and what it would gain by standing higher."""
    higher_m2 = float(tried.planted_m2[comes_higher].max(initial=0.0))
    if not comes.any():
        return OutletReach(outlet, None, None, 0.0, higher_m2)
    best = int(np.lexsort((tried.weight, np.where(comes, tried.planted_m2, -1.0)))[-1])
    served_m2 = float(tried.planted_m2[best])
    xy = float(tried.x[best]), float(tried.y[best])
    return OutletReach(outlet, xy, float(tried.ground[best]), served_m2, max(higher_m2 - served_m2, 0.0))


def _around(
    terrain: Terrain, outlets: Sequence[HouseOutlet], mask: NDArray[np.bool_], rules: PlaceRules
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """Lattice cells that may be built on, with their distance from the nearest outlet."""
    step = max(1, round(_APART_M / terrain.grid.cell_m))
    lattice = np.zeros(terrain.grid.shape, np.bool_)
    lattice[step // 2 :: step, step // 2 :: step] = True
    gentle = slope(terrain) <= rules.greatest_slope
    row, column = np.nonzero(lattice & mask & gentle)
    x, y = terrain.grid.centres(row, column)
    distance = np.min([np.hypot(x - outlet.xy[0], y - outlet.xy[1]) for outlet in outlets], axis=0)
    near = (distance >= rules.least_distance_m) & (distance <= rules.greatest_distance_m)
    return row[near], column[near], distance[near]


def _cells(
    terrain: Terrain, marked: NDArray[np.bool_], step: int
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float32]]:
    """Position and height of marked ground, of every so many rows and columns."""
    row, column = np.nonzero((marked & terrain.valid)[::step, ::step])
    row, column = row * step, column * step
    return *terrain.grid.centres(row, column), terrain.heights[row, column]


def _none_allowed(rules: PlaceRules) -> str:
    return (
        f"no ground {rules.least_distance_m:g} to {rules.greatest_distance_m:g} m from the house may be built on: "
        f"all is kept out or steeper than {rules.greatest_slope:.0%}; widen the search"
    )


def _too_high(house: HouseOutlet, ground: NDArray[np.float64], rules: PlaceRules) -> str:
    where = (
        f"lies below all of it, the lowest being {ground.min():.2f} m"
        if not ground.size or ground.min() > house.level_m
        else f"is too low for a pipe that falls {rules.grade:.1%} to reach any of it"
    )
    return (
        f"nothing can be served by gravity: the house's outlet at {house.level_m:.2f} m {where}, "
        f"within {rules.greatest_distance_m:g} m; pump, raise the outlet or take ground farther down"
    )
