"""The design surface near the works as triangles, for machine control."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.section.footprint import works_footprint
from swalekit.section.laid_swale import LaidSwale


@one_line("xyz", "faces")
@dataclass(frozen=True, eq=False)
class Tin(Frozen):
    """A surface of triangles.

    Parameters
    ----------
    xyz : ndarray of float64, shape (n, 3)
        Easting, northing and height of the points [m].
    faces : ndarray of int64, shape (m, 3)
        Points of each triangle, counted from 0, anticlockwise seen from above.
    step : int
        How many cells of the raster lie from point to point along a row.
    """

    xyz: NDArray[np.float64]
    faces: NDArray[np.int64]
    step: int


def near_works(grid: Grid, swales: Sequence[LaidSwale], *, margin_m: float = 2.0) -> NDArray[np.bool_]:
    """Cells whose centres lie in the works or within a margin of them.

    Parameters
    ----------
    grid : Grid
        The cells.
    swales : sequence of LaidSwale
        The swales.
    margin_m : float
        Width of the strip of untouched ground round the works [m].

    Returns
    -------
    ndarray of bool, shape (rows, columns)
        True near the works.

    Examples
    --------
    >>> from swalekit.contours import LevelLine
    >>> from swalekit.section import Section, ShapedSwale, Stations
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> swale = LaidSwale("S1", 1, line, shape, sill_chainage_m=15.0, sill_length_m=4.0)
    >>> near_works(Grid.from_corner((1, 2), cell_m=20.0, west_m=0.0, north_m=10.0), [swale])
    array([[ True, False]])
    """
    near = np.zeros(grid.shape, bool)
    for swale in swales:
        band = works_footprint(swale.line, swale.shape).buffer(margin_m)
        shapely.prepare(band)
        west, south, east, north = band.bounds
        (top, bottom), (left, right) = grid.rows_columns([west, east], [north, south])
        rows = np.arange(max(math.floor(top), 0), min(math.ceil(bottom) + 1, grid.shape[0]))
        columns = np.arange(max(math.floor(left), 0), min(math.ceil(right) + 1, grid.shape[1]))
        x, y = grid.centres(rows[:, np.newaxis], columns)
        near[np.ix_(rows, columns)] |= shapely.contains_xy(band, *np.broadcast_arrays(x, y))
    return near


def triangulate(
    heights: NDArray[np.floating], grid: Grid, near: NDArray[np.bool_], *, most_points: int = 200_000
) -> Tin:
    """Join the centres of cells to triangles, two for every four neighbours.

    Parameters
    ----------
    heights : ndarray of float, shape (rows, columns)
        Height of the surface, NaN where void [m].
    grid : Grid
        Where the cells lie.
    near : ndarray of bool, shape (rows, columns)
        Cells that are wanted.
    most_points : int
        Above this only every second, third, … row and column is taken, the least step that stays below.

    Returns
    -------
    Tin
        Points that belong to a triangle, by row and column, and the triangles.

    Raises
    ------
    InputError
        If no four neighbouring cells are wanted and hold heights.

    Examples
    --------
    >>> grid = Grid.from_corner((2, 2), cell_m=1.0, west_m=0.0, north_m=2.0)
    >>> tin = triangulate(np.array([[1.0, 2.0], [3.0, 4.0]]), grid, np.full((2, 2), True))
    >>> tin.faces.tolist()
    [[2, 1, 0], [2, 3, 1]]
    """
    wanted = near & np.isfinite(heights)
    step = 1
    while np.count_nonzero(wanted[::step, ::step]) > most_points:
        step += 1
    taken = wanted[::step, ::step]
    square = taken[:-1, :-1] & taken[:-1, 1:] & taken[1:, :-1] & taken[1:, 1:]
    if not square.any():
        message = (
            f"no four neighbouring points {step * grid.cell_m:g} m apart near the works hold a height, so there is "
            "no surface to write; allow more points or a wider strip"
        )
        raise InputError(message)
    columns = taken.shape[1]
    row, column = np.nonzero(square)
    north_west = row * columns + column
    north_east, south_west, south_east = north_west + 1, north_west + columns, north_west + columns + 1
    pairs = np.stack([south_west, north_east, north_west, south_west, south_east, north_east], axis=1)
    used, faces = np.unique(pairs, return_inverse=True)
    x, y = grid.centres(step * (used // columns), step * (used % columns))
    z = heights[::step, ::step].ravel()[used].astype(np.float64)
    return Tin(np.column_stack([x, y, z]), faces.reshape(-1, 3), step)
