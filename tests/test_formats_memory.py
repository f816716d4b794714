"""Tiles too large for the machine."""

from pathlib import Path

import pytest
import rasterio
from affine import Affine

from swalekit.errors import TerrainError
from swalekit.formats.memory import check_fits
from swalekit.formats.terrain_raster import read_terrain


def test_too_large_a_tile_fails_before_reading(tmp_path):
    """A sparse file of 3.6 thousand million cells is refused by its header, with a cell that fits."""
    path = tmp_path / "huge.tif"
    profile = {
        "driver": "GTiff",
        "width": 60_000,
        "height": 60_000,
        "count": 1,
        "dtype": "float32",
        "crs": "EPSG:32612",
    }
    with rasterio.open(path, "w", **profile, transform=Affine(0.5, 0, 0, 0, -0.5, 0), SPARSE_OK=True, tiled=True):
        pass
    with pytest.raises(TerrainError, match=r"huge\.tif' has 3,600,000,000 cells.*115 GB.*8 GB.*cell_m = 2$"):
        read_terrain(path, memory_bytes=8 * 10**9)
    with pytest.raises(TerrainError, match="cells"):
        read_terrain(path, memory_bytes=10**15)  # more cells than 32-bit integers count


@pytest.mark.parametrize(("n_cells", "fits"), [(1_000, True), (1_001, False)])
def test_a_cell_takes_32_bytes(n_cells, fits):
    """A thousand cells fit into 32 000 bytes and one more doesn't."""
    if fits:
        check_fits(n_cells, 1.0, name="tile.tif", memory_bytes=32_000)
    else:
        with pytest.raises(TerrainError, match="coarsen it: cell_m = 2"):
            check_fits(n_cells, 1.0, name="tile.tif", memory_bytes=32_000)


def test_free_memory_of_the_machine_counts(monkeypatch):
    """Without a figure the memory the kernel calls available counts: 32 kB are 1024 cells."""
    monkeypatch.setattr(Path, "read_text", lambda *_, **__: "MemTotal: 99 kB\nMemAvailable: 32 kB\n")
    check_fits(1_024, 1.0, name="tile.tif")
    with pytest.raises(TerrainError, match="1,025 cells"):
        check_fits(1_025, 1.0, name="tile.tif")


def test_without_a_kernel_that_tells_only_the_cell_numbers_count(monkeypatch):
    """Where free memory isn't told, a tile may have as many cells as 32-bit integers count."""
    monkeypatch.setattr(Path, "read_text", lambda *_, **__: "")
    check_fits(2**31 - 1, 1.0, name="tile.tif")
    with pytest.raises(TerrainError, match="coarsen it"):
        check_fits(2**31, 1.0, name="tile.tif")
