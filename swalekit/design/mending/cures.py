"""Cures by caution: what a change of shape or place may remove it, worked out beside the line before it is tried."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import islice
from math import ceil

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.contours.drawn import lay_drawn_lines
from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import chainages
from swalekit.contours.quads import Marks, quads_over_cells
from swalekit.design.brief.line_rules import line_rules_of
from swalekit.design.brief.settings import depths_of, section_of
from swalekit.design.layout.apart import kept_apart
from swalekit.design.layout.line_parts import free_runs
from swalekit.design.layout.lines import obstacles_of
from swalekit.design.mending.edits import Add, Cut, Edit, LeaveOut, Settle, Strengthen
from swalekit.design.plan.cautions import EGRESS_DEPTH_M, FAILURE, STEEP_SLOPE, is_curable
from swalekit.design.plan.design import Design, Swale
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.section.footprint import footprint_parts
from swalekit.section.section import SizeLimits
from swalekit.section.sizing import size_swale
from swalekit.units import with_unit

_LINE_ABOVE_AT = (1 / 2, 1 / 3, 2 / 3)
"""Where a line above is tried, as shares of the catchment's width: our choice."""
_LEAST_SHARE = 0.5
"""Share of a swale's length that a line above it must have: our choice."""
MAY_LOSE = 0.05
"""Share of the water kept that may be lost with lines that are left out: our choice."""
_SILL_PLACES = 4
_HEADROOM_STEP_M = 0.05

Found = Iterator[tuple[str, Edit]]


@one_line("swale", "caution", "words")
@dataclass(frozen=True, eq=False)
class Cure(Frozen):
    """A change that may remove a caution.

    Parameters
    ----------
    swale : str
        The swale that raises it.
    caution : str
        Its name.
    words : str
        What is changed.
    edit : Edit
        The change of decisions.
    """

    swale: str
    caution: str
    words: str
    edit: Edit


def cures_of(design: Design, swale: Swale, *, may_lose: float = MAY_LOSE) -> tuple[Cure, ...]:
    """Cures of all cautions of a swale that another shape or place of its works may remove.

    Parameters
    ----------
    design : Design
        The layout.
    swale : Swale
        Of the layout.
    may_lose : float
        Share of the water kept that a line may hold to be left out [-].

    Returns
    -------
    tuple of Cure
        Caution by caution; the last of each is to leave the line out.

    Examples
    --------
    >>> cures_of(design, design.swales[0])
    ()
    """
    cures = []
    for name in dict.fromkeys(caution.name for caution in swale.cautions if is_curable(caution.name)):
        ways = next((ways for begins, ways in _WAYS.items() if name.startswith(begins)), ())
        found = [pair for way in ways for pair in way(design, swale)]
        if swale.held_m3 <= may_lose * design.kept_m3:
            found.append(("leave it out", LeaveOut(swale.id, f"left out: {name}")))
        cures += [Cure(swale.id, name, words, edit) for words, edit in found]
    return tuple(cures)


def _off_steep_ground(design: Design, swale: Swale) -> Found:
    """Keep the parts on ground that isn't steep."""
    steep = swale.line.cross_slope > STEEP_SLOPE
    yield from _without(design, swale, steep)


def _as_the_brief_cuts(design: Design, swale: Swale) -> Found:
    """Keep what would be kept of it if the brief had asked for it: nothing is taken of a line that is held."""
    others = [(other.line, other.sized.shape) for other in design.swales if other.id != swale.id]
    own = (replace(swale.line, name=""), swale.sized.shape)
    kept, _ = kept_apart(design.site, design.ground, [*others, own])
    parts = tuple(line.xy for line in kept if not line.name)
    if parts and sum(map(len, parts)) < len(swale.line.xy):
        yield _cut(design, swale, parts)


