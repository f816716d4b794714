"""Horn's gradient."""

import sys

import numpy as np
import pytest

from swalekit.grid import Grid
from swalekit.terrain.slope import gradient, slope
from swalekit.terrain.terrain import Terrain

CELL_M = 0.5
Y, X = np.mgrid[10:-10:-CELL_M, -12:12:CELL_M]


def test_every_quadratic_is_exact():
    """Horn (1981): the central differences are exact on z = ax² + bxy + cy² + dx + ey."""
    z = 0.03 * X**2 - 0.02 * X * Y + 0.05 * Y**2 + 0.2 * X - 0.1 * Y
    dz_dx, dz_dy = gradient(z.astype(np.float32), CELL_M)
    inner = np.s_[1:-1, 1:-1]
    np.testing.assert_allclose(dz_dx[inner], (0.06 * X - 0.02 * Y + 0.2)[inner], atol=2e-5)
    np.testing.assert_allclose(dz_dy[inner], (-0.02 * X + 0.10 * Y - 0.1)[inner], atol=2e-5)


@pytest.mark.parametrize(("z", "error"), [(X**3, CELL_M**2), (X * Y**2, CELL_M**2 / 2)])
def test_cubics_err_as_the_series_says(z, error):
    """The error in dz/dx is +Δ² on x³ and +Δ²/2 on xy² (Taylor series of Horn's weights)."""
    exact = 3 * X**2 if error == CELL_M**2 else Y**2
    dz_dx, _ = gradient(z.astype(np.float32), CELL_M)
    np.testing.assert_allclose((dz_dx - exact)[1:-1, 1:-1], error, atol=2e-3)


def test_plane_is_exact_up_to_the_edge_and_beside_voids():
    """One-sided differences give a plane's slope where neighbours are missing, and voids stay void."""
    z = (0.3 * X - 0.4 * Y).astype(np.float32)
    void = np.random.default_rng(5).random(z.shape) < 0.1
    z[void] = np.nan
    terrain = Terrain.from_heights(z, Grid.from_corner(z.shape, cell_m=CELL_M))
    found = slope(terrain)
    assert found.dtype == np.float32
    np.testing.assert_array_equal(np.isnan(found), void)
    np.testing.assert_allclose(found[~void], 0.5, atol=1e-5)
    dz_dx, dz_dy = gradient(z, CELL_M)
    np.testing.assert_allclose(dz_dx[~void], 0.3, atol=1e-5)
    np.testing.assert_allclose(dz_dy[~void], -0.4, atol=1e-5)


def test_high_ground_loses_no_precision():
    """A 0.1 % slope at 4000 m is found to the precision of the stored heights."""
    z = (4000.0 + 0.001 * X).astype(np.float32)
    dz_dx, _ = gradient(z, CELL_M)
    assert abs(dz_dx[1:-1, 1:-1].mean() - 0.001) < 1e-5


def test_gradient_does_not_depend_on_the_blocks(monkeypatch):
    """Working through the tile in other blocks of rows gives the same bytes."""
    z = np.random.default_rng(7).normal(size=(50, 20)).astype(np.float32)
    z[10:12, 5] = np.nan
    whole = gradient(z, 1.0)
    monkeypatch.setattr(sys.modules[gradient.__module__], "_BLOCK_ROWS", 7)
    for first, second in zip(whole, gradient(z, 1.0), strict=True):
        np.testing.assert_array_equal(first, second)


def test_lonely_cell_is_level():
    """A cell without neighbours has no slope to tell; it counts as level."""
    z = np.full((5, 5), np.nan, np.float32)
    z[2, 2] = 100.0
    dz_dx, dz_dy = gradient(z, 1.0)
    assert dz_dx[2, 2] == dz_dy[2, 2] == 0.0
    assert np.isnan(dz_dx).sum() == 24
