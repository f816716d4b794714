"""Terrain from point clouds: made ground, known truth."""

import json
import struct
import tracemalloc

import laspy
import lazrs
import numpy as np
import pytest
import rasterio
from affine import Affine
from made_clouds import GROUND, SOUTH, UNCLASSED, UTM12, WEST, hill, places, surveyed, valley, write_cloud
from pyproj import CRS, Transformer

import swalekit
from swalekit.errors import TerrainError
from swalekit.formats.inputs.file_hash import sha256
from swalekit.formats.terrain import footprint, las_points, point_grid
from swalekit.formats.terrain.raster import read_terrain


def errors_m(terrain):
    """Heights less the hill's at the cell centres, in cells that hold one [m]."""
    x, y = terrain.grid.centres(*np.nonzero(terrain.valid))
    to_utm12 = Transformer.from_crs(terrain.grid.crs, UTM12, always_xy=True)
    return terrain.heights[terrain.valid] - hill(*to_utm12.transform(x, y))


def told(terrain, words):
    """The one note that holds the words."""
    (note,) = [note for note in terrain.notes if words in note]
    return note


@pytest.mark.parametrize("name", ["survey.las", "survey.laz", "SURVEY.LAZ"])
def test_ground_points_give_the_ground(tmp_path, name):
    """Cells are means of the ground points: plants don't count, and heights are true within the noise of a mean."""
    terrain = read_terrain(write_cloud(tmp_path / name, *surveyed(60_000)))
    assert terrain.grid.cell_m == 1.0
    assert terrain.grid.crs == CRS(UTM12)
    assert terrain.grid.shape == (80, 100)
    assert terrain.valid.mean() > 0.998  # gaps at the edge stay
    error = errors_m(terrain)
    assert abs(error.mean()) < 0.002
    assert error.std() < 0.03  # noise 0.03 / √5 of a mean of five, and their mean place beside the middle on 5 %
    assert terrain.vertical_sigma_m == 0.10
    assert "points 0.43" in told(terrain, "vertical error assumed")


def test_las_and_laz_give_one_terrain(tmp_path):
    """Packing doesn't change a byte."""
    survey = surveyed(20_000)
    las, laz = (read_terrain(write_cloud(tmp_path / f"survey.{suffix}", *survey)) for suffix in ("las", "laz"))
    np.testing.assert_array_equal(las.heights, laz.heights)
    assert las.notes == laz.notes
    assert (tmp_path / "survey.laz").stat().st_size < (tmp_path / "survey.las").stat().st_size


@pytest.mark.parametrize("point_format", range(9))
@pytest.mark.parametrize("suffix", ["las", "laz"])
def test_every_version_and_format_is_read(tmp_path, point_format, suffix):
    """Formats 0 to 8 of LAS 1.2 to 1.4 carry the same ground."""
    survey = surveyed(6_000)
    versions = ["1.4"] if point_format > 5 else ["1.3", "1.4"] if point_format > 3 else ["1.2", "1.3", "1.4"]
    for version in versions:
        if point_format in (4, 5) and suffix == "laz":
            continue  # with wave packets, which laspy doesn't pack
        path = write_cloud(tmp_path / f"{version}.{suffix}", *survey, version=version, point_format=point_format)
        terrain = read_terrain(path)
        assert abs(errors_m(terrain)).max() < 0.25
        assert "4,2" in told(terrain, "classed as ground")


