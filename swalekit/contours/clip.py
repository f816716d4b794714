"""Where a line runs within polygons and over marked cells."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Geometry

from swalekit.contours.barrier import cells_on_path, inside_grid
from swalekit.contours.cuts import Intervals, runs
from swalekit.contours.polyline import Polyline, chainages
from swalekit.grid import Grid


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
    """Intervals in order, those that touch or overlap joined [m].

    Examples
    --------
    >>> merged(np.array([[5.0, 6.0], [0.0, 2.0], [1.0, 3.0]]))
    array([[0., 3.],
           [5., 6.]])
    """
    start, stop = np.sort(intervals[:, 0]), np.sort(intervals[:, 1])
    apart = start[1:] > stop[:-1] + 1e-6
    return np.column_stack([start[np.append(True, apart)], stop[np.append(apart, True)]]) if start.size else intervals
