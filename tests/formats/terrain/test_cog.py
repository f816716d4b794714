"""Terrain files out."""

import numpy as np
import pytest
import rasterio

from swalekit.errors import OutputError
from swalekit.formats.terrain.cog import write_terrain
from swalekit.formats.terrain.raster import read_terrain
from swalekit.grid import Grid

GRID = Grid.from_corner((600, 700), cell_m=2.0)
HEIGHTS = np.random.default_rng(2).normal(300, 5, GRID.shape).astype(np.float32)
HEIGHTS[100:200, 300:400] = np.nan


def test_written_terrain_reads_back(tmp_path):
    """What is written is read: heights, voids, grid and unit; and the file is cloud-optimised."""
    write_terrain(tmp_path / "out.tif", HEIGHTS, GRID)
    terrain = read_terrain(tmp_path / "out.tif")
    assert terrain.grid == GRID
    np.testing.assert_array_equal(terrain.heights, HEIGHTS)
    with rasterio.open(tmp_path / "out.tif") as tile:
        assert tile.tags(ns="IMAGE_STRUCTURE")["LAYOUT"] == "COG"
        assert (tile.units, tile.compression.value) == (("m",), "DEFLATE")
        assert tile.overviews(1) == [2]
        assert np.isnan(tile.nodata)


def test_same_terrain_gives_the_same_bytes(tmp_path):
    """Writing twice gives one and the same file."""
    for name in ("first.tif", "second.tif"):
        write_terrain(tmp_path / name, HEIGHTS, GRID)
    assert (tmp_path / "first.tif").read_bytes() == (tmp_path / "second.tif").read_bytes()


def test_writing_to_nowhere_fails(tmp_path):
    """A folder that doesn't exist is an output error that names the path."""
    with pytest.raises(OutputError, match=r"none/out\.tif"):
        write_terrain(tmp_path / "none" / "out.tif", HEIGHTS, GRID)
