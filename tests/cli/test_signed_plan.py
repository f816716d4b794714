"""One signed plan: every later command works on exactly the lines in its folder, whatever became of brief and files."""

import csv
import json
import shutil
import sqlite3
import sys
from contextlib import closing
from datetime import date
from pathlib import Path

import ezdxf
import geopandas
import numpy as np
import pytest
import shapely
from bad_input import assert_one_line_error
from pyproj import Transformer
from read_back import csv_rows
from sites import NORTH, WEST, hills, write_tile

import swalekit.formats.inputs.site as reading
from swalekit.cli.main import run
from swalekit.errors import InputError
from swalekit.formats.inputs.brief import brief_of, read_brief, written_brief
from swalekit.results.folder.inputs import KEPT
from swalekit.results.folder.seal import seal, strangers
from swalekit.results.plan.again import plan_again, read_recorded_plan
from swalekit.results.plan.read import read_plan_folder

BRIEF = """# North slope of Cerro Alto, an invented place
[site]
name = "Cerro Alto"
revision = "B"
date = 2026-11-30

[terrain]
file = "ground/hills.tif"

[area]
boundary = "boundary.geojson"

[storm]
depth_mm = 40.0

[soil]
curve_number = 80
texture = "loam"
intake_mm_h = 12.0

[levels]
interval_m = 1.2

[lines]
least_length_m = 10.0

[uncertainty]
draws = 20

[weather]
file = "normals.csv"

[planting]
sheltered = ["olive"]
planting_year = 2027
texture = "loam"
"""


