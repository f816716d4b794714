"""Lines drawn by hand become the contours that they follow."""

import numpy as np
import pytest
import shapely
from contour_ground import ground

from swalekit.contours import KeepOut, LineRules, Trace, contour_along, lay_drawn_lines
from swalekit.contours.obstacles import Obstacles
from swalekit.errors import InputError

CONE = ground(lambda x, y: 20.0 - 0.1 * np.hypot(x, y), rows=160, columns=160)
EVERYWHERE = shapely.box(-80.0, -80.0, 80.0, 80.0)


def circle(first_degrees: float, last_degrees: float, *, radius_m: float = 50.0, wobble_m: float = 0.0) -> np.ndarray:
    """Points round the cone's top, now farther out and now nearer."""
    angle = np.radians(np.linspace(first_degrees, last_degrees, 61))
    radius = radius_m + wobble_m * np.sin(6.0 * angle)
    return np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])


@pytest.mark.parametrize("degrees", [(10.0, 130.0), (130.0, 10.0), (100.0, 340.0), (-120.0, 60.0)])
def test_an_arc_on_a_cone(degrees):
    """Part of a ring keeps its side and its length, drawn either way round and not quite level."""
    found = contour_along(CONE, circle(*degrees, wobble_m=3.0))
    length_m = shapely.LineString(found.xy).length
    assert found.level_m == pytest.approx(15.0, abs=0.05)
    assert length_m == pytest.approx(np.radians(abs(degrees[1] - degrees[0])) * 50.0, rel=0.01)
    middle = shapely.Point(circle(*degrees)[30])
    assert shapely.LineString(found.xy).distance(middle) < 0.5
    assert np.hypot(*found.xy.T) == pytest.approx((20.0 - found.level_m) / 0.1, abs=0.1)


def test_a_drawn_ring_is_the_whole_ring():
    """A ring that repeats its first vertex is closed, as long as the circle."""
    rings, refused = lay_drawn_lines(CONE, [circle(0.0, 360.0, wobble_m=2.0)], Obstacles(CONE.grid, EVERYWHERE))
    assert [ring.closed for ring in rings] == [True]
    assert rings[0].length_m == pytest.approx(2.0 * np.pi * 50.0, rel=0.01)
    assert refused == ()


def test_stations_keep_the_promises_of_traced_lines():
    """Every station stands within the tolerance of the level, downhill on the right."""
    (line,), _ = lay_drawn_lines(CONE, [circle(20.0, 200.0, wobble_m=4.0)], Obstacles(CONE.grid, EVERYWHERE))
    assert np.abs(line.ground_m - line.level_m).max() <= LineRules().tolerance_m
    assert (np.sum(line.downhill * line.xy, axis=1) > 0).all()
    assert line.cross_slope == pytest.approx(0.1, rel=0.02)


def test_keep_outs_cut_drawn_lines():
    """What lies in the way takes its part of a drawn line out, with its reason."""
    pipe = KeepOut("buried utility", shapely.LineString([(-80.0, 0.0), (80.0, 0.0)]), 3.0)
    lines, refused = lay_drawn_lines(CONE, [circle(-40.0, 40.0)], Obstacles(CONE.grid, EVERYWHERE, [pipe]))
    assert len(lines) == 2
    assert [line.reason for line in refused] == ["buried utility"]
    assert refused[0].length_m == pytest.approx(6.0, abs=0.1)


def test_a_line_down_the_slope_is_refused_in_words():
    """A line that follows no contour is told how far it strays, and what may be."""
    found = contour_along(CONE, [(20.0, 0.0), (70.0, 0.0)])
    assert not isinstance(found, Trace)
    assert found.reason == "not level"
    assert "up to 25 m from the contour" in found.detail
    assert "within 10 m" in found.detail


@pytest.mark.parametrize(
    ("line_xy", "words"),
    [
        ([(0.0, 0.0)], r"shape \(1, 2\)"),
        ([(0.0, 0.0), (np.nan, 1.0)], "finite easting"),
        ([(0.0, 0.0, 1.0), (1.0, 1.0, 1.0)], r"shape \(2, 3\)"),
        ([(900.0, 900.0), (950.0, 900.0)], "begins at 900 east, 900 north .* no ground"),
    ],
)
def test_lines_that_cant_run_are_told(line_xy, words):
    """Bad vertices and a wrong CRS end in one line."""
    with pytest.raises(InputError, match=words):
        contour_along(CONE, line_xy)
