"""What a routed storm comes to: a few figures a store and the water of the site in time."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from swalekit.hydrology.routing import Routed


@dataclass(frozen=True, eq=False)
class StormOutcome:
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
    def of(cls, routed: Routed) -> Self:
        """Figures of a routed storm."""
        return cls(
            peak_level_m=routed.peak_level_m,
            freeboard_m=routed.freeboard_m,
            overtopped=routed.overtopped,
            peak_spill_m3s=routed.peak_spill_m3s,
            soaked_m3=routed.soaked_m3.sum(axis=1),
            spilled_m3=routed.spilled_m3.sum(axis=1),
            empty_after_h=routed.empty_after_h,
            time_h=routed.time_h,
            brought_m3=routed.brought_total_m3,
            held_m3=routed.held_m3,
            soaked_total_m3=routed.soaked_total_m3,
            left_m3=routed.left_total_m3,
            under_way_m3=routed.under_way_m3,
        )
