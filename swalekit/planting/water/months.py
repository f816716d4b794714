"""A budget by month and year: when the trees suffer, and what would carry them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.planting.water.water_budget import WaterBudget
from swalekit.planting.weather.days import day_of_year, month_of, year_of

Values = NDArray[np.float64]

LEAST_RATIO = 0.3
"""Share of a year's full transpiration below which trees suffer; common practice: hardy ones live on a third of it
without much of a crop; ask for half or more where fruit counts."""


@one_line("years", "rain_mm", "ratio", "reliability")
@dataclass(frozen=True, eq=False)
class MonthTable(Frozen):
    """A budget by month; arrays have one value for each of m months in order.

    Parameters
    ----------
    year, month : ndarray of int64
        Calendar year, and month 1 to 12.
    rain_mm, harvested_mm, transpiration_mm, demand_mm, irrigation_mm : ndarray of float64
        Sums of the month over the planted ground; harvested is what soaked in from the ditch within
        reach of roots [mm].
    least_ratio : float
        Transpiration over demand below which trees suffer, in a month and over a year [-].
    """

    year: NDArray[np.int64]
    month: NDArray[np.int64]
    rain_mm: Values
    harvested_mm: Values
    transpiration_mm: Values
    demand_mm: Values
    irrigation_mm: Values
    least_ratio: float

    @property
    def ratio(self) -> Values:
        """Transpiration over demand, 1 in a month without demand [-]."""
        return np.divide(
            self.transpiration_mm, self.demand_mm, out=np.ones_like(self.demand_mm), where=self.demand_mm > 0.0
        )

    @property
    def suffering(self) -> NDArray[np.bool_]:
        """Months in which the trees suffer."""
        return np.asarray(self.ratio < self.least_ratio)

    @property
    def years(self) -> tuple[int, ...]:
        """Every year of the table."""
        return tuple(int(year) for year in np.unique(self.year))

    @property
    def year_ratio(self) -> dict[int, float]:
        """Transpiration over demand of each year, 1 in a year without demand [-]."""
        sums = {year: (self.year == year) for year in self.years}
        return {
            year: float(self.transpiration_mm[these].sum() / demand) if (demand := self.demand_mm[these].sum()) else 1.0
            for year, these in sums.items()
        }

    @property
    def suffering_years(self) -> dict[int, tuple[int, ...]]:
        """Years over which transpiration falls short, each with the months in which it does; no other years."""
        return {
            year: tuple(int(month) for month in self.month[self.suffering & (self.year == year)])
            for year, ratio in self.year_ratio.items()
            if ratio < self.least_ratio
        }

    @property
    def share(self) -> float:
        """Transpiration over demand of all months together [-]."""
        return float(self.transpiration_mm.sum() / self.demand_mm.sum())

    @property
    def hard_months(self) -> tuple[int, ...]:
        """Months, 1 to 12, in which trees suffer in more than half of the years."""
        return tuple(month for month in range(1, 13) if self.suffering[self.month == month].mean() > 0.5)

    @property
    def reliability(self) -> float:
        """Share of years in which the trees don't suffer [-]."""
        return (len(self.years) - len(self.suffering_years)) / len(self.years)


def month_table(budget: WaterBudget, *, least_ratio: float = LEAST_RATIO) -> MonthTable:
    """A budget by month, over its whole calendar years.

    Parameters
    ----------
    budget : WaterBudget
        The days.
    least_ratio : float
        Transpiration over demand below which trees suffer [-].

    Returns
    -------
    MonthTable
        Without the months of years that begin or end outside the record.

    Raises
    ------
    InputError
        If no calendar year is whole, or the ratio lies outside 0 to 1.

    Notes
    -----
    Trees of dry country come through a dry month; what counts is what they had over the year.

    Examples
    --------
    >>> from swalekit.planting.water import DailyWater, Ditch, RootZone, Stand, water_budget
    >>> days = np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]")
    >>> dry, rain = np.zeros(365), np.ones(365)
    >>> stand, zone = Stand(np.full(365, 0.5), np.full(365, 1.2), 1.0), RootZone(130.0, 1.0, 0.5, 8.0, 18.0)
    >>> water = DailyWater(days, rain, dry, np.full(365, 4.0), dry)
    >>> budget = water_budget(water, stand, zone, Ditch.none(), planted_m2=100.0)
    >>> month_table(budget).rain_mm[:3]
    array([31., 28., 31.])
    """
    check_between(0.0, 1.0, least_ratio=least_ratio)
    dates = budget.water.dates
    whole = whole_year_days(dates)
    months = dates[whole].astype("datetime64[M]")
    starts = np.flatnonzero(np.r_[True, months[1:] != months[:-1]])

    def summed(values: Values) -> Values:
        return np.asarray(np.add.reduceat(values[whole], starts))

    first = dates[whole][starts]
    return MonthTable(
        year_of(first),
        month_of(first),
        summed(budget.water.rain_mm),
        summed(1000.0 * (budget.soaked_m3 - budget.beyond_m3) / budget.planted_m2),
        summed(budget.transpiration_mm),
        summed(budget.demand_mm),
        summed(budget.irrigation_mm),
        least_ratio,
    )