def test_chunks_of_any_length_are_read(tmp_path):
    """A LAZ file may be packed in chunks of different lengths, as those for viewing are."""
    whole = write_cloud(tmp_path / "whole.laz", *surveyed(20_000))
    packed = lazrs.LazVlr.new_for_compression(6, 0, use_variable_size_chunks=True)
    cloud = laspy.read(whole)
    header = cloud.header
    header.vlrs.append(laspy.vlrs.known.LasZipVlr(packed.record_data()))
    header.set_compressed(True)
    with (tmp_path / "pieces.laz").open("wb+") as file:
        header.write_to(file)
        packer = lazrs.LasZipCompressor(file, packed)
        for piece in np.split(cloud.points.array, [700, 9_000]):
            packer.compress_many(np.frombuffer(piece.tobytes(), np.uint8))
            packer.finish_current_chunk()
        packer.done()
    terrain = read_terrain(tmp_path / "pieces.laz")
    np.testing.assert_array_equal(terrain.heights, read_terrain(whole).heights)


def test_density_and_gaps_are_told(tmp_path):
    """The notes tell points, class, density and gaps; a cell is the least plain one with four points on average."""
    x, y, z, kind = surveyed(60_000)
    bare = (x > WEST + 40) & (x < WEST + 50) & (y > SOUTH + 40) & (y < SOUTH + 56)
    terrain = read_terrain(write_cloud(tmp_path / "a.laz", x[~bare], y[~bare], z[~bare], kind[~bare]))
    note = told(terrain, "classed as ground (class 2)")
    n_ground, n = np.count_nonzero(kind[~bare] == GROUND), np.count_nonzero(~bare)
    assert f"{n_ground:,} points of {n:,} taken" in note
    assert float(note.split(": ")[1].removesuffix(" a m²")) == pytest.approx(n_ground / (8_000 - 160), rel=0.02)
    assert "cells of 1 m, the least plain width with four points or more" in told(terrain, "height of a cell")
    share = float(told(terrain, "survey's outline").split(" ")[0])
    assert share == pytest.approx(100 * 160 / 8_000 + 100 * np.exp(-5.25), abs=0.4)
    assert "left void" in told(terrain, "left void")  # the bare patch; the gaps of chance are filled
    assert (~terrain.valid).sum() == pytest.approx(160, abs=25)


def test_outline_follows_the_survey():
    """Cells beside an L and a ring's inside are told apart: those are no gaps, these are."""
    corner = np.ones((8, 8), np.int32)
    corner[:5, 3:] = 0
    assert point_grid.share_of_gaps(corner) == 0.0
    ring = np.ones((4, 5), np.int32)
    ring[1:3, 1:4] = 0
    assert point_grid.share_of_gaps(ring) == pytest.approx(6 / 20)


@pytest.mark.parametrize(("n", "cell_m"), [(600_000, 0.25), (200_000, 0.5), (50_000, 1.0), (10_000, 2.0), (1_800, 5.0)])
def test_cells_suit_the_density(tmp_path, n, cell_m):
    """More points, smaller cells, by plain steps, not below 0.25 m."""
    x, y = places(n)
    terrain = read_terrain(write_cloud(tmp_path / "a.las", x, y, hill(x, y)))
    assert terrain.grid.cell_m == cell_m
    assert n * cell_m**2 / 8_000 >= 3.9
    assert terrain.vertical_sigma_m == (0.10 if n > 1_800 else 0.20)  # points more than 2 m apart, as quality level 3


def test_wanted_cell_is_taken(tmp_path):
    """A cell that is given is taken as it is, on whole multiples; one finer than the points are apart is refused."""
    path = write_cloud(tmp_path / "a.laz", *surveyed(60_000))
    terrain = read_terrain(path, cell_m=3.0)
    assert terrain.grid.cell_m == 3.0
    assert terrain.grid.bounds[0] % 3.0 == terrain.grid.bounds[3] % 3.0 == 0.0
    assert read_terrain(path, cell_m=0.4).grid.cell_m == 0.4
    with pytest.raises(TerrainError, match=r"cell_m = 0.2 is finer than the points .* are apart \(0.43\d m\)"):
        read_terrain(path, cell_m=0.2)


