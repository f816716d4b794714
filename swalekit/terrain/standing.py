"""Which cells of a surface show something that stands on the ground: shrubs, trees, roofs, vehicles, spikes, pits."""

import math
from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.film import harmonic_heights

_SLOPE = 0.15
"""Something narrower than a window stands out by more than this share of the window's half width [1]_, p. 24."""
_LEAST_M = 0.10
"""What stands out less is left to the smoothing; about five times the noise of a drone survey on bare ground."""
_COMPACT = 0.5
"""A thing is as narrow in every direction where the openings by segments take off this share of what the disc takes."""
_TALL_M = 1.0
_UPRIGHT = 0.9
"""Long things (hedges, barns) are objects where they are as tall, with sides as steep [m/m] as no bank is."""
_SKIRT_M = 0.15
"""Cells beside an object belong to it where they stand higher above the ground drawn beneath it."""
_RIM_CELLS, _TALLER_THAN_WALLS_M = 3, 2.0
"""Cells beside an object that may be what is left of a canopy cut by a void or the edge, where they stand so high."""
_PIT_SLOPE, _LEAST_PIT_M = 1.2, 0.3
"""A pit a cell or two wide is an error of matching where it is steeper and deeper."""
_MOST_CELLS = 4
"""Half width of a window; for wider ones cells are doubled."""
_GROWTH = 1.3
"""Each window is so many times as wide as the one before."""
_AROUND = np.ones((3, 3), bool)

Heights = NDArray[np.float32]
Mask = NDArray[np.bool_]
Cell = TypeVar("Cell", np.float32, np.bool_)


def standing_cells(heights: Heights, *, cell_m: float, radius_m: float) -> Mask:
    """Tell what stands on the ground from the ground.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        A surface, NaN where void [m].
    cell_m : float
        Side of a cell [m].
    radius_m : float
        Half the width of the widest canopy or roof [m]; what is wider in both directions counts as ground.

    Returns
    -------
    ndarray of bool, shape (rows, columns)
        True for cells of objects, spikes and pits; never for voids.

    Notes
    -----
    Windows of growing radius r open the surface (the greatest of the minima) by a disc and by segments in eight
    directions, each opening on the one before. What the disc takes off and is more than 0.15 r stands out [1]_.
    Of that, things count as objects that the segments take off as well: they are narrow in every direction, while a
    bank, a ridge, a terrace wall or the shoulder of a gully is kept by the segment that lies along it. Long things
    are objects where they are more than 1 m tall with sides steeper than earth stands. A plane is left whole at any
    slope, up to the edge and beside voids, which lower nothing.
    Low, wide shrubs with a gentle rim stay in part, as do buildings wider than the window.

    References
    ----------
    .. [1] Pingel, T. J., Clarke, K. C. & McBride, W. A. (2013). An improved simple morphological filter for the
       terrain classification of airborne LIDAR data. ISPRS J. Photogramm. 77, 21-30 (windows that grow, and the
       slope that parts objects from ground; the segments and the test of the sides are our own).

    Examples
    --------
    >>> heights = np.zeros((9, 9), np.float32)
    >>> heights[4, 4:6] = 0.8
    >>> np.argwhere(standing_cells(heights, cell_m=1.0, radius_m=2.0)).tolist()
    [[4, 4], [4, 5]]
    """
    wide, compact = _stand_out(heights, cell_m, radius_m)
    above = above_drawn_ground(heights, ndimage.binary_dilation(wide, _AROUND) & ~np.isnan(heights))
    objects = compact | _upright(heights, above > _TALL_M, cell_m) | _pits(heights, cell_m)
    objects = ndimage.binary_propagation(objects, _AROUND, mask=objects | (above > _TALL_M))
    objects |= ndimage.binary_dilation(objects, _AROUND) & (above > _SKIRT_M)
    found: Mask = objects | _left_over(heights, objects, most_cells=math.pi * (radius_m / cell_m) ** 2)
    return found


def above_drawn_ground(heights: Heights, unknown: Mask) -> Heights:
    """How far cells stand above ground drawn across beneath them.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights, NaN where void [m].
    unknown : ndarray of bool, shape (rows, columns)
        Cells whose ground isn't known.

    Returns
    -------
    ndarray of float32, shape (rows, columns)
        Height above it [m]; 0 for all other cells and where no ground is near.

    Examples
    --------
    >>> above_drawn_ground(np.array([[1, 4, 1]], np.float32), np.array([[False, True, False]]))
    array([[0., 3., 0.]], dtype=float32)
    """
    cells = np.flatnonzero(unknown)
    above = np.zeros_like(heights)
    if cells.size:
        above.flat[cells] = np.nan_to_num(heights.flat[cells] - harmonic_heights(heights, cells))
    return above


