"""Areas and widths of the cross-section at every station, exact for its broken lines.

All are per metre of the staked line. Where the line curves, what lies a distance x downhill of it is longer than the
line by the factor 1 + curvature · x, and areas and widths are weighted by it, so that times the line's length they are
volumes and plan areas on bends too. On a straight line they are the plain ones.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.kernels.section_areas import berm_areas, cut_areas, plan_widths, storage_areas
from swalekit.kernels.section_nodes import CREST_INNER_EDGE, CREST_OUTER_EDGE, DOWNHILL_TOE
from swalekit.section.profile import at_stations, check_ditch_meets_ground, check_meets_ground
from swalekit.section.section import Section


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

    Raises
    ------
    InputError
        If the ditch's uphill side never meets the ground at a station.

    Notes
    -----
    On flat ground and a straight line (b + z d) d with z the mean side slope.

    Examples
    --------
    >>> round(float(cut_area_m2(Section(), 0.5, 0.0)), 3)
    0.675
    """
    (depth, gradient, curvature), shape = at_stations(depth_m, slope, curvature_per_m)
    check_ditch_meets_ground(section, gradient)
    return cut_areas(section.dimensions, depth, gradient, curvature).reshape(shape)


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

    Raises
    ------
    InputError
        If a side of ditch or berm never meets the ground at a station.

    Examples
    --------
    >>> round(float(berm_area_m2(Section(), 0.5, 0.5, 0.0)), 2)
    0.75
    """
    (crest, depth, gradient, curvature), shape = at_stations(crest_m, depth_m, slope, curvature_per_m)
    check_meets_ground(section, gradient)
    return berm_areas(section.dimensions, crest, depth, gradient, curvature).reshape(shape)


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

    Raises
    ------
    InputError
        If a side of ditch or berm never meets the ground at a station.

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
    rows, shape = at_stations(sill_m, depth_m, crest_m, slope, reach_m, curvature_per_m)
    check_meets_ground(section, rows[3])
    return storage_areas(section.dimensions, *rows).reshape(shape)


def catch_width_m(
    section: Section, depth_m: ArrayLike, crest_m: ArrayLike, slope: ArrayLike, *, curvature_per_m: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Distance from the ditch's uphill lip to the middle of the crest, the strip on which every drop is caught.

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
    3.65
    """
    rows = section, depth_m, crest_m, slope, curvature_per_m
    return (_plan_width_m(*rows, CREST_INNER_EDGE) + _plan_width_m(*rows, CREST_OUTER_EDGE)) / 2.0


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
    return _plan_width_m(section, depth_m, crest_m, slope, curvature_per_m, DOWNHILL_TOE)


def _plan_width_m(
    section: Section,
    depth_m: ArrayLike,
    crest_m: ArrayLike,
    slope: ArrayLike,
    curvature_per_m: ArrayLike,
    last_node: int,
) -> NDArray[np.float64]:
    """Width from the ditch's uphill lip to a node of the profile."""
    rows, shape = at_stations(depth_m, crest_m, slope, curvature_per_m)
    check_meets_ground(section, rows[2])
    return plan_widths(section.dimensions, last_node, *rows).reshape(shape)
