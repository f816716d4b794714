"""Ground beside a line, leg by leg, as quadrilaterals: their polygons, the cells they touch, what they take twice."""

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.barrier import inside_grid
from swalekit.contours.line import LevelLine
from swalekit.grid import Grid

Quads = NDArray[np.float64]
"""Four corners each, in order round them [m], shape (..., 4, 2)."""

Marks = NDArray[np.bool_]

_STEP_CELLS = 0.5
_LEAST_SIDE_M = 0.01
_AT_A_TIME = 64


def quad_polygons(quads: Quads, *, grown_m: float = 0.0) -> NDArray[np.object_]:
    """Quadrilaterals as polygons, those that fold over themselves mended.

    Parameters
    ----------
    quads : ndarray of float64, shape (k, 4, 2)
        Their corners [m].
    grown_m : float
        How far each is grown on all sides [m].

    Returns
    -------
    ndarray of object, shape (k,)
        Valid polygons.

    Examples
    --------
    >>> quad_polygons(np.array([[[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0]]]), grown_m=0.5)[0].area
    15.0
    """
    polygons = np.asarray(shapely.polygons(_spread(quads, grown_m, *_CORNERS) if grown_m else quads))
    folded = ~shapely.is_valid(polygons)
    polygons[folded] = shapely.make_valid(polygons[folded])
    return polygons


def quads_over_cells(grid: Grid, cells: Marks, quads: Quads, *, margin_m: float = 0.0, beyond: bool = False) -> Marks:
    """Which quadrilaterals touch a marked cell.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    cells : ndarray of bool, shape (rows, columns)
        Marked cells.
    quads : ndarray of float64, shape (k, 4, 2)
        Corners [m].
    margin_m : float
        Ground round each that counts too [m].
    beyond : bool
        Whether ground beyond the grid counts as marked.

    Returns
    -------
    ndarray of bool, shape (k,)
        Looked at in points half a cell apart or closer: a corner that reaches less into a cell may be missed.

    Examples
    --------
    >>> grid = Grid.from_corner((1, 5), cell_m=2.0, west_m=0.0, north_m=2.0)
    >>> quads = np.array([[[2.5, 0.5], [5.5, 0.5], [5.5, 1.5], [2.5, 1.5]]])
    >>> marked = np.array([[False, False, False, True, False]])
    >>> quads_over_cells(grid, marked, quads), quads_over_cells(grid, marked, quads, margin_m=1.0)
    (array([False]), array([ True]))
    """
    touching = np.zeros(len(quads), np.bool_)
    for first in range(0, len(quads), _AT_A_TIME):
        near = first + np.flatnonzero(_boxes_touch(grid, cells, quads[first : first + _AT_A_TIME], margin_m, beyond))
        if near.size:
            size_m = _sides_m(quads[near]).max(axis=0) + 2.0 * margin_m
            steps = np.ceil(size_m / (_STEP_CELLS * grid.cell_m)).astype(int) + 1
            along, across = (share.ravel() for share in np.meshgrid(*(np.linspace(0.0, 1.0, k) for k in steps)))
            points = _spread(quads[near], margin_m, along, across)
            touching[near] = cells_at(grid, cells, points, beyond=beyond).any(axis=1)
    return touching


def cells_at(grid: Grid, cells: Marks, xy: NDArray[np.float64], *, beyond: bool = False) -> Marks:
    """Whether points lie on marked cells.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    cells : ndarray of bool, shape (rows, columns)
        Marked cells.
    xy : ndarray of float64, shape (..., 2)
        Easting and northing [m].
    beyond : bool
        Whether ground beyond the grid counts as marked.

    Returns
    -------
    ndarray of bool, shape (...)

    Examples
    --------
    >>> grid = Grid.from_corner((1, 2), cell_m=2.0, west_m=0.0, north_m=2.0)
    >>> cells_at(grid, np.array([[False, True]]), np.array([[1.0, 1.0], [3.0, 1.0], [5.0, 1.0]]))
    array([False,  True, False])
    """
    row, column = (np.floor(place + 0.5).astype(np.int64) for place in grid.rows_columns(xy[..., 0], xy[..., 1]))
    inside = inside_grid(grid, row, column)
    return np.where(inside, cells[np.where(inside, row, 0), np.where(inside, column, 0)], beyond)


