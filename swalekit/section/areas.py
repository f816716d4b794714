"""Areas and widths of the cross-section at every station, exact for its broken lines."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.section.profile import berm_nodes, ditch_nodes, profile
from swalekit.section.section import Section

_DOWNHILL_LIP, _CREST_INNER_EDGE, _DOWNHILL_TOE = 4, 6, 8  # nodes of `profile`


def cut_area_m2(section: Section, depth_m: ArrayLike, slope: ArrayLike) -> NDArray[np.float64]:
    """Area between natural ground and ditch.

    Parameters
    ----------
    section : Section
        Shape of the ditch.
    depth_m : array_like, shape (...)
        Dig depth at the stake [m].
    slope : array_like, shape (...)
        Slope down across the line [m/m].

    Returns
    -------
    ndarray of float64, shape (...)
        Area [m²].

    Notes
    -----
    On flat ground (b + z d) d with z the mean side slope.

    Examples
    --------
    >>> round(float(cut_area_m2(Section(), 0.5, 0.0)), 3)
    0.675
    """
    x, y = ditch_nodes(section, depth_m, slope)
    return _area_under(x, -np.asarray(slope) * x - y)


def berm_area_m2(section: Section, crest_m: ArrayLike, depth_m: ArrayLike, slope: ArrayLike) -> NDArray[np.float64]:
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
    return _area_under(x, y + np.asarray(slope) * x)


def storage_area_m2(
    section: Section,
    sill_m: ArrayLike,
    depth_m: ArrayLike,
    crest_m: ArrayLike,
    slope: ArrayLike,
    *,
    reach_m: ArrayLike,
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
        How far uphill of the stake the pond may stand [m].

    Returns
    -------
    ndarray of float64, shape (...)
        Area below the sill's level, above ground, ditch and the berm's uphill face, connected to the ditch [m²].

    Notes
    -----
    A straight reach of bed of width w whose ends lie a and b below the water (above it if negative) holds
    w (a⁺ + b⁺)² / (2 (|a| + |b|)), which is exact also where the shore lies between the ends. The hollow between ditch
    and berm counts only when the water stands above the ditch's downhill lip.

    Examples
    --------
    >>> round(float(storage_area_m2(Section(), 0.25, 0.5, 0.4, 0.1, reach_m=20.0)), 3)
    1.519
    """
    sill, depth = np.broadcast_arrays(sill_m, depth_m)
    x, y = profile(section, depth, crest_m, slope, reach_m=reach_m)
    below = sill - y[: _CREST_INNER_EDGE + 1]
    wet = np.maximum(below, 0.0)
    wet_sum = wet[1:] + wet[:-1]
    whole_sum = np.abs(below[1:]) + np.abs(below[:-1])
    width = np.diff(x[: _CREST_INNER_EDGE + 1], axis=0)
    area = np.divide(width * wet_sum**2, 2.0 * whole_sum, out=np.zeros_like(whole_sum), where=whole_sum > 0)
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


def catch_width_m(section: Section, depth_m: ArrayLike, crest_m: ArrayLike, slope: ArrayLike) -> NDArray[np.float64]:
    """Distance from the ditch's uphill lip to the crest's inner edge, the strip on which every drop is caught.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm.
    depth_m, crest_m, slope : array_like, shape (...)
        Dig depth [m] and height of the crest above natural ground [m] at the stake, slope down across the line [m/m].

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
    return np.asarray(x[_CREST_INNER_EDGE] - x[0])


def strip_width_m(section: Section, depth_m: ArrayLike, crest_m: ArrayLike, slope: ArrayLike) -> NDArray[np.float64]:
    """Distance from the ditch's uphill lip to the berm's downhill toe, the strip that is disturbed.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm.
    depth_m, crest_m, slope : array_like, shape (...)
        Dig depth [m] and height of the crest above natural ground [m] at the stake, slope down across the line [m/m].

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
    return np.asarray(x[_DOWNHILL_TOE] - x[0])


def _area_under(x: NDArray[np.float64], height: NDArray[np.float64]) -> NDArray[np.float64]:
    """Area under a broken line of heights, summed over its nodes."""
    return np.asarray((np.diff(x, axis=0) * (height[1:] + height[:-1])).sum(axis=0) / 2.0)
