"""Cells that the works along a line take, with the pond uphill of them, and the natural ground within such cells."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.earthwork_surface import Corner, Floats, Works, near_crossing, near_return, seen
from swalekit.kernels.jit import kernel
from swalekit.kernels.terrain_sample import between_centres


@kernel
def cells_around(row: Floats, column: Floats, radius: int, taken: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Flat indices of the cells within a square of ``radius`` cells round any station, each once.

    Parameters
    ----------
    row, column : ndarray of float64, shape (k,)
        Place of the stations; whole numbers at cell centres.
    radius : int
        Half a side of the square [cells].
    taken : ndarray of bool, shape (rows, columns)
        False everywhere, and again on return.

    Returns
    -------
    ndarray of int64
        Flat indices, in the order in which they are found.
    """
    rows, columns = taken.shape
    found = np.empty(row.size * (2 * radius + 1) ** 2, np.int64)
    count = 0
    for k in range(row.size):
        i0, j0 = int(round(row[k])), int(round(column[k]))  # noqa: RUF046 - a float while uncompiled
        for i in range(max(i0 - radius, 0), min(i0 + radius + 1, rows)):
            for j in range(max(j0 - radius, 0), min(j0 + radius + 1, columns)):
                if not taken[i, j]:
                    taken[i, j] = True
                    found[count] = i * columns + j
                    count += 1
    for k in range(count):
        taken[found[k] // columns, found[k] % columns] = False
    return found[:count].copy()


@kernel
def cells_of_works(
    corner: Corner,
    columns: int,
    cells: NDArray[np.int64],
    nearest: NDArray[np.int64],
    legs_off: NDArray[np.int64],
    works: Works,
) -> NDArray[np.bool_]:
    """Which cells the works may touch.

    Parameters
    ----------
    corner : Corner
        Where the cells lie.
    columns : int
        Cells in a row.
    cells, nearest, legs_off : ndarray of int64, shape (n,)
        Flat indices, the station next to the centre of each, and how many legs from there its nearest leg may lie.
    works : Works
        Ditch and berm.

    Returns
    -------
    ndarray of bool, shape (n,)
        True where any of the cell lies within their bounds.
    """
    touched, half = np.zeros(cells.size, np.bool_), 0.75 * corner.cell
    for n in range(cells.size):
        x = corner.west + corner.cell * (cells[n] % columns + 0.5)
        y = corner.north - corner.cell * (cells[n] // columns + 0.5)
        before, share, offset, _ = seen(x, y, works.xy, nearest[n], legs_off[n], works.closed)
        touched[n] = works.farthest_up - half < offset < works.farthest_down + half
        touched[n] |= near_return(x, y, half, works.ends) or near_crossing(before, share, offset, half, works)
    return touched


@kernel
def pond_cells(
    heights: NDArray[np.float32],
    corner: Corner,
    cells: NDArray[np.int64],
    nearest: NDArray[np.int64],
    works: Works,
    reach: Floats,
    taken: NDArray[np.bool_],
) -> NDArray[np.int64]:
    """Cells of the works, and those uphill that water at the crest's level covers together with them.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Natural ground [m].
    corner : Corner
        Where its cells lie.
    cells, nearest : ndarray of int64, shape (n,)
        Flat indices of the cells of the works, and the station next to each.
    works : Works
        Ditch and berm, of k stations.
    reach : ndarray of float64, shape (k,)
        How far uphill of the line its pond may stand [m].
    taken : ndarray of bool, shape (rows, columns)
        False everywhere, and again on return.

    Returns
    -------
    ndarray of int64
        Flat indices, those of the works first.
    """
    rows, columns = heights.shape
    found, near, count, done = cells.copy(), nearest.copy(), cells.size, 0
    for n in range(count):
        taken[cells[n] // columns, cells[n] % columns] = True
    while done < count:
        if count + 4 > found.size:
            room = np.empty(found.size + 4, np.int64)
            found, near = np.concatenate((found, room)), np.concatenate((near, room))
        for side in range(4):
            i = found[done] // columns + (0, 0, 1, -1)[side]
            j = found[done] % columns + (1, -1, 0, 0)[side]
            if not (0 <= i < rows and 0 <= j < columns) or taken[i, j] or not heights[i, j] < works.crest:
                continue
            x, y = corner.west + corner.cell * (j + 0.5), corner.north - corner.cell * (i + 0.5)
            before, _, offset, beside = seen(x, y, works.xy, near[done], 3, works.closed)
            if beside and -reach[before] - corner.cell < offset < 0.0:
                taken[i, j] = True
                found[count], near[count] = i * columns + j, before
                count += 1
        done += 1
    for n in range(count):
        taken[found[n] // columns, found[n] % columns] = False
    return found[:count].copy()


@kernel
def natural_nodes(heights: NDArray[np.float32], cells: NDArray[np.int64], k: int, natural: NDArray[np.float32]) -> None:
    """Natural ground at the k × k nodes of cells: bilinear between centres, a cell's own beside a void.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Natural ground [m].
    cells : ndarray of int64, shape (b,)
        Flat indices.
    k : int
        Nodes along a side of a cell.
    natural : ndarray of float32, shape (b k²,)
        Filled [m].
    """
    columns = heights.shape[1]
    for n in range(cells.size):
        i, j = cells[n] // columns, cells[n] % columns
        for sub in range(k * k):
            ground = between_centres(heights, i + (sub // k + 0.5) / k - 0.5, j + (sub % k + 0.5) / k - 0.5)
            natural[n * k * k + sub] = heights[i, j] if math.isnan(ground) else ground
