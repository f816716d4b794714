"""The folder of microcatchments, and the command that makes it."""

import csv
import json

import geopandas
import numpy as np
import pytest
import shapely
from PIL import Image
from sites import NORTH, WEST, make_site, plane, write_tile

from swalekit.design.bunding.bund import bund
from swalekit.design.bunding.table import BLOCK_COLUMNS, GROUND_COLUMNS, PEG_COLUMNS, UNIT_COLUMNS
from swalekit.formats.exchange.points_csv import read_points
from swalekit.formats.table import read_table
from swalekit.results.bunding.write import write_bunding

BRIEF = """
[terrain]
file = "tile.tif"
[storm]
depth_mm = 50.0
[soil]
curve_number = 80
[levels]
levels_m = [{level}]
[microcatchments]
{asked}
"""


def write_site(folder, asked, *, slope=0.03, level=300.0):
    """A plane and a brief."""
    write_tile(folder / "tile.tif", plane(slope, shape=(100, 100)).heights)
    (folder / "site.toml").write_text(BRIEF.format(asked=asked, level=level), encoding="utf-8")


def found_on_plane(**asked):
    """Microcatchments on a plane, without a file."""
    part = {"swales": "none", "rain_mm": 250.0, "size_m": 6.0} | asked
    return bund(make_site(microcatchments=part), plane(0.03, shape=(100, 100)))


@pytest.fixture(scope="module", params=["negarim", "semi-circular"])
def written(request, tmp_path_factory):
    """Units, and the folder that tells of them."""
    found = found_on_plane(kind=request.param, size_m=6.0 if request.param == "negarim" else 10.0)
    folder = tmp_path_factory.mktemp("bunding") / "bund"
    write_bunding(found, folder)
    return found, folder


def test_tables_have_their_columns(written):
    """As declared, a row a unit, block, peg and reason."""
    found, folder = written
    tables = {"blocks": BLOCK_COLUMNS, "stakes": PEG_COLUMNS, "ground": GROUND_COLUMNS}
    assert all(read_table(folder / f"{name}.csv", columns) for name, columns in tables.items())
    assert len(read_table(folder / "microcatchments.csv", UNIT_COLUMNS)) == len(found.units)


def test_layers_lie_where_the_units_are(written):
    """GeoPackage in the CRS of the terrain, GeoJSON on the globe, of as many features; trees lie in their units."""
    found, folder = written
    units = geopandas.read_file(folder / "site.gpkg", layer="microcatchments")
    assert units.crs == found.ground.terrain.grid.crs
    assert units.geometry.area.to_numpy() == pytest.approx(shapely.area(found.units.outlines))
    globe = geopandas.read_file(folder / "microcatchments.geojson")
    assert globe.crs.to_epsg() == 4326
    back = globe.to_crs(units.crs).geometry.centroid.distance(units.geometry.centroid)
    assert back.max() < 0.05
    bunds = geopandas.read_file(folder / "site.gpkg", layer="bunds")
    assert bunds["soil_m3"].sum() == pytest.approx(found.bund_m3, abs=0.005 * len(bunds) + 1e-6)
    trees = geopandas.read_file(folder / "site.gpkg", layer="trees")
    assert len(trees) == found.trees
    pits = geopandas.read_file(folder / "site.gpkg", layer="pits")
    if found.size.kind == "negarim":
        assert (0.4 * pits.geometry.area).sum() == pytest.approx(found.units.pit_m3.sum())
        assert shapely.covers(found.units.outlines, pits.geometry.to_numpy()).all()
        feet = shapely.distance(pits.geometry.to_numpy(), found.units.bunds)
        assert feet == pytest.approx(0.125 + found.units.bund_height_m, abs=1e-6)
    else:
        assert len(pits) == 0


def test_points_are_read_back(written):
    """An instrument takes the pegs by their numbers, with the ground's height."""
    _, folder = written
    points, pegs = read_points(folder / "points.csv"), read_table(folder / "stakes.csv", PEG_COLUMNS)
    assert points.number.tolist() == [int(peg["number"]) for peg in pegs]
    assert points.height_m == pytest.approx([float(peg["ground_m"]) for peg in pegs])
    assert points.description[0] == f"{pegs[0]['unit']} {pegs[0]['mark']}"


def test_the_summary_tells_size_totals_and_cautions(written):
    """With the meaning of every column."""
    found, folder = written
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    told = summary["bunding"]
    assert told["totals"]["units"] == len(found.units)
    assert told["kind"] == found.size.kind
    assert [row["caution"] for row in told["cautions"]] == [caution.name for caution in found.cautions]
    assert set(summary["columns"]["microcatchments"]) == {column.name for column in UNIT_COLUMNS}
    assert set(summary["files"]) >= {"bunding.png", "site.gpkg", "stakes.csv", "brief.toml"}


def test_the_map_is_a_sheet_with_something_on_it(written):
    """A3 at 200 dots an inch, with the colour of the units' ground."""
    _, folder = written
    with Image.open(folder / "bunding.png") as picture:
        assert picture.size == (3307, 2338)
        pixels = np.asarray(picture.convert("RGB"), int)
    ochre = (pixels[..., 0] - pixels[..., 2] > 35) & (pixels[..., 0] > 150)
    assert ochre.mean() > 0.01


