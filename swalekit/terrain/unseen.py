"""How far the ground may be from where it was drawn across, beneath canopies and in voids."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from swalekit.terrain.blocks import blocks
from swalekit.terrain.film import harmonic_heights
from swalekit.terrain.terrain import Terrain

_FARTHEST_M = 16.0
"""Margin of a block: farther from measured ground the distance is counted from its window's edge."""
_RINGS = (1.5, 2.5, 4.5, 8.5, 16.5)
"""Ends of the rings of distance in which the error is tried [cells]; the last goes on without end."""
_LEAST_TRIALS = 30
"""Cells tried in a ring; with fewer it takes the error of the ring before."""
_USUAL_PER_M = 0.1
"""Rise of the error with distance where it can't be tried [m/m]; our choice, the roughness of a stony flank."""
_TOLD = "ground that wasn't seen"
_SHIFTS = ((0.5, 0.0), (0.0, 0.5), (0.5, 0.5), (0.25, 0.33))
"""Shares of a block's height and width by which the gaps are moved onto measured ground."""

Mask = NDArray[np.bool_]


def with_drawn_ground(terrain: Terrain, cells: NDArray[np.integer]) -> Terrain:
    """Give ground that was drawn across the larger error that it has.

    Parameters
    ----------
    terrain : Terrain
        The ground, drawn across where it wasn't seen.
    cells : ndarray of int, shape (n,)
        Flat indices of the cells that were drawn across; what is void doesn't count.

    Returns
    -------
    Terrain
        This ground with its ``drawn_sigma``, and a note; as it was where nothing was drawn. What was drawn across
        before is tried anew with it, and its note replaced: the heights that it was tried on may have changed.

    Notes
    -----
    The error is the root mean square one of drawn ground as far from the nearest measured cell, in rings of distance.
    It is tried on the tile itself: gaps of the same shapes are moved onto measured ground, drawn across in the same
    way, and held against what was measured. It never falls with distance. Holds where the ground beneath canopies is
    as rough as that beside them.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> terrain = Terrain.from_heights(np.zeros((9, 9)), Grid.from_corner((9, 9), cell_m=1.0))
    >>> drawn = with_drawn_ground(terrain, np.array([40]))
    >>> print(drawn.sigma_at(4.5 + 500_000.0, 4_000_000.0 - 4.5).round(2))
    0.14
    """
    grid = terrain.grid
    unseen = grid.zeros(np.bool_)
    unseen.flat[cells] = True
    if terrain.drawn_sigma is not None:
        unseen |= terrain.drawn_sigma > 0.0
    unseen &= terrain.valid
    if not unseen.any():
        return terrain
    margin = math.ceil(_FARTHEST_M / grid.cell_m)
    distance_m = grid.zeros(np.float32)
    squares, tried = np.zeros(len(_RINGS) + 1), np.zeros(len(_RINGS) + 1, int)
    for block in blocks(grid.shape, margin):
        gaps = unseen[block.seen]
        if not gaps.any():
            continue
        heights = terrain.heights[block.seen]
        distance_m[block.own] = _distance_m(gaps, grid.cell_m)[block.inner]
        for ring, error in _trials(heights, gaps, ~np.isnan(heights) & ~gaps, grid.cell_m):
            squares += np.bincount(ring, error**2, minlength=squares.size)
            tried += np.bincount(ring, minlength=tried.size)
    sigma = distance_m
    if tried.sum() < _LEAST_TRIALS:
        sigma *= np.float32(_USUAL_PER_M)
        how = f"taken as {_USUAL_PER_M:g} m for every metre from measured ground, which is too little to try it on"
    else:
        of_ring = _rising(squares, tried)
        for rows in (slice(first, first + 512) for first in range(0, grid.shape[0], 512)):
            sigma[rows] = np.where(unseen[rows], of_ring[_ring(distance_m[rows], grid.cell_m)], 0.0)
        how = f"{of_ring[0]:.2g} m beside measured ground and {of_ring[-1]:.2g} m farthest from it, tried on this tile"
    area_m2 = unseen.sum() * grid.cell_area_m2
    note = f"{_TOLD} ({area_m2:,.0f} m²) is drawn across; standard error of its height {how}"
    before = (told for told in terrain.notes if not told.startswith(_TOLD))
    return replace(terrain, drawn_sigma=sigma, notes=(*before, note))


def _rising(squares: NDArray[np.float64], tried: NDArray[np.int_]) -> NDArray[np.float32]:
    """Root mean square error of every ring, never less than that of the ring before [m]."""
    mean = np.where(tried >= _LEAST_TRIALS, squares / np.maximum(tried, 1), 0.0)
    return np.sqrt(np.maximum.accumulate(mean)).astype(np.float32)


def _ring(distance_m: NDArray[np.floating], cell_m: float) -> NDArray[np.intp]:
    return np.asarray(np.digitize(distance_m, np.array(_RINGS) * cell_m))


def _distance_m(gaps: Mask, cell_m: float) -> NDArray[np.float32]:
    """Distance of cells in gaps to the nearest cell that isn't [m]; 0 elsewhere."""
    if gaps.all():
        return np.full(gaps.shape, _FARTHEST_M, np.float32)
    distance: NDArray[np.float32] = (ndimage.distance_transform_edt(gaps) * cell_m).astype(np.float32)
    return distance


def _trials(
    heights: NDArray[np.float32], gaps: Mask, measured: Mask, cell_m: float
) -> Iterator[tuple[NDArray[np.intp], NDArray[np.float32]]]:
    """Ring and error of ground drawn across gaps that were moved onto measured ground."""
    for down, right in _SHIFTS:
        steps = (round(down * gaps.shape[0]), round(right * gaps.shape[1]))
        moved = np.roll(gaps, steps, axis=(0, 1))
        cells = np.flatnonzero(moved & measured)
        if cells.size:
            drawn = harmonic_heights(np.where(measured, heights, np.float32(np.nan)), cells)
            error, away_m = drawn - heights.flat[cells], _distance_m(moved | ~measured, cell_m).flat[cells]
            held = np.isfinite(error)
            yield _ring(away_m[held], cell_m), error[held]
