"""Which depressions of the ground as built are the ponds of swales, and which store water meets first."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.earthwork.built_ground import BuiltGround
from swalekit.flow.mixed_cells import MixedCells
from swalekit.flow.pour import PouredSurface, poured_surface
from swalekit.frozen import Frozen
from swalekit.kernels.earthwork_surface import DITCH

HOLLOW = -1
"""Label of water that meets a hollow of the ground first."""

_ABOVE_CREST_M = 0.01
_LEAST_SHARE = 0.01
_UNKNOWN = -2


@one_line("surface", "tops")
@dataclass(frozen=True, eq=False)
class SwalePonds(Frozen):
    """The ponds of swales among the depressions of the ground as built.

    Parameters
    ----------
    surface : PouredSurface
        The ground as built.
    owner : ndarray of int32, shape (n,)
        Number of the swale, from 1, whose pond each depression is or is a part of; 0 for none.
    ditch : ndarray of int32, shape (n,)
        Greatest number of the swales whose ditches lie within each; 0 for none.
    tops : ndarray of int32, shape (p,)
        The ponds: of each swale the depressions that are no part of another of its own.
    first_met : ndarray of int32, shape (n_leaves + 1,)
        Store that water meets first: off the tile, then from the pit of each leaf. The number of a swale; 0 where it
        leaves the tile; `HOLLOW` in a hollow of the ground that holds it.
    """

    surface: PouredSurface
    owner: NDArray[np.int32]
    ditch: NDArray[np.int32]
    tops: NDArray[np.int32]
    first_met: NDArray[np.int32]

    def spills_to(self, depression: int) -> int:
        """Store that the water of a depression meets first once it has spilled.

        Parameters
        ----------
        depression : int
            Its number.

        Returns
        -------
        int
            As ``first_met``.

        Examples
        --------
        >>> ponds = swale_ponds(design.surface, np.array([swale.sized.shape.crest_level_m for swale in design.swales]))
        >>> [ponds.spills_to(top) for top in ponds.tops]
        [2, 0]
        """
        return int(self.first_met[self.surface.across[depression] + 1])

    def first_way_out(self, number: int) -> int | None:
        """The pond of a swale from which water first leaves it.

        Parameters
        ----------
        number : int
            Number of the swale, from 1.

        Returns
        -------
        int or None
            Number of the depression; None for a swale without a pond.

        Examples
        --------
        >>> ponds = swale_ponds(design.surface, np.array([swale.sized.shape.crest_level_m for swale in design.swales]))
        >>> ponds.first_way_out(1) == ponds.tops[0], ponds.first_way_out(7)
        (np.True_, None)
        """
        tops = self.tops[self.owner[self.tops] == number]
        if not tops.size:
            return None
        out = np.append(self.owner, 0)[self.surface.across[tops]] != number
        ways = tops[out] if out.any() else tops
        return int(ways[np.argmin(self.surface.spill_level_m[ways])])


def swale_ponds(built: BuiltGround, crest_level_m: NDArray[np.float64], *, noise_depth_m: float = 0.0) -> SwalePonds:
    """Find the ponds of swales on the ground as built.

    Parameters
    ----------
    built : BuiltGround
        The ground as built.
    crest_level_m : ndarray of float64, shape (swales,)
        Level of each swale's crest [m].
    noise_depth_m : float
        Hollows of the ground that are shallower are taken for noise: they hold nothing [m].

    Returns
    -------
    SwalePonds
        The depressions that hold some of a swale's ditch and none of another's, and spill no higher than its crest;
        but not those below a hundredth of the swale's storage, which are the corners of cells. A pipe under the bank of
        a crossing is a slot in it, so that the halves are one pond: it levels them out within the storm, which
        `swalekit.design.plan.built_crossings` holds against what it carries.

    Examples
    --------
    >>> ponds = swale_ponds(design.surface, np.array([swale.sized.shape.crest_level_m for swale in design.swales]))
    >>> ponds.owner[ponds.tops]
    array([1, 2], dtype=int32)
    """
    cells = MixedCells(built.grid, built.k, built.block, built.open_heights)
    surface = poured_surface(cells, noise_depth_m=noise_depth_m, sure=built.part == DITCH)
    least, most = _ditches_within(surface, built)
    has_pond = (most > 0) & (least == most)
    has_pond[has_pond] = (
        surface.spill_level_m[has_pond] <= np.asarray(crest_level_m)[most[has_pond] - 1] + _ABOVE_CREST_M
    )
    owner = _inherited(surface.parent, np.where(has_pond, most, 0))
    inner = surface.parent >= 0
    top = has_pond.copy()
    top[inner] &= owner[surface.parent[inner]] == 0
    greatest_m3 = np.zeros(most.max(initial=0) + 1)
    np.maximum.at(greatest_m3, most[top], surface.volume_m3[top])
    top &= surface.volume_m3 >= _LEAST_SHARE * greatest_m3[most]
    owner = _inherited(surface.parent, np.where(top, most, 0))
    return SwalePonds(surface, owner, most, np.flatnonzero(top).astype(np.int32), _first_met(surface, owner, most))


def _ditches_within(surface: PouredSurface, built: BuiltGround) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Least and greatest number of the swales whose ditches lie within each depression; the greatest is 0 for none."""
    nodes = np.flatnonzero((built.part == DITCH) & (surface.depression >= 0))
    least, most = np.full(len(surface), np.iinfo(np.int32).max, np.int32), np.zeros(len(surface), np.int32)
    np.minimum.at(least, surface.depression[nodes], built.swale[nodes])
    np.maximum.at(most, surface.depression[nodes], built.swale[nodes])
    for node, up in enumerate(surface.parent.tolist()):
        if up >= 0:
            least[up], most[up] = min(least[up], least[node]), max(most[up], most[node])
    return least, most


