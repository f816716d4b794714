"""Lines that the designer gave: held ones exactly as they are, strokes along the contour that they follow."""

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.course import cross_slopes, level_line
from swalekit.contours.cuts import over_cells, within_polygon
from swalekit.contours.drawn import contour_along
from swalekit.contours.lay import lay_traces, reading_order
from swalekit.contours.line import LevelLine, LineRules, RefusedLine
from swalekit.contours.obstacles import Obstacles
from swalekit.contours.polyline import chainages, path_of
from swalekit.contours.quads import cells_at
from swalekit.design.brief.decided_lines import DRAWN, HELD, DecidedLine, Lines
from swalekit.design.brief.line_rules import line_rules_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.apart import cut_at_crossings
from swalekit.design.layout.ground import Ground
from swalekit.errors import InputError
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_MOST_CUT_M = 0.5
"""A drawn line that was laid stays as it is while no obstacle takes more than this of it."""


_MOST_OTHER_SIDE = 0.25
"""Share of a held line at most along which the ground falls to the other side: our choice."""


class GivenLines(NamedTuple):
    """Lines that the designer gave, as they are laid.

    Parameters
    ----------
    lines : tuple of LevelLine
        Each with its name, from the top of the site downward.
    refused : tuple of RefusedLine
        Those that can't be laid, and stretches of strokes that were taken out; by name.
    decided : Lines or None
        All decisions, with the lines as they were laid in place of the strokes.
    """

    lines: tuple[LevelLine, ...]
    refused: tuple[RefusedLine, ...]
    decided: Lines | None


def lay_given(site: Site, ground: Ground, obstacles: Obstacles) -> GivenLines:
    """Lay the lines that the designer holds or drew.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked and decided, in the CRS of the ground, and the ground.
    obstacles : Obstacles
        What cuts strokes.

    Returns
    -------
    GivenLines
        Lines and what is refused of them.

    Raises
    ------
    InputError
        If a line lies where no ground is known at all.

    Notes
    -----
    A held line has exactly its stations, but for those that a crossing takes (`cut_at_crossings`); one that isn't level
    within the tolerance of the brief, or leaves the known ground, is refused. A drawn one becomes the contour that it
    follows (`contour_along`), cut by what lies in the way as any other. The longest part of a line keeps its name, and
    others get new numbers and the same settings. A drawn line that was laid before and is level still is taken as it
    is. Of two lines that cross, the held one stays, then the earlier.

    Examples
    --------
    >>> from swalekit.contours import Obstacles
    >>> lay_given(site, ground, Obstacles(ground.terrain.grid, ground.area)).lines
    ()
    """
    decided = site.lines
    if decided is None:
        return GivenLines((), (), None)
    rules, number = line_rules_of(site, ground.terrain), decided.next_number
    laid: list[LevelLine] = []
    refused: list[RefusedLine] = []
    parts: dict[str, list[DecidedLine]] = {}
    for line in (*decided.in_state(HELD), *decided.in_state(DRAWN)):
        _check_on_ground(line, ground.terrain, decided.source)
        found, left_out = _laid(line, ground.terrain, obstacles, rules)
        parted, taken = cut_at_crossings(site, ground, found)
        made = sorted(parted, key=_longest_first)
        crossings = [_crossed(part, laid, decided) for part in made]
        free = [part for part, crossing in zip(made, crossings, strict=True) if crossing is None]
        names = [line.name, *(f"S{number + k}" for k in range(len(free) - 1))]
        number += max(len(free) - 1, 0)
        named = [replace(part, name=name) for part, name in zip(free, names, strict=False)]
        parts[line.name] = [
            replace(line, name=part.name, xy=part.xy, closed=part.closed, level_m=part.level_m) for part in named
        ] or [line]
        laid += named
        refused += [replace(stretch, name=line.name) for stretch in (*left_out, *taken, *filter(None, crossings))]
    rows = [row for line in decided.lines for row in parts.get(line.name, [line])]
    return GivenLines(
        tuple(sorted(laid, key=reading_order)),
        tuple(sorted(refused, key=reading_order)),
        replace(decided, lines=tuple(rows)),
    )


