"""Tiles of one folder that differ in cells, corners or projection."""

import numpy as np
import pytest
import rasterio
from affine import Affine
from tile_ground import WEST_M, error, hills, plane, write_tile

import swalekit
from swalekit.errors import TerrainError
from swalekit.formats.terrain import tile_heights, tile_part

BESIDE = {
    "three times as wide": {"cell": 3.0, "east_m": 60.0, "shape": (20, 20)},
    "three times as wide, over the edge": {"cell": 3.0, "east_m": 40.3, "south_m": 0.6, "shape": (20, 20)},
    "half a cell off": {"east_m": 40.5, "south_m": 0.5},
    "another zone": {"crs": "EPSG:32631", "east_m": 40.0},
    "another zone, wider": {"crs": "EPSG:32631", "east_m": 40.0, "cell": 2.0, "shape": (30, 30)},
    "degrees": {"crs": "EPSG:4326", "east_m": 40.0, "cell": 2e-5, "shape": (30, 30)},
}
"""How the second tile differs from the first, of 60 × 60 cells of 1 m."""


@pytest.mark.parametrize("beside", BESIDE.values(), ids=BESIDE.keys())
@pytest.mark.parametrize(("ground", "greatest_m"), [(plane, 2e-5), (hills, 0.01)])
def test_no_tile_is_shifted(tmp_path, beside, ground, greatest_m):
    """A plane is met everywhere, to the rim; hills but for their bend between the centres, h² z'' / 8 along an axis."""
    write_tile(tmp_path / "a.tif", ground)
    write_tile(tmp_path / "b.tif", ground, **beside)
    terrain = swalekit.read_terrain(tmp_path, fill_voids_m2=0)
    assert (terrain.grid.cell_m, terrain.grid.crs.to_epsg()) == (1.0, 32630)
    assert terrain.grid.shape[1] > 90
    assert terrain.valid.mean() > 0.85
    assert np.nanmax(np.abs(error(terrain, ground))) < greatest_m
    assert abs(np.nanmean(error(terrain, ground))) < greatest_m / 10
    assert "resampled, bilinear, to the cells of 'a.tif': 'b.tif'" in terrain.notes


def test_the_finest_tile_gives_the_frame(tmp_path):
    """It need not be the first; wider cells are told with the error that is usual for them."""
    write_tile(tmp_path / "a.tif", plane, (20, 20), cell=3.0)
    write_tile(tmp_path / "b.tif", plane, east_m=50.4)
    terrain = swalekit.read_terrain(tmp_path)
    assert terrain.grid.cell_m == 1.0
    assert terrain.grid.bounds[2] == pytest.approx(WEST_M + 110.4)
    assert "resampled, bilinear, to the cells of 'b.tif': 'a.tif'" in terrain.notes
    assert any(
        "where cells of 3 m alone give the ground its usual error is 1 m, that of the finest is 0.1 m" in note
        for note in terrain.notes
    )


def test_of_equal_cells_the_first_by_name_gives_the_frame(tmp_path):
    """A metre of zone 30 is 0.05 % shorter on this ground than one of zone 31."""
    write_tile(tmp_path / "a.tif", plane, crs="EPSG:32631")
    write_tile(tmp_path / "b.tif", plane, east_m=40.0)
    assert swalekit.read_terrain(tmp_path).grid.crs.to_epsg() == 32631


@pytest.mark.parametrize("marker", [-9999.0, -32768.0, -3.4e38])
@pytest.mark.parametrize("declared", [True, False])
def test_a_void_doesn_t_bleed(tmp_path, marker, declared):
    """Cells beside a marker, declared or not, are void or right, and those under it void."""

    def with_void(heights):
        heights[8, 9] = marker
        return heights

    write_tile(tmp_path / "a.tif", plane)
    write_tile(
        tmp_path / "b.tif",
        plane,
        (20, 20),
        cell=3.0,
        east_m=60.0,
        change=with_void,
        nodata=marker if declared else None,
    )
    terrain = swalekit.read_terrain(tmp_path, fill_voids_m2=0)
    assert np.nanmax(np.abs(error(terrain, plane))) < 2e-5
    assert not terrain.valid[24:27, 87:90].any()
    assert (~terrain.valid).sum() == 25  # as far as the centres of the cells beside it, which are right themselves


