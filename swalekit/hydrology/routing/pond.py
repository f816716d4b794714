"""A store with its outlets, and what one inflow does to it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_finite, check_not_negative, check_ordered, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.frozen import Frozen, read_only
from swalekit.hydrology.routing.stage_storage import StageStorage
from swalekit.kernels.routing import Outlets, route_pool

_MM_H_PER_M_S, _SECONDS_PER_MINUTE, _SECONDS_PER_HOUR = 3.6e6, 60.0, 3600.0


@one_line("level_m", "length_m", "coefficient")
@dataclass(frozen=True)
class Weir:
    """A level edge that water flows over: Q = C L H^1.5.

    Parameters
    ----------
    level_m : float
        Level of the edge [m].
    length_m : float
        Its length [m].
    coefficient : float
        Discharge coefficient C [m^0.5/s], see `swalekit.tables.values.weir_coefficient`.

    Raises
    ------
    InputError
        If the level isn't finite, or length or coefficient isn't positive.

    Examples
    --------
    >>> Weir(101.2, 4.0, 1.5).length_m
    4.0
    """

    level_m: float
    length_m: float
    coefficient: float

    def __post_init__(self) -> None:
        check_finite(level_m=self.level_m)
        check_positive(length_m=self.length_m, coefficient=self.coefficient)


@one_line("crest_level_m", "sill.level_m", "sill.length_m", "intake_mm_h", "delay_min")
@dataclass(frozen=True, eq=False)
class Pond:
    """A swale or hollow as it takes part in the routing.

    Parameters
    ----------
    stage : StageStorage
        What it holds at each level.
    sill : Weir
        Where it spills.
    intake_mm_h : float
        Soaking rate through the plan area of its water [mm/h].
    berm : Weir, optional
        The crest of its berm, along the whole line; a hollow has none.
    delay_min : float
        Time that its spill takes to the store below [min].
    stored_m3 : float
        Water that stands in it before the storm [m³].

    Raises
    ------
    InputError
        If intake, delay or that water is negative, the sill lies below the bed or the crest below the sill.
    """

    stage: StageStorage
    sill: Weir
    intake_mm_h: float = 0.0
    berm: Weir | None = None
    delay_min: float = 0.0
    stored_m3: float = 0.0

    def __post_init__(self) -> None:
        check_not_negative(intake_mm_h=self.intake_mm_h, delay_min=self.delay_min, stored_m3=self.stored_m3)
        check_ordered("lowest_bed_m", float(self.stage.level_m[0]), "sill_level_m", self.sill.level_m)
        if self.berm is not None:
            check_ordered("sill_level_m", self.sill.level_m, "crest_level_m", self.berm.level_m)

    @property
    def crest_level_m(self) -> float:
        """Level above which water goes over the berm, infinite without one [m]."""
        return np.inf if self.berm is None else self.berm.level_m

    @property
    def film_intake_m3s(self) -> float:
        """Rate at which its last film of water soaks away [m³/s]."""
        return self.intake_mm_h / _MM_H_PER_M_S * float(self.stage.area_m2[0])

    @property
    def delay_s(self) -> float:
        """Time that its spill takes to the store below [s]."""
        return self.delay_min * _SECONDS_PER_MINUTE

    def passed_on_m3(self, spilled_m3: NDArray[np.float64], edge_s: NDArray[np.float64]) -> NDArray[np.float64]:
        """Water that reaches the store below in each step, a delay later than it left, its shape unchanged.

        Parameters
        ----------
        spilled_m3 : ndarray of float64, shape (t,)
            Water that leaves in each step [m³].
        edge_s : ndarray of float64, shape (t + 1,)
            Ends of the steps [s].

        Returns
        -------
        ndarray of float64, shape (t,)
            Water that arrives in each step [m³]; what would arrive after the last isn't in it.

        Examples
        --------
        >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
        >>> pond = Pond(box, Weir(0.5, 2.0, 1.5), delay_min=1.5)
        >>> pond.passed_on_m3(np.array([6.0, 0.0, 0.0, 0.0]), np.arange(5.0) * 60.0)
        array([0., 3., 3., 0.])
        """
        total = np.append(0.0, np.cumsum(spilled_m3))
        return np.diff(np.maximum.accumulate(np.interp(edge_s - self.delay_s, edge_s, total)))


@one_line("level_m", "soaked_m3", "spilled_m3")
@dataclass(frozen=True, eq=False)
class Passage(Frozen):
    """What one inflow does to a store, step by step; all arrays have shape (t,).

    Parameters
    ----------
    inflow_m3 : ndarray of float64
        Water that arrives in the step [m³].
    stored_m3, level_m : ndarray of float64
        Water held [m³] and its level [m] at the step's end.
    soaked_m3, spilled_m3 : ndarray of float64
        Water that soaks away and that leaves over sill and berm in the step [m³].
    """

    inflow_m3: NDArray[np.float64]
    stored_m3: NDArray[np.float64]
    level_m: NDArray[np.float64]
    soaked_m3: NDArray[np.float64]
    spilled_m3: NDArray[np.float64]

    def peak_spill_m3s(self, edge_s: NDArray[np.float64]) -> float:
        """Greatest mean flow over sill and berm in a step.

        Parameters
        ----------
        edge_s : ndarray of float64, shape (t + 1,)
            Ends of the steps [s].

        Returns
        -------
        float
            Flow [m³/s].

        Examples
        --------
        >>> dry, spilled = np.zeros(2), np.array([6.0, 3.0])
        >>> Passage(spilled, dry, dry, dry, spilled).peak_spill_m3s(np.array([0.0, 60.0, 120.0]))
        0.1
        """
        return float((self.spilled_m3 / np.diff(edge_s)).max())

    def empty_after_h(self, edge_s: NDArray[np.float64], film_intake_m3s: float) -> float:
        """Time at which the store is dry for good [h].

        Zero where it never held water at the end of a step, infinite where it still does at the last.

        Parameters
        ----------
        edge_s : ndarray of float64, shape (t + 1,)
            Ends of the steps [s].
        film_intake_m3s : float
            Rate at which the last film soaks away [m³/s].

        Returns
        -------
        float
            Time from the beginning of the storm [h].

        Examples
        --------
        The 5 m³ that are left after an hour soak away at 0.001 m³/s within 5000 s more:

        >>> stored, soaked = np.array([5.0, 0.0, 0.0]), np.array([0.0, 5.0, 0.0])
        >>> passage = Passage(soaked[::-1], stored, stored, soaked, np.zeros(3))
        >>> round(passage.empty_after_h(np.array([0.0, 3600.0, 10800.0, 18000.0]), film_intake_m3s=0.001), 3)
        2.389
        """
        wet = np.flatnonzero(self.stored_m3 > 0)
        if wet.size == 0:
            return 0.0
        drying = int(wet[-1]) + 1
        if drying == self.stored_m3.size:
            return np.inf
        seconds = self.soaked_m3[drying] / film_intake_m3s if film_intake_m3s > 0 else 0.0
        return float(edge_s[drying] + seconds) / _SECONDS_PER_HOUR


def route_pond(pond: Pond, inflow_m3: NDArray[np.float64], step_s: NDArray[np.float64]) -> Passage:
    """Pass an inflow through a store.

    Parameters
    ----------
    pond : Pond
        The store.
    inflow_m3 : ndarray of float64, shape (t,)
        Water that arrives in each step [m³].
    step_s : ndarray of float64, shape (t,)
        Length of each step [s].

    Returns
    -------
    Passage
        No drop is made or lost: stored before + inflow = soaked + spilled + stored at the end.

    Raises
    ------
    InputError
        If the arrays differ in shape.

    Notes
    -----
    dV/dt = I − f A(h) − C L (h − h_sill)^1.5 with a level water surface, by the implicit Euler rule in quarters of a
    step: it can't swing at any step, and its error shrinks with the step. Soaking goes straight down through the plan
    area and never takes more than is there. The sill is not drowned from below.

    References
    ----------
    .. [1] Chow, Maidment & Mays (1988). Applied Hydrology, section 8.2: level pool routing.

    Examples
    --------
    >>> box = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 60.0]), np.array([60.0, 60.0]))
    >>> passage = route_pond(Pond(box, Weir(0.5, 2.0, 1.5)), np.full(60, 6.0), np.full(60, 60.0))
    >>> round(float(passage.spilled_m3[-1]), 3)
    6.0
    >>> full = Pond(box, Weir(0.5, 2.0, 1.5), stored_m3=30.0)
    >>> round(float(route_pond(full, np.full(60, 6.0), np.full(60, 60.0)).spilled_m3.sum()))
    354
    """
    check_same_shape(inflow_m3=inflow_m3, step_s=step_s)
    floor_m, berm = float(pond.stage.level_m[0]), pond.berm
    outlets = Outlets(
        intake=pond.intake_mm_h / _MM_H_PER_M_S,
        sill=pond.sill.level_m - floor_m,
        sill_factor=pond.sill.coefficient * pond.sill.length_m,
        berm=pond.crest_level_m - floor_m,
        berm_factor=0.0 if berm is None else berm.coefficient * berm.length_m,
    )
    depth_m = pond.stage.level_m - floor_m
    stage = pond.stage
    rows = route_pool(
        read_only(inflow_m3), step_s, depth_m, stage.volume_m3, stage.area_m2, outlets, float(pond.stored_m3)
    )
    return Passage(inflow_m3, rows[0], rows[1] + floor_m, rows[2], rows[3])
