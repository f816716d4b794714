"""Watercourses: cells that drain enough ground, and the lines through them."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive, check_same_shape
from swalekit.flow.network import FlowNetwork
from swalekit.kernels.flow_paths import split_watercourses


def watercourse_cells(
    network: FlowNetwork, accumulated_m2: NDArray[np.float64], threshold_m2: float
) -> NDArray[np.bool_]:
    """Cells that drain at least a threshold area.

    Parameters
    ----------
    network : FlowNetwork
        The flow network.
    accumulated_m2 : ndarray of float64, shape (rows, columns)
        Area that drains through each cell [m²].
    threshold_m2 : float
        Least area of a watercourse [m²].

    Returns
    -------
    cells : ndarray of bool, shape (rows, columns)

    Raises
    ------
    InputError
        If the threshold is not greater than zero, or the areas have another shape than the grid.

    Examples
    --------
    >>> from swalekit.flow.accumulation import accumulate
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain.terrain import Terrain
    >>> terrain = Terrain.from_heights(np.array([[3.0, 2.0, 1.0]]), Grid.from_corner((1, 3), cell_m=10.0))
    >>> network = build_flow_network(terrain, noise_depth_m=0.0)
    >>> watercourse_cells(network, accumulate(network), 200.0)
    array([[False,  True,  True]])
    """
    check_positive(threshold_m2=threshold_m2)
    check_same_shape(accumulated_m2=accumulated_m2, grid=network.grid)
    cells: NDArray[np.bool_] = network.grid.zeros(np.bool_)
    return np.greater_equal(accumulated_m2, threshold_m2, out=cells)


def watercourse_lines(network: FlowNetwork, cells: NDArray[np.bool_]) -> list[NDArray[np.float64]]:
    """Lines of the watercourses between heads, confluences and ends.

    Parameters
    ----------
    network : FlowNetwork
        The flow network.
    cells : ndarray of bool, shape (rows, columns)
        Watercourse cells, from `watercourse_cells`.

    Returns
    -------
    lines : list of ndarray of float64, shape (k, 2)
        Easting and northing of the cell centres, downhill, two points or more [m]. Lines meet at the centre of a
        confluence. One that reaches the pit of a hollow ends there; what spills begins a new one.

    Raises
    ------
    InputError
        If the cells have another shape than the grid.

    Examples
    --------
    >>> from swalekit.flow.accumulation import accumulate
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain.terrain import Terrain
    >>> grid = Grid.from_corner((1, 4), cell_m=10.0, west_m=0.0, north_m=10.0)
    >>> network = build_flow_network(Terrain.from_heights(np.array([[4.0, 3.0, 2.0, 1.0]]), grid), noise_depth_m=0.0)
    >>> watercourse_lines(network, watercourse_cells(network, accumulate(network), 300.0))
    [array([[25.,  5.],
           [35.,  5.]])]
    """
    check_same_shape(cells=cells, grid=network.grid)
    receiver, tributaries = network.receiver_ending_at(network.hollows.pit), network.grid.zeros(np.uint8).ravel()
    path, starts = split_watercourses(receiver, cells.ravel(), tributaries)
    xy = np.column_stack(network.grid.centres(*np.divmod(path, network.grid.shape[1])))
    return np.split(xy, starts[1:]) if starts.size else []