def test_units_are_each_file_s_own(tmp_path):
    """A wider tile in feet goes on where one in metres ends."""
    write_tile(tmp_path / "a.tif", plane)
    write_tile(tmp_path / "b.tif", plane, (20, 20), cell=3.0, east_m=60.0, change=lambda z: z / 0.3048, unit="ft")
    assert np.nanmax(np.abs(error(swalekit.read_terrain(tmp_path), plane))) < 5e-5


def test_strips_and_blocks_leave_no_trace(tmp_path, monkeypatch):
    """However much is read at a time, the bytes are equal, and of a turned tile little more than a block is held."""
    write_tile(tmp_path / "a.tif", hills)
    write_tile(tmp_path / "b.tif", hills, (100, 100), crs="EPSG:32631", cell=1.5, east_m=40.0)
    at_once = swalekit.read_terrain(tmp_path).heights
    read, windows = tile_part._read_window, []

    def watched(part, window):
        windows.append((part.header.name[-5:], window.width * window.height))
        return read(part, window)

    monkeypatch.setattr(tile_part, "_read_window", watched)
    monkeypatch.setattr(tile_part, "_BLOCK", 16)
    monkeypatch.setattr(tile_heights, "_STRIP_CELLS", 2_000)
    assert swalekit.read_terrain(tmp_path).heights.tobytes() == at_once.tobytes()
    assert max(cells for name, cells in windows if name == "b.tif") < 20**2


@pytest.mark.parametrize("cell_m", [None, 30.0])
def test_a_wide_coarse_tile_beside_a_fine_one_fails_before_reading(tmp_path, cell_m):
    """A degree of one-arc-second cells is too much ground for cells of 1 m; the message says to cut it."""
    write_tile(tmp_path / "a.tif", plane)
    frame = {"transform": Affine(1 / 3600, 0, -1.0, 0, -1 / 3600, 37.0), "width": 3601, "height": 3601}
    with rasterio.open(
        tmp_path / "b.tif", "w", "GTiff", count=1, dtype="int16", crs="EPSG:4326", SPARSE_OK=True, **frame
    ):
        pass
    with pytest.raises(
        TerrainError, match=r"b\.tif' takes 10,\d+,\d+,\d+ cells as fine as those of '.*a\.tif'; cut it"
    ):
        swalekit.read_terrain(tmp_path, cell_m=cell_m)


def test_tiles_far_apart_fail_before_reading(tmp_path):
    """The frame that would hold both has too many cells."""
    write_tile(tmp_path / "a.tif", plane)
    write_tile(tmp_path / "b.tif", plane, east_m=-300_000.0, south_m=400_000.0)
    with pytest.raises(TerrainError, match=r"has 120,\d+,\d+,\d+ cells: a plan takes .* cell_m = "):
        swalekit.read_terrain(tmp_path)


def test_a_tile_beyond_the_frame_s_projection_fails(tmp_path):
    """A quarter of the earth away a transverse Mercator has no coordinates."""
    write_tile(tmp_path / "a.tif", plane)
    frame = {"transform": Affine(1e-3, 0, 87.0, 0, -1e-3, 0.005), "width": 10, "height": 10}
    with rasterio.open(tmp_path / "b.tif", "w", "GTiff", count=1, dtype="int16", crs="EPSG:4326", **frame) as file:
        file.write(np.full((1, 10, 10), 7, np.int16))
    with pytest.raises(TerrainError, match=r"b\.tif' lies where WGS 84 / UTM zone 30N, .*a\.tif', has no coordinates"):
        swalekit.read_terrain(tmp_path)
