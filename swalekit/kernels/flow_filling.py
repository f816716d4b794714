"""How depressions fill: what each holds, and the turn in which they run over as the runoff grows."""

import heapq
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.flow_depressions import ancestor_jumps, find_root
from swalekit.kernels.jit import kernel

_NONE = -1


class Filling(NamedTuple):
    """What becomes of each leaf's water, shape (n_leaves,) each.

    Parameters
    ----------
    last : ndarray of int32
        The greatest depression that is full when the leaf's water first leaves it for good.
    room : ndarray of float64
        What it takes until then, beside what fuller ones within it hold; unit of the volumes.
    joins : ndarray of int32
        Leaf whose water drowns it once that has filled to the saddle between; -1 for none.
    joins_at : ndarray of float64
        What that leaf holds by then.
    """

    last: NDArray[np.int32]
    room: NDArray[np.float64]
    joins: NDArray[np.int32]
    joins_at: NDArray[np.float64]


@kernel
def depression_sums(
    heights: NDArray[np.float32],
    basin: NDArray[np.int32],
    leaf: NDArray[np.int32],
    parent: NDArray[np.int32],
    levels: NDArray[np.float64],
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Cells below the spill level of each depression, and the sum of their depths below it.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    basin : ndarray of int32, shape (n_cells,)
        Labels from `label_basins`.
    leaf : ndarray of int32, shape (n_basins + 1,)
        Leaf of each basin, -1 for none.
    parent : ndarray of int32, shape (n,)
        Node that each becomes part of, -1 for none; parents come after their children.
    levels : ndarray of float64, shape (n,)
        Spill levels, none lower than a child's [m].

    Returns
    -------
    cells : ndarray of int64, shape (n,)
        Cells of the full pond.
    depths : ndarray of float64, shape (n,)
        Sum of their depths [m].
    """
    cells, depths = np.zeros(parent.size, np.int64), np.zeros(parent.size, np.float64)
    jump = ancestor_jumps(parent)
    for i in range(heights.size):
        node = leaf[basin[i]]
        if node == _NONE:
            continue
        height = np.float64(heights[i])
        while node != _NONE and levels[node] <= height:
            node = jump[node] if levels[jump[node]] <= height and jump[node] != node else parent[node]
        if node != _NONE:
            cells[node] += 1
            depths[node] += levels[node] - height
    for node in range(parent.size):
        above = parent[node]
        if above != _NONE:
            cells[above] += cells[node]
            depths[above] += depths[node] + cells[node] * (levels[above] - levels[node])
    return cells, depths


@kernel
def fill_in_turn(
    parent: NDArray[np.int32],
    beyond: NDArray[np.int32],
    volumes: NDArray[np.float64],
    rates: NDArray[np.float64],
) -> Filling:
    """Fill all depressions at steady rates: who runs over when, where to, and who drowns in whom.

    A full depression runs over into what lies beyond its saddle. Once two that share a saddle are both full, they are
    one, in the name of the leaf that filled last.

    Parameters
    ----------
    parent : ndarray of int32, shape (n,)
        Node that each becomes part of, -1 for none; leaves come first, parents after their children.
    beyond : ndarray of int32, shape (n,)
        Leaf into which each runs over; -1 off the tile.
    volumes : ndarray of float64, shape (n,)
        What each holds, those within it included.
    rates : ndarray of float64, shape (n_leaves,)
        Water that reaches each leaf's ground in a unit of time, greater than zero.

    Returns
    -------
    Filling
        For every leaf.
    """
    n, n_leaves = parent.size, rates.size
    outside = n
    sibling, sender = np.empty(n, np.int32), np.empty(n, np.int32)
    room, water, rate, since, due = np.zeros(n), np.zeros(n), np.zeros(n), np.zeros(n), np.zeros(n)
    goes_to, first_child = np.empty(n + 1, np.int32), np.empty(n, np.int32)
    full = np.zeros(n, np.bool_)
    goes_to[outside] = outside
    for node in range(n):
        first_child[node] = sibling[node] = _NONE
        goes_to[node], sender[node] = node, node
        room[node] = volumes[node]
    for node in range(n):
        above = parent[node]
        if above != _NONE:
            room[above] -= volumes[node]
            if first_child[above] == _NONE:
                first_child[above] = node
            else:
                sibling[node], sibling[first_child[above]] = first_child[above], node
    result = Filling(
        np.empty(n_leaves, np.int32),
        np.zeros(n_leaves, np.float64),
        np.empty(n_leaves, np.int32),
        np.zeros(n_leaves, np.float64),
    )
    turns = [(0.0, 0)]
    turns.clear()
    for k in range(n_leaves):
        result.joins[k] = _NONE
        result.room[k] = room[k]
        rate[k] = rates[k]
        due[k] = room[k] / rate[k]
        heapq.heappush(turns, (due[k], k))
    while len(turns) > 0:
        time, node = heapq.heappop(turns)
        if full[node] or time != due[node]:
            continue
        full[node] = True
        own = sender[node]
        other = sibling[node]
        if other != _NONE and full[other]:
            target = parent[node]
            drowned = sender[other]
            result.joins[drowned], result.joins_at[drowned] = own, result.room[own]
            room[target] = max(room[target], 0.0)
            result.room[own] += room[target]
            goes_to[node] = goes_to[other] = target
            sender[target] = own
        else:
            result.last[own] = node
            goes_to[node] = beyond[node] if beyond[node] != _NONE else outside
            target = find_root(goes_to, node)
            if target == outside:
                continue
            water[target] += rate[target] * (time - since[target])
        since[target] = time
        rate[target] += rate[node]
        due[target] = time + max(room[target] - water[target], 0.0) / rate[target]
        heapq.heappush(turns, (due[target], target))
    return result
