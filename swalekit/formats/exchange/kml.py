"""KML 2.2, for globes and phones."""

from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
from numpy.typing import NDArray

from swalekit.formats.exchange.wgs84 import DEGREE_DECIMALS, longitude_latitude, stakes_on_globe
from swalekit.staking.stake import Stakeout

NAMESPACE = "http://www.opengis.net/kml/2.2"


def write_kml(stakeout: Stakeout, path: str | Path) -> None:
    """Write a line a swale and a placemark a stake, all on the ground.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes. Those beside the line are left out: at the scale of a globe they hide the line.
    path : str or Path
        File to write.

    Examples
    --------
    >>> import tempfile
    >>> from swalekit.design.survey import stake_design
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_kml(stake_design(design), Path(folder) / "stakes.kml")
    ...     print((Path(folder) / "stakes.kml").read_text().count("<LineString>"))
    2
    """
    root = ET.Element("kml", {"xmlns": NAMESPACE})
    document = ET.SubElement(root, "Document")
    ET.SubElement(document, "name").text = "swales and stakes"
    if stakeout.issue:
        ET.SubElement(document, "description").text = stakeout.title
    lines = _folder(document, "swales")
    for swale in stakeout.swales:
        text = f"level {swale.line.level_m:.2f} m, {swale.line.length_m:.0f} m long"
        xy = swale.line.path
        _add_placemark(lines, swale.id, text, "LineString", longitude_latitude(xy, stakeout.crs))
    points = _folder(document, "stakes")
    for number, text, place in stakes_on_globe(stakeout):
        _add_placemark(points, number, text, "Point", place[np.newaxis])
    ET.indent(root)
    ET.ElementTree(root).write(path, encoding="utf-8", xml_declaration=True)


def _folder(document: ET.Element, name: str) -> ET.Element:
    """A folder with a name."""
    folder = ET.SubElement(document, "Folder")
    ET.SubElement(folder, "name").text = name
    return folder


def _add_placemark(folder: ET.Element, name: str, text: str, geometry: str, positions: NDArray[np.float64]) -> None:
    """A named feature at longitudes and latitudes."""
    placemark = ET.SubElement(folder, "Placemark")
    ET.SubElement(placemark, "name").text = name
    ET.SubElement(placemark, "description").text = text
    shape = ET.SubElement(placemark, geometry)
    if geometry == "LineString":
        ET.SubElement(shape, "tessellate").text = "1"
    pairs = (f"{longitude:.{DEGREE_DECIMALS}f},{latitude:.{DEGREE_DECIMALS}f}" for longitude, latitude in positions)
    ET.SubElement(shape, "coordinates").text = " ".join(pairs)
