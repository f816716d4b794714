"""Which levels are traced."""

import numpy as np
import pytest
from contour_ground import ground

from swalekit.contours.levels import check_levels, levels_by_interval, levels_by_spacing
from swalekit.errors import InputError
from swalekit.terrain.slope import slope


@pytest.mark.parametrize(
    ("highest", "lowest", "interval", "start", "expected"),
    [
        (105.0, 100.0, 2.0, None, [103.0, 101.0]),
        (104.0, 100.0, 2.0, None, [102.0]),
        (-428.0, -431.0, 1.0, None, [-429.0, -430.0]),
        (105.0, 100.0, 2.0, 104.5, [104.5, 102.5, 100.5]),
        (105.0, 100.0, 2.0, 106.0, [104.0, 102.0]),
        (105.0, 100.0, 2.0, 99.0, []),
        (101.0, 100.0, 2.0, None, []),
        (100.0, 100.0, 2.0, None, []),
    ],
)
def test_levels_by_interval(highest, lowest, interval, start, expected):
    """Levels descend by the interval from the start, strictly within the ground; a great interval gives none."""
    np.testing.assert_allclose(levels_by_interval(highest, lowest, interval, start_m=start), expected)


@pytest.mark.parametrize("interval", [0.0, -1.0, np.nan])
def test_interval_that_is_not_positive_fails(interval):
    """An interval must be greater than zero."""
    with pytest.raises(InputError, match="interval_m is"):
        levels_by_interval(105.0, 100.0, interval)


def test_ground_upside_down_fails():
    """The lowest ground must not exceed the highest."""
    with pytest.raises(InputError, match="lowest_m must not exceed highest_m"):
        levels_by_interval(100.0, 105.0, 1.0)


@pytest.mark.parametrize("start", [None, 3.0])
def test_spacing_on_a_plane(start):
    """On a plane the levels lie slope × spacing apart, from one such step below the top or from the start."""
    terrain = ground(lambda x, y: 0.06 * x - 0.08 * y, rows=100, columns=90)
    heights, steepness = terrain.heights.ravel(), slope(terrain).ravel()
    levels = levels_by_spacing(heights, steepness, 12.0, start_m=start)
    first = float(heights.max()) - 1.2 if start is None else start
    np.testing.assert_allclose(levels, first - 1.2 * np.arange(levels.size), atol=1e-5)
    assert levels[-1] - 1.2 <= heights.min() < levels[-1]


def test_spacing_on_a_cone():
    """On a cone of slope k the levels lie k × spacing apart."""
    radius = np.hypot(*np.mgrid[-200:201, -200:201])
    inside = radius < 200.0
    levels = levels_by_spacing(-0.2 * radius[inside], np.full(inside.sum(), 0.2), 25.0)
    np.testing.assert_allclose(levels, -5.0 * np.arange(1.0, 8.0))


def test_spacing_on_a_dome():
    """On z = −c r² the co-area identity puts the first level at r = 4/3 of the spacing: A = πr², ∫|∇z| dA = 4πcr³/3."""
    radius = np.hypot(*np.mgrid[-200:201, -200:201])
    inside = radius < 200.0
    levels = levels_by_spacing(-0.001 * radius[inside] ** 2, 0.002 * radius[inside], 60.0)
    assert np.sqrt(-levels[0] / 0.001) == pytest.approx(80.0, rel=0.005)


def test_spacing_from_above_the_ground():
    """A start above the ground is the same as none: the top is where the ground begins."""
    heights, steepness = np.linspace(0.0, 10.0, 2001), np.full(2001, 0.1)
    above = levels_by_spacing(heights, steepness, 20.0, start_m=15.0)
    np.testing.assert_array_equal(above, levels_by_spacing(heights, steepness, 20.0))


def test_spacing_beyond_the_ground_gives_no_level():
    """A spacing that the whole ground does not reach gives none, and flat ground has none."""
    assert levels_by_spacing([0.0, 1.0, 2.0], [0.1, 0.1, 0.1], 50.0).size == 0
    assert levels_by_spacing([5.0, 5.0, 5.0], [0.0, 0.0, 0.0], 50.0).size == 0


def test_spacing_on_void_ground_fails():
    """Only valid cells count."""
    with pytest.raises(InputError, match="1 void; give the heights and slopes of valid cells"):
        levels_by_spacing([1.0, np.nan], [0.1, 0.1], 10.0)


def test_listed_levels_are_put_in_order():
    """Levels given one by one come back descending."""
    np.testing.assert_array_equal(check_levels([1.0, -3.0, 2.0]), [2.0, 1.0, -3.0])


@pytest.mark.parametrize(
    ("levels", "words"), [([1.0, np.inf], r"levels_m\[1\] is inf"), ([2.0, 1.0, 2.0], "level 2 m is listed 2 times")]
)
def test_listed_levels_fail(levels, words):
    """Levels must be finite and listed once."""
    with pytest.raises(InputError, match=words):
        check_levels(levels)
