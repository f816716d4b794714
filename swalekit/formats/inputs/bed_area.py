"""The ground for annual beds, as a brief names it."""

import shapely
from pyproj import CRS
from shapely.geometry.base import BaseGeometry

from swalekit.design.brief.beds_part import BedsPart
from swalekit.errors import GeometryError
from swalekit.formats.inputs.polygons import read_features, read_polygon


def bed_area(part: BedsPart, crs: CRS) -> tuple[BaseGeometry | None, tuple[str, ...]]:
    """Read the polygons of the beds, all of a file or those of one kind.

    Parameters
    ----------
    part : BedsPart
        File, and kind.
    crs : CRS
        CRS that they are brought to.

    Returns
    -------
    area : shapely polygon or multipolygon or None
        None where the brief asks for no beds.
    notes : tuple of str
        What was closed, repaired or left out.

    Raises
    ------
    GeometryError
        If the file can't be read, or holds no such polygon.

    Examples
    --------
    >>> bed_area(site.brief.beds, terrain.grid.crs)
    (None, ())
    """
    if part.area is None:
        return None, ()
    if part.kind is None:
        return read_polygon(part.area, crs, what="beds area")
    features, notes = read_features(part.area, crs, what="beds area")
    asked = part.kind.casefold()
    kinds = [{str(own.get(key) or "").casefold() for key in ("kind", "name")} for _, own in features]
    chosen = [
        shape
        for (shape, _), own in zip(features, kinds, strict=True)
        if asked in own and shape.geom_type in ("Polygon", "MultiPolygon")
    ]
    if not chosen:
        there = ", ".join(sorted(filter(None, set().union(*kinds)))) or "none"
        message = f"beds area '{part.area}' holds no polygon whose kind or name is '{part.kind}'; there are: {there}"
        raise GeometryError(message)
    return shapely.union_all(chosen), notes
