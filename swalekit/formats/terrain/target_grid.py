"""The metric, north-up grid that a terrain file is brought to."""

import math
from dataclasses import dataclass

import numpy as np
from affine import Affine
from numpy.typing import ArrayLike, NDArray
from pyproj import CRS, Transformer

from swalekit.errors import TerrainError
from swalekit.formats.terrain.metric_crs import km_outside_use, unfit_reason, use_words, utm_crs
from swalekit.formats.terrain.tile_header import TileHeader
from swalekit.grid import Grid

WORKING_CELL_M = 0.25
"""Finer cells show nothing more of a ditch with a level floor than these, and cost in step with their number."""
_LEAST_CELL_M, _GREATEST_CELL_M = 1e-3, 1e5
"""Cells beyond these come from a damaged or misread file."""
_FARTHEST_KM = 300.0
"""Distance outside the area of its CRS from which a tile can't lie there: our choice, half a UTM zone at the equator.
Neighbouring zones and state planes are used a little beyond their limits."""
_NEAR_ORIGIN = 1000.0
"""Units within which a tile outside that area stands at the origin of its CRS, as one of a local grid does."""


@dataclass(frozen=True)
class Target:
    """How a terrain file is brought to its grid.

    Parameters
    ----------
    grid : Grid
        Where the heights go.
    factor : int
        Cells of the file averaged along each side first.
    native_cell_m : float
        Side of the file's own cells [m]; of a square of the same area where they are oblong.
    warp_reason : str
        Why the averaged cells have to be resampled; empty if they are the grid's.
    """

    grid: Grid
    factor: int
    native_cell_m: float
    warp_reason: str


def choose_target(header: TileHeader, *, crs: CRS | None, cell_m: float | None) -> Target:
    """Grid for a terrain file: its own where that is metric, square and north-up, else one it is warped to.

    Parameters
    ----------
    header : TileHeader
        The file.
    crs : CRS or None
        Wanted CRS; without it the file's own, or the UTM zone of the tile's centre if that isn't metric.
    cell_m : float or None
        Wanted cell [m]: reached to the nearest whole number of the file's cells, or exactly where they have to be
        resampled. Without it the file's own, rounded to two digits where the unit changes, and cells finer than
        0.25 m are brought to about that.

    Returns
    -------
    Target
        The grid, how many cells are averaged, and why the rest is resampled.

    Raises
    ------
    TerrainError
        If the coordinates don't fit the CRS or lie far outside the area that it is used in, the wanted CRS isn't
        metric, or the wanted cell is finer than the file's.

    Examples
    --------
    >>> header = TileHeader("t.tif", (10, 20), Affine(1.0, 0.0, 5e5, 0.0, -1.0, 4e6), CRS.from_epsg(32630), 1.0, ())
    >>> choose_target(header, crs=None, cell_m=2.0).grid
    Grid(shape 5 × 10, cell 2 m, WGS 84 / UTM zone 30N)
    """
    target_crs, reason = _choose_crs(header, crs)
    to_target = Transformer.from_crs(header.crs, target_crs, always_xy=True)
    native_m = _native_cell_m(header, to_target)
    a = header.transform
    squareness = math.hypot(a.a, a.d) / math.hypot(a.b, a.e)
    reason = reason or _unfit_frame(a, squareness)
    if cell_m is not None and cell_m < 0.9 * native_m:
        message = (
            f"cell_m = {cell_m:g} is finer than the cells of terrain '{header.name}' ({native_m:.3g} m); "
            "leave it out or give a larger one"
        )
        raise TerrainError(message)
    if cell_m is not None and cell_m > native_m * min(header.shape):
        message = f"cell_m = {cell_m:g} is wider than terrain '{header.name}' itself; give a smaller one"
        raise TerrainError(message)
    if cell_m is None and native_m < WORKING_CELL_M:
        cell_m = max(1, round(WORKING_CELL_M / native_m)) * native_m
    if not reason:
        factor = max(1, round((cell_m or native_m) / native_m))
        shape = (math.ceil(header.shape[0] / factor), math.ceil(header.shape[1] / factor))
        grid = Grid(shape, Affine(a.a * factor, 0.0, a.c, 0.0, a.e * factor, a.f), target_crs)
        return Target(grid, factor, native_m, "")
    turned_only = target_crs is header.crs and abs(squareness - 1.0) < 1e-6
    cell = cell_m or (native_m if turned_only else float(f"{native_m:.2g}"))
    grid = _covering_grid(header, to_target, cell, target_crs)
    return Target(grid, max(1, math.floor(cell / native_m + 1e-6)), native_m, reason)


def _choose_crs(header: TileHeader, wanted: CRS | None) -> tuple[CRS, str]:
    """The plan's CRS, and why it isn't the file's."""
    longitude, latitude = centre_degrees(header)
    _check_in_use(header, longitude, latitude)
    if wanted is not None and not wanted.equals(header.crs, ignore_axis_order=True):
        unfit = unfit_reason(wanted, longitude, latitude)
        if unfit:
            message = f"crs {wanted.name} can't carry a plan of terrain '{header.name}': {unfit}; name a metric one"
            raise TerrainError(message)
        return wanted, f"{wanted.name} was asked for"
    unfit = unfit_reason(header.crs, longitude, latitude)
    return (utm_crs(longitude, latitude), unfit) if unfit else (header.crs, "")


def _unfit_frame(a: Affine, squareness: float) -> str:
    """Why cells can't serve as a north-up grid of squares; empty if they can."""
    if a.b != 0 or a.d != 0:
        return "its rows don't run east"
    if a.a < 0 or a.e > 0:
        return "its rows don't run from north to south and west to east"
    return "" if abs(squareness - 1.0) < 1e-6 else "its cells are oblong"