def _off_hollows(design: Design, swale: Swale) -> Found:
    """Keep the parts whose pond doesn't reach that of a hollow."""
    ponds = design.ground.ponds
    wet = footprint_parts(swale.line, swale.sized.shape).wet_m
    grid = design.ground.terrain.grid
    meets = quads_over_cells(grid, ponds, wet, margin_m=grid.cell_m)[: len(swale.line.path) - 1]
    stations = np.zeros(len(swale.line.xy), bool)
    stations[: meets.size] |= meets
    stations[-1] |= bool(meets[-1])
    yield from _without(design, swale, stations)


def _shorter(design: Design, swale: Swale) -> Found:
    """Cut back either end by a tenth and by a fifth."""
    line = swale.line
    if line.closed:
        return
    from_m = line.chainage_m
    for share in (0.1, 0.2):
        for bad in (from_m < share * line.length_m, from_m > (1.0 - share) * line.length_m):
            yield from _without(design, swale, bad)


def _line_above(design: Design, swale: Swale) -> Found:
    """Catch a part of its water on a line above."""
    line, ground, site = swale.line, design.ground, design.site
    rules, obstacles = line_rules_of(site, ground.terrain), obstacles_of(site, ground)
    for share in _LINE_ABOVE_AT:
        above_m = share * swale.catchment_m2 / line.length_m
        stroke = line.xy - line.downhill * above_m
        stroke = np.vstack([stroke, stroke[:1]]) if line.closed else stroke
        try:
            laid, _ = lay_drawn_lines(ground.terrain, [stroke], obstacles, rules=rules)
        except InputError:
            continue
        if sum(part.length_m for part in laid) >= _LEAST_SHARE * line.length_m:
            yield f"a line {_said(design, above_m)} above it", Add(stroke, f"takes a part of the water of {swale.id}")


def _wider_and_shallower(design: Design, swale: Swale) -> Found:
    """The narrowest floor on which it needs no deep trench."""
    part, shape = design.site.brief.section, swale.sized.shape
    section = section_of(design.site, swale.id)
    limits = SizeLimits(part.greatest_bottom_width_m, part.bottom_width_step_m)
    for floor_m in limits.floors_m(shape.section.bottom_width_m).tolist()[1:]:
        try:
            sized = size_swale(
                shape.stations,
                lambda _: swale.sized.need_m3,
                section=replace(section, bottom_width_m=floor_m),
                depths=depths_of(design.site),
                fill_factor=design.site.brief.soil.fill_factor,
            )
        except InputError:
            return
        if sized.short_m3 == 0 and sized.shape.depth_m < EGRESS_DEPTH_M:
            yield f"a floor {_said(design, floor_m, 2)} wide", Settle(swale.id, (("bottom_width_m", floor_m),))
            return


def _higher_berm(design: Design, swale: Swale) -> Found:
    """Freeboard by what the check storm rises over the crest."""
    over_m = max(-swale.routed.freeboard_m, 0.0)
    freeboard_m = section_of(design.site, swale.id).freeboard_m
    for more in (1, 2):
        raised_m = round(freeboard_m + _HEADROOM_STEP_M * (ceil(over_m / _HEADROOM_STEP_M) + more), 3)
        yield f"{_said(design, raised_m, 2)} of freeboard", Settle(swale.id, (("freeboard_m", raised_m),))


def _longer_sill(design: Design, swale: Swale) -> Found:
    """A sill half as long again, and twice as long, as far as the brief lets one be."""
    most_m = min(swale.line.length_m, design.site.brief.sill.greatest_length_m)
    for times in (1.5, 2.0):
        length_m = min(round(2.0 * times * swale.sill.length_m) / 2.0, most_m)
        if length_m > swale.sill.length_m:
            yield f"a sill {_said(design, length_m, 1)} long", Settle(swale.id, (("sill_length_m", length_m),))


