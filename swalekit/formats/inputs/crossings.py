"""Crossings: gateways and tracks that pass the lines, from a file of points and lines."""

from pathlib import Path
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.contours.crossing import GAP, Crossing
from swalekit.design.brief.site import WGS84
from swalekit.errors import GeometryError, InputError
from swalekit.formats.inputs.polygons import property_number, read_features
from swalekit.tables.values import crossing_width

_USUAL = "track"


def read_crossings(path: str | Path) -> tuple[tuple[Crossing, ...], tuple[str, ...]]:
    """Read the crossings of a site.

    Parameters
    ----------
    path : str or Path
        File of points and lines; where there are such, with the properties ``kind``, ``use``, ``name`` and ``width_m``.
        Without a kind a crossing is a gap; without a width that of the use counts, without a use a track's.

    Returns
    -------
    crossings : tuple of Crossing
        In WGS 84; each part of a feature of several is one.
    notes : tuple of str
        What was left out on reading, one sentence each.

    Raises
    ------
    GeometryError
        If the file can't be read, or a feature is no crossing; in one line.

    Examples
    --------
    >>> import json, tempfile
    >>> gate = {"type": "Feature", "properties": {"kind": "gap", "use": "gateway", "name": "North gate"},
    ...     "geometry": {"type": "Point", "coordinates": [-2.3, 37.3]}}
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder) / "crossings.geojson"
    ...     _ = file.write_text(json.dumps({"type": "FeatureCollection", "features": [gate]}))
    ...     read_crossings(file)[0]
    (Crossing(gap, North gate, width 4 m),)
    """
    features, notes = read_features(path, WGS84, what="crossings")
    crossings: list[Crossing] = []
    for number, (geometry, properties) in enumerate(features, start=1):
        try:
            crossings += [_crossing(part, properties) for part in shapely.get_parts(geometry)]
        except (InputError, GeometryError) as error:
            message = f"crossings '{path}', feature {number}: {error}"
            raise GeometryError(message) from error
    return tuple(crossings), notes


def _crossing(geometry: BaseGeometry, properties: dict[str, Any]) -> Crossing:
    kind, use, width = (properties.get(key) for key in ("kind", "use", "width_m"))
    usual_m = crossing_width(_USUAL if use is None else str(use)).value
    width_m = usual_m if width is None else property_number("width_m", width)
    return Crossing(
        GAP if kind is None else str(kind),
        geometry,
        width_m,
        str(properties.get("name") or ""),
        "" if use is None else str(use),
    )