def held_line(line: DecidedLine, terrain: Terrain, rules: LineRules) -> LevelLine | RefusedLine:
    """A line with exactly the stations that it was given.

    Parameters
    ----------
    line : DecidedLine
        The line; one without a level lies at the mean of its ground.
    terrain : Terrain
        The ground.
    rules : LineRules
        How level it must be.

    Returns
    -------
    LevelLine or RefusedLine
        Turned where downhill lies on its left; refused where it isn't level, leaves the known ground, crosses itself,
        or has downhill on its left for a good part and on its right for another.

    Examples
    --------
    >>> from swalekit.contours import LineRules
    >>> xy = layout.lines[0].xy
    >>> held = held_line(DecidedLine("S4", "held", xy[::-1], level_m=108.0), ground.terrain, LineRules())
    >>> held.name, bool((held.xy == xy).all())
    ('S4', True)
    """
    path = path_of(line.xy, closed=line.closed)
    ground_m = sample_heights(terrain, *line.xy.T)
    level_m = float(np.nanmean(ground_m)) if line.level_m is None else line.level_m

    def refusal(reason: str, detail: str) -> RefusedLine:
        way_out = f"{detail}; move its vertices, or set its state to drawn and it is laid along the contour there"
        return RefusedLine(level_m, path, reason, way_out, line.name)

    if not cells_at(terrain.grid, terrain.valid, path).all():
        return refusal("unknown ground", "leaves the ground whose heights are known")
    if not shapely.LineString(path).is_simple:
        return refusal("crosses", "crosses itself")
    away_m = np.nan_to_num(np.abs(ground_m - level_m))
    if away_m.max() > rules.tolerance_m:
        worst = int(np.argmax(away_m))
        return refusal(
            "not level",
            f"is held at {level_m:.2f} m and its ground lies at {ground_m[worst]:.2f} m, "
            f"{chainages(path)[worst]:.0f} m from its first vertex, more than {rules.tolerance_m:g} m off",
        )
    fall = cross_slopes(terrain, path, closed=line.closed, support_m=rules.slope_support_m)
    to_left = float(np.mean(fall < 0.0))
    if min(to_left, float(np.mean(fall > 0.0))) > _MOST_OTHER_SIDE:
        detail = f"has downhill on its left along {100 * to_left:.0f} % of it and on its right along the rest"
        return refusal("too flat", detail)
    turned = to_left > 0.5
    xy = line.xy[::-1].copy() if turned else line.xy
    return level_line(terrain, level_m, xy, closed=line.closed, rules=rules, name=line.name)


def _laid(
    line: DecidedLine, terrain: Terrain, obstacles: Obstacles, rules: LineRules
) -> tuple[list[LevelLine], list[RefusedLine]]:
    """A given line as laid, in parts, and what was refused of it."""
    if line.state == HELD or line.level_m is not None:
        held = held_line(line, terrain, rules)
        if line.state == HELD:
            return ([held], []) if isinstance(held, LevelLine) else ([], [held])
        if isinstance(held, LevelLine) and _uncut(held, obstacles):
            return [held], []
    path = path_of(line.xy, closed=line.closed)
    found = contour_along(terrain, path)
    if isinstance(found, RefusedLine):
        return [], [found]
    lines, refused = lay_traces(terrain, [found], obstacles, rules=rules)
    if not lines and not refused:
        detail = "lies off the land that may be worked: beyond the boundary less its setback, or off the tile"
        refused = (RefusedLine(found.level_m, path, "outside", detail),)
    return list(lines), list(refused)


def _longest_first(part: LevelLine) -> tuple[float, tuple[float, float, float]]:
    return -part.length_m, reading_order(part)


def _uncut(line: LevelLine, obstacles: Obstacles) -> bool:
    """Whether no obstacle takes a stretch of a line."""
    inside = _total_m(within_polygon(line.path, obstacles.area))
    cuts = [within_polygon(line.path, zone) for zone in obstacles.zones]
    cuts += [
        over_cells(line.path, obstacles.grid, cells)
        for cells in (obstacles.blocked, obstacles.ponds)
        if cells is not None
    ]
    return line.length_m - inside <= _MOST_CUT_M and sum(map(_total_m, cuts)) <= _MOST_CUT_M


def _total_m(intervals: NDArray[np.float64]) -> float:
    return float(np.diff(intervals, axis=1).sum())


def _crossed(line: LevelLine, others: Iterable[LevelLine], decided: Lines) -> RefusedLine | None:
    """A line as refused if it crosses one that is laid already."""
    way = shapely.LineString(line.path)
    for other in others:
        if way.intersects(shapely.LineString(other.path)):
            detail = f"crosses {other.name}, which is {decided.state(other.name)}; move one of them or drop it"
            return RefusedLine(line.level_m, line.path, "crosses", detail)
    return None


def _check_on_ground(line: DecidedLine, terrain: Terrain, source: str) -> None:
    if np.isnan(sample_heights(terrain, *line.xy.T)).all():
        x, y = line.xy[0]
        message = (
            f"{source}: line {line.name}, {line.state}, begins at {x:.0f} east, {y:.0f} north and lies where no ground "
            "is known; check the CRS of the file, or set its state to dropped"
        )
        raise InputError(message)
