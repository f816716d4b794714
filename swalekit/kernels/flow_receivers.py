"""Where the water of each cell goes next: steepest neighbour, then across flats; and an order that follows it.

Cells are numbered row by row from the upper left (flat index). A height of NaN marks a void.
"""

import numpy as np
from numba import prange
from numpy.typing import NDArray

from swalekit.kernels.jit import int64, kernel, parallel_kernel, part_of_kernel

UNDRAINED = -1
_PLACED = 255
_DIAGONAL = np.float32(np.sqrt(0.5))


@part_of_kernel
def neighbour_offsets(columns: int) -> NDArray[np.int64]:
    """Steps of flat index to the eight neighbours: four sides, then four corners.

    Parameters
    ----------
    columns : int
        Columns of the grid.

    Returns
    -------
    ndarray of int64, shape (8,)
        Steps.
    """
    offsets = np.empty(8, np.int64)
    offsets[0], offsets[1], offsets[2], offsets[3] = 1, columns, -1, -columns
    offsets[4], offsets[5], offsets[6], offsets[7] = columns + 1, columns - 1, -columns + 1, -columns - 1
    return offsets


@part_of_kernel
def _receiver_near_edge(heights: NDArray[np.float32], row: int, column: int) -> int:
    """Steepest lower neighbour of a cell on the tile edge, or the cell itself; works for any cell."""
    rows, columns = heights.shape
    own = row * columns + column
    receiver, steepest = own, np.float32(0.0)
    for step in range(9):
        r, c = row + step // 3 - 1, column + step % 3 - 1
        if 0 <= r < rows and 0 <= c < columns:
            drop = heights[row, column] - heights[r, c]
            if r != row and c != column:
                drop *= _DIAGONAL
            if drop > steepest:
                receiver, steepest = r * columns + c, drop
    return int(receiver)


