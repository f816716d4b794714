"""Areas and widths of the cross-section at every station, exact for its broken lines.

All are per metre of the staked line. Where the line curves, what lies a distance x downhill of it is longer than the
line by the factor 1 + curvature · x, and areas and widths are weighted by it, so that times the line's length they are
volumes and plan areas on bends too. On a straight line they are the plain ones.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.section.profile import berm_nodes, ditch_nodes, profile
from swalekit.section.section import Section

_DOWNHILL_LIP, _CREST_INNER_EDGE, _DOWNHILL_TOE = 4, 6, 8  # nodes of `profile`


def cut_area_m2(
    section: Section, depth_m: ArrayLike, slope: ArrayLike, *, curvature_per_m: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Area between natural ground and ditch.

    Parameters
    ----------
    section : Section
        Shape of the ditch.
    depth_m : array_like, shape (...)
        Dig depth at the stake [m].
    slope : array_like, shape (...)
        Slope down across the line [m/m].
    curvature_per_m : array_like, shape (...)
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    ndarray of float64, shape (...)
        Area [m²].

    Notes
    -----
    On flat ground and a straight line (b + z d) d with z the mean side slope.

    Examples
    --------
    >>> round(float(cut_area_m2(Section(), 0.5, 0.0)), 3)
    0.675
    """
    x, y = ditch_nodes(section, depth_m, slope)
    return _area_under(x, -np.asarray(slope) * x - y, curvature_per_m)


