"""Sills just long enough for the peak that reaches them in time."""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_ordered, check_positive
from swalekit.hydrology.routing.pond import Passage, Pond, route_pond
from swalekit.hydrology.routing.routing import LONGEST_H, pass_downward, prepare_inflow
from swalekit.hydrology.routing.stores import Stores

LENGTH_STEP_M = 0.5
"""Sills are built in multiples of this length; common practice."""

Choice = Callable[[Callable[[float], float], float], float]
"""Of the peak flow over a sill [m³/s] by its length [m], and its least length: its length."""


def size_sill(
    pond: Pond,
    inflow_m3: NDArray[np.float64],
    step_s: NDArray[np.float64],
    *,
    head_m: float,
    least_length_m: float = LENGTH_STEP_M,
) -> float:
    """Shortest sill over which the water stands no higher than a given head.

    Parameters
    ----------
    pond : Pond
        The store; the length of its sill does not matter.
    inflow_m3 : ndarray of float64, shape (t,)
        Water that arrives in each step [m³].
    step_s : ndarray of float64, shape (t,)
        Length of each step [s].
    head_m : float
        Greatest height of the water above the sill [m].
    least_length_m : float
        Length that a sill has at least [m].

    Returns
    -------
    float
        The least length, or the next multiple of half a metre that is long enough [m].

    Raises
    ------
    InputError
        If head or least length isn't positive, or the head exceeds the berm's freeboard.

    Notes
    -----
    What the store holds back while the water rises lowers the peak, so the sill is shorter than one for the peak of
    the inflow, which bounds the search.

    Examples
    --------
    >>> from swalekit.hydrology.routing.pond import Weir
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> size_sill(Pond(box, Weir(0.5, 1.0, 1.5)), np.full(120, 6.0), np.full(120, 60.0), head_m=0.1)
    2.5
    """
    check_positive(head_m=head_m, least_length_m=least_length_m)
    check_ordered("head_m", head_m, "freeboard_m", min(pond.crest_level_m - pond.sill.level_m, np.finfo(float).max))
    enough_m = float((inflow_m3 / step_s).max()) / (pond.sill.coefficient * head_m**1.5)
    multiples = np.arange(np.ceil(least_length_m / LENGTH_STEP_M), np.ceil(enough_m / LENGTH_STEP_M) + 1)
    lengths: list[float] = [least_length_m, *(LENGTH_STEP_M * multiples).tolist()]

    def holds(length_m: float) -> bool:
        trial = replace(pond, sill=replace(pond.sill, length_m=length_m))
        return float(route_pond(trial, inflow_m3, step_s).level_m.max()) <= pond.sill.level_m + head_m

    return lengths[bisect_left(lengths[:-1], True, key=holds)]


def size_sills(
    stores: Stores,
    ponds: Sequence[Pond],
    inflow_m3s: NDArray[np.float64],
    *,
    step_min: float,
    head_m: float,
    least_length_m: ArrayLike = LENGTH_STEP_M,
    choice: Sequence[Choice] = (),
) -> tuple[Pond, ...]:
    """Size the sills of all swales from the top down, each for what the sized ones above let through.

    Parameters
    ----------
    stores : Stores
        The graph.
    ponds : sequence of Pond
        Its n stores; those without a berm, the hollows, keep their edge.
    inflow_m3s : ndarray of float64, shape (n, s)
        Mean flow of the check storm from each store's own ground in equal steps [m³/s].
    step_min : float
        Length of a step [min].
    head_m : float
        Greatest height of the water above a sill [m].
    least_length_m : array_like, scalar or shape (n,)
        Length that a sill has at least, that of every store where they differ [m].
    choice : sequence of callable
        Those of the first stores choose the lengths of their sills, for which the shortest that keeps to the head is
        the least; elsewhere it is the length.

    Returns
    -------
    tuple of Pond
        The stores with their sills.

    Raises
    ------
    InputError
        If numbers of stores disagree, a flow is negative, a time, the head or the least length isn't positive, or the
        head exceeds a berm's freeboard.

    Examples
    --------
    >>> from swalekit.hydrology.routing.pond import Weir
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> pond = Pond(box, Weir(0.5, 1.0, 1.5), berm=Weir(0.9, 60.0, 1.5))
    >>> stores = Stores(np.ones((1, 1)), np.zeros(1), np.array([-1], np.int32))
    >>> [sized] = size_sills(stores, [pond], np.full((1, 120), 0.1), step_min=1.0, head_m=0.1)
    >>> sized.sill.length_m
    2.5
    """
    edge_s, own_m3 = prepare_inflow(stores, ponds, inflow_m3s, step_min=step_min, longest_h=LONGEST_H)
    step_s, sized, least_m = np.diff(edge_s), list(ponds), np.broadcast_to(least_length_m, len(ponds))

    def pass_store(store: int, inflow_m3: NDArray[np.float64]) -> Passage:
        pond = ponds[store]
        if pond.berm is None:
            return route_pond(pond, inflow_m3, step_s)

        def passage_over(length_m: float) -> Passage:
            return route_pond(replace(pond, sill=replace(pond.sill, length_m=length_m)), inflow_m3, step_s)

        length_m = size_sill(pond, inflow_m3, step_s, head_m=head_m, least_length_m=float(least_m[store]))
        if store < len(choice):
            length_m = choice[store](lambda length_m: passage_over(length_m).peak_spill_m3s(edge_s), length_m)
        sized[store] = replace(pond, sill=replace(pond.sill, length_m=length_m))
        return passage_over(length_m)

    for _ in pass_downward(stores, ponds, own_m3, edge_s, pass_store):
        pass
    return tuple(sized)
