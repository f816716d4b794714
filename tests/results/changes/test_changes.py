"""What changed from one plan to another, line by line."""

import json
from dataclasses import replace

import matplotlib.image
import numpy as np
import pytest
from read_back import csv_rows
from sites import make_site, plane

import swalekit as house
from swalekit.design.plan.changes import CHANGE_COLUMNS, CHANGES, changes_between
from swalekit.errors import InputError
from swalekit.reporting.map.change_map import change_content
from swalekit.reporting.map.legend import legend_entries
from swalekit.reporting.words.change_words import change_counts, change_facts, change_table
from swalekit.results.plan import plan_record

LEVELS = {"levels": {"levels_m": [110.0, 107.0, 104.0]}}


@pytest.fixture(scope="module")
def before():
    """Three swales across a plane."""
    return house.plan(make_site(**LEVELS, rates={"dig_per_m3": 3.0}), plane())


@pytest.fixture(scope="module")
def after(before):
    """The uppermost held, the middle dropped, a stroke below all, and half a metre more floor to the lowest."""
    lines = house.lines_of(before).decide("S1", "held").decide("S2", "dropped")
    lines = lines.decide("S3", "held", bottom_width_m=1.1)
    west, _, east, _ = before.ground.terrain.grid.bounds
    y = before.ground.terrain.grid.bounds[1] + 15.0
    drawn = lines.draw([[west + 20.0, y], [east - 20.0, y]])
    return house.plan(before.site.with_lines(drawn), before.ground.terrain)


@pytest.fixture(scope="module")
def changes(before, after):
    """The two side by side."""
    return house.what_changed(before, after)


def test_each_line_is_matched_by_its_name(changes, before, after):
    """What was decided is what changed; that a line is held changes nothing of it."""
    kinds = {line.swale: line.change for line in changes.lines}
    assert kinds == {"S1": "same", "S2": "gone", "S3": "changed", "S4": "new"}
    by_name = {line.swale: line for line in changes.lines}
    assert by_name["S1"].differing == ("state",)
    assert by_name["S1"].moved_m == 0.0
    assert not by_name["S3"].is_moved
    assert {"bottom_width_m", "dug_m3"} <= set(by_name["S3"].differing)
    assert by_name["S3"].after["dug_m3"] == round(after.swales[1].quantities.dug_m3, 1)
    assert change_counts(changes) == "1 new, 1 gone, 1 changed, 1 as before"


def test_a_plan_is_the_same_as_itself(before):
    """And says so with no table."""
    changes = house.what_changed(before, before)
    assert {line.change for line in changes.lines} == {"same"}
    assert change_table(changes)[1] == ()
    assert changes.brief == ()
    assert all("→" not in value for _, value in change_facts(changes))


def test_cautions_that_come_and_go_are_told(before):
    """By the swale, each once."""
    record = plan_record(before)
    cautions = [{"swale": "S2", "caution": "high fill", "text": "t", "advice": "a"}]
    others = replace(record, summary=record.summary | {"cautions": cautions})
    plain = replace(record, summary=record.summary | {"cautions": []})
    raised, settled = changes_between(plain, others), changes_between(others, plain)
    assert [line.cautions_raised for line in raised.lines] == [(), ("high fill",), ()]
    assert [line.cautions_settled for line in settled.lines] == [(), ("high fill",), ()]
    assert [line.change for line in raised.lines] == ["same", "changed", "same"]


def test_settings_that_differ_are_told(before):
    """Part and key, before and after."""
    wider = house.plan(before.site.with_values({"section.bottom_width_m": 1.0}), before.ground.terrain)
    assert house.what_changed(before, wider).brief == (("section.bottom_width_m", 0.6, 1.0),)


def test_plans_of_other_ground_are_refused(before):
    """Their lines have names alike and nothing else in common."""
    other = house.plan(make_site(**LEVELS), plane(shape=(110, 100)))
    with pytest.raises(InputError, match=r"the plans are of different ground \(120 × 100 cells of 1 m"):
        house.what_changed(before, other)


