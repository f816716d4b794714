"""Terrain files in."""

import math
from warnings import catch_warnings, simplefilter

import matplotlib.cbook
import numpy as np
import pytest
import rasterio
from affine import Affine
from pyproj import CRS, Transformer
from pyproj.enums import WktVersion
from scipy import ndimage

from swalekit.errors import InputError, TerrainError
from swalekit.formats.terrain.raster import read_terrain
from swalekit.grid import Grid
from swalekit.terrain.sample import sample_heights

UTM12 = "EPSG:32612"
NORTH_UP = Affine(2.0, 0.0, 360_000.0, 0.0, -2.0, 3_696_000.0)
ROW, COLUMN = np.mgrid[0:40, 0:50]
X, Y = 360_001.0 + 2.0 * COLUMN, 3_695_999.0 - 2.0 * ROW


def plane(x, y):
    """Ground rising 5 % east and 2 % north of a corner in UTM zone 12, at 300 m."""
    return 300.0 + 0.05 * (np.asarray(x) - 360_000.0) + 0.02 * (np.asarray(y) - 3_696_000.0)


PLANE = plane(X, Y)


@pytest.fixture
def tile(tmp_path):
    """Write a raster the way the named choices say and give its path."""

    def write(heights=PLANE, *, transform=NORTH_UP, crs=UTM12, unit=None, dtype="float32", **more):
        path, bands = tmp_path / "tile.tif", np.atleast_3d(np.asarray(heights).T).T
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
    (note,) = terrain.notes
    assert note.startswith("vertical error assumed: 0.1 m for cells of 2 m, as of lidar")


@pytest.mark.parametrize(
    "options", [{"driver": "COG"}, {"compress": "deflate", "tiled": True, "blockxsize": 16, "blockysize": 16}]
)
def test_kinds_of_geotiff_are_read(tile, options):
    """Cloud-optimised and tiled compressed files give the same heights."""
    assert_plane(read_terrain(tile(**options)), tolerance=1e-4)


def test_vertical_part_of_the_crs_is_dropped(tile):
    """A CRS with a height system over it leaves the horizontal one."""
    terrain = read_terrain(tile(crs="EPSG:32612+5703"))
    assert terrain.grid == Grid((40, 50), NORTH_UP, CRS(UTM12))


def test_site_below_the_sea_is_ground(tile):
    """A site at −430 m is read as any other."""
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
    assert filled.notes[-2] == "filled 1 void of 16 m²"
    assert (~read_terrain(path, fill_voids_m2=0).valid).sum() == 4


def test_fine_cells_are_averaged_to_a_working_cell(tile):
    """Cells of 5 cm become 25 cm unless a cell is given, which is told; the plane stays, and coarser cells too."""
    fine = Affine(0.05, 0, 360_000, 0, -0.05, 3_696_005)
    x, y = 360_000 + (np.arange(200) + 0.5) * 0.05, 3_696_005 - (np.arange(100)[:, None] + 0.5) * 0.05
    path = tile(plane(x, y), transform=fine)
    averaged = read_terrain(path)
    assert averaged.grid.cell_m == pytest.approx(0.25)
    assert_plane(averaged)
    assert any("5 × 5 cells of 0.05 m to 0.25 m" in note and "cell_m" in note for note in averaged.notes)
    assert read_terrain(path, cell_m=0.05).grid.cell_m == pytest.approx(0.05)
    quarter = tile(plane(x, y), transform=Affine(0.2, 0, 360_000, 0, -0.2, 3_696_005))
    assert read_terrain(quarter).grid.cell_m == pytest.approx(0.2)


