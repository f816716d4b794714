"""Where along a line the overflow sill does least harm."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import HARM_ORDER, KeepOut
from swalekit.contours.polyline import chainages
from swalekit.frozen import Frozen
from swalekit.kernels.section_nodes import CREST_OUTER_EDGE
from swalekit.section.apron import STEEPEST_STONE
from swalekit.section.drainage import Drainage, way_down
from swalekit.section.ground_below import reaches
from swalekit.section.shape import ShapedSwale
from swalekit.section.way_harms import above_watercourse, way_harms
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_CANDIDATE_STEP_M = 10.0
CLEAR_OF_ENDS_M = 5.0
"""A sill stays so far from both ends of its line, where the berm turns uphill."""
_LOOK_BELOW_M = 20.0
_SHIFT_STEP_M = 0.5
_LEAST_CREST_SHARE = 0.95


@one_line("station", "met", "harms")
@dataclass(frozen=True, eq=False)
class SpillPath(Frozen):
    """A place for a sill and the way its water takes.

    Parameters
    ----------
    station : int
        Station of the line at the sill.
    xy : ndarray of float64, shape (m, 2)
        From the sill downhill to the store met or to the tile's edge [m].
    met : int
        Label of the store met, a lower line or a hollow; 0 where the water leaves the tile, -1 where it stays in a
        hollow that is no store.
    slope_below : float
        Mean slope over the first 20 m below the sill [m/m].
    harms : tuple of (str, str)
        Kind and title of all that stands in its way, the worst first.
    """

    station: int
    xy: NDArray[np.float64]
    met: int
    slope_below: float
    harms: tuple[tuple[str, str], ...] = ()


def place_sill(
    line: LevelLine,
    label: int,
    *,
    terrain: Terrain,
    drainage: Drainage,
    keep_outs: Sequence[KeepOut],
    boundary: BaseGeometry | None,
    at_m: float | None = None,
    preferred: NDArray[np.bool_] | None = None,
) -> SpillPath:
    """The stretch of a line from which overflow does least harm.

    A station every 10 m is looked at, clear of the ends by 5 m, where the berm turns uphill. The path of the water is
    followed to the next store or off the tile; the least harmful one is taken: first by the worst ground it crosses
    (`HARM_ORDER`; leaving the boundary before it joins a watercourse counts as the property line), then by whether it
    lies where it is preferred, then by whether a reach of it is steeper than any ground that stone was tested on, then
    by the slope of the ground below the sill, which sets how fast the water runs.

    Parameters
    ----------
    line : LevelLine
        The line.
    label : int
        Its label; the path may run along its own berm.
    terrain : Terrain
        The ground.
    drainage : Drainage
        Where the water goes.
    keep_outs : sequence of KeepOut
        In the CRS of the terrain.
    boundary : shapely geometry or None
        The land that may be worked.
    at_m : float, optional
        Chainage where the sill is wanted, whatever it does there [m].
    preferred : ndarray of bool, shape (n,), optional
        Stations where it is rather laid, as on the part of a swale that gets most of its water.

    Returns
    -------
    SpillPath
        Where the sill lies, and the way of the water from there with the harms that it may do.
    """
    paths = []
    for station in _candidates(line) if at_m is None else [int(np.abs(line.chainage_m - at_m).argmin())]:
        xy, last = way_down(line, station, drainage, label=label)
        met = int(drainage.labels.ravel()[last])
        met = 0 if met in {label, -1} else met
        paths.append(
            spill_path(station, xy, met, terrain, drainage.watercourses, keep_outs=keep_outs, boundary=boundary)
        )

    def harm(path: SpillPath) -> tuple[int, bool, bool, float, int]:
        _, slope = reaches(above_watercourse(path.xy, terrain.grid, drainage.watercourses), terrain)
        elsewhere = preferred is not None and not preferred[path.station]
        return -_rank(path), elsewhere, bool((slope > STEEPEST_STONE).any()), round(path.slope_below, 3), path.station

    return min(paths, key=harm)


def spill_path(
    station: int,
    xy: NDArray[np.float64],
    met: int,
    terrain: Terrain,
    watercourses: NDArray[np.bool_],
    *,
    keep_outs: Sequence[KeepOut],
    boundary: BaseGeometry | None,
) -> SpillPath:
    """The way of a sill's water with what it does there.

    Parameters
    ----------
    station, xy, met : int, ndarray of float64 of shape (m, 2), int
        As `SpillPath` has them.
    terrain : Terrain
        The ground.
    watercourses : ndarray of bool, shape (rows, columns)
        Cells of watercourses.
    keep_outs : sequence of KeepOut
        In the CRS of the terrain.
    boundary : shapely geometry or None
        The land that may be worked.

    Returns
    -------
    SpillPath
        With the slope below and the harms.

    Examples
    --------
    >>> xy = design.swales[0].sill.path
    >>> path = spill_path(5, xy, 2, ground.terrain, ground.watercourses, keep_outs=(), boundary=None)
    >>> round(path.slope_below, 2), path.harms
    (0.1, ())
    """
    harms = way_harms(xy, terrain.grid, watercourses, keep_outs, boundary)
    return SpillPath(station, xy, met, _slope_below(terrain, xy), harms)


def sill_chainage_m(line: LevelLine, shape: ShapedSwale, *, wanted_m: float, length_m: float) -> float:
    """Middle of a sill that lies wholly on the line, as near as can be to where it is wanted.

    In a bend round the berm the crest is shorter than the line, and the water that goes over it crowds. The sill is
    shifted to the nearest stretch, clear of the ends by 5 m, on which the outer edge of the crest is as long as the
    sill, within 5 %; where there is none, to the longest. One that is wanted so far from both ends lies clear of them
    with its whole length, as far as the line has room.

    Parameters
    ----------
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.
    wanted_m : float
        Chainage where it is wanted [m].
    length_m : float
        Length of the sill [m].

    Returns
    -------
    float
        Chainage of its middle [m].

    Examples
    --------
    >>> from swalekit.section import Section, Stations
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> sill_chainage_m(line, shape, wanted_m=1.0, length_m=4.0)
    2.0
    """
    half_m = min(length_m, line.length_m) / 2.0
    if not line.closed:
        off_ends_m = min(wanted_m, line.length_m - wanted_m)
        room_m = line.length_m / 2.0 - half_m
        clear_m = half_m + (min(CLEAR_OF_ENDS_M, room_m) if off_ends_m > CLEAR_OF_ENDS_M - 1.0 else 0.0)
        wanted_m = min(max(wanted_m, clear_m), line.length_m - clear_m)
    shifts = np.arange(0.0, line.length_m, _SHIFT_STEP_M)
    middles = wanted_m + np.ravel(np.column_stack([shifts, -shifts]))[1:]
    if line.closed:
        middles %= line.length_m
    else:
        clear_m = max(clear_m, min(CLEAR_OF_ENDS_M, line.length_m / 2.0))
        inside = (middles >= clear_m) & (middles <= line.length_m - clear_m)
        inside[0] = True
        middles = middles[inside]
    middles = middles[_clear_of_crossings(line, shape, middles, half_m)]
    crest_m = _crest_walked_m(line, shape, middles + half_m) - _crest_walked_m(line, shape, middles - half_m)
    enough = crest_m >= _LEAST_CREST_SHARE * 2.0 * half_m
    return float(middles[np.argmax(enough if enough.any() else crest_m.round(3))])


def longest_sill_m(line: LevelLine, shape: ShapedSwale) -> float:
    """Longest sill that has room on a line, clear of its ends and its crossings.

    Parameters
    ----------
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.

    Returns
    -------
    float
        Length [m].

    Examples
    --------
    >>> round(longest_sill_m(design.swales[0].line, design.swales[0].sized.shape))
    78
    """
    clear_m, length_m = CLEAR_OF_ENDS_M, line.length_m
    if not shape.crossings:
        return length_m - 2.0 * clear_m
    spans = [(at - half, at + half) for at, half in _crossing_spans(shape)]
    if line.closed:
        edges = [*spans, (spans[0][0] + length_m, 0.0)]
    else:
        edges = [(0.0, clear_m), *spans, (length_m - clear_m, length_m)]
    return max(begin - end for (_, end), (begin, _) in pairwise(edges))


def _crossing_spans(shape: ShapedSwale) -> list[tuple[float, float]]:
    """Chainage of the middle of each crossing, and half the length of line that it takes."""
    return [(works.place.chainage_m, works.half_length_m) for works in shape.crossings]


def _clear_of_crossings(
    line: LevelLine, shape: ShapedSwale, middles_m: NDArray[np.float64], half_m: float
) -> NDArray[np.bool_]:
    """Which sills keep off the crossings; all where none does."""
    clear = np.ones(middles_m.shape, np.bool_)
    for at_m, taken_m in _crossing_spans(shape):
        away_m = np.abs(middles_m - at_m)
        clear &= (np.minimum(away_m, line.length_m - away_m) if line.closed else away_m) >= taken_m + half_m
    return clear if clear.any() else np.ones(middles_m.shape, np.bool_)


def _crest_walked_m(line: LevelLine, shape: ShapedSwale, chainage_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Length of the crest's outer edge from beside the first station to beside a place on the line."""
    edge = line.path + np.resize(line.downhill * shape.nodes[0][CREST_OUTER_EDGE, :, np.newaxis], line.path.shape)
    legs, walked_m = np.diff(line.path, axis=0), chainages(line.path)
    along_m = np.maximum(np.sum(np.diff(edge, axis=0) * legs, axis=1) / np.diff(walked_m), 0.0)
    crest_m = np.append(0.0, np.cumsum(along_m))
    rounds, rest_m = np.divmod(chainage_m, line.length_m) if line.closed else (0.0, chainage_m)
    return np.asarray(rounds * crest_m[-1] + np.interp(rest_m, walked_m, crest_m))


def _rank(path: SpillPath) -> int:
    return HARM_ORDER.index(path.harms[0][0]) if path.harms else len(HARM_ORDER)


def _candidates(line: LevelLine) -> list[int]:
    last = len(line.xy) - 1
    step = max(1, round(_CANDIDATE_STEP_M / line.spacing_m))
    clear = 0 if line.closed else min(round(CLEAR_OF_ENDS_M / line.spacing_m), last // 2)
    return list(range(clear, last - clear + 1, step))


def _slope_below(terrain: Terrain, xy: NDArray[np.float64]) -> float:
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    end = min(int(np.searchsorted(run, _LOOK_BELOW_M)), len(xy) - 1)
    top, bottom = sample_heights(terrain, xy[[0, end], 0], xy[[0, end], 1])
    fall = (top - bottom) / run[end] if run[end] > 0 else 0.0
    return float(fall) if np.isfinite(fall) else 0.0
