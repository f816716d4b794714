"""Grounds with known contours, and the promises that traces keep."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from swalekit.contours.polyline import chainages, path_of
from swalekit.contours.trace import Trace
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

Surface = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]


def ground(surface: Surface, *, rows: int = 80, columns: int = 80, cell_m: float = 1.0) -> Terrain:
    """Terrain from heights as a function of easting and northing, the origin in the tile's middle."""
    west_m, north_m = -0.5 * columns * cell_m, 0.5 * rows * cell_m
    grid = Grid.from_corner((rows, columns), cell_m=cell_m, west_m=west_m, north_m=north_m)
    x, y = np.broadcast_arrays(*grid.centres(np.arange(rows)[:, None], np.arange(columns)[None, :]))
    return Terrain.from_heights(surface(x, y), grid)


def random_heights(seed: int, *, size: int = 40, sigma: float = 2.0) -> NDArray[np.float32]:
    """Smooth random heights within a few metres, whole multiples of 1/1024 m, so that shifts are exact."""
    rng = np.random.default_rng(seed)
    heights = gaussian_filter(rng.standard_normal((size, size + 7)), sigma)
    return (np.round(heights / heights.std() * 1024.0) / 1024.0).astype(np.float32)


def plain_terrain(heights: NDArray[np.floating], cell_m: float = 1.0) -> Terrain:
    """Terrain with its lower left corner at the origin."""
    north_m = heights.shape[0] * cell_m
    return Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=cell_m, west_m=0.0, north_m=north_m))


def length_m(trace: Trace) -> float:
    """Length of a trace [m]."""
    return float(chainages(path_of(trace.xy, closed=trace.closed))[-1])


def legs(traces: list[Trace]) -> NDArray[np.float64]:
    """All legs of some traces as x, y, x, y [m], each from its lesser to its greater end, sorted."""
    paths = [path_of(trace.xy, closed=trace.closed) for trace in traces]
    return sorted_legs(np.vstack([np.zeros((0, 4)), *(np.hstack([path[:-1], path[1:]]) for path in paths)]))


def sorted_legs(pairs: NDArray[np.float64]) -> NDArray[np.float64]:
    """Legs in a form that doesn't depend on direction or order."""
    a, b = (np.round(ends, 6) for ends in (pairs[:, :2], pairs[:, 2:]))
    swap = (a[:, 0] > b[:, 0]) | ((a[:, 0] == b[:, 0]) & (a[:, 1] > b[:, 1]))
    turned = np.where(swap[:, None], pairs[:, [2, 3, 0, 1]], pairs)
    return turned[np.lexsort(np.round(turned, 6).T)]


def assert_traces(terrain: Terrain, traces: list[Trace]) -> None:
    """Vertices on their level, short legs, high ground on the left, open ends only where the ground ends."""
    for trace in traces:
        row, column = terrain.grid.rows_columns(*trace.xy.T)
        path = path_of(np.column_stack([row, column]), closed=trace.closed)
        assert np.hypot(*np.diff(path, axis=0).T).max() <= np.sqrt(2.0) + 1e-6
        assert len(trace.xy) >= (3 if trace.closed else 2)
        for place, vertex in enumerate(path[: len(trace.xy)]):
            inner = trace.closed or 0 < place < len(path) - 1
            after = path[place + 1] if place + 1 < len(path) else None
            _assert_vertex(terrain, trace.level_m, vertex, after, inner=inner)


def _assert_vertex(
    terrain: Terrain, level_m: float, vertex: NDArray[np.float64], after: NDArray[np.float64] | None, *, inner: bool
) -> None:
    """One vertex lies between two cells of which only one is above the level, that one on the left."""
    whole = np.abs(vertex - np.round(vertex)) < 1e-6
    assert whole.any(), "a vertex lies on no edge"
    if whole.all():
        r, c = np.round(vertex).astype(int)
        assert abs(float(terrain.heights[r, c]) - level_m) < 1e-4, "a vertex lies on a cell of another height"
        return
    axis = int(whole[0])
    first = np.where(whole, np.round(vertex), np.floor(vertex)).astype(int)
    last = first + np.array([1 - axis, axis])
    z = [float(terrain.heights[tuple(end)]) for end in (first, last)]
    share = vertex[axis] - first[axis]
    assert abs(z[0] + share * (z[1] - z[0]) - level_m) < 1e-5 * max(1.0, np.ptp(z)), "a vertex is off its level"
    assert (z[0] > level_m) != (z[1] > level_m)
    if after is not None:
        step, high = after - vertex, (first if z[0] > level_m else last) - vertex
        assert step[1] * -high[0] - -step[0] * high[1] >= -1e-9, "high ground is on the right"
    assert inner or _beside_the_end(terrain, first, last), "a line ends in the middle of the ground"


def _beside_the_end(terrain: Terrain, first: NDArray[np.intp], last: NDArray[np.intp]) -> bool:
    """Whether one of the two quads beside an edge is missing or has a void corner."""
    across = (last - first)[::-1]
    for side in (-1, 1):
        for end in (first + side * across, last + side * across):
            if (end < 0).any() or (end >= terrain.grid.shape).any() or not terrain.valid[tuple(end)]:
                return True
    return False
