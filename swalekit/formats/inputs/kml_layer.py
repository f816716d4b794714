"""Placemarks of a KML or KMZ file, as phones and globes write them."""

import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from typing import Any, NamedTuple
from xml.etree import ElementTree as ET

import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.errors import GeometryError
from swalekit.formats.inputs.plain_xml import MOST_BYTES, check_size

_GEOMETRIES = ("Point", "LineString", "LinearRing", "Polygon", "Track", "MultiGeometry", "MultiTrack")
_LEAST_IN_RING, _LEAST_IN_LINE = 3, 2


class Placemark(NamedTuple):
    """One of the file's placemarks.

    Parameters
    ----------
    geometry : shapely geometry or None
        Longitude and latitude on WGS 84; heights are dropped. None where it has none.
    properties : dict
        Its extended data, and its ``name`` where that isn't among them.
    folders : tuple of str
        Names of the folders that it lies in, the innermost first.
    """

    geometry: BaseGeometry | None
    properties: dict[str, Any]
    folders: tuple[str, ...]


def kmz_contents(content: bytes, name: str) -> tuple[bytes, ...]:
    """The KML within a KMZ file.

    Parameters
    ----------
    content : bytes
        A zip archive.
    name : str
        What it is, for messages.

    Returns
    -------
    tuple of bytes
        Every file that ends in ``.kml``; the first of them may do no more than point to others.

    Raises
    ------
    GeometryError
        If the archive is damaged, holds no KML, or more than is read.

    Examples
    --------
    >>> packed = io.BytesIO()
    >>> with zipfile.ZipFile(packed, "w") as archive:
    ...     archive.writestr("doc.kml", "<kml/>")
    >>> kmz_contents(packed.getvalue(), "boundary")
    (b'<kml/>',)
    """
    unpacked: list[bytes] = []
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            for entry in archive.infolist():
                if entry.filename.lower().endswith(".kml"):
                    with archive.open(entry) as packed:
                        unpacked.append(packed.read(MOST_BYTES + 1))
                    check_size(sum(map(len, unpacked)), name)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, OSError, EOFError, zlib.error) as fault:
        message = f"{name} is a damaged or locked archive ({fault}); export it again"
        raise GeometryError(message) from fault
    if not unpacked:
        message = f"{name} is a zip archive without a KML file in it; unpack it and name the file itself"
        raise GeometryError(message)
    return tuple(unpacked)


def placemarks(root: ET.Element, name: str) -> Iterator[Placemark]:
    """Every placemark of a KML document, in its order.

    Parameters
    ----------
    root : Element
        Root of the document.
    name : str
        What it is, for messages.

    Yields
    ------
    Placemark
        With polygons, lines, points and tracks; several of them are one collection.

    Raises
    ------
    GeometryError
        If coordinates can't be read.

    Examples
    --------
    >>> text = '''<kml xmlns="http://www.opengis.net/kml/2.2"><Folder><name>Wells</name><Placemark><name>Old one</name>
    ... <Point><coordinates>-3.0,40.0,512</coordinates></Point></Placemark></Folder></kml>'''
    >>> [(str(mark.geometry), mark.properties, mark.folders) for mark in placemarks(ET.fromstring(text), "keep-outs")]
    [('POINT (-3 40)', {'name': 'Old one'}, ('Wells',))]
    """
    yield from _walked(root, name, ())


def _walked(element: ET.Element, name: str, folders: tuple[str, ...]) -> Iterator[Placemark]:
    waiting = [(element, folders)]
    while waiting:  # a stack, since folders may be nested deeper than calls
        element, folders = waiting.pop()
        kind = _local(element)
        if kind == "Placemark":
            yield _placemark(element, name, folders)
            continue
        title = _text(element, "name") if kind in ("Folder", "Document") else ""
        inside = (title, *folders) if title else folders
        waiting += [(child, inside) for child in reversed(element)]


def _placemark(element: ET.Element, name: str, folders: tuple[str, ...]) -> Placemark:
    title = _text(element, "name")
    where = f"{name}, placemark '{title}'" if title else f"{name}, a placemark without a name"
    properties: dict[str, Any] = {"name": title} if title else {}
    for data in element.iter():
        if _local(data) == "Data" and data.get("name"):
            properties[str(data.get("name"))] = _text(data, "value")
        elif _local(data) == "SimpleData" and data.get("name"):
            properties[str(data.get("name"))] = (data.text or "").strip()
    shapes = [_shape(child, where) for child in element if _local(child) in _GEOMETRIES]
    return Placemark(_together(shapes), properties, folders)


def _shape(element: ET.Element, where: str) -> BaseGeometry | None:
    kind = _local(element)
    if kind in ("MultiGeometry", "MultiTrack"):
        return _together([_shape(child, where) for child in element if _local(child) in _GEOMETRIES])
    if kind == "Polygon":
        rings: dict[str, list[list[tuple[float, float]]]] = {
            side: [] for side in ("outerBoundaryIs", "innerBoundaryIs")
        }
        for side in element:
            if _local(side) in rings:
                rings[_local(side)] += [_ring(ring, where) for ring in side if _local(ring) == "LinearRing"]
        outer = rings["outerBoundaryIs"]
        return shapely.Polygon(outer[0], rings["innerBoundaryIs"]) if outer else None
    if kind == "LinearRing":
        return shapely.Polygon(_ring(element, where))
    places = _track(element, where) if kind == "Track" else _coordinates(element, where)
    if kind == "Point":
        return shapely.Point(places[0]) if places else None
    return shapely.LineString(places) if len(places) >= _LEAST_IN_LINE else None


def _together(shapes: list[BaseGeometry | None]) -> BaseGeometry | None:
    found = [shape for shape in shapes if shape is not None]
    return found[0] if len(found) == 1 else shapely.GeometryCollection(found) if found else None


def _ring(element: ET.Element, where: str) -> list[tuple[float, float]]:
    places = _coordinates(element, where)
    if len(places) < _LEAST_IN_RING:
        message = f"{where} has a ring of {len(places)} points; a polygon needs three or more"
        raise GeometryError(message)
    return places


def _coordinates(element: ET.Element, where: str) -> list[tuple[float, float]]:
    text = re.sub(r"\s*,\s*", ",", _text(element, "coordinates"))
    return [_place(part.split(","), where) for part in text.split()]


def _track(element: ET.Element, where: str) -> list[tuple[float, float]]:
    return [_place((coord.text or "").split(), where) for coord in element if _local(coord) == "coord" and coord.text]


def _place(parts: list[str], where: str) -> tuple[float, float]:
    """Longitude and latitude of two or three numbers."""
    try:
        longitude, latitude, *height = map(float, filter(None, parts))
    except ValueError:
        height = [0.0, 0.0]
    if len(height) > 1:
        message = f"{where} has the coordinates '{','.join(parts)[:40]}'; longitude, latitude and a height are expected"
        raise GeometryError(message)
    return longitude, latitude


def _text(element: ET.Element, child: str) -> str:
    """Text of a child, without the white space round it; '' where there is none."""
    return next(((found.text or "").strip() for found in element if _local(found) == child), "")


def _local(element: ET.Element) -> str:
    """Name of an element without its namespace; KML is written in several."""
    return str(element.tag).rpartition("}")[2]
