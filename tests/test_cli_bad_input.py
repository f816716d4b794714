"""Input that a user may bring by mistake: one line on standard error and nothing written, or a result with a note."""

import io
import json
import os
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from pyogrio.errors import DataSourceError
from sites import NORTH, WEST, plane, write_tile

from swalekit.cli import results
from swalekit.cli.main import run
from swalekit.errors import OutputError
from swalekit.formats.result_folder import SIGNATURE, result_folder

OPTIONS = ["--storm=50", "--curve-number=80"]
BRIEF = '[terrain]\nfile = "plane.tif"\n[storm]\ndepth_mm = 50\n[soil]\ncurve_number = 80\n[levels]\ninterval_m = 2\n'
HOUSE = shapely.box(WEST + 20, NORTH - 40, WEST + 30, NORTH - 20)


@pytest.fixture
def swalekit(monkeypatch, capsys, tmp_path):
    """Run the command beside a plane of 10 %, plane.tif; give exit code, standard output and standard error."""
    monkeypatch.chdir(tmp_path)
    write_tile(tmp_path / "plane.tif", plane(shape=(60, 50)).heights)

    def call(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["swalekit", *map(str, words)])
        try:
            run()
        except SystemExit as stop:
            code = int(stop.code or 0)
        else:
            code = 0
        out, err = capsys.readouterr()
        return code, out, err

    return call


def assert_refused(result: tuple[int, str, str], *words: str) -> None:
    """Exit code 2, one line on standard error that holds the words, and no file but those that were there."""
    code, out, err = result
    assert (code, out) == (2, ""), (out, err)
    assert err.startswith("swalekit: ")
    assert err.count("\n") == 1, err
    for word in words:
        assert word in err, err
    assert not Path("plan").exists()
    assert not list(Path().rglob(".swalekit-*"))


def assert_noted(result: tuple[int, str, str], *words: str) -> None:
    """A plan whose notes hold the words, and nothing on standard error."""
    code, out, err = result
    assert (code, err) == (0, ""), err
    for word in words:
        assert word in out, out


def _vectors(*features: tuple[shapely.Geometry | None, dict[str, object]], crs: str = "EPSG::32630") -> str:
    """Write a GeoJSON file of features and give its name."""
    listed = [
        {"type": "Feature", "properties": given, "geometry": geometry and json.loads(shapely.to_geojson(geometry))}
        for geometry, given in features
    ]
    collection = {
        "type": "FeatureCollection",
        "crs": {"type": "name", "properties": {"name": f"urn:ogc:def:crs:{crs}"}},
        "features": listed,
    }
    Path("areas.geojson").write_text(json.dumps(collection), encoding="utf-8")
    return "areas.geojson"


def _brief(text: str = "", *, replaced: tuple[str, str] = ("", "")) -> str:
    """Write a brief beside the tile and give its name."""
    Path("site.toml").write_text(BRIEF.replace(*replaced) + text, encoding="utf-8")
    return "site.toml"


@pytest.mark.parametrize("name", ["odd.tif", "odd.toml"])
@pytest.mark.parametrize(
    ("make", "words"),
    [
        (Path.touch, "is empty"),
        (os.mkfifo, "not a regular file"),
        (lambda path: path.symlink_to("/dev/zero"), "not a regular file"),
        (lambda path: path.symlink_to(path.name), "links"),
        (lambda path: None, "does not exist"),
    ],
    ids=["empty", "pipe", "endless device", "loop of links", "missing"],
)
def test_a_source_that_is_no_readable_file_is_named(swalekit, name, make, words):
    """Nothing but a regular file is opened, so that nothing hangs."""
    make(Path(name))
    options = ["--interval=2", *OPTIONS] if name.endswith(".tif") else []
    assert_refused(swalekit("plan", name, *options), name, words)


@pytest.mark.parametrize(("name", "words"), [("odd.tif", "holds 0 tiles"), ("odd.toml", "not a regular file")])
def test_an_empty_folder_is_no_source(swalekit, name, words):
    """A folder stands for the tiles in it, and never for a brief."""
    Path(name).mkdir()
    options = ["--interval=2", *OPTIONS] if name.endswith(".tif") else []
    assert_refused(swalekit("plan", name, *options), name, words)


