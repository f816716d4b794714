"""A plan read back from its folder: it is what was written, and nothing else is taken for one."""

import json
import shutil
from dataclasses import replace

import numpy as np
import pytest
import rasterio
import shapely
from reported_plan import write_reported_plan
from sites import NORTH, WEST, make_site, plane

from swalekit.design.plan.lines_of import lines_of
from swalekit.design.plan.pipeline import plan
from swalekit.errors import InputError
from swalekit.grid import Grid
from swalekit.reporting.map.plan_map import plan_content
from swalekit.results.folder.seal import seal
from swalekit.results.plan import read as plan_folder
from swalekit.results.plan.read import read_plan_folder
from swalekit.results.plan.record import plan_record
from swalekit.results.plan.write import write_plan
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """A design and the folder with its plan and a comparison."""
    folder = tmp_path_factory.mktemp("written")
    return write_reported_plan(folder), folder


@pytest.fixture(scope="module")
def record(written):
    """The plan read back with its options."""
    _, folder = written
    return read_plan_folder(folder / "plan", options=folder / "compare")


def test_the_ground_comes_back(written, record):
    """Built surface less cut and fill is the ground that the plan was made on, to the rounding of a float."""
    design, _ = written
    np.testing.assert_allclose(record.ground.heights, design.ground.terrain.heights, atol=1e-4)
    assert record.ground.grid.bounds == design.ground.terrain.grid.bounds


def test_profiles_are_the_ground_along_the_lines(written, record):
    """Every profile runs from end to end of its line, at the heights of the terrain."""
    design, _ = written
    for swale in design.swales:
        chainage_m, ground_m = record.profiles[swale.id].T
        assert chainage_m[-1] == pytest.approx(swale.line.length_m, rel=1e-6)
        path = shapely.LineString(np.vstack([swale.line.xy, swale.line.xy[:1]]) if swale.line.closed else swale.line.xy)
        xy = shapely.get_coordinates(path.interpolate(chainage_m))
        np.testing.assert_allclose(ground_m, sample_heights(design.ground.terrain, *xy.T), atol=1e-3)


def test_a_folder_tells_what_the_design_told(written, record):
    """Summary, every feature, water and ground along the lines are the same from memory as from the folder."""
    design, folder = written
    made = plan_record(design, folder=folder / "plan")
    columns = {table: record.summary["columns"][table] for table in made.summary["columns"]}
    assert {key: record.summary[key] for key in made.summary} | {"columns": columns} == made.summary
    assert list(record.layers) == list(made.layers)
    for name, features in made.layers.items():
        for (shape, row), (read_shape, read_row) in zip(features, record.layers[name], strict=True):
            assert shapely.equals_exact(shape, read_shape), name
            assert read_row == {key: pytest.approx(value, nan_ok=True) for key, value in row.items()}, name
    assert sum(area.area for _, area in record.ponds) == pytest.approx(sum(area.area for _, area in made.ponds))
    for name in ("time_h", "brought_m3", "held_m3", "soaked_total_m3", "left_m3", "under_way_m3"):
        np.testing.assert_allclose(getattr(record.water, name), getattr(made.water, name), atol=1e-3)
    for name, profile in made.profiles.items():
        np.testing.assert_allclose(record.profiles[name], profile, atol=1e-3)


def test_the_map_of_a_folder_is_the_map_of_the_design(written, record):
    """Words and figures are the same from the folder as from the design; its section stands at rounded figures."""
    design, _ = written
    made, read = plan_content(plan_record(design)), plan_content(record)
    words = "title subtitle units header table facts section_words cautions credits failing overtopped"
    for name in words.split():
        assert getattr(read, name) == getattr(made, name), name
    assert read.section.swale == made.section.swale
    np.testing.assert_allclose(read.section.xy, made.section.xy, atol=0.05)


@pytest.fixture(scope="module")
def rings():
    """A design of closed lines round a cone."""
    row, column = np.mgrid[0:80, 0:80] - 39.5
    grid = Grid.from_corner((80, 80), cell_m=1.0, west_m=WEST, north_m=NORTH)
    return plan(make_site(), Terrain.from_heights(100.0 - 0.1 * np.hypot(row, column), grid))


@pytest.mark.parametrize("middle_m", [0.2, 0.0, -0.2])
def test_a_sill_over_a_rings_first_station_is_whole(rings, middle_m):
    """As long in the layer as on the map, and in the same place, on either side of chainage 0."""
    ring = next(swale for swale in rings.swales if swale.line.closed)
    sill = replace(ring.sill, chainage_m=middle_m % ring.line.length_m, length_m=1.0)
    design = replace(
        rings, swales=(replace(ring, sill=sill),), catchments=np.minimum(rings.catchments, 0), account=None
    )
    record = plan_record(design)
    ((drawn, _),) = record.layers["sills"]
    (mapped,) = plan_content(record).sills.values()
    assert drawn.length == pytest.approx(1.0)
    np.testing.assert_allclose(shapely.get_coordinates(drawn), mapped)
    assert shapely.distance(drawn, shapely.Point(ring.line.xy[0])) == pytest.approx(0.0, abs=1e-9)


def test_a_ring_comes_back_as_a_ring(rings, tmp_path):
    """A closed line on a cone comes back to its first station."""
    write_plan(rings, tmp_path / "plan")
    lines = plan_content(read_plan_folder(tmp_path / "plan")).lines
    closed = [swale for swale in rings.swales if swale.line.closed]
    assert closed
    for swale in closed:
        np.testing.assert_array_equal(lines[swale.id], np.vstack([swale.line.xy, swale.line.xy[:1]]))


