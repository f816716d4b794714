"""The level line and its derived figures."""

import numpy as np
import pytest

from swalekit.contours.line import LevelLine
from swalekit.errors import InputError


def _ring(count=36, radius=20.0, slope=0.1):
    angle = np.linspace(0.0, -2.0 * np.pi, count, endpoint=False)
    xy = radius * np.column_stack([np.cos(angle), np.sin(angle)])
    return LevelLine(50.0, True, xy, np.full(count, 50.0), np.full(count, slope))


def test_open_line_figures():
    """Chainage, length and widths of a bent line; the widths sum to the length."""
    xy = np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [2.0, 3.0]])
    line = LevelLine(7.0, False, xy, np.full(4, 7.0), np.array([0.1, 0.1, 0.2, 0.2]))
    np.testing.assert_allclose(line.chainage_m, [0.0, 2.0, 4.0, 5.0])
    np.testing.assert_allclose(line.width_m, [1.0, 2.0, 1.5, 0.5])
    assert line.length_m == line.width_m.sum() == 5.0
    assert line.spacing_m == pytest.approx(5.0 / 3.0)
    assert line.mean_slope == pytest.approx((0.1 * 3.0 + 0.2 * 2.0) / 5.0)


def test_ring_figures():
    """A ring's length includes the closing leg, and walked clockwise its downhill points inward."""
    ring = _ring()
    assert ring.length_m == pytest.approx(36 * 2 * 20.0 * np.sin(np.pi / 36))
    assert ring.width_m.sum() == pytest.approx(ring.length_m)
    np.testing.assert_allclose(ring.downhill, -ring.xy / 20.0, atol=1e-12)


def test_ring_with_uneven_legs():
    """Each station of a ring stands for half of the legs on both sides."""
    xy = np.array([[0.0, 0.0], [0.0, 3.0], [4.0, 3.0]])
    ring = LevelLine(50.0, True, xy, np.full(3, 50.0), np.full(3, 0.1))
    np.testing.assert_allclose(ring.width_m, [4.0, 3.5, 4.5])


@pytest.mark.parametrize(("sigma", "slope", "expected"), [(0.05, 0.03, 1.67), (0.10, 0.05, 2.0), (2.43, 0.10, 24.0)])
def test_position_error(sigma, slope, expected):
    """σ_z / slope; rounded values computed by hand for lidar, drone and satellite ground."""
    assert _ring(slope=slope).position_sigma_m(sigma) == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize(
    ("count", "slope", "words"),
    [(2, 0.1, "it needs 3 or more stations"), (5, 0.0, "has a cross slope of 0; every one must be greater than zero")],
)
def test_line_that_breaks_a_rule_fails(count, slope, words):
    """Too few stations or ground that doesn't fall to the right are no level line."""
    with pytest.raises(InputError, match=words):
        _ring(count=count, slope=slope)
