"""What water meets on its way down."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_same_shape
from swalekit.flow.network import FlowNetwork
from swalekit.kernels.flow_paths import pass_uphill, walk_downhill


def first_met(network: FlowNetwork, stops: NDArray[np.int32], *, n_stops: int) -> NDArray[np.int32]:
    """Label of the first store that the water of each cell meets: a stop or a hollow.

    The cells with one label are that store's own catchment.

    Parameters
    ----------
    network : FlowNetwork
        The flow network.
    stops : ndarray of int32, shape (rows, columns)
        k at the cells of stop k (1 to ``n_stops``), 0 elsewhere. A line of cells joined side to side lets no path slip
        through.
    n_stops : int
        Number of stops.

    Returns
    -------
    labels : ndarray of int32, shape (rows, columns)
        k for stop k, the stop's own cells included; ``n_stops`` + 1 + h for hollow h (counted from 0), unless a stop
        covers its pit; 0 where water leaves the tile without meeting either; -1 at voids.

    Raises
    ------
    InputError
        If the stops have another shape than the grid or a label above ``n_stops``.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain.terrain import Terrain
    >>> terrain = Terrain.from_heights(np.array([[5.0, 4.0, 3.0, 2.0, 1.0]]), Grid.from_corner((1, 5), cell_m=1.0))
    >>> first_met(build_flow_network(terrain, noise_depth_m=0.0), np.array([[0, 1, 0, 2, 0]]), n_stops=2)
    array([[1, 1, 2, 2, 0]], dtype=int32)
    """
    check_same_shape(stops=stops, grid=network.grid)
    check_between(0, n_stops, greatest_stop=int(stops.max()))
    labels: NDArray[np.int32] = network.grid.filled(-1, np.int32).ravel()
    labels[network.hollows.pit] = n_stops + 1 + np.arange(network.hollows.pit.size)
    pass_uphill(network.receiver, network.order, np.asarray(stops, np.int32).ravel(), labels)
    return labels.reshape(network.grid.shape)


def trace_path(
    network: FlowNetwork, start: int, stops: NDArray[np.int32], *, ignore: int = 0
) -> tuple[NDArray[np.int32], int]:
    """Path of the water from one cell to the first stop, the pit of a hollow, or off the tile.

    Parameters
    ----------
    network : FlowNetwork
        The flow network.
    start : int
        Flat index of the first cell.
    stops : ndarray of int32, shape (rows, columns)
        k at the cells of stop k, 0 elsewhere.
    ignore : int
        A stop that the path may pass, such as the one it comes from.

    Returns
    -------
    path : ndarray of int32
        Flat indices of the cells, first and last included.
    label : int
        Stop met at the last cell; 0 where the path ends at a hollow's pit or leaves the tile.

    Raises
    ------
    InputError
        If the start lies off the grid or the stops have another shape than the grid.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain.terrain import Terrain
    >>> terrain = Terrain.from_heights(np.array([[5.0, 4.0, 3.0, 2.0, 1.0]]), Grid.from_corner((1, 5), cell_m=1.0))
    >>> trace_path(build_flow_network(terrain, noise_depth_m=0.0), 1, np.array([[0, 1, 0, 2, 0]]), ignore=1)
    (array([1, 2, 3], dtype=int32), 2)
    """
    check_same_shape(stops=stops, grid=network.grid)
    check_between(0, network.grid.n_cells - 1, start=start)
    flat_stops = np.asarray(stops, np.int32).ravel()
    path = walk_downhill(network.receiver, int(start), flat_stops, network.hollows.sorted_pits, int(ignore))
    label = int(flat_stops[path[-1]])
    return path, 0 if label == ignore else label
