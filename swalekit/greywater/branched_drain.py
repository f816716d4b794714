"""A branched drain: greywater split by halves to basins of mulch, each with a tree."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.tables.load import named_row

Values = NDArray[np.float64]


def drain_practice(name: str) -> float:
    """A number of the table of branched drains.

    Parameters
    ----------
    name : str
        Name of the number, such as ``largest basin``.

    Returns
    -------
    float
        The number, in the unit of the table.

    Raises
    ------
    InputError
        If there is no such number; the nearest name is offered.

    Examples
    --------
    >>> drain_practice("most basins")
    16.0
    """
    return named_row("branched_drain", practice=name).value


@one_line("loading_mm_d", "area_m2", "count", "basin_m2")
@dataclass(frozen=True)
class BasinNeed:
    """How many basins a flow asks for, and how large.

    Parameters
    ----------
    flow_m3_d : float
        Water a day [m³/d].
    loading_mm_d : float
        Water that a square metre of soil takes in a day [mm/d].
    count : int
        Basins, a power of two.
    """

    flow_m3_d: float
    loading_mm_d: float
    count: int

    @property
    def area_m2(self) -> float:
        """Ground of all basins [m²]: flow over loading."""
        return 1000.0 * self.flow_m3_d / self.loading_mm_d

    @property
    def basin_m2(self) -> float:
        """Ground of one [m²]."""
        return self.area_m2 / self.count


def basin_need(flow_m3_d: float, texture: str, intake_mm_h: float | None, *, most: int | None = None) -> BasinNeed:
    """Basins for a flow on a soil.

    Parameters
    ----------
    flow_m3_d : float
        Greywater a day [m³/d].
    texture : str
        USDA texture.
    intake_mm_h : float or None
        Intake of the soil for design [mm/h]; the code's loading alone counts when None.
    most : int, optional
        Basins that can be reached; the table's greatest number when not given.

    Returns
    -------
    BasinNeed
        The least power of two of basins that are no larger than usual; no more than can be reached.

    Raises
    ------
    InputError
        If there is no such texture, the flow isn't positive, or no basin can be reached.

    Notes
    -----
    The loading is that of the code's soil class, or a day of the soil's intake where that is less.

    Examples
    --------
    >>> need = basin_need(0.4, "sandy loam", 10.9)
    >>> need.count, round(need.area_m2, 2), round(need.basin_m2, 2)
    (2, 3.93, 1.96)
    """
    check_positive(flow_m3_d=flow_m3_d)
    loading = named_row("greywater_loading", texture=texture).value
    if intake_mm_h is not None:
        check_positive(intake_mm_h=intake_mm_h)
        loading = min(loading, 24.0 * intake_mm_h)
    reached = int(drain_practice("most basins")) if most is None else min(most, int(drain_practice("most basins")))
    if reached < 1:
        message = "no basin can be reached; give one tree at least that lies below the outlet"
        raise InputError(message)
    wanted = max(2, math.ceil(1000.0 * flow_m3_d / loading / drain_practice("largest basin")))
    count = 2 ** min(math.ceil(math.log2(wanted)), int(math.log2(reached)))
    return BasinNeed(flow_m3_d, loading, count)


@one_line("count", "length_m", "basin_m2", "deepest_m")
@dataclass(frozen=True, eq=False)
class BranchedDrain(Frozen):
    """A tree of equal splits.

    Parameters
    ----------
    need : BasinNeed
        Flow, loading, number and size of the basins.
    basins_m : ndarray of float64, shape (n, 2)
        Middles of the basins [m].
    ground_m, arrival_m : ndarray of float64, shape (n,)
        Level of the ground at each, and at which its pipe ends [m].
    legs_m : ndarray of float64, shape (k, 2, 2)
        Pipes to the first split, from split to split and to the basins: both ends of each [m].
    """

    need: BasinNeed
    basins_m: Values
    ground_m: Values
    arrival_m: Values
    legs_m: Values

    @property
    def count(self) -> int:
        """Number of basins."""
        return len(self.basins_m)

    @property
    def basin_m2(self) -> float:
        """Ground of one basin [m²]."""
        return self.need.basin_m2

    @property
    def radius_m(self) -> float:
        """Radius of a round basin [m]."""
        return math.sqrt(self.basin_m2 / math.pi)

    @property
    def length_m(self) -> float:
        """Length of all its pipes [m]."""
        return float(np.hypot(*(self.legs_m[:, 1] - self.legs_m[:, 0]).T).sum())

    @property
    def splits(self) -> int:
        """Fittings that halve the flow."""
        return self.count - 1

    @property
    def litres_each(self) -> float:
        """Water of one basin a day [L]."""
        return 1000.0 * self.need.flow_m3_d / self.count

    @property
    def deepest_m(self) -> float:
        """Greatest depth of a pipe's end below the ground [m]."""
        return float((self.ground_m - self.arrival_m).max())