def taken_twice_m2(line: LevelLine, strips: Quads) -> NDArray[np.float64]:
    """Ground that strips along a line take twice.

    Parameters
    ----------
    line : LevelLine
        The line.
    strips : ndarray of float64, shape (legs, 4, 2)
        Strip of each leg: its uphill edge along the line, then its downhill edge back [m].

    Returns
    -------
    ndarray of float64, shape (legs,)
        Half of what each shares with legs beyond its neighbours, and what it folds over itself where an edge runs
        backward within a bend tighter than its width [m²].

    Examples
    --------
    Two legs in line share nothing:

    >>> xy = np.array([[0.0, 0.0], [5.0, 0.0], [10.0, 0.0]])
    >>> line = LevelLine(10.0, False, xy, np.full(3, 10.0), np.full(3, 0.1))
    >>> edges = line.path, line.path + [0.0, -3.0]
    >>> strips = np.stack([edges[0][:-1], edges[0][1:], edges[1][1:], edges[1][:-1]], axis=1)
    >>> taken_twice_m2(line, strips)
    array([0., 0.])
    """
    polygons, legs = quad_polygons(strips), len(strips)
    own, other = shapely.STRtree(polygons).query(polygons, predicate="intersects")
    between = np.abs(own - other)
    apart = (between > 1) & (between < (legs - 1 if line.closed else legs))
    own, other = own[apart], other[apart]
    shared_m2 = shapely.area(shapely.intersection(polygons[own], polygons[other]))
    return np.asarray(np.bincount(own, weights=0.5 * shared_m2, minlength=legs) + _folded_m2(line, strips))


def _folded_m2(line: LevelLine, strips: Quads) -> NDArray[np.float64]:
    """Ground beyond the point in which the two ends of a leg's strip cross."""
    legs = np.diff(line.path, axis=0)
    length = np.hypot(*legs.T)
    folded = np.zeros(len(legs))
    for first, second in ((0, 1), (3, 2)):
        edge, away = strips[:, second] - strips[:, first], strips[:, first] - line.path[:-1]
        back = np.maximum(-(edge * legs).sum(axis=1) / length, 0.0)
        folded += 0.5 * back * np.hypot(*away.T) * back / (length + back)
    return folded


def _boxes_touch(grid: Grid, cells: Marks, quads: Quads, margin_m: float, beyond: bool) -> Marks:
    """Which quadrilaterals have a marked cell in the box round them: the others needn't be looked at."""
    low, high = quads.min(axis=1) - 2.0 * margin_m, quads.max(axis=1) + 2.0 * margin_m
    first = np.floor(np.array(grid.rows_columns(low[:, 0], high[:, 1])) + 0.5).astype(np.int64)
    stop = np.floor(np.array(grid.rows_columns(high[:, 0], low[:, 1])) + 1.5).astype(np.int64)
    most = np.array(grid.shape)[:, np.newaxis]
    off = ((first < 0) | (stop > most)).any(axis=0)
    first, stop = np.clip(first, 0, most), np.clip(stop, 0, most)
    (top, left), (bottom, right) = first.min(axis=1), stop.max(axis=1)
    window = cells[top:bottom, left:right]
    if not window.any():
        return np.asarray(off & beyond)
    counts = np.zeros((window.shape[0] + 1, window.shape[1] + 1), np.int32)
    np.cumsum(np.cumsum(window, axis=0, dtype=np.int32), axis=1, out=counts[1:, 1:])
    (r0, c0), (r1, c1) = first - [[top], [left]], stop - [[top], [left]]
    marked = counts[r1, c1] - counts[r0, c1] - counts[r1, c0] + counts[r0, c0] > 0
    return np.asarray(marked | (off & beyond))


def _sides_m(quads: Quads) -> NDArray[np.float64]:
    """Greatest length and width, shape (k, 2) [m]."""
    sides = np.linalg.norm(np.roll(quads, -1, axis=1) - quads, axis=-1)
    return np.asarray(np.maximum(sides[:, :2], sides[:, 2:]))


_CORNERS = np.array([0.0, 1.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0, 1.0])


def _spread(
    quads: Quads, margin_m: float, along: NDArray[np.float64], across: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Points of quadrilaterals with a margin round them, by their shares of length and width, shape (k, points, 2)."""
    share = margin_m / np.maximum(_sides_m(quads), _LEAST_SIDE_M)[:, :, np.newaxis]
    u, v = (
        (part * (1.0 + 2.0 * beyond) - beyond)[..., np.newaxis]
        for part, beyond in ((along, share[:, 0]), (across, share[:, 1]))
    )
    a, b, c, d = (quads[:, np.newaxis, corner] for corner in range(4))
    return np.asarray((1.0 - v) * ((1.0 - u) * a + u * b) + v * ((1.0 - u) * d + u * c))
