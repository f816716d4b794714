"""The berm that gives way: all that a store holds leaves within minutes, and others fail after it."""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.hydrology.routing.breach_opening import BreachOpening, breach_opening
from swalekit.hydrology.routing.pond import Passage, Pond, route_pond
from swalekit.hydrology.routing.routing import Routed

_SECONDS_PER_MINUTE = 60.0
_SILL_STEP_M = 0.5
_NOTICEABLE_M3 = 0.1
"""Spill that grows by less is not told."""


@dataclass(frozen=True)
class Breach:
    """Failure of one store at its fullest.

    Parameters
    ----------
    store : int
        The store that fails.
    minutes : float, optional
        Time in which it, and each one that fails after it, empties [min]; by `breach_opening` unless given.

    Raises
    ------
    InputError
        If the store's number is negative or the time isn't positive.
    """

    store: int
    minutes: float | None = None

    def __post_init__(self) -> None:
        check_not_negative(store=self.store)
        if self.minutes is not None:
            check_positive(minutes=self.minutes)


@one_line("flow_m3s", "volume_m3", "failed", "extra_left_m3", "peak_left_m3s")
@dataclass(frozen=True)
class BreachEffect:
    """What the failure of one store does below.

    Parameters
    ----------
    flow_m3s : float
        Greatest flow through its breach [m³/s].
    volume_m3 : float
        Water that it lets go [m³].
    failed : tuple of int
        Stores that fail after it, because water goes over their berm, from the top downward.
    swollen : tuple of int
        Stores that spill at least 0.1 m³ more.
    extra_left_m3 : float
        More water that leaves the site [m³].
    peak_left_m3s : float
        Greatest flow that leaves the site in a step [m³/s].
    """

    flow_m3s: float
    volume_m3: float
    failed: tuple[int, ...]
    swollen: tuple[int, ...]
    extra_left_m3: float
    peak_left_m3s: float


@one_line("store", "raise_m", "sill_m")
@dataclass(frozen=True)
class Strengthening:
    """What keeps a store from failing when one above it has: either is enough.

    Parameters
    ----------
    store : int
        The store.
    raise_m : float
        How much higher its crest must be [m].
    sill_m : float
        How long its sill must be [m]; infinite where no length is enough.
    """

    store: int
    raise_m: float
    sill_m: float


def breach_hydrograph(volume_m3: float, minutes: float, edge_min: NDArray[np.float64]) -> NDArray[np.float64]:
    """Flow from a breach: a triangle with its peak in the middle.

    Parameters
    ----------
    volume_m3 : float
        Water that leaves [m³].
    minutes : float
        Time in which it leaves [min].
    edge_min : ndarray of float64, shape (t + 1,)
        Ends of t steps, counted from the breach [min].

    Returns
    -------
    ndarray of float64, shape (t,)
        Mean flow of each step [m³/s]; together they carry the volume once the breach lies within the steps.

    Raises
    ------
    InputError
        If the volume is negative or the time isn't positive.

    Notes
    -----
    The peak is 2 V / T; `breach_opening` gives the time.

    Examples
    --------
    >>> breach_hydrograph(36.0, 4.0, np.arange(6.0))
    array([0.075, 0.225, 0.225, 0.075, 0.   ])
    """
    check_not_negative(volume_m3=volume_m3)
    check_positive(minutes=minutes)
    time = np.clip(edge_min / minutes, 0.0, 1.0)
    share = np.where(time < 0.5, 2.0 * time**2, 1.0 - 2.0 * (1.0 - time) ** 2)
    return np.asarray(volume_m3 * np.diff(share) / (np.diff(edge_min) * _SECONDS_PER_MINUTE))


