"""What a plan writes: formats others can read, one value for one total, the same bytes twice."""

import json

import numpy as np
import pyogrio
import pytest
import rasterio
import shapely
from read_back import csv_rows
from sites import hills, make_site

from swalekit.design.plan import pipeline
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import SWALE_COLUMNS, TOTAL_COLUMNS, totals
from swalekit.results.plan.write import write_plan

LAYERS = ["swales", "berms", "catchments", "sills", "aprons", "overflow", "hollows", "refused", "watercourses"]
LAYERS += ["boundary", "workable", "keep_outs", "setbacks", "crossings", "ponds"]


@pytest.fixture(scope="module")
def design():
    """A design with swales, hollows, watercourses and refused stretches."""
    lines = {"least_length_m": 6.0, "least_ring_m": 20.0, "watercourse_area_m2": 1500.0}
    return plan(make_site(lines=lines, rates={"machine_per_h": 65.0, "mobilisation": 300.0}), hills())


@pytest.fixture(scope="module")
def folder(design, tmp_path_factory):
    """The folder that the design was written to."""
    path = tmp_path_factory.mktemp("out") / "plan"
    write_plan(design, path)
    return path


def test_every_promised_file_is_there(folder):
    """The folder holds the files of the documentation and no other."""
    expected = (
        "brief.toml cut_fill.tif design_surface.tif design_surface_fine.tif earthwork.csv lines.geojson "
        "lines.gpkg map.pdf map.png site.gpkg site_water.csv site_water.png summary.json swales.geojson "
        "water_account.csv"
    )
    assert sorted(path.name for path in folder.iterdir()) == expected.split()


def test_geojson_follows_rfc_7946(folder, design):
    """Longitude and latitude on WGS 84 without a crs member, a LineString a swale, every column as a property."""
    collection = json.loads((folder / "swales.geojson").read_text(encoding="utf-8"))
    assert collection["type"] == "FeatureCollection"
    assert "crs" not in collection
    assert len(collection["features"]) == len(design.swales)
    for feature, swale in zip(collection["features"], design.swales, strict=True):
        assert feature["geometry"]["type"] == "LineString"
        longitudes, latitudes = np.array(feature["geometry"]["coordinates"]).T
        assert ((longitudes > -3.01) & (longitudes < -2.99)).all()
        assert ((latitudes > 36.13) & (latitudes < 36.15)).all()
        assert list(feature["properties"]) == [column.name for column in SWALE_COLUMNS]
        assert feature["properties"]["swale"] == swale.id


def test_geopackage_opens_with_every_layer_in_the_project_crs(folder, design):
    """Another library lists the layers; lines, berms and catchments lie where the design has them."""
    assert [name for name, _ in pyogrio.list_layers(folder / "site.gpkg")] == LAYERS
    for name in LAYERS:
        assert pyogrio.read_info(folder / "site.gpkg", layer=name)["crs"] == "EPSG:32630"
    swales = pyogrio.read_dataframe(folder / "site.gpkg", layer="swales")
    np.testing.assert_allclose(swales.length, [swale.line.length_m for swale in design.swales], rtol=1e-6)
    catchments = pyogrio.read_dataframe(folder / "site.gpkg", layer="catchments").set_index("swale")
    cell_m2 = design.ground.terrain.grid.cell_area_m2
    for number, swale in enumerate(design.swales, start=1):
        caught_m2 = (design.catchments == number).sum() * cell_m2
        assert catchments.loc[swale.id].geometry.area == pytest.approx(caught_m2)
    berms = pyogrio.read_dataframe(folder / "site.gpkg", layer="berms")
    assert (berms.area > 0).all()
    hollows = pyogrio.read_dataframe(folder / "site.gpkg", layer="hollows")
    np.testing.assert_allclose(hollows.area, [hollow.area_m2 for hollow in design.hollows])
    assert len(pyogrio.read_dataframe(folder / "site.gpkg", layer="refused")) == len(design.refused)


def test_a_berm_lies_downhill_of_its_line(folder):
    """The berm's strip touches neither its line nor the ground uphill of it along the middle of the line."""
    swales = pyogrio.read_dataframe(folder / "site.gpkg", layer="swales")
    berms = pyogrio.read_dataframe(folder / "site.gpkg", layer="berms")
    for line, berm in zip(swales.geometry, berms.geometry, strict=True):
        middle = shapely.ops.substring(line, 0.45, 0.55, normalized=True)
        assert not berm.intersects(middle)
        assert berm.intersects(middle.buffer(6.0))


