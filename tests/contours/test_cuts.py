"""Lines divided by cuts, polygons and cells."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from swalekit.contours.cuts import Cut, divide, merged, over_cells, within_polygon
from swalekit.contours.polyline import even_steps, path_of, stretch
from swalekit.grid import Grid

_INTERVAL = st.tuples(st.integers(-3, 12), st.integers(0, 6)).map(lambda pair: [pair[0], pair[0] + pair[1]])
_CUTS = st.lists(st.lists(_INTERVAL, max_size=3), max_size=3)


@given(_CUTS, st.booleans())
def test_every_metre_gets_the_first_reason_that_holds(intervals, closed):
    """Asked metre by metre, each part's reason is that of the first cut which covers it, and no metre is lost."""
    cuts = [Cut(np.array(pairs, np.float64).reshape(-1, 2), str(i)) for i, pairs in enumerate(intervals)]
    parts = divide(10.0, cuts, closed=closed)
    assert sum(part.stop_m - part.start_m for part in parts) == 10.0
    for part in parts:
        for metre in np.arange(part.start_m, part.stop_m) + 0.5:
            rounds = (metre - 20.0, metre - 10.0, metre, metre + 10.0) if closed else (metre,)
            reasons = [
                cut.reason for cut in cuts if any(start < at < stop for start, stop in cut.intervals for at in rounds)
            ]
            assert (part.cut.reason if part.cut else None) == (reasons[0] if reasons else None)


def test_ring_part_across_the_seam_is_whole():
    """A ring cut once is left as one part, and uncut it stays a ring."""
    cut = Cut(np.array([[3.0, 4.0]]), "road")
    assert [(part.start_m, part.stop_m) for part in divide(10.0, [cut], closed=True)] == [(3.0, 4.0), (4.0, 13.0)]
    assert [(part.start_m, part.stop_m) for part in divide(10.0, [], closed=True)] == [(0.0, 10.0)]


def test_stretch_across_the_seam():
    """A stretch past the end of a closed path goes on from its beginning."""
    square = path_of(np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]), closed=True)
    np.testing.assert_allclose(stretch(square, 7.0, 10.5), [[0, 1], [0, 0], [2, 0], [2, 0.5]])


@pytest.mark.parametrize(("length", "step", "count"), [(10.0, 2.0, 6), (10.0, 3.0, 5), (0.4, 3.0, 2)])
def test_even_steps(length, step, count):
    """Steps are even, no longer than asked and include both ends."""
    path = even_steps(np.array([[0.0, 0.0], [length, 0.0]]), step_m=step)
    np.testing.assert_allclose(path[:, 0], np.linspace(0.0, length, count))


@pytest.mark.parametrize("seed", range(5))
def test_polygon_intervals_are_those_of_the_clipped_line(seed):
    """Intervals are as long in all as the line clipped by a polygon with a hole, and their middles lie inside."""
    rng = np.random.default_rng(seed)
    path = np.cumsum(rng.normal(0.0, 2.0, (200, 2)), axis=0)
    polygon = shapely.Point(path[60]).buffer(9.0) - shapely.Point(path[60]).buffer(3.0)
    intervals = within_polygon(path, polygon)
    clipped = shapely.intersection(shapely.linestrings(np.stack([path[:-1], path[1:]], axis=1)), polygon)
    assert np.diff(intervals).sum() == pytest.approx(shapely.length(clipped).sum())
    for start, stop in intervals:
        middle = stretch(path, start, 0.5 * (start + stop))[-1]
        assert polygon.distance(shapely.Point(middle)) < 1e-9


def test_cell_intervals_run_from_side_to_side():
    """Chainages at which a slanting line enters and leaves marked cells are exact."""
    grid = Grid.from_corner((4, 4), cell_m=1.0, west_m=0.0, north_m=4.0)
    cells = np.zeros((4, 4), np.bool_)
    cells[:, 2] = True
    path = np.array([[0.5, 0.5], [1.0, 0.9], [3.5, 2.9]])
    root = np.hypot(1.0, 0.8)
    np.testing.assert_allclose(over_cells(path, grid, cells), [[1.5 * root, 2.5 * root]])


def test_line_can_not_slip_between_diagonal_cells():
    """A line through the corner where two marked cells touch still meets one of them."""
    grid = Grid.from_corner((4, 4), cell_m=1.0, west_m=0.0, north_m=4.0)
    path = np.array([[0.5, 0.5], [3.5, 3.5]])
    assert len(over_cells(path, grid, np.eye(4, dtype=np.bool_))) >= 1


def test_merged_intervals():
    """Intervals that overlap or touch are joined whatever their order."""
    given_ones = np.array([[8.0, 9.0], [0.0, 5.0], [1.0, 2.0], [5.0, 6.0]])
    np.testing.assert_allclose(merged(given_ones), [[0.0, 6.0], [8.0, 9.0]])


def test_a_line_without_length_has_no_parts():
    """A contour that shrank to a point, as at a summit exactly on its level, is nothing."""
    assert divide(0.0, [], closed=True) == []