def test_surface_is_averaged_without_what_stands_on_it(tile):
    """Posts that fill a quarter of each block leave the ground, without a bias; of bare ground the mean has none."""
    fine = Affine(0.05, 0, 360_000, 0, -0.05, 3_696_005)
    x, y = 360_000 + (np.arange(200) + 0.5) * 0.05, 3_696_005 - (np.arange(100)[:, None] + 0.5) * 0.05
    rng = np.random.default_rng(3)
    noisy = plane(x, y) + rng.normal(0, 0.02, (100, 200))
    posts = noisy + np.where(rng.random(noisy.shape) < 0.25, 1.5, 0.0)
    surface = read_terrain(tile(posts, transform=fine), denoise_radius_m=1.0)
    truth = plane(*surface.grid.centres(*np.indices(surface.grid.shape)))
    assert np.abs(surface.heights - truth).max() < 0.05
    assert abs(float((surface.heights - truth).mean())) < 0.003
    assert abs(float((read_terrain(tile(noisy, transform=fine)).heights - truth).mean())) < 0.001


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


FRAMES = {
    "rows don't run from north to south": Affine(2.0, 0.0, 360_000.0, 0.0, 2.0, 3_695_920.0),
    "cells are oblong": Affine(2.0, 0.0, 360_000.0, 0.0, -1.0, 3_696_000.0),
    "rows don't run east": Affine(3**0.5, 1.0, 360_000.0, 1.0, -(3**0.5), 3_696_000.0),
}


@pytest.mark.parametrize("reason", FRAMES)
def test_odd_frames_become_north_up_squares(tile, reason):
    """South-up, oblong and rotated cells are resampled in the same CRS; a plane stays a plane."""
    a = FRAMES[reason]
    column, row = COLUMN + 0.5, ROW + 0.5
    heights = plane(a.a * column + a.b * row + a.c, a.d * column + a.e * row + a.f)
    terrain = read_terrain(tile(heights, transform=a))
    assert_plane(terrain, tolerance=0.06)  # at the rim the outermost height is held for half a cell
    eroded = ndimage.binary_erosion(terrain.valid, np.ones((3, 3)))
    x, y = terrain.grid.centres(*np.nonzero(eroded))
    np.testing.assert_allclose(terrain.heights[eroded], plane(x, y), atol=2e-4)
    assert terrain.grid.crs == CRS(UTM12)
    assert reason in terrain.notes[0]


@pytest.mark.parametrize(
    ("options", "unit", "factor"),
    [
        ({"unit": "US survey foot"}, None, 1200 / 3937),
        ({"unit": "ft"}, None, 0.3048),
        ({"unit": "m"}, None, 1.0),
        ({}, "us-ft", 1200 / 3937),
        ({}, "ft", 0.3048),
        ({}, "m", 1.0),
        ({"crs": "EPSG:2225+6360"}, None, 1200 / 3937),
    ],
)
def test_feet_become_metres(tile, options, unit, factor):
    """A tile in US survey feet is brought to UTM; heights follow the file's unit, or the one that is given."""
    heights = np.full((40, 50), 400.0) + COLUMN
    corner = Affine(3.0, 0.0, 6_500_000.0, 0.0, -3.0, 2_100_000.0)
    terrain = read_terrain(tile(heights, **{"crs": "EPSG:2225", "transform": corner, **options}), vertical_unit=unit)
    assert terrain.grid.crs == CRS("EPSG:32610")
    assert terrain.grid.cell_m == 0.91
    middle = terrain.heights[20, 20:30]
    assert middle.mean() / factor == pytest.approx(424.5, abs=1.0)
    assert np.diff(middle).mean() / factor == pytest.approx(0.91 / 0.9144, rel=0.01)


@pytest.mark.parametrize("unit", [None, "furlong"])
def test_open_vertical_unit_fails(tile, unit):
    """A map in feet that doesn't say what its heights are in, or says it in an unknown unit, asks for the unit."""
    corner = Affine(3.0, 0.0, 6_500_000.0, 0.0, -3.0, 2_100_000.0)
    with pytest.raises(TerrainError, match="vertical_unit = m, ft or us-ft"):
        read_terrain(tile(crs="EPSG:2225", transform=corner, unit=unit))


