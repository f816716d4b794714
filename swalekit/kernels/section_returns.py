"""Length and volume of a berm's return at one end station of a line, and at many."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel
from swalekit.kernels.section_nodes import (
    CREST_INNER_EDGE,
    CREST_OUTER_EDGE,
    DOWNHILL_LIP,
    DOWNHILL_TOE,
    UPHILL_TOE,
    Dimensions,
    Nine,
    profile_nodes,
)


@part_of_kernel
def return_length(height: float, slope: float, reach: float) -> float:
    """How far a level crest runs straight uphill until the ground meets it, at most its reach.

    Parameters
    ----------
    height : float
        Height of the crest above the ground where it begins [m].
    slope : float
        Rise of the ground along it [m/m].
    reach : float
        Greatest length [m].

    Returns
    -------
    float
        Length [m].
    """
    return height / slope if height < slope * reach else reach


@part_of_kernel
def _plan_area(section: Dimensions, x: Nine, at: float, drop: float, inside: bool) -> float:
    """Plan area of the L at a drop below its crest, where the ground reaches that height at x = ``at``.

    Downhill of the berm's uphill toe there is no inner edge: nothing inside it is taken off.
    """
    lip, inner, outer = x[DOWNHILL_LIP], x[CREST_INNER_EDGE], x[CREST_OUTER_EDGE]
    spread, shrink = section.berm_downhill_side_slope * drop, section.berm_uphill_side_slope * drop
    area = (outer - lip + spread) * (outer + spread - at)
    if inside:
        area -= (inner - lip - shrink) * (inner - shrink - at)
    return area


@part_of_kernel
def _volume(section: Dimensions, x: Nine, crest: float, slope: float, upper_end: float) -> float:
    """Volume of the L from its plan areas in three slices: to its upper end, its uphill and its downhill toe."""
    volume = drop = 0.0
    at = upper_end
    for toe, inside in ((upper_end, True), (x[UPHILL_TOE], True), (x[DOWNHILL_TOE], False)):
        toe_drop = max(crest + slope * toe, 0.0)
        areas = (
            _plan_area(section, x, at, drop, inside)
            + 4.0 * _plan_area(section, x, (at + toe) / 2.0, (drop + toe_drop) / 2.0, inside)
            + _plan_area(section, x, toe, toe_drop, inside)
        )
        volume += (toe_drop - drop) * areas / 6.0
        at, drop = toe, toe_drop
    return volume


@part_of_kernel
def measure_return(
    section: Dimensions, depth: float, crest: float, slope: float, reach: float
) -> tuple[float, float, float]:
    """Length of a return, x of its upper end, and volume beyond the end station.

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
    length, upper_end, volume : float
        Length [m], x of the upper end [m], volume [m³].
    """
    x, _ = profile_nodes(section, depth, crest, slope, reach)
    middle = (x[CREST_INNER_EDGE] + x[CREST_OUTER_EDGE]) / 2.0
    length = return_length(max(crest + slope * middle, 0.0), slope, middle - x[0])
    upper_end = middle - length
    return length, upper_end, _volume(section, x, crest, slope, upper_end)


@kernel
def measure_returns(
    section: Dimensions,
    depth: NDArray[np.float64],
    crest: NDArray[np.float64],
    slope: NDArray[np.float64],
    reach: NDArray[np.float64],
) -> NDArray[np.float64]:
    """`measure_return` at n end stations, shape (3, n).

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    depth, crest, slope, reach : ndarray of float64, shape (n,)
        Dig depth [m], height of the crest above the ground [m], slope across [m/m] and reach [m] of the end stations.

    Returns
    -------
    ndarray of float64, shape (3, n)
        Length [m], x of the upper end [m], volume [m³].
    """
    rows = np.empty((3, depth.size), np.float64)
    for k in range(depth.size):
        rows[0, k], rows[1, k], rows[2, k] = measure_return(section, depth[k], crest[k], slope[k], reach[k])
    return rows
