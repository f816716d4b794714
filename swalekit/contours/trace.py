"""Raw contours: where the ground stands at given levels."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.kernels.contour_trace import chain_nodes, count_nodes, link_nodes
from swalekit.terrain.terrain import Terrain

_CLOSED = 2


@one_line("level_m", "closed", "xy")
@dataclass(frozen=True, eq=False)
class Trace(Frozen):
    """A raw contour; walking its vertices in order, downhill is on the right-hand side.

    Parameters
    ----------
    level_m : float
        Height of the contour [m].
    xy : ndarray of float64, shape (n, 2)
        Easting and northing of the vertices [m]; a closed trace does not repeat its first vertex.
    closed : bool
        Whether the last vertex is joined to the first.
    """

    level_m: float
    xy: NDArray[np.float64]
    closed: bool


def trace_levels(terrain: Terrain, levels_m: ArrayLike) -> list[Trace]:
    """Contours of all levels, found in one pass over the cells.

    Parameters
    ----------
    terrain : Terrain
        Ground heights.
    levels_m : array_like of float, shape (n_levels,)
        Levels in any order [m].

    Returns
    -------
    list of Trace
        By level in the order given; within a level open traces first, then closed ones, each in the order of rows.

    Raises
    ------
    InputError
        If a level is not finite.

    Notes
    -----
    Between neighbouring cell centres the ground is taken to rise evenly; at a saddle within four centres their mean
    height decides which two branches join. A trace ends at the outermost cell centres and where one of four centres is
    void. Ground exactly at a level counts as below it. Memory follows the length of the traces, not cells times
    levels.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> plane = np.arange(6.0) * np.ones((4, 1))
    >>> terrain = Terrain.from_heights(plane, Grid.from_corner(plane.shape, cell_m=1.0, west_m=0.0, north_m=4.0))
    >>> [trace] = trace_levels(terrain, [2.5])
    >>> trace.xy[[0, -1]]  # the ground falls to the west
    array([[3. , 3.5],
           [3. , 0.5]])
    """
    given = np.asarray(levels_m, np.float64).ravel()
    if not np.isfinite(given).all():
        message = f"levels_m holds {given[~np.isfinite(given)][0]}; every level must be a finite number"
        raise InputError(message)
    if given.size == 0:
        return []
    ascending = np.argsort(given, kind="stable")
    node_xy, node_rank, following, entered = _linked_nodes(terrain, given[ascending])
    sequence = np.empty(following.size, np.int32)
    starts = np.zeros(following.size, np.int8)
    listed = chain_nodes(following, entered, sequence, starts)
    first = np.flatnonzero(starts[:listed])
    last = np.append(first[1:], listed)
    position = ascending[node_rank[sequence[first]]]
    xy = node_xy[sequence[:listed]]
    xy.flags.writeable = False
    order = np.argsort(position, kind="stable")
    closed = starts[first] == _CLOSED
    rows = zip(
        given[position[order]].tolist(),
        first[order].tolist(),
        last[order].tolist(),
        closed[order].tolist(),
        strict=True,
    )
    return [Trace(level_m, xy[start:stop], is_closed) for level_m, start, stop, is_closed in rows]


def _linked_nodes(
    terrain: Terrain, levels: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.int32], NDArray[np.int32], NDArray[np.bool_]]:
    """Position, level rank, next node and whether a node comes before it, for each crossing of an edge with a level."""
    counts = np.zeros((terrain.grid.shape[0], 2), np.int64)
    count_nodes(terrain.heights, levels, counts)
    firsts = (np.cumsum(counts) - counts.ravel()).reshape(counts.shape)
    total = int(counts.sum())
    node_xy = np.empty((total, 2))
    node_rank = np.empty(total, np.int32)
    following = np.full(total, -1, np.int32)
    entered = np.zeros(total, np.bool_)
    west, north = terrain.grid.centres(0, 0)
    frame = (float(west), float(north), terrain.grid.cell_m)
    link_nodes(terrain.heights, levels, firsts, frame, node_xy, node_rank, following, entered)
    return node_xy, node_rank, following, entered
