"""The designer's loop on the command line: plan, hold, drop, draw, trim and widen in another program, plan again."""

import json
import sqlite3
import subprocess
import sys
from pathlib import Path

import geopandas
import numpy as np
import pytest
import shapely
from bad_input import BRIEF, assert_one_line_error
from read_back import csv_rows
from sites import write_tile

import swalekit as package
from swalekit.formats.inputs.lines_file import read_lines

SITE = BRIEF.replace('"plane.tif"', '"plane.tif"\nvertical_sigma_m = 0.05')

OPENED = """
import sqlite3, sys
opened = sqlite3.connect("plan/lines.gpkg")
opened.execute("pragma journal_mode = wal")
opened.execute("create table layer_styles (id integer primary key, style text)")
opened.commit()
print("open", flush=True)
sys.stdin.read()
"""
"""Another program that has the file open, with edits in a journal beside it: one process would share locks."""


@pytest.fixture(autouse=True)
def _tile(tmp_path):
    """A winding slope of 140 m by 150 m in plane.tif, and a brief that names the lines of the plan beside it."""
    row, column = np.mgrid[0:150, 0:140]
    write_tile(tmp_path / "plane.tif", 130.0 - 0.11 * row + np.sin(column / 20.0))
    (tmp_path / "first.toml").write_text(SITE, encoding="utf-8")
    (tmp_path / "site.toml").write_text(SITE + '[lines]\nfile = "plan/lines.gpkg"\n', encoding="utf-8")


@pytest.fixture
def planned(swalekit):
    """The first plan; its lines by their names."""
    assert swalekit("plan", "first.toml", "--no-report")[0] == 0
    frame = geopandas.read_file("plan/lines.gpkg").set_index("name", drop=False)
    assert len(frame) >= 7, "too few lines to decide on"
    return frame


def saved(frame):
    """Save features over the file of lines, as a map program does."""
    Path("plan/lines.gpkg").unlink()
    frame.reset_index(drop=True).to_file("plan/lines.gpkg", layer="lines")


def by_name(path="plan/lines.gpkg"):
    """Lines of a file."""
    return {line.name: line for line in read_lines(path)[0].lines}


def test_hold_drop_draw_trim_and_widen(swalekit, planned):
    """Held lines come back to the bit, dropped ones are gone, the rest is as decided, and decisions are carried on."""
    frame, first = planned, by_name()
    longest = frame.length.sort_values(ascending=False).index.tolist()
    held, (trimmed, widened), dropped = longest[:3], longest[3:5], longest[5:7]
    frame.loc[held, "state"] = "Held"
    frame.loc[dropped, "state"] = "dropped"
    frame.loc[dropped, "note"] = "the oak stands there"
    frame.loc[widened, ["state", "bottom_width_m"]] = ["held", 1.2]
    shape = frame.geometry[trimmed]
    frame.loc[[trimmed], "geometry"] = [shapely.ops.substring(shape, 0.0, 0.6 * shape.length)]
    stroke = shapely.affinity.translate(frame.geometry[dropped[0]], 0.0, -1.0)
    frame.loc["new", ["stage", "geometry"]] = [2, stroke]
    saved(frame)
    edited = Path("plan/lines.gpkg").read_bytes()
    code, out, err = swalekit("plan", "site.toml", "--overwrite", "--no-report")
    assert (code, err) == (0, "")
    again, rows = by_name(), {row["swale"]: row for row in csv_rows(Path("plan/earthwork.csv"))}
    for name in held:
        assert again[name].state == "held"
        assert np.array_equal(again[name].xy, first[name].xy)
        assert name in rows
    for name in dropped:
        assert (again[name].state, again[name].own.note) == ("dropped", "the oak stands there")
        assert name not in rows
    assert (again[widened].state, again[widened].own.bottom_width_m) == ("held", 1.2)
    assert again[trimmed].state == "drawn"
    assert float(rows[trimmed]["length_m"]) == pytest.approx(0.6 * shape.length, rel=0.05)
    (new,) = [line for name, line in again.items() if name not in first and line.state == "drawn"]
    assert new.own.stage == 2
    assert f"taken as drawn, since edited after they were laid: {trimmed}" in out.replace("\n", " ")
    assert edited != Path("plan/lines.gpkg").read_bytes()

    before = {file.name: file.read_bytes() for file in Path("plan").iterdir() if file.suffix in (".csv", ".geojson")}
    assert swalekit("plan", "site.toml", "--overwrite", "--no-report")[0] == 0
    after = {file.name: file.read_bytes() for file in Path("plan").iterdir() if file.suffix in (".csv", ".geojson")}
    assert before == after, "a plan of its own lines is the same plan"


