"""A terrain that comes as a folder of tiles, and one that is larger than memory."""

import json
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import rasterio
from affine import Affine

import swalekit
from swalekit.errors import TerrainError
from swalekit.formats.inputs.file_hash import sha256
from swalekit.formats.terrain import mapped_arrays, memory
from swalekit.formats.terrain.mapped_arrays import MappedArrays
from swalekit.results.plan.again import plan_again, read_recorded_plan

CELL_M, SHAPE = 2.0, (150, 170)
CUTS = {"nw": (0, 0, 70, 90), "ne": (0, 90, 70, 170), "sw": (70, 0, 150, 90), "se": (70, 90, 150, 170)}
"""First row and column, and the ones after the last, of each tile."""


def ground():
    """A rough hillside with a valley, a hollow and a void across the seams of the tiles."""
    row, column = np.mgrid[: SHAPE[0], : SHAPE[1]]
    heights = 60.0 - 0.12 * CELL_M * row + 0.02 * np.abs(column - 84) + 1.5 * np.sin(row / 19) * np.cos(column / 13)
    heights += np.random.default_rng(4).normal(0, 0.02, SHAPE)
    heights -= 9.0 * np.exp(-((row - 70) ** 2 + (column - 90) ** 2) / 80)
    heights[66:74, 60:63] = np.nan
    heights[69:71, 120] = np.nan
    return heights.astype(np.float32)


def write_tile(path, heights, *, top=0, left=0):
    """A GeoTIFF of part of the ground."""
    transform = Affine(CELL_M, 0, 500_000 + left * CELL_M, 0, -CELL_M, 4_000_000 - top * CELL_M)
    profile = {"height": heights.shape[0], "width": heights.shape[1], "count": 1, "dtype": "float32", "nodata": -9999.0}
    with rasterio.open(path, "w", driver="GTiff", crs="EPSG:32630", transform=transform, **profile) as file:
        file.write(np.nan_to_num(heights, nan=-9999.0), 1)


@pytest.fixture
def folders(tmp_path):
    """The ground as one tile, and cut in four."""
    heights = ground()
    (tmp_path / "one").mkdir()
    (tmp_path / "four").mkdir()
    write_tile(tmp_path / "one" / "whole.tif", heights)
    for name, (top, left, bottom, right) in CUTS.items():
        write_tile(tmp_path / "four" / f"{name}.tif", heights[top:bottom, left:right], top=top, left=left)
    return SimpleNamespace(one=tmp_path / "one" / "whole.tif", four=tmp_path / "four", root=tmp_path)


def planned(terrain, out, **keys):
    """Folder of a plan on a terrain."""
    site = swalekit.site_from_values(
        {
            "terrain": {"file": str(terrain), **keys},
            "storm": {"depth_mm": 50.0},
            "soil": {"curve_number": 82.0},
            "levels": {"interval_m": 3.0},
        }
    )
    swalekit.write_plan(swalekit.plan(site, swalekit.terrain_of(site)), out, report=False)
    return out


@pytest.mark.compiled
@pytest.mark.parametrize("keys", [{}, {"memory_gb": 0.0005}], ids=["in memory", "on disk"])
def test_a_tile_cut_in_four_gives_the_same_plan(folders, keys):
    """Lines, catchments, hollows, surface and totals are those of the tile in one piece, to the byte."""
    one, four = planned(folders.one, folders.root / "a"), planned(folders.four, folders.root / "b", **keys)
    totals, swales = (json.loads((one / "summary.json").read_text())[part] for part in ("totals", "swales"))
    assert len(swales) >= 5
    assert totals["dug_m3"] > 100
    for file in (
        "swales.geojson",
        "site.gpkg",
        "design_surface.tif",
        "design_surface_fine.tif",
        "cut_fill.tif",
        "earthwork.csv",
        "site_water.csv",
    ):
        assert (one / file).read_bytes() == (four / file).read_bytes(), file
    assert json.loads((four / "summary.json").read_text())["totals"] == totals


@pytest.mark.compiled
def test_lines_and_water_cross_the_seams(folders):
    """The ground of the test puts a swale, its catchment and a hollow on more than one tile."""
    design = swalekit.plan(
        swalekit.site_from_values(
            {
                "terrain": {"file": str(folders.four)},
                "storm": {"depth_mm": 50.0},
                "soil": {"curve_number": 82.0},
                "levels": {"interval_m": 3.0},
            }
        ),
        swalekit.read_terrain(folders.four),
    )
    seam_x, seam_y = 500_000 + 90 * CELL_M, 4_000_000 - 70 * CELL_M
    xs, ys = zip(
        *((swale.line.xy[:, 0] - seam_x, swale.line.xy[:, 1] - seam_y) for swale in design.swales), strict=True
    )
    assert any(x.min() < 0 < x.max() for x in xs)
    assert any(y.min() < 0 < y.max() for y in ys)
    assert any(hollow.volume_m3 > 100 for hollow in design.hollows)


