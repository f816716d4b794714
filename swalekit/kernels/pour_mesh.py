"""Neighbours on mixed cells: coarse cells of a grid, some of them cut into k by k fine ones.

A node is a cell that holds a height. Coarse cells have their flat index in the grid, and those that are cut are no
nodes; the fine cells follow, block by block, row by row.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import int64, part_of_kernel

_DIAGONAL = np.float32(np.sqrt(0.5))


class Mesh(NamedTuple):
    """Mixed cells as kernels take them.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows * columns + blocks * k * k,)
        Heights of the nodes, NaN at voids; what stands at coarse cells that are cut isn't read [m].
    block : ndarray of int32, shape (rows, columns)
        Number of the block of fine cells that a coarse cell is cut into; -1 where it is whole.
    home : ndarray of int32, shape (blocks,)
        Flat index of the coarse cell of each block.
    k : int
        Fine cells along a side of a coarse one.
    """

    heights: NDArray[np.float32]
    block: NDArray[np.int32]
    home: NDArray[np.int32]
    k: int


@part_of_kernel
def most_neighbours(mesh: Mesh) -> int:
    """Greatest number of neighbours that a node may have.

    Parameters
    ----------
    mesh : Mesh
        The cells.

    Returns
    -------
    int
        Four sides of fine cells and four corners, or the eight of a plain grid.
    """
    return max(8, 4 * mesh.k + 4)


@part_of_kernel
def is_node(mesh: Mesh, node: int) -> bool:
    """Whether an index is that of a known height: no void, and no coarse cell that is cut.

    Parameters
    ----------
    mesh : Mesh
        The cells.
    node : int
        Index of a height.

    Returns
    -------
    bool
        Whether water may stand or pass there.
    """
    columns = mesh.block.shape[1]
    if node < mesh.block.size and mesh.block[node // columns, node % columns] >= 0:
        return False
    return not np.isnan(mesh.heights[node])


@part_of_kernel
def _beside_coarse(mesh: Mesh, node: int, found: NDArray[np.int64], nearness: NDArray[np.float32]) -> tuple[int, bool]:
    """Neighbours of a coarse cell, as `neighbours`."""
    rows, columns = mesh.block.shape
    row, column, k = node // columns, node % columns, mesh.k
    count, on_edge = int64(0), False
    for step in range(9):
        down, right = step // 3 - 1, step % 3 - 1
        r, c = row + down, column + right
        if step == 4:
            continue
        if not (0 <= r < rows and 0 <= c < columns):
            on_edge = True
            continue
        block = int64(mesh.block[r, c])
        if block < 0:
            found[count] = r * columns + c
            nearness[count] = np.float32(1.0) if down == 0 or right == 0 else _DIAGONAL
            count += 1
            continue
        # the fine cells along the side, or the one at the corner
        first_row, last_row = (0, k) if down == 0 else ((0, 1) if down > 0 else (k - 1, k))
        first_column, last_column = (0, k) if right == 0 else ((0, 1) if right > 0 else (k - 1, k))
        for fine_row in range(first_row, last_row):
            for fine_column in range(first_column, last_column):
                south, east = down + (fine_row + 0.5) / k - 0.5, right + (fine_column + 0.5) / k - 0.5
                found[count] = mesh.block.size + (block * k + fine_row) * k + fine_column
                nearness[count] = 1.0 / np.sqrt(south * south + east * east)
                count += 1
    return count, on_edge


@part_of_kernel
def _beside_fine(mesh: Mesh, node: int, found: NDArray[np.int64], nearness: NDArray[np.float32]) -> tuple[int, bool]:
    """Neighbours of a fine cell, as `neighbours`."""
    rows, columns = mesh.block.shape
    k = int64(mesh.k)
    place = int64(node - mesh.block.size)
    own = place // (k * k)
    place -= own * k * k
    fine_row = place // k
    fine_column = place - fine_row * k
    if 0 < fine_row < k - 1 and 0 < fine_column < k - 1:
        for step in range(8):
            away = step + step // 4  # the middle of nine is left out
            down, right = away // 3 - 1, away % 3 - 1
            found[step] = node + down * k + right
            nearness[step] = np.float32(k) if down == 0 or right == 0 else k * _DIAGONAL
        return 8, False
    row = mesh.home[own] // columns
    column = mesh.home[own] - row * columns
    count, on_edge = int64(0), False
    for step in range(9):
        if step == 4:
            continue
        down, right = step // 3 - 1, step % 3 - 1
        to_row, to_column, r, c = fine_row + down, fine_column + right, row, column
        if to_row < 0:
            r, to_row = row - 1, k - 1
        elif to_row == k:
            r, to_row = row + 1, int64(0)
        if to_column < 0:
            c, to_column = column - 1, k - 1
        elif to_column == k:
            c, to_column = column + 1, int64(0)
        if not (0 <= r < rows and 0 <= c < columns):
            on_edge = True
            continue
        block = int64(mesh.block[r, c])
        if block >= 0:
            found[count] = mesh.block.size + (block * k + to_row) * k + to_column
            nearness[count] = np.float32(k) if down == 0 or right == 0 else k * _DIAGONAL
            count += 1
            continue
        coarse = int64(r * columns + c)
        known = False
        for before in range(count):
            known |= found[before] == coarse
        if not known:
            south, east = r - row + 0.5 - (fine_row + 0.5) / k, c - column + 0.5 - (fine_column + 0.5) / k
            found[count] = coarse
            nearness[count] = 1.0 / np.sqrt(south * south + east * east)
            count += 1
    return count, on_edge


@part_of_kernel
def neighbours(mesh: Mesh, node: int, found: NDArray[np.int64], nearness: NDArray[np.float32]) -> tuple[int, bool]:
    """All cells that touch a node along a side or at a corner, voids among them; each has the node for a neighbour too.

    Parameters
    ----------
    mesh : Mesh
        The cells.
    node : int
        A coarse cell that is whole, or a fine cell.
    found : ndarray of int64
        Filled with the neighbours, row by row from the north; room for `most_neighbours`.
    nearness : ndarray of float32
        Filled with one over the distance from centre to centre, in sides of a coarse cell.

    Returns
    -------
    count : int
        Number of neighbours.
    on_edge : bool
        Whether the node lies on the edge of the grid.
    """
    if node < mesh.block.size:
        return _beside_coarse(mesh, node, found, nearness)
    return _beside_fine(mesh, node, found, nearness)
