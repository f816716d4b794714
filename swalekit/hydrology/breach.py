"""The berm that gives way: all that a store holds leaves within minutes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit.hydrology.pond import Passage, Pond, route_pond

_SECONDS_PER_MINUTE = 60.0


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


def route_breached(pond: Pond, inflow_m3: NDArray[np.float64], edge_s: NDArray[np.float64], minutes: float) -> Passage:
    """Pass an inflow through a store that fails when it is fullest.

    Parameters
    ----------
    pond : Pond
        The store.
    inflow_m3 : ndarray of float64, shape (t,)
        Water that arrives in each step [m³].
    edge_s : ndarray of float64, shape (t + 1,)
        Ends of the steps [s].
    minutes : float
        Time in which the store empties [min].

    Returns
    -------
    Passage
        As for a sound store until the breach; from then on what it holds leaves as `breach_hydrograph`, what arrives
        runs through, and nothing soaks away.

    Raises
    ------
    InputError
        If the time isn't positive.
    """
    step_s = np.diff(edge_s)
    sound = route_pond(pond, inflow_m3, step_s)
    fullest = int(np.argmax(sound.stored_m3))
    since_min = (edge_s - edge_s[fullest + 1]) / _SECONDS_PER_MINUTE
    released = breach_hydrograph(float(sound.stored_m3[fullest]), minutes, since_min) * step_s
    after = np.arange(step_s.size) > fullest
    stored = np.where(after, np.maximum(sound.stored_m3[fullest] - np.cumsum(released), 0.0), sound.stored_m3)
    return Passage(
        inflow_m3,
        stored,
        np.where(after, pond.stage.level_m_at(stored), sound.level_m),
        np.where(after, 0.0, sound.soaked_m3),
        np.where(after, inflow_m3 + released, sound.spilled_m3),
    )
