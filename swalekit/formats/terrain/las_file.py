"""LAS and LAZ files: what one says about itself, and its points in chunks."""

import logging
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS
from pyproj.exceptions import CRSError

from swalekit.errors import TerrainError
from swalekit.formats.local_file import local_file
from swalekit.formats.terrain.laz_chunks import chunks_fit
from swalekit.formats.terrain.reference import earthly, height_unit, settled_crs
from swalekit.formats.terrain.tile_header import reading
from swalekit.terrain.terrain import mask_sentinels

if TYPE_CHECKING:
    from laspy import LasReader

_CHUNK_BYTES = 2**25
"""Bytes of points that are held at a time."""

_MOST_HEAD_BYTES = 2**24
"""What stands before the points is small; a file that says otherwise is damaged."""

_FARTHEST, _FARTHEST_DEGREES = 1e8, 1e3
"""Coordinates on the earth are less, in metres or feet, and in degrees."""

_GROUND, _KEY_POINT, _NOISE, _OVERLAP = 2, 8, (7, 18), 12
"""Classes of points [1]_; 8 and 12 in formats 0 to 5 only."""

_LAST_OLD_FORMAT = 5

_PROJECTED_MODEL, _MODEL_KEY, _VERTICAL_CRS_KEY, _VERTICAL_UNIT_KEY = 1, 1024, 4096, 4099
_UNIT_OF_KEY = {9001: "m", 9002: "ft", 9003: "us-ft"}
"""GeoTIFF keys by which LAS 1.2 and 1.3 name their reference, and the units that they give heights in."""

logging.getLogger("laspy").addHandler(logging.NullHandler())  # what is wrong with a file is told in one line


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


@dataclass(frozen=True, eq=False)
class Points:
    """Points of a chunk that may lie on the ground.

    Parameters
    ----------
    x, y : ndarray of float64
        Place in the CRS of the file.
    height_m : ndarray of float64
        Height [m].
    ground : ndarray of bool
        Classed as ground.
    never_classed : ndarray of bool
        Left as class 0 or 1.
    """

    x: NDArray[np.float64]
    y: NDArray[np.float64]
    height_m: NDArray[np.float64]
    ground: NDArray[np.bool_]
    never_classed: NDArray[np.bool_]


@contextmanager
def open_cloud(name: str) -> Iterator["LasReader"]:
    """Open a point cloud.

    Parameters
    ----------
    name : str
        Path as the user gave it.

    Yields
    ------
    LasReader
        The open file.

    Raises
    ------
    TerrainError
        If laspy isn't installed, or the file is no LAS or LAZ file, is damaged or holds no point.

    Examples
    --------
    >>> with open_cloud("hill.laz") as reader:
    ...     print(reader.header.point_count)
    Traceback (most recent call last):
        ...
    swalekit.errors.TerrainError: terrain 'hill.laz' does not exist; check the path
    """
    file = local_file(name, what="terrain", error=TerrainError)
    try:
        import laspy
        import lazrs  # noqa: F401, what laspy opens LAZ with
    except ImportError as fault:
        message = f"terrain '{name}' is a point cloud, which needs two more packages: pip install swalekit[pointcloud]"
        raise TerrainError(message) from fault
    _check_head(file, name)
    fields = laspy.DecompressionSelection.base().decompress_z().decompress_classification().decompress_flags()
    with reading(name, faults=(Exception,)):
        reader = laspy.open(file, read_evlrs=False, decompression_selection=fields)
    with reader:
        _check_points(reader, file, name)
        yield reader


def _check_head(file: Path, name: str) -> None:
    """Refuse a file whose head would be read far beyond what it holds."""
    with file.open("rb") as opened:
        head = opened.read(104)
    if head[:4] != b"LASF":
        message = f"terrain '{name}' is not a LAS or LAZ file, whatever its name; export it again"
        raise TerrainError(message)
    if len(head) == 104:
        head_bytes, points_at, n_records = struct.unpack("<HII", head[94:104])
        if head_bytes + 54 * n_records <= points_at <= min(_MOST_HEAD_BYTES, file.stat().st_size):
            return
    raise _damaged(name)


def _check_points(reader: "LasReader", file: Path, name: str) -> None:
    """Refuse a file without points, with fewer than its head says, or with places that are no numbers."""
    header = reader.header
    if header.point_count == 0:
        message = f"terrain '{name}' holds no point (its header counts 0); export it again"
        raise TerrainError(message)
    end = header.offset_to_point_data + header.point_count * header.point_format.size
    with file.open("rb") as opened, reading(name, faults=(Exception,)):
        whole = chunks_fit(opened, header) if header.are_points_compressed else end <= file.stat().st_size
    if not whole:
        raise _damaged(name)
    if not (np.isfinite([*header.scales, *header.offsets]).all() and np.all(header.scales)):
        message = f"terrain '{name}' has a scale or offset of its coordinates that is 0 or no number; export it again"
        raise TerrainError(message)


def _damaged(name: str) -> TerrainError:
    message = f"terrain '{name}' is damaged or cut short and can't be read; copy or export it again"
    return TerrainError(message)


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


def points_of(reader: "LasReader", header: CloudHeader) -> Iterator[Points]:
    """Points of an open cloud that may lie on the ground, chunk by chunk.

    Withheld points, noise (classes 7 and 18), and what has no possible height are left out.

    Parameters
    ----------
    reader : LasReader
        The open file.
    header : CloudHeader
        What it says about itself.

    Yields
    ------
    Points
        Of one chunk.

    Raises
    ------
    TerrainError
        If the file is damaged or cut short, or a point lies nowhere on the earth.

    References
    ----------
    .. [1] ASPRS (2019). LAS specification 1.4, R15, tables 9 (formats 0 to 5) and 17 (formats 6 to 10).
    """
    step = max(1, _CHUNK_BYTES // reader.header.point_format.size)
    farthest = _FARTHEST if header.crs.is_projected else _FARTHEST_DEGREES
    for first in range(0, header.n_points, step):
        wanted = min(step, header.n_points - first)
        with reading(header.name, faults=(Exception,)):
            chunk = reader.read_points(wanted)
            points = _usable(chunk, header, old=reader.header.point_format.id <= _LAST_OLD_FORMAT)
        if len(chunk) != wanted:
            raise _damaged(header.name)
        for place in (points.x, points.y):
            if place.size and not np.abs(place).max() < farthest:
                message = (
                    f"terrain '{header.name}' has a point at {place[np.abs(place).argmax()]:.4g}, which is nowhere on "
                    "the earth: the scale or offset of its coordinates is wrong; export it again"
                )
                raise TerrainError(message)
        yield points


def _usable(chunk: Any, header: CloudHeader, *, old: bool) -> Points:
    """Points of a chunk that may lie on the ground."""
    kind, height = np.asarray(chunk.classification), np.asarray(chunk.z)
    left_out = np.isin(kind, (*_NOISE, _OVERLAP) if old else _NOISE) | (np.asarray(chunk.withheld) != 0)
    used = mask_sentinels(height, metres_per_unit=header.metres_per_unit) & ~left_out
    kind = kind[used]
    ground = (kind == _GROUND) | (old & (kind == _KEY_POINT))
    x, y = (np.asarray(place)[used] for place in (chunk.x, chunk.y))
    return Points(x, y, height[used] * header.metres_per_unit, ground, kind <= 1)