def basin_outlines(drain: BranchedDrain) -> list[shapely.Polygon]:
    """Basins as rounds about their trees.

    Parameters
    ----------
    drain : BranchedDrain
        The drain.

    Returns
    -------
    list of shapely Polygon
        One a basin.

    Examples
    --------
    >>> place, ground_m = np.array([[5.0, 0.0]]), np.array([8.0])
    >>> drain = branched_drain(BasinNeed(0.1, 50.0, 1), (0, 0), 9.0, place, ground_m, grade=0.02)
    >>> round(basin_outlines(drain)[0].area, 1)
    2.0
    """
    return [shapely.Point(xy).buffer(drain.radius_m, quad_segs=16) for xy in drain.basins_m]


def branched_drain(
    need: BasinNeed,
    start_xy: tuple[float, float],
    start_level_m: float,
    basins_m: Values,
    ground_m: Values,
    *,
    grade: float,
) -> BranchedDrain:
    """Lay a pipe to the first split and on to the basins, halving them by their place at each split.

    Parameters
    ----------
    need : BasinNeed
        How many basins, and their flow.
    start_xy, start_level_m : tuple of float, float
        Place and level from which the drain starts [m].
    basins_m : ndarray of float64, shape (n, 2)
        Middles of the basins [m].
    ground_m : ndarray of float64, shape (n,)
        Level of the ground there [m].
    grade : float
        Least fall of the pipes [m/m].

    Returns
    -------
    BranchedDrain
        Each split lies half-way from the one before, the first from the start, to the middle of what it serves. A pipe
        falls by the grade, and to just below the ground of its basin where that lies lower.

    Raises
    ------
    InputError
        If the basins aren't as many as needed, or the shapes differ.

    Examples
    --------
    >>> places = np.array([[10.0, -6.0], [10.0, -2.0], [10.0, 2.0], [10.0, 6.0]])
    >>> drain = branched_drain(BasinNeed(0.4, 50.0, 4), (0.0, 0.0), 100.0, places, np.full(4, 99.0), grade=0.02)
    >>> drain.splits, len(drain.legs_m), drain.litres_each, drain.arrival_m.round(2).tolist()
    (3, 7, 100.0, [98.9, 98.9, 98.9, 98.9])
    """
    basins, ground = np.asarray(basins_m, np.float64).reshape(-1, 2), np.asarray(ground_m, np.float64)
    check_same_shape(basins=basins[:, 0], ground_m=ground)
    check_not_negative(grade=grade)
    if len(basins) != need.count:
        message = f"{need.count} basins are needed and {len(basins)} places given; give one each"
        raise InputError(message)
    arrival, legs, split, split_m = np.empty(len(basins)), [], np.array(start_xy, np.float64), start_level_m
    if len(basins) > 1:
        middle = 0.5 * (split + basins.mean(axis=0))
        split_m -= grade * float(np.hypot(*(middle - split)))
        legs.append(np.array([split, middle]))
        split = middle
    for which, leg, level_m in _legs(np.arange(len(basins)), basins, split, split_m, grade):
        legs.append(leg)
        if which.size == 1:
            arrival[which[0]] = min(level_m, ground[which[0]] - drain_practice("outlet depth"))
    return BranchedDrain(need, basins, ground, arrival, np.array(legs).reshape(-1, 2, 2))


def _legs(
    which: NDArray[np.intp], basins: Values, split: Values, level_m: float, grade: float
) -> Iterator[tuple[NDArray[np.intp], Values, float]]:
    """Pipes of a split: what each serves, its ends, and the level at which it arrives."""
    if which.size == 1:
        halves = [which]
    else:
        around = basins[which] - basins[which].mean(axis=0)
        along = np.linalg.svd(around, full_matrices=False)[2][0]
        order = which[np.argsort(np.round(around @ along, 6), kind="stable")]
        halves = [order[: which.size // 2], order[which.size // 2 :]]
    for half in halves:
        end = basins[half[0]] if half.size == 1 else 0.5 * (split + basins[half].mean(axis=0))
        arrives_m = level_m - grade * float(np.hypot(*(end - split)))
        yield half, np.array([split, end]), arrives_m
        if half.size > 1:
            yield from _legs(half, basins, end, arrives_m, grade)
