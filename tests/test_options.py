"""Layouts side by side."""

import pytest
from sites import make_site, plane

from swalekit.design.options import OPTION_COLUMNS, compare
from swalekit.reporting.comparison_sheet import comparison_sheet

INTERVALS = [(f"interval {each} m", {"interval_m": each}) for each in (1.0, 2.0, 4.0)]


@pytest.fixture(scope="module")
def comparison():
    """Three intervals on a plane; the widest spills at a shallow greatest depth."""
    shallow = {"greatest_depth_m": 0.5}
    rates = {"machine_per_h": 60.0, "mobilisation": 100.0}
    return compare(make_site(section=shallow, rates=rates, storm={"depth_mm": 60.0}), plane(), INTERVALS)


def test_wider_intervals_dig_less_and_hold_less(comparison):
    """Dug volume, cost and held storm fall as the interval grows."""
    for name in ("length_m", "dug_m3", "cost"):
        values = [option.totals[name] for option in comparison.options]
        assert values == sorted(values, reverse=True), name
    assert [option.holds for option in comparison.options] == [True, True, False]


def test_the_mark_is_on_the_cheapest_that_holds(comparison):
    """Two of three hold; the one with the lower cost is marked, and only it."""
    assert [option.cheapest for option in comparison.options] == [False, True, False]


def test_no_mark_where_none_holds():
    """A storm that no option holds leaves none marked."""
    site = make_site(section={"greatest_depth_m": 0.3}, storm={"depth_mm": 400.0})
    assert not any(option.cheapest for option in compare(site, plane(), INTERVALS).options)


def test_the_table_has_every_column(comparison):
    """Each option gives a figure for each column, in order."""
    for option in comparison.options:
        assert list(option.figures) == [column.name for column in OPTION_COLUMNS]


def test_the_chart_names_site_and_options(comparison):
    """Title, axes and one label an option."""
    (axes,) = comparison_sheet(comparison).axes
    words = [text.get_text() for text in axes.texts]
    assert axes.get_title(loc="left") == "Unnamed site"
    for option in comparison.options:
        assert any(option.label in word for word in words), option.label
