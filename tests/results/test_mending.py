"""A mended plan's folder: a plan like any other, with what was tried, and a report that shows before and after."""

import csv
import json

import pytest
from sites import make_site, plane

import swalekit
from swalekit.design.brief.decided_lines import HELD


@pytest.fixture(scope="module")
def mended():
    """Of two lines on a steep plane the smaller may be left out."""
    lines = {"watercourse_area_m2": 1e6}
    design = swalekit.plan(make_site(levels={"levels_m": [112.0, 106.0]}, lines=lines), plane(0.2, shape=(140, 100)))
    return swalekit.mend(design, may_lose=0.45)


def test_the_folder_is_a_plan_with_what_was_tried(mended, tmp_path):
    """Its lines are held, the one left out is dropped with its note; the table has a row a trial and one that stays."""
    swalekit.write_mended(mended, tmp_path / "mended", report=True)
    summary = json.loads((tmp_path / "mended" / "summary.json").read_text(encoding="utf-8"))
    assert summary["totals"]["swales"] == len(mended.after.swales) == 1
    told = summary["mending"]
    assert (told["before"]["swales"], told["after"]["swales"]) == (2, 1)
    assert [cure["cure"] for cure in told["cured"]] == ["leave it out"]
    with (tmp_path / "mended" / "mending.csv").open(encoding="utf-8-sig") as table:
        rows = list(csv.DictReader(table))
    assert len(rows) == len(mended.trials) + len(mended.left)
    assert {row["outcome"] for row in rows} >= {"taken", "stays"}
    lines, _ = swalekit.read_lines(tmp_path / "mended" / "lines.gpkg")
    assert sorted(line.state for line in lines.lines) == ["dropped", HELD]
    assert "left out: steep ground" in {line.own.note for line in lines.lines}
    page = (tmp_path / "mended" / "report.html").read_text(encoding="utf-8")
    assert "Mended: before and after" in page
    assert "Swales cautioned: steep ground</th><td>2</td><td>1</td>" in page


def test_without_applying_only_the_trials_are_written(mended, tmp_path):
    """Nothing of a layout, and the same table."""
    swalekit.write_trials(mended, tmp_path / "tried")
    assert sorted(file.name for file in (tmp_path / "tried").iterdir()) == ["mending.csv", "summary.json"]
