"""The command line as a new user meets it: results, one-line errors, nothing half written."""

import json

import numpy as np
import pytest
import shapely
from bad_input import assert_one_line_error
from pyproj import Transformer
from sites import NORTH, WEST, plane, write_tile

TILE_OPTIONS = ["--interval", "2", "--storm", "50", "--curve-number", "80"]


@pytest.fixture
def tile(tmp_path):
    """A plane of 10 % as a GeoTIFF."""
    return write_tile(tmp_path / "plane.tif", plane().heights)


def _brief(tmp_path, text: str = "", **replaced: str):
    """A brief beside the tile; a part named replaces that part's text."""
    parts = {
        "terrain": 'file = "plane.tif"',
        "storm": "depth_mm = 50.0",
        "soil": "curve_number = 80",
        "levels": "interval_m = 2.0",
    } | replaced
    path = tmp_path / "site.toml"
    path.write_text("\n".join(f"[{name}]\n{body}" for name, body in parts.items()) + "\n" + text, encoding="utf-8")
    return path


def _polygon_file(tmp_path, ring, *, crs: str | None = None, name: str = "area.geojson", **properties: object):
    """A GeoJSON polygon; coordinates in metres are given with the old crs member."""
    collection = {
        "type": "FeatureCollection",
        "features": [
            {"type": "Feature", "properties": properties, "geometry": {"type": "Polygon", "coordinates": [ring]}}
        ],
    }
    if crs:
        collection["crs"] = {"type": "name", "properties": {"name": f"urn:ogc:def:crs:{crs.replace(':', '::')}"}}
    path = tmp_path / name
    path.write_text(json.dumps(collection), encoding="utf-8")
    return path


def _box(west: float, south: float, east: float, north: float) -> list[list[float]]:
    return [[float(x), float(y)] for x, y in shapely.box(west, south, east, north).exterior.coords]


def test_a_tile_and_three_numbers_give_a_plan(swalekit, tile, tmp_path):
    """The shortest command writes the folder and prints a table that ends with where it is."""
    code, out, err = swalekit("plan", tile, *TILE_OPTIONS)
    assert (code, err) == (0, "")
    assert "S1" in out
    assert out.strip().endswith("results in plan")
    assert (tmp_path / "plan" / "summary.json").exists()


def test_json_is_the_summary(swalekit, tile, tmp_path):
    """``--json`` prints what summary.json holds."""
    code, out, _ = swalekit("plan", tile, *TILE_OPTIONS, "--json")
    assert code == 0
    assert json.loads(out) == json.loads((tmp_path / "plan" / "summary.json").read_text(encoding="utf-8"))


def test_us_options_are_feet_and_inches(swalekit, tile):
    """2 m is 6.5617 ft and 50 mm is 1.9685 in: the same plan."""
    metric = json.loads(swalekit("plan", tile, *TILE_OPTIONS, "--json", "--out", "a")[1])
    us = json.loads(
        swalekit(
            "plan",
            tile,
            "--us",
            "--interval",
            2 / 0.3048,
            "--storm",
            50 / 25.4,
            "--curve-number",
            80,
            "--json",
            "--out",
            "b",
        )[1]
    )
    assert us["totals"] == metric["totals"]


def test_a_boundary_in_degrees_and_a_keep_out_in_another_crs_are_reprojected(swalekit, tile, tmp_path):
    """A house given in UTM zone 31 cuts the lines of a tile in zone 30; a boundary in metres clips them."""
    to_31 = Transformer.from_crs("EPSG:32630", "EPSG:32631", always_xy=True)
    house = [list(to_31.transform(x, y)) for x, y in _box(WEST + 45, NORTH - 70, WEST + 55, NORTH - 50)]
    keep_outs = _polygon_file(tmp_path, house, crs="EPSG:32631", name="house.geojson", kind="building", setback_m=5.0)
    area = _polygon_file(tmp_path, _box(WEST + 10, NORTH - 115, WEST + 90, NORTH - 5), crs="EPSG:32630")
    code, out, _ = swalekit("plan", tile, *TILE_OPTIONS, "--boundary", area, "--keep-outs", keep_outs, "--json")
    assert code == 0
    summary = json.loads(out)
    refused = summary["refused"]["building"]
    assert refused["stretches"] >= 1
    assert 10.0 * refused["stretches"] < refused["length_m"] <= 20.1 * refused["stretches"]
    assert all(swale["length_m"] <= 74.1 for swale in summary["swales"])


