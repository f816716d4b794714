"""From shapely geometries to what matplotlib draws."""

from typing import Any

import numpy as np
import shapely
from matplotlib.path import Path
from numpy.typing import NDArray

Geometry = Any


def area_path(geometry: Geometry) -> Path:
    """Every ring of the polygons in a geometry as one path; holes stay open.

    Examples
    --------
    >>> area_path(shapely.box(0, 0, 1, 1)).vertices.shape
    (5, 2)
    """
    rings = []
    for polygon in polygons_of(geometry):
        turned = shapely.geometry.polygon.orient(polygon)
        rings += [Path(np.asarray(ring.coords)[:, :2], closed=True) for ring in (turned.exterior, *turned.interiors)]
    return Path.make_compound_path(*rings) if rings else Path(np.empty((0, 2)))


def polygons_of(geometry: Geometry) -> list[Geometry]:
    """Polygons in a geometry."""
    return [part for part in _parts(geometry) if part.geom_type == "Polygon"]


def lines_of(geometry: Geometry) -> list[NDArray[np.float64]]:
    """Coordinates of the lines in a geometry, shape (n, 2) each."""
    return [
        np.asarray(part.coords)[:, :2] for part in _parts(geometry) if part.geom_type in ("LineString", "LinearRing")
    ]


def points_of(geometry: Geometry) -> NDArray[np.float64]:
    """Coordinates of the points in a geometry, shape (n, 2)."""
    points = [part.coords[0][:2] for part in _parts(geometry) if part.geom_type == "Point"]
    return np.array(points, np.float64).reshape(-1, 2)


def middle_of(xy: NDArray[np.float64]) -> tuple[float, float]:
    """Point half way along a line, shape (n, 2); of a single station, that station.

    Examples
    --------
    >>> middle_of(np.array([[0.0, 0.0], [1.0, 0.0], [4.0, 0.0]]))
    (2.0, 0.0)
    """
    point = shapely.Point(xy[0]) if len(xy) == 1 else shapely.LineString(xy).interpolate(0.5, normalized=True)
    return float(point.x), float(point.y)


def _parts(geometry: Geometry) -> list[Geometry]:
    """Simple parts of a geometry, however deeply collected."""
    if geometry is None or geometry.is_empty:
        return []
    if not hasattr(geometry, "geoms"):
        return [geometry]
    return [simple for part in geometry.geoms for simple in _parts(part)]
