"""Slow twins and shared promises of the flow room, for its tests."""

import heapq

import numpy as np
from scipy import ndimage

from swalekit.flow.network import FlowNetwork
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

EIGHT = [(r, c) for r in (-1, 0, 1) for c in (-1, 0, 1) if (r, c) != (0, 0)]


def make_terrain(heights, cell_m: float = 1.0) -> Terrain:
    """Terrain on a grid of square cells."""
    heights = np.asarray(heights, np.float64)
    return Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=cell_m))


def rough_heights(rng, shape, *, tilt: float = 0.0) -> np.ndarray:
    """Unique heights in steps of 1/64 m: no ties, and exact in float32 after a shift."""
    surface = ndimage.gaussian_filter(rng.standard_normal(shape), 1.2) + tilt * np.arange(shape[1])
    ranks = np.empty(surface.size)
    ranks[np.argsort(surface, axis=None)] = np.arange(surface.size)
    return ranks.reshape(shape) / 64


def rim_cells(valid) -> np.ndarray:
    """Valid cells on the tile edge or beside a void."""
    return valid & ~ndimage.binary_erosion(valid, np.ones((3, 3)))


def flood_levels(heights) -> np.ndarray:
    """Surface filled from the rim inward by a priority flood; NaN at voids."""
    valid = np.isfinite(heights)
    filled = np.full(heights.shape, np.nan)
    heap = [(heights[i], i) for i in map(tuple, np.argwhere(rim_cells(valid)))]
    seen = ~valid
    for _, i in heap:
        seen[i] = True
    heapq.heapify(heap)
    while heap:
        level, (row, column) = heapq.heappop(heap)
        filled[row, column] = level
        for r, c in ((row + dr, column + dc) for dr, dc in EIGHT):
            if 0 <= r < heights.shape[0] and 0 <= c < heights.shape[1] and not seen[r, c]:
                seen[r, c] = True
                heapq.heappush(heap, (max(level, heights[r, c]), (r, c)))
    return filled


def flooded_ponds(heights) -> tuple[np.ndarray, list[tuple[float, float, float, int]]]:
    """Wet cells of the filled surface, and level, depth, volume and cell count of each connected pond, sorted."""
    filled = flood_levels(heights)
    depth = np.nan_to_num(filled - heights)
    labels, count = ndimage.label(depth > 0, np.ones((3, 3)))
    ponds = []
    for k in range(1, count + 1):
        inside = labels == k
        ponds.append((filled[inside].max(), depth[inside].max(), depth[inside].sum(), int(inside.sum())))
    return depth > 0, sorted(ponds)


def walk(network: FlowNetwork, start: int, *, ends=()) -> list[int]:
    """Flat indices from a cell to the end of its path, one step at a time."""
    path = [int(start)]
    while path[-1] not in ends and network.receiver[path[-1]] != path[-1]:
        path.append(int(network.receiver[path[-1]]))
        assert len(path) <= network.grid.n_cells
    return path


def assert_flow_network(network: FlowNetwork, terrain: Terrain) -> None:
    """All that a flow network promises."""
    receiver, order, hollows = network.receiver, network.order, network.hollows
    columns = terrain.grid.shape[1]
    valid, heights = terrain.valid.ravel(), terrain.heights.ravel().astype(np.float64)
    cells = np.flatnonzero(valid)
    assert receiver.dtype == order.dtype == np.int32
    assert not receiver.flags.writeable
    assert not order.flags.writeable
    assert (np.sort(order) == cells).all()
    assert (receiver[~valid] == np.flatnonzero(~valid)).all()
    assert valid[receiver[cells]].all()

    place = np.full(receiver.size, -1)
    place[order] = np.arange(order.size)
    ends = receiver == np.arange(receiver.size)
    on_the_way = cells[~ends[cells]]
    assert (place[receiver[on_the_way]] < place[on_the_way]).all()
    assert rim_cells(terrain.valid).ravel()[ends & valid].all()

    def distance(a, b):
        return np.maximum(abs(a // columns - b // columns), abs(a % columns - b % columns))

    steps = np.setdiff1d(cells, hollows.pit)
    assert (distance(steps, receiver[steps]) <= 1).all()
    assert (receiver[hollows.pit] == hollows.spill_to).all()
    assert (distance(hollows.spill, hollows.spill_to) <= 1).all()
    assert ends[hollows.spill[hollows.spill == hollows.spill_to]].all()
    assert (hollows.spill_level_m == np.maximum(heights[hollows.spill], heights[hollows.spill_to])).all()
    assert (hollows.depth_m == hollows.spill_level_m - heights[hollows.pit]).all()
    assert (np.lexsort((hollows.pit, -hollows.spill_level_m)) == np.arange(hollows.pit.size)).all()
