"""Loops along the flow paths: sums, first stores met, single paths, watercourses, lengths."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import int64, kernel, part_of_kernel


@kernel
def sum_downhill(receiver: NDArray[np.int32], order: NDArray[np.int32], sums: NDArray[np.float64]) -> None:
    """Add to each cell what all cells upstream of it hold.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    order : ndarray of int32
        Flat indices, receivers first.
    sums : ndarray of float64, shape (n_cells,)
        What each cell holds; changed in place.
    """
    for k in range(order.size - 1, -1, -1):
        i = order[k]
        if receiver[i] != i:
            sums[receiver[i]] += sums[i]


@kernel
def pass_uphill(
    receiver: NDArray[np.int32], order: NDArray[np.int32], stops: NDArray[np.int32], labels: NDArray[np.int32]
) -> None:
    """Give each cell the label of the first stop on its path.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    order : ndarray of int32
        Flat indices, receivers first.
    stops : ndarray of int32, shape (n_cells,)
        Label of the stop a cell belongs to, 0 for none.
    labels : ndarray of int32, shape (n_cells,)
        -1, or the label of a path's end at a cell where no stop is; changed in place: 0 where a path ends without
        either.
    """
    for i in order:
        if stops[i] > 0:
            labels[i] = stops[i]
        elif labels[i] == -1:
            labels[i] = 0 if receiver[i] == i else labels[receiver[i]]


@part_of_kernel
def _goes_on(
    receiver: NDArray[np.int32], stops: NDArray[np.int32], ends: NDArray[np.int32], ignore: int, i: int
) -> bool:
    """Whether a path goes on beyond a cell."""
    if receiver[i] == i or (stops[i] > 0 and stops[i] != ignore):
        return False
    low, high = 0, ends.size
    while low < high:
        middle = (low + high) // 2
        if ends[middle] < i:
            low = middle + 1
        else:
            high = middle
    return low == ends.size or ends[low] != i


@kernel
def walk_downhill(
    receiver: NDArray[np.int32], start: int, stops: NDArray[np.int32], ends: NDArray[np.int32], ignore: int
) -> NDArray[np.int32]:
    """Cells on the path from one cell down to the first stop or end.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    start : int
        Flat index of the first cell.
    stops : ndarray of int32, shape (n_cells,)
        Label of the stop a cell belongs to, 0 for none.
    ends : ndarray of int32
        Flat indices of other cells at which a path ends, ascending.
    ignore : int
        Label of a stop to walk through.

    Returns
    -------
    path : ndarray of int32
        Flat indices, both ends included.
    """
    length, i = 1, int64(start)  # one width for the first cell and the next
    while _goes_on(receiver, stops, ends, ignore, i):
        length += 1
        i = int64(receiver[i])
    path = np.empty(length, np.int32)
    path[0] = start
    for k in range(1, length):
        path[k] = receiver[path[k - 1]]
    return path


@kernel
def split_watercourses(
    receiver: NDArray[np.int32], wet: NDArray[np.bool_], tributaries: NDArray[np.uint8]
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Cut the watercourse cells into lines at heads, confluences and ends.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    wet : ndarray of bool, shape (n_cells,)
        Watercourse cells.
    tributaries : ndarray of uint8, shape (n_cells,)
        0 everywhere; filled with the number of watercourse cells that lead straight to a cell.

    Returns
    -------
    cells : ndarray of int32
        Flat indices of the first line's cells, downhill, then of the next line's; a confluence appears in each of its
        lines.
    starts : ndarray of int32, shape (n_lines,)
        Where each line begins in ``cells``.
    """
    n_wet = 0
    for i in range(receiver.size):
        if wet[i]:
            n_wet += 1
            if receiver[i] != i:
                tributaries[receiver[i]] += 1
    cells, starts = np.empty(2 * n_wet, np.int32), np.empty(n_wet, np.int32)
    n_cells = n_lines = 0
    for start in range(receiver.size):
        if not wet[start] or tributaries[start] == 1:
            continue
        i = start
        first = n_cells
        while receiver[i] != i and wet[receiver[i]]:
            cells[n_cells] = i
            n_cells += 1
            i = receiver[i]
            if tributaries[i] != 1:
                break
        if n_cells > first:
            cells[n_cells] = i
            n_cells += 1
            starts[n_lines] = first
            n_lines += 1
    return cells[:n_cells], starts[:n_lines]


@kernel
def farthest_of_labels(
    receiver: NDArray[np.int32],
    order: NDArray[np.int32],
    stops: NDArray[np.int32],
    labels: NDArray[np.int32],
    columns: int,
    length: NDArray[np.float32],
    farthest: NDArray[np.int64],
) -> None:
    """Give each cell the length of its path, and each label the cell with the longest.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    order : ndarray of int32
        Flat indices, receivers first.
    stops, labels : ndarray of int32, shape (n_cells,)
        Label of the stop a cell belongs to, 0 for none; and of the store its water meets first, 0, 1, ….
    columns : int
        Columns of the grid.
    length : ndarray of float32, shape (n_cells,)
        0 at further cells where a path ends, negative elsewhere; filled at the cells of ``order`` [cells].
    farthest : ndarray of int64
        −1 everywhere; filled with a flat index for each label that has cells, the first in order of equals.
    """
    diagonal = math.sqrt(2.0)
    for i in order:
        j = receiver[i]
        if j == i or stops[i] > 0 or length[i] == 0.0:
            length[i] = 0.0
        else:
            straight = i // columns == j // columns or i % columns == j % columns
            length[i] = length[j] + (1.0 if straight else diagonal)
        label = labels[i]
        if farthest[label] < 0 or length[i] > length[farthest[label]]:
            farthest[label] = i


@kernel
def path_feet(receiver: NDArray[np.int32], length: NDArray[np.float32], starts: NDArray[np.int64]) -> NDArray[np.int64]:
    """Flat indices of the cells of length 0 that paths from ``starts`` end at.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell.
    length : ndarray of float32, shape (n_cells,)
        Length of each cell's path [cells], as `farthest_of_labels` fills it.
    starts : ndarray of int64, shape (n,)
        Flat indices.

    Returns
    -------
    ndarray of int64, shape (n,)
        Flat indices.
    """
    feet = starts.copy()
    for k in range(feet.size):
        while length[feet[k]] > 0.0:
            feet[k] = receiver[feet[k]]
    return feet