def test_decisions_made_in_a_database_and_in_a_text_are_the_same(swalekit, planned):
    """Neither file is written by a map program; the file of lines may be any."""
    held, dropped = planned.length.sort_values(ascending=False).index[:2]
    text = json.loads(Path("plan/lines.geojson").read_text(encoding="utf-8"))
    for feature in text["features"]:
        feature["properties"]["state"] = {held: "held", dropped: "dropped"}.get(
            feature["properties"]["name"], "proposed"
        )
    Path("mine.geojson").write_text(json.dumps(text), encoding="utf-8")
    with sqlite3.connect("plan/lines.gpkg") as database:
        for (trigger,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            database.execute(f'DROP TRIGGER "{trigger}"')  # they call functions that only map programs have
        database.execute("UPDATE lines SET state = 'held' WHERE name = ?", [held])
        database.execute("UPDATE lines SET state = 'dropped' WHERE name = ?", [dropped])
    options = ("--interval", "2", "--storm", "50", "--curve-number", "80", "--no-report")
    assert swalekit("plan", "plane.tif", "--lines", "mine.geojson", "--out", "text", *options)[0] == 0
    assert swalekit("plan", "site.toml", "--out", "base", "--no-report")[0] == 0
    states = [
        {name: line.state for name, line in by_name(f"{folder}/lines.gpkg").items()} for folder in ("text", "base")
    ]
    assert states[0] == states[1]
    assert (states[0][held], states[0][dropped]) == ("held", "dropped")


def test_edited_lines_are_never_taken_away(swalekit, planned):
    """A plan that doesn't read them refuses to replace them, in one line with the way out; nor while they are open."""
    planned["state"] = "held"
    saved(planned)
    edited = Path("plan/lines.gpkg").read_bytes()
    result = swalekit("plan", "first.toml", "--overwrite", "--no-report")
    assert_one_line_error(result, "'lines.gpkg' among the results", "name it as [lines] file of the brief")
    assert Path("plan/lines.gpkg").read_bytes() == edited
    with subprocess.Popen([sys.executable, "-c", OPENED], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as program:
        assert program.stdout.readline() == b"open\n"
        result = swalekit("plan", "site.toml", "--overwrite", "--no-report")
        program.stdin.close()
    assert_one_line_error(result, "'lines.gpkg-wal' among the results", "save and close it there")


def test_lines_edited_while_the_plan_is_made_are_kept(swalekit, planned, monkeypatch):
    """What was saved after the file was read isn't in the plan, so nothing is replaced."""
    planned["state"] = "held"
    saved(planned)
    plan = package.plan

    def slow(*given, **choices):
        design = plan(*given, **choices)
        planned["note"] = "saved meanwhile"
        saved(planned)
        return design

    monkeypatch.setattr(package, "plan", slow)
    result = swalekit("plan", "site.toml", "--overwrite", "--no-report")
    assert_one_line_error(result, "'lines.gpkg' there was edited after it was read; run the command again")
    assert geopandas.read_file("plan/lines.gpkg")["note"].tolist() == ["saved meanwhile"] * len(planned)


@pytest.mark.parametrize("shift_m", [50_000.0, 3_000_000.0])
def test_lines_of_another_site_are_refused(swalekit, planned, shift_m):
    """Where no ground is known; nothing is replaced."""
    planned["state"] = "held"
    saved(planned.set_geometry(planned.translate(shift_m, 0.0)))
    assert_one_line_error(swalekit("plan", "site.toml", "--overwrite", "--no-report"), "no ground is known")
    assert Path("plan/summary.json").exists()


def test_a_state_that_is_none_is_refused_before_any_work(swalekit, planned):
    """One line names feature, value and choices."""
    planned.loc[planned.index[1], "state"] = "keep"
    saved(planned)
    result = swalekit("plan", "site.toml", "--overwrite", "--no-report")
    assert_one_line_error(result, f"feature 2 ({planned.index[1]}): state is 'keep'; it must be one of proposed, held")