def test_degrees_go_to_the_utm_zone_of_the_centre(tile):
    """A tile in degrees becomes a metric one, with square cells of the native size, on the same ground."""
    step = 2.5e-5
    lon, lat = -112.5 + step * (COLUMN + 0.5), 33.4 - step * (ROW + 0.5)
    heights = plane(*Transformer.from_crs("EPSG:4326", UTM12, always_xy=True).transform(lon, lat))
    terrain = read_terrain(tile(heights, crs="EPSG:4326", transform=Affine(step, 0, -112.5, 0, -step, 33.4)))
    assert terrain.grid.crs == CRS(UTM12)
    assert terrain.grid.cell_m == 2.5  # √(2.325 × 2.773) = 2.54 m
    assert_plane(terrain, tolerance=0.08)
    assert_plane(terrain, tolerance=1e-3, rim=2)
    assert "unit is the degree" in terrain.notes[0]


def test_web_mercator_goes_to_utm(tile):
    """Metres of a web map are 20 % off at 33° N (1/cos φ), so the tile goes to UTM."""
    corner = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True).transform(-112.5, 33.4)
    terrain = read_terrain(tile(crs="EPSG:3857", transform=Affine(2.0, 0, corner[0], 0, -2.0, corner[1])))
    assert terrain.grid.crs == CRS(UTM12)
    assert terrain.grid.cell_m == pytest.approx(2.0 * math.cos(math.radians(33.4)), abs=0.05)
    assert "its metres are 20 % off here" in terrain.notes[0]


def test_given_crs_is_brought_to(tile):
    """A metric CRS that is asked for gets the tile, with heights at their places."""
    terrain = read_terrain(tile(), crs="EPSG:26912")
    assert terrain.grid.crs == CRS("EPSG:26912")
    assert "NAD83 / UTM zone 12N was asked for" in terrain.notes[0]
    assert_plane(terrain, tolerance=0.1)


@pytest.mark.parametrize("crs", ["EPSG:4326", "EPSG:2868", "EPSG:3857", "EPSG:32650"])
def test_given_crs_must_be_metric_and_near(tile, crs):
    """A plan can't be carried in degrees, feet, stretched metres or a zone half round the earth."""
    with pytest.raises(TerrainError, match="can't carry a plan"):
        read_terrain(tile(), crs=crs)


def test_missing_crs_is_asked_for_and_taken(tile):
    """Without a CRS the error says how to give one; with one given the tile is read and the note says so."""
    path = tile(crs=None)
    with pytest.raises(TerrainError, match=r'crs = "EPSG:32612" under \[terrain\].*--crs EPSG:32612'):
        read_terrain(path)
    terrain = read_terrain(path, crs=UTM12)
    assert terrain.grid.crs == CRS(UTM12)
    assert terrain.notes[0] == "the file names no CRS; taken as WGS 84 / UTM zone 12N, as given"


@pytest.mark.parametrize("with_prj", [True, False])
def test_ascii_grid_takes_its_crs_from_the_prj_beside_it(tmp_path, with_prj):
    """An ESRI ASCII grid is read with its .prj; without it the error names the .prj as one way out."""
    path = tmp_path / "dem.asc"
    rows = "\n".join(" ".join(f"{z:.4f}" for z in row) for row in plane(X, Y))
    header = "ncols 50\nnrows 40\nxllcorner 360000\nyllcorner 3695920\ncellsize 2\nNODATA_value -9999\n"
    path.write_text(header + rows + "\n")
    if with_prj:
        path.with_suffix(".prj").write_text(CRS(UTM12).to_wkt(WktVersion.WKT1_ESRI))
        assert_plane(read_terrain(path), tolerance=1e-3)
    else:
        with pytest.raises(TerrainError, match=r"dem\.prj"):
            read_terrain(path)


