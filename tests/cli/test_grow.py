"""``swalekit grow`` at the command line: a whole result, or one line and nothing written."""

import json
from functools import partial
from pathlib import Path

import geopandas
import numpy as np
import pytest
import shapely
from bad_input import assert_one_line_error, vectors
from grown import weather
from sites import NORTH, WEST, plane, write_tile

BRIEF = f"""
[terrain]
file = "plane.tif"
[storm]
depth_mm = 50
[soil]
curve_number = 85
texture = "sandy loam"
[levels]
levels_m = [108.0, 104.0]
[weather]
file = "weather.csv"
[planting]
pioneers = ["bladder senna"]
sheltered = ["olive"]
planting_year = 2030
[greywater]
people = 3
house_xy = [{WEST + 50}, {NORTH - 12}]
"""


def weather_text(*, swapped: bool = False) -> list[str]:
    """Lines of a weather file; of the other hemisphere when swapped."""
    days = weather(years=2)
    turned = np.roll(np.arange(days.dates.size), 182) if swapped else np.arange(days.dates.size)
    values = zip(days.dates, days.tmax_c[turned], days.tmin_c[turned], days.rain_mm, strict=True)
    return ["date,tmax_c,tmin_c,rain_mm,rh_mean_percent"] + [
        f"{date},{high:.1f},{low:.1f},{rain:g},60" for date, high, low, rain in values
    ]


@pytest.fixture
def swalekit(swalekit, tmp_path):
    """Run the command beside a brief, its tile and its weather; give exit code, standard output and standard error."""
    write_tile(tmp_path / "plane.tif", plane().heights)
    Path("site.toml").write_text(BRIEF, encoding="utf-8")
    Path("weather.csv").write_text("\n".join(weather_text()) + "\n", encoding="utf-8")
    return partial(swalekit, "grow", "site.toml")


def changed(name: str, old: str, new: str) -> None:
    """Put one text in a file for another."""
    text = Path(name).read_text(encoding="utf-8")
    assert old in text
    Path(name).write_text(text.replace(old, new), encoding="utf-8")


def test_words_say_how_many_trees_and_on_what_that_hangs(swalekit):
    """The setting, its neighbours, the greywater and where the results lie."""
    code, out, err = swalekit("--out", "result")
    assert (code, err) == (0, "")
    for words in (
        "30 % of their full want",
        "at 20 %",
        "at 40 %",
        "reed bed",
        "only 2 whole years",
        "results in result",
    ):
        assert words in out
    assert json.loads(Path("result/summary.json").read_text(encoding="utf-8"))["planting"]["totals"]["trees"] > 0


def test_json_is_the_summary_and_quiet_is_silent(swalekit):
    """Machines get what the folder holds; an older result is replaced only when told."""
    _, out, _ = swalekit("--json")
    assert json.loads(out) == json.loads(Path("grow/summary.json").read_text(encoding="utf-8"))
    assert_one_line_error(swalekit(), "--overwrite")
    assert swalekit("--overwrite", "--quiet") == (0, "", "")


@pytest.mark.parametrize(
    ("name", "old", "new", "words"),
    [
        ("weather.csv", "\n2001-03-01", "\n# 2001-03-01", "day 2001-03-01 is missing"),
        ("weather.csv", "2001-01-02,13.5", "2001-01-02,", "line 3: tmax_c is missing"),
        ("weather.csv", "2001-01-02,13.5", "2001-01-02,57.2", "Fahrenheit"),
        ("weather.csv", "2001-01-02,13.5,1.4,0,60", "2001-01-02,13.5,1.4,0,101", "must lie between 0 and 100"),
        ("site.toml", 'file = "weather.csv"', 'file = "none.csv"', "none.csv"),
        ("site.toml", 'file = "weather.csv"', "", "lacks [weather] file, which a planting needs"),
        ("site.toml", "planting_year = 2030", "", "lacks [planting] planting_year"),
        ("site.toml", 'texture = "sandy loam"', "", "lacks [soil] texture"),
        ("site.toml", '"olive"', '"olivo"', "did you mean olive"),
        ("site.toml", "[greywater]", 'species = "none.csv"\n[greywater]', "none.csv"),
        ("site.toml", "people = 3", "people = 3\nsources = ['rain']", "[greywater] source is 'rain'"),
    ],
)
def test_bad_input_ends_in_one_line(swalekit, name, old, new, words):
    """What is wrong, where, and nothing written."""
    changed(name, old, new)
    assert_one_line_error(swalekit(), words)
    assert not Path("grow").exists()
    assert not list(Path().rglob(".swalekit-*"))


