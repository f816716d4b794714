"""One way to change a brief: each entry point takes the same keys, and refuses the same in one line."""

from pathlib import Path

import pytest
from bad_input import assert_one_line_error
from sites import brief_values, make_site, plane, write_tile

from swalekit.design.brief.brief import Brief
from swalekit.design.brief.values import brief_with, check_brief
from swalekit.design.options.comparison import compare
from swalekit.design.options.limits import Limits, within_slopes
from swalekit.design.options.variations import Variation
from swalekit.errors import InputError
from swalekit.formats.inputs.brief import read_brief
from swalekit.formats.inputs.sites_csv import read_sites

BRIEF = """[terrain]
file = "tile.tif"
[storm]
depth_mm = 50.0
[soil]
curve_number = 80.0
[levels]
interval_m = 8.0
"""


def _as_values(_: Path, key: str, value: float) -> Brief:
    part, _, name = key.partition(".")
    return check_brief(brief_values(**{part: {name: value}}))


def _as_dotted(_: Path, key: str, value: float) -> Brief:
    return brief_with(make_site().brief, {key: value})


def _as_part(_: Path, key: str, value: float) -> Brief:
    part, _, name = key.partition(".")
    return brief_with(make_site().brief, {part: {name: value}})


def _as_site(_: Path, key: str, value: float) -> Brief:
    return make_site().with_values({key: value}).brief


def _as_option(_: Path, key: str, value: float) -> Brief:
    site, varied = make_site(levels={"interval_m": 8.0}), Variation("odd", {key: value})
    (option,) = compare(site, plane(shape=(60, 40)), [varied]).options
    return site.with_values({"section.bottom_width_m": option.chosen["bottom_width_m"]}).brief


def _as_file(folder: Path, key: str, value: float) -> Brief:
    part, _, name = key.partition(".")
    (folder / "site.toml").write_text(f"{BRIEF}[{part}]\n{name} = {value}\n", encoding="utf-8")
    return read_brief(folder / "site.toml")


def _as_row(folder: Path, key: str, value: float) -> Brief:
    (folder / "site.toml").write_text(BRIEF, encoding="utf-8")
    (folder / "sites.csv").write_text(f"site,brief,{key}\na,site.toml,{value}\n", encoding="utf-8")
    (row,) = read_sites(folder / "sites.csv")
    return brief_with(read_brief(row.brief), row.given)


WAYS = pytest.mark.parametrize(
    "way", [_as_values, _as_dotted, _as_part, _as_site, _as_option, _as_file, _as_row], ids=lambda way: way.__name__
)
"""Every way in which a key of the brief gets a value, from a folder, a key and a value."""


@WAYS
def test_a_key_in_us_units_is_converted(tmp_path, way):
    """Two feet are 0.6096 m wherever they are said."""
    assert way(tmp_path, "section.bottom_width_ft", 2.0).section.bottom_width_m == pytest.approx(0.6096)


@WAYS
@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("section.botom_width_m", 0.8, "bot.*did you mean '(section.)?bottom_width_m'"),
        ("section.bottom_width_m", -1.0, r"\[section\] bottom_width_m is -1.0; it must be greater"),
        ("section.bottom_width_ft", 400.0, r"\[section\] bottom_width_m is 121.92; it must be less"),
        ("section.freeboard_m", 0.05, r"sill head_m is 0.1 but section freeboard_m is 0.05"),
    ],
    ids=["unknown key", "bad value", "bad value in feet", "rule across parts"],
)
def test_what_breaks_a_rule_is_one_line(tmp_path, way, key, value, words):
    """An unknown key, a value out of bounds, and one that doesn't go with another part's."""
    with pytest.raises(InputError, match=words) as caught:
        way(tmp_path, key, value)
    assert "\n" not in str(caught.value)


