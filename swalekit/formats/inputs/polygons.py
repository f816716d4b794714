"""Boundaries, keep-outs and soil areas from GeoJSON and GeoPackage files."""

from pathlib import Path
from typing import Any
from warnings import catch_warnings, simplefilter

import numpy as np
import pyogrio
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from shapely.geometry.base import BaseGeometry

from swalekit.errors import GeometryError, InputError
from swalekit.formats.local_file import local_file

_DRIVERS = ("GeoJSON", "GPKG")

Feature = tuple[BaseGeometry, dict[str, Any]]
"""A shapely geometry and its properties."""


def read_polygon(path: str | Path, crs: CRS, *, what: str = "boundary") -> tuple[BaseGeometry, tuple[str, ...]]:
    """Read the area that the polygons of a file cover together.

    Parameters
    ----------
    path : str or Path
        GeoJSON or GeoPackage file on this machine.
    crs : CRS
        CRS the area is brought to; easting or longitude comes first.
    what : str
        What the area is, for messages; in a GeoPackage of several layers the name of the layer.

    Returns
    -------
    area : shapely Polygon or MultiPolygon
        Union of all polygons, in ``crs``.
    notes : tuple of str
        What was repaired or left out, one sentence each.

    Raises
    ------
    GeometryError
        If the file can't be read or holds no polygon.

    Examples
    --------
    >>> import tempfile
    >>> square = shapely.to_geojson(shapely.box(-3.0, 40.0, -2.0, 41.0))
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "land.geojson"
    ...     _ = path.write_text(f'{{"type": "Feature", "properties": {{}}, "geometry": {square}}}')
    ...     read_polygon(path, CRS.from_epsg(4326))[0].area
    1.0
    """
    features, notes = read_features(path, crs, what=what)
    polygons = [part for geometry, _ in features for part in _polygons(geometry)]
    if not polygons:
        kinds = ", ".join(sorted({geometry.geom_type for geometry, _ in features}))
        message = f"{what} '{path}' holds {kinds} but no polygon; draw it as a closed polygon"
        raise GeometryError(message)
    others = sum(not _polygons(geometry) for geometry, _ in features)
    if others:
        notes = (*notes, f"{what}: {others} features that are no polygons were left out")
    return shapely.union_all(polygons), notes


def read_features(path: str | Path, crs: CRS, *, what: str) -> tuple[list[Feature], tuple[str, ...]]:
    """Read every feature of a file.

    Parameters
    ----------
    path : str or Path
        GeoJSON (WGS 84 where it names no CRS) or GeoPackage file on this machine.
    crs : CRS
        CRS the geometries are brought to; easting or longitude comes first, heights are dropped.
    what : str
        What the features are, for messages; in a GeoPackage of several layers the name of the layer.

    Returns
    -------
    features : list of (shapely geometry, dict)
        Geometry in ``crs`` and properties of each feature that has a geometry; a property without a value is None.
    notes : tuple of str
        Which polygons crossed themselves and were repaired, one sentence each.

    Raises
    ------
    GeometryError
        If the file can't be read, is empty, or a polygon can't be repaired.

    Examples
    --------
    >>> import tempfile
    >>> place = shapely.to_geojson(shapely.Point(-3.0, 40.0))
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "wells.geojson"
    ...     _ = path.write_text(f'{{"type": "Feature", "properties": {{"kind": "well"}}, "geometry": {place}}}')
    ...     read_features(path, CRS.from_epsg(4326), what="keep_outs")[0][0][1]
    {'kind': 'well'}
    """
    name = f"{what} '{path}'"
    file_crs, geometries, columns = _read_layer(local_file(path, what=what, error=GeometryError), name, what)
    if file_crs is None:
        message = f"{name} has no coordinate reference system; export it with one, or as GeoJSON in WGS 84"
        raise GeometryError(message)
    features, notes = [], []
    drawn = ~(shapely.is_missing(geometries) | shapely.is_empty(geometries))
    if not drawn.all():
        notes.append(f"{name}: {np.sum(~drawn)} of {drawn.size} features have no geometry and were left out")
    for i in np.flatnonzero(drawn):
        geometry = _brought(geometries[i], CRS(file_crs), crs, f"{name}, feature {i + 1}")
        if not geometry.is_valid:
            geometry, note = _repaired(geometry, f"{name}, feature {i + 1}")
            notes.append(note)
        features.append((geometry, {key: _plain(values[i]) for key, values in columns.items()}))
    if not features:
        message = f"{name} holds no features; draw at least one and save it again"
        raise GeometryError(message)
    return features, tuple(notes)


