"""Sums and longest ways along the flow paths."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_same_shape
from swalekit.flow.network import FlowNetwork
from swalekit.kernels.flow_paths import farthest_of_labels, path_feet, sum_downhill
from swalekit.terrain.terrain import Terrain


def accumulate(
    network: FlowNetwork,
    weight: NDArray[np.floating] | None = None,
    *,
    closed: NDArray[np.bool_] | None = None,
) -> NDArray[np.float64]:
    """Sum of what all cells hold whose flow path passes a cell, itself included.

    Parameters
    ----------
    network : FlowNetwork
        The flow network.
    weight : ndarray, shape (rows, columns), optional
        What each cell holds, in any unit; the area of a cell [m²] if not given.
    closed : ndarray of bool, shape (h,), optional
        Hollows that keep their water: paths end at their pit. None of them if not given.

    Returns
    -------
    sums : ndarray of float64, shape (rows, columns)
        In the unit of the weight; 0 at voids.

    Raises
    ------
    InputError
        If the weight has another shape than the grid, or ``closed`` another length than the hollows.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain.terrain import Terrain
    >>> terrain = Terrain.from_heights(np.array([[4.0, 3.0, 2.0, 1.0]]), Grid.from_corner((1, 4), cell_m=10.0))
    >>> accumulate(build_flow_network(terrain, noise_depth_m=0.0))
    array([[100., 200., 300., 400.]])
    """
    if weight is None:
        sums = network.grid.filled(network.grid.cell_area_m2, np.float64).ravel()
    else:
        check_same_shape(weight=weight, grid=network.grid)
        sums = np.array(weight, np.float64).ravel()
    if network.order.size < network.grid.n_cells:
        void = network.grid.filled(True, np.bool_).ravel()
        void[network.order] = False
        sums[void] = 0.0
    receiver = network.receiver
    if closed is not None:
        check_same_shape(closed=closed, hollows=network.hollows.pit)
        receiver = network.receiver_ending_at(network.hollows.pit[closed])
    sum_downhill(receiver, network.order, sums)
    return sums.reshape(network.grid.shape)


def longest_paths(
    network: FlowNetwork, terrain: Terrain, stops: NDArray[np.int32], labels: NDArray[np.int32], *, n_labels: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Length and fall of the longest flow path on the ground of each label, as a time of concentration needs them.

    Parameters
    ----------
    network : FlowNetwork
        The flow network of the terrain.
    terrain : Terrain
        The ground.
    stops : ndarray of int32, shape (rows, columns)
        k at the cells of stop k, 0 elsewhere, as for `swalekit.flow.catchments.first_met`.
    labels : ndarray of int32, shape (rows, columns)
        What that function gives: the store each cell's water meets first, 0 … n_labels − 1; negative at voids.
    n_labels : int
        How many labels there are.

    Returns
    -------
    length_m, fall_m : ndarray of float64, shape (n_labels,)
        Along the path, and from its head down to the stop, pit or edge where it ends; 0 for a label without cells [m].

    Raises
    ------
    InputError
        If terrain, stops or labels have another shape than the grid, or a label is too great.

    Notes
    -----
    Steps are 1 or √2 cells long. On a plane that falls between two of the eight directions the path is up to 8 %
    longer than the straight line. The fall over noise that was routed through may be negative.

    Examples
    --------
    >>> from swalekit.flow.catchments import first_met
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> terrain = Terrain.from_heights(np.array([[6.0, 4.0, 3.0, 2.0, 1.5]]), Grid.from_corner((1, 5), cell_m=10.0))
    >>> network = build_flow_network(terrain, noise_depth_m=0.0)
    >>> stops = np.array([[0, 0, 1, 0, 0]], np.int32)
    >>> longest_paths(network, terrain, stops, first_met(network, stops, n_stops=1), n_labels=2)
    (array([10., 20.]), array([0.5, 3. ]))
    """
    check_same_shape(stops=stops, labels=labels, heights=terrain.heights, grid=network.grid)
    check_between(-1, n_labels - 1, greatest_label=int(labels.max(initial=-1)))
    length = network.grid.filled(-1.0, np.float32).ravel()
    length[network.hollows.pit] = 0.0
    heads = np.full(n_labels, -1, np.int64)
    stops, labels = np.asarray(stops, np.int32).ravel(), np.asarray(labels, np.int32).ravel()
    farthest_of_labels(network.receiver, network.order, stops, labels, network.grid.shape[1], length, heads)
    has_ground = heads >= 0
    heads = heads[has_ground]
    feet = path_feet(network.receiver, length, heads)
    heights, longest = terrain.heights.ravel(), np.zeros((2, n_labels))
    longest[0, has_ground] = network.grid.cell_m * length[heads].astype(np.float64)
    longest[1, has_ground] = heights[heads].astype(np.float64) - heights[feet].astype(np.float64)
    return longest[0], longest[1]
