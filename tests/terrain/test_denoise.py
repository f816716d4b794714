"""Shrubs off a drone's surface."""

import numpy as np
import pytest

from swalekit.grid import Grid
from swalekit.terrain.denoise import denoise
from swalekit.terrain.terrain import Terrain

CELL_M, SIDE = 0.25, 160
Y, X = np.mgrid[0:SIDE, 0:SIDE] * CELL_M
PLANE = 0.15 * X - 0.1 * Y


def as_terrain(heights):
    """Heights on a grid of 0.25 m cells."""
    return Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=CELL_M))


def shrubs(rng, *, number=20):
    """Domes 0.3 to 1.2 m high and 1 to 2 m wide, one to a patch of 8 m, clear of the edge."""
    planted = np.zeros_like(PLANE)
    for patch in rng.permutation(25)[:number]:
        x, y = 4.0 + 8.0 * np.array(divmod(patch, 5)) + rng.uniform(-2, 2, 2)
        height, width = rng.uniform(0.3, 1.2), rng.uniform(1, 2)
        planted += height * np.sqrt(np.clip(1 - 4 * ((X - x) ** 2 + (Y - y) ** 2) / width**2, 0, None))
    return planted


@pytest.mark.parametrize("seed", range(3))
def test_planted_shrubs_disappear(seed):
    """Shrubs of 1-2 m on a tilted plane with 2 cm noise leave less than 4 cm behind, and no lump above 12 cm."""
    rng = np.random.default_rng(seed)
    planted = shrubs(rng)
    bare = denoise(as_terrain(PLANE + planted + rng.normal(0, 0.02, PLANE.shape)), radius_m=1.5)
    error = bare.heights - PLANE
    assert np.sqrt((error**2).mean()) < 0.04
    assert np.abs(error).max() < 0.12 < planted.max()


@pytest.mark.parametrize("tilt", [0.0, 0.1, 0.6])
def test_plane_is_left_as_it_is(tilt):
    """A bare plane of any tilt keeps its heights, up to the edge and beside a void."""
    heights = tilt * (X + 0.5 * Y)
    heights[40:60, 70:75] = np.nan
    terrain = as_terrain(heights)
    np.testing.assert_allclose(denoise(terrain, radius_m=1.5).heights, terrain.heights, atol=1e-4)


def test_denoising_moves_with_the_ground():
    """The surface moved by whole cells gives the ground moved by as much."""
    rng = np.random.default_rng(4)
    heights = shrubs(rng) + rng.normal(0, 0.02, PLANE.shape)
    still = denoise(as_terrain(heights), radius_m=1.5).heights
    moved = denoise(as_terrain(np.roll(heights, (7, -11), axis=(0, 1))), radius_m=1.5).heights
    inner = np.s_[50:-50, 50:-50]
    np.testing.assert_allclose(np.roll(moved, (-7, 11), axis=(0, 1))[inner], still[inner], atol=1e-5)


@pytest.mark.parametrize("angle", np.radians([0, 22.5, 45, 90, 112.5]))
def test_bank_is_not_shaved(angle):
    """A straight bank 0.6 m high with a level crest of 0.5 m keeps its height, though it is narrower than a shrub."""
    across = np.abs((X - 20) * np.sin(angle) + (Y - 20) * np.cos(angle))
    bank = np.clip(0.6 - 0.5 * (across - 0.25), 0, 0.6)
    assert np.abs(denoise(as_terrain(bank), radius_m=1.5).heights - bank)[20:-20, 20:-20].max() < 0.1


def test_islet_of_ground_is_survived():
    """A patch of few cells amid a void, all of them within a shrub's reach, gets the heights of its lowest cells."""
    heights = np.full((40, 40), np.nan)
    heights[19:22, 19:22] = 1.0
    heights[20, 20] = 2.0
    bare = denoise(as_terrain(heights), radius_m=1.0)
    np.testing.assert_array_equal(bare.valid, np.isfinite(heights))
    np.testing.assert_allclose(bare.heights[19:22, 19:22], 1.0, atol=1e-5)


def test_noise_falls_as_the_weights_say():
    """Independent noise passes the 1-2-1 means of rows and columns with √(6/16) each: 3/8 of it is left."""
    noise = np.random.default_rng(8).normal(0, 0.01, PLANE.shape)
    bare = denoise(as_terrain(PLANE + noise), radius_m=1.5)
    assert np.std(bare.heights - PLANE) == pytest.approx(0.375 * 0.01, rel=0.05)


def test_change_is_told():
    """The note gives the root mean square and the greatest change of height."""
    heights = np.zeros((41, 41))
    heights[20, 20] = 0.82
    bare = denoise(as_terrain(heights), radius_m=1.0)
    assert bare.notes[-1].endswith(f"heights changed by {0.82 / 41:.3f} m (RMS), at most 0.82 m")
