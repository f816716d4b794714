"""Rain depth by duration and return period, as a rainfall atlas gives it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen

_SAME = 1e-9
"""Relative difference up to which two durations or return periods count as one."""


@one_line("durations_h", "return_periods_y", "depth_mm")
@dataclass(frozen=True, eq=False)
class DepthTable(Frozen):
    """Depths of rain for several durations and return periods at one place.

    Parameters
    ----------
    durations_h : ndarray of float64, shape (d,)
        Durations, rising [h].
    return_periods_y : ndarray of float64, shape (r,)
        Return periods, rising [years].
    depth_mm : ndarray of float64, shape (d, r)
        Depths [mm]; none falls with duration or with return period.

    Raises
    ------
    InputError
        If shapes don't fit, a figure isn't positive, or an order is broken.

    Examples
    --------
    >>> table = DepthTable(np.array([1.0, 24.0]), np.array([2.0, 10.0]), np.array([[20.0, 35.0], [40.0, 70.0]]))
    >>> table.depth_mm_at(24.0, 10.0)
    70.0
    >>> round(table.depth_mm_at(6.0, 10.0), 2)
    51.74
    """

    durations_h: NDArray[np.float64]
    return_periods_y: NDArray[np.float64]
    depth_mm: NDArray[np.float64]

    def __post_init__(self) -> None:
        shape = (len(self.durations_h), len(self.return_periods_y))
        if 0 in shape or self.depth_mm.shape != shape:
            message = (
                f"depth table of {shape[0]} durations and {shape[1]} return periods has depths of shape "
                f"{self.depth_mm.shape}; it needs a row a duration and a column a return period"
            )
            raise InputError(message)
        fault = return_period_fault(self.return_periods_y)
        if fault is None:
            found = table_fault(self.durations_h, self.return_periods_y, self.depth_mm)
            fault = found and found[1]
        if fault is not None:
            message = f"depth table: {fault}"
            raise InputError(message)
        for array in (self.durations_h, self.return_periods_y, self.depth_mm):
            array.flags.writeable = False
        super().__post_init__()

    @classmethod
    def from_ratios(cls, day_depth_mm: float, ratios: Mapping[float, float], *, return_period_y: float) -> Self:
        """Table of one return period from the depth of a day and the share that falls in shorter times.

        Parameters
        ----------
        day_depth_mm : float
            Depth in 24 hours [mm].
        ratios : mapping of float to float
            Duration [h] to its share of the depth in 24 hours [-].
        return_period_y : float
            Return period of the depth [years].

        Returns
        -------
        DepthTable
            One column.

        Raises
        ------
        InputError
            If the depth or a share isn't positive, or a longer time has the smaller share.

        Examples
        --------
        >>> DepthTable.from_ratios(60.0, {1.0: 0.45, 24.0: 1.0}, return_period_y=10.0).depth_mm_at(1.0, 10.0)
        27.0
        """
        durations_h = np.array(sorted(ratios), np.float64)
        shares = np.array([ratios[duration_h] for duration_h in sorted(ratios)], np.float64)
        return cls(durations_h, np.array([return_period_y], np.float64), day_depth_mm * shares[:, np.newaxis])

    def depth_mm_at(self, duration_h: float, return_period_y: float) -> float:
        """Depth for a duration and a return period.

        Parameters
        ----------
        duration_h : float
            Duration [h].
        return_period_y : float
            Return period [years].

        Returns
        -------
        float
            Depth [mm].

        Raises
        ------
        InputError
            If the point lies outside the table, or the table has a single duration or return period and it isn't
            that one.

        Notes
        -----
        Linear in the logarithms of depth, duration and return period; a printed depth is met.

        Examples
        --------
        >>> table = DepthTable(np.array([1.0, 4.0]), np.array([10.0]), np.array([[20.0], [40.0]]))
        >>> round(table.depth_mm_at(2.0, 10.0), 2)  # the mean of the logarithms
        28.28
        """
        check_positive(duration_h=duration_h, return_period_y=return_period_y)
        column = _read_at(duration_h, self.durations_h, self.depth_mm, "duration", "h")
        return float(_read_at(return_period_y, self.return_periods_y, column, "return period", "years"))

    def cdf(self, depth_mm: ArrayLike, duration_h: float) -> NDArray[np.float64]:
        """Probability that no storm of a duration brings more than a depth in a year.

        Parameters
        ----------
        depth_mm : array_like
            Depth [mm].
        duration_h : float
            Duration [h].

        Returns
        -------
        ndarray of float64
            Probability, in the shape of the depth [-].

        Raises
        ------
        InputError
            If the duration lies outside the table, or it has fewer than two return periods above a year, or one depth
            for all of them.

        Notes
        -----
        1 − 1/T, return periods being those of annual maxima: linear in the logarithms of depth and return period
        between columns, as `depth_mm_at`. Below the first column and beyond the last the Gumbel distribution of the two
        columns there goes on, which for rain of dry country can be too light at the top.

        Examples
        --------
        >>> table = DepthTable(np.array([24.0]), np.array([2.0, 10.0]), np.array([[40.0, 70.0]]))
        >>> table.cdf([40.0, 70.0], 24.0)
        array([0.5, 0.9])
        """
        column = _read_at(duration_h, self.durations_h, self.depth_mm, "duration", "h")
        years, known = (part[self.return_periods_y > 1.0] for part in (self.return_periods_y, column))
        if years.size < 2 or known[0] == known[-1]:
            message = (
                f"the depth table has {years.size} return periods above a year in {duration_h:g} h; how often a "
                "depth is exceeded takes two with different depths"
            )
            raise InputError(message)
        depth, variate = np.asarray(depth_mm, np.float64), -np.log(-np.log(1.0 - 1.0 / years))
        rises = np.flatnonzero(np.diff(known) > 0)
        within = np.exp(np.interp(np.log(np.maximum(depth, known[0])), np.log(known), np.log(years)))
        chance = 1.0 - 1.0 / within
        for beyond, first in ((depth < known[0], int(rises[0])), (depth > known[-1], int(rises[-1]))):
            slope = (variate[first + 1] - variate[first]) / (known[first + 1] - known[first])
            gumbel = np.exp(-np.exp(-(variate[first] + slope * (depth - known[first]))))
            chance = np.where(beyond, gumbel, chance)
        return np.asarray(chance)


def return_period_fault(return_periods_y: NDArray[np.float64]) -> str | None:
    """What is wrong with the return periods of a table.

    Parameters
    ----------
    return_periods_y : ndarray of float64, shape (n,)
        Return periods [years].

    Returns
    -------
    str or None
        What is wrong; None if they rise from above zero.

    Examples
    --------
    >>> return_period_fault(np.array([2.0, 10.0, 5.0]))
    'return periods must rise, but 10 years comes before 5; sort them and keep each once'
    """
    fault = _rising_fault("return periods", return_periods_y, "years")
    return fault and fault[1]


def table_fault(
    durations_h: NDArray[np.float64], return_periods_y: NDArray[np.float64], depth_mm: NDArray[np.float64]
) -> tuple[int, str] | None:
    """First row of a table that can't be right.

    Parameters
    ----------
    durations_h : ndarray of float64, shape (d,)
        Durations [h].
    return_periods_y : ndarray of float64, shape (r,)
        Return periods [years].
    depth_mm : ndarray of float64, shape (d, r)
        Depths [mm].

    Returns
    -------
    tuple of int and str, or None
        Index of the row and what is wrong with it; None if all is in order.

    Examples
    --------
    >>> table_fault(np.array([1.0, 24.0]), np.array([2.0]), np.array([[30.0], [20.0]]))
    (1, 'depth falls with duration at 2 years: 30 mm in 1 h, 20 mm in 24 h; correct it, or say if it is an intensity')
    """
    fault = _rising_fault("durations", durations_h, "h")
    if fault is not None:
        return fault
    unfit = np.argwhere(~((depth_mm > 0) & np.isfinite(depth_mm)))
    if len(unfit):
        row, column = unfit[0]
        return int(row), (
            f"depth in {durations_h[row]:g} h at {return_periods_y[column]:g} years is {depth_mm[row, column]:g} mm; "
            "it must be a number greater than zero"
        )
    falls = np.argwhere(np.diff(depth_mm, axis=1) < 0)
    if len(falls):
        row, column = falls[0]
        return int(row), (
            f"depth falls with return period at {durations_h[row]:g} h: "
            f"{depth_mm[row, column]:.4g} mm at {return_periods_y[column]:g} years, "
            f"{depth_mm[row, column + 1]:.4g} mm at {return_periods_y[column + 1]:g}; correct it"
        )
    falls = np.argwhere(np.diff(depth_mm, axis=0) < 0)
    if len(falls):
        row, column = falls[0]
        return int(row) + 1, (
            f"depth falls with duration at {return_periods_y[column]:g} years: "
            f"{depth_mm[row, column]:.4g} mm in {durations_h[row]:g} h, "
            f"{depth_mm[row + 1, column]:.4g} mm in {durations_h[row + 1]:g} h; "
            "correct it, or say if it is an intensity"
        )
    return None


def _rising_fault(name: str, values: NDArray[np.float64], unit: str) -> tuple[int, str] | None:
    """First value that isn't greater than zero or doesn't exceed the one before."""
    before = np.append(0.0, values[:-1])
    unfit = np.flatnonzero(~((values > before) & np.isfinite(values)))
    if not len(unfit):
        return None
    place = int(unfit[0])
    if values[place] > 0 and np.isfinite(values[place]):
        fault = f"must rise, but {before[place]:g} {unit} comes before {values[place]:g}; sort them and keep each once"
    else:
        fault = f"must be numbers greater than zero, found {values[place]:g} {unit}; correct it"
    return place, f"{name} {fault}"


def _read_at(
    at: float, known: NDArray[np.float64], values: NDArray[np.float64], name: str, unit: str
) -> NDArray[np.float64]:
    """Values at a duration or return period, along the first axis."""
    met = np.flatnonzero(np.isclose(known, at, rtol=_SAME, atol=0.0))
    if len(met):
        found: NDArray[np.float64] = values[met[0]]
        return found
    if len(known) == 1:
        message = f"{name} is {at:g} {unit}; the depth table holds {known[0]:g} {unit} only: ask for that"
        raise InputError(message)
    if not known[0] < at < known[-1]:
        message = (
            f"{name} is {at:g} {unit}; the depth table reaches from {known[0]:g} to {known[-1]:g} {unit}: stay within"
        )
        raise InputError(message)
    return _log_interpolated(at, known, values)


def _log_interpolated(at: float, known: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values at a place between known ones, ln v being linear in ln x."""
    left = int(np.clip(np.searchsorted(known, at, side="right") - 1, 0, len(known) - 2))
    share = np.log(at / known[left]) / np.log(known[left + 1] / known[left])
    between: NDArray[np.float64] = values[left] * (values[left + 1] / values[left]) ** share
    return between
