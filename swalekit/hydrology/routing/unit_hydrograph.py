"""From runoff depths to flow: the NRCS dimensionless unit hydrograph."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.tables.load import read_table

_SECONDS_PER_MINUTE, _SECONDS_PER_HOUR, _M_PER_MM = 60.0, 3600.0, 0.001

_M3_PER_MM_M2 = 0.001
_SECONDS_PER_MINUTE = 60.0
_DECIMALS_H = 9  # times nearer than this are one


def time_to_peak_h(concentration_h: float, burst_h: float) -> float:
    """Time from the start of a burst of runoff to the peak of its hydrograph.

    Parameters
    ----------
    concentration_h : float
        Time of concentration [h].
    burst_h : float
        Length of the burst [h].

    Returns
    -------
    float
        Time [h].

    Raises
    ------
    InputError
        If a time isn't positive.

    Notes
    -----
    Tp = D / 2 + 0.6 Tc.

    References
    ----------
    .. [1] USDA NRCS. NEH Part 630, ch. 16.

    Examples
    --------
    >>> round(time_to_peak_h(1.25, 10.0 / 60.0), 3)
    0.833
    """
    check_positive(concentration_h=concentration_h, burst_h=burst_h)
    return burst_h / 2.0 + 0.6 * concentration_h


def unit_flow_m3s(area_m2: float, time_to_peak_h: float, time_h: ArrayLike) -> NDArray[np.float64]:
    """Flow from a millimetre of runoff at given times.

    Parameters
    ----------
    area_m2 : float
        Catchment [m²].
    time_to_peak_h : float
        Time from the start of the burst to the peak [h], see `time_to_peak_h`.
    time_h : array_like
        Times since the start of the burst [h].

    Returns
    -------
    ndarray of float64
        Flow per millimetre, in the shape of the times [m³/s].

    Raises
    ------
    InputError
        If the area is negative or the time to peak isn't positive.

    Notes
    -----
    Ordinates q/qp over t/Tp, straight between the printed ones; qp = 0.208 A / Tp (m³/s, km², h), where 0.208 is what
    the volume under them demands.

    References
    ----------
    .. [1] USDA NRCS. NEH Part 630, ch. 16.
    .. [2] FHWA (2002). Highway Hydrology, HDS-2, Table 6.11.

    Examples
    --------
    >>> unit_flow_m3s(1.2e6, 0.894, [0.894, 1.788]).round(4)
    array([0.2791, 0.0781])
    """
    check_not_negative(area_m2=area_m2)
    check_positive(time_to_peak_h=time_to_peak_h)
    time_ratio, flow_ratio = _ordinates()
    peak = area_m2 * _M_PER_MM / (time_to_peak_h * _SECONDS_PER_HOUR * _volume_by(time_ratio, flow_ratio)[-1])
    return np.asarray(peak * np.interp(np.asarray(time_h) / time_to_peak_h, time_ratio, flow_ratio))


def unit_hydrograph(area_m2: float, concentration_h: float, step_min: float) -> NDArray[np.float64]:
    """Flow from a millimetre of runoff that is made in the first of equal steps.

    Parameters
    ----------
    area_m2 : float
        Catchment [m²].
    concentration_h : float
        Time of concentration [h].
    step_min : float
        Length of a step [min].

    Returns
    -------
    ndarray of float64, shape (m,)
        Mean flow of each step per millimetre [m³/s]; together they carry exactly one millimetre from the catchment.

    Raises
    ------
    InputError
        If the area is negative or a time isn't positive.

    Notes
    -----
    The step is the burst D of Tp = D / 2 + 0.6 Tc. The curve of `unit_flow_m3s` is integrated over each step, not
    sampled, so the volume is right also where the peak comes within a step or two; the method itself asks for steps
    no longer than about a fifth of the time to peak.

    References
    ----------
    .. [1] USDA NRCS. NEH Part 630, ch. 16.

    Examples
    --------
    >>> flow = unit_hydrograph(5000.0, 0.05, 1.0)
    >>> round(float(flow.sum()) * 60.0, 9)
    5.0
    """
    check_positive(step_min=step_min)
    step_h = step_min * _SECONDS_PER_MINUTE / _SECONDS_PER_HOUR
    to_peak_h = time_to_peak_h(concentration_h, step_h)
    knots_h = _ordinates()[0] * to_peak_h
    edges_h = np.arange(np.ceil(knots_h[-1] / step_h) + 1) * step_h
    times_h = np.union1d(knots_h, edges_h)
    flow = unit_flow_m3s(area_m2, to_peak_h, times_h)
    volume = _volume_by(times_h, flow)
    share = np.diff(np.interp(edges_h, times_h, volume / max(volume[-1], np.finfo(float).tiny)))
    return np.asarray(share * (area_m2 * _M_PER_MM / (step_min * _SECONDS_PER_MINUTE)))


def runoff_hydrograph(excess_mm: ArrayLike, unit_flow: NDArray[np.float64]) -> NDArray[np.float64]:
    """Flow from the runoff of a whole storm.

    Parameters
    ----------
    excess_mm : array_like, shape (n,)
        Runoff made in each step [mm].
    unit_flow : ndarray of float64, shape (m,)
        Flow per millimetre in the same steps [m³/s], from `unit_hydrograph`.

    Returns
    -------
    ndarray of float64, shape (n + m − 1,)
        Mean flow of each step [m³/s].

    Notes
    -----
    Each step's runoff makes a hydrograph of its own, and they add up.

    References
    ----------
    .. [1] FHWA (2002). Highway Hydrology, HDS-2, chapter 6.

    Examples
    --------
    >>> runoff_hydrograph([2.0, 1.0], np.array([0.3, 0.1]))
    array([0.6, 0.5, 0.1])
    """
    return np.convolve(np.asarray(excess_mm, np.float64), unit_flow)


def _volume_by(time: NDArray[np.float64], flow: NDArray[np.float64]) -> NDArray[np.float64]:
    """What has flowed until each time, the flow being straight between them."""
    return np.append(0.0, np.cumsum(np.diff(time) * (flow[1:] + flow[:-1]) / 2.0))


def _ordinates() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Time ratios and flow ratios of the dimensionless hydrograph."""
    rows = read_table("unit_hydrograph")
    return np.array([float(row["time_ratio"]) for row in rows]), np.array([float(row["flow_ratio"]) for row in rows])


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

    Examples
    --------
    Ground of 1000 m² that keeps half of 12 mm gives 6 m³, its strip of 50 m² the other half of the rain on it:

    >>> from swalekit.hydrology.losses.coefficient import RunoffCoefficient
    >>> storm = Hyetograph(np.array([0.0, 1.0]), np.array([0.0, 12.0]))
    >>> stores = Stores(np.array([[1000.0]]), np.array([50.0]), np.array([-1], np.int32))
    >>> flow = storm_inflow_m3s(stores, Soil((RunoffCoefficient(0.5),)), storm, np.array([0.1]), step_min=5.0)
    >>> round(float(flow.sum()) * 300.0, 6)
    6.3
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
