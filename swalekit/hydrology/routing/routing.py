"""A storm passed through all stores of a site, from the top down, in time."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit.errors import InputError
from swalekit.frozen import Frozen, locked_property
from swalekit.hydrology.routing.pond import Passage, Pond, route_pond
from swalekit.hydrology.routing.stores import Stores

LONGEST_H = 240.0
"""Time from the start of the storm for which stores are watched; ten days tell a pond from a swale."""

_GROWTH, _LONGEST_STEP_S = 1.02, 1800.0  # steps after the inflow
_SECONDS_PER_MINUTE, _SECONDS_PER_HOUR = 60.0, 3600.0


@dataclass(frozen=True, eq=False)
class Routed(Frozen):
    """What a storm does to every store, in t steps; arrays run over n stores.

    Parameters
    ----------
    stores : Stores
        The graph.
    ponds : tuple of Pond
        The stores.
    edge_s : ndarray of float64, shape (t + 1,)
        Ends of the steps, from the start of the storm [s].
    own_m3 : ndarray of float64, shape (n, t)
        Water from each store's own ground [m³].
    inflow_m3 : ndarray of float64, shape (n, t)
        The same with what arrives from above [m³].
    stored_m3, level_m : ndarray of float64, shape (n, t)
        Water held [m³] and its level [m] at the end of each step.
    soaked_m3, spilled_m3 : ndarray of float64, shape (n, t)
        Water that soaks away and that leaves over sill and berm in each step [m³].
    """

    stores: Stores
    ponds: tuple[Pond, ...]
    edge_s: NDArray[np.float64]
    own_m3: NDArray[np.float64]
    inflow_m3: NDArray[np.float64]
    stored_m3: NDArray[np.float64]
    level_m: NDArray[np.float64]
    soaked_m3: NDArray[np.float64]
    spilled_m3: NDArray[np.float64]

    @property
    def time_h(self) -> NDArray[np.float64]:
        """End of each step, shape (t,) [h]."""
        return self.edge_s[1:] / _SECONDS_PER_HOUR

    @property
    def peak_level_m(self) -> NDArray[np.float64]:
        """Highest level of each store, shape (n,) [m]."""
        return np.asarray(self.level_m.max(axis=1))

    @locked_property
    def freeboard_m(self) -> NDArray[np.float64]:
        """Crest above the highest level, negative for water over the berm, infinite without one, shape (n,) [m]."""
        return np.array([pond.crest_level_m for pond in self.ponds]) - self.peak_level_m

    @property
    def overtopped(self) -> NDArray[np.bool_]:
        """Stores whose water went over the berm, shape (n,)."""
        return np.asarray(self.freeboard_m < 0)

    @property
    def peak_spill_m3s(self) -> NDArray[np.float64]:
        """Greatest flow over sill and berm in a step, shape (n,) [m³/s]."""
        return np.array([self.passage(store).peak_spill_m3s(self.edge_s) for store in range(len(self.ponds))])

    @locked_property
    def empty_after_h(self) -> NDArray[np.float64]:
        """Time since the start of the storm at which each store is dry for good, shape (n,) [h].

        Zero for a store that never held water at the end of a step, infinite for one that still does at the last.
        """
        rates = [pond.film_intake_m3s for pond in self.ponds]
        return np.array([self.passage(store).empty_after_h(self.edge_s, rate) for store, rate in enumerate(rates)])

    def passage(self, store: int) -> Passage:
        """What the storm does to one store."""
        return Passage(
            self.inflow_m3[store],
            self.stored_m3[store],
            self.level_m[store],
            self.soaked_m3[store],
            self.spilled_m3[store],
        )

    @property
    def brought_total_m3(self) -> NDArray[np.float64]:
        """Water brought to the site's stores until the end of each step, shape (t,) [m³]."""
        return np.asarray(self.own_m3.sum(axis=0).cumsum())

    @property
    def held_m3(self) -> NDArray[np.float64]:
        """Water in all stores at the end of each step, shape (t,) [m³]."""
        return np.asarray(self.stored_m3.sum(axis=0))

    @property
    def soaked_total_m3(self) -> NDArray[np.float64]:
        """Water soaked away until the end of each step, shape (t,) [m³]."""
        return np.asarray(self.soaked_m3.sum(axis=0).cumsum())

    @locked_property
    def left_m3(self) -> NDArray[np.float64]:
        """Water that leaves the site in each step, shape (t,) [m³]."""
        return np.asarray(self.spilled_m3[self.stores.downstream < 0].sum(axis=0))

    @property
    def left_total_m3(self) -> NDArray[np.float64]:
        """Water that has left the site until the end of each step, shape (t,) [m³]."""
        return np.asarray(self.left_m3.cumsum())

    @property
    def under_way_m3(self) -> NDArray[np.float64]:
        """Spilled water that has yet to reach the store below at the end of each step, shape (t,) [m³]."""
        passed_on = self.spilled_m3[self.stores.downstream >= 0].sum(axis=0)
        arrived = (self.inflow_m3 - self.own_m3).sum(axis=0)
        return np.asarray((passed_on - arrived).cumsum())


