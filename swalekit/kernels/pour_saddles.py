"""The lowest saddles between the basins of mixed cells."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.flow_basins import OUTSIDE, Saddles, lower_saddle, pair_table, resized, row_of_pair
from swalekit.kernels.jit import int64, kernel
from swalekit.kernels.pour_mesh import Mesh, is_node, most_neighbours, neighbours


@kernel
def mesh_saddles(mesh: Mesh, basin: NDArray[np.int32]) -> Saddles:
    """Lowest saddle between every two basins that touch, the outside included.

    A basin that reaches the edge or a void meets the outside there, at its own height.

    Parameters
    ----------
    mesh : Mesh
        The cells.
    basin : ndarray of int32, shape (n_heights,)
        Labels from `swalekit.kernels.flow_basins.label_basins`.

    Returns
    -------
    saddles : Saddles
        One row per pair: the lowest; among equals that with the lower of its two nodes, then the first found.
    """
    most = most_neighbours(mesh)
    found, nearness = np.empty(most, np.int64), np.empty(most, np.float32)
    n_found, room = int64(0), int64(1024 + 2 * most)
    saddles = resized(Saddles(np.empty((0, 2), np.int32), np.empty((0, 2), np.int32), np.empty(0, np.float32)), 0, room)
    table = pair_table(saddles.basins, n_found, 2 * room)
    saddle = int64(0)
    high = low = np.int32(OUTSIDE)
    for node in range(mesh.heights.size):
        if not is_node(mesh, node):
            continue
        if n_found + most + 1 > room:
            room *= 2
            saddles = resized(saddles, n_found, room)
            table = pair_table(saddles.basins, n_found, 2 * room)
        count, on_rim = neighbours(mesh, node, found, nearness)
        for k in range(count + 1):
            if k < count:
                outer = found[k]
                if np.isnan(mesh.heights[outer]):
                    on_rim = True
                    continue
                if outer < node:  # met from there
                    continue
                first, second = basin[node], basin[outer]
            elif on_rim:
                outer, first, second = int64(node), basin[node], np.int32(OUTSIDE)
            else:
                continue
            if first == second:
                continue
            inner = int64(node)
            if first < second:
                inner, outer, first, second = outer, inner, second, first
            if first != high or second != low:
                high, low = first, second
                saddle = row_of_pair(saddles, table, n_found, high, low)
                n_found = max(n_found, saddle + 1)
            lower_saddle(mesh.heights, saddles, saddle, inner, outer)
    return resized(saddles, n_found, n_found)