@pytest.mark.parametrize("closed", ["plane.tif", "site.toml", "areas.geojson"])
def test_a_file_without_permission_is_named(swalekit, monkeypatch, closed):
    """Tile, brief and polygons alike: that they may not be read is not mistaken for damage."""
    opened = Path.open

    def refuse(path: Path, *words: str, **choices: object) -> object:
        if path.name == closed:
            raise PermissionError(13, "Permission denied")
        return opened(path, *words, **choices)

    brief = _brief(f'[area]\nboundary = "{_vectors((HOUSE, {}))}"\n')
    monkeypatch.setattr(Path, "open", refuse)
    assert_refused(swalekit("plan", brief), closed, "Permission denied")


@pytest.mark.parametrize(
    ("option", "words"),
    [
        ("--interval=0.001", ["interval_m", "0.001", "0.01"]),
        ("--interval=1e-300", ["interval_m", "1e-300"]),
        ("--spacing=1e-9", ["spacing_m", "0.1"]),
        ("--levels=1e300", ["levels_m", "9000"]),
        ("--levels=103,103", ["103", "once"]),
        ("--levels=" + ",".join(f"{100 + i / 250}" for i in range(1001)), ["1,001", "1,000", "larger interval"]),
        ("--start=1e300 --interval=2", ["start_m", "9000"]),
        ("--cell=1e300 --interval=2", ["cell_m", "1e+300"]),
        ("--cell=1000 --interval=2", ["cell_m = 1000", "plane.tif", "smaller"]),
        ("", ["[levels]", "exactly one of interval_m"]),
    ],
)
def test_a_number_out_of_reason_is_refused_before_the_work(swalekit, option, words):
    """Neither a thousand lines a metre nor a level beyond the earth keeps the machine busy."""
    assert_refused(swalekit("plan", "plane.tif", *option.split(), *OPTIONS), *words)


def test_a_tile_without_a_storm_names_the_missing_key(swalekit):
    """The part and the key, not the part alone."""
    assert_refused(swalekit("plan", "plane.tif", "--interval=2", "--curve-number=80"), "[storm]", "depth_mm")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("depth_mm = 50", 'depth_mm = "50"', ["depth_mm", "'50'", "number"]),
        ("depth_mm = 50", "depth_mm = true", ["depth_mm", "True", "number"]),
        ("depth_mm = 50", "depth_mm = [50]", ["depth_mm", "number"]),
        ("[storm]", "[[storm]]", ["[storm]", "table of keys"]),
        ("curve_number = 80", 'curve_number = "80"', ["curve_number", "'80'"]),
        ("interval_m = 2", "levels_m = []", ["levels_m", "at least 1"]),
        ("interval_m = 2", "levels_m = 103", ["levels_m", "103", "list"]),
        ('"plane.tif"', '"a\\u0000b.tif"', ["terrain", "rename"]),
        ('"plane.tif"', '"plane.tif"\ndenoise_radius_m = 100', ["denoise_radius_m", "100", "10"]),
        ("[soil]", "[section]\nbottom_width_ft = '3'\n[soil]", ["bottom_width_m", "'3'", "number"]),
        ("[soil]", f"[section]\nbottom_width_ft = {'1' * 400}\n[soil]", ["bottom_width_m", "number"]),
        ("[soil]", "[section]\ndepth_step_m = 1e-9\n[soil]", ["depth_step_m", "0.01"]),
        ("[soil]", "[section]\ncrest_width_m = 1e9\n[soil]", ["crest_width_m", "100"]),
        ("[soil]", "[sill]\nhead_m = 1e-300\n[soil]", ["head_m", "0.01"]),
        ("[soil]", "[lines]\nbend_radius_m = 0\n[soil]", ["bend_radius_m", "0.01"]),
        ("[soil]", "[lines]\nleast_slope = 0\n[soil]", ["least_slope", "greater than 0"]),
    ],
)
def test_a_value_of_the_wrong_type_or_size_names_file_and_key(swalekit, old, new, words):
    """A text is not taken for a number: in ``_ft`` it would be read as metres."""
    assert_refused(swalekit("plan", _brief(replaced=(old, new))), *words)