def call(*words: object) -> int:
    """Run the command; give its exit code."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["swalekit", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            run()
    return int(stop.value.code or 0)


def land(south_m: float = 90.0) -> str:
    """A boundary within the hills, as GeoJSON."""
    to_wgs = Transformer.from_crs("EPSG:32630", "EPSG:4326", always_xy=True)
    box = shapely.box(WEST + 4.0, NORTH - south_m, WEST + 92.0, NORTH - 4.0)
    return shapely.to_geojson(shapely.transform(box, to_wgs.transform, interleaved=False))


@pytest.fixture(scope="module")
def office(tmp_path_factory):
    """A folder with hills, a boundary, a brief, and the signed plan."""
    place = tmp_path_factory.mktemp("office")
    (place / "ground").mkdir()
    write_tile(place / "ground" / "hills.tif", hills().heights)
    (place / "boundary.geojson").write_text(land(), encoding="utf-8")
    shutil.copy(Path(__file__).parents[2] / "sample_terrain" / "weather.csv", place / "normals.csv")
    (place / "site.toml").write_text(BRIEF, encoding="utf-8")
    assert call("plan", place / "site.toml", "--out", place / "plan", "--quiet") == 0
    assert call("stake", place / "plan", "--out", place / "stakes", "--quiet") == 0
    return place


@pytest.fixture
def desk(office, tmp_path, monkeypatch, capsys):
    """A copy of it to work in; run a command there: exit code, standard output, standard error."""
    shutil.copytree(office, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)

    def work(*words: object) -> tuple[int, str, str]:
        capsys.readouterr()
        code = call(*words)
        return (code, *capsys.readouterr())

    return work


def told(folder: str) -> dict:
    """Summary of a folder."""
    return json.loads(Path(folder, "summary.json").read_text(encoding="utf-8"))


def number_of(folder: str) -> str:
    """Number of the plan in a folder."""
    return told(folder)["number"]


def levelled(path: str, *, stakes: str = "stakes", swale: str = "S1") -> None:
    """The stakes of a swale, moved half a metre south and levelled."""
    rows = [row for row in csv_rows(Path(stakes, "stakes.csv")) if row["swale"] == swale]
    level_m = next(row["level_m"] for row in told(stakes)["swales"] if row["swale"] == swale) - 0.04
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        for row in rows:
            northing_m = float(row["northing_m"]) - 0.5
            csv.writer(file).writerow([row["number"], f"{northing_m:.3f}", row["easting_m"], f"{level_m:.3f}"])


def test_a_plans_folder_holds_what_it_was_made_from(office):
    """The brief to the byte, copies of the small inputs, the hash of the tile as it was read; all of it sealed."""
    plan = office / "plan"
    assert (plan / "brief.toml").read_bytes() == (office / "site.toml").read_bytes()
    assert sorted(file.name for file in (plan / KEPT).iterdir()) == ["boundary.geojson", "normals.csv"]
    summary = told(plan)
    assert {row["key"]: row["path"] for row in summary["inputs"]} == {
        "terrain.file": "../ground/hills.tif",
        "area.boundary": "inputs/boundary.geojson",
        "weather.file": "inputs/normals.csv",
    }
    assert {"brief.toml", "inputs/boundary.geojson", "inputs/normals.csv"} <= summary["files"].keys()
    assert len(summary["swales"]) >= 2
    assert strangers(plan) == []
    (plan / KEPT / "mine.txt").write_text("x")
    assert strangers(plan) == ["inputs/mine.txt"]
    (plan / KEPT / "mine.txt").unlink()


def test_stakes_are_those_of_the_folder_whatever_became_of_the_brief(desk):
    """The brief changes after the plan was signed: from the folder the same stakes, from the brief others, as told."""
    Path("site.toml").write_text(BRIEF.replace("interval_m = 1.2", "interval_m = 1.5"), encoding="utf-8")
    code, out, err = desk("stake", "plan", "--out", "again")
    assert (code, err) == (0, "")
    assert "anew" not in out
    for name in ("stakes.csv", "points.csv", "stakes.gpx", "stakes.kml", "stakes.dxf", "design.xml", "stakes.pdf"):
        assert Path("again", name).read_bytes() == Path("stakes", name).read_bytes()
    assert told("again")["of_plan"] == {"number": number_of("plan"), "revision": "B", "date": "2026-11-30"}
    code, out, _ = desk("stake", "site.toml", "--out", "other")
    assert out.startswith("site.toml is planned anew")
    assert "of_plan" not in told("other")
    assert Path("other/stakes.csv").read_bytes() != Path("stakes/stakes.csv").read_bytes()


def test_options_still_stand_before_the_record(desk):
    """Closer stakes on the same lines; fewer draws."""
    assert desk("stake", "plan", "--spacing", "4", "--out", "close", "--quiet") == (0, "", "")
    assert told("close")["stakes"]["spacing_m"] == 4.0
    assert [row["level_m"] for row in told("close")["swales"]] == [row["level_m"] for row in told("plan")["swales"]]
    assert Path("close/brief.toml").read_text(encoding="utf-8").startswith("# Written by swalekit")
    assert read_brief("close/brief.toml").stakes.spacing_m == 4.0
    assert desk("reliability", "plan", "--draws", "21", "--quiet") == (0, "", "")
    assert (told("reliability")["draws"], told("reliability")["of_plan"]["number"]) == (21, number_of("plan"))


def test_weather_is_the_business_of_growing_alone(desk):
    """Corrected normals stop no stakes; grow takes those that were signed, or others by a brief."""
    Path("normals.csv").unlink()
    assert desk("stake", "plan", "--out", "again", "--quiet") == (0, "", "")
    Path("plan/inputs/normals.csv").write_text("month\n", encoding="utf-8")
    read_recorded_plan("plan")
    assert_one_line_error(desk("grow", "plan"), "plan/inputs/normals.csv' was changed after it was written")
    shutil.copy("stakes/inputs/normals.csv", "normals.csv")
    assert desk("grow", "plan", "--brief", "site.toml", "--quiet") == (0, "", "")
    assert told("grow")["of_plan"]["number"] == number_of("plan")


def test_grow_from_the_folder(desk):
    """The weather that it keeps is read; brief and files may be gone."""
    for name in ("site.toml", "normals.csv", "boundary.geojson"):
        Path(name).unlink()
    assert desk("grow", "plan", "--quiet") == (0, "", "")
    keys = [row["key"] for row in told("grow")["inputs"]]
    assert keys == ["terrain.file", "area.boundary", "weather.file"]
    assert desk("report", "plan", "--growth", "grow", "--quiet") == (0, "", "")


def test_a_changed_copy_is_told(desk):
    """The boundary in the folder is part of what was signed."""
    Path("plan/inputs/boundary.geojson").write_text(land(60.0), encoding="utf-8")
    assert_one_line_error(desk("stake", "plan", "--out", "x"), "inputs/boundary.geojson' was changed after it was")
    assert not Path("x").exists()


def test_a_moved_tile_is_found_by_a_brief(desk):
    """Whatever else stands in that brief; another tile in its place is refused."""
    shutil.move("ground", "tiles")
    assert_one_line_error(desk("stake", "plan", "--out", "x"), "hills.tif', which is no longer there", "--brief")
    changed = BRIEF.replace("ground/", "tiles/").replace("interval_m = 1.2", "interval_m = 1.5")
    Path("moved.toml").write_text(changed, encoding="utf-8")
    assert desk("stake", "plan", "--out", "x", "--brief", "moved.toml", "--quiet") == (0, "", "")
    assert Path("x/stakes.csv").read_bytes() == Path("stakes/stakes.csv").read_bytes()
    write_tile(Path("tiles/hills.tif"), hills(seed=8).heights)
    said = desk("stake", "plan", "--out", "y", "--brief", "moved.toml")
    assert_one_line_error(said, "hills.tif' is not the file that 'plan' was made from")


@pytest.mark.parametrize("name", ["ground/hills.tif", "boundary.geojson"])
def test_a_file_that_changes_while_the_plan_runs_is_an_error(desk, monkeypatch, name):
    """Whether it was read before or after: the hash recorded is of what was read."""
    read = reading.read_terrain

    def read_then_change(*words, **choices):
        terrain = read(*words, **choices)
        Path(name).write_bytes(Path(name).read_bytes() + b" ")
        return terrain

    monkeypatch.setattr(reading, "read_terrain", read_then_change)
    assert_one_line_error(desk("plan", "site.toml", "--out", "new"), f"{name}' was changed while it was worked with")
    assert not Path("new").exists()


def change_summary(folder: str, change) -> None:
    """Write a plan's summary anew, as if it had been planned so."""
    summary = told(folder)
    change(summary)
    Path(folder, "summary.json").write_text(json.dumps(summary), encoding="utf-8")
    seal(Path(folder))


