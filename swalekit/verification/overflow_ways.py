"""The way that the overflow of each swale takes over the ground as built, and the store that it meets."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.flow.pour import Pour
from swalekit.flow.ways import ways_down
from swalekit.frozen import Frozen
from swalekit.verification.swale_ponds import HOLLOW, SwalePonds


@one_line("meets")
@dataclass(frozen=True, eq=False)
class OverflowWay(Frozen):
    """The way of a swale's overflow.

    Parameters
    ----------
    xy : ndarray of float64, shape (k, 2)
        Centres of the cells, from the spill point to where it ends, two or more [m].
    meets : int
        Store that it ends in: 1 … n swales, then the hollows that are known by name; 0 off the tile; `HOLLOW` in
        another one.
    """

    xy: NDArray[np.float64]
    meets: int


def overflow_ways(
    ponds: SwalePonds, pour: Pour, *, count: int, hollow_xy: NDArray[np.float64]
) -> tuple[OverflowWay | None, ...]:
    """Follow the overflow of every swale from where it first leaves the pond.

    Parameters
    ----------
    ponds : SwalePonds
        Ponds of the swales.
    pour : Pour
        Storm poured over the ground as built: hollows that it fills are passed, and so is noise.
    count : int
        Number of swales.
    hollow_xy : ndarray of float64, shape (h, 2)
        Pits of the hollows that are known by name: a way ends there, full or not [m].

    Returns
    -------
    tuple of OverflowWay or None
        One a swale; None without a pond.

    Examples
    --------
    >>> from swalekit.verification.swale_ponds import swale_ponds
    >>> ponds = swale_ponds(design.surface, np.array([swale.sized.shape.crest_level_m for swale in design.swales]))
    >>> ways = overflow_ways(ponds, design.check_account.pour, count=2, hollow_xy=np.empty((0, 2)))
    >>> [way.meets for way in ways]
    [2, 0]
    """
    surface = ponds.surface
    known, swale = _known_hollows(ponds, hollow_xy), np.maximum(ponds.owner, ponds.ditch)
    stops = ponds.owner > 0
    stops[: surface.pit.size] |= ponds.ditch[: surface.pit.size] > 0
    full = pour.full & (swale == 0) & ~((known >= 0) & (surface.room_m3 > 0.0))
    outs = [ponds.first_way_out(number) for number in range(1, count + 1)]
    ways = iter(ways_down(surface, spilling=[out for out in outs if out is not None], full=full, stops=stops))
    told: list[OverflowWay | None] = []
    for out in outs:
        if out is None:
            told.append(None)
            continue
        way, meets = next(ways), 0
        if way.leaf >= 0:
            meets = int(ponds.owner[way.leaf] or ponds.ditch[way.leaf])
            meets = meets or _hollow_met(ponds, known, swale, way.leaf, count)
        nodes = way.nodes if way.nodes.size > 1 else way.nodes.repeat(2)
        told.append(OverflowWay(np.column_stack(surface.cells.centres(nodes)), meets))
    return tuple(told)


def _known_hollows(ponds: SwalePonds, hollow_xy: NDArray[np.float64]) -> NDArray[np.int32]:
    """Number, from 0, of the named hollow whose pit lies in each depression; -1 for none."""
    surface = ponds.surface
    known = np.full(len(surface), -1, np.int32)
    pits = surface.cells.nodes_at(*hollow_xy.T)
    below = surface.depression[pits] >= 0
    known[surface.basin[pits[below]] - 1] = np.flatnonzero(below)
    for node, up in enumerate(surface.parent.tolist()):
        if up >= 0 and known[up] < 0:
            known[up] = known[node]
    return known


def _hollow_met(ponds: SwalePonds, known: NDArray[np.int32], swale: NDArray[np.int32], leaf: int, count: int) -> int:
    """Label of the named hollow in the least depression round a leaf that has one, short of any with a swale's."""
    node = leaf
    while node >= 0 and not swale[node]:
        if known[node] >= 0:
            return count + 1 + int(known[node])
        node = int(ponds.surface.parent[node])
    return HOLLOW
