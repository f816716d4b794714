"""Depth tables and the share of a day's storm in shorter times."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.storm import NRCS_KINDS, duration_ratio, published_ratios

DURATIONS_H = np.array([0.25, 1.0, 6.0, 24.0])
PERIODS_Y = np.array([2.0, 10.0, 100.0])
BURST_H = (0.5, 1.0, 2.0, 3.0, 6.0, 12.0)


def power_law_mm(duration_h, return_period_y):
    """Bernard's rule, intensity k T^m / t^n, as a depth."""
    return 20.0 * return_period_y**0.2 * duration_h**0.35


def power_law_table():
    """A table that follows Bernard's rule."""
    return DepthTable(DURATIONS_H.copy(), PERIODS_Y.copy(), power_law_mm(DURATIONS_H[:, np.newaxis], PERIODS_Y))


@pytest.mark.parametrize("duration_h", [0.25, 0.4, 1.0, 5.0, 24.0])
@pytest.mark.parametrize("return_period_y", [2.0, 3.0, 10.0, 77.0, 100.0])
def test_a_power_law_is_met_everywhere_within_the_table(duration_h, return_period_y):
    """Straight lines in logarithms give a power law back, at printed depths and between them."""
    found = power_law_table().depth_mm_at(duration_h, return_period_y)
    assert found == pytest.approx(power_law_mm(duration_h, return_period_y), rel=1e-12)


@pytest.mark.parametrize(
    ("duration_h", "return_period_y", "words"),
    [
        (0.1, 10.0, "duration is 0.1 h; the depth table reaches from 0.25 to 24 h"),
        (48.0, 10.0, "duration is 48 h"),
        (1.0, 500.0, "return period is 500 years; the depth table reaches from 2 to 100 years"),
        (1.0, 1.0, "return period is 1 years"),
    ],
)
def test_outside_the_table_fails(duration_h, return_period_y, words):
    """A depth beyond the table is an error that tells the range."""
    with pytest.raises(InputError, match=words):
        power_law_table().depth_mm_at(duration_h, return_period_y)


def test_a_single_return_period_answers_for_itself_only():
    """A table of one return period can't tell another."""
    table = DepthTable.from_ratios(80.0, {1.0: 0.5, 24.0: 1.0}, return_period_y=25.0)
    assert table.depth_mm_at(24.0, 25.0) == 80.0
    with pytest.raises(InputError, match="return period is 10 years; the depth table holds 25 years only"):
        table.depth_mm_at(24.0, 10.0)


@pytest.mark.parametrize(
    ("row", "column", "depth_mm", "words"),
    [
        (1, 2, 30.0, r"falls with return period at 1 h: 31\.7 mm at 10 years, 30 mm at 100"),
        (3, 0, 42.0, r"falls with duration at 2 years: 43\.01 mm in 6 h, 42 mm in 24 h"),
        (0, 0, 0.0, "depth in 0.25 h at 2 years is 0 mm; it must be a number greater than zero"),
        (0, 0, np.nan, "is nan mm; it must be a number"),
    ],
)
def test_depths_that_break_the_order_fail(row, column, depth_mm, words):
    """A table that falls, or holds no depth, is refused with the row and the values."""
    depths = power_law_table().depth_mm.copy()
    depths[row, column] = depth_mm
    with pytest.raises(InputError, match=words):
        DepthTable(DURATIONS_H.copy(), PERIODS_Y.copy(), depths)


@pytest.mark.parametrize(
    ("durations_h", "periods_y", "words"),
    [
        ([1.0, 1.0], [2.0, 5.0], "depth table: durations must rise, but 1 h comes before 1"),
        ([1.0, 2.0], [5.0, 2.0], "depth table: return periods must rise, but 5 years comes before 2"),
        ([0.0, 2.0], [2.0, 5.0], "durations must be numbers greater than zero, found 0 h"),
        ([1.0], [2.0, 5.0], "needs a row a duration and a column a return period"),
    ],
)
def test_headings_out_of_order_fail(durations_h, periods_y, words):
    """Durations and return periods are positive, rise, and fit the depths."""
    with pytest.raises(InputError, match=words):
        DepthTable(np.array(durations_h), np.array(periods_y), np.array([[10.0, 20.0], [20.0, 30.0]]))


def test_a_table_is_frozen():
    """Nobody can change a depth behind a table's back."""
    with pytest.raises(ValueError, match="read-only"):
        power_law_table().depth_mm[0, 0] = 1.0


@pytest.mark.parametrize(
    ("kind", "published"),
    [
        ("I", (0.213, 0.281, 0.370, 0.437, 0.578, 0.761)),
        ("IA", (0.115, 0.171, 0.252, 0.315, 0.468, 0.687)),
        ("II", (0.380, 0.454, 0.538, 0.595, 0.707, 0.841)),
        ("III", (0.287, 0.404, 0.500, 0.567, 0.709, 0.856)),
    ],
)
def test_duration_ratios_of_the_nrcs_types(kind, published):
    """Greatest bursts of the NRCS distributions at tenths of an hour (Texas Tech University, CE 3354), to 24 h."""
    ratios = published_ratios(kind)
    assert [duration_ratio(duration_h, ratios) for duration_h in BURST_H] == pytest.approx(published, abs=1e-12)
    assert duration_ratio(24.0, ratios) == 1.0


@pytest.mark.parametrize("kind", NRCS_KINDS)
def test_duration_ratios_rise_between_the_printed_ones(kind):
    """A longer stretch never holds less."""
    shares = [duration_ratio(duration_h, published_ratios(kind)) for duration_h in np.linspace(0.5, 24.0, 95)]
    assert (np.diff(shares) > 0).all()


def test_duration_ratio_of_the_users_own_mapping():
    """The user's own shares are read the same way, in any order; outside them is an error."""
    own = {24.0: 1.0, 1.5: 0.25}
    assert duration_ratio(6.0, own) == pytest.approx(0.5, rel=1e-12)  # the geometric middle of both
    with pytest.raises(InputError, match=r"duration_h is 1; it must lie between 1\.5 and 24"):
        duration_ratio(1.0, own)


def test_unknown_storm_type_fails():
    """A type that isn't in the table is named with the ones that are."""
    with pytest.raises(InputError, match="kind is 'IV'; it must be one of I, IA, II, III"):
        published_ratios("IV")
