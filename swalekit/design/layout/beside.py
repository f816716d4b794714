"""What becomes of the lines that the brief asks for beside those that the designer decided on."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple, Self

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine, RefusedLine
from swalekit.contours.polyline import Polyline, chainages, path_of
from swalekit.contours.quads import Marks
from swalekit.design.brief.decided_lines import DROPPED, PROPOSED, DecidedLine
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


class _Way(NamedTuple):
    """Where a line runs: its name and state, its path and level, and what the designer noted."""

    name: str
    state: str
    path: Polyline
    level_m: float
    note: str = ""

    @classmethod
    def of(cls, line: DecidedLine, ground: Ground) -> Self:
        """The way of a decided line; one without a level has the mean of its ground."""
        level_m, known_m = line.level_m, sample_heights(ground.terrain, *line.xy.T)
        if level_m is None:
            level_m = float(np.nanmean(known_m)) if np.isfinite(known_m).any() else np.inf
        return cls(line.name, line.state, path_of(line.xy, closed=line.closed), level_m, line.own.note)

    def along(self, other: "_Way", levels_m: NDArray[np.float64]) -> Marks:
        """Legs whose middle lies beside another way; none where that lies nearer to another level."""
        rise_m, steps_m = other.level_m - self.level_m, levels_m - self.level_m
        next_m = float(np.abs(steps_m[steps_m * rise_m > 0.0]).min(initial=np.inf))
        zone = shapely.LineString(other.path).buffer(BESIDE_M, cap_style="flat")
        if abs(rise_m) > _NEXT_LEVEL_SHARE * next_m or not zone.intersects(shapely.LineString(self.path)):
            return np.zeros(len(self.path) - 1, bool)
        shapely.prepare(zone)
        return np.asarray(shapely.intersects(zone, shapely.points(0.5 * (self.path[1:] + self.path[:-1]))))

    def runs_along(self, other: "_Way", levels_m: NDArray[np.float64]) -> bool:
        """Whether it lies beside another way for some metres."""
        return bool(np.diff(chainages(self.path)) @ self.along(other, levels_m) >= _LEAST_ALONG_M)


def beside_decided(
    site: Site,
    ground: Ground,
    proposed: Iterable[LevelLine],
    given: Sequence[LevelLine],
    levels_m: NDArray[np.float64],
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...], tuple[str, ...]]:
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
    notes : tuple of str
        Lines that were proposed before and stand no more for a given one.

    Notes
    -----
    A line runs along another where it lies within ten metres of it, and within a third of the way from its level to
    the next that gets a line. One that runs along a held or drawn line for five metres or more gives way whole, so that
    a trimmed line stays trimmed and joined ones joined; but for stretches along lines that still are proposed and don't
    run along a given one, so that of a split line either part may be held. Stretches along a dropped line are left out.

    Examples
    --------
    >>> beside_decided(site, ground, layout.lines, (), np.array([108.0, 104.0])) == (layout.lines, (), ())
    True
    """
    if site.lines is None:
        return tuple(proposed), (), ()
    rules, decided = line_rules_of(site, ground.terrain), site.lines
    dropped, still = ([_Way.of(line, ground) for line in decided.in_state(state)] for state in (DROPPED, PROPOSED))
    ways = [_Way(line.name, decided.state(line.name), line.path, line.level_m) for line in given]
    beside = [(way, next((other for other in ways if way.runs_along(other, levels_m)), None)) for way in still]
    left = [way for way, other in beside if other is None]
    notes = tuple(
        f"{way.name} is proposed no more: {other.name}, which is {other.state}, stands in its place"
        for way, other in beside
        if other is not None
    )
    kept: list[LevelLine] = []
    refused: list[RefusedLine] = []
    for line in proposed:
        free, told = _left_free(line, ways, left, dropped, levels_m)
        refused += told
        if free.all():
            kept.append(line)
            continue
        for part in (laid_part(ground, line, run, rules) for run in free_runs(line, free)):
            short = too_short(part, rules)
            kept, refused = (kept, [*refused, short]) if short else ([*kept, part], refused)
    return tuple(kept), tuple(refused), notes


def _left_free(
    line: LevelLine, given: Sequence[_Way], left: Sequence[_Way], dropped: Sequence[_Way], levels_m: NDArray[np.float64]
) -> tuple[Marks, list[RefusedLine]]:
    """Legs of a line that are left, and stretches that are not."""
    own, legs_m = _Way("", "", line.path, line.level_m), np.diff(chainages(line.path))
    free, told = np.ones(legs_m.size, bool), list[RefusedLine]()
    beside = [(other, own.along(other, levels_m)) for other in given]
    beside = [(other, legs) for other, legs in beside if legs_m @ legs >= _LEAST_ALONG_M]
    if beside:
        other, _ = max(beside, key=lambda pair: float(legs_m @ pair[1]))
        on_given = np.any([legs for _, legs in beside], axis=0)
        free = np.any([free & False, *(own.along(way, levels_m) for way in left)], axis=0) & ~on_given
        detail = f"runs along {other.name}, which is {other.state} and stands in its place"
        told += _stretches(line, ~free & ~on_given, other.state, detail, other.name)
    for way in dropped:
        legs = free & own.along(way, levels_m)
        told += _stretches(line, legs, DROPPED, way.note or "the designer left it out", way.name)
        free = free & ~legs
    return free, told


def _stretches(line: LevelLine, legs: Marks, reason: str, detail: str, name: str) -> list[RefusedLine]:
    """Every run of some legs as refused."""
    stretches = [line.path] if legs.all() else [line.xy[run] for run in free_runs(line, legs)]
    return [RefusedLine(line.level_m, xy, reason, detail, name) for xy in stretches]