def test_one_total_has_one_value_everywhere(folder, design):
    """Summary, table and layer say the same, row by row and in total."""
    figures, summary = totals(design), json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    assert summary["totals"] == figures
    rows = csv_rows(folder / "earthwork.csv")
    total, mobilisation = rows.pop(), rows.pop()
    assert (total["swale"], mobilisation["swale"], mobilisation["cost"]) == ("total", "mobilisation", "300")
    layer = pyogrio.read_dataframe(folder / "site.gpkg", layer="swales")
    for name in ("length_m", "dug_m3", "berm_m3", "storage_m3", "runoff_m3", "cost", "machine_h"):
        assert float(total[name]) == figures[name]
        assert [float(row[name]) for row in rows] == [row[name] for row in summary["swales"]] == layer[name].tolist()
    assert sum(float(row["dug_m3"]) for row in rows) == pytest.approx(figures["dug_m3"], abs=0.05 * len(rows))
    assert figures["cost"] == pytest.approx(300 + sum(float(row["cost"]) for row in rows), abs=0.5 * len(rows))


def test_refused_stretches_are_counted_and_measured_by_reason(folder, design):
    """The summary's number and length of each reason are those of the features in the layer of refused stretches."""
    told = json.loads((folder / "summary.json").read_text(encoding="utf-8"))["refused"]
    drawn = pyogrio.read_dataframe(folder / "site.gpkg", layer="refused")
    by_reason = {reason: part.length for reason, part in drawn.groupby("reason")}
    assert told.keys() == by_reason.keys()
    assert len(told) > 1
    for reason, lengths in by_reason.items():
        assert told[reason] == {"stretches": len(lengths), "length_m": pytest.approx(lengths.sum(), abs=0.051)}


def test_every_column_is_explained(folder):
    """The summary names unit and meaning of each column of the tables."""
    columns = json.loads((folder / "summary.json").read_text(encoding="utf-8"))["columns"]
    for part, declared in (("swales", SWALE_COLUMNS), ("totals", TOTAL_COLUMNS)):
        assert list(columns[part]) == [column.name for column in declared]
        assert all(column["meaning"] for column in columns[part].values())
    assert columns["swales"]["length_m"]["meaning"] != columns["totals"]["length_m"]["meaning"]


def test_the_design_surface_is_cut_and_raised_beside_the_lines_only(folder, design):
    """Ditches lower it, berms raise it, and more than 12 m from every line the ground is as it was."""
    with rasterio.open(folder / "design_surface.tif") as tile:
        surface = tile.read(1)
        assert tile.crs.to_epsg() == 32630
    change, grid = surface - design.ground.terrain.heights, design.ground.terrain.grid
    assert change.min() < -0.2
    assert change.max() > 0.1
    row, column = np.nonzero(change)
    moved = shapely.points(*grid.centres(row, column))
    lines = shapely.union_all([shapely.LineString(swale.line.xy) for swale in design.swales])
    assert shapely.distance(moved, lines).max() < 12.0


def test_the_fine_surface_stands_at_crests_and_sills(folder, design):
    """On cells of 0.25 m crest and sill of every swale are met to the millimetre, with nothing far from them."""
    lines = shapely.union_all([shapely.LineString(swale.line.xy) for swale in design.swales])
    with rasterio.open(folder / "design_surface_fine.tif") as tile:
        fine, transform = tile.read(1), tile.transform
        assert (tile.res, tile.is_tiled, np.isnan(tile.nodata)) == ((0.25, 0.25), True, True)
    known = np.nonzero(np.isfinite(fine))
    xy = shapely.points(*(transform * (known[1] + 0.5, known[0] + 0.5)))
    assert 0.0 < np.isfinite(fine).mean() < 0.9
    for swale in design.swales:
        near = fine[known][shapely.distance(xy, shapely.LineString(swale.line.xy)) < 8.0]
        for level_m in (swale.sized.shape.crest_level_m, swale.sill.level_m):
            assert np.abs(near - level_m).min() < 1e-3
    assert shapely.distance(xy, lines).max() < 40.0


def test_a_fine_surface_too_large_is_told(design, monkeypatch):
    """Beyond the most cells the plan says that the raster isn't written, and why."""
    assert pipeline._surface_notes(design.surface) == ()
    monkeypatch.setattr(pipeline, "MOST_FINE_CELLS", 1000)
    (note,) = pipeline._surface_notes(design.surface)
    assert "isn't written" in note


def test_the_same_design_gives_the_same_bytes(folder, design, tmp_path):
    """Every file is the same when written again."""
    write_plan(design, tmp_path / "again")
    for file in folder.iterdir():
        assert file.read_bytes() == (tmp_path / "again" / file.name).read_bytes(), file.name


def test_a_design_without_swales_is_written_too(tmp_path):
    """Empty layers, a table with only its total, a map."""
    empty = plan(make_site(levels={"interval_m": 900.0}), hills())
    write_plan(empty, tmp_path / "plan")
    assert [name for name, _ in pyogrio.list_layers(tmp_path / "plan" / "site.gpkg")] == LAYERS
    assert json.loads((tmp_path / "plan" / "swales.geojson").read_text())["features"] == []
    assert [row["swale"] for row in csv_rows(tmp_path / "plan" / "earthwork.csv")] == ["total"]
