"""One layer of a vector file, whatever its format: CRS, geometries and columns."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple
from warnings import catch_warnings, simplefilter

import numpy as np
import pyogrio
import shapely
from numpy.typing import NDArray
from pyproj import CRS
from shapely.geometry.base import BaseGeometry

from swalekit.contours.obstacles import KEEP_OUT_KINDS
from swalekit.errors import GeometryError
from swalekit.formats.inputs.closed_line import closed_line
from swalekit.formats.inputs.gpx_layer import gpx_features
from swalekit.formats.inputs.kml_layer import kmz_contents, placemarks
from swalekit.formats.inputs.named_kind import named_kind
from swalekit.formats.inputs.plain_xml import read_xml

FORMATS = "GeoJSON, GeoPackage, Shapefile, KML, KMZ or GPX"
"""What can be read."""

KEEP_OUTS = "keep_outs"
"""What keep-outs are called: their features have kinds."""

_DRIVERS = ("GeoJSON", "GPKG", "ESRI Shapefile")
_WGS84 = CRS.from_epsg(4326)
_LONG_KINDS = tuple(kind for kind, form in KEEP_OUT_KINDS.items() if form.is_long)
_SHAPEFILE = bytes.fromhex("0000270a")


class Layer(NamedTuple):
    """Features of a file.

    Parameters
    ----------
    crs : str or None
        Their CRS; None where the file names none.
    geometries : ndarray of object, shape (n,)
        Shapely geometries, None where a feature has none.
    columns : mapping of str to sequence
        Properties by name, a value a feature.
    notes : tuple of str
        What was assumed on reading, one sentence each.
    """

    crs: str | None
    geometries: NDArray[np.object_]
    columns: dict[str, Any]
    notes: tuple[str, ...] = ()


def read_layer(file: Path, name: str, what: str) -> Layer:
    """Read the features of a file by what it holds, whatever it is called.

    Parameters
    ----------
    file : Path
        The file.
    name : str
        What it is, for messages.
    what : str
        Layer that is read where there are several.

    Returns
    -------
    Layer
        Of placemarks, tracks and waypoints the longitudes and latitudes. Of ``keep_outs`` that say no ``kind`` it is
        looked for in name, type and folder, which is noted; what was walked round a building, or anything else that
        doesn't run along a line, is an area (`closed_line`).

    Raises
    ------
    GeometryError
        If it is of another format or damaged, or has several layers.

    Examples
    --------
    >>> import tempfile
    >>> text = "<kml><Placemark><name>Well</name><Point><coordinates>-3,40</coordinates></Point></Placemark></kml>"
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "phone.kml"
    ...     _ = path.write_text(text)
    ...     layer = read_layer(path, "keep_outs 'phone.kml'", "keep_outs")
    >>> layer.geometries[0], layer.columns
    (<POINT (-3 40)>, {'name': ['Well'], 'kind': ['well']})
    """
    with file.open("rb") as opened:
        head = opened.read(100)
    if head.startswith(b"SQLite format 3\0") and head[68:70] == b"GP":
        return _by_library(file, name, what)
    if _begins(head, b"{") or head.startswith(_SHAPEFILE):
        return _by_library(file, name, what)
    if head.startswith(b"PK\x03\x04"):
        return _of_phone(kmz_contents(file.read_bytes(), name), name, kinds=what == KEEP_OUTS)
    if _begins(head, b"<") or head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _of_phone((file.read_bytes(),), name, kinds=what == KEEP_OUTS)
    raise _unknown(name)


def plain_value(value: Any) -> Any:
    """A property as Python has it.

    Parameters
    ----------
    value : object
        As a column of a layer holds it.

    Returns
    -------
    object
        None where it is missing.

    Examples
    --------
    >>> plain_value(np.float64("nan")) is None, plain_value(np.int64(3))
    (True, 3)
    """
    plain = value.tolist() if isinstance(value, np.generic | np.ndarray) else value
    return None if isinstance(plain, float) and np.isnan(plain) else plain


def check_degrees(geometry: BaseGeometry, crs: CRS, name: str) -> None:
    """Check that coordinates of a geographic CRS can be longitudes and latitudes.

    Parameters
    ----------
    geometry : shapely geometry
        Geometry.
    crs : CRS
        What the file says that its coordinates are.
    name : str
        What it is, for the message.

    Raises
    ------
    GeometryError
        If they can't.

    Examples
    --------
    >>> check_degrees(shapely.Point(-3.0, 40.0), CRS.from_epsg(4326), "the well")
    """
    west, south, east, north = geometry.bounds
    if crs.is_geographic and not (-360 <= west <= east <= 360 and -90 <= south <= north <= 90):
        message = (
            f"{name} reaches from ({west:.6g}, {south:.6g}) to ({east:.6g}, {north:.6g}), "
            f"which are not longitudes and latitudes; export it with its CRS or in WGS 84"
        )
        raise GeometryError(message)


def _begins(head: bytes, mark: bytes) -> bool:
    return head.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(mark)


def _unknown(name: str) -> GeometryError:
    return GeometryError(f"{name} is not a {FORMATS} file; export it as one of these")


def _by_library(file: Path, name: str, what: str) -> Layer:
    """The layer of that name, or the only one. Only content that was looked at comes here: others can pull in files."""
    try:
        with catch_warnings():
            simplefilter("ignore", RuntimeWarning)  # remarks of libraries; what matters is checked on the geometries
            layers = [layer for layer, _ in pyogrio.list_layers(file)]
            if len(layers) != 1 and what not in layers:
                message = f"{name} has layers {layers}; name one of them '{what}' or save it to a file of its own"
                raise GeometryError(message)
            layer = what if what in layers else layers[0]
            driver = pyogrio.read_info(file, layer=layer)["driver"]
            meta, _, wkb, columns = pyogrio.raw.read(file, layer=layer)
            geometries = shapely.from_wkb(wkb)
    except (RuntimeError, shapely.GEOSException) as fault:
        reason = " ".join(str(fault).split()).partition("; It might help")[0]
        format_ = "a Shapefile without one of its parts (.shp, .shx, .dbf)" if file.suffix == ".shp" else "not GeoJSON"
        message = f"{name} is damaged or {format_} ({reason}); export it again"
        raise GeometryError(message) from fault
    if driver not in _DRIVERS:
        message = f"{name} is {driver}, not {FORMATS}; export it as one of these"
        raise GeometryError(message)
    return Layer(meta["crs"], geometries, dict(zip(meta["fields"], columns, strict=True)))


def _of_phone(contents: tuple[bytes, ...], name: str, *, kinds: bool) -> Layer:
    """Placemarks, or tracks and waypoints, with what their names say of them."""
    found = [feature for content in contents for feature in _said_by(content, name)]
    geometries, guessed = np.full(len(found), None, np.object_), []
    for place, (geometry, said, more) in enumerate(found):
        kind = said.get("kind") or (named_kind([str(said.get("name", "")), *more]) if kinds else None)
        if kind and not said.get("kind"):
            guessed.append(f"{said.get('name') or f'feature {place + 1}'} is a {kind}")
            said["kind"] = kind
        geometries[place] = _walked_round(geometry) if kinds and kind and kind not in _LONG_KINDS else geometry
    columns = dict.fromkeys(key for _, said, _ in found for key in said)
    read = {key: [said.get(key) for _, said, _ in found] for key in columns}
    return Layer("EPSG:4326", geometries, read, (f"{name}: by their names {', '.join(guessed)}",) if guessed else ())


def _said_by(content: bytes, name: str) -> Iterator[tuple[BaseGeometry | None, dict[str, Any], tuple[str, ...]]]:
    """Geometry, properties, and folder or type of what one document holds."""
    root = read_xml(content, name)
    language = root.tag.rpartition("}")[2]
    if language == "kml":
        for mark in placemarks(root, name):
            yield mark.geometry, mark.properties, mark.folders[:1]
    elif language == "gpx":
        for geometry, said in gpx_features(content.decode("utf-8-sig", errors="replace"), name):
            yield geometry, said, (said.get("type", ""),)
    else:
        raise _unknown(name)


def _walked_round(geometry: BaseGeometry | None) -> BaseGeometry | None:
    """An area in place of a line that closes."""
    if geometry is None or geometry.geom_type != "LineString":
        return geometry
    return closed_line(geometry, _WGS84).area or geometry
