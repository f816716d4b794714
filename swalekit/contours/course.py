"""A smoothed contour on its ground: where it runs and how the ground falls across it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter1d

from swalekit.contours.line import LevelLine, LineRules
from swalekit.contours.polyline import Polyline, chainages, even_steps, path_of, right_hand, stretch
from swalekit.contours.smooth import SmoothTrace
from swalekit.frozen import Frozen, locked_property
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_MOST_PULLS = 10
_STATIONS_AVERAGED = 3
_PULLED_TO = 0.9  # share of the tolerance that a station beyond it is brought to


def cross_slopes(
    terrain: Terrain, path: Polyline, *, closed: bool, support_m: float, vertices_averaged: int = 1
) -> NDArray[np.float64]:
    """Fall of the ground across a path, from its left to its right.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    path : ndarray of float64, shape (n, 2)
        Vertices of the path [m]; a closed one repeats its first vertex.
    closed : bool
        Whether the path is a ring.
    support_m : float
        Width over which the fall is measured, half of it on either side [m].
    vertices_averaged : int
        Vertices along the path over which the fall is averaged.

    Returns
    -------
    ndarray of float64, shape (n,)
        Positive where the right-hand side is lower [m/m]; NaN where neither side has ground. Where only one has, the
        fall is measured from there to the path.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(20.0)[::-1], np.ones(20))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0, west_m=0.0, north_m=20.0))
    >>> eastward = np.array([[5.0, 10.0], [15.0, 10.0]])
    >>> cross_slopes(terrain, eastward, closed=False, support_m=6.0).round(3)
    array([0.1, 0.1])
    """
    right = 0.5 * support_m * right_hand(path, closed=closed)
    left_m, middle_m, right_m = (sample_heights(terrain, *(path + side * right).T) for side in (-1.0, 0.0, 1.0))
    uphill, downhill = left_m - middle_m, middle_m - right_m
    fall = np.where(np.isnan(uphill), downhill, np.where(np.isnan(downhill), uphill, 0.5 * (uphill + downhill)))
    return _averaged(2.0 * fall / support_m, vertices_averaged, closed=closed)


def _averaged(values: NDArray[np.float64], count: int, *, closed: bool) -> NDArray[np.float64]:
    """Moving average over some vertices, leaving out what is NaN; NaN stays NaN."""
    ring = values[:-1] if closed else values
    known = np.isfinite(ring)
    mode = "wrap" if closed else "nearest"
    total = uniform_filter1d(np.where(known, ring, 0.0), count, mode=mode)
    weight = uniform_filter1d(known.astype(np.float64), count, mode=mode)
    mean = np.where(known, total / np.maximum(weight, 0.5 / count), np.nan)
    return np.append(mean, mean[0]) if closed else mean


@dataclass(frozen=True, eq=False)
class Course(Frozen):
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

    @locked_property
    def chainage_m(self) -> NDArray[np.float64]:
        """Chainage of the vertices [m]."""
        return chainages(self.path)

    @property
    def length_m(self) -> float:
        """Length of the path [m]."""
        return float(self.chainage_m[-1])

    def within_slopes(self, rules: LineRules) -> NDArray[np.bool_]:
        """Vertices whose cross slope lies within the rules' window.

        Parameters
        ----------
        rules : LineRules
            The window, both limits included.

        Returns
        -------
        ndarray of bool, shape (n,)
            False beside voids too, where the slope is unknown.

        Examples
        --------
        >>> path = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
        >>> course = Course(5.0, False, path, np.array([0.1, 0.5, np.nan]), np.zeros(3, np.bool_))
        >>> course.within_slopes(LineRules(least_slope=0.02, greatest_slope=0.3))
        array([ True, False, False])
        """
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

    Examples
    --------
    On ground that falls southward a contour that was walked westward is turned:

    >>> from swalekit.contours.trace import Trace
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(20.0)[::-1], np.ones(20))
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0, west_m=0.0, north_m=20.0))
    >>> westward = Trace(1.0, np.array([[15.0, 10.5], [10.0, 10.5], [5.0, 10.5]]), False)
    >>> course_of(terrain, SmoothTrace(westward, np.zeros(3, np.bool_)), LineRules()).path[:, 0]
    array([ 5., 10., 15.])
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

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(20.0)[::-1], np.ones(20))
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0, west_m=0.0, north_m=20.0))
    >>> path = np.array([[5.0, 9.5], [15.0, 9.5]])
    >>> course = Course(0.9, False, path, np.array([0.1, 0.1]), np.zeros(2, np.bool_))
    >>> station_line(terrain, course, 0.0, 6.0, LineRules(station_m=2.0)).chainage_m
    array([0., 2., 4., 6.])
    """
    ring = course.closed and stop_m - start_m >= course.length_m - 1e-3
    path = even_steps(stretch(course.path, start_m, stop_m), step_m=rules.station_m, least_steps=3 if ring else 1)
    chainage_m = np.linspace(start_m, stop_m, len(path)) % course.length_m
    usable = course.within_slopes(rules)
    slope = np.interp(chainage_m, course.chainage_m[usable], course.fall[usable])
    across = right_hand(path, closed=ring)
    xy, slope, across = (values[:-1] if ring else values for values in (path, slope, across))
    for _ in range(_MOST_PULLS):
        rise = np.nan_to_num(sample_heights(terrain, *xy.T) - course.level_m)
        astray = np.abs(rise) > rules.tolerance_m
        if not astray.any():
            break
        pull_m = np.where(astray, (rise - np.sign(rise) * _PULLED_TO * rules.tolerance_m) / slope, 0.0)
        xy = xy + across * pull_m[:, np.newaxis]
    return level_line(terrain, course.level_m, xy, closed=ring, rules=rules)


