"""The lines of one level on trial, what they hold and get; and the search for the level whose lines are just full."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import chain
from math import ceil, floor, inf
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.contours.barrier import barrier_labels
from swalekit.contours.lay import lay_lines
from swalekit.contours.line import LevelLine, RefusedLine
from swalekit.design.brief.line_rules import line_rules_of
from swalekit.design.brief.settings import section_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.apart import fit_for_works
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.kept_clear import kept_clear
from swalekit.flow.catchments import first_met
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.cascade import local_runoff_m3, pass_down
from swalekit.section.footprint import strip_cells
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.stations import Stations, pond_reach_m
from swalekit.section.uneven_ground import soil_ratio, soil_short

_AS_BUILT = 1.02
"""What comes to works as built over what comes to them here, where cells are coarse for returns: our choice."""


@dataclass(frozen=True, eq=False)
class LevelTrial(Frozen):
    """Lines on one level, all dug to one depth.

    Parameters
    ----------
    level_m : float
        The level [m].
    lines : tuple of LevelLine
        n lines that can be dug there.
    storage_m3, need_m3 : ndarray of float64, shape (n,)
        What each holds, and what the design storm brings it [m³].
    strips : tuple of ndarray of int64
        Cells on which the works of each catch water below the line, flat indices.
    """

    level_m: float
    lines: tuple[LevelLine, ...]
    storage_m3: NDArray[np.float64]
    need_m3: NDArray[np.float64]
    strips: tuple[NDArray[np.int64], ...] = ()

    @property
    def fullness(self) -> float:
        """Share of the level's storage that the storm fills, above 1 where it can't hold all; 0 without a line [-]."""
        need, storage = float(self.need_m3.sum()), float(self.storage_m3.sum())
        return need / storage if storage > 0 else (inf if need > 0 else 0.0)


def lines_at(
    site: Site, ground: Ground, area: BaseGeometry, levels_m: ArrayLike
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Lay the lines of given levels by the rules of the brief.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    area : shapely polygon or multipolygon
        Where lines may run.
    levels_m : array_like, shape (n,)
        The levels, from the top down [m].

    Returns
    -------
    lines : tuple of LevelLine
        From the top of the site downward.
    refused : tuple of RefusedLine
        Stretches that were not laid.

    Examples
    --------
    >>> lines, refused = lines_at(site, ground, ground.area, [108.0])
    >>> [line.level_m for line in lines]
    [108.0]
    """
    return lay_lines(
        ground.terrain,
        levels_m,
        area=area,
        keep_outs=kept_clear(site, ground),
        blocked=ground.watercourses,
        ponds=ground.ponds,
        rules=line_rules_of(site, ground.terrain),
    )


def try_level(
    site: Site,
    ground: Ground,
    area: BaseGeometry,
    level_m: float,
    *,
    depth_m: float,
    above: tuple[LevelTrial, ...] = (),
) -> LevelTrial:
    """Lay, shape and fill the lines of a level below lines that stand already.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    area : shapely polygon or multipolygon
        Where lines may run.
    level_m : float
        The level [m].
    depth_m : float
        Dig depth of every line [m].
    above : tuple of LevelTrial
        Levels that stand above it and hold all that reaches them.

    Returns
    -------
    LevelTrial
        The lines that can be dug, what they hold, and what they get from ground that no line above drains, with what
        the hollows on it can't keep.

    Examples
    --------
    >>> trial = try_level(site, ground, ground.area, 108.0, depth_m=0.5)
    >>> len(trial.lines), trial.fullness > 0.0
    (1, True)
    """
    section, fill_factor, grid = section_of(site), site.brief.soil.fill_factor, ground.terrain.grid
    laid, _ = lines_at(site, ground, area, [level_m])
    lines, _ = fit_for_works(site, ground, laid, depth_m=depth_m)
    if not lines:
        return LevelTrial(level_m, (), np.zeros(0), np.zeros(0))
    upper = tuple(chain.from_iterable(trial.lines for trial in above))
    strips = (*chain.from_iterable(trial.strips for trial in above), *(np.empty(0, np.int64) for _ in lines))
    every = (*upper, *lines)
    labels = first_met(ground.network, barrier_labels(grid, every, strips), n_stops=len(every))
    shapes = []
    for number, line in enumerate(lines, start=len(upper) + 1):
        stations = Stations.of_line(line, pond_reach_m(line, labels, number, grid))
        shape = shape_swale(stations, depth_m, section, fill_factor=fill_factor)
        if not site.brief.soil.bring_soil:
            factor = fill_factor / soil_short(soil_ratio(ground.terrain, line, shape))
            shape = shape_swale(stations, depth_m, section, fill_factor=factor)
        shapes.append(shape)
    own = tuple(strip_cells(grid, line, shape) for line, shape in zip(lines, shapes, strict=True))
    for number, cells in enumerate(own, start=len(upper) + 1):
        labels.ravel()[cells[ground.terrain.valid.ravel()[cells]]] = number
    need = _received_m3(site, ground, labels, shapes, n_above=len(upper))
    return LevelTrial(level_m, lines, np.array([shape.storage_m3 for shape in shapes]), need, own)


