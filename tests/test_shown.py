"""Figures as a reader sees them."""

import pytest

from swalekit.reporting.shown import area_shown, listed, number, shown


@pytest.mark.parametrize(
    ("ids", "expected"),
    [([], ""), (["S1"], "S1"), (["S2", "S1"], "S1, S2"), (["S3", "S4", "S5", "S9"], "S3–S5, S9")],
)
def test_runs_of_swales_are_joined(ids, expected):
    """Three or more in a row become a range."""
    assert listed(ids) == expected


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [(0.3048, "m", "1 ft"), (25.4, "mm", "1 in"), (4046.8564224, "m2", "1.00 acres"), (7.64554857984, "m3", "10 yd³")],
)
def test_us_units(value, unit, expected):
    """Foot, inch, acre, cubic yard."""
    assert shown(value, unit, units="us") == expected


def test_a_number_without_its_unit_and_hectares():
    """For tables whose header names the unit; areas in hectares."""
    assert number(1234.5, "m", units="metric", decimals=1) == "1,234.5"
    assert number(None, "m", units="metric") == "–"
    assert area_shown(15_000.0, units="metric") == "1.50 ha"
