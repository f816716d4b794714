"""An order of the cells in which each one comes after its receiver."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel

_PLACED = 255


@kernel
def outlets_first(
    receiver: NDArray[np.int32], valid: NDArray[np.bool_], waiting: NDArray[np.uint8], order: NDArray[np.int32]
) -> None:
    """Order of the valid cells in which a cell's receiver always comes before it.

    Cells are peeled from the ridges down: a cell is placed, from the back of the order, once all that drain into it
    have been.

    Parameters
    ----------
    receiver : ndarray of int32, shape (n_cells,)
        Flat index of the next cell, itself where a path ends; without cycles.
    valid : ndarray of bool, shape (n_cells,)
        Cells that hold ground.
    waiting : ndarray of uint8, shape (n_cells,)
        0 everywhere; counts the paths that a cell waits for: at most 8 neighbours and 8 jumps across ponds end in one.
    order : ndarray of int32, shape (n_valid,)
        Filled with the flat indices.
    """
    for i in range(receiver.size):
        if receiver[i] != i:
            waiting[receiver[i]] += 1
    place = order.size
    for start in range(receiver.size):
        i = start
        while waiting[i] == 0 and valid[i]:
            place -= 1
            order[place] = i
            waiting[i] = _PLACED
            if receiver[i] != i:
                i = receiver[i]
                waiting[i] -= 1
