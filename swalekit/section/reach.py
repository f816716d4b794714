"""How far uphill a swale's pond may reach."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit.contours.line import LevelLine
from swalekit.grid import Grid
from swalekit.kernels.section_reach import count_steps


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
    row, column = grid.rows_columns(*line.xy.T)
    next_row, next_column = grid.rows_columns(*(line.xy - line.downhill * grid.cell_m).T)
    most = int(np.ceil(greatest_m / grid.cell_m))
    steps = count_steps(labels, label, row, column, next_row - row, next_column - column, most)
    return np.asarray(np.minimum(np.maximum(steps, 0.5) * grid.cell_m, greatest_m))
