"""Tiles of one folder that differ in cells, corners or projection."""

import numpy as np
import pytest
import rasterio
from affine import Affine
from pyproj import Transformer
from tile_ground import NORTH_M, UTM, WEST_M, error, hills, plane, write_tile

import swalekit
from swalekit.errors import TerrainError
from swalekit.formats.terrain import tile_heights, tile_part
from swalekit.formats.terrain.tile_files import open_tiles, tile_files

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


def test_tiles_that_share_their_cells_are_laid_out_from_the_first(tmp_path):
    """Cells of a degree narrow to the north: the northern tile is finer on the ground, but gives no other frame."""
    for name, north in (("a", 37.1), ("b", 40.1 + 1e-7)):
        frame = {"transform": Affine(1 / 3600, 0, 0.1, 0, -1 / 3600, north), "width": 4, "height": 4}
        with rasterio.open(
            tmp_path / f"{name}.tif", "w", "GTiff", count=1, dtype="int16", crs="EPSG:4326", **frame
        ) as file:
            file.write(np.full((1, 4, 4), 7, np.int16))
    with open_tiles("two", tile_files(tmp_path), crs=None, vertical_unit=None) as (header, (first, second)):
        assert header.transform == first.header.transform * Affine.translation(0, -10_800)
        assert header.transform != second.header.transform
        assert (first.row, second.row, second.resampling) == (10_800, 0, None)


def test_a_turned_tile_is_read_to_its_corners(tmp_path):
    """A cell has a height if its centre lies in either tile."""
    write_tile(tmp_path / "a.tif", plane)
    write_tile(tmp_path / "b.tif", plane, (100, 100), crs="EPSG:32631", cell=1.5, east_m=40.0, south_m=-50.0)
    terrain = swalekit.read_terrain(tmp_path, fill_voids_m2=0)
    x, y = terrain.grid.centres(*np.indices(terrain.grid.shape))
    to_zone_31 = Transformer.from_crs(UTM, "EPSG:32631", always_xy=True)
    west, north = to_zone_31.transform(WEST_M + 40.0, NORTH_M + 50.0)
    own_x, own_y = to_zone_31.transform(x, y)
    in_first = (x > WEST_M) & (x < WEST_M + 60.0) & (y < NORTH_M) & (y > NORTH_M - 60.0)
    in_second = (own_x > west) & (own_x < west + 150.0) & (own_y < north) & (own_y > north - 150.0)
    np.testing.assert_array_equal(terrain.valid, in_first | in_second)
    assert (in_first | in_second).sum() == pytest.approx(60**2 + 150**2 - (in_first & in_second).sum(), rel=0.002)


def test_a_centre_on_a_centre_needs_no_neighbour(tmp_path):
    """Whatever rounding does to coordinates: every void of 5 × 5 cells ends at the centres beside it."""

    def with_voids(heights):
        heights[2:18:4, 2:18:4] = np.nan
        return heights

    write_tile(tmp_path / "a.tif", plane, cell=0.1)
    write_tile(tmp_path / "b.tif", plane, (20, 20), cell=0.3, east_m=6.0, change=with_voids)
    valid = swalekit.read_terrain(tmp_path, fill_voids_m2=0, cell_m=0.1).valid
    assert (~valid).sum() == 16 * 25


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
