"""Rain of one storm over its time."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen

_MINUTES_PER_HOUR = 60.0


@one_line("depth_mm", "duration_h", "time_h")
@dataclass(frozen=True, eq=False)
class Hyetograph(Frozen):
    """Rain fallen since the start of a storm; between two times it falls evenly.

    Parameters
    ----------
    time_h : ndarray of float64, shape (n,)
        Time since the start, rising from 0 [h].
    cumulative_mm : ndarray of float64, shape (n,)
        Rain fallen until then, from 0, never falling [mm].

    Raises
    ------
    InputError
        If time or rain doesn't start at zero, time doesn't rise, rain falls, or there is none.

    Examples
    --------
    >>> storm = Hyetograph(np.array([0.0, 1.0, 1.5, 3.0]), np.array([0.0, 5.0, 20.0, 26.0]))
    >>> storm.depth_mm, storm.duration_h, storm.peak_intensity_mm_h(30.0)
    (26.0, 3.0, 30.0)
    >>> storm.scaled_to(52.0).increments_mm(60.0)
    array([10., 34.,  8.])
    """

    time_h: NDArray[np.float64]
    cumulative_mm: NDArray[np.float64]

    def __post_init__(self) -> None:
        check_same_shape(time_h=self.time_h, cumulative_mm=self.cumulative_mm)
        if len(self.time_h) < 2 or self.time_h[0] != 0 or self.cumulative_mm[0] != 0:
            message = f"hyetograph of {len(self.time_h)} times must start with 0 mm at 0 h and have at least one more"
            raise InputError(message)
        fault = storm_fault(self.time_h, self.cumulative_mm)
        if fault is not None:
            message = f"hyetograph at {self.time_h[fault[0]]:g} h: {fault[1]}"
            raise InputError(message)
        check_positive(storm_depth_mm=self.depth_mm)
        self.time_h.flags.writeable = False
        self.cumulative_mm.flags.writeable = False
        super().__post_init__()

    @classmethod
    def from_increments(cls, increments_mm: ArrayLike, *, step_min: float) -> Self:
        """Storm from the rain of equal steps.

        Parameters
        ----------
        increments_mm : array_like, shape (n,)
            Rain of each step [mm].
        step_min : float
            Length of a step [min].

        Returns
        -------
        Hyetograph
            From 0 to the end of the last step.

        Raises
        ------
        InputError
            If the step isn't greater than zero, a step's rain is negative, or there is none at all.

        Examples
        --------
        >>> Hyetograph.from_increments([2.0, 6.0, 4.0], step_min=10.0).cumulative_mm
        array([ 0.,  2.,  8., 12.])
        """
        check_positive(step_min=step_min)
        cumulative = np.append(0.0, np.cumsum(np.asarray(increments_mm, np.float64)))
        return cls(np.arange(len(cumulative), dtype=np.float64) * (step_min / _MINUTES_PER_HOUR), cumulative)

    @property
    def depth_mm(self) -> float:
        """Rain of the whole storm [mm]."""
        return float(self.cumulative_mm[-1])

    @property
    def duration_h(self) -> float:
        """Time from start to end [h]."""
        return float(self.time_h[-1])

    def scaled_to(self, depth_mm: float) -> Self:
        """The storm's shape with another depth.

        Parameters
        ----------
        depth_mm : float
            Depth [mm].

        Returns
        -------
        Hyetograph
            The storm, as long as before.

        Raises
        ------
        InputError
            If the depth isn't greater than zero.

        Examples
        --------
        >>> Hyetograph(np.array([0.0, 1.0, 3.0]), np.array([0.0, 8.0, 10.0])).scaled_to(50.0).cumulative_mm
        array([ 0., 40., 50.])
        """
        check_positive(depth_mm=depth_mm)
        return type(self)(self.time_h, self.cumulative_mm * (depth_mm / self.depth_mm))

    def increments_mm(self, step_min: float) -> NDArray[np.float64]:
        """Rain of equal steps; their sum is the depth, and the last may be cut short by the end of the storm.

        Parameters
        ----------
        step_min : float
            Length of a step [min].

        Returns
        -------
        ndarray of float64, shape (n,)
            Rain of each step [mm].

        Raises
        ------
        InputError
            If the step isn't greater than zero.

        Examples
        --------
        >>> Hyetograph(np.array([0.0, 1.0, 3.0]), np.array([0.0, 8.0, 10.0])).increments_mm(60.0)
        array([8., 1., 1.])
        """
        check_positive(step_min=step_min)
        steps = np.ceil(self.duration_h * _MINUTES_PER_HOUR / step_min - 1e-9)
        ends_h = np.arange(steps + 1) * (step_min / _MINUTES_PER_HOUR)
        return np.diff(np.interp(ends_h, self.time_h, self.cumulative_mm))

    def peak_intensity_mm_h(self, window_min: float) -> float:
        """Greatest mean intensity over any stretch of a given length.

        Parameters
        ----------
        window_min : float
            Length of the stretch [min].

        Returns
        -------
        float
            Intensity [mm/h].

        Raises
        ------
        InputError
            If the stretch isn't greater than zero.

        Notes
        -----
        Rain in a moving window changes evenly until one of its ends meets a given time, so only these are tried.

        Examples
        --------
        >>> Hyetograph(np.array([0.0, 1.0, 3.0]), np.array([0.0, 8.0, 10.0])).peak_intensity_mm_h(120.0)
        4.5
        """
        check_positive(window_min=window_min)
        window_h = window_min / _MINUTES_PER_HOUR
        starts_h = np.concatenate([self.time_h, self.time_h - window_h])
        before, after = (
            np.interp(times_h, self.time_h, self.cumulative_mm) for times_h in (starts_h, starts_h + window_h)
        )
        return float(np.max(after - before)) / window_h


def uniform_storm(depth_mm: float, duration_h: float) -> Hyetograph:
    """A storm of one intensity.

    Parameters
    ----------
    depth_mm : float
        Rain of the storm [mm].
    duration_h : float
        How long it lasts [h].

    Returns
    -------
    Hyetograph
        The storm.

    Raises
    ------
    InputError
        If depth or duration isn't positive.

    Notes
    -----
    No real storm is so even: it makes the least runoff and the lowest peak that the depth can make.

    Examples
    --------
    >>> uniform_storm(60.0, 4.0).peak_intensity_mm_h(15.0)
    15.0
    """
    check_positive(depth_mm=depth_mm, duration_h=duration_h)
    return Hyetograph(np.array([0.0, duration_h]), np.array([0.0, depth_mm]))


def storm_fault(time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> tuple[int, str] | None:
    """First row of a storm that can't be right.

    Parameters
    ----------
    time_h : ndarray of float64, shape (n,)
        Time [h].
    cumulative_mm : ndarray of float64, shape (n,)
        Rain fallen until then [mm].

    Returns
    -------
    tuple of int and str, or None
        Index of the row and what is wrong with it; None if all is in order.

    Examples
    --------
    >>> storm_fault(np.array([0.0, 1.0, 1.0]), np.array([0.0, 4.0, 9.0]))
    (2, 'time does not rise: 1 h comes after 1 h')
    """
    steps_h, steps_mm = np.diff(time_h), np.diff(cumulative_mm)
    wrong = np.flatnonzero(~((steps_h > 0) & (steps_mm >= 0) & np.isfinite(steps_h + steps_mm)))
    if not len(wrong):
        return None
    row = int(wrong[0]) + 1
    if not steps_h[row - 1] > 0:
        return row, f"time does not rise: {time_h[row]:g} h comes after {time_h[row - 1]:g} h"
    return row, f"{steps_mm[row - 1]:.4g} mm since the time before; rain can't be negative"
