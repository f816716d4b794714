"""Level-pool routing of one store through time."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel

PARTS = 4
"""Parts of equal length in which each step is solved."""

_TOLERANCE_M = 1e-12
_MOST_STEPS = 60  # of Newton's rule; a handful is enough


class Outlets(NamedTuple):
    """Ways in which water leaves a store; heights above the lowest point of its bed [m].

    Parameters
    ----------
    intake : float
        Soaking rate through the water's plan area [m/s].
    sill, berm : float
        Heights of the sill and of the berm's crest, infinite for none [m].
    sill_factor, berm_factor : float
        Discharge coefficient times length of each [m^1.5/s].
    """

    intake: float
    sill: float
    sill_factor: float
    berm: float
    berm_factor: float


@part_of_kernel
def _over_weirs(outlets: Outlets, depth: float) -> tuple[float, float]:
    """Flow over sill and berm, and its rise with the depth."""
    flow = rise = 0.0
    for crest, factor in ((outlets.sill, outlets.sill_factor), (outlets.berm, outlets.berm_factor)):
        head = depth - crest
        if head > 0.0:
            root = factor * math.sqrt(head)
            flow += root * head
            rise += 1.5 * root
    return flow, rise


@part_of_kernel
def _settle(
    available: float,
    step: float,
    depth: NDArray[np.float64],
    volume: NDArray[np.float64],
    area: NDArray[np.float64],
    outlets: Outlets,
) -> tuple[float, float, float, float]:
    """Share water among storage, soaking and flow over the weirs during a step, all three at the depth sought.

    Between two rows of the table their sum rises with the depth and bends upward, so Newton's rule started from the
    upper row comes down on the one depth that fits, without overshooting.

    Returns the volume and depth at the step's end, and the water soaked away and spilled.
    """
    soaking = step * outlets.intake
    low, high = -1, depth.size  # rows whose demand can and can't be met
    while high - low > 1:
        middle = (low + high) // 2
        flow, _ = _over_weirs(outlets, depth[middle])
        if volume[middle] + soaking * area[middle] + step * flow <= available:
            low = middle
        else:
            high = middle
    if low < 0:
        return 0.0, 0.0, available, 0.0
    if high < depth.size:
        span = depth[high] - depth[low]
        widening = (area[high] - area[low]) / span
        filling = (volume[high] - volume[low]) / span
        water = depth[high]
    else:
        widening, filling = 0.0, area[low]
        water = depth[low] + (available - volume[low]) / filling
    soaked = spilled = 0.0
    for _ in range(_MOST_STEPS):
        above = water - depth[low]
        flow, rise = _over_weirs(outlets, water)
        soaked = soaking * (area[low] + widening * above)
        spilled = step * flow
        surplus = volume[low] + filling * above + soaked + spilled - available
        change = surplus / (filling + soaking * widening + step * rise)
        water -= change
        if abs(change) < _TOLERANCE_M:
            break
    spilled = min(spilled, available)
    soaked = min(soaked, available - spilled)
    return available - spilled - soaked, water, soaked, spilled


@kernel
def route_pool(
    inflow: NDArray[np.float64],
    step: NDArray[np.float64],
    depth: NDArray[np.float64],
    volume: NDArray[np.float64],
    area: NDArray[np.float64],
    outlets: Outlets,
    stored: float,
) -> NDArray[np.float64]:
    """Pass an inflow, even within each step, through a store.

    By the implicit Euler rule in a few parts a step.

    Parameters
    ----------
    inflow : ndarray of float64, shape (t,)
        Water that arrives in each step [m³].
    step : ndarray of float64, shape (t,)
        Length of each step [s].
    depth, volume, area : ndarray of float64, shape (k,)
        Depths above the lowest point [m], rising from 0, with volume [m³] and plan area [m²].
    outlets : Outlets
        Where water leaves; no weir lies below the lowest point.
    stored : float
        Water in it at the start [m³].

    Returns
    -------
    ndarray of float64, shape (4, t)
        Volume [m³] and depth [m] at the end of each step; water soaked away and spilled in it [m³].
    """
    rows = np.zeros((4, inflow.size), np.float64)
    for t in range(inflow.size):
        for _ in range(PARTS):
            available = stored + inflow[t] / PARTS
            stored, water, soaked, spilled = _settle(available, step[t] / PARTS, depth, volume, area, outlets)
            rows[0, t], rows[1, t] = stored, water
            rows[2, t] += soaked
            rows[3, t] += spilled
    return rows