def route_breach(sound: Routed, breach: Breach) -> dict[int, Passage]:
    """Pass a storm again through a store that fails when it is fullest, and down through the stores that this changes.

    Parameters
    ----------
    sound : Routed
        The storm with no failure.
    breach : Breach
        The store that fails.

    Returns
    -------
    dict
        Store -> its passage, the failed one first, as far down as the failure makes a difference; all others do as in
        ``sound``. The failed store does so too until it is fullest; from then on what it holds leaves as
        `breach_hydrograph`, what arrives runs through, and nothing soaks away. A store below whose berm water goes over
        fails likewise, as soon as it does. No drop is made or lost.

    Raises
    ------
    InputError
        If the store doesn't exist.

    Notes
    -----
    All the water leaves, that below the ground beside the ditch too, as if each breach cut down to the floor, which is
    on the safe side. A store on which the failure makes no difference stands, even if the storm itself goes over it.

    Examples
    --------
    A store that holds all 20 m³ below its sill fails; all of them go on:

    >>> from swalekit.hydrology.routing.pond import Pond, Weir
    >>> from swalekit.hydrology.routing.routing import route_stores
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> from swalekit.hydrology.routing.stores import Stores
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> stores = Stores(np.ones((1, 1)), np.zeros(1), np.array([-1], np.int32))
    >>> sound = route_stores(stores, [Pond(box, Weir(0.5, 2.0, 1.5))], np.full((1, 10), 2.0 / 60.0), step_min=1.0)
    >>> round(float(route_breach(sound, Breach(0, 5.0))[0].spilled_m3.sum()), 6)
    20.0
    """
    step_s = np.diff(sound.edge_s)

    def below(store: int, inflow_m3: NDArray[np.float64]) -> Passage:
        pond = sound.ponds[store]
        passage = route_pond(pond, inflow_m3, step_s)
        over = np.flatnonzero(passage.level_m > pond.crest_level_m)
        return _failed(pond, passage, sound.edge_s, int(over[0]), breach.minutes) if over.size else passage

    return _followed(sound, breach, below)


def breach_effect(sound: Routed, breach: Breach) -> BreachEffect:
    """What the failure of a store at its fullest does below, to the end of the chain that it sets off.

    Parameters
    ----------
    sound : Routed
        The storm with no failure.
    breach : Breach
        The store that fails.

    Returns
    -------
    BreachEffect
        Against the same storm with no failure.

    Raises
    ------
    InputError
        If the store doesn't exist.

    Examples
    --------
    >>> from swalekit.hydrology.routing.pond import Pond, Weir
    >>> from swalekit.hydrology.routing.routing import route_stores
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> from swalekit.hydrology.routing.stores import Stores
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> stores = Stores(np.ones((1, 1)), np.zeros(1), np.array([-1], np.int32))
    >>> sound = route_stores(stores, [Pond(box, Weir(0.5, 2.0, 1.5))], np.full((1, 10), 2.0 / 60.0), step_min=1.0)
    >>> round(breach_effect(sound, Breach(0, 5.0)).extra_left_m3, 6)
    20.0
    """
    passages, left_m3 = route_breach(sound, breach), sound.left_m3.copy()
    failed, swollen = [], []
    for store, passage in passages.items():
        more_m3 = passage.spilled_m3 - sound.passages[store].spilled_m3
        if sound.stores.downstream[store] < 0:
            left_m3 += more_m3
        if store == breach.store:
            continue
        if passage.level_m.max() > sound.ponds[store].crest_level_m:
            failed.append(store)
        if more_m3.sum() >= _NOTICEABLE_M3:
            swollen.append(store)
    opening = _opening(sound.ponds[breach.store], float(sound.passages[breach.store].stored_m3.max()), breach.minutes)
    return BreachEffect(
        flow_m3s=0.0 if opening is None else opening.peak_m3s,
        volume_m3=float(sound.passages[breach.store].stored_m3.max()),
        failed=tuple(failed),
        swollen=tuple(swollen),
        extra_left_m3=float((left_m3 - sound.left_m3).sum()),
        peak_left_m3s=float((left_m3 / np.diff(sound.edge_s)).max()),
    )


def stopping_chain(sound: Routed, breach: Breach) -> tuple[Strengthening, ...]:
    """What stops the chain of failures below a store: the berms that must be stronger, from the top downward.

    Parameters
    ----------
    sound : Routed
        The storm with no failure.
    breach : Breach
        The store that fails.

    Returns
    -------
    tuple of Strengthening
        One a store whose berm water would go over; each counts on those above it having the longer sill, which hands
        on more water than a higher crest.

    Raises
    ------
    InputError
        If the store doesn't exist.

    Examples
    --------
    >>> from swalekit.hydrology.routing.pond import Pond, Weir
    >>> from swalekit.hydrology.routing.routing import route_stores
    >>> from swalekit.hydrology.routing.stage_storage import StageStorage
    >>> from swalekit.hydrology.routing.stores import Stores
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> pond = Pond(box, Weir(0.5, 2.0, 1.5), berm=Weir(0.6, 30.0, 1.5))
    >>> stores = Stores(np.ones((2, 1)), np.zeros(2), np.array([1, -1], np.int32))
    >>> sound = route_stores(stores, [pond, pond], np.full((2, 10), 3.0 / 60.0), step_min=1.0)
    >>> stopping_chain(sound, Breach(0, 2.0))
    (Strengthening(store 1, raise 0.0743 m, sill 5 m),)
    """
    step_s, found = np.diff(sound.edge_s), []

    def below(store: int, inflow_m3: NDArray[np.float64]) -> Passage:
        pond = sound.ponds[store]
        passage = route_pond(pond, inflow_m3, step_s)
        if not passage.level_m.max() > pond.crest_level_m:
            return passage
        walled = route_pond(replace(pond, berm=None), inflow_m3, step_s)
        sill_m, passage = _longer_sill(pond, inflow_m3, step_s, walled)
        found.append(Strengthening(store, float(walled.level_m.max() - pond.crest_level_m), sill_m))
        return passage

    _followed(sound, breach, below)
    return tuple(found)