def test_an_interval_larger_than_the_relief_is_no_error(swalekit, tile):
    """No line, a note that says so, exit code 0."""
    code, out, _ = swalekit("plan", tile, "--interval", "500", "--storm", "50", "--curve-number", "80")
    assert code == 0
    assert "no level line fits" in out


def test_an_older_result_is_kept_unless_told(swalekit, tile):
    """The second run into the same folder stops before any work; with --overwrite it goes through."""
    assert swalekit("plan", tile, *TILE_OPTIONS)[0] == 0
    assert_one_line_error(swalekit("plan", tile, *TILE_OPTIONS), "plan", "--overwrite")
    assert swalekit("plan", tile, *TILE_OPTIONS, "--overwrite", "--quiet")[:2] == (0, "")


@pytest.mark.parametrize(
    ("part", "text", "words"),
    [
        ("storm", "depth_mm = nan", ["[storm]", "depth_mm", "nan"]),
        ("storm", "depth_mm = -5", ["[storm]", "depth_mm", "-5"]),
        ("storm", "deph_mm = 5", ["deph_mm", "did you mean 'depth_mm'"]),
        ("levels", "interval_m = 0", ["interval_m", "0"]),
        ("levels", "", ["exactly one of interval_m, spacing_m, levels_m, rule, matched"]),
        ("levels", "interval_m = 2\nspacing_m = 20", ["interval_m and spacing_m"]),
        ("soil", "curve_number = 120", ["curve_number", "120"]),
        ("soil", 'cover = "desert shrubs"\ngroup = "C"', ["desert shrubs", "did you mean 'desert shrub'"]),
        ("soil", 'curve_number = 80\ntexture = "sandy loom"', ["sandy loom", "sandy loam"]),
        ("terrain", 'file = "nowhere.tif"', ["nowhere.tif"]),
        ("terrain", 'file = "http://example.org/a.tif"', ["http://example.org/a.tif"]),
        ("section", "greatest_depth_m = -1", ["[section]", "greatest_depth_m", "-1"]),
        ("sill", "head_m = 0.5", ["head_m", "freeboard_m"]),
        ("sections", "freeboard_m = 0.2", ["no part 'sections'", "did you mean 'section'"]),
        ("storm", "depth_mm = ", ["not valid TOML", "line"]),
        ("area", 'boundary = "nowhere.geojson"', ["nowhere.geojson"]),
        ("area", "setbacks_m = { bulding = 3.0 }", ["bulding", "building"]),
    ],
)
def test_a_wrong_value_in_the_brief_is_one_line(swalekit, tile, tmp_path, part, text, words):
    """What is wrong, where, the value found, the way out; no folder is left."""
    assert_one_line_error(swalekit("plan", _brief(tmp_path, **{part: text})), *words)
    assert not (tmp_path / "plan").exists()


def test_options_beside_a_brief_are_refused(swalekit, tile, tmp_path):
    """A brief's own values count; which one would win is never left to guess."""
    assert_one_line_error(swalekit("plan", _brief(tmp_path), "--storm", "70"), "[storm] depth_mm")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["plan", "missing.toml"], ["missing.toml"]),
        (["plan", "missing.tif", *TILE_OPTIONS], ["missing.tif"]),
        (["compare", "plane.tif", "--storm", "50", "--curve-number", "80"], ["--interval or --spacing"]),
        (["compare", "plane.tif", "--interval", "1,two", "--storm", "50"], ["--interval", "1,two"]),
        (["plan", "plane.tif", "--interval", "2", "--curve-number", "80"], ["storm"]),
    ],
)
def test_a_wrong_call_is_one_line(swalekit, tile, words, expected):
    """Missing files and values are named."""
    assert_one_line_error(swalekit(*words), *expected)


def test_the_failure_asked_for_is_told(swalekit, tile, tmp_path):
    """Beside a brief or a tile; the swale is on the terminal, in the summary and in the brief that it keeps."""
    for number, source in enumerate(([_brief(tmp_path)], [tile, *TILE_OPTIONS])):
        code, out, _ = swalekit("plan", *source, "--breach", "S2", "--out", f"plan{number}")
        assert code == 0
        assert "If S2 failed when fullest, " in out
        told = json.loads((tmp_path / f"plan{number}" / "summary.json").read_text(encoding="utf-8"))
        assert (told["breach"]["shown"], told["brief"]["breach"]["swale"]) == (["S2"], "S2")


