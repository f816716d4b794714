"""Sums along the flow paths."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit.flow.network import FlowNetwork
from swalekit.kernels.flow_paths import sum_downhill


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
