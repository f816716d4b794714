"""The ground under the map: quiet relief and light reference contours."""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from affine import Affine
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.colors import LinearSegmentedColormap
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from skimage.measure import find_contours

from swalekit._checks import check_positive
from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper.palette import CONTOUR, CONTOUR_WIDTHS, RELIEF_DARK, RELIEF_LIGHT, VOID
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.slope import gradient, slope
from swalekit.terrain.terrain import Terrain
from swalekit.units import METRES_PER_FOOT

GREATEST_SIDE = 2500
"""Cells along the longer side of the relief image, at most."""

_AZIMUTH_DEG, _ALTITUDE_DEG = 315.0, 45.0
"""Where the light stands: clockwise from north, and above the horizon."""
_CONTOUR_CELL_MM = 0.8
_LEAST_SPACING_MM = 3.0
_SHORTEST_MM = 12.0
_INTERVALS = (0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)
_INDEX_EVERY = 5


@dataclass(frozen=True, eq=False)
class ReferenceContour(Frozen):
    """One contour of the ground, for orientation only: easting and northing [m], level [m], whether it is an index."""

    xy: NDArray[np.float64]
    level_m: float
    index: bool


def terrain_in_view(terrain: Terrain, view: MapView, *, greatest_side: int) -> Terrain | None:
    """The part of a terrain that a view shows, averaged by blocks of cells where it has too many.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    view : MapView
        What is shown.
    greatest_side : int
        Most cells along either side.

    Returns
    -------
    Terrain or None
        None where the view shows no ground.

    Examples
    --------
    >>> ground = Terrain.from_heights(np.ones((8, 8)), Grid.from_corner((8, 8), cell_m=1.0, west_m=0, north_m=8))
    >>> terrain_in_view(ground, MapView(0.0, 0.0, 4.0, 8.0, 1.0), greatest_side=4).grid.shape
    (4, 2)
    """
    grid = terrain.grid
    (bottom, top), (left, right) = grid.rows_columns([view.west_m, view.east_m], [view.south_m, view.north_m])
    rows = slice(max(math.floor(top + 0.5), 0), max(math.ceil(bottom + 0.5), 0))
    columns = slice(max(math.floor(left + 0.5), 0), max(math.ceil(right + 0.5), 0))
    cut = terrain.heights[rows, columns]
    if not cut.size:
        return None
    factor = math.ceil(max(cut.shape) / greatest_side)
    heights = block_mean(cut, factor)
    if not np.isfinite(heights).any():
        return None
    cell_m, (west_m, _, _, north_m) = grid.cell_m, grid.bounds
    west_m, north_m = west_m + columns.start * cell_m, north_m - rows.start * cell_m
    transform = Affine(factor * cell_m, 0.0, west_m, 0.0, -factor * cell_m, north_m)
    return Terrain.from_heights(heights, Grid(heights.shape, transform, grid.crs))


def relief_exaggeration(terrain: Terrain) -> float:
    """Factor on heights that makes the relief speak: 1 on steep ground, up to 5 on nearly flat ground.

    Parameters
    ----------
    terrain : Terrain
        The ground.

    Returns
    -------
    float
        1.0, 1.5, 2.0 and so on up to 5.0 [-].

    Notes
    -----
    Brings the median slope to about 0.25, in steps of one half.

    Examples
    --------
    >>> relief_exaggeration(terrain)
    2.5
    """
    median = float(np.nanmedian(slope(terrain)))
    return float(np.clip(round(2 * 0.25 / max(median, 1e-6)) / 2, 1.0, 5.0))


def hillshade(
    heights: NDArray[np.float32], cell_m: float, *, vertical_exaggeration: float = 1.0
) -> NDArray[np.float32]:
    """Brightness of the ground under one distant light in the north-west.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Ground heights, north up, NaN where void [m].
    cell_m : float
        Side of a cell [m].
    vertical_exaggeration : float
        Factor on heights [-].

    Returns
    -------
    ndarray of float32, shape (rows, columns)
        Cosine of the angle between light and ground normal, 0 where the ground turns away; NaN where void [-].

    Raises
    ------
    InputError
        If the exaggeration isn't positive.

    Notes
    -----
    (sin a − cos a (p sin A + q cos A)) / √(1 + p² + q²) with p and q the exaggerated slopes eastward and northward:
    the Lambertian surface of Horn (1981). Cast shadows are left out.

    References
    ----------
    .. [1] Horn, B. K. P. (1981). Hill shading and the reflectance map. Proceedings of the IEEE 69(1), 14-47.

    Examples
    --------
    >>> level = hillshade(np.zeros((3, 3), np.float32), 1.0)
    >>> print(level[1, 1].round(4))
    0.7071
    """
    check_positive(vertical_exaggeration=vertical_exaggeration)
    azimuth, altitude = math.radians(_AZIMUTH_DEG), math.radians(_ALTITUDE_DEG)
    east, north = gradient(heights, cell_m)
    east, north = east * vertical_exaggeration, north * vertical_exaggeration
    toward_light = math.sin(altitude) - math.cos(altitude) * (math.sin(azimuth) * east + math.cos(azimuth) * north)
    return np.asarray(np.maximum(toward_light / np.sqrt(1 + east**2 + north**2), 0), np.float32)


