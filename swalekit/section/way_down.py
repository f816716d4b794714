"""The way of the water that leaves a line at a station."""

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.flow.catchments import trace_path
from swalekit.section.drainage import Drainage

_BELOW_CELLS = 1.5  # from the line downhill, so that the way starts off the line's own cells


def way_down(line: LevelLine, station: int, drainage: Drainage, *, label: int) -> tuple[NDArray[np.float64], int]:
    """Points from a station downhill to the next line, a hollow or off the tile, and the flat index of the last cell.

    Parameters
    ----------
    line : LevelLine
        The line.
    station : int
        Which of its stations.
    drainage : Drainage
        Where the water goes.
    label : int
        The line's own label: the way may run along its own berm.

    Returns
    -------
    xy : ndarray of float64, shape (n, 2)
        The station and then cell centres [m], two points or more.
    last : int
        Flat index of the last cell.
    """
    grid = drainage.network.grid
    here = line.xy[station]
    below = here + line.downhill[station] * _BELOW_CELLS * grid.cell_m
    row, column = (
        int(np.clip(np.rint(each), 0, size - 1))
        for each, size in zip(grid.rows_columns(below[0], below[1]), grid.shape, strict=True)
    )
    cells, _ = trace_path(drainage.network, row * grid.shape[1] + column, drainage.stops, ignore=label)
    x, y = grid.centres(cells // grid.shape[1], cells % grid.shape[1])
    return np.vstack([here, np.column_stack([x, y])]), int(cells[-1])