def test_a_plan_of_another_version_is_one_line(desk):
    """One that would lay other lines, and one that says less."""
    change_summary("plan", lambda summary: summary["swales"][0].update(level_m=1.0))
    assert_one_line_error(desk("stake", "plan", "--out", "x"), "records level_m 1.0 of S1", "another version")
    change_summary("plan", lambda summary: summary.pop("inputs"))
    assert_one_line_error(desk("grow", "plan", "--out", "x"), "has no 'inputs'")


def test_lines_are_the_same_to_the_millimetre(desk):
    """A line in the folder that lies two millimetres off is told."""
    recorded = read_recorded_plan("plan")
    plan_again(recorded)
    recorded.lines["S2"] = shapely.transform(recorded.lines["S2"], lambda xy: xy + np.array([0.002, 0.0]))
    with pytest.raises(InputError, match="the line of S2"):
        plan_again(recorded)


def test_a_relevelled_folder_is_a_plan_like_any_other(desk):
    """Stakes, report, reliability and survey work on the lines as cut; cut again, they are as cut twice."""
    levelled("north.csv")
    assert desk("relevel", "stakes", "north.csv", "--out", "cut", "--quiet") == (0, "", "")
    assert told("cut")["cut_from"]["number"] == number_of("plan")
    assert "of_plan" not in told("cut")
    assert {"map.pdf", "report.html", "stakes.pdf", "earthwork.csv"} <= {file.name for file in Path("cut").iterdir()}
    assert strangers(Path("cut")) == []
    Path("north.csv").unlink()
    assert desk("stake", "cut", "--out", "stakes2", "--spacing", "5", "--quiet") == (0, "", "")
    assert told("stakes2")["of_plan"]["number"] == number_of("cut")
    levels = [row["level_m"] for row in told("cut")["swales"]]
    assert [row["level_m"] for row in told("stakes2")["swales"]] == levels
    assert levels != [row["level_m"] for row in told("plan")["swales"]]
    assert desk("report", "cut", "--quiet") == (0, "", "")
    assert desk("reliability", "cut", "--out", "sure", "--quiet") == (0, "", "")
    assert told("sure")["of_plan"]["number"] == number_of("cut")
    levelled("south.csv", stakes="stakes2", swale="S2")
    assert desk("relevel", "stakes2", "south.csv", "--out", "cut2", "--quiet") == (0, "", "")
    again = plan_again(read_recorded_plan("cut2"))
    np.testing.assert_allclose(again.swales[0].line.level_m, levels[0], atol=0.006)
    assert [row["key"] for row in told("cut2")["inputs"] if row["key"].startswith("lev")] == [
        "levelled.1",
        "levelled.2",
    ]
    built = [f"{9000 + i},{y:.3f},{x:.3f},{level:.3f},S1 floor" for i, (x, y, level) in enumerate(floor_of(again))]
    Path("built.csv").write_text("\n".join(built), encoding="utf-8")
    code, out, err = desk("survey", "cut2", "built.csv", "--json")
    assert (code, err) == (0, "")
    assert json.loads(out)["of_plan"]["number"] == number_of("cut2")


def floor_of(design) -> list[tuple[float, float, float]]:
    """Points on the floor of the first swale."""
    swale = design.swales[0]
    return [(x, y, swale.sized.shape.floor_level_m) for x, y in swale.line.xy.tolist()]