def route_stores(
    stores: Stores,
    ponds: Sequence[Pond],
    inflow_m3s: NDArray[np.float64],
    *,
    step_min: float,
    longest_h: float = LONGEST_H,
) -> Routed:
    """Pass a storm through all stores.

    Parameters
    ----------
    stores : Stores
        The graph.
    ponds : sequence of Pond
        Its n stores.
    inflow_m3s : ndarray of float64, shape (n, s)
        Mean flow from each store's own ground in each of s equal steps [m³/s].
    step_min : float
        Length of a step [min].
    longest_h : float
        Time from the start for which stores are watched; after the inflow the steps grow to half an hour [h].

    Returns
    -------
    Routed
        What every store does in time. No drop is made or lost.

    Raises
    ------
    InputError
        If numbers of stores disagree, a flow is negative or a time isn't positive.

    Notes
    -----
    Spill arrives below after its delay with its shape unchanged. What lies below does not drown a sill.

    Examples
    --------
    >>> from swalekit.hydrology.routing.pond import Weir
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> pond = Pond(box, Weir(0.5, 2.0, 1.5), intake_mm_h=20.0)
    >>> stores = Stores(np.ones((2, 1)), np.zeros(2), np.array([1, -1], np.int32))
    >>> routed = route_stores(stores, [pond, pond], np.full((2, 30), 0.02), step_min=1.0)
    >>> routed.peak_spill_m3s.round(4), routed.empty_after_h.round(1)
    (array([0.0181, 0.0337]), array([25.7, 25.8]))
    """
    edge_s, own_m3 = prepare_inflow(stores, ponds, inflow_m3s, step_min=step_min, longest_h=longest_h)
    passages = dict(pass_downward(stores, ponds, own_m3, edge_s, passing(ponds, edge_s)))
    return Routed(
        stores,
        tuple(ponds),
        edge_s,
        own_m3,
        *(
            np.stack([getattr(passages[store], name) for store in range(len(ponds))])
            for name in ("inflow_m3", "stored_m3", "level_m", "soaked_m3", "spilled_m3")
        ),
    )


def passing(ponds: Sequence[Pond], edge_s: NDArray[np.float64]) -> Callable[[int, NDArray[np.float64]], Passage]:
    """What each of some stores, by its number, does with an inflow in the steps between given ends [s]."""
    step_s = np.diff(edge_s)
    return lambda store, inflow_m3: route_pond(ponds[store], inflow_m3, step_s)


def prepare_inflow(
    stores: Stores, ponds: Sequence[Pond], inflow_m3s: NDArray[np.float64], *, step_min: float, longest_h: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Ends of all steps and each store's own water in them.

    Parameters
    ----------
    stores : Stores
        The graph.
    ponds : sequence of Pond
        Its n stores.
    inflow_m3s : ndarray of float64, shape (n, s)
        Mean flow in each of s equal steps [m³/s].
    step_min : float
        Length of a step [min].
    longest_h : float
        Time from the start until which steps go on [h].

    Returns
    -------
    edge_s : ndarray of float64, shape (t + 1,)
        Ends of the steps [s].
    own_m3 : ndarray of float64, shape (n, t)
        Water in each step, none after the inflow [m³].

    Raises
    ------
    InputError
        If numbers of stores disagree, a flow is negative or a time isn't positive.
    """
    check_positive(step_min=step_min, longest_h=longest_h)
    n = stores.downstream.size
    if len(ponds) != n or inflow_m3s.ndim != 2 or inflow_m3s.shape[0] != n or n == 0 or inflow_m3s.shape[1] == 0:
        message = (
            f"{len(ponds)} ponds and inflow of shape {inflow_m3s.shape} for {n} stores; there must be one for each"
        )
        raise InputError(message)
    check_not_negative(least_inflow_m3s=float(inflow_m3s.min()), greatest_inflow_m3s=float(inflow_m3s.max()))
    step_s, steps = step_min * _SECONDS_PER_MINUTE, inflow_m3s.shape[1]
    edges = list(np.arange(steps + 1) * step_s)
    longer_s = step_s
    while edges[-1] < longest_h * _SECONDS_PER_HOUR:
        longer_s = min(longer_s * _GROWTH, max(_LONGEST_STEP_S, step_s))
        edges.append(edges[-1] + longer_s)
    own_m3 = np.zeros((n, len(edges) - 1))
    own_m3[:, :steps] = inflow_m3s * step_s
    return np.array(edges), own_m3


def pass_downward(
    stores: Stores,
    ponds: Sequence[Pond],
    own_m3: NDArray[np.float64],
    edge_s: NDArray[np.float64],
    pass_store: Callable[[int, NDArray[np.float64]], Passage],
) -> Iterator[tuple[int, Passage]]:
    """Let each store act on what it receives, after all that pass water to it.

    Parameters
    ----------
    stores : Stores
        The graph.
    ponds : sequence of Pond
        Its n stores, of which the delays are used.
    own_m3 : ndarray of float64, shape (n, t)
        Each store's own water [m³].
    edge_s : ndarray of float64, shape (t + 1,)
        Ends of the steps [s].
    pass_store : callable
        What a store, given by its number, does with an inflow of shape (t,) [m³].

    Yields
    ------
    int, Passage
        Each store and what it does, from the top down; no more series are kept than still have to arrive somewhere.
    """
    arriving: dict[int, NDArray[np.float64]] = {}
    for store in stores.order.tolist():
        passage = pass_store(store, own_m3[store] + arriving.pop(store, 0.0))
        below = int(stores.downstream[store])
        if below >= 0:
            arriving[below] = arriving.get(below, 0.0) + ponds[store].passed_on_m3(passage.spilled_m3, edge_s)
        yield store, passage
