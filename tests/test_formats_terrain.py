"""Terrain files in and out."""

import math

import matplotlib.cbook
import numpy as np
import pytest
import rasterio
from affine import Affine
from pyproj import CRS, Transformer
from rasterio.crs import CRS as RasterCRS

from swalekit.errors import InputError, OutputError, TerrainError
from swalekit.formats.cog import write_terrain
from swalekit.formats.metric_crs import unfit_reason, utm_crs
from swalekit.formats.terrain_raster import read_terrain
from swalekit.grid import Grid
from swalekit.terrain.sample import sample_heights

UTM12 = "EPSG:32612"
NORTH_UP = Affine(2.0, 0.0, 360_000.0, 0.0, -2.0, 3_696_000.0)
ROW, COLUMN = np.mgrid[0:40, 0:50]
X, Y = 360_001.0 + 2.0 * COLUMN, 3_695_999.0 - 2.0 * ROW


def plane(x, y):
    """Ground rising 5 % east and 2 % north of a corner in UTM zone 12, at 300 m."""
    return 300.0 + 0.05 * (np.asarray(x) - 360_000.0) + 0.02 * (np.asarray(y) - 3_696_000.0)


@pytest.fixture
def tile(tmp_path):
    """Write a raster the way the named choices say and give its path."""

    def write(heights=plane(X, Y), name="tile.tif", *, transform=NORTH_UP, crs=UTM12, unit=None, dtype="float32", **more):
        path, bands = tmp_path / name, np.atleast_3d(np.asarray(heights).T).T
        profile = {"driver": "GTiff", "count": bands.shape[0], "height": bands.shape[1], "width": bands.shape[2]}
        with rasterio.open(path, "w", **{**profile, "dtype": dtype, "transform": transform, "crs": crs, **more}) as out:
            out.write(bands.astype(dtype))
            if unit:
                out.units = (unit,) * out.count
        return path

    return write


def assert_plane(terrain, *, tolerance=2e-3, rim=0):
    """Every valid cell away from the rim holds the plane's height at its place."""
    x, y = terrain.grid.centres(*np.indices(terrain.grid.shape))
    to_utm12 = Transformer.from_crs(terrain.grid.crs, UTM12, always_xy=True)
    error = np.abs(terrain.heights - plane(*to_utm12.transform(x, y)))[rim : -rim or None, rim : -rim or None]
    assert np.nanmax(error) < tolerance
    assert terrain.valid.mean() > 0.4
    assert terrain.grid.crs.axis_info[0].unit_conversion_factor == 1.0


def test_metric_geotiff_is_read_as_it_is(tile):
    """A metric, north-up tile keeps its cells, heights and CRS."""
    terrain = read_terrain(tile())
    assert terrain.grid == Grid((40, 50), NORTH_UP, CRS(UTM12))
    np.testing.assert_array_equal(terrain.heights, plane(X, Y).astype(np.float32))
    assert terrain.vertical_sigma_m == 0.10
    assert terrain.notes == ("vertical error assumed: 0.1 m for cells of 2 m (as lidar and drone surveys have it)",)


@pytest.mark.parametrize("options", [{"driver": "COG"}, {"compress": "deflate", "tiled": True, "blockxsize": 16, "blockysize": 16}])
def test_kinds_of_geotiff_are_read(tile, options):
    """Cloud-optimised and tiled compressed files give the same heights."""
    assert_plane(read_terrain(tile(**options)), tolerance=1e-4)


def test_site_below_the_sea_is_ground(tile):
    """A site at −430 m by the Dead Sea is read as any other."""
    terrain = read_terrain(tile(plane(X, Y) - 730.0))
    assert terrain.valid.all()
    assert terrain.heights.min() < -430.0


@pytest.mark.parametrize("nodata", [None, -9999.0, np.nan, -3.4028234663852886e38])
@pytest.mark.parametrize("marker", [-9999.0, -32768.0, -3.4028234663852886e38, np.nan])
def test_markers_are_void_declared_or_not(tile, nodata, marker):
    """Cells that hold a marker are void, whatever the file declares."""
    heights = plane(X, Y)
    heights[10:25, 10:25] = marker
    terrain = read_terrain(tile(heights, nodata=nodata))
    assert (~terrain.valid).sum() == 225
    assert_plane(terrain)


def test_declared_nodata_and_masks_are_void(tile):
    """An ordinary number declared as nodata is void."""
    heights = plane(X, Y)
    heights[0, :5] = 0.0
    terrain = read_terrain(tile(heights, nodata=0.0))
    assert (~terrain.valid).sum() == 5


def test_small_voids_are_filled_unless_told_not_to(tile):
    """Voids of up to 25 m² are filled and told; with None they stay."""
    heights = plane(X, Y)
    heights[10:12, 10:12] = -9999.0
    path = tile(heights)
    filled = read_terrain(path)
    assert_plane(filled, tolerance=1e-3)
    assert filled.valid.all()
    assert filled.notes[-1] == "filled 1 void of 16 m²"
    assert (~read_terrain(path, fill_voids_m2=None).valid).sum() == 4


def test_denoising_is_asked_for(tile):
    """A shrub of one cell goes when a radius is given and stays otherwise."""
    heights = plane(X, Y)
    heights[20, 20] += 0.9
    path = tile(heights)
    assert read_terrain(path).heights[20, 20] == np.float32(heights[20, 20])
    assert_plane(read_terrain(path, denoise_radius_m=3.0))


def test_scale_and_offset_are_honoured(tile):
    """Whole centimetres above 250 m become metres."""
    path = tile(np.rint((plane(X, Y) - 250.0) * 100), dtype="int16", nodata=-32768)
    with rasterio.open(path, "r+") as stored:
        stored.scales, stored.offsets = (0.01,), (250.0,)
    assert_plane(read_terrain(path), tolerance=0.0051)


def test_first_of_several_bands_is_used(tile):
    """Band 1 holds the heights; a note tells that there are others."""
    terrain = read_terrain(tile(np.stack([plane(X, Y), X])))
    assert_plane(terrain)
    assert terrain.notes[0] == "used band 1 of 2"


@pytest.mark.parametrize(
    ("options", "reason"),
    [
        ({"transform": NORTH_UP @ Affine.translation(0, 40) @ Affine.scale(1, -1)}, "north to south"),
        ({"transform": NORTH_UP @ Affine.scale(1, 0.5)}, "oblong"),
        ({"transform": NORTH_UP @ Affine.rotation(30)}, "don't run east"),
    ],
    ids=["south-up", "oblong", "rotated"],
)
def test_odd_frames_become_north_up_squares(tile, options, reason):
    """South-up, oblong and rotated cells are resampled in the same CRS; a plane stays a plane."""
    x, y = options["transform"] @ (COLUMN + 0.5, ROW + 0.5)
    terrain = read_terrain(tile(plane(x, y), **options))
    assert_plane(terrain, tolerance=5e-3, rim=1 if reason != "don't run east" else 0) if reason != "don't run east" else None
    assert terrain.grid.crs == CRS(UTM12)
    assert reason in terrain.notes[0]