@pytest.mark.parametrize("storm", ["depth_mm = 50\ncheck_depth_mm = 1e9", 'table = "rain.csv"\nreturn_period_y = 10'])
def test_a_storm_deeper_than_any_rain_is_refused(swalekit, storm):
    """A slip in a depth, or a unit mistaken in a table, is told before the work."""
    Path("rain.csv").write_text("duration,2,10\n24 h,1500,1600\n", encoding="utf-8")
    assert_refused(swalekit("plan", _brief(replaced=("depth_mm = 50", storm))), "[storm]", "2000 mm")


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("return_period_y = 200", ["return period is 200 years", "from 2 to 100 years"]),
        ("return_period_y = 10\nduration_h = 0.5", ["duration is 0.5 h", "from 1 to 24 h"]),
    ],
)
def test_a_storm_outside_the_depth_table_is_refused(swalekit, keys, words):
    """Nothing is extrapolated: the file, the value and the range of the table."""
    Path("rain.csv").write_text("duration,2,100\n1 h,20,60\n24 h,40,110\n", encoding="utf-8")
    brief = _brief(replaced=("depth_mm = 50", f'table = "rain.csv"\n{keys}'))
    assert_refused(swalekit("storm", brief), "[storm] depth table 'rain.csv'", *words)


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (366, ["cover 1 year(s)", "find a longer record"]),
        (0, ["no row with a date and a depth"]),
        (-1, ["can't be negative"]),
    ],
    ids=["one year", "only a heading", "negative"],
)
def test_a_record_that_says_too_little_is_named(swalekit, days, words):
    """What is wrong with the maxima names the record they come from."""
    dates = np.datetime64("2000-01-01") + np.arange(abs(days))
    rows = [f"{day},{-1 if days < 0 else place % 50}" for place, day in enumerate(dates)]
    Path("rain.csv").write_text("\n".join(["date,mm", *rows]), encoding="utf-8")
    brief = _brief(replaced=("depth_mm = 50", 'record = "rain.csv"\nreturn_period_y = 10'))
    assert_refused(swalekit("storm", brief), "daily rain 'rain.csv'", *words)


def test_a_storm_in_the_wrong_unit_is_noted(swalekit):
    """2.8 inches read as millimetres would make a plan for a drizzle."""
    Path("rain.csv").write_text("duration,2,10\n24 h,1.6,2.8\n", encoding="utf-8")
    brief = _brief(replaced=("depth_mm = 50", 'table = "rain.csv"\nreturn_period_y = 10'))
    assert_noted(swalekit("storm", brief), "design storm 2.8 mm (10 years)", "check the unit")


def test_the_source_of_a_records_storm_is_said(swalekit):
    """Distribution, why, the years, and that fixed daily readings miss the wettest 24 hours."""
    days = np.arange("2000-01-01", "2020-01-01", dtype="datetime64[D]")
    rain = np.random.default_rng(3).gamma(0.1, 30.0, days.size).round(1)
    rows = [f"{day},{depth}" for day, depth in zip(days, rain, strict=True)]
    Path("rain.csv").write_text("\n".join(rows), encoding="utf-8")
    brief = _brief(replaced=("depth_mm = 50", 'record = "rain.csv"\nreturn_period_y = 10\ndistribution = "Gumbel"'))
    said = ["depths by Gumbel (given) from 20 yearly maxima, 2000 to 2019", "reading_factor = 1.13"]
    assert_noted(swalekit("storm", brief), *said)


def test_an_unknown_kind_of_setback_names_the_brief(swalekit):
    """File, part, key, and the kind that may be meant."""
    brief = _brief("[area.setbacks_m]\nbulding = 3\n")
    assert_refused(swalekit("plan", brief), "site.toml: [area] setbacks_m", "'bulding'", "did you mean 'building'")


def test_a_faulty_value_is_not_repeated_at_length(swalekit):
    """Four hundred digits are cut short, and what can't be printed is spelled out."""
    code, _, err = swalekit("plan", _brief(replaced=("depth_mm = 50", f"depth_mm = {'9' * 400}")))
    assert code == 2
    assert len(err) < 200
    assert_refused(swalekit("plan", "no\x1b[31m.tif", "--interval=2", *OPTIONS), "no\\x1b[31m.tif")


def test_a_site_too_narrow_for_a_spacing_is_named(swalekit):
    """Strips between the middles of the 3 m cells on which spacing is judged."""
    strips = [(shapely.box(WEST + 10, NORTH - 20.9 - 6 * i, WEST + 40, NORTH - 20.1 - 6 * i), {}) for i in range(3)]
    brief = _brief(
        f'[area]\nboundary = "{_vectors(*strips)}"\nsetbacks_m = {{ "property line" = 0 }}\n',
        replaced=("interval_m = 2", "spacing_m = 10"),
    )
    assert_refused(swalekit("plan", brief), "too narrow", "interval_m")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (BRIEF.encode("utf-16"), "UTF-8"),
        (BRIEF.encode() + "[site]\nname = 'Cañada'".encode("latin-1"), "UTF-8"),
        (BRIEF.encode() + b"[site]\nname = " + b"[" * 5000, "not valid TOML"),
        (BRIEF.encode() + b"[section]\nbottom_width_m = " + b"1" * 5000, "not valid TOML"),
    ],
    ids=["UTF-16", "Latin-1", "nested too deep", "5000 digits"],
)
def test_a_brief_that_is_no_text_of_its_kind_is_named(swalekit, content, words):
    """The way out is in the line."""
    Path("site.toml").write_bytes(content)
    assert_refused(swalekit("plan", "site.toml"), "site.toml", words)