def test_a_brief_written_by_the_program_says_the_same(office):
    """Read back it is the same brief, whatever stands in it."""
    text = BRIEF.replace('name = "Cerro Alto"', r'name = "Cerro \"Alto\" \u007f é"').replace(
        "[storm]", '[area.setbacks_m]\nbuilding = 12\n"septic field" = 30.5\n[storm]'
    )
    brief = brief_of(text.encode(), office / "site.toml")
    again = brief_of(written_brief(brief, {}), office / "other.toml")
    assert again == brief
    assert brief.site.date == date(2026, 11, 30).isoformat()


def test_two_runs_give_the_same_bytes(desk):
    """Folder with its copies, wherever the office lies."""
    assert desk("plan", "site.toml", "--out", "b", "--quiet") == (0, "", "")
    files = [file.relative_to("plan") for file in Path("plan").rglob("*") if file.is_file()]
    assert len(files) > 12
    for file in files:
        assert Path("plan", file).read_bytes() == Path("b", file).read_bytes()


def described(file: str) -> set[str]:
    """What the layers of a GeoPackage say of themselves."""
    with closing(sqlite3.connect(file)) as opened:
        return {text or "" for (text,) in opened.execute("select description from gpkg_contents")}


def test_every_file_with_a_place_for_it_tells_the_issue(desk):
    """Revision, date and number of the plan, in its own files and in what is made of it, in each format's own place."""
    number, issue = number_of("plan"), "revision B · 2026-11-30"
    text = {name: Path("stakes", name).read_text(encoding="utf-8") for name in ("stakes.gpx", "stakes.kml")}
    text["design.xml"] = Path("stakes/design.xml").read_text(encoding="utf-8")
    assert f"<desc>{issue} · plan {number}</desc>" in text["stakes.gpx"]
    assert f"<description>Cerro Alto · {issue} · plan {number}</description>" in text["stakes.kml"]
    assert f'<Project name="Cerro Alto" desc="{issue} · plan {number}" />' in text["design.xml"]
    custom = ezdxf.readfile("stakes/stakes.dxf").header.custom_vars
    assert custom.get("Issue") == f"{issue} · plan {number}"
    about = {"site": "Cerro Alto", "revision": "B", "date": "2026-11-30", "plan": number}
    assert json.loads(Path("plan/swales.geojson").read_text(encoding="utf-8")).items() >= about.items()
    assert described("plan/site.gpkg") == {f"Cerro Alto · {issue} · plan {number}"}
    assert described("stakes/site.gpkg") == {f"Cerro Alto · {issue} · plan {number}"}
    assert f"{issue} · plan {number}" in Path("plan/report.html").read_text(encoding="utf-8")
    assert b"/Title" in Path("stakes/stakes.pdf").read_bytes()
    assert read_plan_folder("plan").summary["brief"]["site"]["date"] == "2026-11-30"


def test_an_issue_that_is_not_given_is_not_written(desk):
    """Nor is anything of the clock."""
    Path("site.toml").write_text(BRIEF.replace('revision = "B"\ndate = 2026-11-30\n', ""), encoding="utf-8")
    assert desk("stake", "site.toml", "--out", "plain", "--quiet") == (0, "", "")
    assert "<desc>revision" not in Path("plain/stakes.gpx").read_text(encoding="utf-8")
    assert "<Project" not in Path("plain/design.xml").read_text(encoding="utf-8")
    assert described("plain/site.gpkg") == {"Cerro Alto"}


def test_a_shapefile_is_kept_whole(desk):
    """All of its parts, under a name of its own beside one of the same name; its table is part of what was read."""
    Path("north").mkdir()
    geopandas.read_file("boundary.geojson").to_file("north/land.shp")
    rows = [{"kind": "well", "geometry": shapely.Point(-2.9995, 36.1441)}]
    geopandas.GeoDataFrame(rows, crs="EPSG:4326").to_file("land.geojson")
    text = BRIEF.replace('boundary = "boundary.geojson"', 'boundary = "north/land.shp"\nkeep_outs = "land.geojson"')
    Path("site.toml").write_text(text, encoding="utf-8")
    assert desk("plan", "site.toml", "--out", "shapes", "--quiet") == (0, "", "")
    kept = {file.name for file in Path("shapes", KEPT).iterdir()}
    assert kept >= {"land.shp", "land.shx", "land.dbf", "land.prj", "area.keep_outs-land.geojson"}
    shutil.rmtree("north")
    assert len(plan_again(read_recorded_plan("shapes")).swales) == len(told("shapes")["swales"]) >= 1
