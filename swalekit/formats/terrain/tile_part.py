"""A terrain file on the frame of its folder: where it lies there, and its heights."""

from dataclasses import dataclass

import numpy as np
from affine import Affine
from numpy.typing import NDArray
from pyproj import Transformer
from rasterio.io import DatasetReader
from rasterio.windows import Window

from swalekit.formats.terrain.tile_header import TileHeader, reading
from swalekit.terrain.sample import bilinear
from swalekit.terrain.terrain import mask_sentinels

_BLOCK = 1024
"""Rows and columns that are resampled at a time, so that little of a turned tile is held for them."""
_DECIMALS = 6
"""Of a place in cells: a centre that lies on an edge, or on a centre, lies there whatever was lost in rounding."""
_LEAST_INSIDE = 1e-3
"""Cells that a centre on the very edge of a file counts as within it."""


@dataclass(frozen=True, eq=False)
class Resampling:
    """The way from the cells of a frame to those of a file that doesn't fit it.

    Parameters
    ----------
    frame : Affine
        From column and row of a cell's corner to x and y of the frame.
    to_file : Transformer
        From the frame's CRS to the file's.
    """

    frame: Affine
    to_file: Transformer


@dataclass(frozen=True, eq=False)
class TilePart:
    """A file, and where it lies on the frame of all.

    Parameters
    ----------
    tile : DatasetReader
        The open file.
    header : TileHeader
        What it says about itself.
    shape : tuple of int
        Rows and columns of the frame that it reaches over.
    row, column : int
        The first of them.
    cells : float
        Width of its own cells, in cells of the frame.
    resampling : Resampling or None
        How it is brought to the frame; None where its cells are cells of the frame.
    """

    tile: DatasetReader
    header: TileHeader
    shape: tuple[int, int]
    row: int = 0
    column: int = 0
    cells: float = 1.0
    resampling: Resampling | None = None

    @property
    def rows(self) -> range:
        """Rows of the frame that it reaches over."""
        return range(self.row, self.row + self.shape[0])

    @property
    def columns(self) -> range:
        """Columns of the frame that it reaches over."""
        return range(self.column, self.column + self.shape[1])


def part_heights(part: TilePart, rows: range, columns: range) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Heights that a file gives to cells of the frame, and how far within the file these lie.

    Parameters
    ----------
    part : TilePart
        The file.
    rows, columns : range
        Cells of the frame, among those that the file reaches over.

    Returns
    -------
    heights : ndarray of float32, shape (rows, columns)
        Heights [m], NaN where the file has none.
    inside : ndarray of float32, shape (rows, columns)
        Distance of the cell's centre from the nearest edge of the file [cells of the frame]; 0 where there is no
        height.

    Raises
    ------
    TerrainError
        If the file is damaged.

    Notes
    -----
    A file that doesn't fit the frame is interpolated bilinearly between the centres of its cells, without a height
    where a void has a say. Beyond its outermost centres the fall of the last two cells is carried on to its edge.

    Examples
    --------
    >>> from swalekit.formats.terrain.cog import write_terrain
    >>> from swalekit.formats.terrain.tile_files import open_tiles
    >>> from swalekit.grid import Grid
    >>> write_terrain(folder / "a.tif", np.arange(9.0).reshape(3, 3), Grid.from_corner((3, 3), cell_m=1.0))
    >>> with open_tiles("one", [folder / "a.tif"], crs=None, vertical_unit=None) as (_, (part,)):
    ...     heights, inside = part_heights(part, range(1, 2), range(3))
    >>> print(heights, inside)
    [[3. 4. 5.]] [[0.5 1.5 0.5]]
    """
    if part.resampling is None:
        own = Window(columns.start - part.column, rows.start - part.row, len(columns), len(rows))
        row, column = np.array(rows)[:, None] - float(part.row), np.array(columns) - float(part.column)
        heights = _read_window(part, own)
        return heights, _inside(part, heights, row, column)
    heights, inside = np.empty((2, len(rows), len(columns)), np.float32)
    for top in range(0, len(rows), _BLOCK):
        for left in range(0, len(columns), _BLOCK):
            block = np.s_[top : top + _BLOCK, left : left + _BLOCK]
            row, column = _own_place(part.resampling, part.header.transform, rows[block[0]], columns[block[1]])
            heights[block] = _between(part, row, column)
            inside[block] = _inside(part, heights[block], row, column)
    return heights, inside


def _own_place(
    resampling: Resampling, own: Affine, rows: range, columns: range
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Row and column, in a file, of the centres of cells of the frame; whole numbers at the file's own centres."""
    a, (row, column) = resampling.frame, np.mgrid[rows.start : rows.stop, columns.start : columns.stop] + 0.5
    x, y = resampling.to_file.transform(a.a * column + a.b * row + a.c, a.d * column + a.e * row + a.f)
    x, y = x - own.c, y - own.f
    row, column = (own.a * y - own.d * x) / own.determinant - 0.5, (own.e * x - own.b * y) / own.determinant - 0.5
    return row.round(_DECIMALS), column.round(_DECIMALS)


