"""Infiltration behind a sharp wetting front, stepped exactly through rain and pond.

``suction_deficit`` is the suction at the front times the moisture deficit, ψΔθ; depths share one unit of length, and
``conductivity`` is that unit over the unit of time.
"""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel

_NEWTON_STEPS = 50  # a handful is usual
_TOLERANCE = 1e-14


@kernel
def ponded_gain(infiltrated: float, duration: float, conductivity: float, suction_deficit: float) -> float:
    """Depth that a ponded soil takes in besides what it has.

    Solves d − ψΔθ ln(1 + d / (ψΔθ + F)) = K t for the gain d. The left side is convex and rises, and the first guess,
    the lesser of K t + √(2 ψΔθ K t) and the present rate times t, lies above the root: Newton's steps only come down.

    Parameters
    ----------
    infiltrated : float
        Depth F taken in before.
    duration : float
        Time t under the pond.
    conductivity : float
        K of the wetted soil.
    suction_deficit : float
        ψΔθ.

    Returns
    -------
    float
        Depth d.
    """
    steady = conductivity * duration
    if steady == 0.0 or suction_deficit == 0.0:
        return steady
    front = suction_deficit + infiltrated
    gain = steady + math.sqrt(2.0 * suction_deficit * steady)
    if infiltrated > 0.0:
        gain = min(gain, steady * front / infiltrated)
    for _ in range(_NEWTON_STEPS):
        excess = gain - suction_deficit * math.log1p(gain / front) - steady
        step = excess * (front + gain) / (infiltrated + gain)
        gain -= step
        if step <= _TOLERANCE * gain:
            break
    return gain


@kernel
def rain_excess(
    duration: NDArray[np.float64], rain: NDArray[np.float64], conductivity: float, suction_deficit: float
) -> NDArray[np.float64]:
    """Excess of m storms after each of n steps of even rain, from ``rain`` of shape (m, n); shape (m, n).

    The ground takes in all rain until F = K ψΔθ / (i − K), wherever in a step that is, and from then on to the end of
    the step what it takes in under a pond of no depth. A step with less rain than that ends the pond.

    Parameters
    ----------
    duration : ndarray of float64, shape (n,)
        Length of each step.
    rain : ndarray of float64, shape (m, n)
        Rain of each storm in each step.
    conductivity, suction_deficit : float
        K and ψΔθ of the soil.

    Returns
    -------
    ndarray of float64, shape (m, n)
        Excess since the storm's beginning.
    """
    excess = np.empty(rain.shape, np.float64)
    for storm in range(rain.shape[0]):
        infiltrated = total = 0.0
        for k in range(duration.size):
            fallen = rain[storm, k]
            above = fallen / duration[k] - conductivity
            if above <= 0.0:
                infiltrated += fallen
            else:
                dry = min(max(conductivity * suction_deficit / above - infiltrated, 0.0), fallen)
                wet_time = duration[k] * (1.0 - dry / fallen)
                gain = min(ponded_gain(infiltrated + dry, wet_time, conductivity, suction_deficit), fallen - dry)
                infiltrated += dry + gain
                total += fallen - dry - gain
            excess[storm, k] = total
    return excess