def test_the_failure_of_an_unknown_swale_is_one_line(swalekit, tile):
    """With the names there are."""
    assert_one_line_error(swalekit("plan", tile, *TILE_OPTIONS, "--breach", "S77"), "'S77'", "S1, S2, S3, S4, S5")


def test_a_boundary_elsewhere_is_named(swalekit, tile, tmp_path):
    """A boundary that misses the tile: both extents are told."""
    far = _polygon_file(tmp_path, _box(WEST + 9000, NORTH, WEST + 9100, NORTH + 100), crs="EPSG:32630")
    assert_one_line_error(swalekit("plan", tile, *TILE_OPTIONS, "--boundary", far), "boundary", "check the CRS")


def test_a_self_crossing_boundary_is_repaired_and_said(swalekit, tile, tmp_path):
    """A figure of eight becomes two triangles, with a note."""
    ring = [
        [WEST + 10, NORTH - 110],
        [WEST + 90, NORTH - 10],
        [WEST + 90, NORTH - 110],
        [WEST + 10, NORTH - 10],
        [WEST + 10, NORTH - 110],
    ]
    eight = _polygon_file(tmp_path, ring, crs="EPSG:32630")
    code, out, _ = swalekit("plan", tile, *TILE_OPTIONS, "--boundary", eight)
    assert code == 0
    assert "repaired" in out


def test_an_unknown_kind_of_keep_out_is_named(swalekit, tile, tmp_path):
    """The feature's number, what it says, and what it may say."""
    pond = _polygon_file(tmp_path, _box(WEST + 1, NORTH - 9, WEST + 9, NORTH - 1), crs="EPSG:32630", kind="bilding")
    assert_one_line_error(swalekit("plan", tile, *TILE_OPTIONS, "--keep-outs", pond), "feature 1", "building")


@pytest.mark.parametrize(
    ("heights", "crs", "words"),
    [
        (np.full((40, 40), -9999.0), "EPSG:32630", ["no ground"]),
        (np.full((1, 1), 5.0), "EPSG:32630", ["cell"]),
        (np.ones((20, 20)), None, ["--crs"]),
        (np.ones((20, 20)), "EPSG:2229", ["vertical_unit"]),
    ],
    ids=["all void", "one cell", "no CRS", "feet in plan, height unit open"],
)
def test_a_tile_that_cannot_be_used_is_one_line(swalekit, tmp_path, heights, crs, words):
    """The tile is named with the way out."""
    path = write_tile(tmp_path / "odd.tif", heights, crs=crs)
    assert_one_line_error(swalekit("plan", path, *TILE_OPTIONS), "odd.tif", *words)
    assert not (tmp_path / "plan").exists()


def test_flat_ground_gives_a_plan_without_lines(swalekit, tmp_path):
    """A level tile has no level line to lay."""
    path = write_tile(tmp_path / "flat.tif", np.full((50, 50), 12.0))
    code, out, _ = swalekit("plan", path, *TILE_OPTIONS)
    assert code == 0
    assert "0 swales" in out


def test_compare_marks_the_cheapest_that_holds(swalekit, tile, tmp_path):
    """A row an option; the mark is on the least dug volume among those that hold the storm."""
    code, out, _ = swalekit("compare", tile, "--interval", "1,2,3", "--storm", "50", "--curve-number", "80", "--json")
    assert code == 0
    options = json.loads(out)["options"]
    assert [option["option"] for option in options] == ["interval 1 m", "interval 2 m", "interval 3 m"]
    holding = [option for option in options if option["holds"] == "yes"]
    (marked,) = [option for option in options if option["cheapest"] == "yes"]
    assert marked["dug_m3"] == min(option["dug_m3"] for option in holding)
    names = {"options.csv", "options.png", "options.gpkg", "options_maps.png", "summary.json"}
    assert {path.name for path in (tmp_path / "compare").iterdir()} == names


def test_compare_agrees_with_plan(swalekit, tile):
    """The terrain is routed once, and each option is what plan gives for it."""
    option = json.loads(
        swalekit("compare", tile, "--interval", "2", "--storm", "50", "--curve-number", "80", "--json")[1]
    )
    alone = json.loads(swalekit("plan", tile, *TILE_OPTIONS, "--json")[1])["totals"]
    for name in ("swales", "length_m", "dug_m3", "held_m3", "held_storm_mm", "kept_share"):
        assert option["options"][0][name] == alone[name]