def test_a_section_stands_at_its_rounded_figures(record):
    """Floor, sill and crest of a section lie where its row of figures says."""
    for row in record.swales:
        section = record.sections[row["swale"]]
        assert section.xy[1, 1] == pytest.approx(-row["depth_m"])
        assert section.xy[5, 1] == pytest.approx(row["crest_m"] - row["level_m"])
        assert section.sill_m == pytest.approx(row["sill_m"] - row["level_m"])


def test_a_large_raster_is_averaged(written, record, monkeypatch):
    """With room for 40 cells a side, blocks of three cells are averaged and no ground is lost."""
    _, folder = written
    monkeypatch.setattr(plan_folder, "_GREATEST_SIDE", 40)
    coarse = read_plan_folder(folder / "plan")
    assert coarse.ground.grid.shape == (32, 32)
    assert coarse.ground.grid.cell_m == 3.0
    assert float(coarse.ground.heights.mean()) == pytest.approx(float(record.ground.heights.mean()), abs=1e-3)
    np.testing.assert_allclose(coarse.profiles["S1"], record.profiles["S1"])


def test_options_are_read_with_the_plan(record):
    """Figures of every option of the comparison, and the lines of those that kept theirs."""
    assert set(record.option_lines) == {option["number"] for option in record.options}
    lengths = [record.option_lines[option["number"]].length for option in record.options]
    assert lengths == pytest.approx([option["length_m"] for option in record.options], abs=0.1)
    assert [option["option"] for option in record.options] == ["interval 2 m", "<script>alert(1)</script>"]


def _without(key):
    def spoil(folder):
        summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
        del summary[key]
        (folder / "summary.json").write_text(json.dumps(summary), encoding="utf-8")

    return spoil


def _raised(name):
    def spoil(folder):
        with rasterio.open(folder / name) as tile:
            heights, profile = tile.read(1), tile.profile
        with rasterio.open(folder / name, "w", **profile) as tile:
            tile.write(heights + np.float32(0.3), 1)

    return spoil


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda folder: (folder / "summary.json").unlink(), "holds no summary.json"),
        (lambda folder: (folder / "cut_fill.tif").unlink(), "holds no cut_fill.tif"),
        (lambda folder: (folder / "summary.json").write_text("{", encoding="utf-8"), "damaged"),
        (lambda folder: (folder / "summary.json").write_text("[]", encoding="utf-8"), "another version"),
        (_without("storm"), "has no 'storm'"),
        (lambda folder: (folder / "design_surface.tif").write_bytes(b"II*\0"), "was changed"),
        (_raised("design_surface.tif"), r"design_surface\.tif' was changed"),
        (_raised("cut_fill.tif"), r"cut_fill\.tif' was changed"),
        (lambda folder: (folder / "site.gpkg").write_bytes(b"no database"), "was changed"),
        (lambda folder: (folder / "site_water.csv").write_text("time_h\n1,2\n", encoding="utf-8"), "was changed"),
        (lambda folder: (folder / "site_water.csv").unlink(), "holds no site_water.csv"),
    ],
)
def test_a_folder_that_is_no_whole_plan_fails(written, tmp_path, spoil, words):
    """A file that is missing, damaged or of another version is named."""
    _, folder = written
    shutil.copytree(folder / "plan", tmp_path / "plan")
    spoil(tmp_path / "plan")
    with pytest.raises(InputError, match=words):
        read_plan_folder(tmp_path / "plan")


def test_a_plan_is_no_comparison(written):
    """A plan's folder given for the options is told apart by what its summary lacks."""
    _, folder = written
    with pytest.raises(InputError, match="has no 'options'"):
        read_plan_folder(folder / "plan", options=folder / "plan")


def test_a_comparison_of_another_version_fails(written, tmp_path):
    """Options that lack a figure are refused, not half shown."""
    _, folder = written
    (tmp_path / "summary.json").write_text('{"options": [{"option": "interval 2 m"}]}', encoding="utf-8")
    seal(tmp_path)
    with pytest.raises(InputError, match="comparison of another version"):
        read_plan_folder(folder / "plan", options=tmp_path)


def test_options_on_another_tile_are_refused(written, tmp_path):
    """Their figures would stand beside a plan that they are none of."""
    _, folder = written
    shutil.copytree(folder / "compare", tmp_path / "other")
    summary = json.loads((tmp_path / "other" / "summary.json").read_text(encoding="utf-8"))
    summary["inputs"] = [{"key": "terrain.file", "sha256": "0" * 64}]
    (tmp_path / "other" / "summary.json").write_text(json.dumps(summary), encoding="utf-8")
    seal(tmp_path / "other")
    with pytest.raises(InputError, match="on another tile"):
        read_plan_folder(folder / "plan", options=tmp_path / "other")


def test_a_wider_swale_comes_back_as_wide(tmp_path):
    """Each section is drawn from the folder with its own floor and freeboard, as it is from memory."""
    site, terrain = make_site(levels={"levels_m": [108.0, 104.0]}), plane()
    lines = lines_of(plan(site, terrain)).decide("S2", "held", bottom_width_m=1.4, freeboard_m=0.25)
    design = plan(site.with_lines(lines), terrain)
    write_plan(design, tmp_path / "plan")
    read, told = read_plan_folder(tmp_path / "plan").sections, plan_record(design).sections
    widths_m = [float(np.ptp(read[name].xy[1:3, 0])) for name in ("S1", "S2")]
    assert widths_m == pytest.approx([0.6, 1.4])
    for name in ("S1", "S2"):
        np.testing.assert_allclose(read[name].xy, told[name].xy, atol=0.03)
