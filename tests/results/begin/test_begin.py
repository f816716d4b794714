"""From a tile to a folder with a brief that runs at once."""

import io
import json
import sys
import tomllib
from pathlib import Path

import gpxpy.gpx
import numpy as np
import pytest
import shapely
from bad_input import assert_one_line_error, vectors
from pyproj import Transformer
from sites import NORTH, WEST, plane, write_tile

import swalekit as house
from swalekit.formats.inputs.site import read_site

SAMPLE = Path(__file__).parents[3] / "sample_terrain"
FILES = ["site.toml", "site_sheet.pdf", "site_sheet.png"]


class Terminal(io.StringIO):
    """Somebody who types."""

    def isatty(self):
        """As at a terminal."""
        return True


def names(folder):
    """Names of a folder's files."""
    return sorted(file.name for file in Path(folder).iterdir())


@pytest.mark.usefixtures("plane_tile")
def test_a_tile_alone_makes_a_brief_that_runs(swalekit):
    """In a pipe nothing is asked; what was guessed is told; the plan goes through."""
    code, out, err = swalekit("begin", "plane.tif")
    assert (code, err) == (0, "")
    assert names("site") == FILES
    for words in ("workable slope", "0.30 ha", "guessed: ", "[storm] depth_mm", "swalekit plan site/site.toml"):
        assert words in out
    assert tomllib.loads(Path("site/site.toml").read_text())["terrain"]["file"] == "../plane.tif"
    code, out, err = swalekit("plan", "site/site.toml", "--no-report")
    assert (code, err) == (0, "")
    assert "swales, " in out


@pytest.mark.usefixtures("plane_tile")
def test_what_is_told_by_options_is_in_the_brief(swalekit):
    """In SI, or in US units with --us; and no guess."""
    options = ["--storm=2", "--soil=clay loam", "--machine-width=3", "--house=none", "--purpose=erosion", "--us"]
    assert swalekit("begin", "plane.tif", *options, "--name", "North", "--out", "north")[0] == 0
    brief = read_site("north/site.toml").brief
    assert brief.storm.depth_mm == pytest.approx(50.8)
    assert brief.section.bottom_width_m == pytest.approx(0.9144)
    assert (brief.site.name, brief.site.units) == ("North", "us")
    assert (brief.soil.texture, brief.soil.group) == ("clay loam", "D")
    text = Path("north/site.toml").read_text()
    assert [line for line in text.split("\n") if line.startswith("# GUESS: the rain")] == []


@pytest.mark.usefixtures("plane_tile")
def test_at_a_terminal_five_questions_are_asked(swalekit, monkeypatch):
    """Enter takes what stands in brackets; what can't be is asked again; answers go into the brief."""
    monkeypatch.setattr(sys, "stdin", Terminal("\nmud\nclay\n\n\ngrazing\n"))
    code, _, err = swalekit("begin", "plane.tif")
    assert code == 0, err
    brief = read_site("site/site.toml").brief
    assert (brief.storm.depth_mm, brief.soil.texture, brief.section.bottom_width_m) == (50.0, "clay", 0.6)
    assert brief.section.berm_uphill_side_slope == 3.0
    assert err.count("Texture of the soil") == 2
    assert "texture is 'mud'" in err
    monkeypatch.setattr(sys, "stdin", Terminal(""))
    every = ["--storm=40", "--soil=loam", "--machine-width=1", "--house=none", "--purpose=trees"]
    assert swalekit("begin", "plane.tif", *every, "--out=told")[2] == ""


@pytest.mark.usefixtures("plane_tile")
def test_questions_that_are_broken_off_leave_nothing(swalekit, monkeypatch):
    """As by Ctrl-D: exit code 130, no words of an error, no folder."""
    monkeypatch.setattr(sys, "stdin", Terminal("50\n"))
    code, out, err = swalekit("begin", "plane.tif")
    assert (code, out.strip()) == (130, "")
    assert "Traceback" not in err
    assert not Path("site").exists()


@pytest.mark.usefixtures("plane_tile")
def test_a_house_is_kept_clear(swalekit):
    """Latitude and longitude as a phone shows them; off the tile they are refused with a word on their order."""
    to_globe = Transformer.from_crs("EPSG:32630", "EPSG:4326", always_xy=True)
    longitude, latitude = to_globe.transform(WEST + 25, NORTH - 30)
    assert swalekit("begin", "plane.tif", f"--house={latitude:.7f}, {longitude:.7f}")[0] == 0
    (kept,) = read_site("site/site.toml").keep_outs
    assert (kept.kind, kept.name, kept.setback_m) == ("building", "House", 10.0)
    result = swalekit("begin", "plane.tif", f"--house={longitude:.5f},{latitude:.5f}", "--out=other")
    assert_one_line_error(result, "house", "off the tile", "order")
    assert not Path("other").exists()


@pytest.mark.usefixtures("plane_tile")
def test_nothing_is_overwritten(swalekit):
    """Neither an earlier beginning, which may have been edited, nor anything else."""
    assert swalekit("begin", "plane.tif", "--quiet") == (0, "", "")
    Path("site/site.toml").write_text("edited")
    assert_one_line_error(swalekit("begin", "plane.tif"), "site: the folder holds files")
    assert Path("site/site.toml").read_text() == "edited"


