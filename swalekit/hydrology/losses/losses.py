"""What the ground keeps of a storm: the loss methods, all asked the same two questions."""

from abc import ABC, abstractmethod
from dataclasses import dataclass, replace
from functools import cache
from typing import ClassVar, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_not_negative, check_one_of, check_same_shape
from swalekit.errors import InputError
from swalekit.hydrology.losses import curve_number as nrcs
from swalekit.hydrology.losses.antecedent import CONDITIONS, antecedent_curve_number
from swalekit.hydrology.storm.hyetograph import Hyetograph, storm_fault
from swalekit.hydrology.storm.nrcs_storm import nrcs_storm
from swalekit.kernels.green_ampt import rain_excess


@cache
def default_storm_shape() -> Hyetograph:
    """Course of a storm where none is given: NRCS type II, 24 hours.

    Notes
    -----
    Its peak hour brings 45 % of the rain, which suits ground whose runoff comes from thunderstorms. Rain spread evenly
    over a day would leave next to nothing on most soils, and that isn't safe to size for.
    """
    return nrcs_storm(1.0, "II")


class Loss(ABC):
    """One way to tell the rain that runs off from the rain that doesn't.

    Whatever the method, runoff lies between nothing and the rain, and more rain in every step never makes less of it.
    """

    method: ClassVar[str]
    """Name of the method."""
    follows_course: ClassVar[bool] = True
    """Whether runoff depends on the course of a storm as well as on its depth."""

    def excess_mm(self, time_h: ArrayLike, cumulative_mm: ArrayLike) -> NDArray[np.float64]:
        """Rain that has run off, over the time of a storm.

        Parameters
        ----------
        time_h : array_like, shape (n,)
            Time, rising [h].
        cumulative_mm : array_like, shape (n,)
            Rain fallen until then, from 0, never falling; between two times it falls evenly [mm].

        Returns
        -------
        ndarray of float64, shape (n,)
            Runoff until then [mm].

        Raises
        ------
        InputError
            If the arrays differ in length, time doesn't rise, or rain doesn't start with 0 or is negative in a step.
        """
        time, rain = np.asarray(time_h, np.float64), np.asarray(cumulative_mm, np.float64)
        check_same_shape(time_h=time, cumulative_mm=rain)
        fault = storm_fault(time, rain)
        if fault is not None:
            message = f"storm at {time[fault[0]]:g} h: {fault[1]}"
            raise InputError(message)
        if rain[:1].tolist() != [0.0]:
            message = f"cumulative_mm starts with {rain[:1]}; it must start with 0"
            raise InputError(message)
        return np.asarray(np.minimum(self._excess_mm(time, rain[np.newaxis])[0], rain))

    def runoff_mm(self, rain_mm: ArrayLike, *, shape: Hyetograph | None = None) -> NDArray[np.float64]:
        """Runoff of whole storms.

        Parameters
        ----------
        rain_mm : array_like
            Depth of each storm [mm].
        shape : Hyetograph, optional
            Course of every storm, scaled to its depth; `default_storm_shape` if not given. Without effect on methods
            that don't follow the course.

        Returns
        -------
        ndarray of float64
            Runoff, in the shape of the rain [mm].

        Raises
        ------
        InputError
            If rain is negative or not finite.
        """
        rain = np.asarray(rain_mm, np.float64)
        wrong = rain[~((rain >= 0) & np.isfinite(rain))]
        if wrong.size:
            message = f"rain_mm is {wrong[0]:g}; it must be finite and zero or greater"
            raise InputError(message)
        course = default_storm_shape() if shape is None else shape
        time_h, fallen = (course.time_h, course.cumulative_mm) if self.follows_course else (np.zeros(1), np.ones(1))
        cumulative_mm = rain.reshape(-1, 1) * (fallen / fallen[-1])
        return np.asarray(np.minimum(self._excess_mm(time_h, cumulative_mm)[:, -1].reshape(rain.shape), rain))

    def with_condition(self, condition: str) -> Self:
        """The loss where the ground is ``dry``, ``average`` or ``wet`` before the storm; only curve numbers change.

        Raises
        ------
        InputError
            If the condition is unknown.
        """
        check_one_of(CONDITIONS, condition=condition)
        return self

    @abstractmethod
    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Runoff of m storms until each of n times, shape (m, n)."""


@dataclass(frozen=True)
class CurveNumberLoss(Loss):
    """NRCS curve number, applied to the rain fallen so far.

    Parameters
    ----------
    curve_number : float
        Curve number that belongs to the ratio, above 0 and at most 100 [-].
    initial_abstraction_ratio : float
        Ia / S [-].

    Raises
    ------
    InputError
        If a value lies outside its range.

    Notes
    -----
    Made for whole storms: within one it knows the rain so far but not how hard it falls. `with_condition` follows
    Table 10-1 of [1]_, printed for Ia / S = 0.2.

    References
    ----------
    .. [1] USDA NRCS (2004). NEH Part 630, ch. 10, eq. 10-11 and example 10-6.

    Examples
    --------
    >>> CurveNumberLoss(80.0).excess_mm([0.0, 1.0, 2.0], [0.0, 25.0, 50.0]).round(1)
    array([ 0. ,  2. , 13.8])
    """

    curve_number: float
    initial_abstraction_ratio: float = 0.2
    method: ClassVar[str] = "curve number"
    follows_course: ClassVar[bool] = False

    def __str__(self) -> str:
        return f"curve number {self.curve_number:g}"

    def __post_init__(self) -> None:
        nrcs.retention_mm(self.curve_number)
        check_between(0.0, 1.0, initial_abstraction_ratio=self.initial_abstraction_ratio)

    def with_condition(self, condition: str) -> Self:
        """The loss with the curve number for that antecedent runoff condition."""
        return replace(self, curve_number=float(antecedent_curve_number(self.curve_number, condition)))

    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        ratio = self.initial_abstraction_ratio
        return nrcs.runoff_mm(cumulative_mm, self.curve_number, initial_abstraction_ratio=ratio)


@dataclass(frozen=True)
class GreenAmptLoss(Loss):
    """Infiltration behind a sharp wetting front, by Green and Ampt, with the time of ponding by Mein and Larson.

    Parameters
    ----------
    conductivity_mm_h : float
        Conductivity of the wetted soil [mm/h].
    suction_mm : float
        Suction at the wetting front, as a head [mm].
    moisture_deficit : float
        Water that a volume of soil can still take up before the storm, 0 to 1 [-].

    Raises
    ------
    InputError
        If a value is negative or the deficit exceeds 1.

    Notes
    -----
    The ground can take in f = K (1 + ψΔθ / F). Rain of intensity i ponds at F = K ψΔθ / (i − K); from then on
    F₂ − F₁ − ψΔθ ln[(ψΔθ + F₂) / (ψΔθ + F₁)] = K Δt, solved exactly in every step of even rain. What can't soak in
    runs off at once: no water stands on the surface. Between two bursts the front doesn't redistribute and the deficit
    doesn't recover, so that runoff after a long dry spell within the storm is overstated. One deep even soil; no crust,
    no water table, no cracks.

    References
    ----------
    .. [1] Green & Ampt (1911). J. Agric. Sci. 4(1).
    .. [2] Mein & Larson (1973). Water Resour. Res. 9(2).
    .. [3] Chow, Maidment & Mays (1988). Applied Hydrology, sections 4.3, 4.4 and 5.4.

    Examples
    --------
    >>> silt_loam = GreenAmptLoss(conductivity_mm_h=6.5, suction_mm=167.0, moisture_deficit=0.34)
    >>> silt_loam.excess_mm([0.0, 0.1, 0.5, 1.0], [0.0, 5.0, 25.0, 26.0]).round(1)
    array([0. , 0. , 5.6, 5.6])
    """

    conductivity_mm_h: float
    suction_mm: float
    moisture_deficit: float
    method: ClassVar[str] = "Green-Ampt"

    def __str__(self) -> str:
        return (
            f"Green-Ampt with K {self.conductivity_mm_h:.3g} mm/h, suction {self.suction_mm:.3g} mm, "
            f"moisture deficit {self.moisture_deficit:.2g}"
        )

    def __post_init__(self) -> None:
        check_not_negative(conductivity_mm_h=self.conductivity_mm_h, suction_mm=self.suction_mm)
        check_between(0.0, 1.0, moisture_deficit=self.moisture_deficit)

    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        rain_mm = np.diff(cumulative_mm, axis=1)
        excess = rain_excess(np.diff(time_h), rain_mm, self.conductivity_mm_h, self.suction_mm * self.moisture_deficit)
        return np.insert(excess, 0, 0.0, axis=1)


@dataclass(frozen=True)
class ConstantLoss(Loss):
    """An initial loss, then loss at one rate.

    Parameters
    ----------
    initial_mm : float
        Rain kept before any runs off [mm].
    rate_mm_h : float
        Rain kept from then on while it rains [mm/h].

    Raises
    ------
    InputError
        If a value is negative.

    Notes
    -----
    Excess i − r from the moment that the initial loss is filled, wherever in a step that is, and 0 while i < r.

    References
    ----------
    .. [1] Chow, Maidment & Mays (1988). Applied Hydrology, section 5.2: the φ-index is the rate without initial loss.

    Examples
    --------
    >>> ConstantLoss(initial_mm=10.0, rate_mm_h=5.0).excess_mm([0.0, 1.0, 2.0], [0.0, 20.0, 24.0])
    array([0. , 7.5, 7.5])
    """

    initial_mm: float
    rate_mm_h: float
    method: ClassVar[str] = "constant loss"

    def __str__(self) -> str:
        return f"loss of {self.initial_mm:.3g} mm, then {self.rate_mm_h:.3g} mm/h"

    def __post_init__(self) -> None:
        check_not_negative(initial_mm=self.initial_mm, rate_mm_h=self.rate_mm_h)

    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        rain_mm = np.diff(cumulative_mm, axis=1)
        kept_mm = self.rate_mm_h * np.diff(time_h)
        over = np.divide(rain_mm - kept_mm, rain_mm, out=np.zeros_like(rain_mm), where=rain_mm > kept_mm)
        late_mm = np.clip(cumulative_mm[:, 1:] - self.initial_mm, 0.0, rain_mm)
        return np.insert(np.cumsum(late_mm * over, axis=1), 0, 0.0, axis=1)


@dataclass(frozen=True)
class RunoffCoefficient(Loss):
    """A fixed share of the rain runs off.

    Parameters
    ----------
    coefficient : float
        Runoff over rain, 0 to 1 [-].

    Raises
    ------
    InputError
        If the coefficient lies outside its range.

    Notes
    -----
    Right for the season or the kind of storm that the coefficient was measured in, and for no other: in truth the
    share grows with the storm.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, section 3.4.

    Examples
    --------
    >>> RunoffCoefficient(0.25).runoff_mm([20.0, 60.0])
    array([ 5., 15.])
    """

    coefficient: float
    method: ClassVar[str] = "runoff coefficient"
    follows_course: ClassVar[bool] = False

    def __str__(self) -> str:
        return f"runoff coefficient {self.coefficient:g}"

    def __post_init__(self) -> None:
        check_between(0.0, 1.0, coefficient=self.coefficient)

    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        return self.coefficient * cumulative_mm


LOSS_METHODS: tuple[type[Loss], ...] = (CurveNumberLoss, GreenAmptLoss, ConstantLoss, RunoffCoefficient)
"""Every loss method."""
