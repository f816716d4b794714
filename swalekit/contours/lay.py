"""From levels to the lines that can be dug, and the stretches that can't."""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from affine import Affine
from numpy.typing import ArrayLike, NDArray
from shapely import Geometry

from swalekit.contours.course import Course, course_of, station_line
from swalekit.contours.cuts import Part, divide, within_polygon
from swalekit.contours.line import DEFAULT_RULES, LevelLine, LineRules, RefusedLine
from swalekit.contours.obstacles import OUTSIDE, KeepOut, Obstacles, cuts_of
from swalekit.contours.polyline import chainages, path_of, stretch
from swalekit.contours.smooth import smooth_traces
from swalekit.contours.trace import Trace, trace_levels
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain


def lay_lines(
    terrain: Terrain,
    levels_m: ArrayLike,
    *,
    area: Geometry,
    keep_outs: Sequence[KeepOut] = (),
    blocked: NDArray[np.bool_] | None = None,
    ponds: NDArray[np.bool_] | None = None,
    rules: LineRules = DEFAULT_RULES,
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Level lines of a site, and every stretch of contour that was refused.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    levels_m : array_like of float, shape (n_levels,)
        Levels to dig along [m].
    area : shapely geometry
        Ground that lines may use, in the terrain's CRS; what lies outside is left out without a word.
    keep_outs : sequence of KeepOut
        Things to keep away from.
    blocked, ponds : ndarray of bool, shape (rows, columns), optional
        Cells of watercourses, which are passed with a gap, and of ponds.
    rules : LineRules
        Limits.

    Returns
    -------
    lines : tuple of LevelLine
        From the highest level down, on one level from west to east.
    refused : tuple of RefusedLine
        What else of the contours lies in the area, each stretch with its reason, in the same order.

    Raises
    ------
    InputError
        If a level is not finite.

    Notes
    -----
    Contours are traced, smoothed (`smooth_traces`), turned so that downhill is on the right (`course_of`) and cut at
    the obstacles (`cuts_of`); where several hold, the first reason in that order is given. Pieces then left that are
    shorter than the least length are refused too. Together, lines and refused stretches are the smoothed contours
    within the area.

    Examples
    --------
    >>> heights = np.outer(0.1 * np.arange(60.0)[::-1], np.ones(80))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((60, 80), cell_m=1.0, west_m=0.0, north_m=60.0))
    >>> pipe = KeepOut("buried utility", shapely.LineString([(50, 0), (50, 60)]), 2.0)
    >>> lines, refused = lay_lines(terrain, [3.02], area=shapely.box(10, 10, 75, 50), keep_outs=[pipe])
    >>> [round(line.length_m, 2) for line in lines], [(line.reason, round(line.length_m, 2)) for line in refused]
    ([38.0, 23.0], [('buried utility', 4.0)])
    """
    obstacles = Obstacles(terrain.grid, area, keep_outs, blocked, ponds)
    traces = _traces_touching(terrain, levels_m, area, 2.0 * (rules.slope_support_m + rules.bend_radius_m))
    return lay_traces(terrain, traces, obstacles, rules=rules)


def lay_traces(
    terrain: Terrain, traces: Iterable[Trace], obstacles: Obstacles, *, rules: LineRules = DEFAULT_RULES
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Level lines along contours that are already traced, and what of them was refused.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    traces : iterable of Trace
        The contours.
    obstacles : Obstacles
        What lies in the way.
    rules : LineRules
        Limits.

    Returns
    -------
    lines : tuple of LevelLine
        By level from high to low, then from west to east, then from north to south.
    refused : tuple of RefusedLine
        What was taken out within the site, in the same order.
    """
    lines: list[LevelLine] = []
    refused: list[RefusedLine] = []
    large: list[Trace] = []
    for trace in traces:
        path = path_of(trace.xy, closed=trace.closed)
        small = _smallness(chainages(path)[-1], rules, closed=trace.closed)
        if small is None:
            large.append(trace)
            continue
        inside = [stretch(path, start, stop) for start, stop in within_polygon(path, obstacles.area)]
        refused += [RefusedLine(trace.level_m, xy, *small) for xy in inside]
    smooth = smooth_traces(terrain, large, tolerance_m=rules.tolerance_m, bend_radius_m=rules.bend_radius_m)
    for course in (course_of(terrain, trace, rules) for trace in smooth):
        for part in divide(course.length_m, cuts_of(course, obstacles, rules), closed=course.closed):
            made = _line_or_refusal(terrain, course, part, rules)
            if isinstance(made, LevelLine):
                lines.append(made)
            elif made.reason != OUTSIDE:
                refused.append(made)
    return tuple(sorted(lines, key=reading_order)), tuple(sorted(refused, key=reading_order))


