"""The way that water takes over a surface: downhill, through what is full, to where it stays or leaves the tile."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit._one_line import one_line
from swalekit.flow.pour import PouredSurface
from swalekit.frozen import Frozen, read_only
from swalekit.kernels.pour_paths import Basins, walk_mesh


@one_line("nodes", "leaf")
@dataclass(frozen=True, eq=False)
class Way(Frozen):
    """The way of water over a surface.

    Parameters
    ----------
    nodes : ndarray of int32, shape (k,)
        From where it begins to where it ends.
    leaf : int
        Leaf whose basin it ends in; -1 where the water leaves the tile.
    """

    nodes: NDArray[np.int32]
    leaf: int


def ways_down(
    surface: PouredSurface,
    *,
    starts: Iterable[int] = (),
    spilling: Iterable[int] = (),
    full: NDArray[np.bool_],
    stops: NDArray[np.bool_] | None = None,
) -> tuple[Way, ...]:
    """Follow water over a surface.

    Parameters
    ----------
    surface : PouredSurface
        The surface.
    starts : iterable of int
        Nodes from which it is followed.
    spilling : iterable of int
        Depressions from which it is followed after those, each way beginning with the node at the spill point.
    full : ndarray of bool, shape (n,)
        Depressions that it passes (`Pour.full`): one counts only if all within it do.
    stops : ndarray of bool, shape (n,), optional
        Depressions in which it stays as soon as it comes below their spill level.

    Returns
    -------
    tuple of Way
        One a start, then one a depression that spills.

    Raises
    ------
    InputError
        If ``full`` or ``stops`` is given for another number of depressions.

    Notes
    -----
    Water runs to the neighbour with the steepest drop. Where it comes below the level of a full depression it crosses
    to the spill point in the fewest steps over nodes that lie no higher, and goes on in the basin across; so ground or
    water level never rise along a way. Two full ones in a depression that isn't are one pond, in which it stays.

    Examples
    --------
    From the left it passes the first pit, which is full, and stays in the second:

    >>> from swalekit.flow.mixed_cells import MixedCells
    >>> from swalekit.flow.pour import pour_onto, poured_surface
    >>> from swalekit.grid import Grid
    >>> heights = np.full((3, 7), 9.0)
    >>> heights[1] = [8.0, 4.0, 2.0, 5.0, 1.0, 3.0, 7.0]
    >>> surface = poured_surface(MixedCells.plain(Grid.from_corner((3, 7), cell_m=1.0), heights))
    >>> pour = pour_onto(surface, np.array([0.0, 5.0, 0.0]))
    >>> (way,) = ways_down(surface, starts=[8], full=pour.full)
    >>> way.nodes.tolist(), way.leaf
    ([8, 9, 10, 11], 1)
    """
    ends = np.zeros(len(surface), np.bool_) if stops is None else stops
    check_same_shape(full=full, stops=ends, depressions=surface.parent)
    size, allocate = surface.cells.heights.shape, surface.cells.grid.allocate
    found_from, queue = allocate(size, np.int32), allocate(size, np.int32)
    found_from[:] = 0
    basins = Basins(
        *(read_only(array) for array in (surface.basin, surface.depression, _crossed(surface, full))),
        *(read_only(array) for array in (ends, surface.spill, surface.across, surface.spill_level_m)),
    )
    begins = [*((int(node), -1) for node in starts), *((int(surface.spill[whole]), int(whole)) for whole in spilling)]
    walked = (walk_mesh(surface.cells.mesh, basins, *begin, found_from, queue) for begin in begins)
    return tuple(Way(nodes, int(leaf)) for nodes, leaf in walked)


def _crossed(surface: PouredSurface, full: NDArray[np.bool_]) -> NDArray[np.int32]:
    """Greatest full depression that each is a part of or is, unless it is one of two full ones in one that isn't."""
    parent, whole = surface.parent.tolist(), full.copy()
    parts_full = np.zeros(len(surface), np.int32)
    for node, up in enumerate(parent):
        if up >= 0:
            whole[up] &= whole[node]
            parts_full[up] += whole[node]
    crossed = np.full(len(surface), -1, np.int32)
    for node in range(len(surface) - 1, -1, -1):
        up = parent[node]
        if up >= 0 and whole[up]:
            crossed[node] = crossed[up]
        elif whole[node] and (up < 0 or parts_full[up] < 2):
            crossed[node] = node
    return crossed
