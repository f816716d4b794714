"""A smoothed contour on its ground: where it runs and how the ground falls across it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.downhill import cross_slopes
from swalekit.contours.line import LevelLine, right_hand
from swalekit.contours.polyline import Polyline, chainages, even_steps, path_of, stretch
from swalekit.contours.rules import LineRules
from swalekit.contours.smooth import SmoothTrace
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_MOST_PULLS = 10
_PULLED_TO = 0.9  # share of the tolerance that a station beyond it is brought to


@dataclass(frozen=True, eq=False)
class Course:
    """A contour as a path with downhill on its right-hand side.

    Parameters
    ----------
    level_m : float
        Height of the contour [m].
    closed : bool
        Whether it is a ring; its path then repeats the first vertex.
    path : ndarray of float64, shape (n, 2)
        Vertices [m].
    fall : ndarray of float64, shape (n,)
        Slope across the path, left to right, averaged over three stations [m/m]; NaN beside voids.
    sharp : ndarray of bool, shape (n,)
        Vertices at a bend that can't be eased.
    """

    level_m: float
    closed: bool
    path: Polyline
    fall: NDArray[np.float64]
    sharp: NDArray[np.bool_]

    @cached_property
    def chainage_m(self) -> NDArray[np.float64]:
        """Chainage of the vertices [m]."""
        return chainages(self.path)

    @property
    def length_m(self) -> float:
        """Length of the path [m]."""
        return float(self.chainage_m[-1])

    def within_slopes(self, rules: LineRules) -> NDArray[np.bool_]:
        """Vertices whose cross slope lies within the rules' window."""
        return (self.fall >= rules.least_slope) & (self.fall <= rules.greatest_slope)


def course_of(terrain: Terrain, smooth: SmoothTrace, rules: LineRules) -> Course:
    """Measure the fall of the ground across a line and turn the line so that downhill is on the right.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    smooth : SmoothTrace
        The line.
    rules : LineRules
        Support width of the cross slope and station distance.

    Returns
    -------
    Course
        Downhill is taken from the ground on both sides, not from the line's direction: the side that is lower at most
        of the vertices.
    """
    trace = smooth.trace
    path = path_of(trace.xy, closed=trace.closed)
    sharp = np.append(smooth.sharp, smooth.sharp[:1]) if trace.closed else smooth.sharp
    step_m = max(chainages(path)[-1] / (len(path) - 1), rules.station_m / len(path))
    fall = cross_slopes(
        terrain,
        path,
        closed=trace.closed,
        support_m=rules.slope_support_m,
        vertices_averaged=2 * round(1.5 * rules.station_m / step_m) + 1,
    )
    if np.count_nonzero(fall < 0.0) > np.count_nonzero(fall > 0.0):
        path, fall, sharp = path[::-1], -fall[::-1], sharp[::-1]
    return Course(trace.level_m, trace.closed, path, fall, sharp)


def station_line(terrain: Terrain, course: Course, start_m: float, stop_m: float, rules: LineRules) -> LevelLine:
    """Level line from a part of a course.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    course : Course
        The whole line.
    start_m, stop_m : float
        The part [m]; all of its vertices must lie within the rules' slope window.
    rules : LineRules
        Station distance and slope window.

    Returns
    -------
    LevelLine
        Closed if the part is a whole ring. A station that falls between vertices on ground beyond the tolerance is
        moved across the line until it is within. Where a void has a say in a station's ground, the level stands for it.
    """
    ring = course.closed and stop_m - start_m >= course.length_m - 1e-3
    path = even_steps(stretch(course.path, start_m, stop_m), step_m=rules.station_m, least_steps=3 if ring else 1)
    chainage_m = np.linspace(start_m, stop_m, len(path)) % course.length_m
    usable = course.within_slopes(rules)
    slope = np.interp(chainage_m, course.chainage_m[usable], course.fall[usable])
    across = right_hand(path, closed=ring)
    xy, slope, across = (each[:-1] if ring else each for each in (path, slope, across))
    for _ in range(_MOST_PULLS):
        rise = np.nan_to_num(sample_heights(terrain, *xy.T) - course.level_m)
        astray = np.abs(rise) > rules.tolerance_m
        if not astray.any():
            break
        pull_m = np.where(astray, (rise - np.sign(rise) * _PULLED_TO * rules.tolerance_m) / slope, 0.0)
        xy = xy + across * pull_m[:, np.newaxis]
    ground = sample_heights(terrain, *xy.T)
    ground = np.where(np.isnan(ground), course.level_m, ground)
    return LevelLine(course.level_m, ring, xy, ground, slope)
