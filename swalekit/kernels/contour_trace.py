"""Level lines of all levels in one sweep over the cells.

A *quad* is the square between four neighbouring cell centres, an *edge* one of its sides. The rank of a cell is the
number of levels below its height, so the levels that cross an edge are those between the ranks of its two ends, and an
edge's *nodes* (one a crossing level) are numbered in one run, lowest level first. Rows of edges are counted first,
which fixes every node's number; bands of rows can then be worked in any order with the same result.
"""

import numpy as np
from numba import prange
from numpy.typing import NDArray

from swalekit.kernels.jit import int64, kernel, parallel_kernel, part_of_kernel

BAND_ROWS = 64
VOID = -1


@part_of_kernel
def rank_row(heights: NDArray[np.float32], levels: NDArray[np.float64], ranks: NDArray[np.int32]) -> None:
    """Number of levels below each height of a row, `VOID` where the height is NaN; levels ascend.

    Parameters
    ----------
    heights : ndarray of float32, shape (columns,)
        Heights of the row [m].
    levels : ndarray of float64
        Levels, ascending [m].
    ranks : ndarray of int32, shape (columns,)
        Filled.
    """
    rank = 0
    lower, upper = -np.inf, levels[0]
    for column in range(heights.size):
        height = np.float64(heights[column])
        if np.isnan(height):
            ranks[column] = VOID
            continue
        if height > upper or height <= lower:
            while rank < levels.size and height > levels[rank]:
                rank += 1
            while rank > 0 and height <= levels[rank - 1]:
                rank -= 1
            lower = levels[rank - 1] if rank > 0 else -np.inf
            upper = levels[rank] if rank < levels.size else np.inf
        ranks[column] = rank


@part_of_kernel
def crossings(rank_a: int, rank_b: int) -> int:
    """Number of levels that cross an edge; none beside a void.

    Parameters
    ----------
    rank_a, rank_b : int
        Ranks of the two ends.

    Returns
    -------
    int
        How many.
    """
    return abs(rank_a - rank_b) if min(rank_a, rank_b) > VOID else 0


@part_of_kernel
def _count_band(
    heights: NDArray[np.float32], levels: NDArray[np.float64], band: int, counts: NDArray[np.int64]
) -> None:
    """Count the nodes of one band of rows, as `count_nodes`."""
    rows, columns = heights.shape
    here = np.empty(columns, np.int32)
    below = np.empty(columns, np.int32)
    rank_row(heights[band * BAND_ROWS], levels, here)
    for row in range(band * BAND_ROWS, min((band + 1) * BAND_ROWS, rows)):
        along = 0
        for column in range(columns - 1):
            along += crossings(here[column], here[column + 1])
        counts[row, 0] = along
        if row + 1 == rows:
            break
        rank_row(heights[row + 1], levels, below)
        down = 0
        for column in range(columns):
            down += crossings(here[column], below[column])
        counts[row, 1] = down
        here, below = below, here


