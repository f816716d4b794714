"""Layouts side by side."""

import pytest
import shapely
from matplotlib.figure import Figure
from sites import make_site, plane

from swalekit.design.options.comparison import OPTION_COLUMNS, compare
from swalekit.design.options.variations import axes_of, grid_of
from swalekit.reporting.charts.options.comparison import comparison_sheet, draw_comparison

INTERVALS = grid_of(axes_of({"interval": [1.0, 2.0, 4.0]}))


@pytest.fixture(scope="module")
def comparison():
    """Three intervals on a plane; the widest spills at a shallow greatest depth."""
    shallow = {"greatest_depth_m": 0.5, "greatest_bottom_width_m": 0.6}
    rates = {"machine_per_h": 60.0, "mobilisation": 100.0, "currency": "EUR"}
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
    """Title, axes and a row of the key an option."""
    sheet = comparison_sheet(comparison)
    axes, key, _ = sheet.axes
    words = [text.get_text() for text in key.texts]
    assert sheet.texts[0].get_text() == "Unnamed site"
    assert axes.get_xlabel() == "Soil dug [m³]"
    for option in comparison.options:
        shown = {
            str(option.number),
            option.label,
            f"{option.totals['cost']:,}",
            f"{100 * option.totals['kept_share']:.0f} %",
        }
        assert shown <= set(words)


# --- the chart -------------------------------------------------------------------------------------------------------


def option(dug_m3, held_storm_mm, *, holds=True, recommended=False):
    """Figures of an option that the chart shows."""
    marks = {"holds": holds, "recommended": recommended, "non_dominated": True}
    yes = {name: "yes" if value else "no" for name, value in marks.items()}
    return {"dug_m3": dug_m3, "held_storm_mm": held_storm_mm, "beyond": ""} | yes


OPTIONS = {
    "1.0 m": option(1900.0, 96.0),
    "1.5 m": option(1290.0, 71.0, recommended=True),
    "1.5 m deep": option(1295.0, 71.5),
    "3 m": option(700.0, 38.0, holds=False),
}


def test_comparison_shows_every_option_where_it_lies():
    """The axes come back with one mark an option, at its dug volume and held storm, named as asked."""
    axes = Figure(figsize=(7, 5)).subplots()
    assert draw_comparison(OPTIONS.values(), 60.0, axes, names=list(OPTIONS)) is axes
    marks = {tuple(line.get_xydata()[0]) for line in axes.lines if len(line.get_xydata()) == 1}
    assert marks == {(row["dug_m3"], row["held_storm_mm"]) for row in OPTIONS.values()}
    weights = {text.get_text(): text.get_fontweight() for text in axes.texts}
    assert weights == {"design storm 60 mm": "normal", **dict.fromkeys(OPTIONS, "normal"), "1.5 m": "bold"}


@pytest.mark.parametrize("held_mm", [(61.0, 58.0), (60.0, 60.0), (0.0, 0.5)])
def test_comparison_is_framed_on_the_options_and_the_storm(held_mm):
    """Every mark and the storm's line lie well within the frame, and options that nearly agree fill it."""
    rows = [option(900.0 + mm, mm, holds=False) for mm in held_mm]
    axes = draw_comparison(rows, 60.0, Figure().subplots(), names=["", ""])
    for (low, high), values in ((axes.get_xlim(), [900.0 + mm for mm in held_mm]), (axes.get_ylim(), [*held_mm, 60.0])):
        inner = min(values) - low, high - max(values)
        assert inner[1] > 0.05 * (high - low)
        assert inner[0] > 0.05 * (high - low) or low == 0
        assert high - low <= max(1.5 * (max(values) - min(values)), 0.1 * high)


def test_comparison_labels_do_not_overlap():
    """Options that nearly coincide keep their labels apart."""
    figure = Figure(figsize=(7, 5))
    axes = draw_comparison(OPTIONS.values(), 60.0, figure.subplots(), names=list(OPTIONS))
    figure.draw_without_rendering()
    boxes = [shapely.box(*text.get_window_extent().extents) for text in axes.texts]
    assert shapely.union_all(boxes).area == pytest.approx(sum(box.area for box in boxes), rel=0.01)


def test_comparison_in_us_units():
    """Cubic yards and inches where asked for: 100 m³ is 130.8 yd³, 25.4 mm is one inch."""
    axes = draw_comparison([option(100.0, 25.4)], 50.8, Figure().subplots(), names=["a"], units="us")
    mark = next(line.get_xydata()[0] for line in axes.lines if len(line.get_xydata()) == 1)
    assert mark == pytest.approx((130.795, 1.0), rel=1e-4)
    assert axes.get_xlabel() == "Soil dug [yd³]"


def test_comparison_of_nothing():
    """Without options only the design storm is drawn."""
    assert len(draw_comparison([], 60.0, Figure().subplots(), names=[]).lines) == 1
