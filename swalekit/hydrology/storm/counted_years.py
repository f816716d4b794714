"""Which years of a gauge's record count: one rule for storms and for the water of a planting."""

from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.hydrology.storm.daily_record import DailyRecord, days_in_year

MOST_MISSING = 0.10
"""Share of its days that a year may lack; common practice."""

MOST_OF_A_MONTH = 10
"""Days that one of the wettest months may lack: from 11 on a month's value isn't used (WMO-1203, from memory)."""

WETTEST_SHARE = 0.5
"""The wettest months are the fewest that together bring this share of a mean year's rain: our choice."""

_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
           "December")  # fmt: skip


@one_line("years", "notes")
@dataclass(frozen=True)
class CountedYears:
    """Years of a record that count.

    Parameters
    ----------
    years : tuple of int
        Calendar years, rising.
    notes : tuple of str
        Years left out, by name and with what they lack, and what those that count lack.
    """

    years: tuple[int, ...]
    notes: tuple[str, ...]


def counted_years(record: DailyRecord) -> CountedYears:
    """Find the years of a record that were read well enough.

    Parameters
    ----------
    record : DailyRecord
        The gauge's record.

    Returns
    -------
    CountedYears
        The years, and in words what is left out.

    Notes
    -----
    A year counts if it lacks at most a tenth of its days, and none of the wettest months lacks more than ten. The
    wettest months are the fewest that bring half the rain of a mean year, by the mean of the days that were read; a
    month that never was is not one of them.

    Examples
    --------
    >>> days = np.arange("2001-01-01", "2004-01-01", dtype="datetime64[D]")
    >>> wet = days.astype("datetime64[M]").astype(int) % 12 == 6  # July
    >>> read = (days < np.datetime64("2002-07-01")) | (days > np.datetime64("2002-07-12"))
    >>> counted = counted_years(DailyRecord(days[read], np.where(wet, 3.0, 0.0)[read]))
    >>> counted.years, counted.notes[0]
    ((2001, 2003), '2002 lacks 12 days of July, one of the wettest months, and is left out')
    """
    missing = record.missing_days
    whole = [year for year, lacks in missing.items() if lacks <= MOST_MISSING * days_in_year(year)]
    faults = {year: fault for year in whole if (fault := _wet_month_lacking(record, year))}
    kept = [year for year in whole if year not in faults]
    notes = _gaps(missing, [year for year in missing if year not in whole])
    notes += [f"{year} {fault}, one of the wettest months, and is left out" for year, fault in faults.items()]
    lacks, days = sum(missing[year] for year in kept), sum(map(days_in_year, kept))
    if lacks:
        notes.append(f"the years kept lack {lacks:,} of {days:,} days: rain that fell on them is unknown")
    return CountedYears(tuple(kept), tuple(notes))


def _wet_month_lacking(record: DailyRecord, year: int) -> str:
    """What a year lacks of the wettest month that lacks too much; empty where none does."""
    for month in _wettest_months(record):
        start = np.datetime64(f"{year:04d}-{month + 1:02d}", "M")
        days = int((start + 1).astype("datetime64[D]").astype(int) - start.astype("datetime64[D]").astype(int))
        lacks = days - int(np.count_nonzero(record.dates.astype("datetime64[M]") == start))
        if lacks > MOST_OF_A_MONTH:
            return f"lacks {lacks} days of {_MONTHS[month]}"
    return ""


def _wettest_months(record: DailyRecord) -> list[int]:
    """Months from 0, the wettest first."""
    month: NDArray[np.int64] = record.dates.astype("datetime64[M]").astype(np.int64) % 12
    read, rain_mm = np.bincount(month, minlength=12), np.bincount(month, record.depth_mm, minlength=12)
    daily_mm = np.divide(rain_mm, read, out=np.zeros(12), where=read > 0)
    usual_mm = daily_mm * np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    order = np.argsort(-usual_mm, kind="stable")
    share = np.cumsum(usual_mm[order]) / usual_mm.sum()
    count = int(np.searchsorted(share, WETTEST_SHARE - 1e-9)) + 1
    return [int(place) for place in order[:count]]


def _gaps(missing_days: dict[int, int], left_out: list[int]) -> list[str]:
    """What is said of years left out for the days that they lack, one sentence a run of years."""
    notes = []
    for _, run in groupby(enumerate(left_out), key=lambda pair: pair[1] - pair[0]):
        years = [year for _, year in run]
        lacks, days = sum(missing_days[year] for year in years), sum(map(days_in_year, years))
        span, verbs = (f"{years[0]} to {years[-1]}", ("lack", "are")) if len(years) > 1 else (years[0], ("lacks", "is"))
        notes.append(f"{span} {verbs[0]} {lacks:,} of {days:,} days and {verbs[1]} left out")
    return notes