def _received_m3(
    site: Site, ground: Ground, labels: NDArray[np.int32], shapes: list[ShapedSwale], *, n_above: int
) -> NDArray[np.float64]:
    """What the design storm brings to the lines of a level, with what hollows between can't keep [m³]."""
    n_lines, hollow_m3 = n_above + len(shapes), ground.network.hollows.volume_m3
    strips = np.zeros(n_lines + hollow_m3.size)
    strips[n_above:n_lines] = [shape.catch_m2 for shape in shapes]
    stores = ground.stores(labels, ground.downstream(labels, np.zeros(n_lines, np.int32)))
    local = local_runoff_m3(replace(stores, strip_area_m2=strips), storm_of(site).depth_mm, ground.soil)
    capacity = np.concatenate([np.zeros(n_lines), hollow_m3])
    return _AS_BUILT * pass_down(stores, local, capacity).received_m3[n_above:n_lines]


LEAST_FULLNESS = 0.98
"""A level is just full when the storm fills this share of its storage, or more, and no more than all of it."""

_LEAST_USE = 0.5
"""A level that can't be just full is laid if it is at least half full."""

_STEP_M = 0.01
_AIM = (1.0 + LEAST_FULLNESS) / 2.0


class _Bound(NamedTuple):
    """A level in whole centimetres, and how full it is."""

    place: int
    fullness: float


def just_full_level(
    fill: Callable[[float], LevelTrial], above_m: float, lowest_m: float, *, guess_m: float, least_m: float
) -> LevelTrial | None:
    """The level below another that is just full, or the next best.

    Parameters
    ----------
    fill : callable
        The trial of a level [m], which is given in whole centimetres.
    above_m, lowest_m : float
        The level, or highest ground, above and the lowest ground [m].
    guess_m, least_m : float
        Vertical interval to begin with, and the least one, both above zero [m].

    Returns
    -------
    LevelTrial or None
        A level that is just full; else the fullest tried that holds, if it is half full; else the first tried that is
        short; None where the ground ends before.

    Notes
    -----
    It is sought between an upper level that holds and a lower one that is short, or where the ground ends, until they
    are a centimetre apart, or a lower level is less full than one that is half full. A jump to where no line can be
    laid says nothing of the ground between: that is gone through in quarters of the first interval.

    Examples
    --------
    Lines that are the fuller the farther below 10 m they lie, just full at 8 m:
    >>> def fill(level_m: float) -> LevelTrial:
    ...     return LevelTrial(level_m, layout.lines[:1], np.array([2.0]), np.array([10.0 - level_m]))
    >>> just_full_level(fill, 10.0, 0.0, guess_m=1.0, least_m=0.5).level_m
    8.01
    """
    upper, lower = _Bound(floor((above_m - least_m) / _STEP_M), 0.0), _Bound(ceil(lowest_m / _STEP_M), inf)
    place, quarter = floor((above_m - guess_m) / _STEP_M), ceil(0.25 * guess_m / _STEP_M)
    trials: list[LevelTrial] = []
    while upper.place - lower.place > 1:
        if not lower.place < place < upper.place:
            place = (lower.place + upper.place) // 2
        trial = fill(round(place * _STEP_M, 2))
        trials.append(trial)
        just_full = LEAST_FULLNESS <= trial.fullness <= 1.0
        less_full = bool(trial.lines) and trial.fullness < upper.fullness and upper.fullness >= _LEAST_USE
        if just_full or less_full:
            break
        blank = not trial.lines and lower.fullness == inf
        if trial.fullness > 1.0:
            lower = _Bound(place, trial.fullness)
        elif not blank or upper.place - place <= quarter:
            upper = _Bound(place, trial.fullness)
        place = upper.place - quarter if blank else _next_place(upper, lower, above_m / _STEP_M, turn=len(trials))
    return _best(trials)


def _best(trials: list[LevelTrial]) -> LevelTrial | None:
    """The fullest that holds, if it is half full; else the first that is short, the nearest to the guess."""
    fit = [trial for trial in trials if _LEAST_USE <= trial.fullness <= 1.0]
    short = [trial for trial in trials if trial.fullness > 1.0]
    return max(fit, key=lambda trial: trial.fullness) if fit else next(iter(short), None)


def _next_place(upper: _Bound, lower: _Bound, above: float, *, turn: int) -> int:
    """Where the fullness should come right; every other time the middle, so that the search ends."""
    if lower.fullness == inf:
        return floor(above - (above - upper.place) * min(_AIM / max(upper.fullness, 0.1), 2.0)) - 1
    share = 0.5 if turn % 2 == 0 else (_AIM - upper.fullness) / (lower.fullness - upper.fullness)
    return round(upper.place - share * (upper.place - lower.place))
