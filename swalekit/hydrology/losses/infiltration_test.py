"""Conductivity from a ring test in the field."""

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import nnls

from swalekit._checks import check_same_shape
from swalekit.errors import InputError

LEAST_READINGS = 3
"""Readings below which nothing is left to judge a fit of two values by."""

_MINUTES_PER_HOUR = 60.0


@dataclass(frozen=True)
class InfiltrationFit:
    """What a ring test says of a soil.

    Parameters
    ----------
    conductivity_mm_h : float
        Steady part K of the infiltration [mm/h].
    sorptivity_mm_h05 : float
        Part S that goes with the root of time [mm/h^0.5].
    spread_mm_h : float
        Standard error of K by leaving out one reading at a time [mm/h].
    late_rate_mm_h : float
        Mean rate over the last third of the readings, at least two of them, for comparison [mm/h].
    """

    conductivity_mm_h: float
    sorptivity_mm_h05: float
    spread_mm_h: float
    late_rate_mm_h: float
    method: ClassVar[str] = "Philip's S √t + K t by least squares"

    def infiltrated_mm(self, time_h: ArrayLike) -> NDArray[np.float64]:
        """Depth soaked in after a time, S √t + K t.

        Parameters
        ----------
        time_h : array_like, shape (...)
            Time since the soil was ponded [h].

        Returns
        -------
        ndarray of float64, shape (...)
            Depth [mm].

        Examples
        --------
        >>> fit = InfiltrationFit(conductivity_mm_h=10.0, sorptivity_mm_h05=20.0, spread_mm_h=1.0, late_rate_mm_h=14.0)
        >>> fit.infiltrated_mm([1.0, 4.0])
        array([30., 80.])
        """
        return philip_infiltration_mm(time_h, self.sorptivity_mm_h05, self.conductivity_mm_h)


def philip_infiltration_mm(
    time_h: ArrayLike, sorptivity_mm_h05: float, conductivity_mm_h: float
) -> NDArray[np.float64]:
    """Depth soaked in after a time, by Philip's equation of two terms.

    Parameters
    ----------
    time_h : array_like
        Time since the soil was ponded [h].
    sorptivity_mm_h05 : float
        Sorptivity S [mm/h^0.5].
    conductivity_mm_h : float
        Steady part K [mm/h]; 0 for a soil that is wetted sideways.

    Returns
    -------
    ndarray of float64
        Depth S √t + K t [mm].

    References
    ----------
    .. [1] Chow, Maidment & Mays (1988). Applied Hydrology, eq. 4.2.11.

    Examples
    --------
    >>> round(float(philip_infiltration_mm(0.5, 50.0, 4.0)), 1)
    37.4
    """
    time = np.asarray(time_h, np.float64)
    return sorptivity_mm_h05 * np.sqrt(time) + conductivity_mm_h * time


