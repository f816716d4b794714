"""Whether single stores spill, each in a storm of its own."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def last_ones_spill(
    feeders: NDArray[np.int32],
    below: NDArray[np.int32],
    bounds: NDArray[np.int64],
    rain_mm: NDArray[np.float64],
    runoff_mm: NDArray[np.float64],
    area_m2: NDArray[np.float64],
    strip_m2: NDArray[np.float64],
    capacity_m3: NDArray[np.float64],
) -> NDArray[np.bool_]:
    """Whether each store runs over when all that feed it act.

    Parameters
    ----------
    feeders, below : ndarray of int32
        For each store those that feed it, upstream first, and itself last; and where in that list each one's surplus
        goes.
    bounds : ndarray of int64, shape (n + 1,)
        Where each store's list begins and ends.
    rain_mm : ndarray of float64, shape (n,)
        The storm of each store [mm].
    runoff_mm : ndarray of float64, shape (n, classes)
        Runoff of that storm by soil class [mm].
    area_m2, strip_m2, capacity_m3 : ndarray of float64, shape (n, classes), (n,), (n,)
        Ground of each store, the part of it that is its own strip, and what it holds.

    Returns
    -------
    ndarray of bool, shape (n,)
        Whether more comes to a store than it holds.
    """
    spills = np.zeros(rain_mm.size, np.bool_)
    for store in range(rain_mm.size):
        first, size = bounds[store], bounds[store + 1] - bounds[store]
        received = np.zeros(size, np.float64)
        for k in range(size):
            feeder = feeders[first + k]
            ground_m2, volume = 0.0, 0.0
            for soil in range(area_m2.shape[1]):
                ground_m2 += area_m2[feeder, soil]
                volume += area_m2[feeder, soil] * runoff_mm[store, soil]
            mean_mm = volume / ground_m2 if ground_m2 > 0.0 else 0.0
            received[k] += (volume + strip_m2[feeder] * (rain_mm[store] - mean_mm)) / 1000.0
            surplus = received[k] - capacity_m3[feeder]
            if k == size - 1:
                spills[store] = surplus > 0.0
            elif surplus > 0.0:
                received[below[first + k]] += surplus
    return spills
