"""Which parts of a line are taken out, what is left, and where a line runs within polygons and over marked cells."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely import Geometry

from swalekit.contours.barrier import cells_on_path, inside_grid
from swalekit.contours.polyline import Polyline, chainages
from swalekit.grid import Grid

Intervals = NDArray[np.float64]
"""Chainages of the beginning and end of parts of a line [m], shape (k, 2)."""


@dataclass(frozen=True, eq=False)
class Cut:
    """Parts of a line that are taken out for one reason.

    Parameters
    ----------
    intervals : ndarray of float64, shape (k, 2)
        Beginnings and ends of the parts [m]; they may overlap and reach beyond the line's ends.
    reason : str
        Why, in a word or two.
    detail : str
        The rule and its figures.
    """

    intervals: Intervals
    reason: str
    detail: str = ""


@dataclass(frozen=True, eq=False)
class Part:
    """A part of a line.

    Parameters
    ----------
    start_m, stop_m : float
        Chainages between which it lies [m].
    cut : Cut or None
        What took it out, if anything.
    """

    start_m: float
    stop_m: float
    cut: Cut | None


def divide(length_m: float, cuts: Sequence[Cut], *, closed: bool) -> list[Part]:
    """Divide a line into parts that are left and parts that are cut.

    Parameters
    ----------
    length_m : float
        Length of the line [m].
    cuts : sequence of Cut
        What is taken out; where cuts overlap, the first in the sequence gives the reason.
    closed : bool
        Whether the line is a ring: a part across its seam is joined, its ``stop_m`` passing the length.

    Returns
    -------
    list of Part
        In order along the line; together they are the whole line. Parts shorter than a tenth of a millimetre are lost.

    Examples
    --------
    >>> pond = Cut(np.array([[4.0, 6.0]]), "pond")
    >>> [(part.start_m, part.stop_m, part.cut is None) for part in divide(10.0, [pond], closed=False)]
    [(0.0, 4.0, True), (4.0, 6.0, False), (6.0, 10.0, True)]
    >>> [(part.start_m, part.stop_m) for part in divide(10.0, [pond], closed=True)]
    [(4.0, 6.0), (6.0, 14.0)]
    """
    rounds = (-length_m, 0.0, length_m) if closed else (0.0,)
    taken = [np.vstack([cut.intervals + whole for whole in rounds]) for cut in cuts]
    ends = np.concatenate([[0.0, length_m], *(intervals.ravel() for intervals in taken)]).clip(0.0, length_m)
    edges = np.unique(np.round(ends, 4))
    if edges.size == 1:
        return []
    middle = 0.5 * (edges[1:] + edges[:-1])
    owner = np.full(middle.size, -1)
    for i in reversed(range(len(cuts))):
        owner[_within(middle, taken[i])] = i
    first = np.flatnonzero(np.diff(owner, prepend=-2))
    start, stop = edges[first].tolist(), edges[np.append(first[1:], middle.size)].tolist()
    owners = owner[first].tolist()
    if closed and len(owners) > 1 and owners[0] == owners[-1]:
        stop[-1] += stop[0]
        start, stop, owners = start[1:], stop[1:], owners[1:]
    rows = zip(start, stop, owners, strict=True)
    return [Part(begin, end, cuts[i] if i >= 0 else None) for begin, end, i in rows]


def outside(intervals: Intervals, length_m: float) -> Intervals:
    """What intervals leave of a line.

    Parameters
    ----------
    intervals : ndarray of float64, shape (k, 2)
        Chainages, in order and apart from each other [m].
    length_m : float
        Length of the line [m].

    Returns
    -------
    ndarray of float64, shape (j, 2)
        The parts between them, before the first and after the last [m]; none of no length.

    Examples
    --------
    >>> outside(np.array([[2.0, 5.0]]), 9.0)
    array([[0., 2.],
           [5., 9.]])
    """
    ends = np.concatenate([[0.0], intervals.ravel(), [length_m]]).reshape(-1, 2)
    return ends[ends[:, 1] > ends[:, 0]]


def runs(chainage_m: ArrayLike, marked: NDArray[np.bool_]) -> Intervals:
    """Intervals that marked vertices cover.

    Parameters
    ----------
    chainage_m : array_like, shape (n,)
        Chainage of the vertices of a path [m].
    marked : ndarray of bool, shape (n,)
        Which vertices, or with n − 1 values which legs between them.

    Returns
    -------
    ndarray of float64, shape (k, 2)
        From marked legs: from their first to their last vertex. From marked vertices: half-way to the unmarked ones.

    Examples
    --------
    >>> runs([0.0, 2.0, 4.0, 6.0], np.array([False, True, True, False]))
    array([[1., 5.]])
    >>> runs([0.0, 2.0, 4.0, 6.0], np.array([False, True, False]))
    array([[2., 4.]])
    """
    edges = np.asarray(chainage_m, np.float64)
    if marked.size == edges.size:
        edges = np.concatenate([edges[:1], 0.5 * (edges[1:] + edges[:-1]), edges[-1:]])
    change = np.flatnonzero(np.diff(marked, prepend=False, append=False))
    return edges[change].reshape(-1, 2)


def _within(chainage_m: NDArray[np.float64], intervals: Intervals) -> NDArray[np.bool_]:
    """Which points lie in any of the intervals."""
    begun = np.searchsorted(np.sort(intervals[:, 0]), chainage_m, side="right")
    ended = np.searchsorted(np.sort(intervals[:, 1]), chainage_m, side="right")
    inside: NDArray[np.bool_] = begun > ended
    return inside


def within_polygon(path: Polyline, polygon: Geometry) -> Intervals:
    """Chainages between which a path runs inside a polygon.

    Parameters
    ----------
    path : ndarray of float64, shape (n, 2)
        Vertices of the path [m].
    polygon : shapely geometry
        A polygon or several, in the same CRS.

    Returns
    -------
    ndarray of float64, shape (k, 2)
        Ordered, separate intervals [m], exact to rounding.

    Examples
    --------
    >>> within_polygon(np.array([[0.0, 0.0], [10.0, 0.0]]), shapely.box(4.0, -1.0, 7.0, 1.0))
    array([[4., 7.]])
    """
    shapely.prepare(polygon)
    walked = chainages(path)
    legs = shapely.linestrings(np.stack([path[:-1], path[1:]], axis=1))
    inside = shapely.covers(polygon, legs)
    crossed = np.flatnonzero(shapely.intersects(polygon, legs) & ~inside)
    parts, leg = shapely.get_parts(shapely.intersection(legs[crossed], polygon), return_index=True)
    intervals = [runs(walked, inside)]
    for part, i in zip(parts, crossed[leg], strict=True):
        along = walked[i] + np.hypot(*(shapely.get_coordinates(part) - path[i]).T)
        intervals.append(np.array([[along.min(), along.max()]]))
    return merged(np.vstack(intervals))


def over_cells(path: Polyline, grid: Grid, cells: NDArray[np.bool_]) -> Intervals:
    """Chainages between which a path runs over marked cells.

    Parameters
    ----------
    path : ndarray of float64, shape (n, 2)
        Vertices of the path [m].
    grid : Grid
        Where the cells lie.
    cells : ndarray of bool, shape (rows, columns)
        The marked cells.

    Returns
    -------
    ndarray of float64, shape (k, 2)
        Ordered, separate intervals from cell side to cell side [m]. At a corner of four cells the path is taken
        through one of the two beside its way, so it can't slip between cells that touch at the corner; such an
        interval may be of no length.

    Examples
    --------
    >>> grid = Grid.from_corner((1, 5), cell_m=2.0, west_m=0.0, north_m=2.0)
    >>> over_cells(np.array([[0.0, 1.0], [10.0, 1.0]]), grid, np.array([[False, True, True, False, False]]))
    array([[2., 6.]])
    """
    row, column, entry = cells_on_path(grid, path)
    inside = inside_grid(grid, row, column)
    marked = np.zeros(row.size, np.bool_)
    marked[inside] = cells[row[inside], column[inside]]
    at = np.interp(np.append(entry, len(path) - 1.0), np.arange(len(path)), chainages(path))
    return runs(at, marked)


def merged(intervals: Intervals) -> Intervals:
    """Intervals in order, those that touch or overlap joined.

    Parameters
    ----------
    intervals : ndarray of float64, shape (k, 2)
        Chainages, in any order [m].

    Returns
    -------
    ndarray of float64, shape (j, 2)
        In order and apart from each other by more than a thousandth of a millimetre [m].

    Examples
    --------
    >>> merged(np.array([[5.0, 6.0], [0.0, 2.0], [1.0, 3.0]]))
    array([[0., 3.],
           [5., 6.]])
    """
    start, stop = np.sort(intervals[:, 0]), np.sort(intervals[:, 1])
    apart = start[1:] > stop[:-1] + 1e-6
    return np.column_stack([start[np.append(True, apart)], stop[np.append(apart, True)]]) if start.size else intervals