def growing_year_reliability(budget: WaterBudget, *, least_ratio: float, first_month: int) -> float:
    """Share of years begun in a month, the first wet one as a rule, in which the trees don't suffer.

    Parameters
    ----------
    budget : WaterBudget
        The days.
    least_ratio : float
        Transpiration over demand of a year below which they suffer [-].
    first_month : int
        Month in which years begin, 1 to 12.

    Returns
    -------
    float
        Over the whole years of the record; 1 where it holds none [-].

    Raises
    ------
    InputError
        If the month lies outside 1 to 12.

    Notes
    -----
    Such a year keeps the rains and the dry months that they must last through together; a calendar year may add the end
    of one dry season to the beginning of the next.
    """
    check_between(1, 12, first_month=first_month)
    dates = budget.water.dates
    starts = np.flatnonzero((month_of(dates) == first_month) & (dates == dates.astype("datetime64[M]")))
    if starts.size < 2:
        return 1.0
    got, wanted = (
        np.add.reduceat(values[: starts[-1]], starts[:-1]) for values in (budget.transpiration_mm, budget.demand_mm)
    )
    return float(np.mean(got >= least_ratio * wanted))


def whole_years(dates: NDArray[np.datetime64]) -> int:
    """Whole calendar years of a record without gaps.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days, none left out.

    Returns
    -------
    int
        How many, one at least.

    Raises
    ------
    InputError
        If no calendar year is whole.

    Examples
    --------
    >>> whole_years(np.arange("2000-07-01", "2003-02-01", dtype="datetime64[D]"))
    2
    """
    return len(np.unique(year_of(dates[whole_year_days(dates)])))


def mean_year(daily: Values, dates: NDArray[np.datetime64]) -> float:
    """Sum of a mean year over the whole calendar years of a record.

    Parameters
    ----------
    daily : ndarray of float64, shape (n,)
        Amount of each day.
    dates : ndarray of datetime64[D], shape (n,)
        Days, none left out.

    Returns
    -------
    float
        In the unit of the days.

    Raises
    ------
    InputError
        If no calendar year is whole.

    Examples
    --------
    >>> days = np.arange("2000-07-01", "2003-02-01", dtype="datetime64[D]")
    >>> mean_year(np.where(days < np.datetime64("2002-01-01"), 2.0, 0.0), days)
    365.0
    """
    return float(daily[whole_year_days(dates)].sum()) / whole_years(dates)


def mean_months(daily: Values, dates: NDArray[np.datetime64]) -> Values:
    """Sums of the twelve months of a mean year, over the whole calendar years of a record.

    Parameters
    ----------
    daily : ndarray of float64, shape (n,)
        Amount of each day.
    dates : ndarray of datetime64[D], shape (n,)
        Days, none left out.

    Returns
    -------
    ndarray of float64, shape (12,)
        January to December, in the unit of the days.

    Raises
    ------
    InputError
        If no calendar year is whole.

    Examples
    --------
    >>> days = np.arange("2000-07-01", "2003-02-01", dtype="datetime64[D]")
    >>> mean_months(np.ones(days.size), days)[[0, 1, 11]].tolist()
    [31.0, 28.0, 31.0]
    """
    whole = whole_year_days(dates)
    return np.asarray(np.bincount(month_of(dates[whole]), daily[whole], minlength=13)[1:] / whole_years(dates))


def year_sums(daily: Values, dates: NDArray[np.datetime64]) -> Values:
    """Sum of each whole calendar year of a record, in order.

    Parameters
    ----------
    daily : ndarray of float64, shape (n,)
        Amount of each day.
    dates : ndarray of datetime64[D], shape (n,)
        Days, none left out.

    Returns
    -------
    ndarray of float64, shape (years,)
        In the unit of the days.

    Raises
    ------
    InputError
        If no calendar year is whole.

    Examples
    --------
    >>> days = np.arange("2000-07-01", "2003-02-01", dtype="datetime64[D]")
    >>> year_sums(np.where(days < np.datetime64("2002-01-01"), 2.0, 0.0), days).tolist()
    [730.0, 0.0]
    """
    whole = whole_year_days(dates)
    year = year_of(dates[whole])
    return np.asarray(np.bincount(year - year[0], daily[whole]))


def whole_year_days(dates: NDArray[np.datetime64]) -> slice:
    """Days of a record without gaps that belong to whole calendar years.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days, none left out.

    Returns
    -------
    slice
        From the first 1 January to the last 31 December.

    Raises
    ------
    InputError
        If no calendar year is whole.

    Examples
    --------
    >>> days = np.arange("2000-07-01", "2003-02-01", dtype="datetime64[D]")
    >>> str(days[whole_year_days(days)][0]), str(days[whole_year_days(days)][-1])
    ('2001-01-01', '2002-12-31')
    """
    starts = np.flatnonzero(day_of_year(dates) == 1)
    ends = np.flatnonzero(day_of_year(dates + np.timedelta64(1, "D")) == 1)
    if not starts.size or not ends.size or ends[-1] < starts[0]:
        message = f"the record from {dates[0]} to {dates[-1]} holds no whole calendar year; give a longer one"
        raise InputError(message)
    return slice(int(starts[0]), int(ends[-1]) + 1)