def position(header: TileHeader, column: ArrayLike, row: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Coordinates in a file's CRS of points between its cells.

    Parameters
    ----------
    header : TileHeader
        The file.
    column, row : array_like
        Places; whole numbers at the corners of cells.

    Returns
    -------
    x, y : ndarray of float64
        In units of the CRS.

    Examples
    --------
    >>> header = TileHeader("t.tif", (4, 4), Affine(2.0, 0.0, 5e5, 0.0, -2.0, 4e6), CRS.from_epsg(32630), 1.0, ())
    >>> position(header, [0, 4], [0, 1])
    (array([500000., 500008.]), array([4000000., 3999998.]))
    """
    a, column, row = header.transform, np.asarray(column, np.float64), np.asarray(row, np.float64)
    return a.a * column + a.b * row + a.c, a.d * column + a.e * row + a.f


def outline(header: TileHeader) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points along the edges of a file, close enough to follow them into another projection.

    Parameters
    ----------
    header : TileHeader
        The file.

    Returns
    -------
    column, row : ndarray of float64
        Places; whole numbers at the corners of cells.

    Examples
    --------
    >>> header = TileHeader("t.tif", (4, 6), Affine(2.0, 0.0, 5e5, 0.0, -2.0, 4e6), CRS.from_epsg(32630), 1.0, ())
    >>> column, row = outline(header)
    >>> column.size, float(column.max()), float(row.max())
    (132, 6.0, 4.0)
    """
    (rows, columns), share = header.shape, np.linspace(0.0, 1.0, 33)
    column = columns * np.concatenate([share, share, np.zeros(33), np.ones(33)])
    return column, rows * np.concatenate([np.zeros(33), np.ones(33), share, share])


def centre_degrees(header: TileHeader) -> tuple[float, float]:
    """Longitude and latitude of a file's middle, after a look whether its corners can lie on the earth.

    Parameters
    ----------
    header : TileHeader
        The file.

    Returns
    -------
    longitude, latitude : float
        Degrees.

    Raises
    ------
    TerrainError
        If they can't.

    Examples
    --------
    >>> header = TileHeader("t.tif", (4, 6), Affine(0.5, 0.0, 5.0, 0.0, -0.5, 50.0), CRS.from_epsg(4326), 1.0, ())
    >>> centre_degrees(header)
    (6.5, 49.0)
    """
    (rows, columns), to_degrees = header.shape, Transformer.from_crs(header.crs, "EPSG:4326", always_xy=True)
    x, y = position(header, [columns / 2, 0, columns, 0, columns], [rows / 2, 0, 0, rows, rows])
    longitude, latitude = to_degrees.transform(x, y)
    if not (np.abs(longitude) <= 360.0).all() or not (np.abs(latitude) <= 90.0 + 1e-6).all():
        message = (
            f"terrain '{header.name}' lies at x {x[0]:.6g}, y {y[0]:.6g}, which is nowhere on the earth in "
            f"{header.crs.name}; check its CRS"
        )
        raise TerrainError(message)
    return float(longitude[0]), float(latitude[0])


def _check_in_use(header: TileHeader, longitude: float, latitude: float) -> None:
    """Raise if a projected CRS isn't used near the tile: its coordinates are then of another CRS or a local grid."""
    outside_km = km_outside_use(header.crs, longitude, latitude) if header.crs.is_projected else 0.0
    rows, columns = header.shape
    x, y = position(header, [0, columns, 0, columns], [0, 0, rows, rows])
    at_origin = all(side.min() - _NEAR_ORIGIN <= 0.0 <= side.max() + _NEAR_ORIGIN for side in (x, y))
    if outside_km > _FARTHEST_KM or (outside_km > 0 and at_origin):
        message = (
            f"terrain '{header.name}' lies at x {x.mean():.6g}, y {y.mean():.6g}, {outside_km:,.0f} km from where "
            f"{header.crs.name} is used ({use_words(header.crs)}); its coordinates are those of "
            f"{'a local grid' if at_origin else 'another CRS'}: export it with its true CRS"
        )
        raise TerrainError(message)


def _native_cell_m(header: TileHeader, to_target: Transformer) -> float:
    """Side of the square that has the area of the tile's middle cell [m]."""
    rows, columns = header.shape
    x, y = to_target.transform(*position(header, columns / 2 + np.array([0, 1, 0]), rows / 2 + np.array([0, 0, 1])))
    cell_m = math.sqrt(abs((x[1] - x[0]) * (y[2] - y[0]) - (x[2] - x[0]) * (y[1] - y[0])))
    if not _LEAST_CELL_M <= cell_m <= _GREATEST_CELL_M:
        message = f"terrain '{header.name}' has cells of {cell_m:.3g} m, which is no terrain; check its georeference"
        raise TerrainError(message)
    return float(f"{cell_m:.9g}")


def _covering_grid(header: TileHeader, to_target: Transformer, cell_m: float, crs: CRS) -> Grid:
    """North-up grid over the whole tile, from its own north-western extremes."""
    x, y = to_target.transform(*position(header, *outline(header)))
    west_m, north_m = float(x.min()), float(y.max())
    shape = tuple(max(1, math.ceil(extent / cell_m - 1e-6)) for extent in (north_m - y.min(), x.max() - west_m))
    return Grid(shape, Affine(cell_m, 0.0, west_m, 0.0, -cell_m, north_m), crs)
