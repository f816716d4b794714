"""Briefs, tiles and values that a user may bring by mistake: one line and nothing written, or a result with a note."""

import os
from pathlib import Path

import numpy as np
import pytest
import shapely
from bad_input import BRIEF, OPTIONS, assert_noted, assert_refused, brief_text, vectors
from rasterio.transform import from_origin
from sites import NORTH, WEST, plane, write_tile

HOUSE = shapely.box(WEST + 20, NORTH - 40, WEST + 30, NORTH - 20)


pytestmark = pytest.mark.usefixtures("plane_tile")


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

    brief = brief_text(f'[area]\nboundary = "{vectors((HOUSE, {}))}"\n')
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
        (
            "--levels=" + ",".join(f"{100 + i / 250}" for i in range(1001)),
            ["cells of 1 m leave 0.04", "give levels 0.3 m or more apart"],
        ),
        ("--start=1e300 --interval=2", ["start_m", "9000"]),
        ("--cell=1e300 --interval=2", ["cell_m", "1e+300"]),
        ("--cell=1000 --interval=2", ["cell_m = 1000", "plane.tif", "smaller"]),
        ("", ["plane.tif: a tile needs levels besides: add --spacing 30; or let 'swalekit begin plane.tif'"]),
    ],
)
def test_a_number_out_of_reason_is_refused_before_the_work(swalekit, option, words):
    """Neither a thousand lines a metre nor a level beyond the earth keeps the machine busy."""
    assert_refused(swalekit("plan", "plane.tif", *option.split(), *OPTIONS), *words)


def test_an_empty_file_name_is_not_the_folder(swalekit):
    """It is named, and the way out is said."""
    brief = brief_text(replaced=('"plane.tif"', '""'))
    assert_refused(swalekit("plan", brief), "site.toml: [terrain] file is empty; name a file")


def test_a_start_below_the_ground_is_noted(swalekit):
    """The start is to blame, not the interval."""
    told = swalekit("plan", "plane.tif", *OPTIONS, "--interval=2", "--start=10")
    assert_noted(told, "the start level of 10 m lies below the ground of this site")


def test_the_value_of_a_wrong_option_is_shown(swalekit):
    """As it was given, joined to its option or after it."""
    for words in (("--storm=abc",), ("--storm", "abc")):
        assert_refused(swalekit("plan", "plane.tif", *words), "'--storm': 'abc'; it must be a valid number")


def test_a_tile_without_a_storm_names_the_missing_key(swalekit):
    """As an option, since the user came by options."""
    result = swalekit("plan", "plane.tif", "--interval=2", "--curve-number=80")
    assert_refused(result, "plane.tif: a tile needs a storm besides: add --storm 60")


def test_all_that_a_tile_is_given_without_is_told_at_once(swalekit):
    """Storm, soil and levels as options, in feet and inches where these are used; and what else is wrong."""
    result = swalekit("plan", "plane.tif")
    every = "a tile needs a storm, a soil and levels besides: add --storm 60, --curve-number 85 or --texture loam, "
    assert_refused(result, every + "--spacing 30; or let 'swalekit begin plane.tif' write a brief to begin with")
    assert_refused(swalekit("plan", "plane.tif", "--us", "--texture=loam"), "--storm 2.4, --spacing 100")
    result = swalekit("plan", "plane.tif", "--curve-number=300", "--spacing=0", "--cell=-1")
    assert_refused(
        result, "has 4 faults: (1) a tile needs a storm", "(2) [terrain] cell_m is -1", "(4) [levels] spacing_m is 0"
    )
    assert_refused(swalekit("compare", "plane.tif", "--spacing=20,30"), "a storm and a soil besides")


def test_all_that_is_wrong_with_a_brief_is_told_at_once(swalekit):
    """Unknown, missing and broken keys of every part, with the file; one alone reads as ever."""
    brief = brief_text("[section]\nbottom_width = 0.6\ncrest_width_m = -1\n", replaced=("depth_mm = 50", ""))
    Path(brief).write_text(
        Path(brief).read_text().replace('file = "plane.tif"', "").replace("curve_number", "curv_number")
    )
    assert_refused(
        swalekit("plan", brief),
        "site.toml has 5 faults: (1) [soil] has no key 'curv_number'; did you mean 'curve_number'?",
        "(2) [section] has no key 'bottom_width'; did you mean 'bottom_width_m'?",
        "(3) [terrain] file is missing; it is required",
        "(4) [storm] give exactly one of depth_mm, table, record; found none",
        "(5) [section] crest_width_m is -1",
    )
    one = brief_text(replaced=("depth_mm = 50", "depth_mm = 0"))
    assert_refused(swalekit("plan", one), "site.toml: [storm] depth_mm is 0")