def test_the_terrain_on_disk_says_so(folders):
    """A terrain larger than the memory given lies in mapped files, and a note tells."""
    terrain = swalekit.read_terrain(folders.one, memory_bytes=500_000)
    assert isinstance(terrain.grid.allocate, MappedArrays)
    assert isinstance(terrain.heights.base, np.memmap)
    assert any("worked on from disk" in note for note in terrain.notes)
    assert terrain.grid == swalekit.read_terrain(folders.one).grid


def test_no_file_stays_behind(folders, tmp_path, monkeypatch):
    """The files of mapped arrays have no name."""
    scratch = tmp_path / "scratch"
    scratch.mkdir()
    monkeypatch.setattr(memory, "gettempdir", lambda: str(scratch))
    terrain = swalekit.read_terrain(folders.one, memory_bytes=500_000)
    assert terrain.grid.allocate.folder == str(scratch)
    assert list(scratch.iterdir()) == []


def test_bare_ground_on_disk_is_the_same(folders):
    """A surface worked on from disk is cleared to the same heights."""
    on_disk, in_memory = (
        swalekit.read_terrain(folders.one, memory_bytes=memory_bytes, denoise_radius_m=4.0)
        for memory_bytes in (500_000, None)
    )
    assert isinstance(on_disk.heights.base, np.memmap)
    np.testing.assert_array_equal(on_disk.heights, in_memory.heights)


def test_a_full_disk_is_told_before_the_work(folders, monkeypatch):
    """Without room on the disk the message names its folder and a cell that fits."""
    monkeypatch.setattr(memory, "free_disk_bytes", lambda _: 100_000)
    with pytest.raises(TerrainError, match=r"0\.0001 GB of disk in .*TMPDIR.*cell_m = 4$"):
        swalekit.read_terrain(folders.one, memory_bytes=300_000)


def test_a_disk_that_fills_up_is_one_line(monkeypatch):
    """Room that is gone by the time an array is made is an error of our own."""
    monkeypatch.setattr(
        mapped_arrays, "_reserve", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device"))
    )
    with pytest.raises(TerrainError, match=r"no room for 8e-09 GB of it \(No space left on device\); name a folder"):
        MappedArrays(str(Path.cwd().anchor))((2,), np.float32)


def test_a_gap_between_tiles_is_void(tmp_path):
    """Ground that no tile covers has no height."""
    write_tile(tmp_path / "a.tif", np.full((2, 2), 5.0, np.float32))
    write_tile(tmp_path / "b.tif", np.full((2, 2), 6.0, np.float32), left=20, top=20)
    terrain = swalekit.read_terrain(tmp_path, fill_voids_m2=0)
    assert terrain.grid.shape == (22, 22)
    assert terrain.valid.sum() == 8


def test_a_folder_without_tiles_fails(tmp_path):
    """Files of other kinds are no tiles."""
    (tmp_path / "readme.txt").write_text("no ground")
    with pytest.raises(TerrainError, match=r"holds 0 tiles .*put the tiles of the site into it"):
        swalekit.read_terrain(tmp_path)


def test_a_damaged_tile_of_many_is_named(folders):
    """One bad file among four is told by its own name."""
    bad = folders.four / "se.tif"
    bad.write_bytes(bad.read_bytes()[:9000])
    with pytest.raises(TerrainError, match=r"se\.tif' is damaged"):
        swalekit.read_terrain(folders.four)


@pytest.mark.compiled
def test_a_plan_of_tiles_is_found_again(folders):
    """The summary records the folder with a hash of all tiles; one changed tile is told."""
    out = planned(folders.four, folders.root / "plan")
    recorded = json.loads((out / "summary.json").read_text())["inputs"]
    assert recorded[0] == {"key": "terrain.file", "file": "four", "path": "../four", "sha256": sha256(folders.four)}
    plan_again(read_recorded_plan(out))
    write_tile(folders.four / "ne.tif", ground()[0:70, 90:170] + 1.0, left=90)
    with pytest.raises(swalekit.InputError, match="is not the file that"):
        read_recorded_plan(out)