def test_one_point_a_cell_is_the_raster(tmp_path):
    """Points in the middle of every cell give the raster of their heights."""
    row, column = np.mgrid[:80, :100]
    x, y = WEST + 0.5 + column, SOUTH + 79.5 - row
    path = write_cloud(tmp_path / "a.laz", x.ravel(), y.ravel(), hill(x, y).ravel())
    terrain = read_terrain(path, cell_m=1.0)
    assert terrain.grid.transform == Affine(1.0, 0.0, WEST, 0.0, -1.0, SOUTH + 80)
    np.testing.assert_allclose(terrain.heights, hill(x, y), atol=6e-4)


def test_survey_without_classes_takes_low_points(tmp_path):
    """Unclassed, the low points of a cell are close above or below the ground, and a note says what stays in them."""
    x, y, z, _ = surveyed(120_000, share_of_plants=0.5)
    rng = np.random.default_rng(9)
    z[rng.integers(0, z.size, 40)] -= 25.0  # false echoes
    terrain = read_terrain(write_cloud(tmp_path / "a.laz", x, y, z, UNCLASSED), cell_m=1.0)
    error = errors_m(terrain)
    assert np.abs(np.median(error)) < 0.08
    assert np.mean(np.abs(error) < 0.2) > 0.99
    assert np.mean(error < -5.0) < 0.001  # one alone below a dozen others doesn't count
    assert "none is classed as ground" in told(terrain, "points of 120,000 taken")
    assert "unless denoise_radius_m takes them off" in told(terrain, "plants and roofs stay")


def test_objects_of_an_unclassed_survey_come_off_as_asked(tmp_path):
    """Shrubs without ground points beneath them stay in the heights until denoise_radius_m takes them off."""
    x, y = places(80_000)
    z, shrub = hill(x, y), np.hypot(x - WEST - 50, y - SOUTH - 40) < 1.5
    path = write_cloud(tmp_path / "a.laz", x, y, z + 1.2 * shrub, UNCLASSED)
    assert errors_m(read_terrain(path)).max() > 1.0
    assert errors_m(read_terrain(path, denoise_radius_m=3.0)).max() < 0.3


def test_noise_and_withheld_points_are_left_out(tmp_path):
    """Classes 7 and 18, withheld points, and heights that are none don't count, with ground classed or not."""
    x, y, z, _ = surveyed(40_000, share_of_plants=0.0)
    wild = np.arange(x.size) % 8
    z = z + np.choose(wild, [0, 0, 0, 0, -50.0, 300.0, 20_000.0, 9.0])
    withheld = (wild == 7).astype(np.uint8)
    for plain in (GROUND, UNCLASSED):
        classes = np.choose(wild, [plain, plain, plain, plain, 7, 18, plain, plain])
        terrain = read_terrain(write_cloud(tmp_path / f"{plain}.laz", x, y, z, classes, withheld=withheld))
        assert np.abs(errors_m(terrain)).max() < 0.3
        assert "20,000 points of 40,000" in told(terrain, "taken")


def test_overlap_of_swaths(tmp_path):
    """What old formats class as overlap is left out; the flag of new ones marks both swaths, and both stay."""
    x, y, z, _ = surveyed(20_000, share_of_plants=0.0)
    overlap = np.arange(x.size) % 4 == 0
    old = write_cloud(
        tmp_path / "old.las", x, y, z - 9.0 * overlap, np.where(overlap, 12, UNCLASSED), version="1.2", point_format=1
    )
    terrain = read_terrain(old)
    assert np.abs(errors_m(terrain)).max() < 0.3
    assert "15,000 points" in told(terrain, "points of 20,000 taken")
    new = read_terrain(write_cloud(tmp_path / "new.las", x, y, z, overlap=overlap.astype(np.uint8)))
    assert "20,000 points of 20,000" in told(new, "taken")


