"""A terrain tile judged by points measured on bare ground."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.errors import InputError
from swalekit.terrain.control import Doubt, TerrainControl
from swalekit.terrain.error_surface import KINDS, ErrorSurface, Kind, conditioning, fit_surface
from swalekit.terrain.outliers import outlying
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.terrain.terrain import Terrain
from swalekit.units import METRES_PER_FOOT

LEAST_POINTS: dict[Kind, int] = {"none": 1, "shift": 3, "plane": 6, "bowl": 12}
"""Points that a surface needs: twice its coefficients, so that as many are left to judge it; three for a mean."""

GREATEST_OUTSIDE_SHARE = 0.5
"""With more of the ground beyond the points a bowl, which grows with the square of the distance, isn't fitted."""

_WORST_CONDITION = 100.0
"""Beyond it points lie along a line: a strip of 1 : 50 holds a plane, one of 1 : 5 a bowl."""

_LEAST_DATUM_M, _GEOID_M = 1.0, 10.0
"""No terrain model for design is a metre off throughout; geoid and ellipsoid lie tens of metres apart."""
_CLEAR = 1.0 / 3.0
"""Spread over the size of an error that makes it one of datum or unit."""
_GREATEST_FEET_M = 1.0


def control_of(terrain: Terrain, points: SurveyPoints) -> TerrainControl:
    """Compare a tile with points measured on bare ground, and fit the surfaces that would take its error out.

    Parameters
    ----------
    terrain : Terrain
        The tile.
    points : SurveyPoints
        Points in its CRS, heights in its vertical datum, names as descriptions.

    Returns
    -------
    TerrainControl
        Errors, their bias and root mean square, outliers, and surfaces.

    Raises
    ------
    InputError
        If no point lies on ground that the tile shows.

    Notes
    -----
    The height of the tile is bilinear between cell centres; where it was drawn across, as beneath canopies, points have
    no say: it has an error of its own there. Points of a photogrammetric model often show a tilt, from
    few control points, and a dome or bowl, from a camera whose lens is known badly [1]_. The more complex surface
    always fits better the points that it was fitted to, so surfaces are judged by their leave-one-out error: of no
    correction, a shift, a plane and a bowl the simplest is chosen whose mean squared error is within one standard error
    of the least [2]_. What a root mean square error (RMSE) says of a terrain model is told by [3]_, which wants 30
    points at the least, on ground that slopes evenly, well spread; of fewer the interval is wide.

    References
    ----------
    .. [1] James, M. R., Robson, S. (2014). Mitigating systematic error in topographic models derived from UAV and
       ground-based image networks. Earth Surface Processes and Landforms 39(10), 1413-1420 (from memory).
    .. [2] Hastie, T., Tibshirani, R., Friedman, J. (2009). The elements of statistical learning, 2nd ed., section 7.10
       (the "one standard error" rule; from memory).
    .. [3] American Society for Photogrammetry and Remote Sensing (2023). Positional accuracy standards for digital
       geospatial data, ed. 2 (from memory).

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> terrain = Terrain.from_heights(np.full((9, 9), 5.0), Grid.from_corner((9, 9), cell_m=1.0, west_m=0, north_m=9))
    >>> place = np.array([1.0, 4.0, 8.0])
    >>> points = SurveyPoints(np.arange(3), place, place[::-1], np.array([4.9, 4.91, 4.92]), ("A", "B", "C"))
    >>> control_of(terrain, points)
    TerrainControl(used 3, bias 0.09 m, rmse 0.0904 m, shift)
    """
    drawn = terrain.drawn_sigma_at(points.easting_m, points.northing_m) > 0.0
    tile_m = np.where(drawn, np.nan, sample_heights(terrain, points.easting_m, points.northing_m))
    on_tile = np.isfinite(tile_m)
    if not on_tile.any():
        message = _all_outside(terrain, points)
        raise InputError(message)
    x_m, y_m, height_m = points.easting_m, points.northing_m, points.height_m
    doubt: Doubt = _feet(tile_m[on_tile], height_m[on_tile])
    outlier = np.zeros(tile_m.size, np.bool_)
    if not doubt:
        richest = next(kind for kind in reversed(KINDS) if _borne(kind, x_m[on_tile], y_m[on_tile]))
        error_m = (tile_m - height_m)[on_tile]
        outlier[on_tile] = outlying(richest, x_m[on_tile], y_m[on_tile], error_m)
    judged = on_tile & ~outlier
    hull = shapely.MultiPoint(np.column_stack([x_m, y_m])[judged]).convex_hull
    share = 1.0 - _share_within(terrain, hull)
    x_m, y_m, error_m = x_m[judged], y_m[judged], (tile_m - height_m)[judged]
    lacking = _lacking(x_m, y_m, outside_share=share, in_feet=bool(doubt))
    surfaces = tuple(fit_surface(kind, x_m, y_m, error_m) for kind in KINDS if kind not in lacking)
    return TerrainControl(
        points=points,
        tile_m=tile_m,
        outlier=outlier,
        surfaces=surfaces,
        chosen=_chosen(surfaces),
        lacking=tuple(lacking.items()),
        outside_share=share,
        doubt=doubt or _datum(error_m),
    )


