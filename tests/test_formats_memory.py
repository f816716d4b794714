"""Tiles too large for the machine."""

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


def test_small_tile_fits_this_machine():
    """Without a figure the machine's own free memory counts."""
    check_fits(1_000, 1.0, name="tile.tif")
