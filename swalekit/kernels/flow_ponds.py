"""Ponds in hollows: the cells under water at a level, and the level at a volume.

A pond below its spill level never reaches the tile edge or a void, so all neighbours of its cells exist.
"""

import heapq

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.flow_receivers import neighbour_offsets
from swalekit.kernels.jit import int64, kernel, part_of_kernel


@kernel
def label_ponds(
    heights: NDArray[np.float32],
    columns: int,
    pits: NDArray[np.int32],
    levels: NDArray[np.float64],
    longest: int,
    labels: NDArray[np.int32],
) -> None:
    """Number, from 1, of the pond each cell lies in.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    columns : int
        Columns of the grid.
    pits : ndarray of int32, shape (n_ponds,)
        Flat index of each pond's lowest cell.
    levels : ndarray of float64, shape (n_ponds,)
        Water levels, none above the spill level [m].
    longest : int
        Greatest number of cells in a pond.
    labels : ndarray of int32, shape (n_cells,)
        0 everywhere; 1 + k is set at cells below the k-th level and joined to the k-th pit by such cells, unless an
        earlier pond has them or the pit.
    """
    offsets = neighbour_offsets(columns)
    queue = np.empty(longest, np.int32)
    for k in range(pits.size):
        if heights[pits[k]] >= levels[k] or labels[pits[k]] > 0:
            continue
        queue[0] = pits[k]
        labels[pits[k]] = k + 1
        head, tail = 0, 1
        while head < tail:
            i = queue[head]
            head += 1
            for offset in offsets:
                j = i + offset
                if labels[j] == 0 and heights[j] < levels[k]:
                    labels[j] = k + 1
                    queue[tail] = j
                    tail += 1


@part_of_kernel
def _filled_level(
    heights: NDArray[np.float32],
    offsets: NDArray[np.int64],
    seen: NDArray[np.bool_],
    pit: int,
    spill_level: float,
    depth_sum: float,
) -> float:
    """Level of the pond round one pit when its depths add up to a sum; all in metres. Leaves no cell marked as seen."""
    base = np.float64(heights[pit])
    level = total = 0.0  # above the pit
    n_wet = 0
    frontier = [(heights[pit], int64(pit))]
    seen[pit] = True
    marked = [int64(pit)]
    while len(frontier) > 0:
        height, i = heapq.heappop(frontier)
        rise = np.float64(height) - base
        if rise > level:
            if n_wet * rise - total >= depth_sum:
                break
            level = rise
        n_wet += 1
        total += rise
        for offset in offsets:
            j = i + offset
            if not seen[j] and heights[j] < spill_level:
                seen[j] = True
                marked.append(int64(j))
                heapq.heappush(frontier, (heights[j], int64(j)))
    for i in marked:
        seen[i] = False
    return float(min(spill_level, base + max(level, (depth_sum + total) / n_wet)))


@kernel
def pond_levels(
    heights: NDArray[np.float32],
    columns: int,
    pits: NDArray[np.int32],
    spill_levels: NDArray[np.float64],
    depth_sums: NDArray[np.float64],
    seen: NDArray[np.bool_],
) -> NDArray[np.float64]:
    """Level at which each pond's depths add up to a given sum, at most its spill level.

    Water rises from the pit. When it reaches the saddle to a deeper part beside it, that part fills before the level
    goes on rising.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    columns : int
        Columns of the grid.
    pits : ndarray of int32, shape (n_ponds,)
        Flat index of each pond's lowest cell.
    spill_levels : ndarray of float64, shape (n_ponds,)
        Spill levels [m].
    depth_sums : ndarray of float64, shape (n_ponds,)
        Sum of the depths over the wet cells [m].
    seen : ndarray of bool, shape (n_cells,)
        False everywhere, and again on return.

    Returns
    -------
    levels : ndarray of float64, shape (n_ponds,)
        Water levels [m].
    """
    offsets = neighbour_offsets(columns)
    levels = np.empty(pits.size, np.float64)
    for k in range(pits.size):
        levels[k] = _filled_level(heights, offsets, seen, pits[k], spill_levels[k], depth_sums[k])
    return levels
