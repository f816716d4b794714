"""Lines drawn by hand, laid along the contours that they follow."""

from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from swalekit.contours.lay import lay_traces, reading_order, terrain_around
from swalekit.contours.line import DEFAULT_RULES, LevelLine, LineRules, RefusedLine
from swalekit.contours.obstacles import Obstacles
from swalekit.contours.polyline import checked_path, even_steps, path_of, stretch
from swalekit.contours.trace import Trace, trace_levels
from swalekit.errors import InputError
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

FARTHEST_M = 10.0
"""A line drawn by hand on a map strays no farther from the contour that is meant."""

_SAME_M = 0.01
"""The last vertex of a ring is the first, but for rounding."""


def lay_drawn_lines(
    terrain: Terrain,
    drawn: Iterable[ArrayLike],
    obstacles: Obstacles,
    *,
    rules: LineRules = DEFAULT_RULES,
    farthest_m: float = FARTHEST_M,
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Level lines where they were drawn by hand, and what was refused of them.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    drawn : iterable of array_like, shape (n, 2)
        Easting and northing of each line's vertices, in the terrain's CRS [m]; a ring repeats its first vertex.
    obstacles : Obstacles
        What lies in the way.
    rules : LineRules
        Limits.
    farthest_m : float
        Greatest distance of a drawn line from the contour of its mean height [m].

    Returns
    -------
    lines : tuple of LevelLine
        Each on the contour at the mean height of the ground under what was drawn, as far as that reaches; from the
        highest down.
    refused : tuple of RefusedLine
        Drawn lines that follow no contour, and stretches that break a rule, as in `lay_lines`.

    Raises
    ------
    InputError
        If a line has fewer than two vertices or one that isn't finite.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(60.0)[::-1], np.ones(80))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((60, 80), cell_m=1.0, west_m=0.0, north_m=60.0))
    >>> open_ground = Obstacles(terrain.grid, shapely.box(0, 0, 80, 60))
    >>> along, down = [(10.0, 29.0), (40.0, 31.0), (70.0, 30.0)], [(40.0, 50.0), (40.0, 5.0)]
    >>> lines, refused = lay_drawn_lines(terrain, [along, down], open_ground)
    >>> lines
    (LevelLine(level 2.97 m, length 60 m, cross slope 0.1),)
    >>> [(line.reason, line.detail[:15]) for line in refused]
    [('not level', 'lies up to 23 m')]
    """
    traces, astray = [], []
    for line_xy in drawn:
        found = contour_along(terrain, line_xy, farthest_m=farthest_m)
        if isinstance(found, Trace):
            traces.append(found)
        else:
            astray.append(found)
    lines, refused = lay_traces(terrain, traces, obstacles, rules=rules)
    return lines, tuple(sorted((*astray, *refused), key=reading_order))


def contour_along(terrain: Terrain, line_xy: ArrayLike, *, farthest_m: float = FARTHEST_M) -> Trace | RefusedLine:
    """The stretch of contour that a line drawn by hand follows.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    line_xy : array_like, shape (n, 2)
        Easting and northing of its vertices [m]; a ring repeats its first vertex.
    farthest_m : float
        Greatest distance of a drawn line from the contour of its mean height [m].

    Returns
    -------
    Trace or RefusedLine
        From where the line begins to where it ends, at the mean height of the ground beneath it; refused where no
        contour of that height runs along it.

    Raises
    ------
    InputError
        If the line has fewer than two vertices, one that isn't finite, or lies where no ground is known.

    Examples
    --------
    A line drawn half a metre north of the contour of 1.05 m, on ground that falls 10 % southward:

    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(20.0)[::-1], np.ones(20))
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0, west_m=0.0, north_m=20.0))
    >>> round(contour_along(terrain, [[5.0, 11.0], [15.0, 11.0]]).level_m, 3)
    1.05
    """
    path = even_steps(checked_path(line_xy), step_m=terrain.grid.cell_m)
    ground_m = sample_heights(terrain, *path.T)
    if np.isnan(ground_m).all():
        message = (
            f"the line that begins at {path[0, 0]:.0f} east, {path[0, 1]:.0f} north lies where no ground is known; "
            "check its CRS"
        )
        raise InputError(message)
    level_m, points = float(np.nanmean(ground_m)), shapely.points(path)
    window = terrain_around(terrain, shapely.LineString(path), 2.0 * farthest_m)
    traces = [] if window is None else trace_levels(window, [level_m])
    away_m = [float(shapely.distance(_contour(trace), points).max()) for trace in traces]
    if min(away_m, default=np.inf) > farthest_m:
        near = f"lies up to {min(away_m):.0f} m from" if away_m else "meets nowhere"
        detail = f"{near} the contour of its mean height; draw it along a contour, within {farthest_m:g} m of it"
        return RefusedLine(level_m, path, "not level", detail)
    return _part_between(traces[int(np.argmin(away_m))], points)


def _part_between(trace: Trace, points: NDArray[np.object_]) -> Trace:
    """The part of a contour beside points of a line, from the first to the last; a ring beside a ring is left whole."""
    if trace.closed and points[0].distance(points[-1]) < _SAME_M:
        return trace
    contour = _contour(trace)
    first_m, middle_m, last_m = shapely.line_locate_point(contour, points[[0, len(points) // 2, -1]]).tolist()
    if trace.closed:
        backward = (middle_m - first_m) % contour.length > (last_m - first_m) % contour.length
        start_m, stop_m = (last_m, first_m) if backward else (first_m, last_m)
        stop_m = start_m + (stop_m - start_m) % contour.length
    else:
        start_m, stop_m = sorted((first_m, last_m))
    return Trace(trace.level_m, stretch(np.asarray(contour.coords), start_m, stop_m), closed=False)


def _contour(trace: Trace) -> shapely.LineString:
    """A contour as a line, a closed one back to its first vertex."""
    return shapely.LineString(path_of(trace.xy, closed=trace.closed))
