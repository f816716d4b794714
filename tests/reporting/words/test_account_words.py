"""What is said of the water account."""

import pytest
from matplotlib.figure import Figure

from swalekit.reporting.charts.storm.balance import draw_balance
from swalekit.reporting.words.account_words import balance_parts, balance_words, sizing_words

BALANCE = {
    "storm_mm": 50.0, "rain_m3": 500.0, "soaked_m3": 300.0, "swales_m3": 160.0, "hollows_m3": 10.0,
    "gone_m3": 30.0, "residual_m3": 0.0,
}  # fmt: skip


def test_depths_stand_to_the_storm_as_volumes_to_the_rain():
    """1 m³ is 0.1 mm of 50 mm that are 500 m³; of no rain every part is nothing."""
    assert [depth_mm for _, _, depth_mm in balance_parts(BALANCE)] == pytest.approx([30.0, 16.0, 1.0, 3.0])
    assert [depth_mm for _, _, depth_mm in balance_parts(dict.fromkeys(BALANCE, 0.0))] == [0.0] * 4


def test_the_line_is_in_the_readers_units():
    """500 m³ are 654 yd³, 50 mm are 1.97 in."""
    assert balance_words(BALANCE, units="us").startswith("rain 654 yd³ (1.97 in over the tile) = 392 yd³ (1.18 in)")
    assert balance_words(BALANCE, units="metric", depths=False).endswith("+ 30 m³ gone from the tile")


def test_of_many_swales_that_differ_six_are_named():
    """The rest is counted."""
    rows = [{"swale": f"S{number}", "differs": "has no pond"} for number in range(1, 10)]
    told = sizing_words([*rows, {"swale": "S10", "differs": ""}])
    assert told.count("has no pond") == 6
    assert told.endswith("and 3 more, see the cautions.")


@pytest.mark.parametrize(("units", "factor"), [("metric", 1.0), ("us", 1.0 / 0.764554857984)])
def test_a_bar_is_as_long_as_its_rain(units, factor):
    """Parts follow one another from nought to the rain of their storm."""
    axes = draw_balance({"design": BALANCE, "check": BALANCE}, Figure().subplots(), units=units)
    ends = [bar.get_x() + bar.get_width() for bar in axes.patches]
    assert ends[3] == ends[7] == pytest.approx(500.0 * factor)
    assert [bar.get_x() for bar in axes.patches[1:4]] == pytest.approx(ends[:3])
