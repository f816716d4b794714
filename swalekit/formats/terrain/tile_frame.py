"""One frame for the tiles of a folder: that of the finest, and the place of every other on it."""

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from affine import Affine
from numpy.typing import ArrayLike, NDArray
from pyproj import Geod, Transformer

from swalekit.errors import TerrainError
from swalekit.formats.terrain.target_grid import centre_degrees, outline, position
from swalekit.formats.terrain.tile_header import TileHeader
from swalekit.formats.terrain.tile_part import Resampling, TilePart
from swalekit.formats.terrain.usual_error import usual_error

_OFF_GRID = 0.01
"""Part of a cell by which the corner of a tile may miss the cells of the others, from rounding."""
_AS_FINE = 1.01
"""Cells that are so much wider count as equal: a metre is not as long everywhere in a map."""
_MOST_CELLS = 2**31 - 1
"""Cells that a tile is resampled to at most: as many as a plan may have."""
_MOST_NAMED = 5
"""Files that a note names."""


def framed(parts: Sequence[TilePart], name: str) -> tuple[TileHeader, tuple[TilePart, ...]]:
    """The frame that holds several tiles, and their places on it.

    Parameters
    ----------
    parts : sequence of TilePart
        The files by name, each on its own frame.
    name : str
        The folder as the user gave it.

    Returns
    -------
    frame : TileHeader
        CRS and cells of the tile with the finest cells, of equal ones the first, reaching over all.
    parts : tuple of TilePart
        The files on it.

    Raises
    ------
    TerrainError
        If a tile lies nowhere on the earth or where the frame's CRS has no coordinates, or is too wide to be resampled
        to cells so fine.
    """
    widths_m = [ground_cell_m(part.header) for part in parts]
    base, base_m = _finest([part.header for part in parts], widths_m)
    placed = [_placed(part, base, width_m / base_m) for part, width_m in zip(parts, widths_m, strict=True)]
    top, left = min(part.row for part in placed), min(part.column for part in placed)
    shape = (max(part.rows.stop for part in placed) - top, max(part.columns.stop for part in placed) - left)
    frame = replace(base, name=name, shape=shape, transform=base.transform * Affine.translation(left, top))
    moved = tuple(
        replace(
            part,
            row=part.row - top,
            column=part.column - left,
            resampling=part.resampling and replace(part.resampling, frame=frame.transform),
        )
        for part in placed
    )
    return replace(frame, notes=(*_notes(moved, base), *_coarser(min(widths_m), max(widths_m)))), moved


def _finest(headers: Sequence[TileHeader], widths_m: Sequence[float]) -> tuple[TileHeader, float]:
    """The first tile that is as fine as the finest, or shares its cells, and the width of its cells [m]."""
    least_m = min(widths_m)
    finest = headers[widths_m.index(least_m)]
    return next(
        (header, width_m)
        for header, width_m in zip(headers, widths_m, strict=True)
        if width_m <= _AS_FINE * least_m or _corner(header, finest)
    )


def _corner(header: TileHeader, base: TileHeader) -> tuple[int, int] | None:
    """Row and column of a tile's first cell on the cells of another; None if its corners aren't corners of theirs."""
    if header is base:
        return 0, 0
    rows, columns = header.shape
    row, column = _on_frame(header, base, [0, columns, 0, columns], [0, 0, rows, rows])
    top, left = round(row[0]), round(column[0])
    off = np.abs([row - top - [0, 0, rows, rows], column - left - [0, columns, 0, columns]])
    return (top, left) if off.max() <= _OFF_GRID else None


