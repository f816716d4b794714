"""Where the water goes once the lines are laid: its way down from a station, and what a failed berm would reach."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import EXPOSED_KINDS, KeepOut
from swalekit.flow.catchments import trace_path
from swalekit.flow.network import FlowNetwork
from swalekit.frozen import Frozen

_BELOW_CELLS = 1.5  # from the line downhill, so that the way starts off the line's own cells
_STATION_STEP_M = 4.0


@one_line("network")
@dataclass(frozen=True, eq=False)
class Drainage(Frozen):
    """The flow of the ground with the lines on it.

    Parameters
    ----------
    network : FlowNetwork
        The flow of the ground.
    stops : ndarray of int32, shape (rows, columns)
        1 … n on the cells of each line, 0 elsewhere.
    labels : ndarray of int32, shape (rows, columns)
        First store met by each cell's water: 1 … n for lines, then hollows; 0 leaves the tile; -1 void.
    watercourses : ndarray of bool, shape (rows, columns)
        Cells of watercourses.
    """

    network: FlowNetwork
    stops: NDArray[np.int32]
    labels: NDArray[np.int32]
    watercourses: NDArray[np.bool_]


def way_down(line: LevelLine, station: int, drainage: Drainage, *, label: int) -> tuple[NDArray[np.float64], int]:
    """Points from a station downhill to the next line, a hollow or off the tile.

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
        int(np.clip(np.rint(place), 0, size - 1))
        for place, size in zip(grid.rows_columns(below[0], below[1]), grid.shape, strict=True)
    )
    cells, _ = trace_path(drainage.network, row * grid.shape[1] + column, drainage.stops, ignore=label)
    x, y = grid.centres(cells // grid.shape[1], cells % grid.shape[1])
    return np.vstack([here, np.column_stack([x, y])]), int(cells[-1])


def exposed_below(
    line: LevelLine, label: int, *, drainage: Drainage, keep_outs: Sequence[KeepOut]
) -> tuple[KeepOut, ...]:
    """Things that a failed berm must not reach unnamed, on the way of the water from any station to the next line.

    Parameters
    ----------
    line : LevelLine
        The line.
    label : int
        Its label.
    drainage : Drainage
        Where the water goes.
    keep_outs : sequence of KeepOut
        In the CRS of the lines.

    Returns
    -------
    tuple of KeepOut
        Those met, in the order given; each with half its setback around it, since water spreads.
    """
    exposed = [keep_out for keep_out in keep_outs if keep_out.kind in EXPOSED_KINDS]
    if not exposed:
        return ()
    step = max(1, round(_STATION_STEP_M / line.spacing_m))
    ways = shapely.multilinestrings(
        [
            shapely.LineString(way_down(line, station, drainage, label=label)[0])
            for station in range(0, len(line.xy), step)
        ]
    )
    return tuple(
        keep_out for keep_out in exposed if shapely.distance(ways, keep_out.geometry) <= keep_out.setback_m / 2.0
    )
