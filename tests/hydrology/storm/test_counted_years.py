"""Years of a gauge that count, by one rule for storms and for trees."""

import numpy as np
import pytest

from swalekit.hydrology.storm.annual_maxima import annual_maxima
from swalekit.hydrology.storm.counted_years import counted_years
from swalekit.hydrology.storm.daily_record import DailyRecord

DAYS = np.arange("2001-01-01", "2006-01-01", dtype="datetime64[D]")
MONTH = DAYS.astype("datetime64[M]").astype(int) % 12 + 1


def gauge(rain_mm, *gaps):
    """A record of five years without the days of some gaps, each its first day and how many."""
    read = np.ones(DAYS.size, bool)
    for first, days in gaps:
        start = int(np.flatnonzero(np.datetime64(first) == DAYS)[0])
        read[start : start + days] = False
    return DailyRecord(DAYS[read], np.broadcast_to(rain_mm, DAYS.shape)[read])


WINTER = np.where(np.isin(MONTH, [11, 12, 1]), 4.0, 0.1)


@pytest.mark.parametrize(
    ("gaps", "kept", "told"),
    [
        ([], [2001, 2002, 2003, 2004, 2005], []),
        ([("2003-12-05", 10)], [2001, 2002, 2003, 2004, 2005], ["the years kept lack 10 of 1,826 days"]),
        ([("2003-12-05", 11)], [2001, 2002, 2004, 2005], ["2003 lacks 11 days of December, one of the wettest months"]),
        ([("2003-06-20", 36)], [2001, 2002, 2003, 2004, 2005], ["the years kept lack 36 of"]),
        ([("2003-06-20", 37)], [2001, 2002, 2004, 2005], ["2003 lacks 37 of 365 days and is left out"]),
        ([("2002-12-25", 17)], [2001, 2002, 2003, 2004, 2005], ["the years kept lack 17 of"]),
        (
            [("2002-01-02", 200), ("2003-01-02", 100), ("2004-12-01", 20)],
            [2001, 2005],
            ["2002 to 2003 lack 300 of 730 days and are left out", "2004 lacks 20 days of December"],
        ),
    ],
)
def test_a_year_counts_by_its_days_and_by_its_wettest_months(gaps, kept, told):
    """Ten days of a wet month may be missing, eleven may not; of a dry season a tenth of the year may."""
    found = counted_years(gauge(WINTER, *gaps))
    assert list(found.years) == kept
    assert [words in note for words, note in zip(told, found.notes, strict=True)] == [True] * len(told)


def test_storms_take_the_years_that_count():
    """The wettest day of a year whose wettest month wasn't read is none of its maxima."""
    record = gauge(WINTER + np.arange(DAYS.size) / 1e4, ("2003-12-05", 11))
    maxima = annual_maxima(record)
    assert tuple(maxima.year) == counted_years(record).years == (2001, 2002, 2004, 2005)
    assert "2003 lacks 11 days of December, one of the wettest months, and is left out" in maxima.notes


def test_where_it_rains_alike_all_year_half_the_months_are_wettest():
    """Longer months bring more; a month that is never read is not among them."""
    assert counted_years(gauge(1.0, ("2003-02-01", 11))).years == (2001, 2002, 2003, 2004, 2005)
    assert counted_years(gauge(1.0, ("2003-01-01", 11))).years == (2001, 2002, 2004, 2005)
    never = gauge(1.0, *((f"{year}-01-01", 31) for year in range(2001, 2006)))
    assert counted_years(never).years == (2001, 2002, 2003, 2004, 2005)


def test_a_record_begun_amid_a_year_lacks_what_was_before():
    """Days before the first and after the last reading are missing days of their years."""
    part = DailyRecord(DAYS[20:], WINTER[20:])
    assert counted_years(part).notes[0] == "2001 lacks 20 days of January, one of the wettest months, and is left out"
