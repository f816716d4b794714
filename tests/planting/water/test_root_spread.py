"""How much of a ditch the roots of plants reach."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.planting.water.root_spread import reached_share, root_depth_m, rooted_share, spread_range, usual_spread


def line_of(xy: np.ndarray, *, closed: bool = False) -> LevelLine:
    """A level line through points."""
    return LevelLine(10.0, closed, xy, np.full(len(xy), 10.0), np.full(len(xy), 0.1))


def straight(length_m: float = 100.0) -> LevelLine:
    """A line due east."""
    x = np.linspace(0.0, length_m, 11)
    return line_of(np.column_stack([x, np.zeros_like(x)]))


@pytest.mark.parametrize(
    ("at_m", "off_m", "radius_m", "expected"),
    [
        pytest.param([50.0], 2.0, 5.0, 0.1, id="one on wetted ground"),
        pytest.param([50.0], 5.0, 5.0, 0.08, id="one 3 m beyond it: a chord of 8"),
        pytest.param([50.0], 7.0, 5.0, 0.0, id="one too far"),
        pytest.param([2.0], 2.0, 5.0, 0.07, id="one near the end, whose roots pass it"),
        pytest.param([20.0, 80.0], 2.0, 5.0, 0.2, id="two apart"),
        pytest.param([50.0, 54.0], 2.0, 5.0, 0.14, id="two that share ground"),
        pytest.param([10.0, 30.0, 50.0, 70.0, 90.0], 2.0, 10.0, 1.0, id="even, touching"),
        pytest.param([50.0, 52.0], 2.0, [30.0, 1.0], 0.6, id="one within the other"),
        pytest.param([], 2.0, 5.0, 0.0, id="none"),
    ],
)
def test_reach_by_hand(at_m, off_m, radius_m, expected):
    """Along a straight ditch that wets 2 m: the chord of each circle of roots, each stretch once."""
    xy = np.column_stack([at_m, np.full(len(at_m), -off_m)]).reshape(-1, 2)
    assert reached_share(straight(), xy, radius_m, wet_m=2.0) == pytest.approx(expected)


def test_reach_goes_round_a_ring():
    """Round a knoll the last stretch joins the first."""
    turn = np.linspace(0.0, -2.0 * np.pi, 360, endpoint=False)
    ring = line_of(20.0 * np.column_stack([np.cos(turn), np.sin(turn)]), closed=True)
    for angle in (0.0, 1.0):
        tree = 24.0 * np.array([[np.cos(angle), np.sin(angle)]])
        assert reached_share(ring, tree, 6.0, wet_m=5.0) == pytest.approx(12.0 / ring.length_m, rel=1e-3)


decimetres = st.integers(0, 400).map(lambda count: count / 10.0)


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 100), decimetres, decimetres), max_size=8), st.floats(0.0, 5.0))
def test_reach_agrees_with_circles_across_a_line(plants, wet_m):
    """Shapely's union of circles of roots cuts as much of the wetted edge."""
    x, off, radius = (np.array([plant[column] for plant in plants], np.float64) for column in range(3))
    centres = shapely.points(x, -np.maximum(off - wet_m, 0.0))
    circles = shapely.union_all(shapely.buffer(centres, radius, quad_segs=128))
    expected = shapely.LineString([(0.0, 0.0), (100.0, 0.0)]).intersection(circles).length / 100.0
    found = reached_share(straight(), np.column_stack([x, -off]), radius, wet_m=wet_m)
    assert found == pytest.approx(expected, abs=5e-3)


def test_a_negative_reach_is_refused():
    """Roots don't reach backward."""
    with pytest.raises(InputError, match="radius_m is -1"):
        reached_share(straight(), np.array([[50.0, -3.0]]), -1.0)


def test_roots_of_young_plants():
    """Ground by the square of the spread; depth by the diameter, no less than the ball and no more than grown."""
    assert rooted_share(0.01, usual_spread()) == pytest.approx(0.0841)
    assert [root_depth_m(1.2, share) for share in (0.0, 0.25, 1.0, 2.0)] == pytest.approx([0.3, 0.6, 1.2, 1.2])
    assert root_depth_m(0.2, 0.0) == 0.2
    least, greatest = spread_range()
    assert least < usual_spread() < greatest