def test_all_files_that_are_not_there_are_told_at_once(swalekit):
    """With their keys; one alone is told by its reader."""
    brief = brief_text('[area]\nboundary = "land.kml"\nkeep_outs = "pins.kml"\n')
    found = ("site.toml has 2 faults: (1) [area] boundary 'land.kml' does not exist", "(2) [area] keep_outs 'pins.kml'")
    assert_refused(swalekit("plan", brief), *found)


def test_parts_left_out_of_a_brief_are_told_by_what_they_need(swalekit):
    """Not that a part is missing, but which key it wants."""
    Path("site.toml").write_text("[site]\nname = 'North'\n", encoding="utf-8")
    found = ("[terrain] file", "[storm] give exactly one of", "[soil] no key says how", "[levels] give exactly one of")
    assert_refused(swalekit("plan", "site.toml"), "site.toml has 4 faults", *found)


def test_a_texture_alone_says_how_much_runs_off(swalekit):
    """By Green and Ampt on half-wet ground; beside a curve number it only says how a ditch soaks away."""
    assert_refused(swalekit("plan", "plane.tif", "--storm=50", "--interval=2", "--texture=mud"), "'mud'")
    assert_noted(swalekit("plan", "plane.tif", "--storm=50", "--interval=2", "--texture=clay loam"), "2 swales")


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
    assert_refused(swalekit("plan", brief_text(replaced=(old, new))), *words)


@pytest.mark.parametrize("storm", ["depth_mm = 50\ncheck_depth_mm = 1e9", 'table = "rain.csv"\nreturn_period_y = 10'])
def test_a_storm_deeper_than_any_rain_is_refused(swalekit, storm):
    """A slip in a depth, or a unit mistaken in a table, is told before the work."""
    Path("rain.csv").write_text("duration,2,10\n24 h,1500,1600\n", encoding="utf-8")
    assert_refused(swalekit("plan", brief_text(replaced=("depth_mm = 50", storm))), "[storm]", "2000 mm")


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
    brief = brief_text(replaced=("depth_mm = 50", f'table = "rain.csv"\n{keys}'))
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
    brief = brief_text(replaced=("depth_mm = 50", 'record = "rain.csv"\nreturn_period_y = 10'))
    assert_refused(swalekit("storm", brief), "daily rain 'rain.csv'", *words)


def test_a_storm_in_the_wrong_unit_is_noted(swalekit):
    """2.8 inches read as millimetres would make a plan for a drizzle."""
    Path("rain.csv").write_text("duration,2,10\n24 h,1.6,2.8\n", encoding="utf-8")
    brief = brief_text(replaced=("depth_mm = 50", 'table = "rain.csv"\nreturn_period_y = 10'))
    assert_noted(swalekit("storm", brief), "design storm 2.8 mm (10 years)", "check the unit")


def test_the_source_of_a_records_storm_is_said(swalekit):
    """Distribution, why, the years, and that fixed daily readings are raised to the wettest 24 hours."""
    days = np.arange("2000-01-01", "2020-01-01", dtype="datetime64[D]")
    rain = np.random.default_rng(3).gamma(0.1, 30.0, days.size).round(1)
    rows = [f"{day},{depth}" for day, depth in zip(days, rain, strict=True)]
    Path("rain.csv").write_text("\n".join(rows), encoding="utf-8")
    brief = brief_text(replaced=("depth_mm = 50", 'record = "rain.csv"\nreturn_period_y = 10\ndistribution = "Gumbel"'))
    said = ["depths by Gumbel (given) from 20 yearly maxima, 2000 to 2019", "multiplied by 1.13"]
    assert_noted(swalekit("storm", brief), *said)


def test_an_unknown_kind_of_setback_names_thebrief_text(swalekit):
    """File, part, key, and the kind that may be meant."""
    brief = brief_text("[area.setbacks_m]\nbulding = 3\n")
    assert_refused(swalekit("plan", brief), "site.toml: [area] setbacks_m", "'bulding'", "did you mean 'building'")


def test_a_faulty_value_is_not_repeated_at_length(swalekit):
    """Four hundred digits are cut short, and what can't be printed is spelled out."""
    code, _, err = swalekit("plan", brief_text(replaced=("depth_mm = 50", f"depth_mm = {'9' * 400}")))
    assert code == 2
    assert len(err) < 200
    assert_refused(swalekit("plan", "no\x1b[31m.tif", "--interval=2", *OPTIONS), "no\\x1b[31m.tif")


