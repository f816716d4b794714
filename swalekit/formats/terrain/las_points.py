"""Points of a LAS or LAZ file that may lie on the ground, in chunks."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from swalekit.errors import TerrainError
from swalekit.formats.terrain.las_file import damaged
from swalekit.formats.terrain.las_header import CloudHeader
from swalekit.formats.terrain.tile_header import reading
from swalekit.terrain.terrain import mask_sentinels

if TYPE_CHECKING:
    from laspy import LasReader

_CHUNK_BYTES = 2**25
"""Bytes of points that are held at a time."""

_FARTHEST, _FARTHEST_DEGREES = 1e8, 1e3
"""Coordinates on the earth are less, in metres or feet, and in degrees."""

_GROUND, _KEY_POINT, _NOISE, _OVERLAP = 2, 8, (7, 18), 12
"""Classes of points [1]_; 8 and 12 in formats 0 to 5 only."""

_LAST_OLD_FORMAT = 5


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
    classes : frozenset of int
        Classes that they have.
    """

    x: NDArray[np.float64]
    y: NDArray[np.float64]
    height_m: NDArray[np.float64]
    ground: NDArray[np.bool_]
    classes: frozenset[int]


def points_of(reader: "LasReader", header: CloudHeader) -> Iterator[Points]:
    """Points of an open cloud that may lie on the ground, chunk by chunk.

    Withheld points, noise (classes 7 and 18), overlap points of old formats (class 12), and what has no possible height
    are left out. The overlap flag of formats 6 to 10 leaves none out: it marks the points of every swath where swaths
    overlap, and without them there would be a gap.

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
            raise damaged(header.name)
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
    return Points(
        x, y, height[used] * header.metres_per_unit, ground, frozenset(np.flatnonzero(np.bincount(kind)).tolist())
    )
