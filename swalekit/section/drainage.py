"""Where the water goes once the lines are laid."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit.flow.network import FlowNetwork


@dataclass(frozen=True, eq=False)
class Drainage:
    """The flow of the ground with the lines on it.

    Parameters
    ----------
    network : FlowNetwork
        The flow of the ground.
    stops : ndarray of int32, shape (rows, columns)
        1 … n on the cells of each line, 0 elsewhere.
    labels : ndarray of int32, shape (rows, columns)
        First store met by each cell's water: 1 … n for lines, then hollows; 0 leaves the tile; -1 void.
    watercourses : ndarray of bool, shape (rows, columns)
        Cells of watercourses.
    """

    network: FlowNetwork
    stops: NDArray[np.int32]
    labels: NDArray[np.int32]
    watercourses: NDArray[np.bool_]