def test_key_points_are_ground_in_old_formats(tmp_path):
    """Class 8 is a ground point in formats 0 to 5, and reserved later."""
    x, y, z, _ = surveyed(20_000, share_of_plants=0.0)
    kind = np.where(np.arange(x.size) % 2, 8, GROUND)
    old = read_terrain(write_cloud(tmp_path / "old.las", x, y, z, kind, version="1.2", point_format=1))
    new = read_terrain(write_cloud(tmp_path / "new.las", x, y, z, kind))
    assert "20,000 points of 20,000" in told(old, "taken")
    assert "10,000 points of 20,000" in told(new, "taken")


def geo_keys(**keys):
    """A record of GeoTIFF keys, as LAS 1.2 names its reference."""
    entries = b"".join(struct.pack("<4H", int(key[1:]), 0, 1, value) for key, value in sorted(keys.items()))
    data = struct.pack("<4H", 1, 1, 0, len(keys)) + entries
    return laspy.VLR("LASF_Projection", 34735, "", data)


FEET = 1200 / 3937


CALIFORNIA = {"k1024": 1, "k3072": 2225}


VERTICAL = [
    ({"crs": "EPSG:2225+6360"}, None),
    ({"crs": "EPSG:2225"}, "us-ft"),
    ({"records": [geo_keys(**CALIFORNIA, k4099=9003)]}, None),
    ({"records": [geo_keys(**CALIFORNIA, k4096=6360)]}, None),
]


@pytest.mark.parametrize(("reference", "unit"), VERTICAL)
def test_survey_feet_become_metres(tmp_path, reference, unit):
    """Points in US survey feet go to UTM before they are gridded; heights by CRS, keys or the unit that is given."""
    x, y, z, kind = surveyed(60_000, share_of_plants=0.0)
    x_m, y_m = x, y + 780_000.0  # in California's first zone, a UTM zone further west
    to_feet = Transformer.from_crs("EPSG:32610", "EPSG:2225", always_xy=True)
    x_ft, y_ft = to_feet.transform(x_m, y_m)
    old = {"version": "1.2", "point_format": 1, "crs": None} if "records" in reference else {}
    path = write_cloud(tmp_path / "a.laz", x_ft, y_ft, z / FEET, kind, **old, **reference)
    terrain = read_terrain(path, vertical_unit=unit)
    assert terrain.grid.crs == CRS("EPSG:32610")
    assert terrain.grid.cell_m == 1.0
    x_c, y_c = terrain.grid.centres(*np.nonzero(terrain.valid))
    error = terrain.heights[terrain.valid] - hill(x_c, y_c - 780_000.0)
    assert abs(np.median(error)) < 0.002
    assert error.std() < 0.03
    assert "its unit is the US survey foot" in told(terrain, "points brought from")
    assert "0.3048006 m a unit" in told(terrain, "heights converted to metres")


def test_open_unit_under_a_map_in_feet_is_asked_for(tmp_path):
    """A map in feet that doesn't say what its heights are in asks for the unit."""
    x, y, z, kind = surveyed(2_000)
    with pytest.raises(TerrainError, match="leaves the unit of its heights open; name it: vertical_unit"):
        read_terrain(write_cloud(tmp_path / "a.laz", x + 6e6, y, z, kind, crs="EPSG:2225", scale=0.01))


def test_degrees_go_to_utm(tmp_path):
    """Points in degrees are brought to the UTM zone of their middle, and the cell suits their density in metres."""
    x, y, z, kind = surveyed(60_000)
    lon, lat = Transformer.from_crs(UTM12, "EPSG:4326", always_xy=True).transform(x, y)
    terrain = read_terrain(write_cloud(tmp_path / "a.laz", lon, lat, z, kind, crs="EPSG:4326", scale=1e-8))
    assert terrain.grid.crs == CRS(UTM12)
    assert terrain.grid.cell_m == 1.0
    assert errors_m(terrain).std() < 0.03


