"""A storm passed through all stores of a site, from the top down, in time."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen, locked_property
from swalekit.hydrology.routing.outcome import StormOutcome
from swalekit.hydrology.routing.pond import Passage, Pond, route_pond
from swalekit.hydrology.routing.stores import Stores

LONGEST_H = 240.0
"""Time from the start of the storm for which stores are watched; ten days tell a pond from a swale."""

_GROWTH, _LONGEST_STEP_S = 1.02, 1800.0  # steps after the inflow
_SECONDS_PER_MINUTE, _SECONDS_PER_HOUR = 60.0, 3600.0


@one_line("ponds", "passages")
@dataclass(frozen=True, eq=False)
class Routed(Frozen):
    """What a storm does to every store, in t steps.

    Parameters
    ----------
    stores : Stores
        The graph of n stores.
    ponds : tuple of Pond
        The stores.
    edge_s : ndarray of float64, shape (t + 1,)
        Ends of the steps, from the start of the storm [s].
    own_m3 : ndarray of float64, shape (n, t)
        Water from each store's own ground [m³].
    passages : tuple of Passage
        What each store does with that and with what arrives from above.
    """

    stores: Stores
    ponds: tuple[Pond, ...]
    edge_s: NDArray[np.float64]
    own_m3: NDArray[np.float64]
    passages: tuple[Passage, ...]

    @cached_property
    def outcome(self) -> StormOutcome:
        """What the storm comes to."""
        from_the_top = ((store, self.passages[store]) for store in self.stores.order.tolist())
        return StormOutcome.of_passages(self.stores, self.ponds, self.own_m3, self.edge_s, from_the_top)

    @locked_property
    def left_m3(self) -> NDArray[np.float64]:
        """Water that leaves the site in each step, shape (t,) [m³]."""
        spilled_m3 = np.stack([passage.spilled_m3 for passage in self.passages])
        return np.asarray(spilled_m3[self.stores.downstream < 0].sum(axis=0))


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
    >>> outcome = route_stores(stores, [pond, pond], np.full((2, 30), 0.02), step_min=1.0).outcome
    >>> outcome.peak_spill_m3s.round(4), outcome.empty_after_h.round(1)
    (array([0.0181, 0.0337]), array([25.7, 25.8]))
    """
    edge_s, own_m3 = prepare_inflow(stores, ponds, inflow_m3s, step_min=step_min, longest_h=longest_h)
    passages = dict(pass_downward(stores, ponds, own_m3, edge_s, _passing(ponds, edge_s)))
    return Routed(stores, tuple(ponds), edge_s, own_m3, tuple(passages[store] for store in range(len(ponds))))


def storm_outcome(
    stores: Stores, ponds: Sequence[Pond], inflow_m3s: NDArray[np.float64], *, step_min: float
) -> StormOutcome:
    """Pass a storm through all stores and keep no series but those of the whole site.

    Parameters
    ----------
    stores : Stores
        The graph.
    ponds : sequence of Pond
        Its n stores.
    inflow_m3s : ndarray of float64, shape (n, s)
        Mean flow from each store's own ground in s equal steps [m³/s].
    step_min : float
        Length of a step [min].

    Returns
    -------
    StormOutcome
        What `route_stores` finds, without the series of every store.

    Raises
    ------
    InputError
        If numbers of stores disagree, a flow is negative or the step isn't positive.

    Examples
    --------
    Of 12 m³ in half an hour a tight box of 30 m³ below its sill keeps all:

    >>> from swalekit.hydrology.routing.pond import Weir
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> stores = Stores(np.ones((1, 1)), np.zeros(1), np.array([-1], np.int32))
    >>> outcome = storm_outcome(stores, [Pond(box, Weir(0.5, 2.0, 1.5))], np.full((1, 30), 12.0 / 1800.0), step_min=1.0)
    >>> outcome.peak_level_m.round(6), outcome.spilled_m3
    (array([0.2]), array([0.]))
    """
    edge_s, own_m3 = prepare_inflow(stores, ponds, inflow_m3s, step_min=step_min, longest_h=LONGEST_H)
    passages = pass_downward(stores, ponds, own_m3, edge_s, _passing(ponds, edge_s))
    return StormOutcome.of_passages(stores, ponds, own_m3, edge_s, passages)


def standing_m3(
    stores: Stores, ponds: Sequence[Pond], inflow_m3s: NDArray[np.float64], *, step_min: float, at_h: float
) -> NDArray[np.float64]:
    """Water that stands in every store some time after a storm began.

    Parameters
    ----------
    stores : Stores
        The graph.
    ponds : sequence of Pond
        Its n stores.
    inflow_m3s : ndarray of float64, shape (n, s)
        Mean flow from each store's own ground in s equal steps [m³/s].
    step_min : float
        Length of a step [min].
    at_h : float
        Time since the start of the storm [h].

    Returns
    -------
    ndarray of float64, shape (n,)
        Water held then [m³], between the ends of steps in proportion to the time.

    Raises
    ------
    InputError
        If numbers of stores disagree, a flow is negative or a time isn't positive.

    Examples
    --------
    Of 12 m³ in half an hour a box of 60 m² that soaks away 20 mm/h has lost half a day's worth after half a day:

    >>> from swalekit.hydrology.routing.pond import Weir
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> pond = Pond(box, Weir(0.5, 2.0, 1.5), intake_mm_h=10.0)
    >>> stores = Stores(np.ones((1, 1)), np.zeros(1), np.array([-1], np.int32))
    >>> standing_m3(stores, [pond], np.full((1, 30), 12.0 / 1800.0), step_min=1.0, at_h=12.0).round(2)
    array([4.8])
    """
    edge_s, own_m3 = prepare_inflow(stores, ponds, inflow_m3s, step_min=step_min, longest_h=at_h)
    standing = np.zeros(len(ponds))
    for store, passage in pass_downward(stores, ponds, own_m3, edge_s, _passing(ponds, edge_s)):
        stored_m3 = np.append(ponds[store].stored_m3, passage.stored_m3)
        standing[store] = np.interp(at_h * _SECONDS_PER_HOUR, edge_s, stored_m3)
    return standing


def _passing(ponds: Sequence[Pond], edge_s: NDArray[np.float64]) -> Callable[[int, NDArray[np.float64]], Passage]:
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

    Examples
    --------
    >>> from swalekit.hydrology.routing.pond import Weir
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> stores = Stores(np.ones((1, 1)), np.zeros(1), np.array([-1], np.int32))
    >>> edge_s, own_m3 = prepare_inflow(
    ...     stores, [Pond(box, Weir(0.5, 2.0, 1.5))], np.full((1, 2), 0.5), step_min=1.0, longest_h=0.02
    ... )
    >>> edge_s, own_m3
    (array([  0.,  60., 120.]), array([[30., 30.]]))
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
