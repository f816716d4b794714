"""What was taken off a surface: trees and buildings by place and height, and the surface as it was flown."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage

from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.blocks import blocks

_LEAST_HEIGHT_M, _LEAST_AREA_M2 = 2.0, 3.0
"""What is lower or smaller is a shrub or a vehicle, and no reason to keep a ditch away."""
_LEAST_BUILDING_M2 = 6.0
_ROUGH_M = 0.08
"""A roof is smoother from cell to cell, a canopy rougher."""
_GREATEST_SIDE = 1000
"""Cells along the longer side of the surface that is kept for a picture."""
_AROUND = np.ones((3, 3), bool)


@one_line("kind", "height_m", "area_m2")
@dataclass(frozen=True)
class StandingThing:
    """A tree or a building that stands on the ground.

    Parameters
    ----------
    kind : {"tree", "building"}
        Which of both, by how smooth its top is.
    outline : shapely polygon
        Convex hull of its cells, in the CRS of the terrain.
    height_m : float
        Height of its top above the ground drawn beneath it: that which one cell in twenty exceeds [m].
    area_m2 : float
        Area of its cells [m²].
    """

    kind: Literal["tree", "building"]
    outline: shapely.Polygon
    height_m: float
    area_m2: float


@one_line("things", "radius_m")
@dataclass(frozen=True, eq=False)
class TakenOff(Frozen):
    """What was taken off a surface to get bare ground.

    Parameters
    ----------
    things : tuple of StandingThing
        Trees and buildings, from north to south.
    radius_m : float
        Half the width of the widest that was looked for [m].
    grid : Grid
        Cells of the picture, at most a thousand along each side.
    flown_m : ndarray of float32, shape (rows, columns)
        The surface as it was, NaN where void [m].
    """

    things: tuple[StandingThing, ...]
    radius_m: float
    grid: Grid
    flown_m: NDArray[np.float32]

    @property
    def counted(self) -> str:
        """How many trees and buildings there are, in words; '' for none."""
        return counted_things(self.things)


def counted_things(things: Sequence[StandingThing]) -> str:
    """Say how many trees and buildings there are.

    Parameters
    ----------
    things : sequence of StandingThing
        Trees and buildings.

    Returns
    -------
    str
        Such as '1 building, 3 trees'; '' for none.

    Examples
    --------
    >>> counted_things([StandingThing("tree", shapely.box(0, 0, 2, 2), 3.0, 4.0)])
    '1 tree'
    """
    counts = Counter(thing.kind for thing in things)
    return ", ".join(f"{count} {kind}{'s' if count > 1 else ''}" for kind, count in sorted(counts.items()))


def taken_off(
    grid: Grid, flown_m: NDArray[np.float32], ground_m: NDArray[np.float32], objects: NDArray[np.bool_], radius_m: float
) -> TakenOff:
    """Describe what was taken off a surface.

    Parameters
    ----------
    grid : Grid
        The cells.
    flown_m, ground_m : ndarray of float32, shape (rows, columns)
        The surface and the bare ground, NaN where void [m].
    objects : ndarray of bool, shape (rows, columns)
        Cells that show something else.
    radius_m : float
        Half the width of the widest that was looked for [m].

    Returns
    -------
    TakenOff
        Trees and buildings of 2 m and more, and the surface for a picture. Where canopies touch they are one thing.

    Examples
    --------
    >>> heights = np.zeros((9, 9), np.float32)
    >>> heights[2:6, 3:6] = 4.0
    >>> bare = np.zeros((9, 9), np.float32)
    >>> taken_off(Grid.from_corner((9, 9), cell_m=1.0), heights, bare, heights > 0, radius_m=3.0).things
    (StandingThing(building, height 4 m, area 12 m²),)
    """
    factor = math.ceil(max(grid.shape) / _GREATEST_SIDE)
    picture = block_mean(flown_m, factor)
    cell_m, (west_m, _, _, north_m) = factor * grid.cell_m, grid.bounds
    coarse = Grid.from_corner(picture.shape, cell_m=cell_m, west_m=west_m, north_m=north_m, crs=grid.crs.to_wkt())
    return TakenOff(tuple(things_standing(grid, flown_m, ground_m, objects)), radius_m, coarse, picture)


def things_standing(
    grid: Grid, flown_m: NDArray[np.float32], ground_m: NDArray[np.float32], objects: NDArray[np.bool_]
) -> Iterator[StandingThing]:
    """Tell trees and buildings among objects.

    Parameters
    ----------
    grid : Grid
        The cells.
    flown_m, ground_m : ndarray of float32, shape (rows, columns)
        The surface and the bare ground, NaN where void [m].
    objects : ndarray of bool, shape (rows, columns)
        Cells that show something else than ground.

    Yields
    ------
    StandingThing
        Those of 2 m and taller, and 3 m² and larger. A building is smooth from cell to cell, a tree is rough.

    Examples
    --------
    >>> heights = np.zeros((9, 9), np.float32)
    >>> heights[2:6, 3:6] = 4.0
    >>> grid = Grid.from_corner((9, 9), cell_m=1.0)
    >>> [thing.kind for thing in things_standing(grid, heights, np.zeros((9, 9), np.float32), heights > 0)]
    ['building']
    """
    label = grid.zeros(np.int32)
    count = ndimage.label(objects, structure=_AROUND, output=label)
    cells_of = np.zeros(count + 1, int)
    for block in blocks(grid.shape, 0):
        cells_of += np.bincount(label[block.own].ravel(), minlength=count + 1)
    areas_m2 = cells_of * grid.cell_area_m2
    for number, window in enumerate(ndimage.find_objects(label), start=1):
        if areas_m2[number] < _LEAST_AREA_M2:
            continue
        cells = label[window] == number
        heights = flown_m[window]
        height_m = float(np.nan_to_num(np.percentile((heights - ground_m[window])[cells], 95)))
        if height_m < _LEAST_HEIGHT_M:
            continue
        smooth = _roughness_m(heights, cells) < _ROUGH_M and areas_m2[number] >= _LEAST_BUILDING_M2
        yield StandingThing(
            "building" if smooth else "tree", _outline(grid, window, cells), height_m, float(areas_m2[number])
        )


def _roughness_m(heights: NDArray[np.float32], cells: NDArray[np.bool_]) -> float:
    """Median departure of a cell of an object from the mean of its neighbours, its rim left out [m]."""
    inner = ndimage.binary_erosion(cells, _AROUND)
    if not inner.any():
        return math.inf
    departure = (heights - ndimage.uniform_filter(heights, 3, mode="nearest"))[inner]
    known = np.isfinite(departure)
    return float(np.median(np.abs(departure[known]))) if known.any() else math.inf


def _outline(grid: Grid, window: tuple[slice, slice], cells: NDArray[np.bool_]) -> shapely.Polygon:
    """Convex hull of cells, corners included."""
    row, column = np.nonzero(cells ^ ndimage.binary_erosion(cells))
    row, column = row + window[0].start, column + window[1].start
    corners = [grid.centres(row + down, column + right) for down in (-0.5, 0.5) for right in (-0.5, 0.5)]
    hull = shapely.convex_hull(shapely.multipoints(np.hstack(corners).T))
    return shapely.Polygon(hull)