def property_number(name: str, value: object) -> float:
    """A property that holds a number, as such or as text.

    Parameters
    ----------
    name : str
        Name of the property, for the message.
    value : object
        What it holds.

    Returns
    -------
    float
        The number.

    Raises
    ------
    InputError
        If it holds something else.

    Examples
    --------
    >>> property_number("setback_m", "7.5")
    7.5
    """
    try:
        if not isinstance(value, bool):
            return float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        pass
    message = f"{name} is {value!r}; give a number"
    raise InputError(message)


def _read_layer(file: Path, name: str, what: str) -> tuple[str | None, NDArray[np.object_], dict[str, Any]]:
    """CRS, geometries and columns of the file's layer of that name, or of its only one."""
    if not _looks_known(file):
        message = f"{name} is not a GeoJSON or GeoPackage file; export it as one of these"
        raise GeometryError(message)
    try:
        with catch_warnings():
            simplefilter("ignore", RuntimeWarning)  # GDAL's remarks; what matters is checked on the geometries
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
        message = f"{name} is damaged or not GeoJSON ({reason}); export it again"
        raise GeometryError(message) from fault
    if driver not in _DRIVERS:
        message = f"{name} is {driver}, not GeoJSON or GeoPackage; export it as one of these"
        raise GeometryError(message)
    return meta["crs"], geometries, dict(zip(meta["fields"], columns, strict=True))


def _looks_known(file: Path) -> bool:
    """Whether the content starts like JSON or a GeoPackage: other kinds of file can pull in further files."""
    with file.open("rb") as opened:
        head = opened.read(100)
    geopackage = head.startswith(b"SQLite format 3\0") and head[68:70] == b"GP"
    return geopackage or head.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"{")


def _brought(geometry: BaseGeometry, source: CRS, target: CRS, name: str) -> BaseGeometry:
    """Geometry in another CRS, after a look whether its coordinates can be what the file says."""
    west, south, east, north = geometry.bounds
    if source.is_geographic and not (-360 <= west <= east <= 360 and -90 <= south <= north <= 90):
        message = (
            f"{name} reaches from ({west:.6g}, {south:.6g}) to ({east:.6g}, {north:.6g}), "
            f"which are not longitudes and latitudes; export it with its CRS or in WGS 84"
        )
        raise GeometryError(message)
    to_target = Transformer.from_crs(source, target, always_xy=True)
    moved = shapely.transform(geometry, to_target.transform, interleaved=False)
    if not np.isfinite(moved.bounds).all():
        message = f"{name} lies at ({west:.6g}, {south:.6g}), which has no place in {target.name}; check its CRS"
        raise GeometryError(message)
    return moved


def _repaired(geometry: BaseGeometry, name: str) -> tuple[BaseGeometry, str]:
    """The polygons that an invalid geometry makes where it crosses itself, and a note."""
    reason = shapely.is_valid_reason(geometry)
    polygons = _polygons(shapely.make_valid(geometry))
    if not polygons:
        message = f"{name} encloses no area ({reason}); draw it again"
        raise GeometryError(message)
    return shapely.union_all(polygons), f"{name} was not a proper polygon ({reason}) and was repaired"


def _polygons(geometry: BaseGeometry) -> list[BaseGeometry]:
    """Polygons of a geometry or of its parts that enclose an area."""
    parts = shapely.get_parts(shapely.get_parts(geometry))
    return [part for part in parts if part.geom_type == "Polygon" and part.area > 0]


def _plain(value: Any) -> object:
    """A column's value as Python has it; None where it is missing."""
    plain = value.tolist() if isinstance(value, np.generic | np.ndarray) else value
    return None if isinstance(plain, float) and np.isnan(plain) else plain