@pytest.mark.usefixtures("plane_tile")
@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--boundary=none.kml"], ["boundary 'none.kml' does not exist"]),
        (["--soil=mud"], ["texture is 'mud'"]),
        (["--purpose=profit"], ["purpose is 'profit'", "trees"]),
        (["--house=here"], ["house is 'here'", "37.33"]),
        (["--storm=-5"], ["storm_mm is -5"]),
        (["--crs=moon"], ["moon"]),
    ],
)
def test_what_cannot_be_is_one_line_and_leaves_nothing(swalekit, options, words):
    """No folder, no half of one."""
    assert_one_line_error(swalekit("begin", "plane.tif", *options), *words)
    assert not Path("site").exists()
    assert not list(Path().glob(".swalekit-*"))


@pytest.mark.usefixtures("plane_tile")
def test_a_boundary_off_the_tile_is_refused(swalekit):
    """A wrong CRS, as a rule."""
    far = vectors((shapely.box(WEST + 5e4, NORTH, WEST + 5.01e4, NORTH + 100), {}))
    assert_one_line_error(swalekit("begin", "plane.tif", "--boundary", far), "boundary", "check the CRS")
    assert not Path("site").exists()


@pytest.mark.usefixtures("plane_tile")
def test_the_same_input_gives_the_same_bytes(tmp_path):
    """Brief, polygons and sheet."""
    boundary = tmp_path / "land.geojson"
    boundary.write_text(shapely.to_geojson(shapely.box(-3.0, 36.1444, -2.9996, 36.1447)))
    written = []
    for name in ("one", "two"):
        house.begin(tmp_path / "plane.tif", tmp_path / name, boundary=boundary)
        written.append({file.name: file.read_bytes() for file in (tmp_path / name).iterdir()})
    assert written[0] == written[1]
    assert sorted(written[0]) == ["boundary.geojson", *FILES]


def test_a_tile_too_coarse_is_begun_with_a_caution(swalekit, tmp_path):
    """The sheet still tells slopes; brief and terminal say why no ditch can be planned on it."""
    write_tile(tmp_path / "coarse.tif", plane(0.1, shape=(40, 40), cell_m=30.0).heights, cell_m=30.0)
    code, out, _ = swalekit("begin", "coarse.tif")
    assert code == 0
    assert "caution: the tile can't carry level ditches: cells of 30 m" in out
    assert "# CAUTION: the tile can't carry" in Path("site/site.toml").read_text()


@pytest.mark.compiled
def test_the_sample_is_begun_and_planned(swalekit):
    """Its shrubs are seen and taken off; its keep-outs come along; the plan goes through."""
    options = ["--boundary", SAMPLE / "boundary.geojson", "--keep-outs", SAMPLE / "keep_outs.geojson"]
    code, out, _ = swalekit("begin", SAMPLE / "hillside.tif", *options, "--json")
    assert code == 0
    told = json.loads(out)
    assert sum(row["area_m2"] for row in told["ground"]) == pytest.approx(told["area_m2"], abs=1.0)
    assert told["area_m2"] == pytest.approx(150_800.0, rel=0.01)
    assert told["denoise_radius_m"] == 1.5
    assert {row["use"] for row in told["ground"]} == {"level swales", "microcatchments", "nothing"}
    assert [pond["name"] for pond in told["ponds"]] == ["P1", "P2"]
    given, kept = (read_site(path) for path in (SAMPLE / "site.toml", "site/site.toml"))
    assert [(each.kind, each.name) for each in kept.keep_outs] == [(each.kind, each.name) for each in given.keep_outs]
    assert shapely.symmetric_difference(kept.boundary, given.boundary).area < 1e-10
    code, _, err = swalekit("plan", "site/site.toml", "--no-report", "--quiet")
    assert (code, err) == (0, "")


def test_dry_ground_below_the_sea_in_another_crs(swalekit, tmp_path):
    """An invented wadi fan 380 m below sea level, 150 mm a year; its boundary was walked with a receiver."""
    row, column = np.mgrid[0:90, 0:110]
    heights = -380.0 - 0.03 * row - 0.5 * np.exp(-(((column - 55) / 8) ** 2)) - 0.002 * column
    write_tile(tmp_path / "fan.tif", heights, crs="EPSG:32736", cell_m=2.0)
    to_globe = Transformer.from_crs("EPSG:32736", "EPSG:4326", always_xy=True)
    corners = [(20, -20), (200, -25), (195, -160), (25, -150), (19, -24)]
    file, track = gpxpy.gpx.GPX(), gpxpy.gpx.GPXTrack()
    places = [to_globe.transform(WEST + x, NORTH + y) for x, y in corners]
    track.segments.append(gpxpy.gpx.GPXTrackSegment([gpxpy.gpx.GPXTrackPoint(y, x) for x, y in places]))
    file.tracks.append(track)
    Path("walk.gpx").write_text(file.to_xml())
    code, out, err = swalekit("begin", "fan.tif", "--boundary=walk.gpx", "--rain-year=150", "--soil=sandy loam")
    assert (code, err) == (0, "")
    for words in ("was closed over the 4.1 m between its ends", "dry and gentle", "microcatchments"):
        assert words in out
    assert "level swales" not in out
    text = Path("site/site.toml").read_text()
    assert "rule ramser" in text
    code, out, err = swalekit("plan", "site/site.toml", "--no-report")
    assert (code, err) == (0, "")
    assert not out.startswith("0 swales")


def test_from_python(tmp_path):
    """One call, and values in place of words."""
    write_tile(tmp_path / "hill.tif", plane(0.08, shape=(80, 80)).heights)
    begun = house.begin(tmp_path / "hill.tif", tmp_path / "site", answers=house.Answers(storm_mm=40.0, texture="loam"))
    assert begun.site.brief.storm.depth_mm == 40.0
    assert begun.appraisal.use_m2("level swales") == pytest.approx(6400.0, rel=0.01)
    assert begun.unfit == ""
