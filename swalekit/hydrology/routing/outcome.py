"""What a routed storm comes to: a few figures a store and the water of the site in time."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.pond import Passage, Pond
from swalekit.hydrology.routing.stores import Stores

_SECONDS_PER_HOUR = 3600.0


@one_line("peak_level_m", "freeboard_m", "peak_spill_m3s", "soaked_m3")
@dataclass(frozen=True, eq=False)
class StormOutcome(Frozen):
    """Figures of a routed storm; the long series of every store are let go.

    Parameters
    ----------
    peak_level_m, freeboard_m : ndarray of float64, shape (n,)
        Highest level, and crest above it, negative for water over the berm [m].
    overtopped : ndarray of bool, shape (n,)
        Stores whose water went over the berm.
    peak_spill_m3s : ndarray of float64, shape (n,)
        Greatest flow over sill and berm [m³/s].
    soaked_m3, spilled_m3 : ndarray of float64, shape (n,)
        Water that soaked away, and that left over sill and berm [m³].
    empty_after_h : ndarray of float64, shape (n,)
        Time from the start of the storm until dry [h]; infinite where it is not within the time watched.
    time_h : ndarray of float64, shape (t,)
        End of each step [h].
    brought_m3, held_m3, soaked_total_m3, left_m3, under_way_m3 : ndarray of float64, shape (t,)
        Of the whole site until or at the end of each step: water brought, held, soaked away, gone, on its way [m³].
    """

    peak_level_m: NDArray[np.float64]
    freeboard_m: NDArray[np.float64]
    overtopped: NDArray[np.bool_]
    peak_spill_m3s: NDArray[np.float64]
    soaked_m3: NDArray[np.float64]
    spilled_m3: NDArray[np.float64]
    empty_after_h: NDArray[np.float64]
    time_h: NDArray[np.float64]
    brought_m3: NDArray[np.float64]
    held_m3: NDArray[np.float64]
    soaked_total_m3: NDArray[np.float64]
    left_m3: NDArray[np.float64]
    under_way_m3: NDArray[np.float64]

    @classmethod
    def of_passages(
        cls,
        stores: Stores,
        ponds: Sequence[Pond],
        own_m3: NDArray[np.float64],
        edge_s: NDArray[np.float64],
        passages: Iterable[tuple[int, Passage]],
    ) -> Self:
        """Figures of a storm whose passages are seen one by one and let go.

        Parameters
        ----------
        stores, ponds : Stores, sequence of Pond
            The n stores.
        own_m3 : ndarray of float64, shape (n, t)
            Each store's own water in each step [m³].
        edge_s : ndarray of float64, shape (t + 1,)
            Ends of the steps [s].
        passages : iterable of (int, Passage)
            Every store once, in any order.

        Returns
        -------
        StormOutcome
            Figures of every store, and the water of the whole site over time.
        """
        peak, peak_spill, soaked, spilled, empty = np.zeros((5, len(ponds)))
        held, soaking, leaving, passed_on, arrived = np.zeros((5, edge_s.size - 1))
        for store, passage in passages:
            peak[store], peak_spill[store] = passage.level_m.max(), passage.peak_spill_m3s(edge_s)
            soaked[store], spilled[store] = passage.soaked_m3.sum(), passage.spilled_m3.sum()
            empty[store] = passage.empty_after_h(edge_s, ponds[store].film_intake_m3s)
            held += passage.stored_m3
            soaking += passage.soaked_m3
            arrived += passage.inflow_m3 - own_m3[store]
            below = passed_on if stores.downstream[store] >= 0 else leaving
            below += passage.spilled_m3
        freeboard = np.array([pond.crest_level_m for pond in ponds]) - peak
        return cls(
            peak_level_m=peak,
            freeboard_m=freeboard,
            overtopped=freeboard < 0,
            peak_spill_m3s=peak_spill,
            soaked_m3=soaked,
            spilled_m3=spilled,
            empty_after_h=empty,
            time_h=edge_s[1:] / _SECONDS_PER_HOUR,
            brought_m3=own_m3.sum(axis=0).cumsum(),
            held_m3=held,
            soaked_total_m3=soaking.cumsum(),
            left_m3=leaving.cumsum(),
            under_way_m3=(passed_on - arrived).cumsum(),
        )
