"""The finished surface across a swale at one station, as the nodes of a broken line, and the same at many stations.

x is positive downhill, with its origin at the stake; y is height above natural ground at the stake; natural ground
is y = −slope · x; all in metres. The slope is zero or more, and no side is too flat to meet the ground.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel

Four = tuple[float, float, float, float]
Nine = tuple[float, float, float, float, float, float, float, float, float]
Rows = tuple[NDArray[np.float64], NDArray[np.float64]]

UPHILL_LIP, DOWNHILL_LIP, UPHILL_TOE, CREST_INNER_EDGE, CREST_OUTER_EDGE, DOWNHILL_TOE = 1, 4, 5, 6, 7, 8
"""Places of nodes in `profile_nodes`."""

_TINY = 1e-12  # stands in for a slope of zero where one divides


class Dimensions(NamedTuple):
    """Numbers of a cross-section [m], side slopes horizontal : vertical."""

    bottom_width_m: float
    uphill_side_slope: float
    downhill_side_slope: float
    bench_m: float
    berm_uphill_side_slope: float
    berm_downhill_side_slope: float
    crest_width_m: float


@part_of_kernel
def ditch_nodes(section: Dimensions, depth: float, slope: float) -> tuple[Four, Four]:
    """Uphill lip, both ends of the floor, and downhill lip of a ditch dug to a depth: their x and y.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    depth : float
        Dig depth at the stake [m].
    slope : float
        Fall of the ground across the line, positive downhill [m/m].

    Returns
    -------
    x, y : tuple of 4 float
        Places and heights of the nodes [m].
    """
    half = section.bottom_width_m / 2.0
    uphill, downhill = section.uphill_side_slope, section.downhill_side_slope
    uphill_lip = -(half + uphill * depth) / (1.0 - uphill * slope)
    run_out = depth / max(slope, _TINY)
    downhill_lip = min((half + downhill * depth) / (1.0 + downhill * slope), run_out)
    x = (uphill_lip, -half, min(half, downhill_lip), downhill_lip)
    return x, (-slope * uphill_lip, -depth, -depth, -slope * downhill_lip)


@part_of_kernel
def berm_nodes(section: Dimensions, crest: float, downhill_lip: float, slope: float) -> tuple[Four, Four]:
    """Uphill toe, both edges of the crest, and downhill toe of a berm: their x and y.

    ``crest`` is the height of the crest, ``downhill_lip`` the distance of the ditch's lip from the stake.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    crest : float
        Height of the crest above the ground at the stake [m].
    downhill_lip : float
        x of the ditch's downhill lip [m].
    slope : float
        Fall of the ground across the line, positive downhill [m/m].

    Returns
    -------
    x, y : tuple of 4 float
        Places and heights of the nodes [m].
    """
    toe = downhill_lip + section.bench_m
    face_width = section.berm_uphill_side_slope * max(crest + slope * toe, 0.0)
    outer_edge = toe + face_width + section.crest_width_m
    outer_height = max(crest + slope * outer_edge, 0.0)
    inner_edge = outer_edge - min(section.crest_width_m, outer_height / max(slope, _TINY))
    uphill_toe = inner_edge - face_width
    downhill = section.berm_downhill_side_slope
    downhill_toe = outer_edge + downhill * outer_height / (1.0 - downhill * slope)
    level = outer_height - slope * outer_edge
    x = (uphill_toe, inner_edge, outer_edge, downhill_toe)
    return x, (-slope * uphill_toe, level, level, -slope * downhill_toe)


@part_of_kernel
def profile_nodes(section: Dimensions, depth: float, crest: float, slope: float, reach: float) -> tuple[Nine, Nine]:
    """End of the pond's reach, four nodes of the ditch, four nodes of the berm: their x and y.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    depth : float
        Dig depth at the stake [m].
    crest : float
        Height of the crest above the ground at the stake [m].
    slope : float
        Fall of the ground across the line, positive downhill [m/m].
    reach : float
        How far uphill of the stake a pond may stand [m].

    Returns
    -------
    x, y : tuple of 9 float
        Places and heights of the nodes [m].
    """
    x_ditch, y_ditch = ditch_nodes(section, depth, slope)
    x_berm, y_berm = berm_nodes(section, crest, x_ditch[3], slope)
    x_end = min(-reach, x_ditch[0])
    return (x_end, *x_ditch, *x_berm), (-slope * x_end, *y_ditch, *y_berm)


@kernel
def profile_rows(
    section: Dimensions,
    depth: NDArray[np.float64],
    crest: NDArray[np.float64],
    slope: NDArray[np.float64],
    reach: NDArray[np.float64],
) -> Rows:
    """`profile_nodes` at n stations, shape (9, n).

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    depth, crest, slope, reach : ndarray of float64, shape (n,)
        Dig depth [m], height of the crest above the ground [m], slope across [m/m] and reach [m] of the stations.

    Returns
    -------
    x, y : ndarray of float64, shape (9, n)
        Places and heights of the nodes [m].
    """
    x, y = np.empty((9, depth.size), np.float64), np.empty((9, depth.size), np.float64)
    for k in range(depth.size):
        x_nodes, y_nodes = profile_nodes(section, depth[k], crest[k], slope[k], reach[k])
        for node in range(9):
            x[node, k], y[node, k] = x_nodes[node], y_nodes[node]
    return x, y
