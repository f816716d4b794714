"""The ground that a sill's sheet of water runs over, from the foot of the berm to the water that receives it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import HARM_ORDER, KeepOut
from swalekit.contours.polyline import chainages, points_at
from swalekit.frozen import Frozen
from swalekit.section.drainage import Drainage, way_down
from swalekit.section.outlet import LEVEL
from swalekit.section.way_harms import above_watercourse, way_harms
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

REACH_M = 5.0
"""Length of way over which a slope is taken; our choice: shorter ones show the noise of the tile."""
_ZIGZAG = 1.0824
"""How much longer a way from cell centre to cell centre may be than the straight one: 1 / cos 22.5°."""


@one_line("length_m", "slope", "layable_m", "barrier")
@dataclass(frozen=True, eq=False)
class GroundBelow(Frozen):
    """Reaches of the ground below a sill, one below the other.

    Parameters
    ----------
    length_m : ndarray of float64, shape (k,)
        Horizontal length of each reach, about 5 m [m].
    slope : ndarray of float64, shape (k,)
        Slope of each, 0.001 at least [m/m].
    layable_m : float
        How far from the foot of the berm an apron may be laid [m].
    barrier : str
        What ends that before the water is reached: a thing that is kept clear, or the property line; '' for none.
    harms : frozenset of str
        All that stands in the way of the water, setbacks included.
    """

    length_m: NDArray[np.float64]
    slope: NDArray[np.float64]
    layable_m: float = float("inf")
    barrier: str = ""
    harms: frozenset[str] = frozenset()

    @property
    def end_m(self) -> NDArray[np.float64]:
        """Distance from the foot of the berm to the end of each reach, shape (k,) [m]."""
        return np.cumsum(self.length_m)


def steepest_of(grounds: Sequence[GroundBelow]) -> GroundBelow:
    """The ground of several ways beside each other, each reach as steep and as long as the worst of them.

    Parameters
    ----------
    grounds : sequence of GroundBelow
        One a way, at least one.

    Returns
    -------
    GroundBelow
        As many reaches as the longest way has; the nearest barrier, and the harms of all.

    Examples
    --------
    >>> left, right = GroundBelow(np.full(2, 5.0), np.array([0.1, 0.3])), GroundBelow(np.array([4.0]), np.array([0.2]))
    >>> steepest_of([left, right]).slope
    array([0.2, 0.3])
    """
    count = max(len(ground.slope) for ground in grounds)
    lengths, slopes = (
        np.array([np.pad(values, (0, count - len(values))) for values in each]).max(axis=0)
        for each in zip(*((ground.length_m, ground.slope) for ground in grounds), strict=True)
    )
    nearest = min(grounds, key=lambda ground: ground.layable_m)
    harms = frozenset[str]().union(*(ground.harms for ground in grounds))
    return GroundBelow(lengths, slopes, nearest.layable_m, nearest.barrier, harms)


def ground_below(
    line: LevelLine,
    station: int,
    label: int,
    *,
    foot_m: float,
    terrain: Terrain,
    drainage: Drainage,
    keep_outs: Sequence[KeepOut],
    boundary: BaseGeometry | None,
) -> GroundBelow:
    """The ground below one station of a line, down the way that water takes over the natural ground.

    Parameters
    ----------
    line : LevelLine
        The line.
    station : int
        Which of its stations.
    label : int
        Its label; the way may run along its own berm.
    foot_m : float
        Distance from the line to the foot of its berm [m].
    terrain : Terrain
        The ground.
    drainage : Drainage
        Where the water goes.
    keep_outs : sequence of KeepOut
        In the CRS of the terrain.
    boundary : shapely geometry or None
        The land that may be worked.

    Returns
    -------
    GroundBelow
        Its reaches to the next line, a hollow, a watercourse or the tile's edge. Where heights are unknown, the slope
        across the line.

    Examples
    --------
    >>> line = layout.lines[0]
    >>> below = ground_below(line, 10, 1, foot_m=2.0, terrain=terrain, drainage=layout.drainage, keep_outs=(),
    ...     boundary=None)
    >>> round(float(below.slope.max()), 3), bool(below.end_m[-1] < 40.0), below.barrier
    (0.1, True, '')
    """
    xy, _ = way_down(line, station, drainage, label=label)
    way = above_watercourse(xy, terrain.grid, drainage.watercourses)
    length_m, slope = reaches(way, terrain, foot_m=foot_m)
    slope = np.where(np.isfinite(slope), slope, line.cross_slope[station]).clip(min=LEVEL)
    layable_m, barrier = _barrier(way, foot_m, keep_outs, boundary)
    harms = way_harms(xy, terrain.grid, drainage.watercourses, keep_outs, boundary)
    return GroundBelow(length_m, slope, layable_m, barrier, frozenset(title for _, title in harms))


def reaches(
    way: NDArray[np.float64], terrain: Terrain, *, foot_m: float = 0.0
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Length and slope of the reaches of a way downhill.

    Parameters
    ----------
    way : ndarray of float64, shape (n, 2)
        Cell centres [m].
    terrain : Terrain
        The ground.
    foot_m : float
        What is left out of its beginning, half of it at most [m].

    Returns
    -------
    length_m, slope : ndarray of float64, shape (k,)
        Of each, about 5 m long; the slope is positive downhill, NaN where a height is unknown.

    Examples
    --------
    >>> length_m, slope = reaches(design.swales[0].sill.path, terrain)
    >>> bool(np.allclose(slope, 0.1, atol=1e-3)), bool((length_m < 8.0).all())
    (True, True)
    """
    walked_m = float(chainages(way)[-1])
    foot_m = min(foot_m, walked_m / 2.0)
    ends_m = np.linspace(foot_m, walked_m, max(round((walked_m - foot_m) / REACH_M), 1) + 1)
    ends = points_at(way, ends_m)
    heights = sample_heights(terrain, ends[:, 0], ends[:, 1])
    length_m = np.maximum(np.hypot(*np.diff(ends, axis=0).T), np.diff(ends_m) / _ZIGZAG)
    return length_m, -np.diff(heights) / length_m


def _barrier(
    way: NDArray[np.float64], foot_m: float, keep_outs: Sequence[KeepOut], boundary: BaseGeometry | None
) -> tuple[float, str]:
    """Distance from the foot of the berm to the first thing that no apron is laid over, and its name."""
    line, met = shapely.LineString(way), []
    for keep_out in keep_outs:
        if keep_out.kind in HARM_ORDER and shapely.intersects(line, keep_out.geometry):
            met.append((_first_m(line, line.intersection(keep_out.geometry)), keep_out.title))
    if boundary is not None and not shapely.covers(boundary, line):
        met.append((_first_m(line, line.difference(boundary)), "property line"))
    at_m, name = min(met, default=(float("inf"), ""))
    return max(at_m - foot_m, 0.0), name


def _first_m(line: shapely.LineString, part: BaseGeometry) -> float:
    """Distance along a line at which a part of it begins."""
    return float(shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(part))).min())
