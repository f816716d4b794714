"""Heights of a terrain file, read strip by strip so that a huge tile never stands in memory at its own resolution."""

import math

import numpy as np
from numpy.typing import NDArray
from pyproj import Transformer
from rasterio.io import DatasetReader
from rasterio.windows import Window

from swalekit.formats.target_grid import Target
from swalekit.formats.tile_header import TileHeader
from swalekit.terrain.coarsen import block_mean
from swalekit.terrain.sample import bilinear
from swalekit.terrain.sentinels import mask_sentinels

_STRIP_CELLS = 2**22
"""Cells of the file that are held at a time."""


def read_heights(tile: DatasetReader, header: TileHeader, factor: int) -> NDArray[np.float32]:
    """Heights averaged over blocks of ``factor`` by ``factor`` cells [m], NaN where there are none."""
    (height, width), out_rows = header.shape, math.ceil(header.shape[0] / factor)
    heights = np.empty((out_rows, math.ceil(width / factor)), np.float32)
    step = max(1, _STRIP_CELLS // (width * factor))
    for first in range(0, out_rows, step):
        top, bottom = first * factor, min((first + step) * factor, height)
        strip = _read_strip(tile, Window(0, top, width, bottom - top), header.metres_per_unit)
        heights[first : first + step] = block_mean(strip, factor)
    return heights


def _read_strip(tile: DatasetReader, window: Window, metres_per_unit: float) -> NDArray[np.float32]:
    """Heights of a window [m], NaN where the file declares none or holds a marker."""
    stored = tile.read(1, window=window, masked=True)
    with np.errstate(over="ignore", invalid="ignore"):
        strip: NDArray[np.float32] = stored.data.astype(np.float32)
        if (tile.scales[0], tile.offsets[0]) != (1.0, 0.0):
            strip = strip * np.float32(tile.scales[0]) + np.float32(tile.offsets[0])
        valid = mask_sentinels(strip, metres_per_unit=metres_per_unit) & ~np.ma.getmaskarray(stored)
        strip *= np.float32(metres_per_unit)
    strip[~valid] = np.nan
    return strip


def warp_heights(heights: NDArray[np.float32], header: TileHeader, target: Target) -> NDArray[np.float32]:
    """Averaged heights of a file at the cell centres of a grid [m], bilinear; NaN where there are none."""
    a, grid = header.transform, target.grid
    to_file = Transformer.from_crs(grid.crs, header.crs, always_xy=True)
    warped = np.empty(grid.shape, np.float32)
    step = max(1, _STRIP_CELLS // (8 * grid.shape[1]))
    for first in range(0, grid.shape[0], step):
        row, column = np.mgrid[first : min(first + step, grid.shape[0]), : grid.shape[1]]
        x, y = to_file.transform(*grid.centres(row, column))
        column_in_file = (a.e * (x - a.c) - a.b * (y - a.f)) / a.determinant
        row_in_file = (a.a * (y - a.f) - a.d * (x - a.c)) / a.determinant
        warped[first : first + step] = bilinear(
            heights, row_in_file / target.factor - 0.5, column_in_file / target.factor - 0.5
        )
    return warped
