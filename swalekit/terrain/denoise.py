"""Bare ground from a drone's surface: shrubs taken off, the grain of the survey smoothed."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from swalekit._checks import check_positive
from swalekit.terrain.terrain import Terrain
from swalekit.terrain.voids import harmonic_heights

_LEAST_SHRUB_M = 0.10
"""What stands out less is left to the smoothing; about five times the noise of a drone survey on bare ground."""


def denoise(terrain: Terrain, *, radius_m: float) -> Terrain:
    """Take off what stands on the ground and is narrower than twice a radius in every direction.

    Parameters
    ----------
    terrain : Terrain
        A surface, as photogrammetry gives it.
    radius_m : float
        Radius of the largest shrub to be taken off [m].

    Returns
    -------
    Terrain
        The ground, with a note of the change.

    Raises
    ------
    InputError
        If the radius isn't greater than zero.

    Notes
    -----
    The heights less their mean over a radius twice as large are opened (the greatest of the minima) by segments
    of 2 ``radius_m`` in eight directions, and the highest of the openings counts: a shrub is cut off by all
    of them, while a ridge or a bank is kept by the segment that lies along it. Cells more than 0.10 m above the
    opening get a height drawn across from the ground around them. One pass of a 1-2-1 mean along rows and columns,
    where both neighbours are known, then smooths the rest; it leaves every plane as it is.
    Canopies wider than the segment, and shrubs cut by a void or the tile's edge, stay.

    References
    ----------
    .. [1] Zhang, K. et al. (2003). A progressive morphological filter for removing nonground measurements from
       airborne lidar data. IEEE Transactions on Geoscience and Remote Sensing 41(4), 872-882 (opening against a
       height threshold).

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.zeros((9, 9))
    >>> heights[4, 4] = 0.8
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((9, 9), cell_m=1.0))
    >>> bare = denoise(terrain, radius_m=1.5)
    >>> print(bare.relief_m, bare.notes[-1])
    0.0 took shrubs of up to 1.5 m radius off the surface: heights changed by 0.089 m (RMS), at most 0.80 m
    """
    check_positive(radius_m=radius_m)
    half_cells = max(1, round(radius_m / terrain.grid.cell_m))
    residual = terrain.heights - _trend(terrain, 2.0 * half_cells)
    above = residual - _opened(residual, half_cells)
    tall = ndimage.binary_dilation(above > _LEAST_SHRUB_M, np.ones((3, 3), bool))
    # the lowest cell of every patch of ground is at its opening, so a way to known ground is always left
    unknown = np.flatnonzero(tall & (above > 0))
    del residual, above, tall
    heights = terrain.heights.copy()
    if unknown.size:
        heights.flat[unknown] = harmonic_heights(terrain.heights, unknown)
    _smooth(heights)
    change = np.abs(heights - terrain.heights)
    rms, greatest = np.sqrt(np.nanmean(change**2, dtype=np.float64)), np.nanmax(change)
    note = (
        f"took shrubs of up to {radius_m:g} m radius off the surface: "
        f"heights changed by {rms:.3f} m (RMS), at most {greatest:.2f} m"
    )
    return replace(terrain, heights=heights, notes=(*terrain.notes, note))


def _trend(terrain: Terrain, sigma_cells: float) -> NDArray[np.float32]:
    """Gaussian mean of the valid heights around each cell [m]."""
    weighted = ndimage.gaussian_filter(np.nan_to_num(terrain.heights), sigma_cells, mode="constant")
    weight = ndimage.gaussian_filter(terrain.valid.astype(np.float32), sigma_cells, mode="constant")
    trend: NDArray[np.float32] = weighted / np.maximum(weight, np.float32(1e-6))
    return trend


def _opened(heights: NDArray[np.float32], half_cells: int) -> NDArray[np.float32]:
    """Highest of the openings by eight segments; voids and what lies beyond the tile never lower it."""
    level = np.pad(np.where(np.isnan(heights), np.inf, heights), half_cells, constant_values=np.inf)
    highest = np.full(heights.shape, -np.inf, np.float32)
    for eighth in range(8):
        segment = _segment(half_cells, eighth * np.pi / 8)
        lowered = ndimage.minimum_filter(level, footprint=segment, mode="constant", cval=np.inf)
        opened = ndimage.maximum_filter(lowered, footprint=segment, mode="constant", cval=-np.inf)
        np.maximum(highest, opened[half_cells:-half_cells, half_cells:-half_cells], out=highest)
    return highest


def _segment(half_cells: int, angle: float) -> NDArray[np.bool_]:
    """Cells of a straight segment through the middle of a square, at an angle [rad]."""
    along = np.arange(-half_cells, half_cells + 1)
    segment = np.zeros((len(along), len(along)), bool)
    row, column = (np.rint(along * share).astype(int) for share in (np.sin(angle), np.cos(angle)))
    segment[half_cells + row, half_cells + column] = True
    return segment


def _smooth(heights: NDArray[np.float32]) -> None:
    """One 1-2-1 mean along columns and rows, in place, of cells that have both neighbours."""
    for lines in (heights, heights.T):
        bend = lines[:-2] - 2 * lines[1:-1] + lines[2:]
        lines[1:-1] += np.nan_to_num(bend) / 4
