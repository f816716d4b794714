"""LAS and LAZ files, opened after a look whether they are whole."""

import logging
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from swalekit.errors import TerrainError
from swalekit.formats.local_file import local_file
from swalekit.formats.terrain.laz_chunks import chunks_fit
from swalekit.formats.terrain.tile_header import reading

if TYPE_CHECKING:
    from laspy import LasReader

_MOST_HEAD_BYTES = 2**24
"""What stands before the points is small; a file that says otherwise is damaged."""

logging.getLogger("laspy").addHandler(logging.NullHandler())  # what is wrong with a file is told in one line


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
    raise damaged(name)


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
        raise damaged(name)
    if not (np.isfinite([*header.scales, *header.offsets]).all() and np.all(header.scales)):
        message = f"terrain '{name}' has a scale or offset of its coordinates that is 0 or no number; export it again"
        raise TerrainError(message)


def damaged(name: str) -> TerrainError:
    """Error for a file that isn't whole.

    Parameters
    ----------
    name : str
        Path as the user gave it.

    Returns
    -------
    TerrainError
        To be raised.
    """
    message = f"terrain '{name}' is damaged or cut short and can't be read; copy or export it again"
    return TerrainError(message)