def test_srtm_tile_is_read(tmp_path):
    """An HGT file, placed by its name, goes to UTM zone 16 with its voids left and a 9.73 m error assumed."""
    lat = 37.0 - np.arange(1201)[:, None] / 1200
    heights = np.rint(np.tile(200 + 100 * (lat - 36.0), (1, 1201))).astype(">i2")
    heights[:3, :3] = -32768
    path = tmp_path / "N36W085.hgt"
    path.write_bytes(heights.tobytes())
    terrain = read_terrain(path, fill_voids_m2=0)
    assert terrain.grid.crs == CRS("EPSG:32616")
    assert terrain.grid.cell_m == 83.0
    assert terrain.vertical_sigma_m == 9.73  # SRTM specification: 16 m LE90 / 1.6449
    x, y = Transformer.from_crs("EPSG:4326", "EPSG:32616", always_xy=True).transform([-84.5, -84.2], [36.5, 36.9])
    np.testing.assert_allclose(sample_heights(terrain, x, y), [250.0, 290.0], atol=0.6)


def test_real_relief_survives_the_way_to_utm(tile):
    """The Jacksboro fault (SRTM, 3 arc seconds) keeps its relief, every cell the height interpolated at its place."""
    with np.load(matplotlib.cbook.get_sample_data("jacksboro_fault_dem.npz", asfileobj=False)) as dem:
        heights, step, west, north = dem["elevation"], float(dem["dx"]), float(dem["xmin"]), float(dem["ymax"])
    path = tile(heights, dtype="int16", crs="EPSG:4326", transform=Affine(step, 0, west, 0, -step, north))
    terrain = read_terrain(path)
    assert terrain.grid.crs == CRS("EPSG:32616")
    assert terrain.relief_m == pytest.approx(float(np.ptp(heights)), rel=0.015)  # a peak falls between cell centres
    to_degrees = Transformer.from_crs(terrain.grid.crs, "EPSG:4326", always_xy=True)
    longitude, latitude = to_degrees.transform(*terrain.grid.centres(*np.indices(terrain.grid.shape)))
    places = [(north - latitude) / step - 0.5, (longitude - west) / step - 0.5]
    bilinear = ndimage.map_coordinates(heights.astype(float), places, order=1, mode="nearest")
    assert np.nanmax(np.abs(terrain.heights - bilinear)) < 1e-3
    assert terrain.valid.mean() > 0.9


def test_coarser_cells_average_on_the_way_in(tile, monkeypatch):
    """Blocks are averaged strip by strip; the strips don't show, and the grid keeps the tile's corner."""
    path = tile()
    whole = read_terrain(path, cell_m=8.0)
    monkeypatch.setattr("swalekit.formats.terrain.tile_heights._STRIP_CELLS", 500)
    strips = read_terrain(path, cell_m=8.0)
    assert strips.grid.transform == Affine(8.0, 0, 360_000.0, 0, -8.0, 3_696_000.0)
    np.testing.assert_array_equal(whole.heights, strips.heights)
    assert_plane(whole, tolerance=0.11)  # the last column is the mean of half a block
    assert whole.notes[0] == "averaged blocks of 4 × 4 cells of 2 m"
    assert whole.vertical_sigma_m == 0.10


def test_cell_between_multiples_goes_to_the_nearest(tile):
    """5 m from 2 m cells: 2 cells are averaged; where cells are resampled anyway, 5 m is reached exactly."""
    terrain = read_terrain(tile(), cell_m=5.0)
    assert terrain.grid.cell_m == 4.0
    assert terrain.notes[0] == "cell_m = 5 taken as 4, a whole number of the file's cells"
    assert read_terrain(tile(), cell_m=5.0, crs="EPSG:26912").grid.cell_m == 5.0


def test_finer_cells_than_the_tile_fail(tile):
    """Averaging can't refine."""
    with pytest.raises(TerrainError, match=r"cell_m = 0.5 is finer than the cells .* \(2 m\)"):
        read_terrain(tile(), cell_m=0.5)


