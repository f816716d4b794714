"""Where a level line may lie, the terrain's heights being uncertain."""

from statistics import NormalDist

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit._checks import check_not_negative
from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import path_of

BAND_SHARE = 0.90
"""Share of places within the band."""


def wander_m(line: LevelLine, vertical_sigma_m: float | NDArray[np.float64]) -> NDArray[np.float64]:
    """How far up or down the hill a line's true place may lie, 9 times in 10, at each station.

    Parameters
    ----------
    line : LevelLine
        The line.
    vertical_sigma_m : float or ndarray of float64, shape (n,)
        Standard error of the terrain's heights [m], that of every station where they differ.

    Returns
    -------
    ndarray of float64, shape (n,)
        Half width of the band [m].

    Raises
    ------
    InputError
        If the standard error is negative.

    Notes
    -----
    1.645 σ_z / s with s the fall across the line at the station. Holds while the ground is about straight over that
    distance and the error about the same.

    Examples
    --------
    >>> line = LevelLine(5.0, False, np.array([[0.0, 0.0], [2.0, 0.0]]), np.full(2, 5.0), np.array([0.1, 0.05]))
    >>> wander_m(line, 0.1).round(2)
    array([1.64, 3.29])
    """
    check_not_negative(vertical_sigma_m=float(np.min(vertical_sigma_m)))
    deviations = NormalDist().inv_cdf((1.0 + BAND_SHARE) / 2.0)
    return np.asarray(deviations * vertical_sigma_m / line.cross_slope)


def wander_band(line: LevelLine, vertical_sigma_m: float | NDArray[np.float64]) -> shapely.geometry.base.BaseGeometry:
    """Area in which a line's true place may lie, 9 times in 10.

    Parameters
    ----------
    line : LevelLine
        The line.
    vertical_sigma_m : float or ndarray of float64, shape (n,)
        Standard error of the terrain's heights [m], that of every station where they differ.

    Returns
    -------
    shapely polygon or multipolygon
        The band of `wander_m` on both sides of the line, in the CRS of the grid; empty without an error.

    Raises
    ------
    InputError
        If the standard error is negative.

    Examples
    --------
    >>> line = LevelLine(5.0, False, np.array([[0.0, 0.0], [2.0, 0.0]]), np.full(2, 5.0), np.array([0.1, 0.1]))
    >>> round(wander_band(line, 0.1).area, 2)
    6.58
    """
    half_m = wander_m(line, vertical_sigma_m)
    if not half_m.any():
        return shapely.Polygon()
    across = half_m[:, np.newaxis] * line.downhill
    above, below = (path_of(line.xy + offset, closed=line.closed) for offset in (-across, across))
    corners = np.stack([above[:-1], above[1:], below[1:], below[:-1]], axis=1)
    return shapely.union_all(shapely.convex_hull(shapely.multipoints(corners)))