def test_crs_is_asked_for_and_taken(tmp_path):
    """Without a CRS the error says how to give one; a projection of its own in GeoTIFF keys isn't taken for degrees."""
    survey = surveyed(20_000)
    own = write_cloud(
        tmp_path / "own.las",
        *survey,
        crs=None,
        version="1.2",
        point_format=1,
        records=[geo_keys(k1024=1, k2048=4326, k3072=32767)],
    )
    for path in (write_cloud(tmp_path / "none.las", *survey, crs=None), own):
        with pytest.raises(TerrainError, match=r'crs = "EPSG:32612" under \[terrain\].*--crs EPSG:32612'):
            read_terrain(path)
        terrain = read_terrain(path, crs=UTM12)
        assert terrain.grid.crs == CRS(UTM12)
        assert told(terrain, "the file names no CRS; taken as WGS 84 / UTM zone 12N")
    other = read_terrain(write_cloud(tmp_path / "utm.las", *survey), crs="EPSG:26912")
    assert other.grid.crs == CRS("EPSG:26912")


def test_tiles_of_a_folder_are_one_survey(tmp_path):
    """A survey cut in four, its seams across cells, gives the terrain of the whole to the byte."""
    x, y, z, kind = surveyed(30_000)
    whole = read_terrain(write_cloud(tmp_path / "whole.laz", x, y, z, kind))
    quarter = 2 * (x > WEST + 50.3) + (y > SOUTH + 33.7)
    folder = tmp_path / "tiles"
    folder.mkdir()
    for part in range(4):
        of = quarter == part
        write_cloud(folder / f"{part}.la{'sz'[part % 2]}", x[of], y[of], z[of], kind[of], point_format=6 + part % 3)
    joined = read_terrain(folder)
    np.testing.assert_array_equal(joined.heights, whole.heights)
    assert joined.grid == whole.grid
    assert told(joined, "4 point clouds joined")


def test_folders_that_do_not_go_together_are_refused(tmp_path):
    """Rasters among clouds, another CRS, and an unclassed tile among classed ones are each one line."""
    survey = surveyed(5_000)
    write_cloud(tmp_path / "a.laz", *survey)
    other = write_cloud(tmp_path / "b.laz", *survey, crs="EPSG:26912")
    with pytest.raises(TerrainError, match=r"b.laz' is in NAD83 / UTM zone 12N, .*a.laz' in WGS 84 / UTM zone 12N"):
        read_terrain(tmp_path)
    write_cloud(other, *survey[:3], UNCLASSED)
    with pytest.raises(TerrainError, match=r"b.laz' is not classified, and other files of .* are"):
        read_terrain(tmp_path)
    write_cloud(other, *survey[:3], 9)  # a lake has no ground
    assert read_terrain(tmp_path).valid.any()
    with rasterio.open(
        tmp_path / "c.tif", "w", driver="GTiff", width=4, height=4, count=1, dtype="float32", crs=UTM12,
        transform=Affine(1.0, 0.0, WEST, 0.0, -1.0, SOUTH),
    ) as raster:  # fmt: skip
        raster.write(np.ones((1, 4, 4), np.float32))
    with pytest.raises(TerrainError, match=r"holds rasters and point clouds, such as 'c\.tif' and 'a\.laz'"):
        read_terrain(tmp_path)


@pytest.mark.parametrize("plain", [GROUND, UNCLASSED])
def test_chunks_and_strips_do_not_show(tmp_path, monkeypatch, plain):
    """The size of a chunk, of a strip, and the order of the points change no byte."""
    x, y, z, _ = surveyed(30_000)
    path = write_cloud(tmp_path / "a.laz", x, y, z, plain)
    whole = read_terrain(path)
    monkeypatch.setattr(las_points, "_CHUNK_BYTES", 30 * 777)
    monkeypatch.setattr(point_grid, "_STRIP_CELLS", 999)
    chunked = read_terrain(path)
    order = np.random.default_rng(1).permutation(x.size)
    shuffled = read_terrain(write_cloud(tmp_path / "b.laz", x[order], y[order], z[order], plain))
    for other in (chunked, shuffled):
        assert other.heights.tobytes() == whole.heights.tobytes()
        assert other.notes == whole.notes


