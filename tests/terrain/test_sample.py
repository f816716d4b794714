"""Heights between cell centres."""

import numpy as np
import pytest

from swalekit.grid import Grid
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

GRID = Grid.from_corner((6, 8), cell_m=2.0, west_m=100.0, north_m=50.0)
X, Y = GRID.centres(*np.mgrid[0:6, 0:8])


@pytest.mark.parametrize("surface", [lambda x, y: 0.5 * x - 0.25 * y, lambda x, y: (x - 108.0) * (y - 44.0) / 8])
def test_plane_and_saddle_are_exact(surface):
    """Bilinear interpolation is exact on z = ax + by and on z = xy."""
    terrain = Terrain.from_heights(surface(X, Y), GRID)
    rng = np.random.default_rng(3)
    x, y = rng.uniform(101, 115, 50), rng.uniform(39, 49, 50)
    np.testing.assert_allclose(sample_heights(terrain, x, y), surface(x, y), atol=1e-5)


def test_rim_holds_the_outermost_height():
    """Within half a cell of the edge the height is that of the nearest centres; beyond the tile there is none."""
    terrain = Terrain.from_heights(X, GRID)
    z = sample_heights(terrain, [100.0, 116.0, 99.99, 116.01], [45.0, 45.0, 45.0, 45.0])
    np.testing.assert_array_equal(z, [101.0, 115.0, np.nan, np.nan])


def test_void_spoils_only_the_points_it_has_a_say_in():
    """A point between a void and ground has no height; the centre of the next cell has one."""
    heights = X.copy()
    heights[2, 3] = np.nan
    terrain = Terrain.from_heights(heights, GRID)
    z = sample_heights(terrain, [107.0, 108.0, 109.0, 105.0, 109.5], [45.0, 45.0, 45.0, 45.0, 45.0])
    np.testing.assert_array_equal(np.isnan(z), [True, True, False, False, False])


@pytest.mark.parametrize("shape", [(1, 1), (1, 5), (5, 1)])
def test_thin_tiles_are_sampled(shape):
    """A tile of one row or column gives the height of its cells."""
    terrain = Terrain.from_heights(np.full(shape, 7.0), Grid.from_corner(shape, cell_m=1.0, west_m=0.0, north_m=1.0))
    assert sample_heights(terrain, 0.5, 0.5) == [7.0]
