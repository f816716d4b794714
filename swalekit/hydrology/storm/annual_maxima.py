"""The wettest day of every year."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.hydrology.storm.counted_years import counted_years
from swalekit.hydrology.storm.daily_record import DailyRecord

LEAST_YEARS = 3
"""Years below which no distribution of three parameters can be fitted."""

FEW_YEARS = 15
"""Years below which a frequency analysis is marked as weak; common practice."""

DAILY_READING_FACTOR = 1.13
"""Wettest 24 hours over the greatest daily reading, on average: Hershfield (1961), WMO-168; unconfirmed."""


@one_line("year", "depth_mm", "notes")
@dataclass(frozen=True, eq=False)
class AnnualMaxima(Frozen):
    """Greatest depth of each year.

    Parameters
    ----------
    year : ndarray of int64, shape (n,)
        Years, rising.
    depth_mm : ndarray of float64, shape (n,)
        Greatest depth of the year [mm].
    notes : tuple of str
        What a reader must know about the record, one sentence each.

    Raises
    ------
    InputError
        If there are fewer than three years, years are out of order, all depths but one are the same or one is
        negative.

    Examples
    --------
    >>> AnnualMaxima(np.array([2001, 2002, 2004]), np.array([41.0, 28.0, 63.0])).depth_mm.tolist()
    [41.0, 28.0, 63.0]
    """

    year: NDArray[np.int64]
    depth_mm: NDArray[np.float64]
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_same_shape(year=self.year, depth_mm=self.depth_mm)
        if len(self.year) < LEAST_YEARS:
            message = (
                f"annual maxima cover {len(self.year)} year(s); a frequency analysis needs at least {LEAST_YEARS} and "
                f"should have {FEW_YEARS}: find a longer record or use the depths of a rainfall atlas"
            )
            raise InputError(message)
        if (np.diff(self.year) <= 0).any():
            message = f"years of the annual maxima must rise, found {self.year.tolist()}; sort them and keep each once"
            raise InputError(message)
        check_not_negative(least_depth_mm=float(self.depth_mm.min()), greatest_depth_mm=float(self.depth_mm.max()))
        rising = np.sort(self.depth_mm)
        if rising[0] == rising[-2] or rising[1] == rising[-1]:
            message = (
                f"all {len(self.year)} annual maxima, or all but one, are {rising[1]:g} mm, which tells no "
                "distribution; check the record"
            )
            raise InputError(message)
        self.year.flags.writeable = False
        self.depth_mm.flags.writeable = False
        super().__post_init__()


def annual_maxima(record: DailyRecord, *, reading_factor: float = 1.0) -> AnnualMaxima:
    """Wettest day of every calendar year that counts (`counted_years`).

    Parameters
    ----------
    record : DailyRecord
        The gauge's record.
    reading_factor : float
        What each maximum is multiplied by [-]: 1 keeps the readings, `DAILY_READING_FACTOR` makes them depths of the
        wettest 24 hours, which seldom fall between two readings.

    Returns
    -------
    AnnualMaxima
        Maxima, with notes on years left out, a factor applied and a short record.

    Raises
    ------
    InputError
        If fewer than three years remain or a setting is out of range.

    Examples
    --------
    >>> days = np.arange("2001-01-01", "2004-01-01", dtype="datetime64[D]")
    >>> annual_maxima(DailyRecord(days, np.arange(1095) % 800 / 20.0)).depth_mm
    array([18.2 , 36.45, 39.95])
    """
    check_positive(reading_factor=reading_factor)
    listed, starts = np.unique(record.years, return_index=True)
    greatest = dict(zip(listed.tolist(), np.maximum.reduceat(record.depth_mm, starts), strict=True))
    counted = counted_years(record)
    kept, notes = counted.years, list(counted.notes)
    if reading_factor != 1.0:
        notes.append(
            f"daily readings are multiplied by {reading_factor:g} to stand for the wettest 24 hours; reading_factor "
            "= 1 where the record is of true 24 h depths"
        )
    if len(kept) < FEW_YEARS:
        notes.append(f"only {len(kept)} years of record: rare depths are little more than a guess")
    depth_mm = reading_factor * np.array([greatest[year] for year in kept], np.float64)
    return AnnualMaxima(np.array(kept, np.int64), depth_mm, tuple(notes))
