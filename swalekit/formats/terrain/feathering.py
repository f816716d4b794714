"""Tiles laid into one another where they overlap, so that no step stands at a seam."""

import math
from collections.abc import Sequence
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from swalekit.formats.terrain.tile_part import TilePart, part_heights

_REACH = 4
"""Cells of a coarser tile over which a finer one takes its place."""


def feathered(parts: Sequence[TilePart], rows: range, width: int) -> NDArray[np.float32]:
    """Heights of rows of the frame, mixed by weight where several files have one.

    Parameters
    ----------
    parts : sequence of TilePart
        The files on the frame.
    rows : range
        Rows of the frame.
    width : int
        Columns of the frame.

    Returns
    -------
    ndarray of float32, shape (rows, width)
        Heights [m]; NaN where no file has one.

    Notes
    -----
    The weight of a file is the distance of the cell from the file's nearest edge, so it falls to nothing there: where
    two tiles overlap in a strip, the height goes over from the one to the other in proportion to the way across. A
    finer tile takes the place of a coarser one over four cells of the coarser one, inward from its own edge. Where
    a single file has a height it counts whole; a void weighs nothing, so that a step may stand around one,
    as within a few cells of an outer edge that both share.

    Examples
    --------
    >>> from swalekit.formats.terrain.cog import write_terrain
    >>> from swalekit.formats.terrain.tile_files import open_tiles, tile_files
    >>> from swalekit.grid import Grid
    >>> for name, west_m, height_m in (("a", 0.0, 101.0), ("b", 6.0, 101.5)):
    ...     grid = Grid.from_corner((10, 10), cell_m=1.0, west_m=west_m)
    ...     write_terrain(folder / f"{name}.tif", np.full((10, 10), height_m), grid)
    >>> with open_tiles("two", tile_files(folder), crs=None, vertical_unit=None) as (frame, parts):
    ...     print(feathered(parts, range(4, 5), 16)[0, 4:12])
    [101.     101.     101.0625 101.1875 101.3125 101.4375 101.5    101.5   ]
    """
    if len(parts) == 1:
        return part_heights(parts[0], rows, parts[0].columns)[0]
    heights = np.full((len(rows), width), np.nan, np.float32)
    weight, finer = np.zeros((2, *heights.shape), np.float32)
    for cells, alike in groupby(sorted(parts, key=_fineness), key=_fineness):
        reach = np.float32(_REACH * cells if cells > 1.0 else math.inf)
        left_over = 1.0 - np.minimum(finer / reach, 1.0)
        for part in alike:
            common = range(max(rows.start, part.rows.start), min(rows.stop, part.rows.stop))
            if not common:
                continue
            found, inside = part_heights(part, common, part.columns)
            place = np.s_[common.start - rows.start : common.stop - rows.start, part.column : part.columns.stop]
            own = np.minimum(inside, reach) * left_over[place]
            _mix(heights[place], weight[place], found, own)
            np.maximum(finer[place], inside, out=finer[place])
    return heights


def _fineness(part: TilePart) -> float:
    """Width of a file's cells, in cells of the frame; nearly equal ones are equal."""
    return round(part.cells, 1)


def _mix(
    heights: NDArray[np.float32], weight: NDArray[np.float32], found: NDArray[np.float32], own: NDArray[np.float32]
) -> None:
    """Take heights of one more file into those that are there, in place."""
    fresh = np.isnan(heights)
    np.copyto(heights, found, where=fresh)
    weight += own
    both = ~fresh & ~np.isnan(found)
    heights[both] += (own[both] / weight[both]) * (found[both] - heights[both])