def test_a_site_too_narrow_for_a_spacing_is_named(swalekit):
    """Strips between the middles of the 3 m cells on which spacing is judged."""
    strips = [(shapely.box(WEST + 10, NORTH - 20.9 - 6 * i, WEST + 40, NORTH - 20.1 - 6 * i), {}) for i in range(3)]
    brief = brief_text(
        f'[area]\nboundary = "{vectors(*strips)}"\nsetbacks_m = {{ "property line" = 0 }}\n',
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
    brief = brief_text(replaced=('"plane.tif"', '"plane.tif"\nfill_voids_m2 = 0'))
    assert_noted(swalekit("plan", brief), "swales")


def test_an_empty_word_is_told_before_anything_is_read(swalekit):
    """It would stand for the folder one is in: a variable that was never set, as a rule."""
    assert_refused(swalekit("plan", "", "--interval=2", *OPTIONS), "an argument is empty")
    assert_refused(swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--out", ""), "an argument is empty")


def test_a_name_of_many_letters_is_shown_short(swalekit):
    """Its ends, so that the line can be read."""
    result = swalekit("plan", "a" * 9_000 + ".toml")
    assert_refused(result, "aaa", " … ")
    assert len(result[2]) < 1_100


@pytest.mark.parametrize(
    ("part", "line"),
    [("terrain", "vertical_sigma_m = 1e9"), ("terrain", "memory_gb = 1e-300"), ("terrain", "hollow_noise_m = 1e6")],
)
def test_a_size_that_no_site_has_is_refused(swalekit, part, line):
    """By its part and key, with the range."""
    Path("site.toml").write_text(BRIEF.replace(f"[{part}]", f"[{part}]\n{line}"), encoding="utf-8")
    assert_refused(swalekit("plan", "site.toml"), f"[{part}] {line.split()[0]} is", "must be")


@pytest.mark.parametrize(
    ("heights", "cell_m", "words"),
    [
        (lambda row, column: 1500.0 + 400.0 * np.sin(row / 9.0) * np.cos(column / 7.0), 250.0, ["cells of 250 m"]),
        (lambda row, column: np.rint(300.0 + 0.13 * row + 0.04 * column), 1.0, ["steps of 1 m", "more than 0.5 m"]),
        (lambda row, column: 300.0 + 1.3 * row, 10.0, ["cells of 10 m leave 1.5", "interval of 3.9 m or more"]),
    ],
    ids=["alpine tile", "whole metres", "lines too close"],
)
def test_ground_that_carries_no_ditch_is_refused_before_the_work(swalekit, heights, cell_m, words):
    """The value, its limit, the way out, and what the tile can still tell."""
    write_tile(Path("coarse.tif"), heights(*np.mgrid[0:300, 0:300]), cell_m=cell_m)
    told = ["the tile can't carry level ditches", *words, "lidar", "compare --rules"]
    for command in ("plan", "compare", "reliability"):
        options = ["--interval=2", *OPTIONS]
        if command == "reliability":
            options = []
            brief_text(replaced=("plane.tif", "coarse.tif"))
        source = "site.toml" if command == "reliability" else "coarse.tif"
        assert_refused(swalekit(command, source, *options), *told)
    code, out, err = swalekit("compare", "coarse.tif", "--rules", *OPTIONS)
    assert (code, err) == (0, "")
    assert "ramser" in out


def test_a_tile_at_the_origin_of_its_crs_is_a_local_grid(swalekit):
    """Neither east of its zone nor north of the equator: a drawing's coordinates with a CRS put on them."""
    write_tile(Path("local.tif"), plane(shape=(60, 50)).heights, transform=from_origin(0.0, 60.0, 1.0, 1.0))
    told = swalekit("plan", "local.tif", "--interval=2", *OPTIONS)
    assert_refused(told, "local.tif", "x 25, y 30", "166 km from where WGS 84 / UTM zone 30N is used", "local grid")


def test_a_tile_far_from_where_its_crs_is_used_is_refused(swalekit):
    """Feet of California on a tile of Spain; half a zone beyond its limits is another matter."""
    write_tile(Path("far.tif"), plane(shape=(60, 50)).heights, transform=from_origin(5e5, -3e6, 1.0, 1.0))
    told = swalekit("plan", "far.tif", "--interval=2", *OPTIONS)
    assert_refused(told, "far.tif", "km from where WGS 84 / UTM zone 30N is used", "another CRS")
    write_tile(Path("near.tif"), plane(shape=(60, 50)).heights, transform=from_origin(9e5, 4e6, 1.0, 1.0))
    assert_noted(swalekit("plan", "near.tif", "--interval=2", *OPTIONS), "swales")
