"""The tree of depressions: pits, the saddles at which they join, and the nested depressions that they make together.

A depression is a leaf, the ground round one pit below its lowest saddle, or what two depressions that meet at a saddle
become once both are full (Barnes, Callaghan & Wickert 2020). The saddles are taken from low to high (Kruskal).
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.flow_basins import OUTSIDE, Saddles
from swalekit.kernels.jit import kernel, part_of_kernel

_NONE = -1


class Depressions(NamedTuple):
    """The tree: n nodes, of which the leaves come first.

    Parameters
    ----------
    leaf : ndarray of int32, shape (n_basins + 1,)
        Leaf that the water of each basin gathers in; -1 where it leaves the tile.
    carved : ndarray of int32, shape (n_basins + 1,)
        Row of the saddle over which a basin that is taken for noise leads its water on; -1 for the others.
    lowest : ndarray of int32, shape (n,)
        Basin with the lowest pit of each node.
    parent : ndarray of int32, shape (n,)
        Node that each becomes part of; -1 where it spills off the tile or into one that does.
    exits : ndarray of int32, shape (n,)
        Row of the saddle it spills over.
    inside : ndarray of int32, shape (n,)
        Which of that saddle's two cells, 0 or 1, lies in the node.
    """

    leaf: NDArray[np.int32]
    carved: NDArray[np.int32]
    lowest: NDArray[np.int32]
    parent: NDArray[np.int32]
    exits: NDArray[np.int32]
    inside: NDArray[np.int32]


@part_of_kernel
def find_root(leader: NDArray[np.int32], member: int) -> int:
    """Leader of the group that a member belongs to; shortens the way for the next caller.

    Parameters
    ----------
    leader : ndarray of int32, shape (n,)
        Another member of each one's group, itself for the leader; changed in place.
    member : int
        Whose leader is sought.

    Returns
    -------
    int
        The leader.
    """
    while leader[member] != member:
        leader[member] = leader[leader[member]]
        member = leader[member]
    return member


@part_of_kernel
def ancestor_jumps(parent: NDArray[np.int32]) -> NDArray[np.int32]:
    """An ancestor of each node by which any other is reached in a logarithm of steps (Myers 1983).

    Parameters
    ----------
    parent : ndarray of int32, shape (n,)
        What each node becomes part of, a greater number; -1 at a root.

    Returns
    -------
    ndarray of int32, shape (n,)
        The ancestor; the node itself at a root.
    """
    jump, depth = np.empty(parent.size, np.int32), np.zeros(parent.size, np.int32)
    for node in range(parent.size - 1, -1, -1):
        above = parent[node]
        jump[node] = node
        if above != _NONE:
            depth[node] = depth[above] + 1
            far = jump[above]
            jump[node] = jump[far] if depth[above] - depth[far] == depth[far] - depth[jump[far]] else above
    return jump


@part_of_kernel
def _lead_noise(saddles: Saddles, rows: NDArray[np.int32], leaf: NDArray[np.int32], carved: NDArray[np.int32]) -> None:
    """From the outside and from each leaf's own basin on, lead basins joined by the rows of noise back to it."""
    first_way = np.empty(leaf.size, np.int32)  # ways 2k and 2k + 1 leave the two ends of saddle rows[k]
    queue = np.empty(leaf.size, np.int32)
    head = tail = 0
    for basin in range(leaf.size):
        first_way[basin] = carved[basin] = _NONE
        if basin == OUTSIDE or leaf[basin] != _NONE:
            queue[tail] = basin
            tail += 1
    next_way = np.empty(2 * rows.size, np.int32)
    for way in range(2 * rows.size):
        basin = saddles.basins[rows[way // 2], way % 2]
        next_way[way] = first_way[basin]
        first_way[basin] = way
    while head < tail:
        basin = queue[head]
        head += 1
        way = first_way[basin]
        while way != _NONE:
            saddle = rows[way // 2]
            if saddle != carved[basin]:
                upper = saddles.basins[saddle, 1 - way % 2]
                carved[upper], leaf[upper] = saddle, leaf[basin]
                queue[tail] = upper
                tail += 1
            way = next_way[way]


@kernel
def depression_tree(
    saddles: Saddles, by_height: NDArray[np.int64], pit_heights: NDArray[np.float32], noise_depth: float
) -> Depressions:
    """Join basins at their saddles, from low to high; what is shallower than the noise joins its neighbour unnamed.

    Parameters
    ----------
    saddles : Saddles
        From `lowest_saddles`.
    by_height : ndarray of int64, shape (n_saddles,)
        Rows of the saddles from low to high.
    pit_heights : ndarray of float32, shape (n_basins,)
        Height of each basin's pit [m].
    noise_depth : float
        Least depth of a depression below the saddle at which it meets a deeper one or the outside [m].

    Returns
    -------
    Depressions
        Leaves by basin, then their parents from low to high.
    """
    n_basins = pit_heights.size
    leader, node_of = np.empty(n_basins + 1, np.int32), np.empty(n_basins + 1, np.int32)
    for basin in range(n_basins + 1):
        leader[basin] = node_of[basin] = basin  # a leaf has its basin's number until they are counted
    n_nodes = n_basins + 1
    parent, exits = np.empty(2 * n_basins + 1, np.int32), np.empty(2 * n_basins + 1, np.int32)
    lowest, inside = np.empty(2 * n_basins + 1, np.int32), np.empty(2 * n_basins + 1, np.int32)
    for node in range(parent.size):
        parent[node] = exits[node] = _NONE
    noise_rows = np.empty(n_basins, np.int32)
    n_noise = 0
    for row in by_height:
        shallow, deep = find_root(leader, saddles.basins[row, 0]), find_root(leader, saddles.basins[row, 1])
        if shallow == deep:
            continue
        side = 0
        if shallow == OUTSIDE or (
            deep != OUTSIDE and (pit_heights[shallow - 1], shallow) < (pit_heights[deep - 1], deep)
        ):
            shallow, deep, side = deep, shallow, 1
        leader[shallow] = deep
        if np.float64(saddles.heights[row]) - np.float64(pit_heights[shallow - 1]) < noise_depth:
            noise_rows[n_noise] = row
            n_noise += 1
            continue
        node = node_of[shallow]
        exits[node], inside[node], lowest[node] = row, side, shallow
        if deep != OUTSIDE:
            sibling = node_of[deep]
            exits[sibling], inside[sibling], lowest[sibling] = row, 1 - side, deep
            parent[node] = parent[sibling] = node_of[deep] = n_nodes
            n_nodes += 1

    leaf, carved = np.empty(n_basins + 1, np.int32), np.empty(n_basins + 1, np.int32)
    number, kept = np.empty(n_nodes, np.int32), np.empty(n_nodes, np.int32)
    n_kept = 0
    for node in range(n_nodes):
        number[node] = _NONE
        if exits[node] != _NONE:
            number[node], kept[n_kept] = n_kept, node
            n_kept += 1
        if node <= n_basins:
            leaf[node] = number[node]
    _lead_noise(saddles, noise_rows[:n_noise], leaf, carved)
    up = parent[kept[:n_kept]]
    for k in range(n_kept):
        up[k] = number[up[k]] if up[k] != _NONE else _NONE
    kept = kept[:n_kept]
    return Depressions(leaf, carved, lowest[kept], up, exits[kept], inside[kept])


@kernel
def carve_exits(receiver: NDArray[np.int32], saddles: Saddles, exits: NDArray[np.int32]) -> None:
    """Lead the water of each basin with an exit from its pit up to the exit and over it.

    Along the path from the cell at the saddle down to the pit every receiver is turned round.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell; changed in place.
    saddles : Saddles
        From `lowest_saddles`.
    exits : ndarray of int32, shape (n_basins + 1,)
        Row of the saddle each basin's water leaves over; -1 where it stays.
    """
    for basin in range(exits.size):
        if exits[basin] == _NONE:
            continue
        inner = 0 if saddles.basins[exits[basin], 0] == basin else 1
        i, next_cell = saddles.cells[exits[basin], inner], saddles.cells[exits[basin], 1 - inner]
        while True:
            below = receiver[i]
            receiver[i] = next_cell
            if below == i:
                break
            next_cell, i = i, below
