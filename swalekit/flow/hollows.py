"""Hollows: ground from which water leaves only over a spill point."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.frozen import Frozen, locked_property
from swalekit.kernels.flow_basins import UNKNOWN, label_basins, lowest_saddles
from swalekit.kernels.flow_spills import carve_exits, lead_to_deepest, pond_sums, spill_tree
from swalekit.terrain.terrain import Terrain


@one_line("depth_m", "volume_m3")
@dataclass(frozen=True, eq=False)
class Hollows(Frozen):
    """The hollows kept as real ground, by spill level from high to low, then by pit.

    The pond of a hollow is the ground below its spill level, inner hollows that drown in it included.

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
        Area of the full pond [m²].
    volume_m3 : ndarray of float64, shape (h,)
        Volume of the full pond [m³].
    filled_count : int
        Number of shallower hollows, taken for noise and routed through.
    """

    pit: NDArray[np.int32]
    spill: NDArray[np.int32]
    spill_to: NDArray[np.int32]
    spill_level_m: NDArray[np.float64]
    depth_m: NDArray[np.float64]
    area_m2: NDArray[np.float64]
    volume_m3: NDArray[np.float64]
    filled_count: int

    def __len__(self) -> int:
        return self.pit.size

    @locked_property
    def sorted_pits(self) -> NDArray[np.int32]:
        """The pits in ascending order of flat index."""
        return np.sort(self.pit)


def route_hollows(
    terrain: Terrain, receiver: NDArray[np.int32], pits: NDArray[np.int32], *, noise_depth_m: float
) -> Hollows:
    """Find the hollows and lead the water of each one out.

    Through a hollow shallower than the noise a path is carved from its pits over the spill point. A deeper one
    gathers its water at its deepest pit, from where it goes on at the spill point.

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

    Returns
    -------
    hollows : Hollows
        Those that are kept.

    Notes
    -----
    Basins and the lowest saddles between them form a graph; its minimum spanning tree, rooted outside the tile, holds
    every basin's lowest way out [1]_. Basins joined below their common spill level are one hollow.

    Where a hollow spills straight off the tile, its spill cell becomes an outlet: the little ground that drains into
    that one cell then leaves the tile without passing the pit.

    References
    ----------
    .. [1] Cordonnier, G., Bovy, B., Braun, J. (2019). A versatile, linear complexity algorithm for flow routing in
       topographies with depressions. Earth Surface Dynamics 7, 549–562.
    """
    heights = terrain.heights.ravel()
    basin = terrain.grid.filled(UNKNOWN, np.int32).ravel()
    label_basins(receiver, pits, basin)
    saddles = lowest_saddles(heights, basin, terrain.grid.shape[1])
    by_height = np.lexsort((heights[saddles.cells].min(axis=1), saddles.heights))
    tree = spill_tree(saddles, by_height, heights[pits])
    pit, level_m = pits[tree.deepest - 1], tree.levels[tree.heads].astype(np.float64)
    depth_m = level_m - heights[pit]
    kept = np.flatnonzero(depth_m >= noise_depth_m)
    kept = kept[np.lexsort((pit[kept], -level_m[kept]))]

    spills = lead_to_deepest(saddles, tree, kept)
    carve_exits(receiver, saddles, tree.exits)
    head_side = np.where(saddles.basins[spills, 0] == tree.heads[kept], 0, 1)
    spill, spill_to = saddles.cells[spills, head_side], saddles.cells[spills, 1 - head_side]
    receiver[pit[kept]] = spill_to
    off_tile = spill[spill == spill_to]
    receiver[off_tile] = off_tile

    pond = np.full(tree.heads.size + 1, -1, np.int32)  # the last one answers for the outside
    pond[kept] = np.arange(kept.size)
    area_m2, volume_m3 = pond_sums(heights, basin, pond[tree.hollow], tree.levels, kept.size, terrain.grid.cell_area_m2)
    filled_count = depth_m.size - kept.size
    return Hollows(pit[kept], spill, spill_to, level_m[kept], depth_m[kept], area_m2, volume_m3, filled_count)