def test_the_same_units_give_the_same_bytes(written, tmp_path):
    """Written again, file by file."""
    found, folder = written
    write_bunding(found, tmp_path / "bund")
    for file in folder.iterdir():
        if file.suffix != ".gpkg":
            assert (tmp_path / "bund" / file.name).read_bytes() == file.read_bytes(), file.name


def test_no_unit_at_all_is_a_result(tmp_path):
    """Ground too steep: empty tables and layers, and the words say why."""
    part = {"swales": "none", "rain_mm": 250.0}
    found = bund(make_site(microcatchments=part), plane(0.2))
    write_bunding(found, tmp_path / "bund")
    with (tmp_path / "bund" / "microcatchments.csv").open(encoding="utf-8-sig") as file:
        assert list(csv.DictReader(file)) == []
    assert len(geopandas.read_file(tmp_path / "bund" / "site.gpkg", layer="trees")) == 0
    told = json.loads((tmp_path / "bund" / "summary.json").read_text(encoding="utf-8"))["bunding"]
    assert "no unit could be laid" in told["words"][0]
    assert "is too steep" in next(row["text"] for row in told["cautions"] if row["caution"] == "nothing laid")


@pytest.mark.compiled
def test_the_command_lays_them_without_swales(swalekit, tmp_path):
    """From a brief; the terminal says what was laid, JSON is the summary, and a second run needs --overwrite."""
    write_site(tmp_path, 'swales = "none"\nrain_mm = 250.0')
    code, out, _ = swalekit("bund", "site.toml")
    assert code == 0
    assert "Negarim of 8 m:" in out
    assert "caution: level on site" in out
    code, _, err = swalekit("bund", "site.toml")
    assert code == 2
    assert "an earlier result is there" in err
    code, out, _ = swalekit("bund", "site.toml", "--overwrite", "--json")
    assert json.loads(out)["bunding"]["totals"]["units"] > 50


@pytest.mark.compiled
def test_the_command_takes_the_folder_of_a_plan(swalekit, tmp_path):
    """Swales of the plan are kept clear of, and its layers stand beside."""
    write_site(
        tmp_path, 'swales = "kept"\nrain_mm = 250.0\nsize_m = 5.0\ngreatest_slope = 0.08', slope=0.06, level=103.0
    )
    assert swalekit("plan", "site.toml", "--out", "plan")[0] == 0
    code, out, _ = swalekit("bund", "plan", "--out", "bund")
    assert code == 0
    assert "swales and their water" in out
    line = geopandas.read_file(tmp_path / "bund" / "site.gpkg", layer="swales").geometry.iloc[0]
    units = geopandas.read_file(tmp_path / "bund" / "site.gpkg", layer="microcatchments")
    assert units.geometry.distance(line).min() > 1.0
    summary = json.loads((tmp_path / "bund" / "summary.json").read_text(encoding="utf-8"))
    assert summary["totals"]["swales"] == 1
    assert summary["of_plan"]["number"]


@pytest.mark.compiled
def test_the_rain_of_a_record_and_an_area_are_read(swalekit, tmp_path):
    """Ten years of daily rain give the size, a polygon in degrees says where; the summary names both."""
    write_site(tmp_path, 'swales = "none"\narea = "trees.geojson"')
    area = geopandas.GeoSeries([shapely.box(WEST + 20.0, NORTH - 80.0, WEST + 80.0, NORTH - 20.0)], crs="EPSG:32630")
    area.to_crs(4326).to_file(tmp_path / "trees.geojson")
    rows = [f"{day},{(2001 + 30 * (day.astype(object).year % 7)) / 10 if str(day)[5:] == '01-15' else 0}"
            for day in np.arange("2001-01-01", "2011-01-01", dtype="datetime64[D]")]  # fmt: skip
    (tmp_path / "rain.csv").write_text("date,mm\n" + "\n".join(rows) + "\n", encoding="utf-8")
    with (tmp_path / "site.toml").open("a", encoding="utf-8") as brief:
        brief.write('[weather]\nrain = "rain.csv"\n')
    code, out, err = swalekit("bund", "site.toml")
    assert (code, err) == (0, "")
    assert "in two years of three of the 10 in rain.csv" in out
    assert "0.36 ha" in out
    summary = json.loads((tmp_path / "bund" / "summary.json").read_text(encoding="utf-8"))
    assert {"microcatchments.area", "weather.rain"} <= {row["key"] for row in summary["inputs"]}


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ('swales = "none"', "none is known; give [microcatchments] rain_mm"),
        ('kind = "moon"', "[microcatchments] kind is 'moon'"),
        ('area = "nowhere.geojson"\nrain_mm = 200.0\nswales = "none"', "nowhere.geojson"),
        ('size_m = 7.0\nrain_mm = 200.0\nswales = "none"', "[microcatchments] size_m is 7"),
        ("rain_mm = -3.0", "[microcatchments] rain_mm is -3.0"),
        (
            'least_slope = 0.3\nrain_mm = 200.0\nsize_m = 5.0\nswales = "none"',
            "least_slope is 0.3 and greatest_slope is",
        ),
    ],
)
def test_bad_input_ends_in_one_line(swalekit, tmp_path, asked, words):
    """Exit code 2, what and where; no folder is left behind."""
    write_site(tmp_path, asked)
    code, _, err = swalekit("bund", "site.toml")
    assert code == 2
    assert words in err
    assert err.count("\n") == 1
    assert not (tmp_path / "bund").exists()
