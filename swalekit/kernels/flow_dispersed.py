"""Flow that parts between two neighbours: the steepest of eight facets round a cell, and what it carries to stops.

Cells are numbered row by row from the upper left (flat index). A height of NaN marks a void.
"""

import math

import numpy as np
from numba import prange
from numpy.typing import NDArray

from swalekit.kernels.jit import int64, kernel, parallel_kernel, part_of_kernel

_QUARTER = math.pi / 4.0


@part_of_kernel
def _steepest_facet(heights: NDArray[np.float32], row: int, column: int) -> tuple[int, float]:
    """Facet with the steepest fall, 0 to 7 anticlockwise from east, -1 for none, and its angle from the side [rad]."""
    own = float(heights[row, column])
    facet, steepest, angle = -1, 0.0, 0.0
    for k in range(8):
        side, corner = _side_and_corner(k)
        e1 = float(heights[row + side[0], column + side[1]])
        e2 = float(heights[row + corner[0], column + corner[1]])
        s1, s2 = own - e1, e1 - e2
        turn = math.atan2(s2, s1)
        slope = math.hypot(s1, s2)
        if turn < 0.0 or turn > 0.75 * math.pi:  # beyond the side
            turn, slope = 0.0, s1
        elif turn > _QUARTER:  # beyond the corner
            turn, slope = _QUARTER, (own - e2) / math.sqrt(2.0)
        if slope > steepest:
            facet, steepest, angle = k, slope, turn
    return facet, angle


@part_of_kernel
def _side_and_corner(facet: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """Steps of row and column to the two neighbours of a facet, the one at a side first."""
    quarter = ((facet + 1) // 2) % 4
    if quarter == 0:
        side = (0, 1)
    elif quarter == 1:
        side = (-1, 0)
    elif quarter == 2:
        side = (0, -1)
    else:
        side = (1, 0)
    half = (facet // 2) % 4
    if half == 0:
        corner = (-1, 1)
    elif half == 1:
        corner = (-1, -1)
    elif half == 2:
        corner = (1, -1)
    else:
        corner = (1, 1)
    return side, corner


@kernel
def levels_on_the_way(
    heights: NDArray[np.float32], receiver: NDArray[np.int32], order: NDArray[np.int32], levels: NDArray[np.float32]
) -> None:
    """Highest ground on the way down from each cell, itself included.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    order : ndarray of int32
        Flat indices, receivers first.
    levels : ndarray of float32, shape (n_cells,)
        Filled at the cells of ``order`` [m].
    """
    for i in order:
        levels[i] = heights[i]
        if receiver[i] != i and levels[receiver[i]] > levels[i]:
            levels[i] = levels[receiver[i]]


@part_of_kernel
def _part_row(
    heights: NDArray[np.float32],
    levels: NDArray[np.float32],
    row: int,
    receiver: NDArray[np.int32],
    second: NDArray[np.int32],
    share: NDArray[np.float32],
) -> None:
    """Both receivers of the cells of one row, as `part_flow`."""
    rows, columns = heights.shape
    for column in range(columns):
        own = row * columns + column
        second[own], share[own] = receiver[own], 0.0
        inner = 0 < row < rows - 1 and 0 < column < columns - 1
        if not inner or receiver[own] == own or levels[own] > heights[row, column]:
            continue
        whole = True
        for step in range(9):
            whole &= not np.isnan(heights[row + step // 3 - 1, column + step % 3 - 1])
        if not whole:
            continue
        facet, angle = _steepest_facet(heights, row, column)
        if facet < 0:
            continue
        side, corner = _side_and_corner(facet)
        first, other = own + side[0] * columns + side[1], own + corner[0] * columns + corner[1]
        part = np.float32(angle / _QUARTER)
        if (part == 1.0 or levels[first] < levels[own]) and (part == 0.0 or levels[other] < levels[own]):
            receiver[own], second[own], share[own] = first, other, part


@parallel_kernel
def part_flow(
    heights: NDArray[np.float32],
    levels: NDArray[np.float32],
    receiver: NDArray[np.int32],
    second: NDArray[np.int32],
    share: NDArray[np.float32],
) -> None:
    """Part the flow of every cell that runs straight downhill between the two neighbours of its steepest facet.

    Levels never rise on the way, and fall where the flow is parted: it runs in no circle.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Ground heights [m].
    levels : ndarray of float32, shape (n_cells,)
        From `levels_on_the_way` [m]; a cell that lies below its own, in a hollow that is routed through, isn't parted.
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell of a flow network; replaced, where the flow is parted, by the neighbour at a side.
    second : ndarray of int32, shape (n_cells,)
        Filled with the neighbour at a corner; the receiver where the flow isn't parted.
    share : ndarray of float32, shape (n_cells,)
        Filled with the share that goes there [-].
    """
    for row in prange(heights.shape[0]):
        _part_row(heights, levels, row, receiver, second, share)


@kernel
def carry_down(
    receiver: NDArray[np.int32],
    second: NDArray[np.int32],
    share: NDArray[np.float32],
    waiting: NDArray[np.int32],
    stops: NDArray[np.int32],
    carried: NDArray[np.float64],
    received: NDArray[np.float64],
) -> None:
    """Carry what each cell holds down both ways to the first stops.

    Parameters
    ----------
    receiver, second : ndarray of int32, shape (n_cells,)
        Flat indices of the two next cells; the cell itself where a path ends.
    share : ndarray of float32, shape (n_cells,)
        Share that goes to the second [-].
    waiting : ndarray of int32, shape (n_cells,)
        0 everywhere; counts the flows that a cell waits for.
    stops : ndarray of int32, shape (n_cells,)
        Label of the stop a cell belongs to, 0 for none.
    carried : ndarray of float64, shape (n_cells,)
        What each cell holds; changed to what passes it.
    received : ndarray of float64, shape (labels,)
        Added to: what comes to label 1, 2, …; 0 where it leaves the tile.
    """
    cells = receiver.size
    for i in range(cells):
        if receiver[i] != i and stops[i] == 0:
            if share[i] < 1.0:
                waiting[receiver[i]] += 1
            if share[i] > 0.0:
                waiting[second[i]] += 1
    ready = np.empty(cells, np.int32)
    tail = int64(0)
    for i in range(cells):
        if waiting[i] == 0:
            ready[tail] = i
            tail += 1
    head = int64(0)
    while head < tail:
        i = ready[head]
        head += 1
        if stops[i] > 0 or receiver[i] == i:
            received[stops[i]] += carried[i]
            continue
        if share[i] < 1.0:
            j = receiver[i]
            carried[j] += (1.0 - share[i]) * carried[i]
            waiting[j] -= 1
            if waiting[j] == 0:
                ready[tail] = j
                tail += 1
        if share[i] > 0.0:
            j = second[i]
            carried[j] += share[i] * carried[i]
            waiting[j] -= 1
            if waiting[j] == 0:
                ready[tail] = j
                tail += 1
