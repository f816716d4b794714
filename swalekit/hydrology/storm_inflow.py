"""Flow of a storm from the ground of every store."""

import numpy as np
from numpy.typing import NDArray

from swalekit.hydrology.hyetograph import Hyetograph
from swalekit.hydrology.soil import Soil
from swalekit.hydrology.stores import Stores
from swalekit.hydrology.unit_hydrograph import runoff_hydrograph, unit_hydrograph

_M3_PER_MM_M2 = 0.001
_SECONDS_PER_MINUTE = 60.0


def storm_inflow_m3s(
    stores: Stores, soil: Soil, storm: Hyetograph, concentration_h: NDArray[np.float64], *, step_min: float
) -> NDArray[np.float64]:
    """Mean flow to each store from its own ground, and of all the rain on its own ditch and pond, in equal steps.

    Parameters
    ----------
    stores : Stores
        The stores with their ground and strips, n of them.
    soil : Soil
        Losses, one for each column of ``stores.area_m2``.
    storm : Hyetograph
        The rain.
    concentration_h : ndarray of float64, shape (n,)
        Time of concentration of each store's ground [h]; none is taken shorter than a step.
    step_min : float
        Length of a step [min].

    Returns
    -------
    ndarray of float64, shape (n, t)
        Flow [m³/s]; its volume is that of `swalekit.hydrology.cascade.local_runoff_m3` for the same storm.

    Notes
    -----
    Excess rain of each soil class by its loss, through the NRCS unit hydrograph of the store's ground. On the strip of
    ditch and pond, what the ground keeps on the mean is added without delay, because there all rain counts.
    """
    rain_mm = storm.increments_mm(step_min)
    time_h = np.arange(rain_mm.size + 1) * step_min / 60.0
    cumulative_mm = np.append(0.0, np.cumsum(rain_mm))
    excess_mm = np.stack([np.diff(loss.excess_mm(time_h, cumulative_mm)) for loss in soil.losses])
    flows = []
    for area_m2, strip_m2, hours in zip(stores.area_m2, stores.strip_area_m2, concentration_h, strict=True):
        ground_m2 = float(area_m2.sum())
        mean_mm = area_m2 @ excess_mm / ground_m2 if ground_m2 > 0 else np.zeros_like(rain_mm)
        unit = unit_hydrograph(max(ground_m2, 1e-9), max(float(hours), step_min / 60.0), step_min)
        flow = runoff_hydrograph(mean_mm, unit) if ground_m2 > 0 else np.zeros_like(rain_mm)
        flow[: rain_mm.size] += strip_m2 * (rain_mm - mean_mm) * _M3_PER_MM_M2 / (_SECONDS_PER_MINUTE * step_min)
        flows.append(flow)
    longest = max((flow.size for flow in flows), default=rain_mm.size)
    return np.stack([np.pad(flow, (0, longest - flow.size)) for flow in flows]) if flows else np.zeros((0, longest))
