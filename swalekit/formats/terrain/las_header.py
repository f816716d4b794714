"""The reference that a LAS or LAZ file names: its CRS, and the unit of its heights."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pyproj import CRS
from pyproj.exceptions import CRSError

from swalekit.formats.terrain.reference import earthly, height_unit, settled_crs

if TYPE_CHECKING:
    from laspy import LasReader

_PROJECTED_MODEL, _MODEL_KEY, _VERTICAL_CRS_KEY, _VERTICAL_UNIT_KEY = 1, 1024, 4096, 4099
_UNIT_OF_KEY = {9001: "m", 9002: "ft", 9003: "us-ft"}
"""GeoTIFF keys by which LAS 1.2 and 1.3 name their reference, and the units that they give heights in."""


@dataclass(frozen=True)
class CloudHeader:
    """Reference and size of a point cloud.

    Parameters
    ----------
    name : str
        Path as the user gave it.
    n_points : int
        Points of every class.
    crs : CRS
        Horizontal CRS.
    metres_per_unit : float
        Length of the unit of the heights [m].
    notes : tuple of str
        What was decided, one sentence each.
    """

    name: str
    n_points: int
    crs: CRS
    metres_per_unit: float
    notes: tuple[str, ...]


def read_cloud_header(reader: "LasReader", name: str, *, crs: CRS | None, vertical_unit: str | None) -> CloudHeader:
    """Settle CRS and units of an open point cloud.

    Parameters
    ----------
    reader : LasReader
        The open file.
    name : str
        Its path as the user gave it.
    crs : CRS or None
        Taken if the file has none.
    vertical_unit : str or None
        ``m``, ``ft`` or ``us-ft``; goes before what the file says.

    Returns
    -------
    CloudHeader
        Reference and size, with what was decided.

    Raises
    ------
    TerrainError
        If the file has no CRS, or leaves the unit of its heights open.
    """
    keys = _geo_keys(reader)
    settled, assumed = settled_crs(name, _own_crs(reader, keys), crs)
    metres_per_unit, told = height_unit(name, settled, declared=_declared_unit(keys), given=vertical_unit)
    return CloudHeader(name, reader.header.point_count, settled.to_2d(), metres_per_unit, (*assumed, *told))


def _geo_keys(reader: "LasReader") -> dict[int, int]:
    """GeoTIFF keys of the file, by their number."""
    records = reader.header.vlrs.get("GeoKeyDirectoryVlr")
    return {key.id: key.value_offset for record in records for key in getattr(record, "geo_keys", ())}


def _own_crs(reader: "LasReader", keys: dict[int, int]) -> CRS | None:
    """The file's CRS; None if it has none that says where on the earth it is."""
    try:
        crs = earthly(reader.header.parse_crs())
    except CRSError:
        return None
    # a projection of one's own stands in keys that laspy doesn't read: it finds the ellipsoid beneath
    wrong = crs is not None and crs.is_geographic and keys.get(_MODEL_KEY) == _PROJECTED_MODEL
    return None if wrong else crs


def _declared_unit(keys: dict[int, int]) -> str:
    """Unit of the heights by the file's keys; empty where they leave it open."""
    try:
        axis = CRS.from_epsg(keys[_VERTICAL_CRS_KEY]).axis_info[0]
    except (CRSError, KeyError, IndexError):
        return _UNIT_OF_KEY.get(keys.get(_VERTICAL_UNIT_KEY, 0), "")
    return str(axis.unit_name)