def fit_infiltration_test(time_min: ArrayLike, depth_mm: ArrayLike) -> InfiltrationFit:
    """Conductivity and sorptivity that follow the readings of a ring test best.

    Parameters
    ----------
    time_min : array_like, shape (n,)
        Time of each reading since the ring was filled, rising [min].
    depth_mm : array_like, shape (n,)
        Water soaked in until then, never falling [mm]. If the drops of the level between refills were noted, give
        their running sum.

    Returns
    -------
    InfiltrationFit
        The fit and how far it can be trusted.

    Raises
    ------
    InputError
        If there are fewer than three readings after the start, time doesn't rise, the depth falls (the reading is
        named), or the readings show no steady rate yet.

    Notes
    -----
    F = S √t + K t by least squares, neither value below zero. The spread is the jackknife's [3]_, smaller than the
    truth where errors of successive readings go together. It says nothing of how the soil differs a few steps away:
    test at several places. Philip's K belongs to the early hours and lies between a third and two thirds of the
    saturated conductivity [2]_; the late rate comes down to it from above, so that the two enclose it. Water that
    spreads sideways under a single ring makes both too great: use a double ring, and a safety factor.

    References
    ----------
    .. [1] Philip (1957). Soil Sci. 84(3).
    .. [2] Philip (1969). Theory of infiltration, Adv. Hydrosci. 5.
    .. [3] Efron (1982). The Jackknife, the Bootstrap and Other Resampling Plans, ch. 3.

    Examples
    --------
    >>> fit = fit_infiltration_test([5, 10, 20, 40, 60, 90], [16, 24, 35, 53, 69, 88])
    >>> round(fit.conductivity_mm_h), round(fit.sorptivity_mm_h05), round(fit.late_rate_mm_h)
    (17, 51, 38)
    """
    time, depth = _readings(np.asarray(time_min, np.float64), np.asarray(depth_mm, np.float64))
    time_h = time / _MINUTES_PER_HOUR
    sorptivity, conductivity = _philip_fit(time_h, depth)
    if conductivity == 0:
        message = (
            f"the {len(time)} readings up to {time[-1]:g} min show no steady rate, only water drawn in by dry soil; "
            f"go on with the test until the rate no longer falls"
        )
        raise InputError(message)
    count = len(time)
    others = np.array([_philip_fit(np.delete(time_h, k), np.delete(depth, k))[1] for k in range(count)])
    late = max(2, count // 3)
    return InfiltrationFit(
        conductivity_mm_h=conductivity,
        sorptivity_mm_h05=sorptivity,
        spread_mm_h=float(np.sqrt((count - 1) * np.var(others))),
        late_rate_mm_h=float((depth[-1] - depth[-late]) / (time_h[-1] - time_h[-late])),
    )


def _philip_fit(time_h: NDArray[np.float64], depth_mm: NDArray[np.float64]) -> tuple[float, float]:
    """Sorptivity and conductivity, neither negative."""
    (sorptivity, conductivity), _ = nnls(np.column_stack([np.sqrt(time_h), time_h]), depth_mm)
    return float(sorptivity), float(conductivity)


def _readings(
    time_min: NDArray[np.float64], depth_mm: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Readings in order, without the one that marks the start."""
    check_same_shape(time_min=time_min, depth_mm=depth_mm)
    fault = reading_fault(time_min, depth_mm)
    if fault is not None:
        message = f"reading {fault[0] + 1} has {fault[1]}"
        raise InputError(message)
    first = _first(time_min, depth_mm)
    if len(time_min) - first < LEAST_READINGS:
        message = (
            f"infiltration test has {len(time_min) - first} reading(s) after the start; take at least {LEAST_READINGS}"
        )
        raise InputError(message)
    return time_min[first:], depth_mm[first:]


def reading_fault(time_min: NDArray[np.float64], depth_mm: NDArray[np.float64]) -> tuple[int, str] | None:
    """First reading of a test that can't be right.

    Parameters
    ----------
    time_min : ndarray of float64, shape (n,)
        Time since the ring was filled [min].
    depth_mm : ndarray of float64, shape (n,)
        Water soaked in until then [mm].

    Returns
    -------
    tuple of int and str, or None
        Index of the reading and what is wrong with it; None if all is in order.

    Examples
    --------
    >>> reading_fault(np.array([5.0, 10.0]), np.array([16.0, 14.0]))
    (1, 'depth_mm 14 after 16; it must never fall: after a refill, go on from the depth before it')
    """
    first = _first(time_min, depth_mm)
    steps_min, steps_mm = np.diff(time_min[first:], prepend=0.0), np.diff(depth_mm[first:], prepend=0.0)
    wrong = np.flatnonzero(~((steps_min > 0) & (steps_mm >= 0) & np.isfinite(steps_min + steps_mm)))
    if not len(wrong):
        return None
    k = int(wrong[0])
    in_time = steps_min[k] > 0
    name, values, steps = ("depth_mm", depth_mm, steps_mm) if in_time else ("time_min", time_min, steps_min)
    rule = "never fall: after a refill, go on from the depth before it" if in_time else "rise"
    value = values[first + k]
    return first + k, f"{name} {value:g} after {value - steps[k]:g}; it must {rule}"


def _first(time_min: NDArray[np.float64], depth_mm: NDArray[np.float64]) -> int:
    """Index of the first reading after the one that marks the start, if there is one."""
    return 1 if len(time_min) and time_min[0] == 0 and depth_mm[0] == 0 else 0
