"""Means of square blocks of cells."""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

_STRIP_CELLS = 2**20
"""Cells that are averaged at a time, so that a huge tile is not copied whole."""
_LEAST_OBJECT_M = 0.10
"""What stands so far above the median of a block isn't its ground; about five times the noise of a drone survey."""


def block_mean(heights: NDArray[np.float32], factor: int) -> NDArray[np.float32]:
    """Means of square blocks of cells.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights, NaN where void [m].
    factor : int
        Cells along each side of a block; blocks that overhang the last row or column count the overhang as void.

    Returns
    -------
    ndarray of float32, shape (ceil(rows / factor), ceil(columns / factor))
        Mean of the valid cells of each block; NaN where fewer than half of them are valid [m].

    Examples
    --------
    >>> block_mean(np.array([[1, 2, 9], [3, np.nan, np.nan]], np.float32), 2)
    array([[ 2., nan]], dtype=float32)
    """
    return _by_strips(heights, factor, _mean)


def block_low_mean(heights: NDArray[np.float32], factor: int) -> NDArray[np.float32]:
    """Means of square blocks of a surface, without what stands out of a block's lower half.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights of a surface on which things stand, NaN where void [m].
    factor : int
        Cells along each side of a block; blocks that overhang the last row or column count the overhang as void.

    Returns
    -------
    ndarray of float32, shape (ceil(rows / factor), ceil(columns / factor))
        Mean of the cells of each block that stand no more than 0.10 m above their median; NaN where fewer than half
        of its cells are valid [m].

    Notes
    -----
    A block that shows ground in at least half its cells gives the ground, whatever stands in the rest. Bare ground has
    no bias while noise and fall within a block are well below 0.10 m: a mean of the lower half would lie 0.8 standard
    deviations of the noise too low.

    Examples
    --------
    >>> block_low_mean(np.array([[1.0, 1.02], [0.98, 3.5]], np.float32), 2)
    array([[1.]], dtype=float32)
    """
    return _by_strips(heights, factor, _low_mean)


def _by_strips(
    heights: NDArray[np.float32], factor: int, mean: Callable[[NDArray[np.float32]], NDArray[np.floating]]
) -> NDArray[np.float32]:
    """Means of blocks, a few rows of blocks at a time."""
    if factor == 1:
        return heights
    means = np.empty(tuple(math.ceil(side / factor) for side in heights.shape), np.float32)
    step = max(1, _STRIP_CELLS // (factor * heights.shape[1]))
    for first in range(0, means.shape[0], step):
        rows = slice(first, min(first + step, means.shape[0]))
        strip, (count, columns) = heights[rows.start * factor : rows.stop * factor], means[rows].shape
        overhang = ((0, count * factor - strip.shape[0]), (0, columns * factor - strip.shape[1]))
        padded = np.pad(strip, overhang, constant_values=np.nan) if np.any(overhang) else strip
        means[rows] = mean(padded.reshape(count, factor, columns, factor))
    return means


def _mean(blocks: NDArray[np.float32]) -> NDArray[np.floating]:
    """Means over the second and last axis."""
    count = (~np.isnan(blocks)).sum(axis=(1, 3))
    total = np.nansum(blocks, axis=(1, 3), dtype=np.float64)
    return np.where(2 * count >= blocks.shape[1] ** 2, total / np.maximum(count, 1), np.nan)


def _low_mean(blocks: NDArray[np.float32]) -> NDArray[np.floating]:
    """Means over the second and last axis of what stands no more than a step above the median."""
    rows, factor, columns, _ = blocks.shape
    cells = np.sort(blocks.transpose(0, 2, 1, 3).reshape(rows, columns, factor**2), axis=2)
    count = (~np.isnan(cells)).sum(axis=2, keepdims=True)
    median = np.take_along_axis(cells, np.maximum(count - 1, 0) // 2, axis=2)
    low = cells <= median + np.float32(_LEAST_OBJECT_M)
    total = np.where(low, cells, 0.0).sum(axis=2, dtype=np.float64)
    return np.where(2 * count[..., 0] >= factor**2, total / np.maximum(low.sum(axis=2), 1), np.nan)
