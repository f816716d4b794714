"""Volume and plan area of the pond along a whole line, level by level."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel
from swalekit.kernels.section_areas import storage_area
from swalekit.kernels.section_nodes import CREST_INNER_EDGE, DOWNHILL_LIP, Dimensions, profile_nodes


@part_of_kernel
def pond_width(
    section: Dimensions, water: float, depth: float, crest: float, slope: float, reach: float, curvature: float
) -> float:
    """Width in plan of the pond of `storage_area` at one station, weighted by its length along the bend.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    water : float
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
        Width [m].
    """
    if curvature > 0.0:
        reach = min(reach, 1.0 / curvature)
    x, y = profile_nodes(section, depth, crest, slope, reach)
    width = 0.0
    for k in range(CREST_INNER_EDGE if water > y[DOWNHILL_LIP] else DOWNHILL_LIP):
        first, last = water - y[k], water - y[k + 1]
        whole = abs(first) + abs(last)
        if whole > 0.0:
            wet = (x[k + 1] - x[k]) * ((max(first, 0.0) + max(last, 0.0)) / whole)
            start = x[k + 1] - wet if first < 0.0 else x[k]
            width += wet * max(1.0 + curvature * (start + wet / 2.0), 0.0)
    return width


@kernel
def pond_table(
    section: Dimensions,
    levels: NDArray[np.float64],
    film: float,
    crest: float,
    ground: NDArray[np.float64],
    depth: NDArray[np.float64],
    slope: NDArray[np.float64],
    reach: NDArray[np.float64],
    curvature: NDArray[np.float64],
    length: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Volume and plan area of the pond at k levels.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    levels : ndarray of float64, shape (k,)
        Levels of the water, none above the crest [m].
    film : float
        Height above a level at which its plan area is taken, so that a floor counts as soon as it is wet [m].
    crest : float
        Level of the crest [m].
    ground, depth, slope, reach, curvature, length : ndarray of float64, shape (n,)
        Ground height [m], dig depth [m], slope down across the line [m/m], reach of the pond [m], curvature [1/m] and
        length [m] of the stations.

    Returns
    -------
    volume, area : ndarray of float64, shape (k,)
        Volume [m³] and plan area [m²].
    """
    volume, area = np.zeros(levels.size, np.float64), np.zeros(levels.size, np.float64)
    for j in range(levels.size):
        for k in range(ground.size):
            water, height = levels[j] - ground[k], crest - ground[k]
            volume[j] += length[k] * storage_area(section, water, depth[k], height, slope[k], reach[k], curvature[k])
            area[j] += length[k] * pond_width(section, water + film, depth[k], height, slope[k], reach[k], curvature[k])
    return volume, area