def berm_area_m2(
    section: Section, crest_m: ArrayLike, depth_m: ArrayLike, slope: ArrayLike, *, curvature_per_m: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Area of the berm above natural ground.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm.
    crest_m : array_like, shape (...)
        Height of the crest above natural ground at the stake [m].
    depth_m : array_like, shape (...)
        Dig depth at the stake, which says where the berm begins [m].
    slope : array_like, shape (...)
        Slope down across the line [m/m].
    curvature_per_m : array_like, shape (...)
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    ndarray of float64, shape (...)
        Area [m²]; zero where the crest lies below the ground.

    Examples
    --------
    >>> round(float(berm_area_m2(Section(), 0.5, 0.5, 0.0)), 2)
    0.75
    """
    lip = ditch_nodes(section, depth_m, slope)[0][3]
    x, y = berm_nodes(section, crest_m, lip, slope)
    return _area_under(x, y + np.asarray(slope) * x, curvature_per_m)


def storage_area_m2(
    section: Section,
    sill_m: ArrayLike,
    depth_m: ArrayLike,
    crest_m: ArrayLike,
    slope: ArrayLike,
    *,
    reach_m: ArrayLike,
    curvature_per_m: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Area of the pond that stands at the sill's level.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm.
    sill_m, crest_m : array_like, shape (...)
        Height of sill and crest above natural ground at the stake; the sill isn't above the crest [m].
    depth_m : array_like, shape (...)
        Dig depth at the stake [m].
    slope : array_like, shape (...)
        Slope down across the line [m/m].
    reach_m : array_like, shape (...)
        How far uphill of the stake the pond may stand [m]; round a knoll no farther than the bend's centre.
    curvature_per_m : array_like, shape (...)
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    ndarray of float64, shape (...)
        Area below the sill's level, above ground, ditch and the berm's uphill face, connected to the ditch [m²].

    Notes
    -----
    A straight reach of bed whose ends lie a and b below the water (above it if negative) is wet over the share
    (a⁺ + b⁺) / (|a| + |b|) of its width, from the deeper end. The hollow between ditch and berm counts only when the
    water stands above the ditch's downhill lip.

    Examples
    --------
    >>> round(float(storage_area_m2(Section(), 0.25, 0.5, 0.4, 0.1, reach_m=20.0)), 3)
    1.519
    """
    sill, depth, reach, curvature = np.broadcast_arrays(sill_m, depth_m, reach_m, curvature_per_m)
    within_bend = np.minimum(reach, np.divide(1.0, curvature, out=np.full(reach.shape, np.inf), where=curvature > 0))
    x, y = profile(section, depth, crest_m, slope, reach_m=within_bend)
    below = sill - y[: _CREST_INNER_EDGE + 1]
    wet, whole = np.maximum(below, 0.0), np.abs(below[1:]) + np.abs(below[:-1])
    share = np.divide(wet[1:] + wet[:-1], whole, out=np.zeros_like(whole), where=whole > 0)
    width = np.diff(x[: _CREST_INNER_EDGE + 1], axis=0) * share
    start = np.where(below[:-1] < 0, x[1 : _CREST_INNER_EDGE + 1] - width, x[:_CREST_INNER_EDGE])
    area = _trapezoids(start, width, wet[:-1], wet[1:], curvature)
    area[_DOWNHILL_LIP:] *= below[_DOWNHILL_LIP] > 0
    return np.asarray(area.sum(axis=0))


def top_width_m(section: Section, depth_m: ArrayLike, slope: ArrayLike) -> NDArray[np.float64]:
    """Distance from lip to lip of the ditch.

    Parameters
    ----------
    section : Section
        Shape of the ditch.
    depth_m, slope : array_like, shape (...)
        Dig depth at the stake [m] and slope down across the line [m/m].

    Returns
    -------
    ndarray of float64, shape (...)
        Width in plan [m].

    Examples
    --------
    >>> round(float(top_width_m(Section(), 0.5, 0.0)), 2)
    2.1
    """
    x, _ = ditch_nodes(section, depth_m, slope)
    return np.asarray(x[3] - x[0])


def catch_width_m(
    section: Section, depth_m: ArrayLike, crest_m: ArrayLike, slope: ArrayLike, *, curvature_per_m: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Distance from the ditch's uphill lip to the crest's inner edge, the strip on which every drop is caught.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm.
    depth_m, crest_m, slope : array_like, shape (...)
        Dig depth [m] and height of the crest above natural ground [m] at the stake, slope down across the line [m/m].
    curvature_per_m : array_like, shape (...)
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    ndarray of float64, shape (...)
        Width in plan [m].

    Examples
    --------
    >>> round(float(catch_width_m(Section(), 0.5, 0.5, 0.0)), 2)
    3.4
    """
    x, _ = profile(section, depth_m, crest_m, slope, reach_m=0.0)
    return _area_under(x[[0, _CREST_INNER_EDGE]], np.ones_like(x[:2]), curvature_per_m)


def strip_width_m(
    section: Section, depth_m: ArrayLike, crest_m: ArrayLike, slope: ArrayLike, *, curvature_per_m: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Distance from the ditch's uphill lip to the berm's downhill toe, the strip that is disturbed.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm.
    depth_m, crest_m, slope : array_like, shape (...)
        Dig depth [m] and height of the crest above natural ground [m] at the stake, slope down across the line [m/m].
    curvature_per_m : array_like, shape (...)
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    ndarray of float64, shape (...)
        Width in plan [m].

    Examples
    --------
    >>> round(float(strip_width_m(Section(), 0.5, 0.5, 0.0)), 2)
    4.9
    """
    x, _ = profile(section, depth_m, crest_m, slope, reach_m=0.0)
    return _area_under(x[[0, _DOWNHILL_TOE]], np.ones_like(x[:2]), curvature_per_m)


def _area_under(x: NDArray[np.float64], height: NDArray[np.float64], curvature_per_m: ArrayLike) -> NDArray[np.float64]:
    """Area under a broken line of heights, summed over its nodes."""
    return np.asarray(_trapezoids(x[:-1], np.diff(x, axis=0), height[:-1], height[1:], curvature_per_m).sum(axis=0))


def _trapezoids(
    start: NDArray[np.float64],
    width: NDArray[np.float64],
    first: NDArray[np.float64],
    last: NDArray[np.float64],
    curvature_per_m: ArrayLike,
) -> NDArray[np.float64]:
    """Trapezoids weighted by their length along the bend, by Simpson's rule, which is exact for them."""
    curvature = np.asarray(curvature_per_m, np.float64)
    at_first, middle, at_last = (np.maximum(1.0 + curvature * (start + part * width), 0.0) for part in (0.0, 0.5, 1.0))
    return np.asarray(width * (first * at_first + 2.0 * (first + last) * middle + last * at_last) / 6.0)
