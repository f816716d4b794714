"""What stands in the way of a sill's water."""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.contours.obstacles import HARM_ORDER, KeepOut
from swalekit.grid import Grid


def way_harms(
    xy: NDArray[np.float64],
    grid: Grid,
    watercourses: NDArray[np.bool_],
    keep_outs: Sequence[KeepOut],
    boundary: BaseGeometry | None,
) -> tuple[tuple[str, str], ...]:
    """Kind and title of all that stands in the way of water, the worst first.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        The way downhill [m].
    grid : Grid
        Of the cells.
    watercourses : ndarray of bool, shape (rows, columns)
        Cells of watercourses.
    keep_outs : sequence of KeepOut
        With their setbacks, in the CRS of the way.
    boundary : shapely geometry or None
        The land that may be worked; leaving it before a watercourse is joined counts as the property line.

    Returns
    -------
    tuple of (str, str)
        Each once, by `HARM_ORDER`.

    Examples
    --------
    >>> house = KeepOut("building", shapely.box(0.0, 0.0, 2.0, 2.0), 3.0, "House")
    >>> grid, way = Grid.from_corner((9, 9), cell_m=1.0), np.array([[1.0, 8.0], [1.0, 1.0]])
    >>> way_harms(way, grid, np.zeros((9, 9), bool), [house], None)
    (('building', "building 'House'"),)
    """
    way = shapely.LineString(xy)
    harmed = [keep_out for keep_out in keep_outs if keep_out.kind in HARM_ORDER]
    met = [(keep_out.kind, keep_out.title) for keep_out in harmed if shapely.intersects(way, keep_out.zone)]
    if boundary is not None and not shapely.covers(
        boundary, shapely.LineString(above_watercourse(xy, grid, watercourses))
    ):
        met.append(("property line", "property line"))
    return tuple(sorted(set(met), key=lambda harm: (HARM_ORDER.index(harm[0]), harm[1])))


def above_watercourse(xy: NDArray[np.float64], grid: Grid, watercourses: NDArray[np.bool_]) -> NDArray[np.float64]:
    """The way as far as the first watercourse that it joins.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        A way downhill [m].
    grid : Grid
        Of the cells.
    watercourses : ndarray of bool, shape (rows, columns)
        Cells of watercourses.

    Returns
    -------
    ndarray of float64, shape (m, 2)
        Its beginning, or the whole way [m].

    Examples
    --------
    >>> grid = Grid.from_corner((4, 1), cell_m=1.0, west_m=0.0, north_m=4.0)
    >>> way = np.column_stack([np.full(4, 0.5), np.arange(3.5, 0.0, -1.0)])
    >>> len(above_watercourse(way, grid, np.array([[False], [False], [True], [True]])))
    3
    """
    row, column = (np.rint(place).astype(np.intp) for place in grid.rows_columns(xy[1:, 0], xy[1:, 1]))
    joined = np.flatnonzero(watercourses[row, column])
    return xy[: joined[0] + 2] if joined.size else xy
