"""Ponds that stand in hollows below or at their spill level."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit.errors import InputError
from swalekit.flow.catchments import first_met
from swalekit.flow.hollows import Hollows
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
        1 + h at cells below the level of hollow h and joined to its pit by such cells, 0 elsewhere. A hollow that has
        drowned in the pond of another counts with that one.

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
        Water that each hollow has taken itself [m³].

    Returns
    -------
    level_m : ndarray of float64, shape (h,)
        Water levels, none above the spill level: that of a hollow which has drowned in another's pond is told of
        that one [m].

    Raises
    ------
    InputError
        If the number of volumes differs from that of the hollows or a volume is negative.

    Notes
    -----
    Water rises from the pit. Beyond the saddle at which another hollow drowns, both hold one pond.

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
    pond_m3 = np.array(volume_m3, np.float64)
    for inner in np.flatnonzero(drowned(hollows, volume_m3))[::-1]:  # from low to high: before what it drowns in
        pond_m3[hollows.drowns_in[inner]] += pond_m3[inner]
    depth_sums_m = pond_m3 / network.grid.cell_area_m2
    heights, seen = terrain.heights.ravel(), network.grid.zeros(np.bool_).ravel()
    return pond_levels(heights, network.grid.shape[1], hollows.pit, hollows.spill_level_m, depth_sums_m, seen)


def drowned(hollows: Hollows, volume_m3: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether each hollow has become part of another's pond.

    Parameters
    ----------
    hollows : Hollows
        The hollows.
    volume_m3 : ndarray of float64, shape (h,)
        Water that each has taken itself [m³].

    Returns
    -------
    ndarray of bool, shape (h,)

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> heights = np.array([[9, 9, 9, 9, 9, 9], [9, 3, 5, 2, 7, 1], [9, 9, 9, 9, 9, 9.0]])
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((3, 6), cell_m=1.0))
    >>> hollows = build_flow_network(terrain, noise_depth_m=0).hollows
    >>> drowned(hollows, np.array([2.0, 2.0])), drowned(hollows, np.array([5.0, 2.0]))
    (array([False, False]), array([False,  True]))
    """
    inner = hollows.drowns_in >= 0
    return inner & (np.asarray(volume_m3)[hollows.drowns_in] > hollows.drowns_at_m3)


def pond_beds(network: FlowNetwork, terrain: Terrain) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """What each hollow's own water stands on: its ground, and the ponds that drown in it.

    Parameters
    ----------
    network : FlowNetwork
        The flow network of the terrain.
    terrain : Terrain
        The ground.

    Returns
    -------
    beds : list of (ndarray of float64, ndarray of float64)
        For each hollow heights below its spill level, and the area at each [m, m²]. Between them and that level lies
        its ``volume_m3``: a hollow that drowns in it is full by then, so that its pond is ground at its own level.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> heights = np.array([[9, 9, 9, 9, 9, 9], [9, 3, 5, 2, 7, 1], [9, 9, 9, 9, 9, 9.0]])
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((3, 6), cell_m=1.0))
    >>> pond_beds(build_flow_network(terrain, noise_depth_m=0), terrain)
    [(array([5., 2., 5.]), array([1., 1., 1.])), (array([3.]), array([1.]))]
    """
    hollows = network.hollows
    gathered = first_met(network, network.grid.zeros(np.int32), n_stops=0).ravel()
    top = np.arange(len(hollows))
    while (higher := (hollows.drowns_in[top] >= 0)).any():
        top = np.where(higher, hollows.drowns_in[top], top)
    level = np.append(-np.inf, hollows.spill_level_m[top])
    cells = np.flatnonzero((gathered > 0) & (terrain.heights.ravel() < level[gathered]))
    own, height = gathered[cells] - 1, terrain.heights.ravel()[cells].astype(np.float64)
    while (above := np.flatnonzero(height >= hollows.spill_level_m[own])).size:
        own[above] = hollows.drowns_in[own[above]]
    inner = np.flatnonzero(hollows.drowns_in >= 0)
    own = np.concatenate([own, hollows.drowns_in[inner]])
    height = np.concatenate([height, hollows.spill_level_m[inner]])
    area_m2 = np.concatenate([np.full(cells.size, network.grid.cell_area_m2), hollows.area_m2[inner]])
    order = np.argsort(own, kind="stable")
    bounds = np.searchsorted(own[order], np.arange(1, len(hollows)))
    return list(zip(np.split(height[order], bounds), np.split(area_m2[order], bounds), strict=True))[: len(hollows)]