VRT = """<VRTDataset rasterXSize="50" rasterYSize="40"><VRTRasterBand dataType="Float32" band="1"><SimpleSource>
<SourceFilename relativeToVRT="1">tile.tif</SourceFilename></SimpleSource></VRTRasterBand></VRTDataset>"""


@pytest.mark.parametrize("name", ["mosaic.vrt", "renamed.tif"])
def test_virtual_rasters_are_refused(tile, tmp_path, name):
    """A virtual raster is refused by content, whatever its name, since it can pull in other files."""
    tile()
    (tmp_path / name).write_text(VRT)
    with pytest.raises(TerrainError, match=rf"{name}.*virtual rasters are refused"):
        read_terrain(tmp_path / name)


@pytest.mark.parametrize("seed", range(25))
def test_damaged_files_fail_cleanly(tile, capfd, seed):
    """A good file with bytes flipped, or cut short, is read or refused; nothing else comes out of it."""
    path, rng = tile(compress="deflate", tiled=True, blockxsize=16, blockysize=16), np.random.default_rng(seed)
    content = bytearray(path.read_bytes())
    for place in rng.integers(4, len(content), 20):
        content[place] = rng.integers(256)
    path.write_bytes(content[: len(content) if seed % 2 else rng.integers(8, len(content))])
    try:
        told = read_terrain(path, memory_bytes=10**9).grid.crs.name
    except TerrainError as fault:
        told = str(fault)
    assert "tile.tif" in told or "UTM zone 12N" in told
    assert "\n" not in told
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize(
    ("options", "found"),
    [
        ({"heights": np.full((4, 4), -9999.0)}, "every cell is void"),
        ({"heights": np.ones((1, 4))}, "has 1 × 4 cells"),
        ({"heights": np.ones((1, 1))}, "has 1 × 1 cells"),
        ({"transform": None}, "no position"),
        ({"heights": np.ones((3, 4, 4)), "dtype": "uint8", "photometric": "RGB"}, "holds a picture"),
        ({"crs": "EPSG:4326"}, "nowhere on the earth"),
        ({"transform": Affine(1e-5, 0, 360_000, 0, -1e-5, 3_696_000)}, "cells of 1e-05 m, which is no terrain"),
        ({"crs": "EPSG:4326", "transform": Affine(0.1, 0, 10, 0, -0.1, 88)}, "beyond UTM"),
    ],
)
def test_unusable_tiles_fail(tile, options, found):
    """Tiles without ground, place or extent are refused with the reason and the file's name."""
    with catch_warnings():
        simplefilter("ignore", rasterio.errors.NotGeoreferencedWarning)
        path = tile(**options)
    with pytest.raises(TerrainError, match=found):
        read_terrain(path)


@pytest.mark.parametrize(
    ("options", "found"),
    [
        ({"vertical_unit": "yards"}, "vertical_unit is 'yards'"),
        ({"cell_m": 0.0}, "cell_m is 0"),
        ({"crs": "EPSG:nowhere"}, "crs is 'EPSG:nowhere'"),
        ({"vertical_sigma_m": 0.0}, "vertical_sigma_m is 0"),
        ({"fill_voids_m2": -1.0}, "greatest_m2 is -1"),
        ({"denoise_radius_m": -1.0}, "radius_m is -1"),
    ],
)
def test_wrong_choices_fail(tile, options, found):
    """A choice that breaks its rule is named with its value."""
    with pytest.raises(InputError, match=found):
        read_terrain(tile(plane(X, Y) + np.where(COLUMN == 20, np.nan, 0)), **options)


def test_vertical_error_is_taken_as_given(tile):
    """A given error is used without a note; 10 m cells are assumed to err by 1 m (common practice)."""
    assert read_terrain(tile(), vertical_sigma_m=0.05).notes == ()
    ten = read_terrain(tile(transform=Affine(10.0, 0, 360_000, 0, -10.0, 3_696_000)))
    assert ten.vertical_sigma_m == 1.0