def _placed(part: TilePart, base: TileHeader, cells: float) -> TilePart:
    """A tile on the cells of another: as it is where they are its own, else resampled."""
    header, corner = part.header, _corner(part.header, base)
    if corner:
        return replace(part, row=corner[0], column=corner[1])
    row, column = _on_frame(header, base, *outline(header))
    top, left = math.floor(row.min()), math.floor(column.min())
    shape = (math.ceil(row.max()) - top, math.ceil(column.max()) - left)
    if shape[0] * shape[1] > _MOST_CELLS:
        message = (
            f"terrain '{header.name}' takes {shape[0] * shape[1]:,} cells as fine as those of '{base.name}'; "
            "cut it to the site, or leave one of the two out"
        )
        raise TerrainError(message)
    return replace(
        part,
        shape=shape,
        row=top,
        column=left,
        cells=cells,
        resampling=Resampling(base.transform, Transformer.from_crs(base.crs, header.crs, always_xy=True)),
    )


def _on_frame(
    header: TileHeader, base: TileHeader, column: ArrayLike, row: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Row and column, on the cells of another tile, of points between the cells of one."""
    x, y = position(header, column, row)
    if not header.crs.equals(base.crs, ignore_axis_order=True):
        x, y = Transformer.from_crs(header.crs, base.crs, always_xy=True).transform(x, y)
    if not np.isfinite([x, y]).all():
        message = (
            f"terrain '{header.name}' lies where {base.crs.name}, the CRS of '{base.name}', has no coordinates; "
            "keep tiles of one site in a folder"
        )
        raise TerrainError(message)
    a = base.transform
    return (
        (a.a * (y - a.f) - a.d * (x - a.c)) / a.determinant,
        (a.e * (x - a.c) - a.b * (y - a.f)) / a.determinant,
    )


def ground_cell_m(header: TileHeader) -> float:
    """Side of a tile's middle cell on the ground, of a square of about its area where it is oblong.

    Parameters
    ----------
    header : TileHeader
        The tile.

    Returns
    -------
    float
        Length [m].

    Raises
    ------
    TerrainError
        If the tile lies nowhere on the earth.

    Examples
    --------
    >>> from pyproj import CRS
    >>> header = TileHeader("t.tif", (4, 4), Affine(2.0, 0.0, 5e5, 0.0, -2.0, 4e6), CRS.from_epsg(32630), 1.0, ())
    >>> round(ground_cell_m(header), 4)
    2.0008
    """
    centre_degrees(header)
    to_degrees = Transformer.from_crs(header.crs, "EPSG:4326", always_xy=True)
    rows, columns = header.shape
    place = position(header, columns / 2 + np.array([0, 1, 0]), rows / 2 + np.array([0, 0, 1]))
    longitude, latitude = to_degrees.transform(*place)
    _, _, sides_m = Geod(ellps="WGS84").inv(longitude[[0, 0]], latitude[[0, 0]], longitude[1:], latitude[1:])
    return math.sqrt(sides_m[0] * sides_m[1])


def _notes(parts: Sequence[TilePart], base: TileHeader) -> tuple[str, ...]:
    """What the files say, and how they were joined."""
    notes = dict.fromkeys(note for part in parts for note in part.header.notes)
    joined = f"{len(parts)} tiles joined; where they overlap, the weight of each falls towards its edge"
    resampled = [f"'{Path(part.header.name).name}'" for part in parts if part.resampling]
    if not resampled:
        return (*notes, joined)
    more = f" and {len(resampled) - _MOST_NAMED} more" if len(resampled) > _MOST_NAMED else ""
    named = ", ".join(resampled[:_MOST_NAMED]) + more
    return (*notes, joined, f"resampled, bilinear, to the cells of '{Path(base.name).name}': {named}")


def _coarser(finest_m: float, coarsest_m: float) -> tuple[str, ...]:
    """A note where the coarsest tile is less sure than the finest, whose error is reckoned for all."""
    usual_m, finest_usual_m = usual_error(coarsest_m)[1].value, usual_error(finest_m)[1].value
    if usual_m <= finest_usual_m:
        return ()
    return (
        f"where cells of {coarsest_m:.3g} m alone give the ground its usual error is {usual_m:g} m, that of the finest "
        f"is {finest_usual_m:g} m: lines there are less sure than is reckoned",
    )
