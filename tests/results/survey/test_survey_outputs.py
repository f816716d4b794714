"""Tables and drawing of a survey check."""

from dataclasses import replace

import numpy as np
import pytest
from read_back import csv_rows
from staked_ground import straight
from surveyed_ground import CREST, FLOOR, SILL, crew, designed, designed_ring, judged, shot, together

from swalekit.errors import InputError
from swalekit.formats.table import write_table
from swalekit.reporting.charts.survey.sheets import survey_sheet
from swalekit.reporting.paper.save import save_png
from swalekit.results.survey.table import (
    SPOT_COLUMNS,
    SURVEY_COLUMNS,
    UNMATCHED_COLUMNS,
    spot_rows,
    survey_rows,
    unmatched_rows,
)
from swalekit.verification.survey_check import HeldStorms, check_survey


def sagging(chainage):
    """22 cm down from 60 to 66 m."""
    return np.where((chainage >= 60.0) & (chainage <= 66.0), -0.22, 0.0)


def a_check():
    """S1 sags, S2 is not surveyed, and two points are of no use."""
    odd = replace(shot(designed(), "floor", [10.0, 12.0], [FLOOR, np.nan]), description=("=toe", "floor"))
    other = designed(straight(name="S2", number=2, north_m=-30.0))
    return check_survey(together(crew(designed(), crest=sagging), odd), [designed(), other])


def test_table_has_a_row_a_swale(tmp_path):
    """Figures as worked out by hand; what isn't known stays empty."""
    write_table(survey_rows(a_check()), SURVEY_COLUMNS, tmp_path / "survey.csv")
    first, second = csv_rows(tmp_path / "survey.csv")
    assert list(first) == [column.name for column in SURVEY_COLUMNS]
    assert (first["swale"], first["verdict"], first["spills_over"]) == ("S1", "outside tolerance", "crest")
    assert (first["spill_m"], first["spill_at_m"], first["freeboard_m"]) == ("106.18", "60.0", "-0.07")
    assert (first["crest_least_m"], first["floor_points"], first["sill_mean_m"]) == ("-0.22", "51", "0.0")
    assert float(first["storage_m3"]) < float(first["design_storage_m3"])
    assert first["faults"] == "crest 0.22 m low, 58.5 to 67.5 m"
    assert (second["verdict"], second["floor_points"]) == ("not surveyed", "0")
    assert {second[name] for name in ("spill_m", "storage_m3", "dug_m3", "floor_mean_m", "held_storm_mm")} == {""}


def test_held_storms_stand_beside_those_of_the_design():
    """Stores begin with the swales; hollows behind them have no row."""
    held = HeldStorms(np.array([50.0, 40.0, 9.0]), np.array([30.04, 39.96, 9.0]), np.array([False, True, False]))
    first, second = survey_rows(a_check(), held)
    assert (first["design_held_storm_mm"], first["held_storm_mm"], first["held_storm_assumes"]) == (50.0, 30.0, "no")
    assert (second["design_held_storm_mm"], second["held_storm_mm"], second["held_storm_assumes"]) == (40, 40, "yes")


def test_spots_and_unmatched_points_have_tables_of_their_own(tmp_path):
    """What must be cured, and what was not used; a code that a spreadsheet would run is shielded."""
    write_table(spot_rows(a_check()), SPOT_COLUMNS, tmp_path / "spots.csv")
    write_table(unmatched_rows(a_check()), UNMATCHED_COLUMNS, tmp_path / "unmatched.csv")
    (spot,) = csv_rows(tmp_path / "spots.csv")
    assert list(spot) == [column.name for column in SPOT_COLUMNS]
    assert (spot["swale"], spot["part"], spot["kind"], spot["greatest_m"]) == ("S1", "crest", "low", "0.22")
    assert float(spot["fill_m3"]) > 0.0
    toe, low = csv_rows(tmp_path / "unmatched.csv")
    assert list(toe) == [column.name for column in UNMATCHED_COLUMNS]
    assert (toe["code"], toe["reason"]) == ("'=toe", "its code names none of floor, crest, sill")
    assert (low["height_m"], low["reason"]) == ("", "it has no height")


def test_columns_have_names_of_their_own_and_meanings():
    """Every column says what it holds, and its name ends in its unit."""
    for columns in (SURVEY_COLUMNS, SPOT_COLUMNS, UNMATCHED_COLUMNS):
        assert len({column.name for column in columns}) == len(columns)
        assert all(column.meaning for column in columns)
        assert all(column.name.endswith(f"_{column.unit}") for column in columns if column.unit)


def words(figure):
    """All lettering of a figure but the figures on its axes."""
    (axes,) = figure.axes
    return [*figure.texts, *axes.texts, *axes.get_legend().get_texts(), axes.xaxis.label, axes.yaxis.label]


