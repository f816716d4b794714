"""A storm poured over the ground: where its water stands, what passes, and what leaves the tile."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_not_negative, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.flow.mixed_cells import MixedCells
from swalekit.frozen import Frozen, locked_property, read_only
from swalekit.kernels.flow_basins import UNKNOWN, label_basins
from swalekit.kernels.flow_depressions import depression_tree
from swalekit.kernels.pour_depressions import depression_rooms, smallest_depressions, water_levels
from swalekit.kernels.pour_fill import fill_spill_merge
from swalekit.kernels.pour_receivers import drain_mesh_flats, mesh_receivers
from swalekit.kernels.pour_saddles import mesh_saddles

_NODES_AT_ONCE = 1_000_000


@one_line("cells", "pit", "volume_m3")
@dataclass(frozen=True, eq=False)
class PouredSurface(Frozen):
    """A surface made ready for storms: its basins, and the tree of its depressions.

    A depression is a leaf, round one pit, or what two become that meet at a saddle once both are full. The leaves come
    first, then what holds others, each after its parts. Where a depression has no parent, its water goes over the spill
    point for good: off the tile or into a depression that doesn't lead back.

    Parameters
    ----------
    cells : MixedCells
        The surface.
    basin : ndarray of int32, shape (n_heights,)
        0 where water runs off the tile, and at voids; 1 + k where it runs to the pit of leaf k.
    depression : ndarray of int32, shape (n_heights,)
        Smallest depression in which each node lies below the spill level; -1 in none.
    pit : ndarray of int32, shape (n_leaves,)
        Node of each leaf's pit.
    parent : ndarray of int32, shape (n,)
        Depression that each becomes part of; -1 for none.
    spill : ndarray of int32, shape (n,)
        Node at the spill point, the higher of the two beside it.
    across : ndarray of int32, shape (n,)
        Leaf that takes the spill; -1 where it leaves the tile.
    spill_level_m : ndarray of float64, shape (n,)
        Level at which it spills [m].
    room_m3 : ndarray of float64, shape (n,)
        What it holds over its parts; 0 where it is taken for noise [m³].
    inner_area_m2 : ndarray of float64, shape (n,)
        Area of the ground in its parts [m²].
    """

    cells: MixedCells
    basin: NDArray[np.int32]
    depression: NDArray[np.int32]
    pit: NDArray[np.int32]
    parent: NDArray[np.int32]
    spill: NDArray[np.int32]
    across: NDArray[np.int32]
    spill_level_m: NDArray[np.float64]
    room_m3: NDArray[np.float64]
    inner_area_m2: NDArray[np.float64]

    def __len__(self) -> int:
        return self.parent.size

    @locked_property
    def volume_m3(self) -> NDArray[np.float64]:
        """What each depression holds at its spill level, its parts included, shape (n,) [m³]."""
        return self.with_parts(self.room_m3)

    @locked_property
    def base_level_m(self) -> NDArray[np.float64]:
        """Level from which each fills: its pit, or the spill level of its parts, shape (n,) [m]."""
        level = np.empty(len(self))
        level[: self.pit.size] = self.cells.heights[self.pit]
        inner = self.parent >= 0
        level[self.parent[inner]] = self.spill_level_m[inner]
        return level

    @locked_property
    def wet_order(self) -> tuple[NDArray[np.int32], NDArray[np.int64]]:
        """Nodes by their smallest depression, in each from low to high, and where those of each begin."""
        nodes = np.flatnonzero(self.depression >= 0).astype(np.int32)
        of_node = self.depression[nodes]
        nodes = nodes[np.lexsort((self.cells.heights[nodes], of_node))]
        return nodes, np.concatenate([[0], np.cumsum(np.bincount(of_node, minlength=len(self)))]).astype(np.int64)

    def with_parts(self, values: NDArray[np.float64]) -> NDArray[np.float64]:
        """Sum of what each depression and all within it hold.

        Parameters
        ----------
        values : ndarray of float64, shape (n,)
            Of each depression without its parts.

        Returns
        -------
        ndarray of float64, shape (n,)
            The sums.

        Examples
        --------
        >>> from swalekit.grid import Grid
        >>> heights = np.full((3, 7), 9.0)
        >>> heights[1] = [8.0, 4.0, 2.0, 5.0, 1.0, 3.0, 7.0]
        >>> surface = poured_surface(MixedCells.plain(Grid.from_corner((3, 7), cell_m=1.0), heights))
        >>> surface.with_parts(np.array([1.0, 2.0, 4.0]))
        array([1., 2., 7.])
        """
        sums = values.copy()
        for node, up in enumerate(self.parent.tolist()):
            if up >= 0:
                sums[up] += sums[node]
        return sums


@one_line("stored_m3", "left_m3")
@dataclass(frozen=True, eq=False)
class Pour(Frozen):
    """Where poured water stands and where it went.

    Parameters
    ----------
    surface : PouredSurface
        What it was poured on.
    water_m3 : ndarray of float64, shape (n,)
        Water in each depression, without that in its parts [m³].
    passed_m3 : ndarray of float64, shape (n,)
        Water that went on from each depression because it was full [m³].
    onward : ndarray of int32, shape (n,)
        Depression that took it, the leaf across or the parent; n off the tile; -1 where it isn't full.
    left_m3 : float
        Water that left the tile [m³].
    """

    surface: PouredSurface
    water_m3: NDArray[np.float64]
    passed_m3: NDArray[np.float64]
    onward: NDArray[np.int32]
    left_m3: float

    @property
    def stored_m3(self) -> float:
        """Water that stands on the surface [m³]."""
        return float(self.water_m3.sum())

    @locked_property
    def held_m3(self) -> NDArray[np.float64]:
        """Water in each depression, its parts included, shape (n,) [m³]."""
        return self.surface.with_parts(self.water_m3)

    @locked_property
    def full(self) -> NDArray[np.bool_]:
        """Depressions that hold no more, nor does any in them, shape (n,); what never holds anything is full."""
        full = self.water_m3 >= self.surface.room_m3
        for node, up in enumerate(self.surface.parent.tolist()):
            if up >= 0:
                full[up] &= full[node]
        return full

    @locked_property
    def pond_level_m(self) -> NDArray[np.float64]:
        """Level of the pond that each depression lies in; NaN where there is none, shape (n,) [m]."""
        surface = self.surface
        nodes, starts = surface.wet_order
        level: NDArray[np.float64] = water_levels(
            read_only(surface.cells.heights),
            read_only(nodes),
            read_only(starts),
            read_only(surface.base_level_m),
            read_only(surface.inner_area_m2),
            surface.cells.areas,
            read_only(self.water_m3),
        )
        np.minimum(level, surface.spill_level_m, out=level)
        for node in range(len(surface) - 1, -1, -1):
            up = surface.parent[node]
            if up >= 0 and not np.isnan(level[up]):
                level[node] = level[up]
        return level

    @locked_property
    def level_m(self) -> NDArray[np.float32]:
        """Level of the water over each node; NaN where it is dry, shape (n_heights,) [m]."""
        surface = self.surface
        level = np.append(self.pond_level_m, np.nan)[surface.depression].astype(np.float32)
        level[~(level > surface.cells.heights)] = np.nan
        return level


def poured_surface(
    cells: MixedCells, *, noise_depth_m: float = 0.0, sure: NDArray[np.bool_] | None = None
) -> PouredSurface:
    """Make a surface ready for storms.

    Parameters
    ----------
    cells : MixedCells
        The surface.
    noise_depth_m : float
        Depressions that are shallower than this from their spill point for good down to their lowest pit are taken for
        noise: they hold nothing [m].
    sure : ndarray of bool, shape (n_heights,), optional
        Nodes that are no noise, such as those of ditches: what holds one of them is kept however shallow.

    Returns
    -------
    PouredSurface
        Its basins and depressions.

    Raises
    ------
    InputError
        If the noise depth is negative.

    Notes
    -----
    Water goes to the neighbour with the steepest drop, across level ground on a way of fewest steps, and off the tile
    from a node on the edge or beside a void that has no lower neighbour. A coarse cell beside one that is cut has all
    fine cells along that side for neighbours, and one at a corner. Depressions and their volumes follow [1]_. Time
    grows in step with the nodes.

    References
    ----------
    .. [1] Barnes, R., Callaghan, K. L., Wickert, A. D. (2020). Computing water flow through complex landscapes –
       Part 2: Finding hierarchies in depressions and morphological segmentations. Earth Surface Dynamics 8, 431–445.

    Examples
    --------
    Two pits with a saddle at 5 m between them; what they become together spills at 7 m:

    >>> from swalekit.grid import Grid
    >>> heights = np.full((3, 7), 9.0)
    >>> heights[1] = [8.0, 4.0, 2.0, 5.0, 1.0, 3.0, 7.0]
    >>> surface = poured_surface(MixedCells.plain(Grid.from_corner((3, 7), cell_m=1.0), heights))
    >>> surface.spill_level_m, surface.volume_m3
    (array([5., 5., 7.]), array([ 4.,  6., 20.]))
    """
    check_not_negative(noise_depth_m=noise_depth_m)
    mesh, heights = cells.mesh, read_only(cells.heights)
    receiver, basin = (cells.grid.allocate(heights.shape, np.int32) for _ in range(2))
    mesh_receivers(mesh, receiver)
    pit = drain_mesh_flats(mesh, receiver)
    basin.fill(UNKNOWN)
    label_basins(receiver, pit, basin)
    saddles = mesh_saddles(mesh, basin)
    by_height = np.lexsort((heights[saddles.cells].min(axis=1), saddles.heights))
    tree = depression_tree(saddles, by_height, heights[pit], 0.0)

    beside = saddles.cells[tree.exits]
    spill = np.take_along_axis(beside, heights[beside].argmax(axis=1)[:, np.newaxis], axis=1)[:, 0]
    spill_level_m = saddles.heights[tree.exits].astype(np.float64)
    depression = receiver  # its numbers are needed no more
    smallest_depressions(heights, basin, tree.parent, spill_level_m, depression)
    room_m3, inner_area_m2 = depression_rooms(heights, depression, tree.parent, spill_level_m, cells.areas)
    depth_m = spill_level_m - heights[pit[tree.lowest - 1]]
    noise = depth_m < noise_depth_m
    if sure is not None:
        noise &= ~_somewhere_in(tree.parent, depression[sure & (depression >= 0)])
    room_m3[_roots(tree.parent, noise)] = 0.0
    return PouredSurface(
        cells=cells,
        basin=basin,
        depression=depression,
        pit=pit,
        parent=tree.parent,
        spill=spill,
        across=tree.leaf[saddles.basins[tree.exits, 1 - tree.inside]],
        spill_level_m=spill_level_m,
        room_m3=room_m3,
        inner_area_m2=inner_area_m2,
    )


def _somewhere_in(parent: NDArray[np.int32], depressions: NDArray[np.int32]) -> NDArray[np.bool_]:
    """Whether each depression is one of some or holds one."""
    holds = np.zeros(parent.size, np.bool_)
    holds[depressions] = True
    for node, up in enumerate(parent.tolist()):
        if up >= 0 and holds[node]:
            holds[up] = True
    return holds


def _roots(parent: NDArray[np.int32], value: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """What holds of the root of each depression."""
    of_root = value.copy()
    for node in range(parent.size - 1, -1, -1):
        if parent[node] >= 0:
            of_root[node] = of_root[parent[node]]
    return of_root


def basin_sums(
    surface: PouredSurface,
    depth_m: float | NDArray[np.floating] = 1.0,
    *,
    classes: NDArray[np.uint8] | None = None,
    n_classes: int = 1,
) -> NDArray[np.float64]:
    """Water on each basin by the class of its nodes; their area where the depth is one metre.

    Parameters
    ----------
    surface : PouredSurface
        The surface.
    depth_m : float or ndarray, shape (n_heights,)
        Depth on all nodes, or on each [m].
    classes : ndarray of uint8, shape (n_heights,), optional
        Class (of soil) of each node, 0 … n_classes − 1.
    n_classes : int
        How many there are.

    Returns
    -------
    ndarray of float64, shape (n_leaves + 1, n_classes)
        What runs off the tile by itself first, then to the pit of each leaf [m³].

    Raises
    ------
    InputError
        If depths or classes have another shape than the nodes.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> cells = MixedCells.plain(Grid.from_corner((1, 4), cell_m=2.0), np.array([[4.0, 3.0, 2.0, 1.0]]))
    >>> basin_sums(poured_surface(cells), 0.5)
    array([[8.]])
    """
    heights = surface.cells.heights
    if np.ndim(depth_m):
        check_same_shape(depth_m=depth_m, heights=heights)
    if classes is not None:
        check_same_shape(classes=classes, heights=heights)
        check_between(0, n_classes - 1, greatest_class=int(classes.max(initial=0)))
    depth, sums = np.broadcast_to(depth_m, heights.shape), np.zeros((surface.pit.size + 1) * n_classes)
    for first in range(0, heights.size, _NODES_AT_ONCE):
        nodes = slice(first, first + _NODES_AT_ONCE)
        water_m3 = surface.cells.node_area_m2(nodes)
        np.multiply(water_m3, depth[nodes], out=water_m3, where=water_m3 > 0.0)
        place = surface.basin[nodes].astype(np.int64) * n_classes + (0 if classes is None else classes[nodes])
        sums += np.bincount(place, water_m3, sums.size)
    return sums.reshape(-1, n_classes)


def pour_onto(surface: PouredSurface, inflow_m3: NDArray[np.float64]) -> Pour:
    """Pour water that runs to the pits: fill, spill, merge.

    Parameters
    ----------
    surface : PouredSurface
        The surface.
    inflow_m3 : ndarray of float64, shape (n_leaves + 1,)
        Water that runs off the tile by itself, then to the pit of each leaf [m³].

    Returns
    -------
    Pour
        Where it stands, what passed, what left.

    Raises
    ------
    InputError
        If there is another number of inflows, or one is negative or not finite.

    Notes
    -----
    A depression keeps its water until it is full. What it is given then goes over its spill point to the leaf across;
    once what lies there is full too, into the depression that both become; from one without parent for good [1]_. The
    water that stands is exact, and doesn't depend on the order in which the leaves are given theirs, from the highest
    pit to the lowest; where two fill that become one, that order says which of them spilled into the other first.

    References
    ----------
    .. [1] Barnes, R., Callaghan, K. L., Wickert, A. D. (2021). Computing water flow through complex landscapes –
       Part 3: Fill–Spill–Merge: flow routing in depression hierarchies. Earth Surface Dynamics 9, 105–121.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.full((3, 7), 9.0)
    >>> heights[1] = [8.0, 4.0, 2.0, 5.0, 1.0, 3.0, 7.0]
    >>> surface = poured_surface(MixedCells.plain(Grid.from_corner((3, 7), cell_m=1.0), heights))
    >>> pour = pour_onto(surface, np.array([0.0, 14.0, 9.0]))
    >>> pour.held_m3, pour.left_m3
    (array([ 4.,  6., 20.]), 3.0)
    """
    check_same_shape(inflow_m3=inflow_m3, basins=np.empty(surface.pit.size + 1))
    wrong = np.flatnonzero(~((inflow_m3 >= 0.0) & np.isfinite(inflow_m3)))
    if wrong.size:
        message = f"inflow to basin {wrong[0]} is {inflow_m3[wrong[0]]:g} m³; it must be finite, and zero or greater"
        raise InputError(message)
    downward = np.argsort(-surface.cells.heights[surface.pit], kind="stable")
    water_m3, passed_m3, onward = fill_spill_merge(
        read_only(np.asarray(inflow_m3, np.float64)[1:]),
        downward,
        read_only(surface.room_m3),
        read_only(surface.parent),
        read_only(surface.across),
    )
    return Pour(surface, water_m3[:-1], passed_m3[:-1], onward[:-1], float(water_m3[-1] + inflow_m3[0]))


def pour_over(cells: MixedCells, runoff_m: float | NDArray[np.floating]) -> Pour:
    """Pour runoff over a surface once.

    Parameters
    ----------
    cells : MixedCells
        The surface.
    runoff_m : float or ndarray, shape (n_heights,)
        Runoff of all nodes, or of each [m].

    Returns
    -------
    Pour
        Where it stands, what passed, what left. For several storms make the surface once (`poured_surface`), and pour
        onto it (`basin_sums`, `pour_onto`).

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.full((3, 7), 9.0)
    >>> heights[1] = [8.0, 4.0, 2.0, 5.0, 1.0, 3.0, 7.0]
    >>> pour = pour_over(MixedCells.plain(Grid.from_corner((3, 7), cell_m=1.0), heights), 2.0)
    >>> pour.stored_m3, pour.left_m3
    (20.0, 22.0)
    """
    surface = poured_surface(cells)
    return pour_onto(surface, basin_sums(surface, runoff_m)[:, 0])
