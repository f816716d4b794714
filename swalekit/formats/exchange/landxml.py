"""LandXML 1.2, for survey controllers and machine control."""

import math
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np

from swalekit.contours.polyline import chainages
from swalekit.section.laid_swale import LaidSwale
from swalekit.staking.stake import Stakeout
from swalekit.staking.stake_out import survey_points
from swalekit.staking.tin import Tin

NAMESPACE = "http://www.landxml.org/schema/LandXML-1.2"

_FIXED = {"date": "2000-01-01", "time": "00:00:00"}
"""Written in place of the time of day, so that the same stakes give the same bytes."""

_METRIC = {
    "areaUnit": "squareMeter",
    "linearUnit": "meter",
    "volumeUnit": "cubicMeter",
    "temperatureUnit": "celsius",
    "pressureUnit": "milliBars",
}


def write_landxml(stakeout: Stakeout, path: str | Path, *, surface: Tin | None = None) -> None:
    """Write lines, stakes, and the ground as it will be built.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.
    path : str or Path
        File to write, in metres, points as northing, easting and elevation. Each swale is an alignment whose profile
        is the floor of its ditch; stakes are points on the natural ground, without elevation off the tile.
    surface : Tin, optional
        The design surface near the works.

    Examples
    --------
    >>> import tempfile
    >>> from swalekit.design.survey import stake_design
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_landxml(stake_design(design), Path(folder) / "stakes.xml")
    ...     print((Path(folder) / "stakes.xml").read_text().count("<Alignment "))
    2
    """
    root = ET.Element("LandXML", {"xmlns": NAMESPACE, "version": "1.2", "language": "English", **_FIXED})
    ET.SubElement(ET.SubElement(root, "Units"), "Metric", _METRIC)
    system = {"name": stakeout.crs.name}
    epsg = stakeout.crs.to_epsg()
    ET.SubElement(root, "CoordinateSystem", system if epsg is None else system | {"epsgCode": str(epsg)})
    if stakeout.issue:
        ET.SubElement(root, "Project", {"name": stakeout.site, "desc": stakeout.issue})
    ET.SubElement(root, "Application", {"name": "swalekit"})
    _add_points(root, stakeout)
    if stakeout.swales:
        alignments = ET.SubElement(root, "Alignments")
        for swale in stakeout.swales:
            _add_alignment(alignments, swale)
    if surface is not None:
        _add_surface(ET.SubElement(root, "Surfaces"), surface)
    ET.indent(root)
    ET.ElementTree(root).write(path, encoding="utf-8", xml_declaration=True)


def _position(*values: float) -> str:
    """Northing, easting and, where it is known, elevation."""
    return " ".join(f"{value:.4f}" for value in values if math.isfinite(value))


def _add_points(root: ET.Element, stakeout: Stakeout) -> None:
    """Stakes and offset stakes."""
    points = survey_points(stakeout)
    if not points.description:
        return
    group = ET.SubElement(root, "CgPoints", {"name": "stakes"})
    places = np.column_stack([points.northing_m, points.easting_m, points.height_m]).tolist()
    for number, place, description in zip(points.number.tolist(), places, points.description, strict=True):
        point = ET.SubElement(group, "CgPoint", {"name": str(number), "desc": description})
        point.text = _position(*place)


def _add_alignment(alignments: ET.Element, swale: LaidSwale) -> None:
    """A swale's line, with the level of its floor."""
    line = swale.line
    path = line.path
    walked = chainages(path)
    ends = {"name": swale.id, "length": f"{walked[-1]:.4f}", "staStart": "0.0000"}
    alignment = ET.SubElement(alignments, "Alignment", ends)
    geometry = ET.SubElement(alignment, "CoordGeom")
    for start, end, length_m in zip(path[:-1], path[1:], np.diff(walked), strict=True):
        leg = ET.SubElement(geometry, "Line", {"length": f"{length_m:.4f}"})
        ET.SubElement(leg, "Start").text = _position(start[1], start[0])
        ET.SubElement(leg, "End").text = _position(end[1], end[0])
    profile = ET.SubElement(ET.SubElement(alignment, "Profile"), "ProfAlign", {"name": f"{swale.id} ditch floor"})
    for chainage_m in (0.0, float(walked[-1])):
        ET.SubElement(profile, "PVI").text = _position(chainage_m, swale.shape.floor_level_m)


def _add_surface(surfaces: ET.Element, tin: Tin) -> None:
    """Points and triangles of the design surface."""
    surface = ET.SubElement(surfaces, "Surface", {"name": "design surface", "desc": "ground as built near the works"})
    definition = ET.SubElement(surface, "Definition", {"surfType": "TIN"})
    points, faces = ET.SubElement(definition, "Pnts"), ET.SubElement(definition, "Faces")
    for number, (x, y, z) in enumerate(tin.xyz.tolist(), start=1):
        ET.SubElement(points, "P", {"id": str(number)}).text = _position(y, x, z)
    for face in (tin.faces + 1).tolist():
        ET.SubElement(faces, "F").text = " ".join(map(str, face))
