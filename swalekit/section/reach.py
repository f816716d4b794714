"""How far uphill a swale's pond may reach."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit.contours.line import LevelLine
from swalekit.grid import Grid


def pond_reach_m(
    line: LevelLine, labels: NDArray[np.int32], label: int, grid: Grid, *, greatest_m: float = 100.0
) -> NDArray[np.float64]:
    """Distance from each station straight uphill to the end of the line's own catchment.

    There the pond ends at the latest: at the berm of the line above, or where the ground drains elsewhere. Without this
    limit a pond on nearly flat ground would be unbounded.

    Parameters
    ----------
    line : LevelLine
        The line, n stations.
    labels : ndarray of int32, shape (rows, columns)
        Store that each cell's water meets first.
    label : int
        The line's own label.
    grid : Grid
        The cells.
    greatest_m : float
        Farthest distance looked at [m].

    Returns
    -------
    ndarray of float64, shape (n,)
        Reach [m], in steps of a cell.
    """
    check_positive(greatest_m=greatest_m)
    rows, columns = grid.shape
    reach = np.full(len(line.xy), grid.cell_m / 2)
    going = np.arange(len(line.xy))
    for step in range(1, int(np.ceil(greatest_m / grid.cell_m)) + 1):
        x, y = (line.xy[going] - line.downhill[going] * step * grid.cell_m).T
        row, column = (np.rint(each).astype(np.intp) for each in grid.rows_columns(x, y))
        inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
        own = inside & (labels[row.clip(0, rows - 1), column.clip(0, columns - 1)] == label)
        going = going[own]
        if going.size == 0:
            break
        reach[going] = step * grid.cell_m
    return reach.clip(max=greatest_m)
