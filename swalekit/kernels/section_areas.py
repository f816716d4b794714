"""Areas and widths of the cross-section at one station, weighted by their length along the bend, and at many."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel
from swalekit.kernels.section_nodes import (
    CREST_INNER_EDGE,
    DOWNHILL_LIP,
    UPHILL_LIP,
    Dimensions,
    Four,
    berm_nodes,
    ditch_nodes,
    profile_nodes,
)


@part_of_kernel
def _trapezoid(start: float, width: float, first: float, last: float, curvature: float) -> float:
    """Area over a width from x = start between two heights, times 1 + curvature · x: Simpson's rule is exact for it."""
    at_first = max(1.0 + curvature * start, 0.0)
    middle = max(1.0 + curvature * (start + 0.5 * width), 0.0)
    at_last = max(1.0 + curvature * (start + width), 0.0)
    return width * (first * at_first + 2.0 * (first + last) * middle + last * at_last) / 6.0


@part_of_kernel
def _area_between_toes(x: Four, first: float, last: float, curvature: float) -> float:
    """Area between ground and a broken line that is away from it by two heights at its inner nodes."""
    return (
        _trapezoid(x[0], x[1] - x[0], 0.0, first, curvature)
        + _trapezoid(x[1], x[2] - x[1], first, last, curvature)
        + _trapezoid(x[2], x[3] - x[2], last, 0.0, curvature)
    )


@part_of_kernel
def cut_area(section: Dimensions, depth: float, slope: float, curvature: float) -> float:
    """Area between natural ground and ditch.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    depth : float
        Dig depth at the stake [m].
    slope : float
        Fall of the ground across the line, positive downhill [m/m].
    curvature : float
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    float
        Area [m²].
    """
    x, y = ditch_nodes(section, depth, slope)
    return _area_between_toes(x, -slope * x[1] - y[1], -slope * x[2] - y[2], curvature)


@part_of_kernel
def berm_area(section: Dimensions, crest: float, depth: float, slope: float, curvature: float) -> float:
    """Area of the berm above natural ground.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    crest : float
        Height of the crest above the ground at the stake [m].
    depth : float
        Dig depth at the stake [m].
    slope : float
        Fall of the ground across the line, positive downhill [m/m].
    curvature : float
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    float
        Area [m²].
    """
    x_ditch, _ = ditch_nodes(section, depth, slope)
    x, y = berm_nodes(section, crest, x_ditch[3], slope)
    return _area_between_toes(x, y[1] + slope * x[1], y[2] + slope * x[2], curvature)


@part_of_kernel
def storage_area(
    section: Dimensions, sill: float, depth: float, crest: float, slope: float, reach: float, curvature: float
) -> float:
    """Area of the pond at the sill's level, segment by segment from the end of its reach to the crest.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    sill : float
        Height of the water above the ground at the stake [m].
    depth : float
        Dig depth at the stake [m].
    crest : float
        Height of the crest above the ground at the stake [m].
    slope : float
        Fall of the ground across the line, positive downhill [m/m].
    reach : float
        How far uphill of the stake a pond may stand [m].
    curvature : float
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    float
        Area [m²].
    """
    if curvature > 0.0:
        reach = min(reach, 1.0 / curvature)
    x, y = profile_nodes(section, depth, crest, slope, reach)
    area = 0.0
    for k in range(CREST_INNER_EDGE if sill > y[DOWNHILL_LIP] else DOWNHILL_LIP):
        first, last = sill - y[k], sill - y[k + 1]
        whole = abs(first) + abs(last)
        if whole > 0.0:
            wet_first, wet_last = max(first, 0.0), max(last, 0.0)
            width = (x[k + 1] - x[k]) * ((wet_first + wet_last) / whole)
            start = x[k + 1] - width if first < 0.0 else x[k]
            area += _trapezoid(start, width, wet_first, wet_last, curvature)
    return area