@part_of_kernel
def _touches_void(heights: NDArray[np.float32], row: int, column: int) -> bool:
    """Whether any cell of the 3 by 3 block round an inner cell is void."""
    for step in range(9):  # noqa: SIM110 - a generator can't be compiled
        if np.isnan(heights[row + step // 3 - 1, column + step % 3 - 1]):
            return True
    return False


@part_of_kernel
def _receivers_of_row(heights: NDArray[np.float32], row: int, receiver: NDArray[np.int32]) -> None:
    """Receivers of the cells of one row, as `steepest_receivers`."""
    rows, columns = heights.shape
    start = row * columns
    on_rim = row == 0 or row == rows - 1 or columns < 3
    for column in range(0, columns, 1 if on_rim else columns - 1):
        receiver[start + column] = _receiver_near_edge(heights, row, column)
    if on_rim:
        return
    for column in range(1, columns - 1):
        height = heights[row, column]
        own = start + column
        best, steepest = own, np.float32(0.0)
        drop = (height - heights[row - 1, column - 1]) * _DIAGONAL
        if drop > steepest:
            best, steepest = own - columns - 1, drop
        drop = height - heights[row - 1, column]
        if drop > steepest:
            best, steepest = own - columns, drop
        drop = (height - heights[row - 1, column + 1]) * _DIAGONAL
        if drop > steepest:
            best, steepest = own - columns + 1, drop
        drop = height - heights[row, column - 1]
        if drop > steepest:
            best, steepest = own - 1, drop
        drop = height - heights[row, column + 1]
        if drop > steepest:
            best, steepest = own + 1, drop
        drop = (height - heights[row + 1, column - 1]) * _DIAGONAL
        if drop > steepest:
            best, steepest = own + columns - 1, drop
        drop = height - heights[row + 1, column]
        if drop > steepest:
            best, steepest = own + columns, drop
        drop = (height - heights[row + 1, column + 1]) * _DIAGONAL
        if drop > steepest:
            best, steepest = own + columns + 1, drop
        receiver[own] = best
    for column in range(1, columns - 1):
        own = start + column
        if receiver[own] == own and not _touches_void(heights, row, column):
            receiver[own] = UNDRAINED


@parallel_kernel
def steepest_receivers(heights: NDArray[np.float32], receiver: NDArray[np.int32]) -> None:
    """Steepest lower neighbour of every cell (D8).

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Ground heights [m].
    receiver : ndarray of int32, shape (rows * columns,)
        Filled with the flat index of the neighbour with the greatest drop per distance, the first in row order among
        equals; the cell itself at voids and at cells on the tile edge or beside a void that have no lower neighbour;
        -1 at any other cell without a lower neighbour.
    """
    for row in prange(heights.shape[0]):
        _receivers_of_row(heights, int64(row), receiver)


@part_of_kernel
def _undrained_cells(receiver: NDArray[np.int32]) -> NDArray[np.int32]:
    """Flat indices of the cells marked -1."""
    count = 0
    for i in range(receiver.size):
        count += receiver[i] == UNDRAINED
    cells = np.empty(count, np.int32)
    count = 0
    for i in range(receiver.size):
        if receiver[i] == UNDRAINED:
            cells[count] = i
            count += 1
    return cells


@part_of_kernel
def _spread(
    heights: NDArray[np.float32],
    receiver: NDArray[np.int32],
    offsets: NDArray[np.int64],
    queue: NDArray[np.int32],
    head: int,
    tail: int,
) -> int:
    """Give every undrained cell joined to the queue at its own height a receiver, nearest first; the new tail."""
    while head < tail:
        i = queue[head]
        head += 1
        for offset in offsets:
            j = i + offset
            if receiver[j] == UNDRAINED and heights[j] == heights[i]:
                receiver[j] = i
                queue[tail] = j
                tail += 1
    return tail


@kernel
def drain_flats(heights: NDArray[np.float32], receiver: NDArray[np.int32], columns: int) -> NDArray[np.int32]:
    """Lead undrained cells across level ground to where it drains; what stays closed gets one pit.

    Undrained cells are inner cells, so all their neighbours exist and hold ground.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    receiver : ndarray of int32, shape (n_cells,)
        From `steepest_receivers`; every -1 is replaced: by the next cell on a shortest way to a drained cell of
        the same height, else on a shortest way to the pit, and by the cell itself at a pit.
    columns : int
        Columns of the grid.

    Returns
    -------
    pits : ndarray of int32
        Flat index of one cell per closed flat (often a single cell), the first in row order; ascending.
    """
    offsets = neighbour_offsets(columns)
    cells = _undrained_cells(receiver)
    queue = np.empty(cells.size, np.int32)
    tail = int64(0)
    for i in cells:
        for offset in offsets:
            j = i + offset
            if receiver[j] >= 0 and heights[j] == heights[i]:
                receiver[i] = -2 - j  # only marked, so that the next cells don't take it for drained
                queue[tail] = i
                tail += 1
                break
    head = int64(0)
    for k in range(tail):
        receiver[queue[k]] = -2 - receiver[queue[k]]
    tail = _spread(heights, receiver, offsets, queue, head, tail)
    pits = np.empty(cells.size - tail, np.int32)
    n_pits = 0
    for i in cells:
        if receiver[i] == UNDRAINED:
            receiver[i] = i
            pits[n_pits] = i
            n_pits += 1
            queue[tail] = i
            tail = _spread(heights, receiver, offsets, queue, tail, tail + 1)
    return pits[:n_pits].copy()


@kernel
def outlets_first(
    receiver: NDArray[np.int32], valid: NDArray[np.bool_], waiting: NDArray[np.uint8], order: NDArray[np.int32]
) -> None:
    """Order of the valid cells in which a cell's receiver always comes before it.

    Cells are peeled from the ridges down: a cell is placed, from the back of the order, once all that drain into it
    have been.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends; without cycles.
    valid : ndarray of bool, shape (n_cells,)
        Cells that hold ground.
    waiting : ndarray of uint8, shape (n_cells,)
        0 everywhere; counts the paths that a cell waits for: at most 8 neighbours and 8 jumps across ponds end in one.
    order : ndarray of int32, shape (n_valid,)
        Filled with the flat indices.
    """
    for i in range(receiver.size):
        if receiver[i] != i:
            waiting[receiver[i]] += 1
    place = order.size
    for start in range(receiver.size):
        i = start
        while waiting[i] == 0 and valid[i]:
            place -= 1
            order[place] = i
            waiting[i] = _PLACED
            if receiver[i] != i:
                i = receiver[i]
                waiting[i] -= 1