def level_line(
    terrain: Terrain, level_m: float, xy: NDArray[np.float64], *, closed: bool, rules: LineRules, name: str = ""
) -> LevelLine:
    """The level line of given stations: what the ground is at them and how it falls across.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    level_m : float
        Height of the line [m].
    xy : ndarray of float64, shape (n, 2)
        Easting and northing of the stations, downhill on the right [m].
    closed : bool
        Whether the last is joined to the first.
    rules : LineRules
        Width over which the fall is measured, and the least that is counted.
    name : str
        Lasting name of the line.

    Returns
    -------
    LevelLine
        The same for the same stations, whether they were just laid, are a part of a longer line, or were read from a
        file. The fall is averaged over three stations; where a void has a say in a station's ground, the level stands
        for it, and where none falls to the right, the least slope for the fall.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(20.0)[::-1], np.ones(20))
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0, west_m=0.0, north_m=20.0))
    >>> xy = np.array([[5.0, 10.0], [7.0, 10.0], [9.0, 10.0]])
    >>> level_line(terrain, 0.95, xy, closed=False, rules=LineRules(), name="S4")
    LevelLine(S4, level 0.95 m, length 4 m, cross slope 0.1)
    """
    ground = sample_heights(terrain, *xy.T)
    ground = np.where(np.isnan(ground), level_m, ground)
    return LevelLine(level_m, closed, xy, ground, station_slopes(terrain, xy, closed=closed, rules=rules), name)


def station_slopes(terrain: Terrain, xy: NDArray[np.float64], *, closed: bool, rules: LineRules) -> NDArray[np.float64]:
    """Fall of the ground across a line at its stations, by their places alone.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    xy : ndarray of float64, shape (n, 2)
        Easting and northing of the stations, downhill on the right [m].
    closed : bool
        Whether the last is joined to the first.
    rules : LineRules
        Width over which the fall is measured, and the least that is counted.

    Returns
    -------
    ndarray of float64, shape (n,)
        Averaged over three stations; the least slope where none falls to the right [m/m].
    """
    fall = cross_slopes(
        terrain,
        path_of(xy, closed=closed),
        closed=closed,
        support_m=rules.slope_support_m,
        vertices_averaged=_STATIONS_AVERAGED,
    )
    return np.asarray(np.fmax(fall, rules.least_slope)[: len(xy)])
