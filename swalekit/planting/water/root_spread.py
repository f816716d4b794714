"""How far roots spread from the trunk, and how much of a ditch they reach."""

from math import pi, sin, sqrt

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_not_negative, check_positive
from swalekit.contours.line import LevelLine
from swalekit.tables.load import named_row

Values = NDArray[np.float64]

_QUARTER = 16
_OF_POLYGON = 0.5 * pi / (_QUARTER * sin(0.5 * pi / _QUARTER))
"""A circle over the polygon that is drawn for it."""


def usual_spread() -> float:
    """Spread of roots over that of the canopy, the mean of seven kinds of trees.

    Returns
    -------
    float
        Ratio [-].

    References
    ----------
    .. [1] Gilman (1988). Predicting root spread from trunk diameter and branch spread. Journal of Arboriculture 14.

    Examples
    --------
    >>> usual_spread()
    2.9
    """
    return named_row("planting_practice", practice="root spread").value


def spread_range() -> tuple[float, float]:
    """Spread of roots over that of the canopy, of the kinds of trees whose roots spread least and most.

    Returns
    -------
    least, greatest : float
        Ratios [-].

    Examples
    --------
    >>> spread_range()
    (1.7, 3.7)
    """
    least, greatest = (named_row("planting_practice", practice=f"root spread, {end}") for end in ("least", "greatest"))
    return least.value, greatest.value


def rooted_share(cover: float, spread: float) -> float:
    """Share of the ground with roots under it where canopies cover ``cover`` of it [-].

    Parameters
    ----------
    cover : float
        Share of the ground under canopies [-].
    spread : float
        Spread of roots over that of the canopy [-].

    Returns
    -------
    float
        The canopies' share by the square of the spread, 1 at most [-].

    Raises
    ------
    InputError
        If a value is negative.

    Examples
    --------
    >>> rooted_share(0.04, 3.0), rooted_share(0.4, 3.0)
    (0.36, 1.0)
    """
    check_not_negative(cover=cover, spread=spread)
    return min(1.0, cover * spread**2)


def root_depth_m(grown_depth_m: float, grown_share: float) -> float:
    """Depth of the roots of plants that aren't grown yet.

    Parameters
    ----------
    grown_depth_m : float
        Depth of the roots of grown ones, or of the soil where that is less [m].
    grown_share : float
        Ground under their canopies over that under the canopies of grown ones [-].

    Returns
    -------
    float
        Deeper as canopies grow wider, no less than that of the root ball they are planted with [m].

    Raises
    ------
    InputError
        If the depth isn't positive or the share negative.

    Notes
    -----
    Common practice.

    Examples
    --------
    >>> root_depth_m(1.2, 0.25), root_depth_m(1.2, 0.0), root_depth_m(1.2, 3.0)
    (0.6, 0.3, 1.2)
    """
    check_positive(grown_depth_m=grown_depth_m)
    check_not_negative(grown_share=grown_share)
    ball_m = named_row("planting_practice", practice="root depth at planting").value
    return min(grown_depth_m, max(ball_m, grown_depth_m * sqrt(grown_share)))


def reached_share(line: LevelLine, xy: Values, radius_m: ArrayLike, *, wet_m: float = 0.0) -> float:
    """Share of a ditch whose water soaks in within reach of roots.

    Parameters
    ----------
    line : LevelLine
        The staked line of the ditch.
    xy : ndarray of float64, shape (n, 2)
        Where the plants stand [m].
    radius_m : array_like, shape (n,) or one for all
        How far their roots reach [m].
    wet_m : float
        How far from the line the ground is wetted by the ditch: to its lip, and as far as soaked water creeps [m].

    Returns
    -------
    float
        Length within reach of one plant or more over the whole length, 0 without plants [-].

    Raises
    ------
    InputError
        If a radius or the width is negative.

    Notes
    -----
    A plant takes from the stretch of wetted ground that lies within the circle of its roots: none where it stands
    farther away than they reach.

    Examples
    --------
    >>> xy = np.array([[0.0, 0.0], [30.0, 0.0], [60.0, 0.0]])
    >>> line = LevelLine(10.0, False, xy, np.full(3, 10.0), np.full(3, 0.05))
    >>> trees = np.array([[10.0, -4.0], [16.0, -4.0], [58.0, -4.0], [40.0, -11.0]])
    >>> round(reached_share(line, trees, 6.0, wet_m=4.0), 2)
    0.43
    """
    reach = np.broadcast_to(np.asarray(radius_m, np.float64), len(xy))
    check_not_negative(radius_m=float(reach.min(initial=0.0)), wet_m=wet_m)
    way = shapely.LineString(line.path)
    plants, length = shapely.points(xy), float(way.length)
    half = np.sqrt(np.maximum(reach**2 - np.maximum(shapely.distance(way, plants) - wet_m, 0.0) ** 2, 0.0))
    at = shapely.line_locate_point(way, plants)
    starts, ends = at - half, at + half
    if line.closed:
        starts, ends = np.r_[starts - length, starts, starts + length], np.r_[ends - length, ends, ends + length]
    order = np.argsort(starts)
    starts, ends = np.clip(starts[order], 0.0, length), np.clip(ends[order], 0.0, length)
    told = np.r_[0.0, np.maximum.accumulate(ends)[:-1]] if len(ends) else ends
    return min(1.0, float(np.maximum(ends - np.maximum(starts, told), 0.0).sum() / length))


def rooted_m2(xy: Values, radius_m: float, within: BaseGeometry | None = None) -> float:
    """Ground that the roots of plants fill.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        Where the plants stand [m].
    radius_m : float
        How far their roots reach [m].
    within : shapely geometry, optional
        Ground beyond which they get nothing.

    Returns
    -------
    float
        Area within reach of one plant or more: the fewer stand in a row, the more ground each has, a circle at most
        [m²].

    Raises
    ------
    InputError
        If the radius is negative.

    Examples
    --------
    >>> near, far = np.array([[0.0, 0.0], [6.0, 0.0]]), np.array([[0.0, 0.0], [60.0, 0.0]])
    >>> round(rooted_m2(near, 8.0)), round(rooted_m2(far, 8.0))
    (295, 402)
    """
    check_not_negative(radius_m=radius_m)
    if not len(xy):
        return 0.0
    circles = shapely.union_all(shapely.buffer(shapely.points(xy), radius_m, quad_segs=_QUARTER))
    held = circles if within is None else shapely.intersection(circles, within)
    return float(held.area) * _OF_POLYGON
