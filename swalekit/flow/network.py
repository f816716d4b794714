"""The flow network: where the water of every cell goes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_same_shape
from swalekit._one_line import one_line
from swalekit.flow.hollows import Hollows, route_hollows
from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.kernels.flow_receivers import drain_flats, outlets_first, steepest_receivers
from swalekit.terrain.terrain import Terrain

__all__ = ["FlowNetwork", "Hollows", "build_flow_network"]


@one_line("grid", "hollows")
@dataclass(frozen=True, eq=False)
class FlowNetwork(Frozen):
    """The next cell of every cell, and an order to visit them in.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell downhill, one of the eight neighbours; the cell itself at an outlet, where water
        leaves the tile, and at voids; ``spill_to`` at the pit of a kept hollow.
    order : ndarray of int32, shape (n_valid,)
        Flat indices of all cells that hold ground, outlets first: a cell's receiver always comes before it.
    hollows : Hollows
        The hollows kept as real ground.
    """

    grid: Grid
    receiver: NDArray[np.int32]
    order: NDArray[np.int32]
    hollows: Hollows

    def __post_init__(self) -> None:
        self.receiver.flags.writeable = False
        self.order.flags.writeable = False
        super().__post_init__()

    def receiver_ending_at(self, cells: NDArray[np.int32]) -> NDArray[np.int32]:
        """Receivers of a network whose paths also end at given cells.

        Parameters
        ----------
        cells : ndarray of int32
            Flat indices of the cells.

        Returns
        -------
        ndarray of int32, shape (n_cells,)
            Flat index of the next cell downhill; the cell itself at the given ones. The network keeps its own.

        Examples
        --------
        >>> grid, none = Grid.from_corner((1, 3), cell_m=1.0), np.zeros(0)
        >>> terrain = Terrain.from_heights(np.array([[3.0, 2.0, 1.0]]), grid)
        >>> build_flow_network(terrain, noise_depth_m=0.0).receiver_ending_at(np.array([1], np.int32))
        array([1, 1, 2], dtype=int32)
        """
        receiver = self.grid.zeros(np.int32).ravel()
        np.copyto(receiver, self.receiver)
        receiver[cells] = cells
        return receiver


def build_flow_network(
    terrain: Terrain, *, noise_depth_m: float, runoff: NDArray[np.float32] | None = None
) -> FlowNetwork:
    """Flow network of a terrain, hollows included.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    noise_depth_m : float
        Hollows shallower than this are taken for noise and routed through [m].
    runoff : ndarray of float32, shape (rows, columns), optional
        Depth of runoff from each cell in any unit, the same everywhere if not given: it sets the turn in which nested
        hollows fill, and so which way the water of each goes on.

    Returns
    -------
    network : FlowNetwork
        One network for all later questions about this terrain.

    Raises
    ------
    InputError
        If the noise depth is negative, or the runoff has another shape than the terrain.

    Notes
    -----
    Water goes to the neighbour with the steepest drop (D8 [1]_), across level ground on a shortest way to where that
    drains, and out of hollows over their spill point, nested ones in the turn in which they fill [2]_. It leaves the
    tile at cells on the edge or beside a void that have no lower neighbour. One direction a cell cannot spread flow
    over convex ground; catchment areas of single cells are rough there, those of lines and valleys are not. Time grows
    in step with the cells, up to 2³¹ of them.

    References
    ----------
    .. [1] O'Callaghan, J. F., Mark, D. M. (1984). The extraction of drainage networks from digital elevation data.
       Computer Vision, Graphics, and Image Processing 28, 323–344.
    .. [2] Barnes, R., Callaghan, K. L., Wickert, A. D. (2021). Computing water flow through complex landscapes, part 3:
       Fill–Spill–Merge. Earth Surface Dynamics 9, 105–121.

    Examples
    --------
    A valley to the east with a hollow 2 m deep on the way; its pit (cell 6) leads to the cell beyond the sill:

    >>> import numpy as np
    >>> grid = Grid.from_corner((3, 5), cell_m=2.0)
    >>> terrain = Terrain.from_heights(np.array([[9, 9, 9, 9, 9], [8, 4, 6, 5, 3], [9, 9, 9, 9, 9.0]]), grid)
    >>> network = build_flow_network(terrain, noise_depth_m=0.1)
    >>> network.receiver[5:10]
    array([6, 8, 6, 9, 9], dtype=int32)
    >>> network.hollows.depth_m, network.hollows.volume_m3
    (array([2.]), array([8.]))
    """
    check_not_negative(noise_depth_m=noise_depth_m)
    if runoff is not None:
        check_same_shape(runoff=runoff, heights=terrain.heights)
    grid, heights = terrain.grid, terrain.heights
    receiver = grid.zeros(np.int32).ravel()
    steepest_receivers(heights, receiver)
    pits = drain_flats(heights.ravel(), receiver, grid.shape[1])
    hollows = route_hollows(terrain, receiver, pits, noise_depth_m=noise_depth_m, runoff=runoff)
    order = grid.allocate((int(np.count_nonzero(terrain.valid)),), np.int32)
    outlets_first(receiver, terrain.valid.ravel(), grid.zeros(np.uint8).ravel(), order)
    return FlowNetwork(grid, receiver, order, hollows)