def test_the_map_shows_each_kind_of_change(changes, before):
    """The legend names those that are there; former lines stay where they ran."""
    content = change_content(changes)
    assert (content.new, content.unchanged, list(content.former)) == (("S4",), ("S1",), ["S2"])
    assert np.array_equal(content.former["S2"], before.swales[1].line.path)
    assert [words for words, _ in legend_entries(content)][:3] == ["New", "Changed", "Built as before"]
    assert content.table[0][:2] == ("S2", "gone")
    assert "→" in dict(content.facts)["Soil dug"]


def test_table_map_and_summary_are_written(changes, tmp_path):
    """Every column declared, the totals last; the same changes give the same bytes."""
    for name in ("a", "b"):
        house.write_changes(changes, tmp_path / name)
    files = sorted(file.name for file in (tmp_path / "a").iterdir())
    assert files == ["changes.csv", "changes.png", "summary.json"]
    for file in files:
        assert (tmp_path / "a" / file).read_bytes() == (tmp_path / "b" / file).read_bytes()
    rows = csv_rows(tmp_path / "a" / "changes.csv")
    assert list(rows[0]) == [column.name for column in CHANGE_COLUMNS]
    assert [row["swale"] for row in rows] == ["S1", "S2", "S3", "S4", "total"]
    assert (rows[1]["dug_after_m3"], rows[3]["dug_before_m3"]) == ("", "")
    total = float(rows[-1]["dug_after_m3"]) - float(rows[-1]["dug_before_m3"])
    parts = sum(float(row["dug_after_m3"] or 0) - float(row["dug_before_m3"] or 0) for row in rows[:-1])
    assert total == pytest.approx(parts, abs=0.3)
    summary = json.loads((tmp_path / "a" / "summary.json").read_text(encoding="utf-8"))
    assert [summary[kind] for kind in CHANGES] == [["S4"], ["S2"], ["S3"], [], ["S1"]]
    assert matplotlib.image.imread(tmp_path / "a" / "changes.png").shape[0] > 2000


def test_two_folders_are_compared_on_the_command_line(swalekit, before, after, tmp_path):
    """With the hashes of both in the summary; options that would do nothing are refused."""
    house.write_plan(before, tmp_path / "one")
    house.write_plan(after, tmp_path / "two")
    code, out, err = swalekit("compare", "one", "two", "--out", "changed")
    assert (code, err) == (0, "")
    assert "lines: 1 new, 1 gone, 1 changed, 1 as before" in out
    assert "now held: S1, S3" in out
    summary = json.loads((tmp_path / "changed" / "summary.json").read_text(encoding="utf-8"))
    assert [(given["key"], given["path"]) for given in summary["inputs"]] == [
        ("before", "../one/summary.json"),
        ("after", "../two/summary.json"),
    ]
    code, out, err = swalekit("compare", "one", "two", "--spacing", "20")
    assert code == 2
    assert "so --spacing would do nothing" in err
    code, out, err = swalekit("compare", "one", "nowhere")
    assert (code, err.count("\n")) == (2, 1)


def test_a_line_that_was_trimmed_has_moved_by_what_is_gone(before):
    """The distance of its former end from it; where it ran is on the map."""
    lines = house.lines_of(before)
    last = lines.lines[-1]
    trimmed = replace(lines, lines=(*lines.lines[:-1], replace(last, state="held", xy=last.xy[:-15])))
    changes = house.what_changed(before, house.plan(before.site.with_lines(trimmed), before.ground.terrain))
    line = changes.lines[-1]
    assert line.is_moved
    assert line.moved_m == pytest.approx(np.hypot(*(last.xy[-1] - last.xy[-16])))
    assert line.change == "changed"
    assert list(change_content(changes).former) == [line.swale]
    assert change_table(changes)[1][-1][2] == f"{line.moved_m:.1f}"
