"""Crossings at the command line: a file in, two swales, a layer and a picture out; or one line that says why not."""

import json
from pathlib import Path
from shutil import copytree

import geopandas
import pandas
import pytest
from bad_input import assert_one_line_error
from sites import NORTH, WEST, plane, write_tile

OPTIONS = ["--interval", "2", "--storm", "50", "--curve-number", "80", "--crossings", "ways.geojson"]
SAMPLE = Path(__file__).parents[2] / "sample_terrain"


def ways(folder, *features):
    """A file of crossings in metres."""
    rows = [{"type": "Feature", "properties": said, "geometry": place} for place, said in features]
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::32630"}}
    text = json.dumps({"type": "FeatureCollection", "crs": crs, "features": rows})
    (folder / "ways.geojson").write_text(text, encoding="utf-8")


def point(x, y):
    """A place in metres."""
    return {"type": "Point", "coordinates": [x, y]}


@pytest.fixture
def tile(tmp_path):
    """A plane of 10 %, wide enough for two swales beside each other."""
    return write_tile(tmp_path / "plane.tif", plane(shape=(120, 160)).heights)


def test_a_gateway_makes_two_swales_of_one_line(swalekit, tile, tmp_path):
    """The layer tells which; the summary tells how much was taken for it; figures and map are those of both."""
    ways(tmp_path, (point(WEST + 80.0, NORTH - 40.0), {"kind": "gap", "use": "gateway", "name": "Gate"}))
    code, _, err = swalekit("plan", tile, *OPTIONS)
    assert (code, err) == (0, "")
    (gate,) = geopandas.read_file(tmp_path / "plan" / "site.gpkg", layer="crossings").to_dict("records")
    assert (gate["kind"], gate["name"], gate["width_m"]) == ("gap", "Gate", 4.0)
    summary = json.loads((tmp_path / "plan" / "summary.json").read_text(encoding="utf-8"))
    assert len(gate["ends"].split(", ")) % 2 == 0
    assert summary["refused"]["crossing"]["length_m"] > 4.0
    assert any("ways.geojson" in str(given) for given in summary["inputs"])


@pytest.mark.parametrize("kind", ["pipe", "ford"])
def test_a_track_over_a_swale_that_goes_on(swalekit, tile, tmp_path, kind):
    """One swale a line; a table with pipe, soil and caution; the same crossings again when the plan is staked."""
    track = {"type": "LineString", "coordinates": [[WEST + 80.0, NORTH], [WEST + 80.0, NORTH - 120.0]]}
    ways(tmp_path, (track, {"kind": kind, "use": "track", "name": "Track"}))
    code, out, err = swalekit("plan", tile, *OPTIONS)
    assert (code, err) == (0, "")
    assert out.count("local code") == 1
    table = pandas.read_csv(tmp_path / "plan" / "crossings.csv")
    summary = json.loads((tmp_path / "plan" / "summary.json").read_text(encoding="utf-8"))
    assert table["swale"].tolist() == [row["swale"] for row in summary["swales"]]
    assert (table["kind"] == kind).all()
    assert (table["carries_m3s"] >= table["flow_m3s"]).all()
    assert table["pipe_m"].notna().all() == (kind == "pipe")
    assert "crossing" not in summary["refused"]
    code, out, err = swalekit("stake", "plan", "--out", "stakes")
    assert (code, err) == (0, "")
    marks = pandas.read_csv(tmp_path / "stakes" / "stakes.csv")["mark"]
    assert marks.str.contains("crossing edge").sum() == 2 * len(table)


def test_an_unknown_kind_is_refused(swalekit, tile, tmp_path):
    """It ends in one line that offers those that are worked out, and nothing is written."""
    ways(tmp_path, (point(WEST + 80.0, NORTH - 40.0), {"kind": "bridge"}))
    assert_one_line_error(swalekit("plan", tile, *OPTIONS), "kind is 'bridge'; it must be one of gap, pipe, ford")
    assert not (tmp_path / "plan").exists()


def test_a_pipe_in_too_shallow_a_swale_ends_in_one_line(swalekit, tile, tmp_path):
    """With the way out; nothing is written."""
    ways(tmp_path, (point(WEST + 80.0, NORTH - 40.0), {"kind": "pipe", "name": "Gate"}))
    brief = '[terrain]\nfile = "plane.tif"\n[area]\ncrossings = "ways.geojson"\n[storm]\ndepth_mm = 30\n[soil]\n'
    brief += "curve_number = 70\n[levels]\ninterval_m = 2\n[section]\nleast_depth_m = 0.2\ngreatest_depth_m = 0.25\n"
    (tmp_path / "site.toml").write_text(brief + "bottom_width_m = 2.0\n", encoding="utf-8")
    words = "the least pipe is 0.3 m wide; dig deeper (depth_m of the line), or give it the kind gap"
    assert_one_line_error(swalekit("plan", "site.toml"), words)
    assert not (tmp_path / "plan").exists()


def test_the_sample_with_a_crossing(swalekit, tmp_path):
    """An invented gateway on its longest line, and a track through its gully: cut, told, cautioned."""
    copytree(SAMPLE, tmp_path / "sample")
    track = {"type": "LineString", "coordinates": [[562620, 4132576], [562610, 4132486], [562400, 4132186]]}
    gate = point(562561, 4132488)
    ways(tmp_path / "sample", (gate, {"kind": "gap", "name": "Upper gate"}), (track, {"name": "Track"}))
    brief = tmp_path / "sample" / "site.toml"
    text = brief.read_text(encoding="utf-8").replace('# crossings = "crossings.geojson"', 'crossings = "ways.geojson"')
    text = text.replace("least_length_m = 45.0", "least_length_m = 30.0").replace("slope = 0.15", "slope = 0.22")
    brief.write_text(text, encoding="utf-8")
    code, out, err = swalekit("plan", brief, "--out", "plan", "--no-report")
    assert (code, err) == (0, "")
    assert "caution: way through a watercourse: Crossing 'Track' runs through a watercourse" in out
    gates = geopandas.read_file(tmp_path / "plan" / "site.gpkg", layer="crossings").set_index("name")
    works = geopandas.read_file(tmp_path / "plan" / "site.gpkg", layer="berms")
    assert len(gates.loc["Upper gate", "ends"].split(", ")) == 2
    assert len(gates.loc["Track", "ends"].split(", ")) > 4
    assert all(works.distance(strip).min() > 0.0 for strip in gates.geometry)
