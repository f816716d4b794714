"""Steps between the tiles of a folder: how far one stands above the next where they meet."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from swalekit.formats.terrain.tile_part import TilePart, part_heights

_MOST_PLACES, _PLACE_CELLS = 9, 8
"""Places at which two tiles are compared, and cells along one."""
_NARROW = 1024
"""Cells across which a place reaches whole: an edge that runs slantwise on the frame is met."""
_LEAST_CELLS = 8
"""Fewer cells say nothing of two tiles."""
_BESIDE = 2
"""Cells on each side of an edge from which the ground's fall is carried on to it."""
_SCALED_MAD = 1.4826
"""Standard deviation over median absolute deviation, of a normal distribution."""


@dataclass(frozen=True)
class TileStep:
    """How far a tile stands above another where they meet.

    Parameters
    ----------
    first, second : str
        Paths of the tiles.
    step_m : float
        Median of second less first [m].
    spread_m : float
        Standard deviation of that, by the median absolute deviation [m].
    ratio : float
        Median of second over first.
    cell_m : float
        Side of the cells of the coarser one [m].
    """

    first: str
    second: str
    step_m: float
    spread_m: float
    ratio: float
    cell_m: float


def tile_steps(parts: Sequence[TilePart], cell_m: float) -> tuple[TileStep, ...]:
    """Step between every two tiles that overlap, or lie edge to edge.

    Parameters
    ----------
    parts : sequence of TilePart
        The files on one frame.
    cell_m : float
        Side of the frame's cells [m].

    Returns
    -------
    tuple of TileStep
        Of those that share at least eight cells, or as many across their edge.

    Raises
    ------
    TerrainError
        If a file is damaged.

    Notes
    -----
    At most nine places of a pair are read, eight cells long and across the whole of a narrow strip. Of tiles that share
    no cells the heights at the edge are those of straight lines through the two cells on either side of it: the
    ground's own fall makes no step, nor does an even bend of it.

    Examples
    --------
    >>> from swalekit.formats.terrain.cog import write_terrain
    >>> from swalekit.formats.terrain.tile_files import open_tiles, tile_files
    >>> from swalekit.grid import Grid
    >>> for name, west_m, height_m in (("a", 0.0, 101.0), ("b", 10.0, 101.25)):
    ...     grid = Grid.from_corner((10, 10), cell_m=1.0, west_m=west_m)
    ...     write_terrain(folder / f"{name}.tif", np.full((10, 10), height_m), grid)
    >>> with open_tiles("two", tile_files(folder), crs=None, vertical_unit=None) as (_, parts):
    ...     tile_steps(parts, 1.0)[0].step_m
    0.25
    """
    steps = (_step(first, second, cell_m) for first, second in combinations(parts, 2))
    return tuple(step for step in steps if step)


def _step(first: TilePart, second: TilePart, cell_m: float) -> TileStep | None:
    """Step between two tiles; None where too few cells tell."""
    rows, columns = _shared(first.rows, second.rows), _shared(first.columns, second.columns)
    if not rows or not columns:
        return None
    common, across = [], []
    for place in _places(rows, columns):
        pair = np.stack([_at(part, *place) for part in (first, second)])
        common.append(pair[:, ~np.isnan(pair).any(axis=0)])
        across += [_across(pair), _across(pair.swapaxes(1, 2))]
    for found in (np.hstack(common), np.hstack(across)):
        if found.shape[1] >= _LEAST_CELLS:
            lower, upper = found
            step_m = float(np.median(upper - lower))
            spread_m = _SCALED_MAD * float(np.median(np.abs(upper - lower - step_m)))
            with np.errstate(divide="ignore", invalid="ignore"):
                ratio = float(np.median(upper / lower))
            coarser_m = cell_m * max(first.cells, second.cells)
            return TileStep(first.header.name, second.header.name, step_m, spread_m, ratio, coarser_m)
    return None


def _shared(one: range, other: range) -> range:
    """What two tiles share of rows or columns, and what lies beside an edge; empty where a gap is between them."""
    start, stop = max(one.start, other.start), min(one.stop, other.stop)
    if start > stop:
        return range(0)
    return range(max(start - _BESIDE, min(one.start, other.start)), min(stop + _BESIDE, max(one.stop, other.stop)))


def _places(rows: range, columns: range) -> list[tuple[range, range]]:
    """Runs of cells strewn evenly over a rectangle, whole across it where it is narrow."""
    if min(len(rows), len(columns)) > _NARROW:
        a_side = math.isqrt(_MOST_PLACES)
        return list(product(_strewn(rows, a_side), _strewn(columns, a_side)))
    if len(rows) > len(columns):
        return list(product(_strewn(rows, _MOST_PLACES), [columns]))
    return list(product([rows], _strewn(columns, _MOST_PLACES)))


def _strewn(cells: range, most: int) -> list[range]:
    """So many runs of cells at most, spread evenly over rows or columns."""
    count = min(most, -(-len(cells) // _PLACE_CELLS))
    starts = np.linspace(cells.start, max(cells.stop - _PLACE_CELLS, cells.start), count).round().astype(int).tolist()
    return [range(start, min(start + _PLACE_CELLS, cells.stop)) for start in starts]


def _at(part: TilePart, rows: range, columns: range) -> NDArray[np.float64]:
    """Heights of a tile in cells of the frame [m], NaN where it has none."""
    heights = np.full((len(rows), len(columns)), np.nan)
    own_rows = range(max(rows.start, part.rows.start), min(rows.stop, part.rows.stop))
    own_columns = range(max(columns.start, part.columns.start), min(columns.stop, part.columns.stop))
    if own_rows and own_columns:
        place = np.s_[
            own_rows.start - rows.start : own_rows.stop - rows.start,
            own_columns.start - columns.start : own_columns.stop - columns.start,
        ]
        heights[place] = part_heights(part, own_rows, own_columns)[0]
    return heights


def _across(pair: NDArray[np.float64]) -> NDArray[np.float64]:
    """Heights of two tiles at the edges between their rows, from two cells on either side [m], shape (2, n)."""
    one, other = pair
    found = []
    for above, below, turned in ((one, other, 1), (other, one, -1)):
        edge = np.stack([1.5 * above[1:-2] - 0.5 * above[:-3], 1.5 * below[2:-1] - 0.5 * below[3:]])[::turned]
        found.append(edge[:, ~np.isnan(edge).any(axis=0)])
    return np.hstack(found)
