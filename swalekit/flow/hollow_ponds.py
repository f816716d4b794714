"""Ponds that stand in hollows below or at their spill level."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit.errors import InputError
from swalekit.flow.network import FlowNetwork
from swalekit.frozen import read_only
from swalekit.kernels.flow_ponds import label_ponds, pond_levels
from swalekit.terrain.terrain import Terrain


def pond_labels(network: FlowNetwork, terrain: Terrain, level_m: NDArray[np.float64]) -> NDArray[np.int32]:
    """Ground under water when each hollow stands at a given level.

    Parameters
    ----------
    network : FlowNetwork
        The flow network of the terrain.
    terrain : Terrain
        The ground.
    level_m : ndarray of float64, shape (h,)
        Water level of each hollow, at most its spill level; a hollow whose level is at or below its pit is dry [m].

    Returns
    -------
    labels : ndarray of int32, shape (rows, columns)
        1 + h at cells below the level of hollow h and joined to its pit by such cells, 0 elsewhere.

    Raises
    ------
    InputError
        If the number of levels differs from that of the hollows or a level lies above the spill level.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> heights = np.array([[9, 9, 9, 9, 9], [8, 4, 5, 6, 3], [9, 9, 9, 9, 9.0]])
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((3, 5), cell_m=1.0))
    >>> network = build_flow_network(terrain, noise_depth_m=0.1)
    >>> pond_labels(network, terrain, np.array([4.5]))[1]
    array([0, 1, 0, 0, 0], dtype=int32)
    """
    hollows = network.hollows
    check_same_shape(level_m=level_m, hollows=hollows.pit)
    above = np.flatnonzero(~(level_m <= hollows.spill_level_m))
    if above.size:
        h = above[0]
        message = (
            f"level of hollow {h} is {level_m[h]:.3f} m; it must not lie above its spill level, "
            f"{hollows.spill_level_m[h]:.3f} m"
        )
        raise InputError(message)
    longest = round(float(hollows.area_m2.max(initial=0.0)) / network.grid.cell_area_m2)
    labels: NDArray[np.int32] = network.grid.zeros(np.int32)
    heights, columns = terrain.heights.ravel(), network.grid.shape[1]
    label_ponds(heights, columns, hollows.pit, read_only(np.asarray(level_m, np.float64)), longest, labels.ravel())
    return labels


def pond_level_m(network: FlowNetwork, terrain: Terrain, volume_m3: NDArray[np.float64]) -> NDArray[np.float64]:
    """Level at which each hollow holds a given volume, at most its spill level [m].

    Parameters
    ----------
    network : FlowNetwork
        The flow network of the terrain.
    terrain : Terrain
        The ground.
    volume_m3 : ndarray of float64, shape (h,)
        Water in each hollow [m³].

    Returns
    -------
    level_m : ndarray of float64, shape (h,)
        Water levels [m].

    Raises
    ------
    InputError
        If the number of volumes differs from that of the hollows or a volume is negative.

    Notes
    -----
    Water rises from the deepest pit. At the saddle to an inner hollow beside it the level stands until that one has
    filled to the saddle too.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> heights = np.array([[9, 9, 9, 9, 9], [8, 4, 5, 6, 3], [9, 9, 9, 9, 9.0]])
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((3, 5), cell_m=1.0))
    >>> network = build_flow_network(terrain, noise_depth_m=0.1)
    >>> network.hollows.volume_m3
    array([3.])
    >>> pond_level_m(network, terrain, np.array([2.0]))
    array([5.5])
    """
    hollows = network.hollows
    check_same_shape(volume_m3=volume_m3, hollows=hollows.pit)
    negative = np.flatnonzero(~(volume_m3 >= 0))
    if negative.size:
        message = f"volume of hollow {negative[0]} is {volume_m3[negative[0]]:g} m³; it must be zero or greater"
        raise InputError(message)
    depth_sums_m = np.asarray(volume_m3, np.float64) / network.grid.cell_area_m2
    heights, seen = terrain.heights.ravel(), network.grid.zeros(np.bool_).ravel()
    return pond_levels(heights, network.grid.shape[1], hollows.pit, hollows.spill_level_m, depth_sums_m, seen)
