"""Where the arrays of a terrain go, and tiles too large for the machine."""

from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import rasterio
from affine import Affine

from swalekit.errors import TerrainError
from swalekit.formats.terrain import memory
from swalekit.formats.terrain.mapped_arrays import MappedArrays
from swalekit.formats.terrain.memory import arrays_for
from swalekit.formats.terrain.raster import read_terrain


def machine_says(monkeypatch, free_bytes, **limits):
    """Let the system have so much memory free, and files with a container's limit hold what is given by their name."""

    def read_text(path, **_):
        if path.name.replace(".", "_") not in limits:
            raise FileNotFoundError(path)
        return limits[path.name.replace(".", "_")]

    monkeypatch.setattr(memory.psutil, "virtual_memory", lambda: SimpleNamespace(available=free_bytes))
    monkeypatch.setattr(Path, "read_text", read_text)


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
    with rasterio.open(path, "w", **profile, transform=Affine(0.5, 0, 5e5, 0, -0.5, 4e6), SPARSE_OK=True, tiled=True):
        pass
    with pytest.raises(TerrainError, match=r"huge\.tif' has 3,600,000,000 cells.*115 GB.*8 GB.*cell_m = 1\.5$"):
        read_terrain(path, memory_bytes=8 * 10**9)
    with pytest.raises(TerrainError, match="cells"):
        read_terrain(path, memory_bytes=10**15)  # more cells than 32-bit integers count


@pytest.mark.parametrize(("n_cells", "fits"), [(1_000, True), (1_001, False)])
def test_a_cell_takes_32_bytes(n_cells, fits):
    """A thousand cells fit into 32 000 bytes of memory, one more goes to disk."""
    made = arrays_for(n_cells, 1.0, name="tile.tif", memory_bytes=32_000)
    assert (made is np.zeros) == fits
    assert isinstance(made, MappedArrays) != fits


@pytest.mark.parametrize(("n_cells", "fits"), [(1_000, True), (1_001, False)])
def test_on_disk_a_cell_takes_10_bytes_of_memory(n_cells, fits):
    """Ten thousand bytes do for a thousand cells on disk, not for one more."""
    if fits:
        assert isinstance(arrays_for(n_cells, 1.0, name="tile.tif", memory_bytes=10_000), MappedArrays)
    else:
        with pytest.raises(TerrainError, match="coarsen it: cell_m = 2"):
            arrays_for(n_cells, 1.0, name="tile.tif", memory_bytes=10_000)


@pytest.mark.parametrize(
    ("free_bytes", "limits"),
    [
        (32_768, {}),
        (99_000, {"memory_max": "32768\n"}),
        (99_000, {"memory_limit_in_bytes": "32768\n"}),
        (32_768, {"memory_max": "max\n"}),
        (32_768, {"memory_max": "99000\n", "memory_limit_in_bytes": "9223372036854771712\n"}),
    ],
    ids=["the machine's", "a container's", "an older container's", "no limit of a container", "less than its limit"],
)
def test_free_memory_of_the_machine_counts(monkeypatch, free_bytes, limits):
    """Without a figure the memory counts that the system calls available, or a container allows: 32 KiB, 1024 cells."""
    machine_says(monkeypatch, free_bytes, **limits)
    assert arrays_for(1_024, 1.0, name="tile.tif") is np.zeros
    assert isinstance(arrays_for(1_025, 1.0, name="tile.tif"), MappedArrays)


def test_no_machine_is_larger_than_the_numbers_of_cells(monkeypatch):
    """However much memory is free, a tile may have as many cells as 32-bit integers count."""
    machine_says(monkeypatch, 10**15)
    assert arrays_for(2**31 - 1, 1.0, name="tile.tif") is np.zeros
    with pytest.raises(TerrainError, match="coarsen it"):
        arrays_for(2**31, 1.0, name="tile.tif")


def test_room_on_the_disk_is_asked_for(monkeypatch):
    """A terrain that neither memory nor the disk has room for is told both."""
    monkeypatch.setattr(memory, "free_disk_bytes", lambda _: 64_000)
    with pytest.raises(TerrainError, match=r"6\.4e-05 GB of disk in '.*TMPDIR, or coarsen it: cell_m = 2"):
        arrays_for(3_000, 1.0, name="tile.tif", memory_bytes=40_000)


def test_mapped_arrays_are_zero_and_keep_what_is_written(tmp_path):
    """They serve as any other array; an empty one needs no file."""
    make = MappedArrays(str(tmp_path))
    array = make((3, 4), np.float32)
    assert not array.any()
    array[1] = 7.0
    assert array.sum() == 28.0
    assert make((0,), np.int32).size == 0
