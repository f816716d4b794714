"""The whole job on ground that nobody here made."""

import json
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
from swalekit.design.plan.pipeline import plan
from swalekit.formats.inputs.site import site_from_values, terrain_of
from swalekit.results.plan.write import write_plan

LIDAR_TILE = os.environ.get("SWALEKIT_LIDAR_TILE", "")


@pytest.fixture
def jacksboro(tmp_path) -> Path:
    """The 3-arc-second tile that matplotlib ships as sample data, as a GeoTIFF in degrees."""
    with cbook.get_sample_data("jacksboro_fault_dem.npz") as data:
        heights, step, west, north = data["elevation"], float(data["dx"]), float(data["xmin"]), float(data["ymin"])
    path = tmp_path / "jacksboro.tif"
    profile = {"driver": "GTiff", "count": 1, "dtype": "int16", "crs": "EPSG:4326"}
    with rasterio.open(
        path,
        "w",
        height=heights.shape[0],
        width=heights.shape[1],
        transform=from_origin(west, north, step, step),
        **profile,
    ) as tile:
        tile.write(heights, 1)
    return path


@pytest.mark.compiled
def test_a_coarse_public_tile_is_planned_and_called_unsure(jacksboro, tmp_path):
    """Degrees become metres of the UTM zone; lines of a 90 m grid are laid but their place is cautioned."""
    area = tmp_path / "area.geojson"
    ring = [[-84.30, 36.53], [-84.27, 36.53], [-84.27, 36.56], [-84.30, 36.56], [-84.30, 36.53]]
    area.write_text(json.dumps({"type": "Polygon", "coordinates": [ring]}), encoding="utf-8")
    values = brief_values(
        terrain={"file": str(jacksboro)},
        area={"boundary": str(area)},
        levels={"interval_m": 8.0},
        lines={"bend_radius_m": 20.0, "watercourse_area_m2": 500_000.0},
    )
    site = site_from_values(values)
    design = plan(site, terrain_of(site))
    assert design.ground.terrain.grid.crs.to_epsg() == 32616
    assert 60 < design.ground.terrain.grid.cell_m < 100
    assert len(design.swales) > 50
    assert any(caution.name == "place unsure" for caution in design.cautions)
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