def _sill_elsewhere(design: Design, swale: Swale) -> Found:
    """The sill at other places along the line, farthest from where it is first."""
    places_m = np.linspace(0.1, 0.9, 2 * _SILL_PLACES + 1) * swale.line.length_m
    far_first = sorted(places_m.tolist(), key=lambda place_m: -abs(place_m - swale.sill.chainage_m))
    for place_m in islice(far_first, _SILL_PLACES):
        yield f"its sill at {_said(design, place_m)}", Settle(swale.id, (("sill_at_m", round(place_m, 1)),))


def _stronger_below(design: Design, swale: Swale) -> Found:
    """Higher crests, then longer sills, of the swales at which the chain of failures must stop."""
    failure = swale.failure
    if failure is None or not failure.stops:
        return
    for more in (0, 1):
        higher = []
        for name, raise_m in zip(failure.stops, failure.raise_m, strict=True):
            steps = ceil(raise_m / _HEADROOM_STEP_M) + more
            crest_m = round(section_of(design.site, name).freeboard_m + steps * _HEADROOM_STEP_M, 3)
            higher.append((name, "freeboard_m", crest_m))
        told = " and ".join(f"{_said(design, crest_m, 2)} of freeboard at {name}" for name, _, crest_m in higher)
        yield told, Strengthen(tuple(higher))
    greatest_m = design.site.brief.sill.greatest_length_m
    most_m = {each.id: min(each.line.length_m, greatest_m) for each in design.swales}
    sills = [(name, sill_m) for name, sill_m in zip(failure.stops, failure.sill_m, strict=True) if sill_m is not None]
    if len(sills) == len(failure.stops) and all(sill_m <= most_m[name] for name, sill_m in sills):
        told = " and ".join(f"a sill {_said(design, sill_m, 1)} long at {name}" for name, sill_m in sills)
        yield told, Strengthen(tuple((name, "sill_length_m", round(sill_m, 1)) for name, sill_m in sills))


_WAYS: dict[str, tuple[Callable[[Design, Swale], Found], ...]] = {
    "too small": (_line_above,),
    "steep ground": (_off_steep_ground,),
    "deep trench": (_wider_and_shallower, _line_above),
    "stands long": (_line_above,),
    FAILURE: (_stronger_below,),
    "water over the berm": (_longer_sill, _higher_berm),
    "sill may scour": (_longer_sill,),
    "spill towards": (_sill_elsewhere, _shorter),
    "works overlap": (_as_the_brief_cuts,),
    "works meet": (_as_the_brief_cuts,),
    "works reach": (_as_the_brief_cuts,),
    "high fill": (_as_the_brief_cuts,),
    "not as sized": (_off_hollows, _shorter),
    "short of soil": (_shorter,),
}
"""Ways to cure, by how the name of a caution begins."""


def _without(design: Design, swale: Swale, bad: NDArray[np.bool_]) -> Found:
    """The parts of a line without some stations, as far as these are long enough."""
    free: Marks = ~(bad[:-1] | bad[1:])
    if swale.line.closed:
        free = np.append(free, not (bad[-1] or bad[0]))
    if free.all() or not free.any():
        return
    least_m = line_rules_of(design.site, design.ground.terrain).least_length_m
    runs = (swale.line.xy[run] for run in free_runs(swale.line, free))
    parts = tuple(xy for xy in runs if chainages(xy)[-1] >= least_m)
    if parts:
        yield _cut(design, swale, parts)


def _cut(design: Design, swale: Swale, parts: tuple[NDArray[np.float64], ...]) -> tuple[str, Edit]:
    line: LevelLine = swale.line
    taken_m = line.length_m - sum(float(chainages(xy)[-1]) for xy in parts)
    where = "" if len(parts) == 1 else f" and keep {len(parts)} parts"
    return f"leave {_said(design, taken_m)} of it out{where}", Cut(swale.id, parts)


def _said(design: Design, length_m: float, decimals: int = 0) -> str:
    """A length in the brief's units."""
    return with_unit(length_m, "m", units=design.site.brief.site.units, decimals=decimals)
