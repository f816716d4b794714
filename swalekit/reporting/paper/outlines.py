"""From shapely geometries to what matplotlib draws, and which tint each area takes."""

from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from matplotlib.path import Path
from numpy.typing import NDArray

Geometry = Any


def area_path(geometry: Geometry) -> Path:
    """Every ring of the polygons in a geometry as one path; holes stay open.

    Parameters
    ----------
    geometry : shapely geometry
        Areas; lines and points in it are left out.

    Returns
    -------
    Path
        Rings in matplotlib's order of turn; empty without an area.

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
    """Polygons in a geometry.

    Parameters
    ----------
    geometry : shapely geometry or None
        The geometry, a collection or not.

    Returns
    -------
    list of shapely polygon
        Single polygons, however deeply collected.

    Examples
    --------
    >>> len(polygons_of(shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(2, 0, 3, 1)])))
    2
    """
    return [part for part in _parts(geometry) if part.geom_type == "Polygon"]


def lines_of(geometry: Geometry) -> list[NDArray[np.float64]]:
    """Coordinates of the lines in a geometry, shape (n, 2) each.

    Parameters
    ----------
    geometry : shapely geometry or None
        The geometry, a collection or not.

    Returns
    -------
    list of ndarray of float64, shape (n, 2)
        Vertices of each line or ring, without heights.

    Examples
    --------
    >>> lines_of(shapely.LineString([(0.0, 0.0, 7.0), (1.0, 2.0, 7.0)]))[0].tolist()
    [[0.0, 0.0], [1.0, 2.0]]
    """
    return [
        np.asarray(part.coords)[:, :2] for part in _parts(geometry) if part.geom_type in ("LineString", "LinearRing")
    ]


def points_of(geometry: Geometry) -> NDArray[np.float64]:
    """Coordinates of the points in a geometry, shape (n, 2).

    Parameters
    ----------
    geometry : shapely geometry or None
        The geometry, a collection or not.

    Returns
    -------
    ndarray of float64, shape (n, 2)
        Coordinates of each point, without heights.

    Examples
    --------
    >>> points_of(shapely.MultiPoint([(0.0, 1.0), (2.0, 3.0)])).tolist()
    [[0.0, 1.0], [2.0, 3.0]]
    """
    points = [part.coords[0][:2] for part in _parts(geometry) if part.geom_type == "Point"]
    return np.array(points, np.float64).reshape(-1, 2)


def middle_of(xy: NDArray[np.float64]) -> tuple[float, float]:
    """Point half way along a line, shape (n, 2); of a single station, that station.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        Stations of the line.

    Returns
    -------
    tuple of float
        Coordinates of the point.

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


def tint_numbers(areas: Sequence[Geometry], count: int) -> list[int]:
    """Number of the tint of each area: neighbours share none while the tints suffice.

    Parameters
    ----------
    areas : sequence of shapely geometry
        Areas that may touch but don't overlap.
    count : int
        Number of tints there are.

    Returns
    -------
    list of int
        0 to ``count`` − 1 for each area.

    Notes
    -----
    Greedy by saturation: the next area is the one whose neighbours show the most tints, then the one with the most
    neighbours, then the first. It takes the lowest tint that its neighbours lack, or the one that fewest of them have.

    Examples
    --------
    >>> tint_numbers([shapely.box(x, 0, x + 1, 1) for x in range(4)], 3)
    [1, 0, 1, 0]
    """
    neighbours = _neighbours(areas)
    tints: dict[int, int] = {}

    def seen(area: int) -> Counter[int]:
        return Counter(tints[neighbour] for neighbour in neighbours[area] if neighbour in tints)

    while len(tints) < len(areas):
        open_areas = (area for area in range(len(areas)) if area not in tints)
        chosen = max(open_areas, key=lambda area: (len(seen(area)), len(neighbours[area]), -area))
        shown = seen(chosen)
        tints[chosen] = min(range(count), key=lambda tint: (shown[tint], tint))
    return [tints[area] for area in range(len(areas))]


def _neighbours(areas: Sequence[Geometry]) -> list[set[int]]:
    """Areas that touch each area."""
    neighbours: list[set[int]] = [set() for _ in areas]
    shapes = np.array(areas, dtype=object)
    for one, other in shapely.STRtree(shapes).query(shapes, predicate="intersects").T.tolist():
        if one != other:
            neighbours[one].add(other)
    return neighbours
