"""Tiles that overlap go over into one another."""

import shutil

import numpy as np
import pytest
from tile_ground import error, hills, plane, write_tile

import swalekit
from swalekit.formats.terrain import tile_heights

STEP_M = 0.4


def raised(heights):
    """Heights of a tile that stands above the ground."""
    return heights + STEP_M


def overlapping(folder, ground, first="a", second="b"):
    """Two tiles that share ten columns, the eastern one raised; what their terrain is above the ground [m]."""
    folder.mkdir(exist_ok=True)
    write_tile(folder / f"{first}.tif", ground)
    write_tile(folder / f"{second}.tif", ground, east_m=50.0, change=raised)
    return error(swalekit.read_terrain(folder), ground)


def test_the_height_goes_over_in_proportion_to_the_way_across(tmp_path):
    """Over ten shared columns the share of the second rises by a tenth each; beside them a tile counts whole."""
    above = overlapping(tmp_path, plane)[30]
    across = STEP_M * np.concatenate([np.zeros(50), (np.arange(10) + 0.5) / 10, np.ones(50)])
    np.testing.assert_allclose(above, across, atol=2e-5)


def test_no_step_stands_at_a_seam(tmp_path):
    """From cell to cell the terrain leaves the ground by no more than a share of the step, at a corner of tiles too."""
    for name, (east_m, south_m), lift_m in (
        ("a", (0, 0), 0.0),
        ("b", (50, 0), 0.4),
        ("c", (0, 50), -0.3),
        ("d", (50, 50), 0.2),
    ):
        write_tile(tmp_path / f"{name}.tif", hills, east_m=east_m, south_m=south_m, change=lambda z, up=lift_m: z + up)
    above = error(swalekit.read_terrain(tmp_path), hills)[10:-10, 10:-10]
    assert np.ptp(above) > 0.6
    assert max(np.abs(np.diff(above, axis=axis)).max() for axis in (0, 1)) < 0.7 / 5


def test_names_make_no_difference(tmp_path):
    """Which tile comes first doesn't change the ground."""
    one, other = overlapping(tmp_path / "1", hills), overlapping(tmp_path / "2", hills, "b", "a")
    np.testing.assert_allclose(one, other, atol=2e-5)


def test_strips_leave_no_trace(tmp_path, monkeypatch):
    """A strip of one row gives the bytes of all rows at once."""
    overlapping(tmp_path, hills)
    at_once = swalekit.read_terrain(tmp_path).heights
    monkeypatch.setattr(tile_heights, "_STRIP_CELLS", 1)
    assert swalekit.read_terrain(tmp_path).heights.tobytes() == at_once.tobytes()


def test_a_tile_twice_is_that_tile(tmp_path):
    """To the byte, and without a step."""
    (tmp_path / "two").mkdir()
    write_tile(tmp_path / "one.tif", hills)
    for name in "ab":
        shutil.copy(tmp_path / "one.tif", tmp_path / "two" / f"{name}.tif")
    one, two = (swalekit.read_terrain(tmp_path / name) for name in ("one.tif", "two"))
    assert two.heights.tobytes() == one.heights.tobytes()
    assert any("the largest is 0.00 m" in note for note in two.notes)


def test_a_void_weighs_nothing(tmp_path):
    """Where one of two tiles has no height the other counts whole; a tile that is void does no harm."""

    def half_void(heights):
        heights[:30] = -9999.0
        return heights

    write_tile(tmp_path / "a.tif", plane, change=half_void)
    write_tile(tmp_path / "b.tif", plane, change=raised)
    write_tile(tmp_path / "c.tif", plane, change=lambda z: raised(raised(z)))
    write_tile(tmp_path / "d.tif", plane, change=lambda z: np.full_like(z, -9999.0))
    above = error(swalekit.read_terrain(tmp_path), plane)
    np.testing.assert_allclose(above[:30], 1.5 * STEP_M, atol=2e-5)
    np.testing.assert_allclose(above[30:], STEP_M, atol=2e-5)


@pytest.mark.parametrize("names", ["ab", "ba"])
def test_a_finer_tile_takes_the_place_of_a_coarser_one(tmp_path, names):
    """Within a coarser tile a finer one counts whole from four of its cells inward, and rises evenly up to there."""
    fine, coarse = names
    write_tile(tmp_path / f"{fine}.tif", plane)
    write_tile(tmp_path / f"{coarse}.tif", plane, (60, 60), cell=3.0, east_m=-60.0, south_m=-60.0, change=raised)
    above = error(swalekit.read_terrain(tmp_path), plane)
    within = above[60:120, 60:120]
    np.testing.assert_allclose(within[12:-12, 12:-12], 0.0, atol=2e-5)
    np.testing.assert_allclose(within[30, :12], STEP_M * (1 - (np.arange(12) + 0.5) / 12), atol=1e-4)
    np.testing.assert_allclose(above[90, :60], STEP_M, atol=2e-5)


def test_a_coarser_tile_that_ends_within_a_finer_one_leaves_no_step(tmp_path):
    """Over the twelve columns that both share, a share q of the way, its weight is q² beside 1 − q of the finer one."""
    write_tile(tmp_path / "a.tif", plane)
    write_tile(tmp_path / "b.tif", plane, (20, 20), cell=3.0, east_m=48.0, change=raised)
    q = (np.arange(12) + 0.5) / 12
    above = error(swalekit.read_terrain(tmp_path), plane)[30, 48:60]
    np.testing.assert_allclose(above, STEP_M * q**2 / (q**2 + 1 - q), atol=2e-5)