def draw_relief(terrain: Terrain, axes: Axes, *, exaggeration: float | None = None) -> Axes:
    """Lay the shaded relief of a terrain under axes, voids in plain grey.

    Parameters
    ----------
    terrain : Terrain
        The ground, in no more cells than the map can show.
    axes : Axes
        Where to draw.
    exaggeration : float, optional
        Factor on heights [-]; that of `relief_exaggeration` unless given.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> draw_relief(terrain, Figure().subplots()).images[0].get_array().shape == terrain.grid.shape
    True
    """
    grid = terrain.grid
    factor = exaggeration or relief_exaggeration(terrain)
    shade = hillshade(terrain.heights, grid.cell_m, vertical_exaggeration=factor)
    colours = LinearSegmentedColormap.from_list("relief", [RELIEF_DARK, RELIEF_LIGHT], N=96).with_extremes(bad=VOID)
    west, south, east, north = grid.bounds
    axes.imshow(
        np.ma.masked_invalid(shade, copy=False),
        cmap=colours,
        vmin=0.15,
        vmax=0.98,
        extent=(west, east, south, north),
        interpolation_stage="data",  # resampled as one float a cell, not four
        zorder=0,
    )
    return axes


def _contour_interval_m(terrain: Terrain, view: MapView, *, units: str) -> float:
    """Round contour interval [m] that keeps contours 3 mm apart on paper at the mean slope.

    Notes
    -----
    Round in feet where ``units`` is ``us``.
    """
    unit_m = METRES_PER_FOOT if units == "us" else 1.0
    mean_slope = float(np.nanmean(slope(terrain)))
    least = view.metres(_LEAST_SPACING_MM) * mean_slope / unit_m
    return unit_m * next((step for step in _INTERVALS if step >= least), _INTERVALS[-1])


def reference_contours(terrain: Terrain, view: MapView, *, units: str) -> tuple[float, list[ReferenceContour]]:
    """Contours of the ground in a view, smoothed for reading and without crumbs.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    view : MapView
        What is shown, and at which scale.
    units : str
        ``metric`` or ``us``: whether the interval is round in metres or feet.

    Returns
    -------
    tuple of (float, list of ReferenceContour)
        Interval [m], and the contours from the lowest up; 0 and none where the view shows no ground.

    Examples
    --------
    >>> view = MapView(500000.0, 3999880.0, 500100.0, 4000000.0, points_per_m=2.835)
    >>> interval_m, contours = reference_contours(terrain, view, units="metric")
    >>> interval_m, len(contours)
    (0.5, 23)
    """
    side_mm = max(view.east_m - view.west_m, view.north_m - view.south_m) / view.metres(1.0)
    ground = terrain_in_view(terrain, view, greatest_side=max(int(side_mm / _CONTOUR_CELL_MM), 2))
    if ground is None or min(ground.grid.shape) < 2:
        return 0.0, []
    smooth = _smoothed(ground.heights)
    interval = _contour_interval_m(Terrain.from_heights(smooth, ground.grid), view, units=units)
    first, last = math.ceil(np.nanmin(smooth) / interval), math.floor(np.nanmax(smooth) / interval)
    contours = []
    for number in range(first, last + 1):
        for row_column in find_contours(smooth, number * interval + 1e-6):
            xy = np.column_stack(ground.grid.centres(row_column[:, 0], row_column[:, 1]))
            if shapely.LineString(xy).length >= view.metres(_SHORTEST_MM):
                contours.append(ReferenceContour(xy, number * interval, number % _INDEX_EVERY == 0))
    return interval, contours


def draw_contours(contours: list[ReferenceContour], axes: Axes) -> Axes:
    """Draw reference contours in thin grey, the index ones a little heavier.

    Parameters
    ----------
    contours : list of ReferenceContour
        The contours.
    axes : Axes
        The map.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> level = ReferenceContour(np.array([[0.0, 0.0], [9.0, 0.0]]), 105.0, True)
    >>> [len(lines.get_segments()) for lines in draw_contours([level], Figure().subplots()).collections]
    [0, 1]
    """
    for index, width in enumerate(CONTOUR_WIDTHS):
        shown = [contour.xy for contour in contours if contour.index == bool(index)]
        axes.add_collection(LineCollection(shown, colors=CONTOUR, linewidths=width, zorder=3), autolim=False)
    return axes


def _smoothed(heights: NDArray[np.float32]) -> NDArray[np.float64]:
    """Heights under a light Gaussian that voids neither enter nor spoil."""
    valid = np.isfinite(heights)
    weight = gaussian_filter(valid.astype(np.float64), 1.2, mode="nearest")
    total = gaussian_filter(np.where(valid, heights, 0.0).astype(np.float64), 1.2, mode="nearest")
    return np.where(valid, total / np.maximum(weight, 1e-12), np.nan)
