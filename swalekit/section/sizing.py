"""The least depth at which a swale holds what the storm brings it, and whether it can be built at all."""

import math
from bisect import bisect_left
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import chain

import numpy as np
from scipy.optimize import brentq

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.section.section import DepthRules, Section, SizeLimits
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.stage_storage import stage_storage
from swalekit.section.stations import Stations

GREATEST_BOTTOM_WIDTH_M = 5.0
"""A wider floor is not offered as a cure; common practice."""

NO_LIMITS = SizeLimits()
"""The section's own floor at any depth that is allowed."""


@one_line("shape.depth_m", "shape.top_width_m", "need_m3", "shape.storage_m3", "shape.cut_m3", "short_m3", "cure")
@dataclass(frozen=True, eq=False)
class SizedSwale:
    """A swale sized for its water.

    Parameters
    ----------
    shape : ShapedSwale
        The swale at the depth chosen.
    need_m3 : float
        Water that it should hold [m³].
    short_m3 : float
        Water that it can't hold, zero if it holds all [m³].
    cure : str
        What would hold the rest, in words with figures; empty if nothing is lacking.
    soil_ratio : float
        Soil that its berm takes for what the ditch gives, on the real ground over that on planes [-].
    """

    shape: ShapedSwale
    need_m3: float
    short_m3: float
    cure: str
    soil_ratio: float = 1.0


def size_swale(
    stations: Stations,
    need_m3: Callable[[ShapedSwale], float],
    *,
    section: Section,
    depths: DepthRules,
    fill_factor: float = 0.9,
    limits: SizeLimits = NO_LIMITS,
) -> SizedSwale:
    """Find the cheapest swale on a line that holds what it needs to and keeps all limits.

    Parameters
    ----------
    stations : Stations
        The line.
    need_m3 : callable
        Water to be held by a given shape [m³]: the rain on the strip that it catches depends on it.
    section : Section
        The cross-section.
    depths : DepthRules
        Depths to try.
    fill_factor : float
        Compacted volume per bank volume [-].
    limits : SizeLimits
        What it must keep besides, and how far its floor may be widened for it.

    Returns
    -------
    SizedSwale
        The narrowest floor, and on it the shallowest depth, that hold the need and keep the limits when full; where
        none does, when they hold the need. Where that isn't to be had either, the narrowest that holds; where none
        does, the section's own at the greatest depth, with what is lacking and its cure.

    Raises
    ------
    InputError
        If a side is too flat to meet the ground.

    Notes
    -----
    Storage rises with depth faster than the need does, so the depths are searched by halving. The floors are tried from
    narrow to wide, each no deeper than the one before: for the same storage a wider one has shallower water and a lower
    berm, and never less to dig. At the least depth a wide floor stores more than it must: its water is no deeper than
    what it must hold stands in it.

    Examples
    --------
    >>> import numpy as np
    >>> level = Stations(100.0, np.full(11, 100.0), np.full(11, 0.1), np.full(11, 5.0), np.full(11, 20.0))
    >>> size_swale(level, lambda shape: 40.0, section=Section(), depths=DepthRules()).shape.depth_m
    0.5

    Its water is 0.55 m deep. If it may be 0.4 m at most, the floor is widened:

    >>> shallow = SizeLimits(widest_floor_m=3.0, most_water_m=0.4)
    >>> wide = size_swale(level, lambda shape: 40.0, section=Section(), depths=DepthRules(), limits=shallow).shape
    >>> wide.section.bottom_width_m, wide.depth_m
    (1.4, 0.35)
    """
    trial_depths = depths.depths_m.tolist()

    @cache
    def at(floor_m: float, step: int) -> ShapedSwale:
        return _shaped(stations, trial_depths[step], replace(section, bottom_width_m=floor_m), fill_factor)

    def holds(floor_m: float, step: int) -> bool:
        return _holds(at(floor_m, step), need_m3)

    def wider_than(step: int) -> Iterator[ShapedSwale]:
        """The shallowest that hold on ever wider floors, as far as these fit into the bends of the line."""
        for floor_m in wider:
            try:
                while step > 0 and holds(floor_m, step - 1):
                    step -= 1
                yield at(floor_m, step)
            except InputError:
                return

    own, *wider = limits.floors_m(section.bottom_width_m).tolist()
    step = bisect_left(range(len(trial_depths) - 1), True, key=lambda step: holds(own, step))
    first = at(own, step)
    holding = (shape for shape in chain([first], wider_than(step)) if _holds(shape, need_m3))
    narrowest = next(holding, first)
    tried: list[ShapedSwale] = []
    for shape in chain([narrowest], holding):
        tried.append(shape)
        if _keeps(shape, limits, shape.sill_level_m):
            break
    else:
        shape = next((shape for shape in tried if _keeps(shape, limits, _water_level_m(shape, need_m3))), narrowest)
    need = need_m3(shape)
    short = max(need - shape.storage_m3, 0.0)
    cure = _cure(shape, need_m3, fill_factor) if short > 0 else ""
    return SizedSwale(shape, need, short, cure)


