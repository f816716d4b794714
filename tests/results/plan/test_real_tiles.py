"""The whole job on ground that nobody here made."""

import os
from pathlib import Path

import numpy as np
import pytest
import rasterio
from matplotlib import cbook
from rasterio.transform import from_origin
from sites import brief_values

from swalekit.design.brief.site import Site
from swalekit.design.brief.values import check_brief
from swalekit.design.options.spacing_table import spacing_rules_of
from swalekit.design.plan.pipeline import plan
from swalekit.errors import TerrainError
from swalekit.formats.inputs.site import site_from_values, terrain_of
from swalekit.results.plan.write import write_plan

LIDAR_TILE = os.environ.get("SWALEKIT_LIDAR_TILE", "")


def write_jacksboro(path: Path, *, shrunk: float = 1.0) -> Path:
    """The tile of 3 arc seconds that matplotlib ships as sample data, as a GeoTIFF in degrees; shrunk in all three."""
    with cbook.get_sample_data("jacksboro_fault_dem.npz") as data:
        heights, step, west, north = data["elevation"], float(data["dx"]), float(data["xmin"]), float(data["ymin"])
    rows, columns = heights.shape
    profile = {"driver": "GTiff", "count": 1, "dtype": "int16" if shrunk == 1.0 else "float32", "crs": "EPSG:4326"}
    placed = from_origin(west, north, step / shrunk, step / shrunk)
    with rasterio.open(path, "w", height=rows, width=columns, transform=placed, **profile) as tile:
        tile.write((heights / shrunk).astype(profile["dtype"]), 1)
    return path


def test_a_coarse_public_tile_is_refused_but_tells_slopes_and_rules(tmp_path):
    """Cells of 80 m in whole metres carry no ditch; what they can tell is still told."""
    values = brief_values(terrain={"file": str(write_jacksboro(tmp_path / "j.tif"))}, levels={"interval_m": 8.0})
    site = site_from_values(values)
    terrain = terrain_of(site)
    assert terrain.grid.crs.to_epsg() == 32616
    assert 60 < terrain.grid.cell_m < 100
    assert terrain.height_step_m == 1.0
    with pytest.raises(TerrainError, match=r"cells of 8\d m are wider than 18 m.*steps of 1 m.*compare --rules$"):
        plan(site, terrain)
    rules = spacing_rules_of(site, terrain)
    assert 0.05 < rules.slopes[1] < 0.4


@pytest.mark.compiled
def test_public_ground_is_planned_and_called_unsure(tmp_path):
    """Degrees become metres of the UTM zone; lines that the error moves by over half their distance are cautioned."""
    tile = write_jacksboro(tmp_path / "jacksboro.tif", shrunk=36.0)
    site = site_from_values(brief_values(terrain={"file": str(tile)}, levels={"interval_m": 1.5}))
    design = plan(site, terrain_of(site))
    assert design.ground.terrain.grid.crs.to_epsg() == 32616
    assert 2 < design.ground.terrain.grid.cell_m < 3
    assert design.ground.terrain.vertical_sigma_m == 1.0
    assert len(design.swales) > 50
    assert sum(caution.name == "place unsure" for caution in design.cautions) > 0.9 * len(design.swales)
    write_plan(design, tmp_path / "plan")
    assert (tmp_path / "plan" / "map.png").stat().st_size > 50_000


@pytest.mark.compiled
@pytest.mark.skipif(not LIDAR_TILE, reason="SWALEKIT_LIDAR_TILE names no lidar tile: the prairie tile is not at hand")
def test_a_prairie_lidar_tile_keeps_its_hollows(tmp_path):
    """1 m lidar with undeclared potholes: hollows are results, no line stands in a pond, and all water is accounted."""
    values = brief_values(terrain={"file": LIDAR_TILE}, levels={"interval_m": 2.0})
    site = Site(check_brief(values))
    design = plan(site, terrain_of(site))
    assert design.ground.terrain.grid.crs.to_epsg() == 26915
    assert design.ground.terrain.relief_m == pytest.approx(31.0994, abs=0.001)
    assert len(design.swales) > 20
    assert any(hollow.fate == "keeps its water" for hollow in design.hollows)
    grid = design.ground.terrain.grid
    for swale in design.swales:
        assert np.abs(swale.line.ground_m - swale.line.level_m).max() <= site.brief.lines.tolerance_m
        row, column = (np.rint(places).astype(int) for places in grid.rows_columns(*swale.line.xy.T))
        assert not design.ground.ponds[row, column].any()
    held = sum(swale.held_m3 for swale in design.swales)
    assert held <= design.kept_m3 <= design.site_runoff_m3
    write_plan(design, tmp_path / "plan")
