"""What depressions of mixed cells hold: the cells below their spill levels, their room, the level of their water."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.flow_depressions import ancestor_jumps
from swalekit.kernels.jit import kernel


@kernel
def smallest_depressions(
    heights: NDArray[np.float32],
    basin: NDArray[np.int32],
    parent: NDArray[np.int32],
    spill_level: NDArray[np.float64],
    depression: NDArray[np.int32],
) -> None:
    """The smallest depression in which each cell lies below the spill level.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    basin : ndarray of int32, shape (n_cells,)
        0 outside, k + 1 where water runs to the pit of leaf k.
    parent : ndarray of int32, shape (n,)
        What each depression becomes part of, a greater number; -1 at a root.
    spill_level : ndarray of float64, shape (n,)
        No lower than those of its parts [m].
    depression : ndarray of int32, shape (n_cells,)
        Filled; -1 where a cell lies in none.
    """
    jump = ancestor_jumps(parent)
    for i in range(heights.size):
        node = basin[i] - 1
        while node >= 0 and not heights[i] < spill_level[node]:
            if spill_level[jump[node]] <= heights[i]:
                node = jump[node] if jump[node] != node else parent[node]
            else:
                node = parent[node]
        depression[i] = node


@kernel
def depression_rooms(
    heights: NDArray[np.float32],
    depression: NDArray[np.int32],
    parent: NDArray[np.int32],
    spill_level: NDArray[np.float64],
    areas: tuple[int, float, float],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Room of each depression above the depressions in it, and the area of the ground that these cover.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    depression : ndarray of int32, shape (n_cells,)
        From `smallest_depressions`.
    parent : ndarray of int32, shape (n,)
        What each depression becomes part of, a greater number; -1 at a root.
    spill_level : ndarray of float64, shape (n,)
        Spill levels [m].
    areas : tuple of (int, float, float)
        Number of coarse cells, which come first; area of each, and of each that follows [m²].

    Returns
    -------
    rooms : ndarray of float64, shape (n,)
        Volume between ground and spill level, without that of the parts of a depression at their own [m³].
    inner_areas : ndarray of float64, shape (n,)
        Area of the cells that lie below the spill level of a part [m²].

    Notes
    -----
    V(z) = Σ a (z − h) over the cells below z (Barnes, Callaghan & Wickert 2020), as sums of depths that are exact to a
    double's rounding wherever the ground lies.
    """
    rooms, inner_areas = np.zeros(parent.size), np.zeros(parent.size)
    own_areas = np.zeros(parent.size)
    for i in range(heights.size):
        node = depression[i]
        if node >= 0:
            area = areas[1] if i < areas[0] else areas[2]
            own_areas[node] += area
            rooms[node] += area * (spill_level[node] - np.float64(heights[i]))
    for node in range(parent.size):
        up = parent[node]
        if up >= 0:
            area = own_areas[node] + inner_areas[node]
            inner_areas[up] += area
            rooms[up] += area * (spill_level[up] - spill_level[node])
    return rooms, inner_areas


@kernel
def water_levels(
    heights: NDArray[np.float32],
    wet: NDArray[np.int32],
    wet_starts: NDArray[np.int64],
    base_level: NDArray[np.float64],
    inner_areas: NDArray[np.float64],
    areas: tuple[int, float, float],
    water: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Level to which the water of each depression stands over its parts.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    wet : ndarray of int32
        Cells by `smallest_depressions`, from low to high in each.
    wet_starts : ndarray of int64, shape (n + 1,)
        Where those of each depression begin.
    base_level : ndarray of float64, shape (n,)
        Pit of a leaf, spill level of the parts of another [m].
    inner_areas : ndarray of float64, shape (n,)
        From `depression_rooms` [m²].
    areas : tuple of (int, float, float)
        Number of coarse cells, which come first; area of each, and of each that follows [m²].
    water : ndarray of float64, shape (n,)
        Water in each depression, without that in its parts [m³].

    Returns
    -------
    ndarray of float64, shape (n,)
        Levels; NaN where there is no water [m].
    """
    levels = np.full(water.size, np.nan)
    for node in range(water.size):
        if water[node] <= 0.0:
            continue
        level, area, left = base_level[node], inner_areas[node], water[node]
        for place in range(wet_starts[node], wet_starts[node + 1]):
            height = np.float64(heights[wet[place]])
            step = area * (height - level)
            if step >= left:
                break
            level = height
            left -= step
            area += areas[1] if wet[place] < areas[0] else areas[2]
        levels[node] = level + left / area
    return levels
