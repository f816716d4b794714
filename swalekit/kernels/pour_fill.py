"""Fill, spill, merge: where water stands that runs to the pits, and what goes over every spill point.

Barnes, Callaghan & Wickert (2021), Fill–Spill–Merge: flow routing in depression hierarchies, Earth Surface Dynamics 9,
105–121. What a full depression is given goes on to the leaf across its spill point; once what lies there is full too,
to the depression that both become. That way is fixed when a depression fills. So the ways of the full ones form trees,
in which further water finds its place by following and shortening them.
"""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import int64, kernel, part_of_kernel

NOT_FULL = -1


@part_of_kernel
def _open_place(jump: NDArray[np.int32], node: int) -> int:
    """The first on the way that is not full; shortens the way for the next water."""
    while jump[node] != NOT_FULL:
        if jump[jump[node]] != NOT_FULL:
            jump[node] = jump[jump[node]]
        node = jump[node]
    return node


@part_of_kernel
def _carry_down(onward: NDArray[np.int32], passed: NDArray[np.float64]) -> None:
    """Turn what enters less what stays at each place into all that goes on from it."""
    waiting = np.zeros(onward.size, np.int32)
    for node in range(onward.size):
        if onward[node] != NOT_FULL:
            waiting[onward[node]] += 1
    for start in range(onward.size):
        node = int64(start)
        while waiting[node] == 0:
            waiting[node] = -1
            if onward[node] == NOT_FULL:
                passed[node] = 0.0
                break
            passed[node] = max(passed[node], 0.0)
            passed[onward[node]] += passed[node]
            node = int64(onward[node])
            waiting[node] -= 1


@kernel
def fill_spill_merge(
    inflow: NDArray[np.float64],
    order: NDArray[np.int64],
    room: NDArray[np.float64],
    parent: NDArray[np.int32],
    across: NDArray[np.int32],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int32]]:
    """Where the water that runs to each pit comes to stand.

    Parameters
    ----------
    inflow : ndarray of float64, shape (n_leaves,)
        Water that runs to the pit of each leaf [m³].
    order : ndarray of int64, shape (n_leaves,)
        Order in which the leaves are given their water. It settles which of two that fill both spills first, nothing
        of where the water stands in the end.
    room : ndarray of float64, shape (n,)
        From `swalekit.kernels.pour_depressions.depression_rooms` [m³].
    parent : ndarray of int32, shape (n,)
        What each depression becomes part of, a greater number; -1 at a root.
    across : ndarray of int32, shape (n,)
        Leaf across the spill point of each; -1 where it leaves the tile.

    Returns
    -------
    water : ndarray of float64, shape (n + 1,)
        Water in each depression without that in its parts, then what left the tile [m³].
    passed : ndarray of float64, shape (n + 1,)
        What went on from each full depression [m³]; then 0.
    onward : ndarray of int32, shape (n + 1,)
        Where it went: the leaf across, or the parent; n off the tile; -1 from a depression that isn't full.
    """
    n = room.size
    other = np.full(n, NOT_FULL, np.int32)  # of two parts of one depression
    first = np.full(n, NOT_FULL, np.int32)
    for node in range(n):
        up = parent[node]
        if up >= 0:
            if first[up] == NOT_FULL:
                first[up] = node
            else:
                other[node], other[first[up]] = first[up], node
    water, passed = np.zeros(n + 1), np.zeros(n + 1)
    onward, jump = np.full(n + 1, NOT_FULL, np.int32), np.full(n + 1, NOT_FULL, np.int32)
    for leaf in order:
        left, node = inflow[leaf], int64(leaf)
        passed[leaf] += left
        while left > 0.0:
            node = int64(_open_place(jump, node))
            stays = left if node == n else min(left, room[node] - water[node])
            passed[node] -= stays
            if stays == left:
                water[node] += left
                break
            water[node] = room[node]
            left -= stays
            goal = int64(across[node]) if across[node] >= 0 else int64(n)
            if parent[node] >= 0 and onward[other[node]] != NOT_FULL:
                goal = int64(parent[node])
            onward[node] = jump[node] = goal
            node = goal
    _carry_down(onward, passed)
    return water, passed, onward
