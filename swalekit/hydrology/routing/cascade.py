"""Runoff passed from store to store: each holds what it can and hands on the surplus."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.stores import Stores
from swalekit.kernels.held_storm import last_ones_spill

GREATEST_STORM_MM = 1000.0
"""Held storms are sought up to this depth; a store that still holds it is said to hold this much."""

_M_PER_MM = 0.001
_HALVINGS = 17  # 1000 mm / 2^17 = 0.008 mm


@one_line("received_m3", "held_m3", "spilled_m3", "left_m3")
@dataclass(frozen=True, eq=False)
class Cascade(Frozen):
    """What became of the water, store by store.

    Parameters
    ----------
    received_m3, held_m3, spilled_m3 : ndarray of float64, shape (..., n)
        Local runoff and surplus from above; the part kept; the part passed on [m³].
    left_m3 : ndarray of float64, shape (...)
        Surplus that left the site [m³].
    """

    received_m3: NDArray[np.float64]
    held_m3: NDArray[np.float64]
    spilled_m3: NDArray[np.float64]
    left_m3: NDArray[np.float64]


def ground_runoff(
    stores: Stores, storm_depth_mm: ArrayLike, soil: Soil
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Runoff from the ground of each store as if it had no strip, and what a strip adds.

    Parameters
    ----------
    stores : Stores
        The stores with their ground.
    storm_depth_mm : array_like, shape (...)
        One storm, or several [mm].
    soil : Soil
        The loss method; one class for each column of ``stores.area_m2``.

    Returns
    -------
    runoff_m3 : ndarray of float64, shape (..., n)
        Runoff of every soil class times its area [m³].
    kept_m : ndarray of float64, shape (..., n)
        Rain less the mean runoff of the store's ground [m].

    Examples
    --------
    >>> from swalekit.hydrology.losses.coefficient import RunoffCoefficient
    >>> stores = Stores(np.array([[1000.0]]), np.array([50.0]), np.array([-1], np.int32))
    >>> ground_runoff(stores, 50.0, Soil((RunoffCoefficient(0.3),)))
    (array([15.]), array([0.035]))
    """
    rain_mm = np.asarray(storm_depth_mm, np.float64)
    runoff_mm_m2 = soil.runoff_mm(rain_mm) @ stores.area_m2.T
    ground_m2 = stores.area_m2.sum(axis=1)
    mean_mm = np.divide(runoff_mm_m2, ground_m2, out=np.zeros_like(runoff_mm_m2), where=ground_m2 > 0)
    return runoff_mm_m2 * _M_PER_MM, (rain_mm[..., np.newaxis] - mean_mm) * _M_PER_MM


def local_runoff_m3(stores: Stores, storm_depth_mm: ArrayLike, soil: Soil) -> NDArray[np.float64]:
    """Water that each store gets from its own ground, before any surplus from above.

    Parameters
    ----------
    stores : Stores
        The stores with their ground.
    storm_depth_mm : array_like, shape (...)
        One storm, or several [mm].
    soil : Soil
        The loss method; one class for each column of ``stores.area_m2``.

    Returns
    -------
    ndarray of float64, shape (..., n)
        Volume [m³].

    Notes
    -----
    Runoff of every soil class times its area; on the strip of ditch and pond, what the soil would have kept (at the
    mean of the store's ground) is added, because there all rain counts.

    Examples
    --------
    >>> from swalekit.hydrology.losses.curve_number import CurveNumberLoss
    >>> stores = Stores(np.array([[1000.0]]), np.array([50.0]), np.array([-1], np.int32))
    >>> local_runoff_m3(stores, 50.0, Soil((CurveNumberLoss(80.0),))).round(2)
    array([15.61])
    """
    runoff_m3, kept_m = ground_runoff(stores, storm_depth_mm, soil)
    return runoff_m3 + stores.strip_area_m2 * kept_m


def pass_down(stores: Stores, inflow_m3: NDArray[np.float64], capacity_m3: NDArray[np.float64]) -> Cascade:
    """Hand the surplus of every store to the one below it.

    Parameters
    ----------
    stores : Stores
        The graph.
    inflow_m3 : ndarray of float64, shape (..., n)
        Water from each store's own ground [m³], for one storm or several.
    capacity_m3 : ndarray of float64, shape (n,)
        What each store holds [m³].

    Returns
    -------
    Cascade
        Water received, held, spilled and lost from the site. No drop is made or lost: what comes in is held or leaves.

    Examples
    --------
    >>> stores = Stores(np.ones((2, 1)), np.zeros(2), np.array([1, -1], np.int32))
    >>> pass_down(stores, np.array([10.0, 5.0]), np.array([8.0, 20.0])).held_m3
    array([8., 7.])
    """
    received = np.array(inflow_m3, np.float64)
    for store in stores.order:
        if stores.downstream[store] >= 0:
            surplus = np.maximum(received[..., store] - capacity_m3[store], 0.0)
            received[..., stores.downstream[store]] += surplus
    held = np.minimum(received, capacity_m3)
    spilled = received - held
    return Cascade(received, held, spilled, spilled[..., stores.downstream < 0].sum(axis=-1))


