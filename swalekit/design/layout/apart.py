"""Works that can be built: stretches that would stand in water, off the site or on other works are taken out."""

from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.lay import reading_order
from swalekit.contours.line import LevelLine, RefusedLine
from swalekit.contours.quads import cells_at
from swalekit.design.brief.line_rules import line_rules_of
from swalekit.design.brief.settings import depths_of, given_name, own_of, section_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.kept_clear import crossing_strips, parted_by, stations_on
from swalekit.design.layout.line_parts import free_runs, laid_part, part_of, too_short
from swalekit.design.layout.works_met import (
    CUT,
    LEFT,
    UNKNOWN_GROUND,
    Meeting,
    Run,
    Standing,
    WorksObstacles,
    crossings_met,
    fills_ring,
    high_fill,
)
from swalekit.section.footprint import footprint_parts, works_footprint
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.sizing import section_fault
from swalekit.section.stations import Stations

_ON_CROSSING_M = 0.5
"""Less than what ditch and returns take beyond a line, so that none that was cut back once is cut again."""


def fit_for_works(
    site: Site, ground: Ground, lines: Iterable[LevelLine], *, depth_m: float
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Lines as far as ditch and berm of one depth can be built along them, before they are sized.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    lines : iterable of LevelLine
        The lines.
    depth_m : float
        Dig depth of all, but of lines that have one of their own [m]; their ponds are left out.

    Returns
    -------
    lines : tuple of LevelLine
        What is left, from the top of the site downward.
    refused : tuple of RefusedLine
        Lines that the section doesn't fit at its greatest depth, and stretches taken out, each with its reason.

    Examples
    --------
    >>> kept, refused = fit_for_works(site, ground, layout.lines, depth_m=0.3)
    >>> len(kept), refused
    (2, ())
    """
    fill_factor = site.brief.soil.fill_factor
    swales, faulty = [], []
    for line in lines:
        section, dug_m = section_of(site, line.name), own_of(site, line.name).depth_m or depth_m
        if fault := unfit(site, line, section):
            faulty.append(fault)
            continue
        stations = stations_on(site, ground, line, np.zeros(len(line.xy)))
        swales.append((line, shape_swale(stations, dug_m, section, fill_factor=fill_factor)))
    kept, taken = kept_apart(site, ground, swales)
    return kept, (*faulty, *taken)


def kept_apart(
    site: Site, ground: Ground, swales: Iterable[tuple[LevelLine, ShapedSwale]]
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Take out the stretches whose works would meet what they must not.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    swales : iterable of (LevelLine, ShapedSwale)
        Lines, and the swale along each.

    Returns
    -------
    lines : tuple of LevelLine
        What is left, from the top of the site downward; a line of which nothing is taken is the one given.
    refused : tuple of RefusedLine
        Stretches taken out, each with its reason, and what they leave too short.

    Notes
    -----
    Works are ditch, bench, berm and returns. With the pond that stands above them they keep off keep-outs, the
    property line, and by a cell off watercourses and unknown ground; they alone keep a cell off the ponds of hollows.
    They keep off the works of others: the upper line stays, and of one contour the longer piece. Lines that are held
    or drawn (`swalekit.design.brief.Lines`) come before all others and nothing is taken of them. They keep off
    themselves, but for 0.5 m² within a bend, and off ground above which they would stand higher than the brief's
    ``greatest_fill_m``. An open line is cut back until its returns are free. Lines of different levels stay
    `LEAST_CELLS_BETWEEN` cells apart, pieces of one contour need not. A ring within which its works and its pond leave
    no ground is refused.

    Examples
    --------
    >>> swales = [(swale.line, swale.sized.shape) for swale in design.swales]
    >>> kept, refused = kept_apart(site, ground, swales)
    >>> len(kept), refused
    (2, ())
    """
    return WorksApart(site, ground).kept(swales)


def unfit(site: Site, line: LevelLine, section: Section) -> RefusedLine | None:
    """A line as refused if a section can't be built along it at its greatest depth.

    Parameters
    ----------
    site : Site
        What was asked.
    line : LevelLine
        The line.
    section : Section
        The section.

    Returns
    -------
    RefusedLine or None
        The whole line with its reason.

    Examples
    --------
    >>> from swalekit.section import Section
    >>> unfit(site, layout.lines[0], Section()) is None
    True
    """
    greatest_m, fill_factor = depths_of(site, line.name).greatest_m, site.brief.soil.fill_factor
    fault = section_fault(line, section, depth_m=greatest_m, fill_factor=fill_factor)
    if not fault:
        return None
    return RefusedLine(line.level_m, line.path, "section does not fit", fault, given_name(site, line))


def on_known_ground(
    site: Site, ground: Ground, lines: Iterable[LevelLine]
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Lines as far as the ground beneath them is known.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    lines : iterable of LevelLine
        The lines.

    Returns
    -------
    lines : tuple of LevelLine
        What is left of them, in the same order.
    refused : tuple of RefusedLine
        Stretches off the known ground, and what they leave too short.

    Examples
    --------
    >>> on_known_ground(site, ground, layout.lines) == (layout.lines, ())
    True
    """
    kept: list[LevelLine] = []
    refused: list[RefusedLine] = []
    for line in lines:
        known = cells_at(ground.terrain.grid, ground.terrain.valid, line.path)
        legs = known[:-1] & known[1:]
        if legs.all():
            kept.append(line)
            continue
        none = np.zeros(len(line.xy), bool)
        runs = free_runs(line, legs)
        refused += _taken(line, runs, [Meeting(UNKNOWN_GROUND, "no heights beneath the line", ~legs, none, none)])
        for part in (part_of(line, run) for run in runs):
            short = too_short(part, line_rules_of(site, ground.terrain))
            kept, refused = (kept, [*refused, short]) if short else ([*kept, part], refused)
    return tuple(kept), tuple(refused)


def cut_at_crossings(
    site: Site, ground: Ground, lines: Iterable[LevelLine]
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Lines that are taken as they are, but for the ground of the crossings that part them.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    lines : iterable of LevelLine
        The lines.

    Returns
    -------
    lines : tuple of LevelLine
        What is left of them, in the same order. A line that runs over a crossing is cut back until the deepest works
        that the brief allows, with their returns, keep off it; one that ends beside it is let be.
    refused : tuple of RefusedLine
        Stretches taken out, and what they leave too short.

    Examples
    --------
    >>> cut_at_crossings(site, ground, layout.lines) == (layout.lines, ())
    True
    """
    strips = crossing_strips(site, ground)
    if not strips:
        return tuple(lines), ()
    fill_factor, rules = site.brief.soil.fill_factor, line_rules_of(site, ground.terrain)
    kept: list[LevelLine] = []
    refused: list[RefusedLine] = []
    for line in lines:
        way = shapely.LineString(line.path)
        met = [strip for strip in parted_by(line, strips) if shapely.dwithin(way, strip.geometry, _ON_CROSSING_M)]
        if not met:
            kept.append(line)
            continue
        stations = Stations.of_line(line, np.zeros(len(line.xy)))
        section, depths = section_of(site, line.name), depths_of(site, line.name)
        shape = shape_swale(stations, depths.greatest_m, section, fill_factor=fill_factor)
        meetings = crossings_met(line, footprint_parts(line, shape), met, CUT)
        runs = _buildable_runs(line, meetings)
        refused += _taken(line, runs, meetings)
        for part in (laid_part(ground, line, run, rules) for run in runs):
            short = too_short(part, rules)
            kept, refused = (kept, [*refused, short]) if short else ([*kept, part], refused)
    return tuple(kept), tuple(refused)


class WorksApart:
    """`kept_apart` for round after round: works that stay as they were are only held against those that don't.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    """

    def __init__(self, site: Site, ground: Ground) -> None:
        self._site, self._ground, self._whole = site, ground, False
        self._rules = line_rules_of(site, ground.terrain)
        self._obstacles = WorksObstacles(site, ground)
        self._before: dict[int, Standing] = {}
        self._standing: dict[int, Standing] = {}
        self._refused: list[RefusedLine] = []

    def kept(
        self, swales: Iterable[tuple[LevelLine, ShapedSwale]], *, whole: bool = False
    ) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
        """Take out the stretches whose works would meet what they must not, as `kept_apart`.

        Parameters
        ----------
        swales : iterable of (LevelLine, ShapedSwale)
            Lines, and the swale along each.
        whole : bool
            Whether a line that meets anything is refused whole.

        Returns
        -------
        lines : tuple of LevelLine
            What is left.
        refused : tuple of RefusedLine
            What was taken out now.

        Examples
        --------
        >>> works = WorksApart(site, ground)
        >>> len(works.kept([(swale.line, swale.sized.shape) for swale in design.swales])[0])
        2
        """
        self._whole, self._before, self._standing, self._refused = whole, self._standing, {}, []
        for line, shape in sorted(swales, key=self._first_to_stand):
            before = self._before.get(id(line.xy))
            if before is not None and before.is_of(shape) and not self._meets_new(before):
                self._standing[id(line.xy)] = before._replace(line=line, new=False)
            else:
                self._add(line, shape)
        standing = (works.line for works in self._standing.values())
        return tuple(sorted(standing, key=reading_order)), tuple(sorted(self._refused, key=reading_order))

    def _first_to_stand(self, swale: tuple[LevelLine, ShapedSwale]) -> tuple[bool, float, float]:
        """Key that sorts lines by what stays where works meet: given ones, then the highest, then the longest."""
        line, _ = swale
        return not given_name(self._site, line), -line.level_m, -line.length_m

    def _meets_new(self, before: Standing) -> bool:
        """Whether works that are new come near those that stood before."""
        near_m = before.pond_m + LEFT.others_m
        others = self._near_bounds(np.array(before.bounds), near_m)
        return any(other.new and shapely.dwithin(before.works, other.works, near_m) for other in others)

    def _near_bounds(self, bounds: NDArray[np.float64], near_m: float) -> list[Standing]:
        """Works whose bounds come near others."""
        standing = list(self._standing.values())
        boxes = np.array([other.bounds for other in standing]).reshape(-1, 4)
        apart = (boxes[:, :2] > bounds[2:] + near_m) | (boxes[:, 2:] < bounds[:2] - near_m)
        return [standing[k] for k in np.flatnonzero(~apart.any(axis=1))]

    def _add(self, line: LevelLine, shape: ShapedSwale) -> None:
        """Keep a line, or what can be built of it."""
        parts, given = footprint_parts(line, shape), bool(given_name(self._site, line))
        if fills_ring(line, parts) and not given:
            detail = "its works and its pond leave no ground within it"
            self._refused.append(RefusedLine(line.level_m, line.path, "small ring", detail))
            return
        own_ends = np.array([] if line.closed else [0, -1], np.intp)
        corners = np.concatenate([parts.wet_m.reshape(-1, 2), parts.returns_m.reshape(-1, 2)])
        bounds = np.concatenate([corners.min(axis=0), corners.max(axis=0)])
        others = self._near_bounds(bounds, self._obstacles.looked_at_m)
        filled = high_fill(self._ground.terrain, line, shape, most_m=self._site.brief.section.greatest_fill_m)
        left = [] if given else [*self._obstacles.met(line, parts, own_ends, others, LEFT), filled]
        met = [m for m in left if m.legs.any() or m.begins[0] or m.ends[-1]]
        if not met:
            pond_m = float(np.hypot(*(parts.wet_m - parts.works_m).reshape(-1, 2).T).max())
            works = works_footprint(line, shape)
            self._standing[id(line.xy)] = Standing(line, shape, works, works.bounds, pond_m, new=True)
        elif self._whole:
            self._refused.append(RefusedLine(line.level_m, line.path, met[0].reason, met[0].detail))
        else:
            cut = [*self._obstacles.met(line, parts, np.arange(len(line.xy)), others, CUT), filled]
            self._add_parts(line, shape, [wide.with_all_of(m) for wide, m in zip(cut, left, strict=True)])

    def _add_parts(self, line: LevelLine, shape: ShapedSwale, meetings: list[Meeting]) -> None:
        """Keep what can be built of a line."""
        runs = _buildable_runs(line, meetings)
        self._refused += _taken(line, runs, meetings)
        for run in sorted(runs, key=len, reverse=True):
            part = laid_part(self._ground, line, run, self._rules)
            if refused := too_short(part, self._rules) or unfit(self._site, part, shape.section):
                self._refused.append(refused)
            else:
                stations = stations_on(self._site, self._ground, part, shape.stations.reach_m[run])
                self._add(part, ShapedSwale(stations, shape.section, shape.depth_m, shape.crest_level_m))


def _buildable_runs(line: LevelLine, meetings: list[Meeting]) -> list[Run]:
    """Stations of every part whose legs are free, cut back until the returns at its ends are."""
    taken = np.any([meeting.legs for meeting in meetings], axis=0)
    begins = np.any([meeting.begins for meeting in meetings], axis=0)
    ends = np.any([meeting.ends for meeting in meetings], axis=0)
    runs = []
    for run in free_runs(line, ~taken):
        first, last = np.flatnonzero(~begins[run]), np.flatnonzero(~ends[run])
        if first.size and last.size and first[0] < last[-1]:
            runs.append(run[first[0] : last[-1] + 1])
    return runs


def _taken(line: LevelLine, runs: list[Run], meetings: list[Meeting]) -> list[RefusedLine]:
    """What is taken out of a line, each stretch with the weightiest reason that holds on it."""
    left = np.zeros(len(line.path) - 1, bool)
    for run in runs:
        left[run[:-1]] = True
    refused = []
    for stations in free_runs(line, ~left):
        met = [meeting for meeting in meetings if meeting.legs[stations[:-1]].any()]
        met += [meeting for meeting in meetings if (meeting.begins | meeting.ends)[stations].any()]
        refused.append(RefusedLine(line.level_m, line.xy[stations], met[0].reason, met[0].detail))
    return refused