@pytest.mark.parametrize("where", ["file", "latitude"])
def test_the_wrong_hemisphere_is_noticed(swalekit, where):
    """Weather of the south on a site of the north, or a latitude of the wrong sign."""
    if where == "file":
        Path("weather.csv").write_text("\n".join(weather_text(swapped=True)) + "\n", encoding="utf-8")
    else:
        changed("site.toml", 'file = "weather.csv"', 'file = "weather.csv"\nlatitude_deg = -36.0')
    assert_one_line_error(swalekit(), "south of the equator is negative")


def test_a_house_below_all_ground_gets_a_reason(swalekit):
    """That nothing can be served is a result."""
    changed("site.toml", f"{NORTH - 12}", f"{NORTH - 119}")
    code, out, _ = swalekit()
    assert code == 0
    assert "pump" in out


BEDS = """
[beds]
area = "areas.geojson"
kind = "garden"
[tank]
volume_m3 = 15
roof_m2 = 80
"""


def garden(*, south_m: float = 36.0, kind: str = "garden", width_m: float = 40.0) -> None:
    """Write ground for beds, below the house unless it is moved."""
    ground = shapely.box(WEST + 10.0, NORTH - south_m, WEST + 10.0 + width_m, NORTH - south_m + 20.0)
    vectors((ground, {"kind": kind}), (shapely.box(WEST, NORTH - 90.0, WEST + 30.0, NORTH - 70.0), {"kind": "yard"}))


def test_beds_are_laid_where_a_kind_of_ground_is_named(swalekit):
    """Tables, layer and summary tell the same beds, and the terminal says what carries them."""
    garden()
    Path("site.toml").write_text(BRIEF + BEDS, encoding="utf-8")
    code, out, err = swalekit("--out", "result")
    assert (code, err) == (0, "")
    assert "of annual beds: greywater carries" in out
    told = json.loads(Path("result/summary.json").read_text(encoding="utf-8"))["planting"]["beds"]
    layer = geopandas.read_file("result/beds.geojson")
    assert len(layer) == told["beds"] == len(Path("result/beds.csv").read_text(encoding="utf-8").splitlines()) - 1
    assert layer["area_m2"].sum() == pytest.approx(told["area_m2"], abs=0.05 * len(layer))
    assert len(Path("result/bed_water.csv").read_text(encoding="utf-8").splitlines()) == 13
    assert "beds" in list(geopandas.list_layers("result/site.gpkg")["name"])


@pytest.mark.parametrize(
    ("ground", "old", "new", "words"),
    [
        ({"south_m": 5000.0}, "", "", ("[beds] area lies wholly outside the site",)),
        ({"width_m": 1.0}, "", "", ("nowhere as wide as a bed of 1.2 m",)),
        ({}, 'kind = "garden"', 'kind = "garden"\ngreatest_slope = 0.05', ("too steep", "greatest_slope")),
        ({"kind": "orchard"}, "", "", ("no polygon whose kind or name is 'garden'", "orchard, yard")),
        ({}, "areas.geojson", "nowhere.geojson", ("nowhere.geojson",)),
        ({}, 'kind = "garden"', 'kind = "garden"\nshade = 1.5', ("shade",)),
        ({}, 'kind = "garden"', 'kind = "garden"\nshortest_m = 30', ("the shortest must not exceed",)),
        ({}, "roof_m2 = 80", "", ("needs a building among the keep-outs",)),
    ],
)
def test_beds_that_cannot_be_laid_end_in_one_line(swalekit, ground, old, new, words):
    """Ground off the site, too narrow, too steep, not there; values out of range; a tank without a roof."""
    garden(**ground)
    Path("site.toml").write_text(BRIEF + BEDS.replace(old, new), encoding="utf-8")
    assert_one_line_error(swalekit("--out", "result"), *words)
    assert not Path("result").exists()
