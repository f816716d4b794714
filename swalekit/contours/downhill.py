"""The fall of the ground across a line, and its downhill side."""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter1d

from swalekit.contours.line import right_hand
from swalekit.contours.polyline import Polyline
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain


def cross_slopes(
    terrain: Terrain, path: Polyline, *, closed: bool, support_m: float, vertices_averaged: int = 1
) -> NDArray[np.float64]:
    """Fall of the ground across a path, from its left to its right.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    path : ndarray of float64, shape (n, 2)
        Vertices of the path [m]; a closed one repeats its first vertex.
    closed : bool
        Whether the path is a ring.
    support_m : float
        Width over which the fall is measured, half of it on either side [m].
    vertices_averaged : int
        Vertices along the path over which the fall is averaged.

    Returns
    -------
    ndarray of float64, shape (n,)
        Positive where the right-hand side is lower [m/m]; NaN where neither side has ground. Where only one has, the
        fall is measured from there to the path.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(20.0)[::-1], np.ones(20))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0, west_m=0.0, north_m=20.0))
    >>> eastward = np.array([[5.0, 10.0], [15.0, 10.0]])
    >>> cross_slopes(terrain, eastward, closed=False, support_m=6.0).round(3)
    array([0.1, 0.1])
    """
    right = 0.5 * support_m * right_hand(path, closed=closed)
    left_m, middle_m, right_m = (sample_heights(terrain, *(path + side * right).T) for side in (-1.0, 0.0, 1.0))
    uphill, downhill = left_m - middle_m, middle_m - right_m
    fall = np.where(np.isnan(uphill), downhill, np.where(np.isnan(downhill), uphill, 0.5 * (uphill + downhill)))
    return _averaged(2.0 * fall / support_m, vertices_averaged, closed=closed)


def _averaged(values: NDArray[np.float64], count: int, *, closed: bool) -> NDArray[np.float64]:
    """Moving average over some vertices, leaving out what is NaN; NaN stays NaN."""
    ring = values[:-1] if closed else values
    known = np.isfinite(ring)
    mode = "wrap" if closed else "nearest"
    total = uniform_filter1d(np.where(known, ring, 0.0), count, mode=mode)
    weight = uniform_filter1d(known.astype(np.float64), count, mode=mode)
    mean = np.where(known, total / np.maximum(weight, 0.5 / count), np.nan)
    return np.append(mean, mean[0]) if closed else mean