def test_limits_go_the_same_way():
    """A slope window that is none is told as the brief's."""
    with pytest.raises(InputError, match=r"\[lines\].*least_slope 0.3 must be below greatest_slope 0.2"):
        within_slopes(make_site(), Limits(slopes=(0.3, 0.2)))


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("stake", "site.toml", "--spacing", "-1"), "options: [stakes] spacing_m is -1.0"),
        (("relevel", "site.toml", "points.csv", "--order", "XYZ"), "options: [stakes] point_order is 'XYZ'"),
        (("reliability", "site.toml", "--draws", "3"), "options: [uncertainty] draws is 3"),
        (
            ("plan", "tile.tif", "--interval", "-2", "--storm", "50", "--curve-number", "80"),
            "[levels] interval_m is -2",
        ),
        (("plan", "tile.tif", "--interval", "2", "--storm", "50", "--curve-number", "8"), "[soil] curve_number is 8"),
        (
            ("compare", "site.toml", "--spacing", "20", "--freeboard", "0.05"),
            "sill head_m is 0.1 but section freeboard_m",
        ),
        (("compare", "site.toml", "--spacing", "20", "--slopes", "0.3,0.2"), "least_slope 0.3 must be below"),
    ],
)
def test_options_of_commands_go_the_same_way(swalekit, tmp_path, words, expected):
    """One line on standard error, and no folder."""
    write_tile(tmp_path / "tile.tif", plane(shape=(40, 30)).heights)
    (tmp_path / "site.toml").write_text(BRIEF, encoding="utf-8")
    assert_one_line_error(swalekit(*words, "--out", "out"), expected)
    assert not (tmp_path / "out").exists()


def test_options_are_in_the_units_of_the_brief(swalekit, tmp_path):
    """A spacing of stakes in a brief of US units is in feet."""
    write_tile(tmp_path / "tile.tif", plane(shape=(40, 30)).heights)
    (tmp_path / "site.toml").write_text(f'[site]\nunits = "us"\n{BRIEF}', encoding="utf-8")
    code, _, err = swalekit("stake", "site.toml", "--spacing", "1", "--out", "out")
    assert code == 2
    assert "spacing_m is 0.3048" in err


def test_another_way_to_choose_the_levels_replaces_the_one_there_is():
    """In feet too; the start stays, and the depth of matched lines where they stay matched."""
    brief = make_site(levels={"matched": True, "matched_depth_m": 0.5, "start_m": 50.0}).brief
    levels = brief_with(brief, {"levels.spacing_ft": 100.0}).levels
    assert (levels.matched, levels.matched_depth_m, levels.start_m) == (None, None, 50.0)
    assert levels.spacing_m == pytest.approx(30.48)
    assert brief_with(brief, {"levels.matched": True}).levels.matched_depth_m == 0.5


def test_none_takes_a_value_out():
    """What the brief leaves open is then as if it had never been given."""
    brief = make_site(storm={"depth_mm": 50.0, "check_depth_mm": 90.0}).brief
    assert brief_with(brief, {"storm.check_depth_mm": None}).storm.check_depth_mm is None


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"levels": {"start_m": 5.0}, "levels.start_m": 6.0}, r"\[levels\] start_m is given twice"),
        ({"levels.start_m": 5.0, "levels.start_ft": 6.0}, "start_ft and start_m say the same thing"),
        ({"levels": 5.0}, r"\[levels\].* must be a table"),
        ({"stroms.depth_mm": 5.0}, "no part 'stroms'"),
        ({"depth_mm": 5.0}, "no part 'depth_mm'"),
    ],
)
def test_values_that_say_nothing_clear_are_one_line(values, words):
    """A key twice, in two units, in a part that is none or is no table."""
    with pytest.raises(InputError, match=words):
        brief_with(make_site().brief, values)


def test_a_site_keeps_to_the_files_that_it_was_read_from():
    """Another boundary is not taken by name alone; the terrain and the weather are read later, so they may change."""
    site = make_site(area={"boundary": "a.geojson"})
    with pytest.raises(InputError, match=r"\[area\] boundary names a file"):
        site.with_values({"area.boundary": "b.geojson"})
    assert site.with_values({"area.boundary": "a.geojson", "terrain.file": "b.tif"}).brief.terrain.file == "b.tif"


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"storm": {"table": "atlas.csv", "return_period_y": 10.0}}, r"\[storm\] table names 'atlas.csv'"),
        ({"storm": {"record": "rain.csv", "return_period_y": 10.0}}, r"\[storm\] record names 'rain.csv'"),
        ({"storm": {"depth_mm": 50.0, "course_file": "june.csv"}}, r"\[storm\] course_file names 'june.csv'"),
        (
            {"soil": {"curve_number": 80.0, "infiltration_test": "ring.csv"}},
            r"\[soil\] infiltration_test names 'ring.csv'",
        ),
    ],
)
def test_a_site_is_not_made_without_what_its_files_say(parts, words):
    """A brief that names a file is no site until the file is read."""
    with pytest.raises(InputError, match=words):
        make_site(**parts)
