"""A contour on its ground, turned so that downhill is on the right."""

import numpy as np
import pytest
from contour_ground import ground

from swalekit.contours.course import course_of, cross_slopes, station_line
from swalekit.contours.line import LineRules
from swalekit.contours.smooth import SmoothTrace
from swalekit.contours.trace import Trace

RULES = LineRules()


@pytest.mark.parametrize("backward", [False, True])
@pytest.mark.parametrize("closed", [False, True])
def test_downhill_comes_from_the_ground(backward, closed):
    """Whichever way a line is handed over, its course has downhill on the right, sharp vertices going with it."""
    angle = np.linspace(0.0, -2.0 * np.pi if closed else -np.pi, 80, endpoint=not closed)
    xy, sharp = 20.0 * np.column_stack([np.cos(angle), np.sin(angle)]), np.cos(angle) > 0.9
    if not backward:
        xy, sharp = xy[::-1], sharp[::-1]
    terrain = ground(lambda x, y: 0.1 * np.hypot(x, y))
    course = course_of(terrain, SmoothTrace(Trace(2.0, xy, closed), sharp), RULES)
    np.testing.assert_allclose(course.fall, 0.1, rtol=0.02)
    np.testing.assert_array_equal(course.sharp, course.path[:, 0] > 18.0)


@pytest.mark.parametrize("support", [2.0, 6.0])
def test_cross_slope_is_that_of_the_ground(support):
    """On a plane the fall is measured exactly, positive to the right of the walk and negative against it."""
    terrain = ground(lambda x, y: 0.06 * x + 0.08 * y)
    path = np.array([[8.0, -6.0], [0.0, 0.0], [-8.0, 6.0]])
    there = cross_slopes(terrain, path, closed=False, support_m=support)
    back = cross_slopes(terrain, path[::-1], closed=False, support_m=support)
    np.testing.assert_allclose(there, -0.1, rtol=1e-4)
    np.testing.assert_allclose(back, 0.1, rtol=1e-4)


def test_cross_slope_beside_a_void_is_measured_on_the_other_side():
    """With a void on one side the fall on the other counts; without ground on either there is none."""
    terrain = ground(lambda x, y: np.where((y < -1.0) | (x > 20.0) & (np.abs(y) > 1.0), np.nan, 0.1 * y))
    fall = cross_slopes(terrain, np.array([[-30.0, 0.2], [0.0, 0.2], [30.0, 0.2]]), closed=False, support_m=6.0)
    np.testing.assert_allclose(fall, [0.1, 0.1, np.nan], rtol=1e-4)


def test_averaging_leaves_out_voids():
    """Averages along the line are of the vertices that have a fall, and vertices without stay without."""
    terrain = ground(lambda x, y: np.where((np.abs(x) < 3.0) & (np.abs(y) > 1.0), np.nan, 0.1 * y))
    path = np.column_stack([np.arange(-20.0, 21.0), np.full(41, 0.2)])
    fall = cross_slopes(terrain, path, closed=False, support_m=6.0, vertices_averaged=7)
    np.testing.assert_allclose(fall[np.isfinite(fall)], 0.1, rtol=1e-4)
    assert np.isnan(fall[np.abs(path[:, 0]) < 2.0]).all()


def test_line_from_part_of_a_ring():
    """Stations of a part across the seam run on round the ring; their slopes are those of the course."""
    terrain = ground(lambda x, y: -0.1 * np.hypot(x, y))
    angle = np.linspace(0.0, -2.0 * np.pi, 200, endpoint=False)
    ring = SmoothTrace(Trace(-2.0, 20.0 * np.column_stack([np.cos(angle), np.sin(angle)]), True), np.zeros(200, bool))
    course = course_of(terrain, ring, RULES)
    line = station_line(terrain, course, 100.0, 160.0, RULES)
    assert not line.closed
    assert line.length_m == pytest.approx(60.0, rel=2e-3)
    assert line.spacing_m == pytest.approx(2.0, rel=2e-3)
    np.testing.assert_allclose(line.cross_slope, 0.1, rtol=0.02)
