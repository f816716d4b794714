"""A level line moved to where it was found on site."""

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from swalekit.contours.course import cross_slopes
from swalekit.contours.line import LevelLine, LineRules
from swalekit.contours.polyline import chainages, even_steps, points_at
from swalekit.errors import InputError
from swalekit.terrain.terrain import Terrain


def moved_line(
    line: LevelLine,
    chainage_m: ArrayLike,
    xy: NDArray[np.float64],
    ground_m: NDArray[np.float64],
    terrain: Terrain,
    *,
    rules: LineRules,
) -> LevelLine:
    """Move a line through points that were levelled on site.

    Parameters
    ----------
    line : LevelLine
        The line as it was laid.
    chainage_m : array_like, shape (k,)
        Where on it the points belong, rising; two or more [m].
    xy : ndarray of float64, shape (k, 2)
        Easting and northing at which they were found [m].
    ground_m : ndarray of float64, shape (k,)
        Height of the ground there [m].
    terrain : Terrain
        The ground, for the fall across the line.
    rules : LineRules
        Station distance, and width over which the fall is measured.

    Returns
    -------
    LevelLine
        Through every point, at the mean of its ground's heights.

    Raises
    ------
    InputError
        If there are fewer than two points, or the line would cross itself.

    Notes
    -----
    Between points the line keeps its bends: each of its stations is moved by the shift of the points before and behind,
    in proportion to the distance from them, and those beyond the first and the last point as these are. So are the
    heights. Where the terrain doesn't fall across the moved line, as when its error is large, the old line's fall
    stands.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(20.0)[::-1], np.ones(20))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0, west_m=0.0, north_m=20.0))
    >>> laid = LevelLine(0.95, False, np.array([[5.0, 10.0], [15.0, 10.0]]), np.full(2, 0.95), np.full(2, 0.1))
    >>> found = np.array([[5.0, 9.0], [15.0, 9.0]])
    >>> moved = moved_line(laid, [0.0, 10.0], found, np.full(2, 0.85), terrain, rules=LineRules())
    >>> round(moved.level_m, 3), moved.xy[0].tolist(), round(moved.mean_slope, 3)
    (0.85, [5.0, 9.0], 0.1)
    """
    known_m = np.asarray(chainage_m, np.float64)
    if known_m.size < 2:
        message = f"the line at {line.level_m:.2f} m has {known_m.size} levelled point; it takes two to run a line"
        raise InputError(message)
    path = line.path
    walked = chainages(path)
    period = line.length_m if line.closed else None
    shift = xy - points_at(path, known_m)
    moved = path + np.column_stack([np.interp(walked, known_m, shift[:, axis], period=period) for axis in (0, 1)])
    if not shapely.LineString(moved).is_simple:
        message = (
            f"the line at {line.level_m:.2f} m would cross itself through its levelled points; "
            "check their numbers and coordinates"
        )
        raise InputError(message)
    even = even_steps(moved, step_m=rules.station_m, least_steps=3 if line.closed else 1)
    new_m = chainages(moved)
    old_m = np.interp(np.linspace(0.0, new_m[-1], len(even)), new_m, walked)
    fall = cross_slopes(terrain, even, closed=line.closed, support_m=rules.slope_support_m)
    laid = np.interp(old_m, line.chainage_m, line.cross_slope, period=period)
    slope = np.where(np.nan_to_num(fall) >= rules.least_slope, fall, laid)
    ground = np.interp(old_m, known_m, ground_m, period=period)
    if line.closed:
        even, slope, ground = even[:-1], slope[:-1], ground[:-1]
    return LevelLine(float(ground.mean()), line.closed, even, ground, slope, line.name)
