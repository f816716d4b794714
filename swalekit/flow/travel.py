"""How far water has to go to the first store it meets."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_same_shape
from swalekit.flow.network import FlowNetwork
from swalekit.kernels.flow_travel import greatest_of_labels, measure_paths
from swalekit.terrain.terrain import Terrain


def path_to_store(
    network: FlowNetwork, terrain: Terrain, stops: NDArray[np.int32]
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Length and fall of every cell's path to the stop or hollow it meets first, or off the tile.

    Parameters
    ----------
    network : FlowNetwork
        The flow network of the terrain.
    terrain : Terrain
        The ground.
    stops : ndarray of int32, shape (rows, columns)
        k at the cells of stop k, 0 elsewhere, as for `swalekit.flow.catchments.first_met`.

    Returns
    -------
    length_m, fall_m : ndarray of float32, shape (rows, columns)
        Along the path, and from the cell down to its end; NaN at voids [m].

    Raises
    ------
    InputError
        If terrain or stops have another shape than the grid.

    Notes
    -----
    Steps are 1 or √2 cells long. On a plane that falls between two of the eight directions the path is up to 8 %
    longer than the straight line. The fall over noise that was routed through may be negative.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> from swalekit.grid import Grid
    >>> terrain = Terrain.from_heights(np.array([[5.0, 4.0, 3.0, 2.0, 1.0]]), Grid.from_corner((1, 5), cell_m=10.0))
    >>> network = build_flow_network(terrain, noise_depth_m=0.0)
    >>> path_to_store(network, terrain, np.array([[0, 0, 1, 0, 0]]))[0]
    array([[20., 10.,  0., 10.,  0.]], dtype=float32)
    """
    check_same_shape(stops=stops, heights=terrain.heights, grid=network.grid)
    length, fall = np.full((2, network.grid.n_cells), np.nan, np.float32)
    measure_paths(
        network.receiver_ending_at(network.hollows.pit),
        network.order,
        np.asarray(stops, np.int32).ravel(),
        terrain.heights.ravel(),
        network.grid.shape[1],
        network.grid.cell_m,
        length,
        fall,
    )
    return length.reshape(network.grid.shape), fall.reshape(network.grid.shape)


def longest_by_label(values: NDArray[np.floating], labels: NDArray[np.int32], *, n_labels: int) -> NDArray[np.float64]:
    """Greatest value on the ground of each label, such as the longest travel time to each store.

    Parameters
    ----------
    values : ndarray of float, shape (rows, columns)
        Zero or greater; NaN counts nowhere.
    labels : ndarray of int32, shape (rows, columns)
        0 … n_labels − 1; negative at voids.
    n_labels : int
        How many there are.

    Returns
    -------
    ndarray of float64, shape (n_labels,)
        In the unit of the values; 0 for a label without cells.

    Raises
    ------
    InputError
        If shapes differ or a label is too great.

    Examples
    --------
    >>> longest_by_label(np.array([[3.0, 1.0, np.nan]]), np.array([[1, 1, -1]], np.int32), n_labels=3)
    array([0., 3., 0.])
    """
    check_same_shape(values=values, labels=labels)
    check_between(-1, n_labels - 1, greatest_label=int(labels.max(initial=-1)))
    greatest = np.zeros(n_labels)
    greatest_of_labels(values.ravel(), labels.ravel(), greatest)
    return greatest