def _borne(kind: Kind, x_m: NDArray[np.float64], y_m: NDArray[np.float64]) -> bool:
    """Whether points are enough, and lie well enough, for a kind of surface, whichever of them is left out."""
    if x_m.size < LEAST_POINTS[kind] or conditioning(kind, x_m, y_m) > _WORST_CONDITION:
        return False
    return kind == "none" or bool(np.isfinite(fit_surface(kind, x_m, y_m, np.zeros_like(x_m)).leave_one_out_m).all())


def _lacking(
    x_m: NDArray[np.float64], y_m: NDArray[np.float64], *, outside_share: float, in_feet: bool
) -> dict[Kind, str]:
    """Kinds of surface that points can't bear, and why."""
    lacking: dict[Kind, str] = {}
    for kind in KINDS[1:]:
        if in_feet:
            lacking[kind] = "the heights are in two units"
        elif x_m.size < LEAST_POINTS[kind]:
            lacking[kind] = f"it takes {LEAST_POINTS[kind]} points"
        elif not _borne(kind, x_m, y_m):
            lacking[kind] = "the points lie along a line, or would without one of them"
        elif kind == "bowl" and outside_share > GREATEST_OUTSIDE_SHARE:
            lacking[kind] = f"{100 * outside_share:.0f} % of the ground lies beyond the points"
    return lacking


def _chosen(surfaces: tuple[ErrorSurface, ...]) -> ErrorSurface:
    """The simplest surface whose mean squared leave-one-out error is within one standard error of the least."""
    squared = [surface.leave_one_out_m**2 for surface in surfaces]
    least = min(squared, key=lambda errors: float(errors.mean()))
    within = least.mean() + least.std(ddof=1) / np.sqrt(least.size) if least.size > 1 else least.mean()
    return next(surface for surface, errors in zip(surfaces, squared, strict=True) if errors.mean() <= within)


def _feet(tile_m: NDArray[np.float64], height_m: NDArray[np.float64]) -> Doubt:
    """Whether one of two heights of the same places is the other in feet."""
    differ = tile_m - height_m
    plain_m = float(np.median(np.abs(differ - np.median(differ))))
    if tile_m.size < LEAST_POINTS["shift"] or abs(np.median(differ)) < _LEAST_DATUM_M:
        return ""
    scaled: dict[Doubt, NDArray[np.float64]] = {
        "points in feet": tile_m - METRES_PER_FOOT * height_m,
        "tile in feet": METRES_PER_FOOT * tile_m - height_m,
    }
    limit_m = min(_GREATEST_FEET_M, _CLEAR * plain_m)
    return next((doubt for doubt, left_m in scaled.items() if np.median(np.abs(left_m)) < limit_m), "")


def _datum(error_m: NDArray[np.float64]) -> Doubt:
    """Whether errors look like the distance of two vertical datums."""
    if error_m.size < LEAST_POINTS["shift"]:
        return ""
    bias_m, spread_m = abs(error_m.mean()), error_m.std(ddof=1)
    return "datum" if bias_m > _GEOID_M or (bias_m > _LEAST_DATUM_M and spread_m < _CLEAR * bias_m) else ""


def _share_within(terrain: Terrain, hull: BaseGeometry) -> float:
    """Share of the ground within a convex area, row by row."""
    grid, rows = terrain.grid, terrain.grid.shape[0]
    west, _, east, _ = grid.bounds
    y = grid.centres(np.arange(rows), 0)[1]
    ends = np.stack([np.column_stack([np.full(rows, x), y]) for x in (west, east)], axis=1)
    spans = shapely.bounds(shapely.intersection(hull, shapely.linestrings(ends)))
    first, last = (grid.rows_columns(spans[:, side], y)[1] for side in (0, 2))
    met = np.flatnonzero(np.isfinite(first))
    within = sum(
        int(np.count_nonzero(terrain.valid[row, max(0, int(np.ceil(first[row]))) : int(np.floor(last[row])) + 1]))
        for row in met
    )
    return within / int(np.count_nonzero(terrain.valid))


def _all_outside(terrain: Terrain, points: SurveyPoints) -> str:
    west, south, east, north = terrain.grid.bounds
    x, y = points.easting_m, points.northing_m
    return (
        f"no point lies on ground that the tile shows: they lie at {x.min():.0f} to {x.max():.0f} east and "
        f"{y.min():.0f} to {y.max():.0f} north, the tile at {west:.0f} to {east:.0f} east and {south:.0f} to "
        f"{north:.0f} north ({terrain.grid.crs.name}); name the CRS of the points"
    )