def test_line_ends_and_byte_order_mark_of_windows_are_read(swalekit):
    """A brief saved by a plain editor there is a brief."""
    Path("site.toml").write_bytes(b"\xef\xbb\xbf" + BRIEF.replace("\n", "\r\n").encode())
    assert_noted(swalekit("plan", "site.toml"), "2 swales")


def test_voids_may_be_left_as_they_are(swalekit):
    """``fill_voids_m2 = 0`` fills none."""
    heights = plane(shape=(60, 50)).heights.copy()
    heights[30, 20:22] = np.nan
    write_tile(Path("plane.tif"), heights)
    brief = _brief(replaced=('"plane.tif"', '"plane.tif"\nfill_voids_m2 = 0'))
    assert_noted(swalekit("plan", brief), "swales")


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"setback_m": "far"}, ["setback_m", "'far'", "number"]),
        ({"setback_m": True}, ["setback_m", "True", "number"]),
        ({"setback_m": -1}, ["setback_m", "-1", "between 0 and 10000"]),
        ({"setback_m": 1e300}, ["setback_m", "1e+300", "between 0 and 10000"]),
    ],
)
def test_a_setback_that_is_no_distance_is_named(swalekit, given, words):
    """File, feature, key and value."""
    keep_outs = _vectors((HOUSE, {"kind": "building"} | given))
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--keep-outs", keep_outs)
    assert_refused(result, keep_outs, "feature 1", *words)


@pytest.mark.parametrize("option", ["--boundary", "--keep-outs"])
def test_polygons_a_quarter_of_the_globe_away_are_named(swalekit, option):
    """Where the tile's CRS has no place for them they can't be moved to it."""
    far = _vectors((shapely.box(87.0, 0.0, 87.1, 0.1), {"kind": "tree", "name": "Oak"}), crs="OGC:1.3:CRS84")
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, option, far)
    assert_refused(result, "Oak" if option == "--keep-outs" else "boundary", "87.1", "check the CRS")


@pytest.mark.parametrize(
    ("zones", "words"),
    [
        ([(HOUSE.centroid, {"curve_number": 90})], ["feature 1", "Point", "polygon"]),
        ([(HOUSE, {"cn": 90})], ["feature 1", "no property (cn)", "curve_number"]),
        ([(HOUSE, {"curve_number": "high"})], ["feature 1", "'high'"]),
        ([(HOUSE, {"curve_number": 90})] * 256, ["256", "255", "join"]),
    ],
    ids=["a point", "no curve number", "text", "too many"],
)
def test_soil_zones_that_cannot_be_used_are_named(swalekit, zones, words):
    """File, feature and value."""
    brief = _brief(replaced=("curve_number = 80", f'curve_number = 80\nzones = "{_vectors(*zones)}"'))
    assert_refused(swalekit("plan", brief), "areas.geojson", *words)


def test_a_boundary_lost_in_its_own_setback_is_refused(swalekit):
    """A strip of 4 m leaves nothing once the setback is taken off either side."""
    strip = _vectors((shapely.box(WEST + 20, NORTH - 50, WEST + 24, NORTH - 10), {}))
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--boundary", strip)
    assert_refused(result, "boundary", "setback", "[area.setbacks_m]")


