"""The way of water over mixed cells: downhill, across level ground and what is full, to where it stays or leaves."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import int64, kernel, part_of_kernel
from swalekit.kernels.pour_mesh import Mesh, most_neighbours, neighbours
from swalekit.kernels.pour_receivers import steepest_neighbour

NOWHERE = -1


class Basins(NamedTuple):
    """Depressions of mixed cells as a way meets them.

    Parameters
    ----------
    basin : ndarray of int32, shape (n_heights,)
        0 where water runs off the tile; 1 + k where it runs to the pit of leaf k.
    depression : ndarray of int32, shape (n_heights,)
        Smallest depression in which each node lies below the spill level; -1 in none.
    crossed : ndarray of int32, shape (n,)
        Greatest full depression that each is or is a part of, from which water goes on across; -1 where it stays.
    stops : ndarray of bool, shape (n,)
        Depressions at whose first node a way ends.
    spill : ndarray of int32, shape (n,)
        Node at the spill point of each.
    across : ndarray of int32, shape (n,)
        Leaf that takes the spill; -1 where it leaves the tile.
    spill_level : ndarray of float64, shape (n,)
        Spill levels [m].
    """

    basin: NDArray[np.int32]
    depression: NDArray[np.int32]
    crossed: NDArray[np.int32]
    stops: NDArray[np.bool_]
    spill: NDArray[np.int32]
    across: NDArray[np.int32]
    spill_level: NDArray[np.float64]


class _Search(NamedTuple):
    """What a search over level water or ground is written to: node + 1 that each was found from, and those found."""

    found_from: NDArray[np.int32]
    queue: NDArray[np.int32]


@part_of_kernel
def _whole(basins: Basins, node: int) -> int:
    """The full depression that a node lies under the water of, -1 for none."""
    leaf = basins.basin[node] - 1
    return int64(basins.crossed[leaf]) if leaf >= 0 else NOWHERE


@part_of_kernel
def _is_end(mesh: Mesh, basins: Basins, node: int, goal: int, whole: int) -> bool:
    """Whether a search has come to its goal: that node, or on level ground any from which water runs off."""
    if whole != NOWHERE:
        return node == goal
    count = most_neighbours(mesh)
    best, on_rim = steepest_neighbour(mesh, node, np.empty(count, np.int64), np.empty(count, np.float32))
    return on_rim or best != node


@part_of_kernel
def _level_way(mesh: Mesh, basins: Basins, start: int, whole: int, search: _Search) -> NDArray[np.int32]:
    """Nodes after the start on a way of fewest steps over a full depression or level ground; may be none."""
    goal = basins.spill[whole] if whole != NOWHERE else NOWHERE
    level = basins.spill_level[whole] if whole != NOWHERE else np.float64(mesh.heights[start])
    most = most_neighbours(mesh)
    found, nearness = np.empty(most, np.int64), np.empty(most, np.float32)
    search.queue[0], search.found_from[start] = start, start + 1
    head, tail, end = 0, 1, int64(NOWHERE)
    while head < tail and end == NOWHERE:
        node = int64(search.queue[head])
        head += 1
        count, _ = neighbours(mesh, node, found, nearness)
        for k in range(count):
            beside = found[k]
            if search.found_from[beside] or not mesh.heights[beside] <= level:
                continue
            if whole != NOWHERE:
                inside = beside == goal or _whole(basins, beside) == whole
            else:
                inside = basins.basin[beside] == basins.basin[start]
            if inside:
                search.found_from[beside] = node + 1
                search.queue[tail] = beside
                tail += 1
                if _is_end(mesh, basins, beside, goal, whole):
                    end = beside
                    break
    length, node = 0, end
    while node != NOWHERE and node != start:  # noqa: PLR1714 - a tuple of both has no type
        length += 1
        node = int64(search.found_from[node]) - 1
    way = np.empty(length, np.int32)
    node = end
    for place in range(length - 1, -1, -1):
        way[place] = node
        node = int64(search.found_from[node]) - 1
    for place in range(tail):
        search.found_from[search.queue[place]] = 0
    return way


@part_of_kernel
def _across(mesh: Mesh, basins: Basins, whole: int) -> int:
    """First node beyond a spill point, itself if it drains there; -1 where the water leaves the tile."""
    node, basin = int64(basins.spill[whole]), basins.across[whole] + 1
    if basins.basin[node] == basin:
        return node
    most = most_neighbours(mesh)
    found, nearness = np.empty(most, np.int64), np.empty(most, np.float32)
    count, _ = neighbours(mesh, node, found, nearness)
    best, steepest = int64(NOWHERE), -np.float32(1.0)
    for k in range(count):
        drop = (mesh.heights[node] - mesh.heights[found[k]]) * nearness[k]
        if basins.basin[found[k]] == basin and drop >= 0.0 and drop > steepest:
            best, steepest = found[k], drop
    return best


@kernel
def walk_mesh(
    mesh: Mesh,
    basins: Basins,
    start: int,
    whole: int,
    found_from: NDArray[np.int32],
    queue: NDArray[np.int32],
) -> tuple[NDArray[np.int32], int]:
    """The way of water from a node, or over a spill point and on.

    Downhill it is that of `mesh_receivers` and `drain_mesh_flats`; through the water of a full depression it has the
    fewest steps from where it enters to the spill point.

    Parameters
    ----------
    mesh : Mesh
        The cells.
    basins : Basins
        Depressions, which of them are full, and where a way ends.
    start : int
        Node where it begins.
    whole : int
        Depression of which ``start`` is the spill point over which the water goes; -1 for none.
    found_from : ndarray of int32, shape (n_heights,)
        Zeros; zeros again in the end.
    queue : ndarray of int32, shape (n_heights,)
        Room for a search.

    Returns
    -------
    way : ndarray of int32
        Its nodes, the start first.
    leaf : int
        Leaf of the depression that it ends in; -1 where the water leaves the tile.
    """
    most = most_neighbours(mesh)
    found, nearness = np.empty(most, np.int64), np.empty(most, np.float32)
    search = _Search(found_from, queue)
    way, length = np.empty(64, np.int32), int64(1)
    way[0] = start
    node, over = int64(start), int64(whole)
    while True:
        if over != NOWHERE:
            onward = int64(_across(mesh, basins, over))
            if onward == NOWHERE:
                return way[:length].copy(), NOWHERE
            over = int64(NOWHERE)
            steps = np.empty(1 if onward != node else 0, np.int32)
            steps[:] = onward
        else:
            lies_in, leaf = basins.depression[node], basins.basin[node] - 1
            if lies_in >= 0 and basins.stops[lies_in]:
                return way[:length].copy(), leaf
            full = int64(_whole(basins, node))
            if full != NOWHERE and mesh.heights[node] < basins.spill_level[full]:
                steps, over = _level_way(mesh, basins, node, full, search), full
            else:
                best, on_rim = steepest_neighbour(mesh, node, found, nearness)
                if best != node:
                    steps = np.empty(1, np.int32)
                    steps[0] = best
                elif on_rim:
                    return way[:length].copy(), NOWHERE
                else:
                    steps = _level_way(mesh, basins, node, NOWHERE, search)
                    if steps.size == 0:
                        return way[:length].copy(), leaf
        while length + steps.size > way.size:
            way = np.append(way, np.empty(way.size, np.int32))
        way[length : length + steps.size] = steps
        length += steps.size
        node = int64(way[length - 1])