def test_footprint_is_held_by_few_squares(tmp_path, monkeypatch):
    """Where the squares are many they are doubled, however the points come, and density and cell stay."""
    path = write_cloud(tmp_path / "a.laz", *surveyed(60_000))
    fine = read_terrain(path)
    monkeypatch.setattr(footprint, "_MOST_SQUARES", 700)
    coarse = read_terrain(path)
    assert coarse.grid == fine.grid
    np.testing.assert_array_equal(coarse.heights, fine.heights)


def test_memory_is_bounded_by_chunk_and_grid(tmp_path, monkeypatch):
    """Four times the points on the same ground take no more memory."""
    monkeypatch.setattr(las_points, "_CHUNK_BYTES", 30 * 20_000)
    monkeypatch.setattr(footprint, "_MOST_SQUARES", 10_000)
    peaks = []
    for n in (100_000, 400_000):
        path = write_cloud(tmp_path / f"{n}.las", *surveyed(n))
        tracemalloc.start()
        read_terrain(path, cell_m=2.0)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < 1.1 * peaks[0]
    assert peaks[1] < 400_000 * 24  # what the coordinates alone would take


def test_grid_beyond_memory_lies_on_disk(tmp_path):
    """Worked on from disk the terrain is the same to the byte."""
    path = write_cloud(tmp_path / "a.laz", *surveyed(60_000))
    inside, outside = read_terrain(path), read_terrain(path, memory_bytes=150_000)
    np.testing.assert_array_equal(inside.heights, outside.heights)
    assert told(outside, "worked on from disk")


KEYS = {
    "storm.depth_mm": 50.0,
    "soil.curve_number": 82.0,
    "levels.interval_m": 1.5,
    "terrain.vertical_sigma_m": 0.05,
} | {
    "section.depth_step_m": 0.01  # a coarser step would hide what the ground gives, or blow it up
}


@pytest.mark.compiled
def test_plan_from_a_cloud_is_that_from_a_raster(tmp_path):
    """Ground points of a dense survey give the plan of the true raster within 3 %, and both hold the storm."""
    row, column = np.mgrid[:100, :120]
    profile = {"driver": "GTiff", "count": 1, "dtype": "float32", "crs": UTM12, "height": 100, "width": 120}
    with rasterio.open(
        tmp_path / "a.tif", "w", transform=Affine(1.0, 0.0, WEST, 0.0, -1.0, SOUTH + 100), **profile
    ) as raster:
        raster.write(valley(WEST + 0.5 + column, SOUTH + 99.5 - row).astype(np.float32), 1)
    x, y = places(120_000, width=120.0, height=100.0)
    write_cloud(tmp_path / "a.laz", x, y, valley(x, y) + np.random.default_rng(2).normal(0, 0.02, x.size))
    totals = []
    for name in ("a.tif", "a.laz"):
        brief = swalekit.site_from_values({**KEYS, "terrain.file": str(tmp_path / name), "terrain.cell_m": 1.0})
        out = tmp_path / f"of {name}"
        swalekit.write_plan(swalekit.plan(brief, swalekit.terrain_of(brief)), out, report=False)
        summary = json.loads((out / "summary.json").read_text())
        (tile,) = [given for given in summary["inputs"] if given["key"] == "terrain.file"]
        assert tile["sha256"] == sha256(tmp_path / name)
        totals.append(summary["totals"])
    raster, cloud = totals
    assert raster["swales"] == cloud["swales"] >= 5
    for figure in ("length_m", "catchment_m2", "runoff_m3", "dug_m3"):
        assert cloud[figure] == pytest.approx(raster[figure], rel=0.03)
    assert min(raster["held_storm_mm"], cloud["held_storm_mm"]) >= KEYS["storm.depth_mm"]