def test_drawing_names_what_is_wrong():
    """Depth, chainages, spill level, verdict and exaggeration are lettered, none smaller than 7 pt."""
    figure = survey_sheet(judged(designed(), crew(designed(), crest=sagging)), title="Ladera $x$ é", units="metric")
    figure.draw_without_rendering()
    lettered = [text.get_text() for text in words(figure)]
    assert "crest 0.22 m low\n58.5 to 67.5 m" in lettered
    assert "water leaves over the crest at 106.18 m" in lettered
    assert "Ladera $x$ é: S1, outside tolerance" in lettered
    assert min(text.get_fontsize() for text in words(figure)) >= 7.0


def test_heights_are_drawn_as_many_times_larger_as_said():
    """The scale up over the scale along, measured on paper."""
    figure = survey_sheet(judged(designed(), crew(designed())), title="", units="metric")
    (axes,) = figure.axes
    (left, low), (right, high) = axes.transData.transform([(0.0, 106.0), (100.0, 107.0)])
    assert f"heights drawn {(high - low) / ((right - left) / 100.0):.2g} times larger" in axes.get_xlabel()


def test_us_units_show_feet():
    """Axes and lettering alike."""
    figure = survey_sheet(judged(designed(), crew(designed(), crest=sagging)), title="", units="us")
    (axes,) = figure.axes
    assert axes.get_xlim()[1] == pytest.approx(100.0 / 0.3048)
    assert any(text.get_text() == "crest 0.72 ft low\n191.8 to 221.6 ft" for text in words(figure))
    with pytest.raises(InputError, match="units is 'feet'"):
        survey_sheet(judged(designed(), crew(designed())), title="", units="feet")


def few_points():
    """A survey with gaps."""
    parts = (("floor", [0.0, 20.0, 40.0], FLOOR), ("crest", [21.0, 80.0], CREST), ("sill", [30.0], SILL))
    return judged(designed(), together(*(shot(designed(), *part) for part in parts)))


def many_spots():
    """A floor that waves round a ring, through its first station."""
    ring = designed_ring(sill_m=1.0)
    return judged(ring, crew(ring, floor=lambda chainage: 0.12 * np.cos(chainage / 1.7)))


@pytest.mark.parametrize("built", [few_points(), many_spots()], ids=["few", "many"])
def test_lettering_neither_overlaps_nor_leaves_the_sheet(built):
    """Where room lacks, the worst spots keep theirs."""
    figure = survey_sheet(built, title="Site", units="metric")
    figure.draw_without_rendering()
    boxes = [text.get_window_extent() for text in words(figure)]
    assert all(0 <= box.x0 < box.x1 <= figure.bbox.x1 and 0 <= box.y0 < box.y1 <= figure.bbox.y1 for box in boxes)
    clashes = [(k, j) for k, box in enumerate(boxes) for j in range(k) if box.overlaps(boxes[j])]
    assert not clashes


def test_notes_stand_below_the_drawing():
    """Each on the sheet and clear of the axis, a long one in several lines; the drawing keeps its size."""
    bare = survey_sheet(few_points(), title="Site", units="metric")
    notes = ["stores 67 m³, 97 % of 69 m³ as designed", "caution: " + "raise the crest before rain; " * 12]
    figure = survey_sheet(few_points(), title="Site", units="metric", notes=notes)
    figure.draw_without_rendering()
    boxes = [text.get_window_extent() for text in words(figure)]
    assert all(0 <= box.x0 < box.x1 <= figure.bbox.x1 and 0 <= box.y0 < box.y1 <= figure.bbox.y1 for box in boxes)
    assert not [(k, j) for k, box in enumerate(boxes) for j in range(k) if box.overlaps(boxes[j])]
    assert len(figure.texts) - len(bare.texts) >= 4
    assert figure.axes[0].bbox.size == pytest.approx(bare.axes[0].bbox.size)


def test_stretches_without_a_point_are_in_the_legend():
    """Only where there are any."""
    (axes,) = survey_sheet(few_points(), title="", units="metric").axes
    assert "without a point" in [text.get_text() for text in axes.get_legend().get_texts()]
    (axes,) = survey_sheet(judged(designed(), crew(designed())), title="", units="metric").axes
    assert "without a point" not in [text.get_text() for text in axes.get_legend().get_texts()]


@pytest.mark.parametrize("points", [shot(designed(), "crest", [50.0], CREST - 0.2), shot(designed(), "floor", [], [])])
def test_hardly_surveyed_swales_are_drawn_too(points):
    """One point or none."""
    built = check_survey(points, [designed()]).swales[0]
    assert survey_sheet(built, title="", units="metric").axes


def test_same_bytes_twice(tmp_path):
    """Tables and drawing are the same each time."""
    for name in ("a", "b"):
        write_table(survey_rows(a_check()), SURVEY_COLUMNS, tmp_path / f"{name}.csv")
        save_png(survey_sheet(a_check().swales[0], title="x", units="metric"), tmp_path / f"{name}.png", dpi=60)
    for kind in ("csv", "png"):
        assert (tmp_path / f"a.{kind}").read_bytes() == (tmp_path / f"b.{kind}").read_bytes()
