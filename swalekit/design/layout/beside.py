"""What becomes of the lines that the brief asks for beside those that the designer decided on."""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine, RefusedLine
from swalekit.contours.polyline import chainages, path_of
from swalekit.contours.quads import Marks
from swalekit.design.brief.decided_lines import DROPPED, PROPOSED, DecidedLine, Lines
from swalekit.design.brief.line_rules import line_rules_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.line_parts import free_runs, laid_part, too_short
from swalekit.terrain.sample import sample_heights

BESIDE_M = 10.0
"""A line runs along another within this distance of it and a third of the way to the next level: our choice."""
_NEXT_LEVEL_SHARE = 1.0 / 3.0
_LEAST_ALONG_M = 5.0
"""Length along a given line from which a line gives way to it: our choice."""


def beside_decided(
    site: Site,
    ground: Ground,
    proposed: Iterable[LevelLine],
    given: Sequence[LevelLine],
    levels_m: NDArray[np.float64],
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """What is left of the lines that the brief asks for beside held, drawn and dropped ones.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked and decided, in the CRS of the ground, and the ground.
    proposed : iterable of LevelLine
        Lines that the brief asks for, each the whole of a contour between obstacles.
    given : sequence of LevelLine
        Held and drawn lines as they are laid, by name.
    levels_m : ndarray of float64, shape (n,)
        Levels that get a line [m].

    Returns
    -------
    lines : tuple of LevelLine
        What is left, in the same order.
    refused : tuple of RefusedLine
        Stretches that gave way or were dropped, and what they leave too short.

    Notes
    -----
    A line runs along another where it lies within ten metres of it, and within a third of the way from its level to
    the next that gets a line. One that runs along a held or drawn line for five metres or more gives way whole, so that
    a trimmed line stays trimmed and joined ones joined; but for stretches along lines that still are proposed and don't
    run along a given one, so that of a split line either part may be held. Stretches along a dropped line are left out.

    Examples
    --------
    >>> beside_decided(site, ground, layout.lines, (), np.array([108.0, 104.0])) == (layout.lines, ())
    True
    """
    if site.lines is None:
        return tuple(proposed), ()
    rules, decided = line_rules_of(site, ground.terrain), site.lines
    kept: list[LevelLine] = []
    refused: list[RefusedLine] = []
    for line in proposed:
        free, told = _left_free(line, given, decided, ground, levels_m)
        refused += told
        if free.all():
            kept.append(line)
            continue
        for part in (laid_part(ground, line, run, rules) for run in free_runs(line, free)):
            short = too_short(part, rules)
            kept, refused = (kept, [*refused, short]) if short else ([*kept, part], refused)
    return tuple(kept), tuple(refused)


def _left_free(
    line: LevelLine, given: Sequence[LevelLine], decided: Lines, ground: Ground, levels_m: NDArray[np.float64]
) -> tuple[Marks, list[RefusedLine]]:
    """Legs of a line that are left, and stretches that are not."""
    free, legs_m = np.ones(len(line.path) - 1, bool), np.diff(chainages(line.path))
    told: list[RefusedLine] = []
    beside = {other.name: _along(line, other.path, other.level_m, levels_m) for other in given}
    beside = {name: legs for name, legs in beside.items() if legs_m @ legs >= _LEAST_ALONG_M}
    if beside:
        name = max(beside, key=lambda other: float(legs_m @ beside[other]))
        on_given = np.any(list(beside.values()), axis=0)
        free = _along_any(line, _left_proposed(decided, given), ground, levels_m) & ~on_given
        detail = f"runs along {name}, which is {decided.state(name)} and stands in its place"
        told += _stretches(line, ~free & ~on_given, decided.state(name), detail, name)
    for dropped in decided.in_state(DROPPED):
        legs = free & _along_any(line, [dropped], ground, levels_m)
        told += _stretches(line, legs, DROPPED, dropped.own.note or "the designer left it out", dropped.name)
        free = free & ~legs
    return free, told


def _left_proposed(decided: Lines, given: Sequence[LevelLine]) -> list[DecidedLine]:
    """Lines that are proposed still and don't run along given ones."""
    zones = shapely.union_all([_zone(line.path) for line in given])
    ways = {line: shapely.LineString(path_of(line.xy, closed=line.closed)) for line in decided.in_state(PROPOSED)}
    return [line for line, way in ways.items() if way.intersection(zones).length < _LEAST_ALONG_M]


def _zone(path: NDArray[np.float64]) -> shapely.Geometry:
    """Ground beside a line, which ends where the line does."""
    return shapely.LineString(path).buffer(BESIDE_M, cap_style="flat")


def _along_any(line: LevelLine, others: Iterable[DecidedLine], ground: Ground, levels_m: NDArray[np.float64]) -> Marks:
    """Legs of a line that run along any of some decided lines."""
    legs = np.zeros(len(line.path) - 1, bool)
    for other in others:
        path, level_m = path_of(other.xy, closed=other.closed), other.level_m
        if level_m is None:
            known = sample_heights(ground.terrain, *other.xy.T)
            level_m = float(np.nanmean(known)) if np.isfinite(known).any() else np.inf
        legs |= _along(line, path, level_m, levels_m)
    return legs


def _along(line: LevelLine, path: NDArray[np.float64], level_m: float, levels_m: NDArray[np.float64]) -> Marks:
    """Legs of a line whose middle lies beside a path, and none where the path's level is nearly another."""
    rise_m, steps_m = level_m - line.level_m, levels_m - line.level_m
    next_m = float(np.abs(steps_m[steps_m * rise_m > 0.0]).min(initial=np.inf))
    if abs(rise_m) > _NEXT_LEVEL_SHARE * next_m:
        return np.zeros(len(line.path) - 1, bool)
    zone = _zone(path)
    shapely.prepare(zone)
    return np.asarray(shapely.intersects(zone, shapely.points(0.5 * (line.path[1:] + line.path[:-1]))))


def _stretches(line: LevelLine, legs: Marks, reason: str, detail: str, name: str) -> list[RefusedLine]:
    """Every run of some legs as refused."""
    stretches = [line.path] if legs.all() else [line.xy[run] for run in free_runs(line, legs)]
    return [RefusedLine(line.level_m, xy, reason, detail, name) for xy in stretches]