@part_of_kernel
def plan_width(section: Dimensions, node: int, depth: float, crest: float, slope: float, curvature: float) -> float:
    """Width in plan from the ditch's uphill lip to a node of the profile.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    node : int
        Place of the node in `profile_nodes`.
    depth : float
        Dig depth at the stake [m].
    crest : float
        Height of the crest above the ground at the stake [m].
    slope : float
        Fall of the ground across the line, positive downhill [m/m].
    curvature : float
        Curvature of the line, positive round a knoll [1/m].

    Returns
    -------
    float
        Width [m].
    """
    x, _ = profile_nodes(section, depth, crest, slope, 0.0)
    return _trapezoid(x[UPHILL_LIP], x[node] - x[UPHILL_LIP], 1.0, 1.0, curvature)


@kernel
def cut_areas(
    section: Dimensions, depth: NDArray[np.float64], slope: NDArray[np.float64], curvature: NDArray[np.float64]
) -> NDArray[np.float64]:
    """`cut_area` at n stations.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    depth, slope, curvature : ndarray of float64, shape (n,)
        Dig depth [m], slope across [m/m] and curvature [1/m] of the stations.

    Returns
    -------
    ndarray of float64, shape (n,)
        Areas [m²].
    """
    areas = np.empty(depth.size, np.float64)
    for k in range(depth.size):
        areas[k] = cut_area(section, depth[k], slope[k], curvature[k])
    return areas


@kernel
def berm_areas(
    section: Dimensions,
    crest: NDArray[np.float64],
    depth: NDArray[np.float64],
    slope: NDArray[np.float64],
    curvature: NDArray[np.float64],
) -> NDArray[np.float64]:
    """`berm_area` at n stations.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    crest, depth, slope, curvature : ndarray of float64, shape (n,)
        Height of the crest above the ground [m], dig depth [m], slope across [m/m] and curvature [1/m] of the stations.

    Returns
    -------
    ndarray of float64, shape (n,)
        Areas [m²].
    """
    areas = np.empty(depth.size, np.float64)
    for k in range(depth.size):
        areas[k] = berm_area(section, crest[k], depth[k], slope[k], curvature[k])
    return areas


@kernel
def storage_areas(
    section: Dimensions,
    sill: NDArray[np.float64],
    depth: NDArray[np.float64],
    crest: NDArray[np.float64],
    slope: NDArray[np.float64],
    reach: NDArray[np.float64],
    curvature: NDArray[np.float64],
) -> NDArray[np.float64]:
    """`storage_area` at n stations.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    sill, depth, crest, slope, reach, curvature : ndarray of float64, shape (n,)
        Heights of water and crest above the ground [m], dig depth [m], slope across [m/m], reach [m] and curvature
        [1/m] of the stations.

    Returns
    -------
    ndarray of float64, shape (n,)
        Areas [m²].
    """
    areas = np.empty(depth.size, np.float64)
    for k in range(depth.size):
        areas[k] = storage_area(section, sill[k], depth[k], crest[k], slope[k], reach[k], curvature[k])
    return areas


@kernel
def plan_widths(
    section: Dimensions,
    node: int,
    depth: NDArray[np.float64],
    crest: NDArray[np.float64],
    slope: NDArray[np.float64],
    curvature: NDArray[np.float64],
) -> NDArray[np.float64]:
    """`plan_width` at n stations.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    node : int
        Place of the node in `profile_nodes`.
    depth, crest, slope, curvature : ndarray of float64, shape (n,)
        Dig depth [m], height of the crest above the ground [m], slope across [m/m] and curvature [1/m] of the stations.

    Returns
    -------
    ndarray of float64, shape (n,)
        Widths [m].
    """
    widths = np.empty(depth.size, np.float64)
    for k in range(depth.size):
        widths[k] = plan_width(section, node, depth[k], crest[k], slope[k], curvature[k])
    return widths