def _stand_out(heights: Heights, cell_m: float, radius_m: float) -> tuple[Mask, Mask]:
    """Cells that stand out of a window of any radius, and those that also do so in every direction."""
    wide, compact = np.zeros(heights.shape, bool), np.zeros(heights.shape, bool)
    level = by_disc = by_segment = heights
    standing, factor, reach_m = np.zeros(heights.shape, bool), 1, cell_m
    while True:
        half = max(1, math.floor(reach_m / (factor * cell_m) + 0.5))  # round(2.5) is 2, too narrow
        if half > _MOST_CELLS:
            level = by_disc = by_segment = block_mean(by_segment, 2)
            standing, factor = np.zeros(level.shape, bool), 2 * factor
            continue
        least = max(_LEAST_M, _SLOPE * half * factor * cell_m)
        disc, by_segment = _opened(by_disc, [_disc(half)]), _opened(by_segment, _segments(half))
        standing |= by_disc - disc > least
        by_disc = disc
        narrow = standing & (level - by_segment > _COMPACT * (level - disc))
        wide |= _on_cells(heights, standing, disc, factor, least)
        compact |= _on_cells(heights, narrow, disc, factor, least)
        if reach_m >= radius_m:
            return wide, compact
        reach_m = min(radius_m, max(reach_m + factor * cell_m, _GROWTH * reach_m))


def _on_cells(heights: Heights, coarse: Mask, ground: Heights, factor: int, least_m: float) -> Mask:
    """Cells of the surface in marked large cells, or as near as one is wide, that stand above the opened surface."""
    if factor == 1:
        return coarse
    widened = ndimage.binary_dilation(_as_fine(coarse, factor, heights.shape), _AROUND, iterations=factor)
    above: Mask = widened & (heights - _as_fine(ground, factor, heights.shape) > least_m)
    return above


def _opened(heights: Heights, footprints: Sequence[Mask]) -> Heights:
    """Highest of the openings by several footprints; voids and what lies beyond the tile never lower it."""
    margin = footprints[0].shape[0] // 2
    level = np.pad(np.where(np.isnan(heights), np.inf, heights), margin, constant_values=np.inf)
    highest = np.full(heights.shape, -np.inf, np.float32)
    for footprint in footprints:
        lowered = ndimage.minimum_filter(level, footprint=footprint, mode="constant", cval=np.inf)
        lowered[np.isinf(lowered)] = -np.inf
        opened = ndimage.maximum_filter(lowered, footprint=footprint, mode="constant", cval=-np.inf)
        np.maximum(highest, opened[margin:-margin, margin:-margin], out=highest)
    return np.where(np.isnan(heights), heights, highest)


def _disc(half: int) -> Mask:
    """Cells of a disc."""
    along = np.arange(-half, half + 1)
    disc: Mask = np.hypot(along, along[:, np.newaxis]) <= half + 0.3
    return disc


def _segments(half: int) -> list[Mask]:
    """Cells of straight segments through the middle of a square, in eight directions."""
    along = np.arange(-half, half + 1)
    segments = []
    for angle in np.arange(8) * np.pi / 8:
        segment = np.zeros((len(along), len(along)), bool)
        row, column = (np.rint(along * share).astype(int) for share in (np.sin(angle), np.cos(angle)))
        segment[half + row, half + column] = True
        segments.append(segment)
    return segments


def _as_fine(coarse: NDArray[Cell], factor: int, shape: tuple[int, ...]) -> NDArray[Cell]:
    """Values of large cells for the cells within them."""
    return coarse.repeat(factor, axis=0).repeat(factor, axis=1)[: shape[0], : shape[1]]


def _upright(heights: Heights, tall: Mask, cell_m: float) -> Mask:
    """Of tall patches those whose sides are steeper, in the middle of their rim's cells, than earth stands."""
    label, count = ndimage.label(tall, _AROUND)
    if count == 0:
        return tall
    filled = np.where(np.isnan(heights), np.inf, heights)
    drop = (heights - ndimage.minimum_filter(filled, footprint=ndimage.generate_binary_structure(2, 1))) / cell_m
    rim = tall & ~ndimage.binary_erosion(tall, _AROUND)
    steepness = ndimage.median(drop[rim], label[rim], np.arange(1, count + 1))
    upright: Mask = np.concatenate([[False], steepness > _UPRIGHT])[label]
    return upright


def _left_over(heights: Heights, objects: Mask, most_cells: float) -> Mask:
    """Patches that objects, voids or the edge cut off from the ground, and rims of canopies cut there, if as tall."""
    label, count = ndimage.label(~objects & ~np.isnan(heights))
    cut_off = np.concatenate([[False], np.bincount(label.ravel(), minlength=count + 1)[1:] < most_cells])[label]
    beside = ndimage.binary_dilation(objects, _AROUND, iterations=_RIM_CELLS) & ~np.isnan(heights)
    above = above_drawn_ground(heights, beside | cut_off)
    tall: Mask = (cut_off & (above > _TALL_M)) | (above > _TALLER_THAN_WALLS_M)
    return tall


def _pits(heights: Heights, cell_m: float) -> Mask:
    """Pits a cell or two wide."""
    upended = -heights
    pits: Mask = upended - _opened(upended, [_disc(1)]) > max(_LEAST_PIT_M, _PIT_SLOPE * cell_m)
    return pits
