"""Where a reed bed may stand: candidates between house and garden, ranked by the ground they command."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_not_negative, check_ordered, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.greywater.served_ground import outlet_cell
from swalekit.kernels.gravity_reach import commanded_counts
from swalekit.tables.load import named_row
from swalekit.terrain.slope import slope
from swalekit.terrain.terrain import Terrain

_APART_M = 10.0
"""Distance between the places that are tried."""


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
    """

    xy: tuple[float, float]
    level_m: float


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
        Ground that it serves by gravity [m²].
    """

    xy: tuple[float, float]
    ground_m: float
    outlet_level_m: float
    distance_m: float
    commanded_m2: float


@one_line("places", "reason")
@dataclass(frozen=True)
class BedPlaces:
    """Places, the one that commands most first; none where gravity serves nothing.

    Parameters
    ----------
    places : tuple of BedPlace
        Ranked.
    reason : str
        Why there is none, '' if there is one.
    """

    places: tuple[BedPlace, ...]
    reason: str = ""


def bed_places(
    terrain: Terrain,
    house: HouseOutlet,
    *,
    garden: NDArray[np.bool_],
    allowed: NDArray[np.bool_] | None = None,
    rules: PlaceRules | None = None,
    enough_m2: float = np.inf,
    most: int = 5,
) -> BedPlaces:
    """Rank places for the bed.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    house : HouseOutlet
        Where the water comes from.
    garden : ndarray of bool, shape (rows, columns)
        Ground that is to be served; not the ditches that take storm water.
    allowed : ndarray of bool, shape (rows, columns), optional
        Ground on which the bed may stand: not the house, keep-outs, watercourses, ditches.
    rules : PlaceRules, optional
        What a place must keep to.
    enough_m2 : float
        Garden that the water can meet: a place that commands more is no better than a nearer one that commands it [m²].
    most : int
        How many places to give.

    Returns
    -------
    BedPlaces
        Ranked by the garden they command, up to what is enough, then by nearness to the house; each lies below the pipe
        from the house at its grade.

    Raises
    ------
    InputError
        If the house lies off the tile or shapes differ.

    Notes
    -----
    Candidates are cells of an even lattice. The higher a bed stands the more it commands, so that the best ones are as
    near the house as slope and clearances allow.

    Examples
    --------
    Ground that falls 10 % eastward, with the house in the west and a garden in the east:

    >>> from swalekit.grid import Grid
    >>> grid = Grid.from_corner((20, 40), cell_m=1.0, west_m=0.0, north_m=20.0)
    >>> terrain = Terrain.from_heights(np.tile(10.0 - 0.1 * np.arange(40.0), (20, 1)), grid)
    >>> garden = np.zeros((20, 40), np.bool_)
    >>> garden[:, 30:] = True
    >>> best = bed_places(terrain, HouseOutlet((5.0, 10.0), 9.3), garden=garden).places[0]
    >>> best.commanded_m2, best.ground_m < 9.3
    (200.0, True)
    """
    kept = rules or PlaceRules()
    mask = terrain.valid if allowed is None else terrain.valid & allowed
    check_same_shape(heights=terrain.heights, garden=garden, allowed=mask)
    outlet_cell(terrain, house.xy)
    row, column, distance = _around(terrain, house, mask, kept)
    if not row.size:
        return BedPlaces((), _none_allowed(kept))
    ground = terrain.heights[row, column].astype(np.float64)
    low = ground <= house.level_m - kept.grade * distance
    if not low.any():
        return BedPlaces((), _too_high(house, ground, kept))
    row, column, distance, ground = row[low], column[low], distance[low], ground[low]
    level = ground - kept.outlet_depth_m
    x, y = terrain.grid.centres(row, column)
    counts = commanded_counts(*_garden_cells(terrain, garden), x, y, level, kept.grade)
    if not counts.any():
        if not garden.any():
            return BedPlaces((), "nothing is planted, so there is no ground to serve")
        return BedPlaces((), "no planted ground lies below any place for the bed: pump, or give lower ground")
    area = counts * terrain.grid.cell_area_m2
    order = np.lexsort((column, row, distance, -np.minimum(area, enough_m2)))[:most]
    return BedPlaces(
        tuple(
            BedPlace((float(x[k]), float(y[k])), float(ground[k]), float(level[k]), float(distance[k]), float(area[k]))
            for k in order
            if counts[k]
        )
    )


def _around(
    terrain: Terrain, house: HouseOutlet, mask: NDArray[np.bool_], rules: PlaceRules
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """Lattice cells that may be built on, with their distance from the house."""
    step = max(1, round(_APART_M / terrain.grid.cell_m))
    lattice = np.zeros(terrain.grid.shape, np.bool_)
    lattice[step // 2 :: step, step // 2 :: step] = True
    gentle = slope(terrain) <= rules.greatest_slope
    row, column = np.nonzero(lattice & mask & gentle)
    x, y = terrain.grid.centres(row, column)
    distance = np.hypot(x - house.xy[0], y - house.xy[1])
    near = (distance >= rules.least_distance_m) & (distance <= rules.greatest_distance_m)
    return row[near], column[near], distance[near]


def _garden_cells(
    terrain: Terrain, garden: NDArray[np.bool_]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float32]]:
    """Position and height of the ground to be served."""
    row, column = np.nonzero(garden & terrain.valid)
    return *terrain.grid.centres(row, column), terrain.heights[row, column]


def _none_allowed(rules: PlaceRules) -> str:
    return (
        f"no ground {rules.least_distance_m:g} to {rules.greatest_distance_m:g} m from the house may be built on: "
        f"all is kept out or steeper than {rules.greatest_slope:.0%}; widen the search"
    )


def _too_high(house: HouseOutlet, ground: NDArray[np.float64], rules: PlaceRules) -> str:
    where = (
        f"lies below all of it, the lowest being {ground.min():.2f} m"
        if ground.min() > house.level_m
        else f"is too low for a pipe that falls {rules.grade:.1%} to reach any of it"
    )
    return (
        f"nothing can be served by gravity: the house's outlet at {house.level_m:.2f} m {where}, "
        f"within {rules.greatest_distance_m:g} m; pump, raise the outlet or take ground farther down"
    )