@lru_cache(maxsize=1024)
def _shaped(stations: Stations, depth_m: float, section: Section, fill_factor: float) -> ShapedSwale:
    """A shape by its values: while lines settle, most are sized many times over as they were."""
    return shape_swale(stations, depth_m, section, fill_factor=fill_factor)


def _holds(shape: ShapedSwale, need_m3: Callable[[ShapedSwale], float]) -> bool:
    return shape.storage_m3 >= need_m3(shape)


def _keeps(shape: ShapedSwale, limits: SizeLimits, level_m: float) -> bool:
    """Whether neither the water that stands to a level is too deep nor the berm too high."""
    return level_m - shape.floor_level_m <= limits.most_water_m and shape.berm_height_m <= limits.most_fill_m


def _water_level_m(shape: ShapedSwale, need_m3: Callable[[ShapedSwale], float]) -> float:
    """Level to which what it must hold fills it, at most its sill."""
    held_m3 = min(need_m3(shape), shape.storage_m3)
    return float(stage_storage(shape).level_m_at(held_m3)) if held_m3 > 0.0 else shape.floor_level_m


def _cure(shape: ShapedSwale, need_m3: Callable[[ShapedSwale], float], fill_factor: float) -> str:
    """What would hold the rest."""
    need, storage = need_m3(shape), shape.storage_m3
    cures = [f"a line above that keeps back {need - storage:.0f} m3"]
    if storage > 0:
        cures.insert(0, f"{math.ceil(10.0 * need / storage) / 10.0:g} times the length")

    def lacking_m3(bottom_width_m: float) -> float:
        section = replace(shape.section, bottom_width_m=bottom_width_m)
        wider = shape_swale(shape.stations, shape.depth_m, section, fill_factor=fill_factor)
        return need_m3(wider) - wider.storage_m3

    narrowest = shape.section.bottom_width_m
    if narrowest < GREATEST_BOTTOM_WIDTH_M and lacking_m3(GREATEST_BOTTOM_WIDTH_M) <= 0:
        width = float(brentq(lacking_m3, narrowest, GREATEST_BOTTOM_WIDTH_M, xtol=0.001))
        cures.insert(0, f"a bottom {math.ceil(10.0 * width) / 10.0:g} m wide")
    return f"at {shape.depth_m:.2f} m depth: " + ", or ".join(cures)


def section_fault(line: LevelLine, section: Section, *, depth_m: float, fill_factor: float) -> str:
    """Why a section can't be built along a line at a dig depth, '' if it can.

    Parameters
    ----------
    line : LevelLine
        The line.
    section : Section
        The cross-section.
    depth_m : float
        Dig depth [m], best the greatest allowed: it gives the most spoil and the highest berm.
    fill_factor : float
        Compacted volume per bank volume [-].

    Returns
    -------
    str
        A side too flat to meet steep ground; no room for the berm inside a tight bend; or a berm so low for its
        freeboard that the sill would lie below the ditch's floor. Empty if it can be built.

    Examples
    --------
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> section_fault(line, Section(), depth_m=0.5, fill_factor=0.9)
    ''
    >>> section_fault(line, Section(freeboard_m=1.5), depth_m=0.5, fill_factor=0.9)
    'at 0.5 m depth the crest stands 0.67 m above the floor, less than the freeboard of 1.5 m: it would hold no water'
    """
    try:
        shape = shape_swale(Stations.of_line(line, np.zeros(len(line.xy))), depth_m, section, fill_factor=fill_factor)
    except InputError as error:
        return str(error)
    if shape.sill_level_m <= shape.floor_level_m:
        crest_above_floor_m = shape.crest_level_m - shape.floor_level_m
        return (
            f"at {depth_m:g} m depth the crest stands {crest_above_floor_m:.2f} m above the floor, less than the "
            f"freeboard of {section.freeboard_m:g} m: it would hold no water"
        )
    return ""
