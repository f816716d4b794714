"""Hollows: ground from which water leaves only over a spill point."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.frozen import Frozen, locked_property, read_only
from swalekit.kernels.flow_basins import UNKNOWN, label_basins, lowest_saddles
from swalekit.kernels.flow_depressions import carve_exits, depression_tree
from swalekit.kernels.flow_filling import depression_sums, fill_in_turn
from swalekit.kernels.label_tally import count_cells, sum_cells
from swalekit.terrain.terrain import Terrain


@one_line("depth_m", "volume_m3")
@dataclass(frozen=True, eq=False)
class Hollows(Frozen):
    """The hollows kept as real ground, nested ones one by one, by spill level from high to low, then by pit.

    Each has one pit and takes its own water until it runs over: what more comes goes on to ``spill_to``. Where two that
    share a saddle are both full, they are one pond in the name of the one that filled last; it takes what the pond
    holds above them and runs over at its outer saddle. The turn in which they fill is that of runoff that grows
    steadily over the whole tile, which is exact for every storm of such a pattern.

    Parameters
    ----------
    pit : ndarray of int32, shape (h,)
        Flat index of the lowest cell; the flow network leads from it straight to ``spill_to``.
    spill : ndarray of int32, shape (h,)
        Flat index of the cell at which the full pond leaves the hollow.
    spill_to : ndarray of int32, shape (h,)
        Flat index of the cell beside it that takes the spill; ``spill`` itself where the water leaves the tile there.
    spill_level_m : ndarray of float64, shape (h,)
        Level of the full pond [m].
    depth_m : ndarray of float64, shape (h,)
        Depth of the full pond over the pit [m].
    area_m2 : ndarray of float64, shape (h,)
        Area of the full pond, hollows that drown in it included [m²].
    pond_m3 : ndarray of float64, shape (h,)
        Volume of the full pond, hollows that drown in it included [m³].
    volume_m3 : ndarray of float64, shape (h,)
        The part of it that the hollow takes itself: without what those that drown in it took before [m³].
    drowns_in : ndarray of int32, shape (h,)
        The hollow whose pond takes it in when both are full; -1 for none.
    drowns_at_m3 : ndarray of float64, shape (h,)
        What that hollow has taken itself by then [m³]; 0 for none.
    filled_count : int
        Number of shallower hollows, taken for noise and routed through.
    """

    pit: NDArray[np.int32]
    spill: NDArray[np.int32]
    spill_to: NDArray[np.int32]
    spill_level_m: NDArray[np.float64]
    depth_m: NDArray[np.float64]
    area_m2: NDArray[np.float64]
    pond_m3: NDArray[np.float64]
    volume_m3: NDArray[np.float64]
    drowns_in: NDArray[np.int32]
    drowns_at_m3: NDArray[np.float64]
    filled_count: int

    def __len__(self) -> int:
        return self.pit.size

    @locked_property
    def sorted_pits(self) -> NDArray[np.int32]:
        """The pits in ascending order of flat index."""
        return np.sort(self.pit)


_ONE_CLASS = np.zeros((1, 1), np.uint8)
_LEAST_RATE = 1e-9
"""Runoff of ground that sheds none, so that every hollow fills in the end; small against a depth in any unit."""


def route_hollows(
    terrain: Terrain,
    receiver: NDArray[np.int32],
    pits: NDArray[np.int32],
    *,
    noise_depth_m: float,
    runoff: NDArray[np.float32] | None = None,
) -> Hollows:
    """Find the hollows, nested ones too, and lead the water of each one out.

    Through a hollow shallower than the noise a path is carved from its pit over its saddle. A deeper one gathers its
    water at its pit, from where it goes on at the spill point.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell downhill, itself at outlets and pits; changed in place.
    pits : ndarray of int32
        Flat indices of the pits, ascending.
    noise_depth_m : float
        Least depth of a hollow that is kept [m].
    runoff : ndarray of float32, shape (rows, columns), optional
        Depth of runoff from each cell, in any unit; the same everywhere if not given. It sets the turn in which
        hollows fill.

    Returns
    -------
    hollows : Hollows
        Those that are kept.

    Notes
    -----
    Pits, saddles and what joins at them form a tree [1]_; water fills, spills and merges along it [2]_.

    Where a hollow spills straight off the tile, its spill cell becomes an outlet: the little ground that drains into
    that one cell then leaves the tile without passing the pit.

    References
    ----------
    .. [1] Barnes, R., Callaghan, K. L., Wickert, A. D. (2020). Computing water flow through complex landscapes, part 2:
       Finding hierarchies in depressions and morphological segmentations. Earth Surface Dynamics 8, 431–445.
    .. [2] Barnes, R., Callaghan, K. L., Wickert, A. D. (2021). Computing water flow through complex landscapes, part 3:
       Fill–Spill–Merge. Earth Surface Dynamics 9, 105–121.
    """
    heights, area_m2 = terrain.heights.ravel(), terrain.grid.cell_area_m2
    basin = terrain.grid.filled(UNKNOWN, np.int32).ravel()
    label_basins(receiver, pits, basin)
    saddles = lowest_saddles(heights, basin, terrain.grid.shape[1])
    by_height = np.lexsort((heights[saddles.cells].min(axis=1), saddles.heights))
    tree = depression_tree(saddles, by_height, heights[pits], noise_depth_m)
    levels_m = saddles.heights[tree.exits].astype(np.float64)
    cells, depths_m = depression_sums(heights, basin, tree.leaf, tree.parent, levels_m)
    own_leaf = np.unique(tree.leaf[tree.leaf >= 0])  # leaves come first
    rates = _runoff_by_leaf(basin.reshape(terrain.grid.shape), tree.leaf, own_leaf.size, runoff)
    beyond = tree.leaf[saddles.basins[tree.exits, 1 - tree.inside]]
    filling = fill_in_turn(tree.parent, beyond, depths_m * area_m2, rates)

    pit, last = pits[tree.lowest[: own_leaf.size] - 1], filling.last
    order = np.lexsort((pit, -levels_m[last]))
    pit, last, joins = pit[order], last[order], filling.joins[order]
    place = np.empty(order.size + 1, np.int32)
    place[order], place[-1] = np.arange(order.size), -1  # the last one answers for none
    spill, spill_to = (saddles.cells[tree.exits[last], side] for side in (tree.inside[last], 1 - tree.inside[last]))
    carve_exits(receiver, saddles, tree.carved)
    receiver[pit] = spill_to
    off_tile = spill[spill == spill_to]
    receiver[off_tile] = off_tile
    return Hollows(
        pit=pit,
        spill=spill,
        spill_to=spill_to,
        spill_level_m=levels_m[last],
        depth_m=levels_m[last] - heights[pit],
        area_m2=np.asarray(cells[last] * area_m2, np.float64),
        pond_m3=depths_m[last] * area_m2,
        volume_m3=filling.room[order],
        drowns_in=place[joins],
        drowns_at_m3=filling.joins_at[order],
        filled_count=int(pits.size - order.size),
    )


def _runoff_by_leaf(
    basin: NDArray[np.int32], leaf: NDArray[np.int32], n_leaves: int, runoff: NDArray[np.float32] | None
) -> NDArray[np.float64]:
    """Runoff that gathers in each leaf of the tree; a little of it even where the ground sheds none."""
    by_basin, cells = np.zeros(leaf.size), np.zeros((leaf.size, 1), np.int64)
    if runoff is None:
        count_cells(read_only(basin), read_only(_ONE_CLASS), cells)
    else:
        sum_cells(basin, runoff, by_basin, cells[:, 0])
    by_basin += (_LEAST_RATE if runoff is not None else 1.0) * cells[:, 0]
    inner = leaf >= 0
    return np.asarray(np.bincount(leaf[inner], weights=by_basin[inner], minlength=n_leaves), np.float64)
