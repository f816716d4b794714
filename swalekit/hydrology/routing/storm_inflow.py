"""Flow of a storm from the ground of every store."""

import numpy as np
from numpy.typing import NDArray

from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.routing.unit_hydrograph import runoff_hydrograph, unit_hydrograph
from swalekit.hydrology.storm.hyetograph import Hyetograph

_M3_PER_MM_M2 = 0.001
_SECONDS_PER_MINUTE = 60.0
_DECIMALS_H = 9  # times nearer than this are one


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
        Flow [m³/s]; its volume is that of `swalekit.hydrology.routing.cascade.local_runoff_m3` for the same storm.

    Notes
    -----
    Excess rain of each soil class by its loss, through the NRCS unit hydrograph of the store's ground. Losses see the
    storm's own times as well as the ends of the steps, so that a burst shorter than a step makes its full runoff. What
    the ground keeps on the mean is added without delay on the strip of ditch and pond, because there all rain counts.
    """
    rain_mm = storm.increments_mm(step_min)
    excess_mm = _excess_mm(soil, storm, ends_h=np.arange(rain_mm.size + 1, dtype=np.float64) * (step_min / 60.0))
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


def _excess_mm(soil: Soil, storm: Hyetograph, *, ends_h: NDArray[np.float64]) -> NDArray[np.float64]:
    """Excess rain of each class in each step between the ends [mm]."""
    ends_h = ends_h.round(_DECIMALS_H)
    times_h = np.union1d(ends_h, storm.time_h.round(_DECIMALS_H))
    fallen_mm = np.interp(times_h, storm.time_h, storm.cumulative_mm)
    at_ends = np.searchsorted(times_h, ends_h)
    return np.stack([np.diff(loss.excess_mm(times_h, fallen_mm)[at_ends]) for loss in soil.losses])