def _inherited(parent: NDArray[np.int32], value: NDArray[np.int32]) -> NDArray[np.int32]:
    """The value of each depression, or that of the one it is a part of."""
    values = value.copy()
    for node in range(parent.size - 1, -1, -1):
        if parent[node] >= 0 and values[parent[node]]:
            values[node] = values[parent[node]]
    return values


def _first_met(surface: PouredSurface, owner: NDArray[np.int32], ditch: NDArray[np.int32]) -> NDArray[np.int32]:
    """Store that water meets first, off the tile and from each leaf; noise without a ditch passes it on."""
    parent, room = surface.parent, surface.room_m3
    met = np.full(surface.pit.size + 1, _UNKNOWN, np.int32)
    met[0] = 0
    for start in range(surface.pit.size):
        way = [start]
        while met[way[-1] + 1] == _UNKNOWN:
            leaf = whole = way[-1]
            if owner[leaf] or ditch[leaf]:
                met[leaf + 1] = owner[leaf] or ditch[leaf]
            elif room[leaf] > 0.0:
                met[leaf + 1] = HOLLOW
            else:
                while parent[whole] >= 0 and not ditch[parent[whole]]:
                    whole = int(parent[whole])
                way.append(int(surface.across[whole]))
        met[np.array(way) + 1] = met[way[-1] + 1]
    return met


def met_by_cell(ponds: SwalePonds, built: BuiltGround) -> NDArray[np.int32]:
    """Store that the water of each of the tile's cells meets first; of one that is cut up that of its middle.

    Parameters
    ----------
    ponds : SwalePonds
        Ponds of the swales.
    built : BuiltGround
        The ground as built.

    Returns
    -------
    ndarray of int32, shape (rows, columns)
        Number of a swale; 0 off the tile, and at voids; `HOLLOW` in a hollow of the ground.

    Examples
    --------
    >>> ponds = swale_ponds(design.surface, np.array([swale.sized.shape.crest_level_m for swale in design.swales]))
    >>> np.unique(met_by_cell(ponds, design.surface))
    array([0, 1, 2], dtype=int32)
    """
    k, n_cells = built.k, built.grid.n_cells
    middle = n_cells + built.block.ravel().astype(np.int64) * k * k + (k // 2) * (k + 1)
    node = np.where(built.block.ravel() >= 0, middle, np.arange(n_cells))
    return ponds.first_met[ponds.surface.basin[node]].reshape(built.grid.shape)
