"""From raw contours to lines that a digger can follow: no bend tighter than its radius, every vertex near its level."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit.contours.polyline import even_steps, path_of
from swalekit.contours.trace import Trace
from swalekit.frozen import Frozen, read_only
from swalekit.kernels.contour_smooth import averaged
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_STEPS_A_RADIUS = 4
"""Vertices stand a quarter of the bend radius apart; bends are measured over two steps either way."""
_ROUNDS = 4
_PASSES_A_ROUND = 30
_REACH = 6 * _STEPS_A_RADIUS
"""Vertices this far along from a faulty one are worked on with it; a pass moves those up to a third as far."""
_AIM = 0.9
"""Vertices are brought back to this share of the tolerance."""


@dataclass(frozen=True, eq=False)
class SmoothTrace(Frozen):
    """A contour fit to be dug, but for its sharp vertices.

    Parameters
    ----------
    trace : Trace
        The line, vertices about a quarter of the bend radius apart.
    sharp : ndarray of bool, shape (n,)
        Vertices within reach of a bend that can't be eased without leaving the tolerance.
    """

    trace: Trace
    sharp: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class _Strings(Frozen):
    """Vertices of several lines in one list, each knowing its neighbours; at the end of a line, itself."""

    xy: NDArray[np.float64]
    level_m: NDArray[np.float64]
    before: NDArray[np.intp]
    after: NDArray[np.intp]

    @classmethod
    def of(cls, traces: Sequence[Trace]) -> "_Strings":
        """All vertices of some traces, one after the other."""
        size = np.array([len(trace.xy) for trace in traces])
        first, last = np.cumsum(size) - size, np.cumsum(size) - 1
        closed = np.array([trace.closed for trace in traces])
        before, after = np.arange(size.sum()) - 1, np.arange(size.sum()) + 1
        before[first], after[last] = np.where(closed, last, first), np.where(closed, first, last)
        level_m = np.repeat([trace.level_m for trace in traces], size)
        return cls(np.vstack([trace.xy for trace in traces]), level_m, before, after)

    def part(self, kept: NDArray[np.intp]) -> "_Strings":
        """Some of the vertices; where a neighbour is missing a line ends."""
        place = np.full(len(self.xy), -1)
        own = np.arange(kept.size)
        place[kept] = own
        before, after = place[self.before[kept]], place[self.after[kept]]
        before, after = np.where(before < 0, own, before), np.where(after < 0, own, after)
        return _Strings(self.xy[kept], self.level_m[kept], before, after)

    @property
    def ends(self) -> NDArray[np.bool_]:
        """Vertices without a neighbour on one side."""
        own = np.arange(len(self.xy))
        ends: NDArray[np.bool_] = (self.before == own) | (self.after == own)
        return ends

    def moved(self, xy: NDArray[np.float64], free: NDArray[np.bool_]) -> "_Strings":
        """Strings with some vertices moved to new places; the ends of lines stay put."""
        return replace(self, xy=np.where((free & ~self.ends)[:, None], xy, self.xy))

    def spread(self, marked: NDArray[np.bool_], steps: int) -> NDArray[np.bool_]:
        """Marked vertices and those up to some steps away."""
        for _ in range(steps):
            marked = marked | marked[self.before] | marked[self.after]
        return marked


def smooth_traces(
    terrain: Terrain, traces: Sequence[Trace], *, tolerance_m: float, bend_radius_m: float
) -> list[SmoothTrace]:
    """Ease the bends of contours while every vertex stays within a tolerance of its level.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    traces : sequence of Trace
        Raw contours.
    tolerance_m : float
        Greatest difference between a vertex's ground and its level [m].
    bend_radius_m : float
        Least radius that a machine can follow [m].

    Returns
    -------
    list of SmoothTrace
        One a trace, in the same order. Away from sharp vertices both promises hold at every vertex; the ends of open
        traces are those given.

    Raises
    ------
    InputError
        If tolerance or radius isn't greater than zero.

    Notes
    -----
    Vertices stand a quarter of the radius apart, and the bend at a vertex is that of the circle through it and the
    vertices two steps before and after. Where it is tighter than the radius, the line is passed through a low-pass
    filter (twice a moving average less its square, which doesn't shrink wide bends), and vertices that left the
    tolerance are brought back along the gradient, in turns and a bounded number of times.

    Examples
    --------
    >>> from swalekit.contours.trace import trace_levels
    >>> from swalekit.grid import Grid
    >>> heights = -0.1 * np.arange(20.0)[:, None] * np.ones((1, 30))
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=1.0))
    >>> [smooth] = smooth_traces(terrain, trace_levels(terrain, [-0.95]), tolerance_m=0.05, bend_radius_m=4.0)
    >>> bool(smooth.sharp.any())
    False
    """
    check_positive(tolerance_m=tolerance_m, bend_radius_m=bend_radius_m)
    if not traces:
        return []
    lines = list(traces)
    for _ in range(_ROUNDS):
        lines = [_evenly(line, bend_radius_m / _STEPS_A_RADIUS) for line in lines]
        strings = _recalled(terrain, _filtered(_Strings.of(lines), averages=1), tolerance_m)
        strings, sharp = _ease(terrain, strings, tolerance_m, bend_radius_m)
        stops = np.cumsum([len(line.xy) for line in lines])
        lines = [replace(line, xy=xy) for line, xy in zip(lines, np.split(strings.xy, stops[:-1]), strict=True)]
        if not sharp.any():
            break
    return [SmoothTrace(line, part) for line, part in zip(lines, np.split(sharp, stops[:-1]), strict=True)]


def _evenly(trace: Trace, step_m: float) -> Trace:
    """A trace with vertices at even steps."""
    path = even_steps(path_of(trace.xy, closed=trace.closed), step_m=step_m, least_steps=3 if trace.closed else 1)
    return replace(trace, xy=path[:-1] if trace.closed else path)


def _ease(
    terrain: Terrain, strings: _Strings, tolerance_m: float, bend_radius_m: float
) -> tuple[_Strings, NDArray[np.bool_]]:
    """Ease tight bends for a number of passes; also which vertices still break a rule."""
    broken = _tight(strings, bend_radius_m) | _astray(terrain, strings, tolerance_m)
    near = np.flatnonzero(strings.spread(broken, _REACH))
    xy, part = strings.xy.copy(), strings.part(near)
    for _ in range(_PASSES_A_ROUND):
        faulty = _tight(part, bend_radius_m) | _astray(terrain, part, tolerance_m)
        if not faulty.any():
            break
        still = part.spread(faulty, _REACH)
        if 2 * still.sum() < still.size:  # most of it is done: go on with the rest alone
            xy[near] = part.xy
            near, part, faulty = near[still], part.part(np.flatnonzero(still)), faulty[still]
        part = _filtered(part, averages=_STEPS_A_RADIUS, around=part.spread(faulty, 2 * _STEPS_A_RADIUS))
        part = _recalled(terrain, part, tolerance_m)
    xy[near] = part.xy
    strings = replace(strings, xy=xy)
    broken = _tight(strings, bend_radius_m) | _astray(terrain, strings, tolerance_m)
    return strings, strings.spread(broken, 2)


def _tight(strings: _Strings, bend_radius_m: float) -> NDArray[np.bool_]:
    """Vertices in a bend tighter than the radius, by the circle through the vertices two steps before and after."""
    a = strings.xy - strings.xy[strings.before[strings.before]]
    b = strings.xy[strings.after[strings.after]] - strings.xy
    twice_area = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    sides = np.hypot(*a.T) * np.hypot(*b.T) * np.hypot(*(a + b).T)
    turned_back = (a * b).sum(axis=1) < 0.0
    tight: NDArray[np.bool_] = turned_back | (2.0 * np.abs(twice_area) * bend_radius_m >= sides) & ~strings.ends
    return tight


def _astray(terrain: Terrain, strings: _Strings, tolerance_m: float) -> NDArray[np.bool_]:
    """Vertices whose ground is further from the level than the tolerance."""
    return np.abs(sample_heights(terrain, *strings.xy.T) - strings.level_m) > tolerance_m


def _filtered(strings: _Strings, *, averages: int, around: NDArray[np.bool_] | None = None) -> _Strings:
    """Lines without their short waves, everywhere or at some vertices."""
    once = averaged(strings.xy, strings.before, strings.after, averages)
    twice = averaged(read_only(once), strings.before, strings.after, averages)
    return strings.moved(2.0 * once - twice, np.ones(len(once), np.bool_) if around is None else around)


def _recalled(terrain: Terrain, strings: _Strings, tolerance_m: float) -> _Strings:
    """Vertices beyond the tolerance moved back within it along the gradient, at most by two cells."""
    x, y = strings.xy.T
    over = sample_heights(terrain, x, y) - strings.level_m
    over -= np.clip(over, -_AIM * tolerance_m, _AIM * tolerance_m)
    out = np.flatnonzero(np.nan_to_num(over))
    cell = terrain.grid.cell_m
    x, y, over = x[out], y[out], over[out]
    rise = np.column_stack(
        [
            sample_heights(terrain, x + cell, y) - sample_heights(terrain, x - cell, y),
            sample_heights(terrain, x, y + cell) - sample_heights(terrain, x, y - cell),
        ]
    ) / (2.0 * cell)
    steepness = np.hypot(*rise.T)
    xy = strings.xy.copy()
    with np.errstate(divide="ignore", invalid="ignore"):
        step = -over / steepness
        xy[out] += np.nan_to_num(rise.T / steepness * np.clip(step, -2.0 * cell, 2.0 * cell)).T
    return strings.moved(xy, np.ones(len(xy), np.bool_))
