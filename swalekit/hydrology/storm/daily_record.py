"""A rain gauge's record, day by day."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen

GREATEST_DAY_MM = 2000.0
"""More never fell in 24 hours: the record is 1825 mm, at Foc-Foc, La Réunion, in 1966 (WMO)."""


@one_line("dates", "depth_mm", "missing_days")
@dataclass(frozen=True, eq=False)
class DailyRecord(Frozen):
    """Rain of every day that was read; a day that isn't listed is missing.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days, in order, each once.
    depth_mm : ndarray of float64, shape (n,)
        Rain of the day [mm].

    Raises
    ------
    InputError
        If the record is empty or without any rain, days are out of order or given twice, or rain is negative or more
        than ever fell.

    Examples
    --------
    >>> days = np.arange("2001-12-30", "2002-01-03", dtype="datetime64[D]")
    >>> DailyRecord(days, np.array([0.0, 12.0, 3.0, 0.0])).missing_days
    {2001: 363, 2002: 363}
    """

    dates: NDArray[np.datetime64]
    depth_mm: NDArray[np.float64]

    def __post_init__(self) -> None:
        check_same_shape(dates=self.dates, depth_mm=self.depth_mm)
        fault = record_fault(self.dates, self.depth_mm)
        if fault is not None:
            message = f"daily record: {fault[1]}"
            raise InputError(message)
        if not (self.depth_mm > 0).any():
            message = f"daily record of {len(self.dates)} days holds no rain at all; put the depth in its second column"
            raise InputError(message)
        self.dates.flags.writeable = False
        self.depth_mm.flags.writeable = False
        super().__post_init__()

    @property
    def years(self) -> NDArray[np.int64]:
        """Calendar year of each day listed."""
        return self.dates.astype("datetime64[Y]").astype(np.int64) + 1970

    @property
    def missing_days(self) -> dict[int, int]:
        """Days that aren't listed, by calendar year from the first to the last of the record."""
        years = self.years
        return {
            int(year): days_in_year(year) - int(np.count_nonzero(years == year))
            for year in range(years[0], years[-1] + 1)
        }


def days_in_year(year: int) -> int:
    """Days of a calendar year.

    Parameters
    ----------
    year : int
        Year, of four digits at most.

    Returns
    -------
    int
        365 or 366.

    Examples
    --------
    >>> days_in_year(2000), days_in_year(2001)
    (366, 365)
    """
    start, end = (np.datetime64(f"{first:04d}-01-01", "D") for first in (year, year + 1))
    return int((end - start).astype(np.int64))


def record_fault(dates: NDArray[np.datetime64], depth_mm: NDArray[np.float64]) -> tuple[int, str] | None:
    """First row of a record that can't be right.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days.
    depth_mm : ndarray of float64, shape (n,)
        Rain of the day [mm].

    Returns
    -------
    tuple of int and str, or None
        Index of the row and what is wrong with it; None if all is in order.

    Examples
    --------
    >>> days = np.array(["2001-03-01", "2001-03-01"], "datetime64[D]")
    >>> record_fault(days, np.array([0.0, 4.0]))
    (1, 'day 2001-03-01 is given twice; keep one of them')
    """
    wrong_rain = ~((depth_mm >= 0) & (depth_mm <= GREATEST_DAY_MM))
    wrong_day = np.append(False, np.diff(dates) <= np.timedelta64(0, "D"))
    wrong = np.flatnonzero(wrong_rain | wrong_day[: len(dates)])
    if not len(wrong):
        return None
    row = int(wrong[0])
    if depth_mm[row] > GREATEST_DAY_MM:
        return row, (
            f"rain of {dates[row]} is {depth_mm[row]:g} mm, and more than {GREATEST_DAY_MM:g} mm never fell in a day; "
            "correct it, or check the unit"
        )
    if wrong_rain[row]:
        return row, f"rain of {dates[row]} is {depth_mm[row]:g} mm; it can't be negative: leave out a day not read"
    if dates[row] == dates[row - 1]:
        return row, f"day {dates[row]} is given twice; keep one of them"
    return row, f"day {dates[row]} comes after {dates[row - 1]}; sort the record by date"