def _traces_touching(terrain: Terrain, levels_m: ArrayLike, area: Geometry, margin_m: float) -> list[Trace]:
    """Contours that touch an area, traced no further than some margin around it."""
    window = terrain_around(terrain, area, margin_m)
    traces = [] if window is None else trace_levels(window, levels_m)
    if not traces:
        return []
    paths = [path_of(trace.xy, closed=trace.closed) for trace in traces]
    belongs = np.repeat(np.arange(len(paths)), [len(path) for path in paths])
    shapely.prepare(area)
    touching = shapely.intersects(area, shapely.linestrings(np.vstack(paths), indices=belongs))
    return [traces[i] for i in np.flatnonzero(touching)]


def terrain_around(terrain: Terrain, area: Geometry, margin_m: float) -> Terrain | None:
    """The part of a terrain around an area.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    area : shapely geometry
        The area, in the CRS of the grid.
    margin_m : float
        Distance from the area that is kept too [m].

    Returns
    -------
    Terrain or None
        Whole rows and columns over the area's bounds and the margin; none where no ground is known there.

    Examples
    --------
    >>> terrain = Terrain.from_heights(np.zeros((9, 9)), Grid.from_corner((9, 9), cell_m=1.0, west_m=0.0, north_m=9.0))
    >>> terrain_around(terrain, shapely.Point(4.5, 4.5), 1.0).grid.shape
    (3, 3)
    >>> terrain_around(terrain, shapely.Point(99.0, 99.0), 1.0) is None
    True
    """
    grid = terrain.grid
    west, south, east, north = shapely.bounds(area) + margin_m * np.array([-1.0, -1.0, 1.0, 1.0])
    (top, bottom), (left, right) = grid.rows_columns([west, east], [north, south])
    rows = slice(*np.clip([np.floor(top), np.ceil(bottom) + 1], 0, grid.shape[0]).astype(int).tolist())
    columns = slice(*np.clip([np.floor(left), np.ceil(right) + 1], 0, grid.shape[1]).astype(int).tolist())
    valid = terrain.valid[rows, columns]
    if not valid.any():
        return None
    a = grid.transform
    corner = Affine(a.a, 0.0, a.c + columns.start * a.a, 0.0, a.e, a.f + rows.start * a.e)
    part = Grid(valid.shape, corner, grid.crs, grid.allocate)
    heights = terrain.heights[rows, columns]
    if not heights.flags.c_contiguous:
        heights = part.zeros(np.float32)
        np.copyto(heights, terrain.heights[rows, columns])
    drawn_sigma = None if terrain.drawn_sigma is None else terrain.drawn_sigma[rows, columns]
    return Terrain(part, heights, valid, terrain.vertical_sigma_m, drawn_sigma=drawn_sigma)


def _line_or_refusal(terrain: Terrain, course: Course, part: Part, rules: LineRules) -> LevelLine | RefusedLine:
    """Level line from a part of a course, or why there is none."""
    if part.cut is None:
        length_m = part.stop_m - part.start_m
        ring = course.closed and length_m >= course.length_m - 1e-3
        small = _smallness(length_m, rules, closed=ring)
        if small is None:
            return station_line(terrain, course, part.start_m, part.stop_m, rules)
        reason, detail = small
    else:
        reason, detail = part.cut.reason, part.cut.detail
    return RefusedLine(course.level_m, stretch(course.path, part.start_m, part.stop_m), reason, detail)


def _smallness(length_m: float, rules: LineRules, *, closed: bool) -> tuple[str, str] | None:
    """Reason and detail if a line is too small to be worth a ditch."""
    least_m = rules.least_ring_m if closed else rules.least_length_m
    if length_m >= least_m:
        return None
    return ("small ring" if closed else "short"), f"{length_m:.1f} m long, least {least_m:g} m"


def reading_order(line: LevelLine | RefusedLine) -> tuple[float, float, float]:
    """Key that sorts lines as one reads them: from high to low, then from west to east, then from north to south.

    Parameters
    ----------
    line : LevelLine or RefusedLine
        The line.

    Returns
    -------
    tuple of float
        Level [m], westernmost easting [m] and southernmost northing [m], signed so that the first to be read is least.

    Examples
    --------
    >>> upper, lower = (RefusedLine(level_m, np.zeros((2, 2)), "steep", "") for level_m in (9.0, 5.0))
    >>> [line.level_m for line in sorted([lower, upper], key=reading_order)]
    [9.0, 5.0]
    """
    return -line.level_m, float(line.xy[:, 0].min()), -float(line.xy[:, 1].max())
