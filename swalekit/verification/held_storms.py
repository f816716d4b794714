"""The storm that each store holds as built, beside what it holds as designed."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import held_storm_mm
from swalekit.hydrology.routing.stores import Stores


@dataclass(frozen=True, eq=False)
class HeldStorms:
    """Deepest storm that each store holds without spilling, with everything above it acting.

    Parameters
    ----------
    designed_mm, built_mm : ndarray of float64, shape (n,)
        With the capacities as designed and as built [mm].
    assumed : ndarray of bool, shape (n,)
        Where the figure as built rests on the capacity as designed of this store or one above.
    """

    designed_mm: NDArray[np.float64]
    built_mm: NDArray[np.float64]
    assumed: NDArray[np.bool_]


def held_storms(
    stores: Stores, designed_m3: NDArray[np.float64], built_m3: NDArray[np.float64], soil: Soil
) -> HeldStorms:
    """Held storms of all stores as designed and as built.

    Parameters
    ----------
    stores : Stores
        The graph with its ground.
    designed_m3, built_m3 : ndarray of float64, shape (n,)
        What each store holds as designed and as built; NaN where that isn't known, as of a swale not surveyed, and the
        capacity as designed is taken [m³].
    soil : Soil
        The loss method.

    Raises
    ------
    InputError
        If the capacities differ in number.

    Examples
    --------
    >>> from swalekit.hydrology.losses.curve_number import CurveNumberLoss
    >>> stores = Stores(np.array([[1000.0]]), np.zeros(1), np.array([-1], np.int32))
    >>> held = held_storms(stores, np.array([13.8]), np.array([10.0]), Soil((CurveNumberLoss(80.0),)))
    >>> held.designed_mm.round(1), held.built_mm.round(1)
    (array([50.]), array([43.4]))
    """
    check_same_shape(stores=stores.downstream, designed_m3=designed_m3, built_m3=built_m3)
    assumed = np.isnan(built_m3)
    capacity_m3 = np.where(assumed, designed_m3, built_m3)
    for store in stores.order.tolist():
        if stores.downstream[store] >= 0:
            assumed[stores.downstream[store]] |= assumed[store]
    return HeldStorms(held_storm_mm(stores, designed_m3, soil), held_storm_mm(stores, capacity_m3, soil), assumed)
