"""The berm that gives way: all that a store holds leaves within minutes, and what that does below."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.hydrology.routing.pond import Passage, Pond, route_pond
from swalekit.hydrology.routing.routing import Routed

_SECONDS_PER_MINUTE = 60.0
_NOTICEABLE_M3 = 0.1
"""Spill that grows by less is not told."""


@dataclass(frozen=True)
class Breach:
    """Failure of one store at its fullest.

    Parameters
    ----------
    store : int
        The store that fails.
    minutes : float
        Time in which it empties [min].

    Raises
    ------
    InputError
        If the store's number is negative or the time isn't positive.
    """

    store: int
    minutes: float

    def __post_init__(self) -> None:
        check_not_negative(store=self.store)
        check_positive(minutes=self.minutes)


@one_line("extra_left_m3", "peak_left_m3s")
@dataclass(frozen=True)
class BreachEffect:
    """What the failure of one store does below.

    Parameters
    ----------
    overtopped : tuple of int
        Stores over whose berm water goes only because of it.
    swollen : tuple of int
        Stores that spill at least 0.1 m³ more.
    extra_left_m3 : float
        More water that leaves the site [m³].
    peak_left_m3s : float
        Greatest flow that leaves the site in a step [m³/s].
    """

    overtopped: tuple[int, ...]
    swollen: tuple[int, ...]
    extra_left_m3: float
    peak_left_m3s: float


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
    The peak is 2 V / T. A low berm of earth washes out in minutes; the time is a choice, and a short one is on the
    safe side for what lies below.

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
        `breach_hydrograph`, what arrives runs through, and nothing soaks away. No drop is made or lost.

    Raises
    ------
    InputError
        If the store doesn't exist.

    Notes
    -----
    All the water leaves, that below the ground beside the ditch too, which is on the safe side. A berm that water goes
    over is taken to stand.

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
    if breach.store >= len(sound.ponds):
        message = f"store {breach.store} is to fail and there are {len(sound.ponds)}; they are counted from 0"
        raise InputError(message)
    store, step_s = breach.store, np.diff(sound.edge_s)
    passages = {store: _failed(sound.ponds[store], sound.passages[store], sound.edge_s, breach.minutes)}
    while not np.array_equal(passages[store].spilled_m3, sound.passages[store].spilled_m3):
        below, pond = int(sound.stores.downstream[store]), sound.ponds[store]
        if below < 0:
            break
        now, before = (
            pond.passed_on_m3(passage.spilled_m3, sound.edge_s) for passage in (passages[store], sound.passages[store])
        )
        inflow_m3 = np.maximum(sound.passages[below].inflow_m3 + (now - before), 0.0)
        passages[below] = route_pond(sound.ponds[below], inflow_m3, step_s)
        store = below
    return passages


def breach_effect(sound: Routed, breach: Breach) -> BreachEffect:
    """What the failure of a store at its fullest does below.

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
    overtopped, swollen = [], []
    for store, passage in passages.items():
        more_m3 = passage.spilled_m3 - sound.passages[store].spilled_m3
        if sound.stores.downstream[store] < 0:
            left_m3 += more_m3
        if store == breach.store:
            continue
        if passage.level_m.max() > sound.ponds[store].crest_level_m and not sound.outcome.overtopped[store]:
            overtopped.append(store)
        if more_m3.sum() >= _NOTICEABLE_M3:
            swollen.append(store)
    return BreachEffect(
        tuple(overtopped),
        tuple(swollen),
        extra_left_m3=float((left_m3 - sound.left_m3).sum()),
        peak_left_m3s=float((left_m3 / np.diff(sound.edge_s)).max()),
    )


def _failed(pond: Pond, sound: Passage, edge_s: NDArray[np.float64], minutes: float) -> Passage:
    """A store as it was until it is fullest, and from then on failing."""
    step_s, fullest = np.diff(edge_s), int(np.argmax(sound.stored_m3))
    since_min = (edge_s - edge_s[fullest + 1]) / _SECONDS_PER_MINUTE
    released = breach_hydrograph(float(sound.stored_m3[fullest]), minutes, since_min) * step_s
    after = np.arange(step_s.size) > fullest
    stored = np.where(after, np.maximum(sound.stored_m3[fullest] - np.cumsum(released), 0.0), sound.stored_m3)
    return Passage(
        sound.inflow_m3,
        stored,
        np.where(after, pond.stage.level_m_at(stored), sound.level_m),
        np.where(after, 0.0, sound.soaked_m3),
        np.where(after, sound.inflow_m3 + released, sound.spilled_m3),
    )