def _longer_sill(
    pond: Pond, inflow_m3: NDArray[np.float64], step_s: NDArray[np.float64], walled: Passage
) -> tuple[float, Passage]:
    """The shortest sill, in steps of half a metre, that keeps the water below the crest, and the passage with it.

    Infinite, with the passage behind a berm high enough, where no sill shorter than the berm does.
    """
    longest = 0 if pond.berm is None else int(pond.berm.length_m / _SILL_STEP_M)
    steps = range(1 + int(pond.sill.length_m / _SILL_STEP_M), longest + 1)

    def passage_of(step: int) -> Passage:
        return route_pond(replace(pond, sill=replace(pond.sill, length_m=step * _SILL_STEP_M)), inflow_m3, step_s)

    step = bisect_left(steps, x=True, key=lambda step: bool(passage_of(step).level_m.max() <= pond.crest_level_m))
    if step == len(steps):
        return np.inf, walled
    return steps[step] * _SILL_STEP_M, passage_of(steps[step])


def _followed(
    sound: Routed, breach: Breach, below: Callable[[int, NDArray[np.float64]], Passage]
) -> dict[int, Passage]:
    """Passages from a failing store downward, as far as they differ from the sound ones.

    Parameters
    ----------
    sound : Routed
        The storm with no failure.
    breach : Breach
        The store that fails.
    below : callable
        Gives the passage of a store below, of which the number and the inflow [m³] are told.
    """
    if breach.store >= len(sound.ponds):
        message = f"store {breach.store} is to fail and there are {len(sound.ponds)}; they are counted from 0"
        raise InputError(message)
    store, own = breach.store, sound.passages[breach.store]
    fullest = int(np.argmax(own.stored_m3))
    passages = {store: _failed(sound.ponds[store], own, sound.edge_s, fullest, breach.minutes)}
    while not np.array_equal(passages[store].spilled_m3, sound.passages[store].spilled_m3):
        following, pond = int(sound.stores.downstream[store]), sound.ponds[store]
        if following < 0:
            break
        now, before = (
            pond.passed_on_m3(passage.spilled_m3, sound.edge_s) for passage in (passages[store], sound.passages[store])
        )
        inflow_m3 = np.maximum(sound.passages[following].inflow_m3 + (now - before), 0.0)
        passages[following] = below(following, inflow_m3)
        store = following
    return passages


def _opening(pond: Pond, volume_m3: float, minutes: float | None) -> BreachOpening | None:
    """The breach of a store that holds so much, cut down to its floor; None of an empty one."""
    head_m = float(pond.stage.level_m_at(volume_m3)) - float(pond.stage.level_m[0])
    return breach_opening(volume_m3, head_m, empties_min=minutes) if volume_m3 > 0 and head_m > 0 else None


def _failed(pond: Pond, passage: Passage, edge_s: NDArray[np.float64], at: int, minutes: float | None) -> Passage:
    """A store that does as it did up to the end of a step, and from then on fails."""
    opening = _opening(pond, float(passage.stored_m3[at]), minutes)
    if opening is None:
        return passage
    step_s, since_min = np.diff(edge_s), (edge_s - edge_s[at + 1]) / _SECONDS_PER_MINUTE
    released = breach_hydrograph(float(passage.stored_m3[at]), opening.empties_min, since_min) * step_s
    after = np.arange(step_s.size) > at
    stored = np.where(after, np.maximum(passage.stored_m3[at] - np.cumsum(released), 0.0), passage.stored_m3)
    return Passage(
        passage.inflow_m3,
        stored,
        np.where(after, pond.stage.level_m_at(stored), passage.level_m),
        np.where(after, 0.0, passage.soaked_m3),
        np.where(after, passage.inflow_m3 + released, passage.spilled_m3),
    )