@parallel_kernel
def count_nodes(heights: NDArray[np.float32], levels: NDArray[np.float64], counts: NDArray[np.int64]) -> None:
    """Nodes on the edges along each row (``counts[:, 0]``) and on those from it to the next row (``counts[:, 1]``).

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights [m]; NaN for voids.
    levels : ndarray of float64
        Levels, ascending [m].
    counts : ndarray of int64, shape (rows, 2)
        0 everywhere; filled.
    """
    for band in prange((heights.shape[0] + BAND_ROWS - 1) // BAND_ROWS):
        _count_band(heights, levels, int64(band), counts)


@part_of_kernel
def number_row(ranks: NDArray[np.int32], first: int, numbers: NDArray[np.int64]) -> None:
    """Number of the first node of each crossed edge along a row.

    Parameters
    ----------
    ranks : ndarray of int32, shape (columns,)
        Ranks of the row's cells.
    first : int
        Number of the row's first node.
    numbers : ndarray of int64, shape (columns,)
        Filled where an edge is crossed.
    """
    for column in range(ranks.size - 1):
        if ranks[column] != ranks[column + 1]:
            numbers[column] = first
            first += crossings(ranks[column], ranks[column + 1])


@part_of_kernel
def place_nodes(
    row: int,
    column: int,
    row_step: int,
    heights: NDArray[np.float32],
    ranks: tuple[int, int],
    first: int,
    levels: NDArray[np.float64],
    frame: tuple[float, float, float],
    node_xy: NDArray[np.float64],
    node_rank: NDArray[np.int32],
) -> None:
    """Place the nodes of one edge by linear interpolation: to the cell below (``row_step`` 1) or to the right (0).

    Parameters
    ----------
    row, column, row_step : int
        Upper or left cell of the edge, and which way it goes.
    heights : ndarray of float32, shape (rows, columns)
        Heights [m].
    ranks : tuple of int
        Ranks of both ends.
    first : int
        Number of the edge's first node.
    levels : ndarray of float64
        Levels, ascending [m].
    frame : tuple of float
        Easting and northing of the first cell centre, and the cell [m].
    node_xy, node_rank : ndarray of float64, shape (nodes, 2), and of int32, shape (nodes,)
        Filled for the edge's nodes: place [m] and number of its level.
    """
    if ranks[0] == VOID or ranks[1] == VOID:
        return
    west, north, cell = frame
    start = np.float64(heights[row, column])
    rise = np.float64(heights[row + row_step, column + 1 - row_step]) - start
    low = min(ranks[0], ranks[1])
    for k in range(abs(ranks[0] - ranks[1])):
        share = (levels[low + k] - start) / rise
        node_xy[first + k, 0] = west + cell * (column + (1 - row_step) * share)
        node_xy[first + k, 1] = north - cell * (row + row_step * share)
        node_rank[first + k] = low + k


@part_of_kernel
def link_quad(
    ranks: tuple[int, int, int, int],
    numbers: tuple[int, int, int, int],
    mean_height: float,
    levels: NDArray[np.float64],
    following: NDArray[np.int32],
    entered: NDArray[np.bool_],
) -> None:
    """Link the nodes of one quad so that higher ground is on the left.

    Corners and edges run clockwise from the upper left corner and the upper edge. Going round clockwise, a line enters
    the quad where the ground rises through its level and leaves where it falls. At a saddle (two of each) the mean
    height of the corners tells whether the high or the low corners are joined.

    Parameters
    ----------
    ranks, numbers : tuple of int
        Rank of each corner, and number of the first node of each edge.
    mean_height : float
        Mean height of the corners [m].
    levels : ndarray of float64
        Levels, ascending [m].
    following : ndarray of int32, shape (nodes,)
        Filled with the node after each.
    entered : ndarray of bool, shape (nodes,)
        Set for nodes with one before them.
    """
    for level in range(min(ranks), max(ranks)):
        entries = 0
        for edge in range(4):
            if ranks[edge] <= level < ranks[(edge + 1) % 4]:
                entries += 1
        for edge in range(4):
            if not ranks[edge] <= level < ranks[(edge + 1) % 4]:
                continue
            way = 3 if entries == 2 and mean_height > levels[level] else 1
            leave = (edge + way) % 4
            while not ranks[(leave + 1) % 4] <= level < ranks[leave]:
                leave = (leave + way) % 4
            node = numbers[edge] + level - min(ranks[edge], ranks[(edge + 1) % 4])
            after = numbers[leave] + level - min(ranks[leave], ranks[(leave + 1) % 4])
            following[node] = after
            entered[after] = True


@part_of_kernel
def _link_band(
    heights: NDArray[np.float32],
    levels: NDArray[np.float64],
    band: int,
    firsts: NDArray[np.int64],
    frame: tuple[float, float, float],
    node_xy: NDArray[np.float64],
    node_rank: NDArray[np.int32],
    following: NDArray[np.int32],
    entered: NDArray[np.bool_],
) -> None:
    """Place and link the nodes of one band of rows, as `link_nodes`."""
    rows, columns = heights.shape
    here = np.empty(columns, np.int32)
    below = np.empty(columns, np.int32)
    upper = np.zeros(columns, np.int64)
    lower = np.zeros(columns, np.int64)
    rank_row(heights[band * BAND_ROWS], levels, here)
    number_row(here, firsts[band * BAND_ROWS, 0], upper)
    for row in range(band * BAND_ROWS, min((band + 1) * BAND_ROWS, rows)):
        for c in range(columns - 1):
            if here[c] != here[c + 1]:
                ends = (here[c], here[c + 1])
                place_nodes(row, c, 0, heights, ends, upper[c], levels, frame, node_xy, node_rank)
        if row + 1 == rows:
            break
        rank_row(heights[row + 1], levels, below)
        number_row(below, firsts[row + 1, 0], lower)
        left, right = int64(0), firsts[row, 1]
        for c in range(columns):
            if here[c] != below[c]:
                ends = (here[c], below[c])
                place_nodes(row, c, 1, heights, ends, right, levels, frame, node_xy, node_rank)
            following_right = right + crossings(here[c], below[c])
            if c > 0 and not (here[c - 1] == here[c] == below[c] == below[c - 1]):
                corners = (here[c - 1], here[c], below[c], below[c - 1])
                if min(corners) != VOID:
                    mean = (
                        np.float64(heights[row, c - 1])
                        + np.float64(heights[row, c])
                        + np.float64(heights[row + 1, c])
                        + np.float64(heights[row + 1, c - 1])
                    ) / 4.0
                    link_quad(corners, (upper[c - 1], right, lower[c - 1], left), mean, levels, following, entered)
            left, right = right, following_right
        here, below = below, here
        upper, lower = lower, upper


@parallel_kernel
def link_nodes(
    heights: NDArray[np.float32],
    levels: NDArray[np.float64],
    firsts: NDArray[np.int64],
    frame: tuple[float, float, float],
    node_xy: NDArray[np.float64],
    node_rank: NDArray[np.int32],
    following: NDArray[np.int32],
    entered: NDArray[np.bool_],
) -> None:
    """Place every node and link it to the next one on its line.

    ``firsts`` holds the first node number of each row's edges, as counted by `count_nodes`; ``frame`` is the easting
    and northing of the first cell centre and the cell size [m].

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights [m]; NaN for voids.
    levels : ndarray of float64
        Levels, ascending [m].
    firsts : ndarray of int64, shape (rows, 2)
        Numbers of the first nodes.
    frame : tuple of float
        As above.
    node_xy, node_rank : ndarray of float64, shape (nodes, 2), and of int32, shape (nodes,)
        Filled: place [m] and number of the level.
    following : ndarray of int32, shape (nodes,)
        −1 everywhere; filled with the node after each.
    entered : ndarray of bool, shape (nodes,)
        False everywhere; set for nodes with one before them.
    """
    for band in prange((heights.shape[0] + BAND_ROWS - 1) // BAND_ROWS):
        _link_band(heights, levels, int64(band), firsts, frame, node_xy, node_rank, following, entered)


@kernel
def chain_nodes(
    following: NDArray[np.int32],
    entered: NDArray[np.bool_],
    sequence: NDArray[np.int32],
    starts: NDArray[np.int8],
) -> int:
    """List the nodes line by line: open lines, then closed ones, each kind in the order of its first node.

    ``starts`` is set to 1 where an open line begins in ``sequence`` and to 2 where a closed one does; nodes without a
    neighbour are left out. ``following`` is used up. Returns the number of nodes listed.

    Parameters
    ----------
    following : ndarray of int32, shape (nodes,)
        Node after each, −1 for none.
    entered : ndarray of bool, shape (nodes,)
        Whether a node has one before it.
    sequence, starts : ndarray of int32 and of int8, shape (nodes,)
        Filled; ``starts`` is 0 everywhere before.

    Returns
    -------
    int
        Nodes listed.
    """
    listed = 0
    for kind in (1, 2):
        for first in range(following.size):
            if following[first] == -1 or (kind == 1 and entered[first]):
                continue
            starts[listed] = kind
            node = np.int32(first)
            while node != -1:
                sequence[listed] = node
                listed += 1
                after = following[node]
                following[node] = -1
                node = after if after != first else np.int32(-1)
    return listed