def caught_by(stores: Stores, cascade: Cascade, n_catching: int) -> NDArray[np.int32]:
    """Which of the first stores catches each store's water, through stores that fill and spill on the way.

    Parameters
    ----------
    stores : Stores
        The graph.
    cascade : Cascade
        What one storm does in it.
    n_catching : int
        The first stores, which catch.

    Returns
    -------
    ndarray of int32, shape (n,)
        1 … ``n_catching``; 0 where the water stays in another store or leaves the site.

    Examples
    --------
    A ditch below two hollows, of which one spills:

    >>> stores = Stores(np.ones((3, 1)), np.zeros(3), np.array([-1, 0, 0], np.int32))
    >>> caught_by(stores, pass_down(stores, np.array([1.0, 5.0, 5.0]), np.array([9.0, 4.0, 6.0])), 1)
    array([1, 1, 0], dtype=int32)
    """
    catching = np.zeros(stores.downstream.size, np.int32)
    for store in stores.order[::-1].tolist():
        if store < n_catching:
            catching[store] = store + 1
        elif cascade.spilled_m3[store] > 0 and stores.downstream[store] >= 0:
            catching[store] = catching[stores.downstream[store]]
    return catching


def passed_to(stores: Stores, cascade: Cascade, n_catching: int) -> tuple[NDArray[np.int32], NDArray[np.float64]]:
    """Which of the first stores each store's water would meet first, and the share of it that gets there.

    Parameters
    ----------
    stores : Stores
        The graph.
    cascade : Cascade
        What one storm does in it.
    n_catching : int
        The first stores, which catch.

    Returns
    -------
    below : ndarray of int32, shape (n,)
        1 … ``n_catching``, itself for one that catches; 0 where the way leaves the site without meeting one.
    share : ndarray of float64, shape (n,)
        Product of what the stores on the way pass on of all that reaches them [-]; 1 for one that catches.

    Examples
    --------
    A ditch below two hollows, of which one spills a fifth of what it gets:

    >>> stores = Stores(np.ones((3, 1)), np.zeros(3), np.array([-1, 0, 0], np.int32))
    >>> passed_to(stores, pass_down(stores, np.array([1.0, 5.0, 5.0]), np.array([9.0, 4.0, 6.0])), 1)
    (array([1, 1, 1], dtype=int32), array([1. , 0.2, 0. ]))
    """
    below, share = np.zeros(stores.downstream.size, np.int32), np.ones(stores.downstream.size)
    passed = np.divide(cascade.spilled_m3, cascade.received_m3, out=np.zeros_like(share), where=cascade.received_m3 > 0)
    for store in stores.order[::-1].tolist():
        onward = stores.downstream[store]
        if store < n_catching:
            below[store] = store + 1
        elif onward >= 0:
            below[store], share[store] = below[onward], passed[store] * share[onward]
    return below, share


def held_storm_mm(stores: Stores, capacity_m3: NDArray[np.float64], soil: Soil) -> NDArray[np.float64]:
    """Deepest storm that each store holds without spilling, with everything above it acting.

    Parameters
    ----------
    stores : Stores
        The graph with its ground.
    capacity_m3 : ndarray of float64, shape (n,)
        What each store holds [m³].
    soil : Soil
        The loss method.

    Returns
    -------
    ndarray of float64, shape (n,)
        Storm depth [mm], found by halving to 0.01 mm and never overstated; 1000 means that or more.

    Examples
    --------
    >>> from swalekit.hydrology.losses.curve_number import CurveNumberLoss
    >>> stores = Stores(np.array([[1000.0]]), np.zeros(1), np.array([-1], np.int32))
    >>> held_storm_mm(stores, np.array([13.8]), Soil((CurveNumberLoss(80.0),))).round(1)
    array([50.])
    """
    feeders, below, bounds = stores.feeders()

    def spills(depth_mm: NDArray[np.float64]) -> NDArray[np.bool_]:
        runoff_mm = np.ascontiguousarray(soil.runoff_mm(depth_mm))
        return last_ones_spill(
            feeders, below, bounds, depth_mm, runoff_mm, stores.area_m2, stores.strip_area_m2, capacity_m3
        )

    spilt = np.full(stores.downstream.size, GREATEST_STORM_MM)
    held = np.where(spills(spilt), 0.0, spilt)
    for _ in range(_HALVINGS):
        middle = (held + spilt) / 2.0
        over = spills(middle)
        held, spilt = np.where(over, held, middle), np.where(over, middle, spilt)
    return held
