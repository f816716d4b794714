"""What water meets on its way down, and the areas and rims of the ground that drains to each store."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_same_shape
from swalekit.flow.network import FlowNetwork
from swalekit.frozen import read_only
from swalekit.grid import Grid
from swalekit.kernels.flow_paths import pass_uphill, walk_downhill
from swalekit.kernels.label_tally import count_cells, count_rim_cells, look_up, sum_cells
from swalekit.terrain.terrain import Terrain

_ONE_CLASS = np.zeros((1, 1), np.uint8)


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
    pass_uphill(network.receiver, network.order, read_only(np.asarray(stops, np.int32).ravel()), labels)
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


def label_cells(
    labels: NDArray[np.int32], *, n_labels: int, classes: NDArray[np.uint8] | None = None, n_classes: int = 1
) -> NDArray[np.int64]:
    """Number of cells by label and class.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        0 … n_labels − 1; negative at void cells.
    n_labels, n_classes : int
        How many there are.
    classes : ndarray of uint8, shape (rows, columns), optional
        Class (of soil) of each cell, 0 … n_classes − 1.

    Returns
    -------
    ndarray of int64, shape (n_labels, n_classes)

    Raises
    ------
    InputError
        If labels and classes differ in shape.

    Examples
    --------
    >>> label_cells(np.array([[0, 1], [1, -1]], np.int32), n_labels=2)
    array([[1],
           [2]])
    """
    if classes is not None:
        check_same_shape(labels=labels, classes=classes)
    counts = np.zeros((n_labels, n_classes), np.int64)
    count_cells(read_only(labels), read_only(_ONE_CLASS if classes is None else classes), counts)
    return counts


def label_means(labels: NDArray[np.int32], values: NDArray[np.float32], *, n_labels: int) -> NDArray[np.float64]:
    """Mean of a raster over the cells of each label.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        0 … n_labels − 1; negative at void cells.
    values : ndarray of float32, shape (rows, columns)
        NaN where there is none.
    n_labels : int
        How many there are.

    Returns
    -------
    ndarray of float64, shape (n_labels,)
        0 for a label without values.

    Raises
    ------
    InputError
        If labels and values differ in shape.

    Examples
    --------
    >>> label_means(np.array([[0, 1], [1, -1]], np.int32), np.array([[3, 4], [6, 9]], np.float32), n_labels=3)
    array([3., 5., 0.])
    """
    check_same_shape(labels=labels, values=values)
    sums, counts = np.zeros(n_labels), np.zeros(n_labels, np.int64)
    sum_cells(labels, values, sums, counts)
    return sums / np.maximum(counts, 1)


def rim_cells(terrain: Terrain, labels: NDArray[np.int32], *, n_labels: int) -> NDArray[np.int64]:
    """Number of cells of each label on the tile's edge or beside a void.

    Ground that drains to a store and lies there may go on beyond the tile: its area is then a least value.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    labels : ndarray of int32, shape (rows, columns)
        0 … n_labels − 1; negative at void cells.
    n_labels : int
        How many there are.

    Returns
    -------
    ndarray of int64, shape (n_labels,)
        Cells on the edge or with a void at one of their sides.

    Raises
    ------
    InputError
        If the labels have another shape than the terrain.

    Examples
    --------
    A tile of three by three cells is all rim but its middle:

    >>> terrain = Terrain.from_heights(np.zeros((3, 3)), Grid.from_corner((3, 3), cell_m=1.0))
    >>> rim_cells(terrain, np.zeros((3, 3), np.int32), n_labels=1)
    array([8])
    """
    check_same_shape(labels=labels, valid=terrain.valid)
    counts = np.zeros(n_labels, np.int64)
    count_rim_cells(labels, terrain.valid, counts)
    return counts


def relabelled(grid: Grid, labels: NDArray[np.int32], table: NDArray[np.int32]) -> NDArray[np.signedinteger]:
    """Labels with those above zero replaced, such as stores by what catches their water in the end.

    Parameters
    ----------
    grid : Grid
        The cells.
    labels : ndarray of int32, shape (rows, columns)
        -1, 0, and k for entry k - 1 of the table.
    table : ndarray of int32, shape (n,)
        Zero or greater.

    Returns
    -------
    ndarray of int16 or int32, shape (rows, columns)
        Two bytes a cell where that is enough.

    Raises
    ------
    InputError
        If the labels have another shape than the grid.

    Examples
    --------
    >>> grid = Grid.from_corner((1, 4), cell_m=1.0)
    >>> relabelled(grid, np.array([[-1, 0, 1, 2]], np.int32), np.array([7, 0], np.int32))
    array([[-1,  0,  7,  0]], dtype=int16)
    """
    check_same_shape(labels=labels, grid=grid)
    narrow = table.max(initial=0) <= np.iinfo(np.int16).max
    found: NDArray[np.signedinteger] = grid.zeros(np.int16 if narrow else np.int32)
    look_up(labels, table, found)
    return found
