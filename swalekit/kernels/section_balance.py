"""The crest level at which the berm of a line holds a volume of soil."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel
from swalekit.kernels.section_areas import berm_area
from swalekit.kernels.section_nodes import Dimensions, ditch_nodes
from swalekit.kernels.section_returns import measure_return

_TOLERANCE_M = 1e-12


@part_of_kernel
def _berm_volume(
    section: Dimensions,
    crest: float,
    reach: float,
    closed: bool,
    depth: NDArray[np.float64],
    rise: NDArray[np.float64],
    slope: NDArray[np.float64],
    curvature: NDArray[np.float64],
    width: NDArray[np.float64],
) -> float:
    """Volume of the berm along a line and, unless it is closed, of the returns at both ends."""
    volume, last = 0.0, depth.size - 1
    for k in range(depth.size):
        volume += width[k] * berm_area(section, crest - rise[k], depth[k], slope[k], curvature[k])
    if not closed:
        volume += measure_return(section, depth[0], crest - rise[0], slope[0], reach)[2]
        volume += measure_return(section, depth[last], crest - rise[last], slope[last], reach)[2]
    return volume


@kernel
def balanced_crest(
    section: Dimensions,
    spoil: float,
    greatest_height: float,
    reach: float,
    closed: bool,
    depth: NDArray[np.float64],
    rise: NDArray[np.float64],
    slope: NDArray[np.float64],
    curvature: NDArray[np.float64],
    width: NDArray[np.float64],
) -> float:
    """Height of the crest above the line's level at which berm and returns are made of all the spoil.

    Found by Ridders' rule: a bracket is halved, and in it the root of the exponential curve through its ends and its
    middle is taken.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    spoil : float
        Volume of soil, compacted [m³].
    greatest_height : float
        Height above the highest station up to which the crest is sought [m].
    reach : float
        How far uphill of the end stations the returns may go [m].
    closed : bool
        Whether the line has no ends.
    depth, rise, slope, curvature, width : ndarray of float64, shape (n,)
        Dig depth [m], ground above the line's level [m], slope down across the line [m/m], curvature [1/m] and length
        [m] of the stations.

    Returns
    -------
    float
        Height [m]; NaN if even the greatest height leaves spoil over.
    """
    low, high = np.inf, -np.inf
    for k in range(depth.size):
        x, _ = ditch_nodes(section, depth[k], slope[k])
        outer_edge = x[3] + section.bench_m + section.crest_width_m
        low = min(low, rise[k] - slope[k] * outer_edge)
        high = max(high, rise[k] + greatest_height)
    at_low = -spoil  # the crest stands above the ground nowhere
    at_high = _berm_volume(section, high, reach, closed, depth, rise, slope, curvature, width) - spoil
    if at_high < 0.0:
        return np.nan
    crest, change = low, np.inf
    while change > _TOLERANCE_M and high - low > _TOLERANCE_M:
        middle = (low + high) / 2.0
        at_middle = _berm_volume(section, middle, reach, closed, depth, rise, slope, curvature, width) - spoil
        bend = math.sqrt(at_middle**2 - at_low * at_high)
        trial = middle - (middle - low) * at_middle / bend if bend > 0.0 else middle
        at_trial = _berm_volume(section, trial, reach, closed, depth, rise, slope, curvature, width) - spoil
        for place, lacking in ((middle, at_middle), (trial, at_trial)):
            if lacking < 0.0 and place > low:
                low, at_low = place, lacking
            elif lacking >= 0.0 and place < high:
                high, at_high = place, lacking
        change, crest = abs(trial - crest), trial
    return crest
