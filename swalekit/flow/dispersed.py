"""Catchments where the flow of a cell parts between two neighbours: a second opinion on those of one direction."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_same_shape
from swalekit._one_line import one_line
from swalekit.flow.network import FlowNetwork
from swalekit.frozen import Frozen, read_only
from swalekit.grid import Grid
from swalekit.kernels.flow_dispersed import carry_down, levels_on_the_way, part_flow
from swalekit.terrain.terrain import Terrain


@one_line("grid")
@dataclass(frozen=True, eq=False)
class DispersedFlow(Frozen):
    """The two next cells of every cell, and how its water parts between them.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    receiver, second : ndarray of int32, shape (n_cells,)
        Flat indices of the next cells, the first at a side, the second at a corner; both the network's where the flow
        isn't parted, and the cell itself where a way ends.
    share : ndarray of float32, shape (n_cells,)
        Share that goes to the second [-].
    """

    grid: Grid
    receiver: NDArray[np.int32]
    second: NDArray[np.int32]
    share: NDArray[np.float32]


def disperse_flow(terrain: Terrain, network: FlowNetwork) -> DispersedFlow:
    """Part the flow of each cell between the two neighbours that its slope points between.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    network : FlowNetwork
        Its flow in single directions.

    Returns
    -------
    DispersedFlow
        Both ways of every cell.

    Raises
    ------
    InputError
        If terrain and network have other shapes.

    Notes
    -----
    D-infinity of [1]_: of the eight triangles round a cell the steepest sets the direction, and the water parts between
    its two neighbours by the angles to them. Both lie lower. Across flats, within hollows that are routed through and
    on their rim, and on the rim of the tile and of voids, the network is followed; the hollows that it keeps end all
    ways. Water spreads a little too wide, where one direction a cell doesn't spread it at all: what both agree on is
    sure, and what they don't hangs on the rule.

    References
    ----------
    .. [1] Tarboton, D. G. (1997). A new method for the determination of flow directions and upslope areas in grid
       digital elevation models. Water Resources Research 33(2), 309–319, eq. 1 to 5.

    Examples
    --------
    A plane that falls eastward, and half as steeply northward, sends more than half of each cell's water to the corner:

    >>> from swalekit.flow.network import build_flow_network
    >>> heights = np.add.outer(0.5 * np.arange(3.0), np.arange(3.0)[::-1])
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((3, 3), cell_m=1.0))
    >>> flow = disperse_flow(terrain, build_flow_network(terrain, noise_depth_m=0.0))
    >>> flow.receiver[4], flow.second[4], round(float(flow.share[4]), 3)
    (np.int32(5), np.int32(2), 0.59)
    """
    check_same_shape(heights=terrain.heights, grid=network.grid)
    grid = network.grid
    receiver, second = network.receiver_ending_at(network.hollows.pit), grid.zeros(np.int32).ravel()
    levels, share = grid.zeros(np.float32).ravel(), grid.zeros(np.float32).ravel()
    heights = read_only(terrain.heights)
    levels_on_the_way(heights.ravel(), receiver, network.order, levels)
    part_flow(heights, levels, receiver, second, share)
    return DispersedFlow(grid, receiver, second, share)


def dispersed_areas_m2(
    flow: DispersedFlow, network: FlowNetwork, stops: NDArray[np.int32], *, n_stops: int
) -> NDArray[np.float64]:
    """Ground that drains to each store: a stop or a hollow.

    Parameters
    ----------
    flow : DispersedFlow
        From `disperse_flow`.
    network : FlowNetwork
        Its hollows end a path, unless a stop covers their pit.
    stops : ndarray of int32, shape (rows, columns)
        k at the cells of stop k, 0 elsewhere, as for `swalekit.flow.catchments.first_met`.
    n_stops : int
        Number of stops.

    Returns
    -------
    ndarray of float64, shape (n_stops + hollows,)
        Areas, of parts of cells too; they sum up to the ground that doesn't leave the tile [m²].

    Raises
    ------
    InputError
        If the stops have another shape than the grid or a label above ``n_stops``.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> terrain = Terrain.from_heights(np.array([[5.0, 4.0, 3.0, 2.0, 1.0]]), Grid.from_corner((1, 5), cell_m=1.0))
    >>> network = build_flow_network(terrain, noise_depth_m=0.0)
    >>> dispersed_areas_m2(disperse_flow(terrain, network), network, np.array([[0, 1, 0, 2, 0]]), n_stops=2)
    array([2., 2.])
    """
    check_same_shape(stops=stops, grid=network.grid)
    check_between(0, n_stops, greatest_stop=int(stops.max()))
    grid, pits = network.grid, network.hollows.pit
    ends = np.array(stops, np.int32).ravel()
    open_pits = ends[pits] == 0
    ends[pits[open_pits]] = n_stops + 1 + np.flatnonzero(open_pits)
    area = grid.zeros(np.float64).ravel()
    area[network.order] = grid.cell_area_m2
    received = np.zeros(1 + n_stops + pits.size)
    carry_down(flow.receiver, flow.second, flow.share, grid.zeros(np.int32).ravel(), ends, area, received)
    return received[1:]


def contributing_areas_m2(flow: DispersedFlow, network: FlowNetwork) -> NDArray[np.float64]:
    """Area that drains through each cell, itself included; hollows that are kept end a way.

    Parameters
    ----------
    flow : DispersedFlow
        From `disperse_flow`.
    network : FlowNetwork
        The network that it was made of.

    Returns
    -------
    ndarray of float64, shape (rows, columns)
        Areas [m²]; 0 at voids.

    Examples
    --------
    >>> from swalekit.flow.network import build_flow_network
    >>> terrain = Terrain.from_heights(np.array([[4.0, 3.0, 2.0, 1.0]]), Grid.from_corner((1, 4), cell_m=10.0))
    >>> network = build_flow_network(terrain, noise_depth_m=0.0)
    >>> contributing_areas_m2(disperse_flow(terrain, network), network)
    array([[100., 200., 300., 400.]])
    """
    grid = network.grid
    area = grid.zeros(np.float64).ravel()
    area[network.order] = grid.cell_area_m2
    none = grid.zeros(np.int32).ravel()
    carry_down(flow.receiver, flow.second, flow.share, grid.zeros(np.int32).ravel(), none, area, np.zeros(1))
    return area.reshape(grid.shape)