def _between(part: TilePart, row: NDArray[np.float64], column: NDArray[np.float64]) -> NDArray[np.float32]:
    """Heights between the centres of a file's cells [m], NaN beyond its edges and where a void has a say."""
    heights = np.full(row.shape, np.nan, np.float32)
    rows, columns = part.header.shape
    within = (row >= -0.5) & (row <= rows - 0.5) & (column >= -0.5) & (column <= columns - 0.5)
    if within.any():
        row, column = row[within], column[within]
        (top, bottom), (left, right) = _spanned(row, rows), _spanned(column, columns)
        stored = _read_window(part, Window(left, top, right - left, bottom - top))
        carried_on = np.pad(stored, 1, mode="reflect", reflect_type="odd")
        heights[within] = bilinear(carried_on, row - (top - 1), column - (left - 1))
    return heights


def _spanned(place: NDArray[np.float64], count: int) -> tuple[int, int]:
    """First row (or column) of a file that is asked for places between centres, and the one after the last."""
    first, last = int(np.floor(place.min())), int(np.floor(place.max())) + 1
    return max(min(first, count - 2), 0), min(max(last, 1), count - 1) + 1


def _inside(
    part: TilePart, heights: NDArray[np.float32], row: NDArray[np.float64], column: NDArray[np.float64]
) -> NDArray[np.float32]:
    """Distance from the nearest edge of a file [cells of the frame], 0 where it has no height."""
    edges = (
        np.maximum(np.minimum(place, count - 1.0 - place) + 0.5, _LEAST_INSIDE).astype(np.float32)
        for place, count in zip((row, column), part.header.shape, strict=True)
    )
    inside: NDArray[np.float32] = np.minimum(*edges)
    inside *= np.float32(part.cells)
    inside[np.isnan(heights)] = 0.0
    return inside


def _read_window(part: TilePart, window: Window) -> NDArray[np.float32]:
    """Heights of a window of a file [m], NaN where the file declares none or holds a marker."""
    tile, metres_per_unit = part.tile, part.header.metres_per_unit
    with reading(part.header.name):
        stored = tile.read(1, window=window, masked=True)
    with np.errstate(over="ignore", invalid="ignore"):
        heights: NDArray[np.float32] = stored.data.astype(np.float32)
        if (tile.scales[0], tile.offsets[0]) != (1.0, 0.0):
            heights = heights * np.float32(tile.scales[0]) + np.float32(tile.offsets[0])
        valid = mask_sentinels(heights, metres_per_unit=metres_per_unit) & ~np.ma.getmaskarray(stored)
        heights *= np.float32(metres_per_unit)
    heights[~valid] = np.nan
    return heights
