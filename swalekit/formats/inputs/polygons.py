"""Boundaries, keep-outs and soil areas from the files of GIS programs, phones and receivers."""

from pathlib import Path
from typing import Any

import numpy as np
import shapely
from pyproj import CRS, Transformer
from shapely.geometry.base import BaseGeometry

from swalekit.errors import GeometryError, InputError
from swalekit.formats.inputs.closed_line import CLOSING_RULE, Closing, closed_line
from swalekit.formats.inputs.layer_file import check_degrees, plain_value, read_layer
from swalekit.formats.local_file import local_file

Feature = tuple[BaseGeometry, dict[str, Any]]
"""A shapely geometry and its properties."""


def read_polygon(path: str | Path, crs: CRS, *, what: str = "boundary") -> tuple[BaseGeometry, tuple[str, ...]]:
    """Read the area that the polygons of a file cover together.

    Parameters
    ----------
    path : str or Path
        GeoJSON, GeoPackage, Shapefile, KML, KMZ or GPX file on this machine.
    crs : CRS
        CRS the area is brought to; easting or longitude comes first.
    what : str
        What the area is, for messages; in a GeoPackage of several layers the name of the layer.

    Returns
    -------
    area : shapely Polygon or MultiPolygon
        Union of all polygons, in ``crs``. Where there is none, of the lines whose ends are within 25 m, and a tenth of
        their length, of each other: a boundary that was walked.
    notes : tuple of str
        What was closed, repaired or left out, one sentence each.

    Raises
    ------
    GeometryError
        If the file can't be read or holds neither a polygon nor a line that closes.

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
    if polygons:
        others = sum(not _polygons(geometry) for geometry, _ in features)
        left_out = (f"{what}: {others} features that are no polygons were left out",) if others else ()
        return shapely.union_all(polygons), (*notes, *left_out)
    closings = [closed_line(line, crs) for geometry, _ in features for line in _lines(geometry)]
    closed = [closing for closing in closings if closing.area is not None]
    if not closed:
        kinds = ", ".join(sorted({geometry.geom_type for geometry, _ in features}))
        message = f"{what} '{path}' holds {kinds} but no polygon; {_way_to_close(closings)}"
        raise GeometryError(message)
    for closing in closed:
        line = f"{what} '{path}': a line of {closing.length_m:,.0f} m"
        notes = (*notes, f"{line} was closed over the {closing.gap_m:.1f} m between its ends")
    if len(closed) < len(features):
        notes = (*notes, f"{what}: {len(features) - len(closed)} features that are no closed lines were left out")
    return shapely.union_all([_sound(closing.area) for closing in closed]), notes


def read_features(path: str | Path, crs: CRS, *, what: str) -> tuple[list[Feature], tuple[str, ...]]:
    """Read every feature of a file.

    Parameters
    ----------
    path : str or Path
        GeoJSON (WGS 84 where it names no CRS), GeoPackage, Shapefile, KML, KMZ or GPX file on this machine.
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
    file_crs, geometries, columns, read_notes = read_layer(local_file(path, what=what, error=GeometryError), name, what)
    if file_crs is None:
        message = f"{name} has no coordinate reference system; export it with one, or as GeoJSON in WGS 84"
        raise GeometryError(message)
    features, notes = [], [*read_notes]
    drawn = ~(shapely.is_missing(geometries) | shapely.is_empty(geometries))
    if not drawn.all():
        notes.append(f"{name}: {np.sum(~drawn)} of {drawn.size} features have no geometry and were left out")
    for i in np.flatnonzero(drawn):
        geometry = _brought(geometries[i], CRS(file_crs), crs, f"{name}, feature {i + 1}")
        if not geometry.is_valid:
            geometry, note = _repaired(geometry, f"{name}, feature {i + 1}")
            notes.append(note)
        features.append((geometry, {key: plain_value(values[i]) for key, values in columns.items()}))
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


def _brought(geometry: BaseGeometry, source: CRS, target: CRS, name: str) -> BaseGeometry:
    """Geometry in another CRS, after a look whether its coordinates can be what the file says."""
    check_degrees(geometry, source, name)
    to_target = Transformer.from_crs(source, target, always_xy=True)
    moved = shapely.transform(geometry, to_target.transform, interleaved=False)
    if not np.isfinite(moved.bounds).all():
        west, south = geometry.bounds[:2]
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


def _way_to_close(closings: list[Closing]) -> str:
    """What to do about a boundary without an area."""
    if not closings:
        return "draw it as a closed polygon"
    nearest = min(closings, key=lambda closing: closing.gap_m)
    return (
        f"the ends of its line of {nearest.length_m:,.0f} m are {nearest.gap_m:,.0f} m apart, and {CLOSING_RULE}: walk "
        "on to the start, or draw it as a closed polygon"
    )


def _sound(area: BaseGeometry) -> BaseGeometry:
    """The area within a walked line, which may cross itself where it begins."""
    return area if area.is_valid else shapely.union_all(_polygons(shapely.make_valid(area)))


def _lines(geometry: BaseGeometry) -> list[BaseGeometry]:
    """Lines of a geometry or of its parts."""
    parts = shapely.get_parts(shapely.get_parts(geometry))
    return [part for part in parts if part.geom_type in ("LineString", "LinearRing")]


def _polygons(geometry: BaseGeometry) -> list[BaseGeometry]:
    """Polygons of a geometry or of its parts that enclose an area."""
    parts = shapely.get_parts(shapely.get_parts(geometry))
    return [part for part in parts if part.geom_type == "Polygon" and part.area > 0]
