"""Markers, voids and coarser cells."""

import importlib

import numpy as np
import pytest

from swalekit.errors import TerrainError
from swalekit.grid import Grid
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.coarsen import coarsen
from swalekit.terrain.film import harmonic_heights
from swalekit.terrain.terrain import Terrain, mask_sentinels
from swalekit.terrain.voids import fill_small_voids

film = importlib.import_module("swalekit.terrain.film")
GRID = Grid.from_corner((20, 30), cell_m=2.0)
X, Y = GRID.centres(*np.mgrid[0:20, 0:30])
PLANE = 0.2 * (X - X[0, 0]) + 0.1 * (Y - Y[0, 0])


@pytest.mark.parametrize("marker", [-9999, -32768, -32767, 32767, -99999, -3.4028235e38, 1e31, np.nan, np.inf, -np.inf])
def test_markers_are_not_ground(marker):
    """The usual markers for missing data are void, whether declared or not."""
    assert not mask_sentinels(np.array([marker], np.float32))[0]


@pytest.mark.parametrize("height", [-430.0, -11_000.0, 0.0, 8849.0])
def test_heights_on_earth_are_ground(height):
    """Heights from −11 000 m to 8849 m are ordinary."""
    assert mask_sentinels(np.array([height], np.float32))[0]


def test_bounds_follow_the_unit():
    """14 505 ft is a summit, 14 505 m is not; −9999 and −32768 are markers in feet as well."""
    assert mask_sentinels(np.array([14_505.0]), metres_per_unit=0.3048)[0]
    assert not mask_sentinels(np.array([14_505.0]))[0]
    assert not mask_sentinels(np.array([-9999.0, -32768.0]), metres_per_unit=0.3048).any()


def test_small_void_on_a_plane_is_filled_exactly():
    """A void of 6 cells takes the plane's heights; its area is told."""
    heights = PLANE.copy()
    heights[5:7, 10:13] = np.nan
    filled = fill_small_voids(Terrain.from_heights(heights, GRID), greatest_m2=24.0)
    np.testing.assert_allclose(filled.heights, PLANE, atol=1e-5)
    assert filled.valid.all()
    assert filled.notes[0] == "filled 1 void of 24 m²"
    assert "24 m²) is drawn across" in filled.notes[1]


def test_large_and_edge_voids_stay_void_and_are_told():
    """What is larger than the limit, or open to the tile's edge, is left alone and summed in a note."""
    heights = PLANE.copy()
    heights[2, 2] = heights[8, 8] = heights[9, 9] = heights[0, 20] = np.nan
    heights[12:16, 12:16] = np.nan
    filled = fill_small_voids(Terrain.from_heights(heights, GRID), greatest_m2=25.0)
    assert filled.notes[0] == "filled 2 voids, 12 m² in all, the largest 8 m²"
    assert filled.notes[1] == "left void (above 25 m² or at the tile's edge) 2 voids, 68 m² in all, the largest 64 m²"
    left = np.zeros(GRID.shape, bool)
    left[0, 20] = left[12:16, 12:16] = True
    np.testing.assert_array_equal(~filled.valid, left)


def test_filled_heights_stay_within_their_rim():
    """A soap film has neither peak nor pit: no filled height lies beyond the heights around the void."""
    heights = np.random.default_rng(11).normal(size=GRID.shape)
    heights[8:12, 8:12] = np.nan
    filled = fill_small_voids(Terrain.from_heights(heights, GRID), greatest_m2=100.0).heights
    rim = heights[7:13, 7:13]
    assert np.nanmin(rim) < filled[8:12, 8:12].min() < filled[8:12, 8:12].max() < np.nanmax(rim)
    np.testing.assert_array_equal(filled[:8], heights[:8].astype(np.float32))


def test_film_hangs_free_beside_a_void():
    """A neighbour that is void or beyond the tile is left out of the mean."""
    heights = np.array([[0, 5, 2], [np.nan, 5, 4], [8, 5, 6]], np.float32)
    top, middle, bottom = harmonic_heights(heights, np.array([1, 4, 7]))
    assert top == pytest.approx((0 + 2 + middle) / 3)
    assert middle == pytest.approx((top + 4 + bottom) / 3)
    assert bottom == pytest.approx((8 + 6 + middle) / 3)


def test_cells_without_known_ground_stay_unknown():
    """A group of unknown cells that touches no known ground gets no height; the others get theirs."""
    heights = np.array([[1, 5, np.nan, 7, np.nan]], np.float32)
    np.testing.assert_array_equal(harmonic_heights(heights, np.array([1, 3])), np.array([1, np.nan], np.float32))


def test_large_gaps_are_settled_alike(monkeypatch):
    """By conjugate gradients from a coarser film, heights are those of the direct solution to two millimetres."""
    rng = np.random.default_rng(6)
    heights = np.add.outer(0.1 * np.arange(120), 0.05 * np.arange(150)) + rng.normal(0, 0.3, (120, 150))
    unknown = np.flatnonzero(rng.random((120, 150)) > 0.01)
    direct = harmonic_heights(heights.astype(np.float32), unknown)
    monkeypatch.setattr(film, "_MOST_DIRECT", 50)
    np.testing.assert_allclose(harmonic_heights(heights.astype(np.float32), unknown), direct, atol=2e-3)


@pytest.mark.parametrize(("height", "valid"), [(np.nan, True), (np.inf, True), (3.0, False)])
def test_terrain_cannot_lie(height, valid):
    """A valid cell without a finite height, or a void with one, makes no terrain; the message names the cell."""
    heights, mask = np.zeros((3, 4), np.float32), np.ones((3, 4), bool)
    heights[1, 2], mask[1, 2] = height, valid
    with pytest.raises(TerrainError, match=r"row 1, column 2"):
        Terrain(Grid.from_corner((3, 4), cell_m=1.0), heights, mask)


def test_terrain_without_voids_is_returned_as_it_is():
    """Nothing is copied or noted where nothing is missing."""
    terrain = Terrain.from_heights(PLANE, GRID)
    assert fill_small_voids(terrain, greatest_m2=25.0) is terrain


def test_coarsening_keeps_a_plane_and_its_place():
    """Block means of a plane are its heights at the coarse centres."""
    coarse = coarsen(Terrain.from_heights(PLANE, GRID), 5)
    x, y = coarse.grid.centres(*np.mgrid[0:4, 0:6])
    assert (coarse.grid.cell_m, coarse.grid.bounds) == (10.0, GRID.bounds)
    np.testing.assert_allclose(coarse.heights, 0.2 * (x - X[0, 0]) + 0.1 * (y - Y[0, 0]), atol=1e-5)


def test_block_needs_half_its_cells():
    """A block with half its cells valid has their mean; with fewer it is void, also where it overhangs the tile."""
    nan = np.nan
    heights = np.array([[1, 3, nan, nan, 7], [nan, nan, nan, 5, 9], [1, 2, 3, 4, 5]], np.float32)
    np.testing.assert_array_equal(block_mean(heights, 2), np.array([[2, nan, 8], [1.5, 3.5, nan]], np.float32))


def test_coarsening_by_less_than_one_fails():
    """A factor below one is refused."""
    with pytest.raises(TerrainError, match="factor is 0"):
        coarsen(Terrain.from_heights(PLANE, GRID), 0)