def test_a_boundary_that_reaches_off_the_tile_is_noted(swalekit):
    """Half of it lies west of the tile."""
    wide = _vectors((shapely.box(WEST - 50, NORTH - 60, WEST + 50, NORTH), {}))
    assert_noted(swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--boundary", wide), "50.0 % of the land")


def test_keep_outs_off_the_tile_or_without_a_geometry_are_noted(swalekit):
    """A house in the wrong place is no protection: the reader is told."""
    away = shapely.box(WEST + 9000, NORTH, WEST + 9010, NORTH + 10)
    keep_outs = _vectors((away, {"kind": "building"}), (None, {"kind": "well"}))
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--keep-outs", keep_outs)
    assert_noted(result, "no keep-out lies on the tile", "1 of 2 features have no geometry")


def test_soil_zones_off_the_tile_are_noted(swalekit):
    """The curve number of the brief holds everywhere, and the reader is told."""
    away = shapely.box(WEST + 9000, NORTH, WEST + 9010, NORTH + 10)
    zones = _vectors((away, {"curve_number": 90}))
    brief = _brief(replaced=("curve_number = 80", f'curve_number = 80\nzones = "{zones}"'))
    assert_noted(swalekit("plan", brief), "no soil zone lies on the tile")


def test_levels_off_the_ground_are_noted(swalekit):
    """One level has a line; the others are named beside the range of the ground."""
    result = swalekit("plan", "plane.tif", "--levels=103,-5,5000", *OPTIONS)
    assert_noted(result, "1 swales", "no line at 5000, -5 m", "100.05 to 105.95 m")


@pytest.mark.parametrize("folder", ["x" * 300, "line\nend/plan", os.fsdecode(b"caf\xe9")])
def test_an_output_name_that_cannot_be_is_refused(swalekit, folder):
    """Too long, with a line end, not UTF-8; folders made on the way are taken away again."""
    assert_refused(swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--out", folder))
    assert [each.name for each in Path().iterdir()] == ["plane.tif"]


def test_an_output_folder_that_may_not_be_read_is_refused(swalekit, monkeypatch):
    """What it holds is unknown, so it is left alone."""
    Path("closed").mkdir()

    def refuse(_: Path) -> object:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", refuse)
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--out", "closed")
    assert_refused(result, "closed", "Permission denied", "--out")


@pytest.mark.parametrize("fault", [DataSourceError("disk full"), OSError(28, "disk full")])
def test_a_full_disk_leaves_nothing(swalekit, monkeypatch, fault):
    """An error of the writer in the middle of the results: one line, and no half folder."""

    def fail(*_: object) -> None:
        raise fault

    monkeypatch.setattr(results, "write_geopackage", fail)
    assert_refused(swalekit("plan", "plane.tif", "--interval=2", *OPTIONS), "plan", "disk full")


def test_an_interrupt_leaves_nothing(swalekit, monkeypatch):
    """Ctrl-C while the results are written: no half folder, no traceback."""

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(results, "write_geopackage", interrupt)
    code, _, err = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS)
    assert code not in (0, 2)
    assert "Traceback" not in err
    assert [each.name for each in Path().iterdir()] == ["plane.tif"]


def test_an_interrupt_between_old_and_new_keeps_the_old(tmp_path, monkeypatch):
    """The older result is back in its place when the new one could not take it."""
    folder, renamed = tmp_path / "plan", Path.rename
    folder.mkdir()
    (folder / SIGNATURE).write_text("first")

    def interrupt(path: Path, target: Path) -> Path:
        if path.name == "new":
            raise KeyboardInterrupt
        return renamed(path, target)

    monkeypatch.setattr(Path, "rename", interrupt)
    with pytest.raises(KeyboardInterrupt), result_folder(folder, overwrite=True):
        pass
    assert (folder / SIGNATURE).read_text() == "first"
    with pytest.raises(OutputError), result_folder(folder):
        pass


@pytest.mark.parametrize("words", [[], ["--json"]])
def test_a_terminal_without_the_characters_still_gets_the_result(swalekit, monkeypatch, words):
    """ASCII has no m³: the table shows a question mark, and JSON is whole."""
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", stream)
    code, _, err = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--name", "Cañada", *words)
    stream.flush()
    shown = stream.buffer.getvalue().decode("ascii")
    assert (code, err) == (0, "")
    assert json.loads(shown)["site"] == "Cañada" if words else "m?" in shown


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("words", [[], ["--json"]])
def test_standard_output_that_takes_nothing_is_one_line(swalekit, monkeypatch, words):
    """The results are whole; that they couldn't be shown is told."""
    with Path("/dev/full").open("wb", buffering=0) as full:
        monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(full, encoding="utf-8", write_through=True))
        code, _, err = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, *words)
    assert (code, err.count("\n")) == (2, 1)
    assert "standard output" in err


@pytest.mark.parametrize("name", ["[/bold] <b> $x$ \\frac{", "line\nend", "مزرعة الأمل", "x" * 2000, ""])
def test_a_name_is_shown_as_it_is(swalekit, name):
    """No name is taken for markup or a formula."""
    code, out, err = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--name", name, "--json")
    assert (code, err) == (0, "")
    assert json.loads(out)["site"] == name


def test_a_currency_is_not_taken_for_markup(swalekit):
    """Brackets are printed as they stand."""
    assert_noted(swalekit("plan", _brief('[rates]\nmachine_per_h = 60\ncurrency = "[/red]"\n')), "[/red]")
