"""Ground that a pipe of even grade comes down to."""

import heapq

import numpy as np
from numba import prange
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, parallel_kernel


@parallel_kernel
def commanded(
    heights: NDArray[np.float32], row: float, column: float, level: float, grade: float, cell: float
) -> NDArray[np.bool_]:
    """Cells no higher than ``level`` less ``grade`` times their distance, with cells of side ``cell`` [m]; no voids.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights [m].
    row, column : float
        Place of the outlet; whole numbers at cell centres.
    level : float
        Level of the outlet [m].
    grade : float
        Fall of the pipe [m/m].
    cell : float
        Side of a cell [m].

    Returns
    -------
    ndarray of bool, shape (rows, columns)
        Whether the pipe comes down to the cell.
    """
    rows, columns = heights.shape
    reached = np.zeros((rows, columns), np.bool_)
    for r in prange(rows):
        for c in range(columns):
            distance = cell * np.sqrt((r - row) ** 2 + (c - column) ** 2)
            reached[r, c] = heights[r, c] <= level - grade * distance
    return reached


@parallel_kernel
def commanded_counts(
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    height: NDArray[np.float32],
    from_x: NDArray[np.float64],
    from_y: NDArray[np.float64],
    level: NDArray[np.float64],
    grade: float,
) -> NDArray[np.int64]:
    """How many of n cells each of k places commands; positions and levels [m].

    Parameters
    ----------
    x, y, height : ndarray, shape (n,)
        Places and heights of the cells [m].
    from_x, from_y, level : ndarray of float64, shape (k,)
        Places and levels of the outlets [m].
    grade : float
        Fall of the pipe [m/m].

    Returns
    -------
    ndarray of int64, shape (k,)
        Cells that each outlet commands.
    """
    counts = np.zeros(from_x.size, np.int64)
    for k in prange(from_x.size):
        count = 0
        for n in range(x.size):
            distance = np.sqrt((x[n] - from_x[k]) ** 2 + (y[n] - from_y[k]) ** 2)
            if height[n] <= level[k] - grade * distance:
                count += 1
        counts[k] = count
    return counts


@kernel
def arrival_levels(
    heights: NDArray[np.float64],
    passable: NDArray[np.bool_],
    row: int,
    column: int,
    level: float,
    grade: float,
    cell: float,
    above: float,
    free: float,
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Highest level at which a pipe from a cell can come to every other, lying in the ground or just above it.

    Parameters
    ----------
    heights : ndarray of float64, shape (rows, columns)
        Heights [m].
    passable : ndarray of bool, shape (rows, columns)
        Cells that it may cross.
    row, column : int
        Where it begins.
    level : float
        Its level there [m].
    grade : float
        Fall of the pipe [m/m].
    cell : float
        Side of a cell [m].
    above : float
        How far above the ground it may lie [m].
    free : float
        How far from its beginning it may lie higher [m].

    Returns
    -------
    ndarray of float64, shape (rows, columns)
        Level [m]; -inf where no way leads.
    ndarray of int64, shape (rows * columns,)
        Cell that comes before each on its way, -1 where none does.
    """
    rows, columns = heights.shape
    best = np.full((rows, columns), -np.inf)
    before = np.full(rows * columns, -1, np.int64)
    best[row, column] = level
    frontier = [(-level, np.int64(row * columns + column))]
    while frontier:
        lowered, here = heapq.heappop(frontier)
        r, c = here // columns, here % columns
        if -lowered < best[r, c]:
            continue
        for dr in range(-1, 2):
            for dc in range(-1, 2):
                to_r, to_c = r + dr, c + dc
                if (dr == 0 and dc == 0) or not (0 <= to_r < rows and 0 <= to_c < columns):
                    continue
                if not passable[to_r, to_c]:
                    continue
                arrives = -lowered - grade * cell * np.sqrt(dr * dr + dc * dc)
                if cell * np.sqrt((to_r - row) ** 2 + (to_c - column) ** 2) > free:
                    arrives = min(arrives, heights[to_r, to_c] + above)
                if arrives > best[to_r, to_c]:
                    best[to_r, to_c] = arrives
                    before[to_r * columns + to_c] = here
                    heapq.heappush(frontier, (-arrives, np.int64(to_r * columns + to_c)))
    return best, before
