"""Tracks, routes and waypoints of a GPX file, as receivers and phones write them."""

from collections.abc import Iterator
from typing import Any

import gpxpy
import gpxpy.gpx
import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.errors import GeometryError

_LEAST_IN_LINE = 2


def gpx_features(text: str, name: str) -> Iterator[tuple[BaseGeometry | None, dict[str, Any]]]:
    """Every track, route and waypoint.

    Parameters
    ----------
    text : str
        The file, which declares no document type.
    name : str
        What it is, for messages.

    Yields
    ------
    geometry : shapely LineString or Point, or None
        Longitude and latitude on WGS 84. The pieces of a track, between which the receiver was lost, are one line. None
        where a track has a single point or none.
    properties : dict
        Its ``name`` and ``type`` where it has them.

    Raises
    ------
    GeometryError
        If it can't be read.

    Examples
    --------
    >>> text = '<gpx version="1.1"><trk><name>Walk</name><trkseg><trkpt lat="40" lon="-3"/><trkpt lat="40" lon="-2"/>'
    >>> list(gpx_features(text + "</trkseg></trk></gpx>", "boundary"))
    [(<LINESTRING (-3 40, -2 40)>, {'name': 'Walk'})]
    """
    try:
        file = gpxpy.parse(text)
    except (gpxpy.gpx.GPXException, ValueError, TypeError) as fault:
        message = f"{name} is damaged or not GPX ({' '.join(str(fault).split())}); export it again"
        raise GeometryError(message) from fault
    for track in file.tracks:
        yield _line([point for segment in track.segments for point in segment.points]), _said(track)
    for route in file.routes:
        yield _line(route.points), _said(route)
    for waypoint in file.waypoints:
        yield shapely.Point(waypoint.longitude, waypoint.latitude), _said(waypoint)


def _line(points: list[Any]) -> BaseGeometry | None:
    places = [(point.longitude, point.latitude) for point in points]
    return shapely.LineString(places) if len(places) >= _LEAST_IN_LINE else None


def _said(thing: Any) -> dict[str, Any]:
    return {key: text for key in ("name", "type") if (text := getattr(thing, key, None))}
