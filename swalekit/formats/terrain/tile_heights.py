"""Heights of terrain files, read strip by strip so that a huge tile never stands in memory at its own resolution."""

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from pyproj import Transformer

from swalekit.formats.terrain.feathering import feathered
from swalekit.formats.terrain.target_grid import Target
from swalekit.formats.terrain.tile_header import TileHeader
from swalekit.formats.terrain.tile_part import TilePart
from swalekit.grid import Allocator
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.sample import bilinear

BlockMean = Callable[[NDArray[np.float32], int], NDArray[np.float32]]
"""Averages square blocks of so many cells along each side."""

_STRIP_CELLS = 2**22
"""Cells of the files that are held at a time."""


def read_heights(
    header: TileHeader,
    parts: Sequence[TilePart],
    factor: int,
    *,
    allocate: Allocator = np.zeros,
    mean: BlockMean = block_mean,
) -> NDArray[np.float32]:
    """Heights of the files on one frame, averaged over blocks of ``factor`` by ``factor`` cells [m].

    Parameters
    ----------
    header : TileHeader
        The frame.
    parts : sequence of TilePart
        The files on it.
    factor : int
        Cells averaged along each side.
    allocate : callable
        Makes the array.
    mean : callable
        Takes heights and the factor, and averages them: `block_mean` of bare ground, `block_low_mean` of a surface.

    Returns
    -------
    ndarray of float32
        NaN where no file has a height; mixed where several have one (`feathered`).
    """
    (height, width), out_rows = header.shape, math.ceil(header.shape[0] / factor)
    heights = allocate((out_rows, math.ceil(width / factor)), np.float32)
    step = max(1, _STRIP_CELLS // (width * factor))
    for first in range(0, out_rows, step):
        top, bottom = first * factor, min((first + step) * factor, height)
        heights[first : first + step] = mean(feathered(parts, range(top, bottom), width), factor)
    return heights


def warp_heights(heights: NDArray[np.float32], header: TileHeader, target: Target) -> NDArray[np.float32]:
    """Bring averaged heights of a file to the cell centres of a grid, bilinear.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Averaged heights on the frame of the file [m].
    header : TileHeader
        The frame.
    target : Target
        The grid, and how many cells were averaged.

    Returns
    -------
    ndarray of float32, shape (rows, columns)
        Heights on the grid [m]; NaN where there are none.

    Examples
    --------
    >>> from affine import Affine
    >>> from pyproj import CRS
    >>> from swalekit.grid import Grid
    >>> utm = CRS.from_epsg(32630)
    >>> header = TileHeader("t.tif", (4, 4), Affine(1.0, 0.0, 5e5, 0.0, -1.0, 4e6), utm, 1.0, ())
    >>> grid = Grid((1, 1), Affine(2.0, 0.0, 5e5 + 1.0, 0.0, -2.0, 4e6 - 1.0), utm)
    >>> warp_heights(np.arange(16.0, dtype=np.float32).reshape(4, 4), header, Target(grid, 1, 1.0, "moved"))
    array([[7.5]], dtype=float32)
    """
    a, grid = header.transform, target.grid
    to_file = Transformer.from_crs(grid.crs, header.crs, always_xy=True)
    warped: NDArray[np.float32] = grid.zeros(np.float32)
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
