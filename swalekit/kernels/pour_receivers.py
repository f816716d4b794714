"""Where the water of each of mixed cells goes next: steepest neighbour, then across flats."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.flow_receivers import UNDRAINED
from swalekit.kernels.jit import int64, kernel, part_of_kernel
from swalekit.kernels.pour_mesh import Mesh, is_node, most_neighbours, neighbours


@part_of_kernel
def steepest_neighbour(
    mesh: Mesh, node: int, found: NDArray[np.int64], nearness: NDArray[np.float32]
) -> tuple[int, bool]:
    """Neighbour of a node with the greatest drop per distance between centres.

    Parameters
    ----------
    mesh : Mesh
        The cells.
    node : int
        A coarse cell that is whole, or a fine cell.
    found, nearness : ndarray
        Filled as by `neighbours`.

    Returns
    -------
    best : int
        The first of the neighbours among equals; the node itself where none lies lower.
    on_rim : bool
        Whether the node lies on the edge of the grid or beside a void.
    """
    count, on_rim = neighbours(mesh, node, found, nearness)
    best, steepest = int64(node), np.float32(0.0)
    for k in range(count):
        drop = (mesh.heights[node] - mesh.heights[found[k]]) * nearness[k]
        on_rim |= np.isnan(drop)
        if drop > steepest:
            best, steepest = found[k], drop
    return best, on_rim


@kernel
def mesh_receivers(mesh: Mesh, receiver: NDArray[np.int32]) -> None:
    """Neighbour of every node with the greatest drop per distance between centres (D8 on a plain grid).

    Parameters
    ----------
    mesh : Mesh
        The cells.
    receiver : ndarray of int32, shape (n_heights,)
        Filled: the first of the neighbours among equals; the node itself at a void, at a coarse cell that is cut, and
        at a node on the edge or beside a void that has no lower neighbour; -1 at any other node without one.
    """
    found, nearness = np.empty(most_neighbours(mesh), np.int64), np.empty(most_neighbours(mesh), np.float32)
    for node in range(mesh.heights.size):
        receiver[node] = node
        if is_node(mesh, node):
            best, on_rim = steepest_neighbour(mesh, node, found, nearness)
            receiver[node] = best if best != node or on_rim else UNDRAINED


@part_of_kernel
def _spread(
    mesh: Mesh, receiver: NDArray[np.int32], queue: NDArray[np.int32], head: int, tail: int, found: NDArray[np.int64]
) -> int:
    """Give every undrained node joined to the queue at its own height a receiver, nearest first; the new tail."""
    nearness = np.empty(found.size, np.float32)
    while head < tail:
        node = queue[head]
        head += 1
        count, _ = neighbours(mesh, node, found, nearness)
        for k in range(count):
            beside = found[k]
            if receiver[beside] == UNDRAINED and mesh.heights[beside] == mesh.heights[node]:
                receiver[beside] = node
                queue[tail] = beside
                tail += 1
    return tail


@kernel
def drain_mesh_flats(mesh: Mesh, receiver: NDArray[np.int32]) -> NDArray[np.int32]:
    """Lead undrained nodes across level ground to where it drains; what stays closed gets one pit.

    Parameters
    ----------
    mesh : Mesh
        The cells.
    receiver : ndarray of int32, shape (n_heights,)
        From `mesh_receivers`; every -1 is replaced: by the next node on a way of fewest steps to a drained one of the
        same height, else to the pit, and by the node itself at a pit.

    Returns
    -------
    pits : ndarray of int32
        One node per closed flat (often a single node), the first of it; ascending.
    """
    found, nearness = np.empty(most_neighbours(mesh), np.int64), np.empty(most_neighbours(mesh), np.float32)
    nodes = np.flatnonzero(receiver == UNDRAINED)
    queue, way = np.empty(nodes.size, np.int32), np.empty(nodes.size, np.int32)
    tail = int64(0)
    for node in nodes:
        count, _ = neighbours(mesh, int64(node), found, nearness)
        for k in range(count):
            if receiver[found[k]] >= 0 and mesh.heights[found[k]] == mesh.heights[node]:
                queue[tail], way[tail] = node, found[k]
                tail += 1
                break
    for place in range(tail):  # only now, so that the nodes after one don't take it for drained
        receiver[queue[place]] = way[place]
    tail = _spread(mesh, receiver, queue, 0, tail, found)
    pits = np.empty(nodes.size - tail, np.int32)
    n_pits = 0
    for node in nodes:
        if receiver[node] == UNDRAINED:
            receiver[node] = node
            pits[n_pits] = node
            n_pits += 1
            queue[tail] = node
            tail = _spread(mesh, receiver, queue, tail, tail + 1, found)
    return pits[:n_pits].copy()
