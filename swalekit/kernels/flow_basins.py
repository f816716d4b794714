"""The graph of basins: which pit each cell drains to, and the lowest saddle between touching basins.

Basin 0 is the outside (all that drains off the tile, and the voids); basin k drains to the k-th pit.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import int64, kernel, part_of_kernel

UNKNOWN = -1
OUTSIDE = 0


class Saddles(NamedTuple):
    """The lowest saddle of each pair of touching basins, in the order of discovery.

    Parameters
    ----------
    basins : ndarray of int32, shape (n_saddles, 2)
        The two basins, the greater label first.
    cells : ndarray of int32, shape (n_saddles, 2)
        Flat indices of the two adjacent cells, one in each basin; twice the same cell where water leaves the tile
        from a cell on the rim.
    heights : ndarray of float32, shape (n_saddles,)
        The higher of the two cells [m].
    """

    basins: NDArray[np.int32]
    cells: NDArray[np.int32]
    heights: NDArray[np.float32]


@kernel
def label_basins(receiver: NDArray[np.int32], pits: NDArray[np.int32], basin: NDArray[np.int32]) -> None:
    """Basin of every cell: k where the path ends at ``pits[k - 1]``, 0 elsewhere.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends.
    pits : ndarray of int32
        Flat indices of the pits.
    basin : ndarray of int32, shape (n_cells,)
        ``UNKNOWN`` everywhere; filled with the labels.
    """
    for k in range(pits.size):
        basin[pits[k]] = k + 1
    for start in range(receiver.size):
        i = start
        while basin[i] == UNKNOWN:
            if receiver[i] == i:
                basin[i] = OUTSIDE
            else:
                i = receiver[i]
        label = basin[i]
        i = start
        while basin[i] == UNKNOWN:
            basin[i] = label
            i = receiver[i]


@part_of_kernel
def resized(saddles: Saddles, found: int, room: int) -> Saddles:
    """The saddles found so far, with room for more or for no more.

    Parameters
    ----------
    saddles : Saddles
        The first rows are in use.
    found, room : int
        Rows in use, and rows to have.

    Returns
    -------
    Saddles
        Of so many rows.
    """
    basins, cells = np.empty((room, 2), np.int32), np.empty((room, 2), np.int32)
    heights = np.empty(room, np.float32)
    for saddle in range(found):
        for side in range(2):
            basins[saddle, side], cells[saddle, side] = saddles.basins[saddle, side], saddles.cells[saddle, side]
        heights[saddle] = saddles.heights[saddle]
    return Saddles(basins, cells, heights)


@part_of_kernel
def _place_in_table(table: NDArray[np.int32], basins: NDArray[np.int32], high: int, low: int) -> int:
    """Where an open-addressed table holds the row of a pair of basins, or the free place where it belongs."""
    mixed = int64(high) * 40503 + int64(low) * 30011
    place = (mixed ^ (mixed >> 15)) % table.size
    while table[place] >= 0 and (basins[table[place], 0] != high or basins[table[place], 1] != low):
        place = (place + 1) % table.size
    return int(place)


@part_of_kernel
def pair_table(basins: NDArray[np.int32], found: int, size: int) -> NDArray[np.int32]:
    """Table from a pair of basins to the row of its saddle, -1 in free places.

    Parameters
    ----------
    basins : ndarray of int32, shape (rows, 2)
        Pairs, the greater label first.
    found : int
        Rows in use.
    size : int
        Places, more than there will be pairs.

    Returns
    -------
    ndarray of int32, shape (size,)
        The table.
    """
    table = np.empty(size, np.int32)
    for place in range(size):
        table[place] = -1
    for saddle in range(found):
        table[_place_in_table(table, basins, basins[saddle, 0], basins[saddle, 1])] = saddle
    return table


@part_of_kernel
def row_of_pair(saddles: Saddles, table: NDArray[np.int32], found: int, high: int, low: int) -> int:
    """Row of the saddle of a pair of basins; a new row, at an endless height, where the pair is met first.

    Parameters
    ----------
    saddles : Saddles
        The first rows are in use.
    table : ndarray of int32
        From `pair_table`.
    found : int
        Rows in use.
    high, low : int
        Greater and lesser label.

    Returns
    -------
    int
        The row, ``found`` if it is new.
    """
    place = _place_in_table(table, saddles.basins, high, low)
    if table[place] < 0:
        table[place] = found
        saddles.basins[found, 0], saddles.basins[found, 1] = high, low
        saddles.heights[found] = np.inf
    return int(table[place])


@part_of_kernel
def lower_saddle(heights: NDArray[np.float32], saddles: Saddles, saddle: int, inner: int, outer: int) -> None:
    """Take two touching cells for a pair's saddle if they are lower than those before them.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m].
    saddles : Saddles
        Changed in place.
    saddle : int
        Row of the pair.
    inner, outer : int
        Flat index of the cell in the basin with the greater label and in the other; a void for the outside.
    """
    if np.isnan(heights[outer]):
        outer = inner
    level, lower = heights[inner], heights[outer]
    if level < lower:
        level, lower = lower, level
    wins = level < saddles.heights[saddle]
    if level == saddles.heights[saddle]:
        wins = lower < min(heights[saddles.cells[saddle, 0]], heights[saddles.cells[saddle, 1]])
    if wins:
        saddles.heights[saddle] = level
        saddles.cells[saddle, 0], saddles.cells[saddle, 1] = inner, outer


@kernel
def lowest_saddles(heights: NDArray[np.float32], basin: NDArray[np.int32], columns: int) -> Saddles:
    """Lowest saddle between every two basins that touch along a side or at a corner, the outside included.

    A basin that reaches the tile edge or a void meets the outside there, at its own height.

    Parameters
    ----------
    heights : ndarray of float32, shape (n_cells,)
        Ground heights [m], NaN at voids.
    basin : ndarray of int32, shape (n_cells,)
        Labels from `label_basins`.
    columns : int
        Columns of the grid.

    Returns
    -------
    saddles : Saddles
        One row per pair: the lowest; among equals that with the lower of its two cells, then the first in row order.
    """
    rows = heights.size // columns
    row_steps, column_steps = (0, 1, 1, 1, 0), (1, -1, 0, 1, 0)  # the last one stands for the outside
    found, room = int64(0), int64(16 * columns)
    saddles = Saddles(np.empty((room, 2), np.int32), np.empty((room, 2), np.int32), np.empty(room, np.float32))
    table = pair_table(saddles.basins, found, 2 * room)
    saddle = int64(0)
    high = low = np.int32(OUTSIDE)
    for row in range(rows):
        if found + 5 * columns > room:  # a cell finds at most five
            room *= 2
            saddles = resized(saddles, found, room)
            table = pair_table(saddles.basins, found, 2 * room)
        for column in range(columns):
            i = row * columns + column
            on_edge = row in (0, rows - 1) or column in (0, columns - 1)
            for step in range(5 if on_edge else 4):
                r, c = row + row_steps[step], column + column_steps[step]
                if on_edge and (r >= rows or c < 0 or c >= columns):
                    continue
                j = r * columns + c
                first, second = basin[i], basin[j]
                if step == 4:
                    second = np.int32(OUTSIDE)
                if first == second:
                    continue
                inner, outer = i, j
                if first < second:
                    inner, outer, first, second = j, i, second, first
                if first != high or second != low:
                    high, low = first, second
                    saddle = row_of_pair(saddles, table, found, high, low)
                    found = max(found, saddle + 1)
                lower_saddle(heights, saddles, saddle, inner, outer)
    return resized(saddles, found, found)
