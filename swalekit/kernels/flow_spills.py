"""How basins fill and spill: the spill tree, the hollows it groups basins into, and the paths carved along it.

The lowest route out of every basin follows a minimum spanning tree of the basin graph (Cordonnier, Bovy & Braun 2019),
rooted at basin 0, the outside.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.flow_basins import Saddles
from swalekit.kernels.jit import kernel, part_of_kernel

_NONE = -1


class SpillTree(NamedTuple):
    """Where each basin spills, and how basins join into hollows.

    Basins that share one pond when it stands at its spill level form one hollow.

    Parameters
    ----------
    exits : ndarray of int32, shape (n_basins + 1,)
        Row of the saddle each basin spills over toward the outside; -1 for the outside.
    levels : ndarray of float32, shape (n_basins + 1,)
        Level at which water leaves the basin for good [m].
    hollow : ndarray of int32, shape (n_basins + 1,)
        Hollow each basin belongs to; -1 for the outside.
    heads : ndarray of int32, shape (n_hollows,)
        The basin over whose exit the hollow spills.
    deepest : ndarray of int32, shape (n_hollows,)
        The basin with the hollow's lowest pit.
    """

    exits: NDArray[np.int32]
    levels: NDArray[np.float32]
    hollow: NDArray[np.int32]
    heads: NDArray[np.int32]
    deepest: NDArray[np.int32]


@part_of_kernel
def _root(leader: NDArray[np.int32], basin: int) -> int:
    """Leader of the group a basin belongs to; shortens the way for the next caller."""
    while leader[basin] != basin:
        leader[basin] = leader[leader[basin]]
        basin = leader[basin]
    return basin


@part_of_kernel
def _spanning_saddles(saddles: Saddles, by_height: NDArray[np.int64], n_basins: int) -> NDArray[np.int32]:
    """Rows of the saddles that join all basins and the outside at the least height (Kruskal)."""
    leader = np.empty(n_basins + 1, np.int32)
    for basin in range(n_basins + 1):
        leader[basin] = basin
    rows = np.empty(n_basins, np.int32)
    count = 0
    for row in by_height:
        first, second = _root(leader, saddles.basins[row, 0]), _root(leader, saddles.basins[row, 1])
        if first != second:
            leader[max(first, second)] = min(first, second)
            rows[count] = row
            count += 1
    return rows[:count]


@kernel
def spill_tree(saddles: Saddles, by_height: NDArray[np.int64], pit_heights: NDArray[np.float32]) -> SpillTree:
    """Spill level, exit and hollow of every basin.

    Parameters
    ----------
    saddles : Saddles
        From `lowest_saddles`.
    by_height : ndarray of int64, shape (n_saddles,)
        Rows of the saddles from low to high.
    pit_heights : ndarray of float32, shape (n_basins,)
        Height of each basin's pit [m].

    Returns
    -------
    tree : SpillTree
    """
    n_basins = pit_heights.size
    rows = _spanning_saddles(saddles, by_height, n_basins)
    first_way = np.empty(n_basins + 1, np.int32)  # ways 2k and 2k + 1 leave the two ends of saddle rows[k]
    exits, hollow = np.empty(n_basins + 1, np.int32), np.empty(n_basins + 1, np.int32)
    levels = np.empty(n_basins + 1, np.float32)
    for basin in range(n_basins + 1):
        first_way[basin] = exits[basin] = hollow[basin] = _NONE
        levels[basin] = -np.inf
    next_way = np.empty(2 * rows.size, np.int32)
    for way in range(2 * rows.size):
        basin = saddles.basins[rows[way // 2], way % 2]
        next_way[way] = first_way[basin]
        first_way[basin] = way
    heads, deepest = np.empty(n_basins, np.int32), np.empty(n_basins, np.int32)
    queue = np.empty(n_basins + 1, np.int32)
    queue[0] = 0
    tail, n_hollows = 1, 0
    for head in range(n_basins + 1):
        basin = queue[head]
        way = first_way[basin]
        while way != _NONE:
            saddle = rows[way // 2]
            upper = saddles.basins[saddle, 1 - way % 2]
            way = next_way[way]
            if saddle == exits[basin]:
                continue
            queue[tail] = upper
            tail += 1
            exits[upper] = saddle
            levels[upper] = max(saddles.heights[saddle], levels[basin])
            if saddles.heights[saddle] < levels[basin]:
                hollow[upper] = hollow[basin]
            else:
                hollow[upper] = n_hollows
                heads[n_hollows] = deepest[n_hollows] = upper
                n_hollows += 1
            rival = deepest[hollow[upper]]
            if (pit_heights[upper - 1], upper) < (pit_heights[rival - 1], rival):
                deepest[hollow[upper]] = upper
    return SpillTree(exits, levels, hollow, heads[:n_hollows].copy(), deepest[:n_hollows].copy())


@kernel
def lead_to_deepest(saddles: Saddles, tree: SpillTree, hollows: NDArray[np.int64]) -> NDArray[np.int32]:
    """Turn the exits of a hollow's basins round, so that they lead to its deepest basin instead of to its head.

    Parameters
    ----------
    saddles : Saddles
        From `lowest_saddles`.
    tree : SpillTree
        Its ``exits`` are changed in place; the deepest basins end up with none (-1).
    hollows : ndarray of int64, shape (h,)
        The hollows to treat.

    Returns
    -------
    spills : ndarray of int32, shape (h,)
        Row of the saddle each of these hollows spills over.
    """
    spills = np.empty(hollows.size, np.int32)
    for k in range(hollows.size):
        basin, way = tree.deepest[hollows[k]], np.int32(_NONE)
        while True:
            saddle = tree.exits[basin]
            tree.exits[basin] = way
            if basin == tree.heads[hollows[k]]:
                spills[k] = saddle
                break
            way = saddle
            basin = saddles.basins[saddle, 1 if saddles.basins[saddle, 0] == basin else 0]
    return spills


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


@kernel
def pond_sums(
    heights: NDArray[np.float32],
    basin: NDArray[np.int32],
    pond: NDArray[np.int32],
    levels: NDArray[np.float32],
    n_ponds: int,
    cell_area: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Area and volume of the full ponds.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    basin : ndarray of int32, shape (n_cells,)
        Labels from `label_basins`.
    pond : ndarray of int32, shape (n_basins + 1,)
        Pond that each basin belongs to; -1 for none.
    levels : ndarray of float32, shape (n_basins + 1,)
        Spill level of each basin [m].
    n_ponds : int
        Number of ponds.
    cell_area : float
        Area of a cell [m²].

    Returns
    -------
    areas : ndarray of float64, shape (n_ponds,)
        Area of the cells below the spill level [m²].
    volumes : ndarray of float64, shape (n_ponds,)
        Volume between the ground and the spill level [m³].
    """
    areas, volumes = np.zeros(n_ponds, np.float64), np.zeros(n_ponds, np.float64)
    for i in range(heights.size):
        k = pond[basin[i]]
        if k >= 0 and heights[i] < levels[basin[i]]:
            areas[k] += cell_area
            volumes[k] += cell_area * (np.float64(levels[basin[i]]) - np.float64(heights[i]))
    return areas, volumes
