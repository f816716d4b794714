"""Raw contours of all levels in one pass."""

import numba
import numpy as np
import pytest
import shapely
from contour_ground import (
    assert_traces,
    ground,
    legs,
    length_m,
    plain_terrain,
    random_heights,
    sorted_legs,
)
from contourpy import contour_generator
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.special import ellipe
from skimage.measure import find_contours

from swalekit.contours.trace import trace_levels
from swalekit.errors import InputError
from swalekit.terrain.slope import slope
from swalekit.terrain.terrain import Terrain

LEVELS = [-0.6311, 0.0127, 0.4893]


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("void_share", [0.0, 0.03])
def test_same_lines_as_contourpy(seed, void_share):
    """On any surface, rough or with voids, the legs are those of a reference library tracing level by level."""
    heights = random_heights(seed, sigma=0.8)
    heights[np.random.default_rng(seed).random(heights.shape) < void_share] = np.nan
    terrain = plain_terrain(heights)
    traces = trace_levels(terrain, LEVELS)
    x, y = terrain.grid.centres(np.arange(40)[:, None], np.arange(47)[None, :])
    masked = np.ma.masked_invalid(heights.astype(np.float64))
    reference = contour_generator(x.ravel(), y.ravel(), masked, name="serial", corner_mask=False)
    for level_m in LEVELS:
        ours = [trace for trace in traces if trace.level_m == level_m]
        lines = reference.lines(level_m)
        theirs = sorted_legs(np.vstack([np.hstack([line[:-1], line[1:]]) for line in lines]))
        assert len(ours) == len(lines)
        np.testing.assert_allclose(legs(ours), theirs, rtol=0, atol=1e-9)


def test_same_lengths_as_skimage():
    """On smooth ground without saddles at the level, the total length is that of another reference library."""
    heights = random_heights(5, sigma=4.0)
    total = sum(length_m(trace) for trace in trace_levels(plain_terrain(heights), [0.3]))
    theirs = find_contours(heights.astype(np.float64), 0.3)
    assert total == pytest.approx(sum(np.hypot(*np.diff(line, axis=0).T).sum() for line in theirs), rel=1e-9)


_HEIGHTS = st.one_of(st.integers(-2, 2).map(float), st.just(np.nan), st.floats(-2.0, 2.0, width=32))


@settings(max_examples=150, deadline=None)
@given(arrays(np.float32, st.tuples(st.integers(2, 7), st.integers(2, 7)), elements=_HEIGHTS))
def test_promises_hold_on_any_ground(heights):
    """With voids, plateaus and heights exactly at a level, every trace keeps its promises."""
    heights[0, 0] = 0.0
    terrain = plain_terrain(heights)
    assert_traces(terrain, trace_levels(terrain, [1.0, 0.0, -0.5, -1.0]))


@pytest.mark.parametrize(("level", "high_corners_joined"), [(0.4, True), (0.6, False)])
def test_saddle_is_decided_by_the_mean(level, high_corners_joined):
    """Two high and two low corners with a mean of 0.5: the corners on the mean's side of the level are joined."""
    terrain = plain_terrain(np.array([[1.0, 0.0], [0.0, 1.0]]))
    traces = trace_levels(terrain, [level])
    centre = [np.hypot(*(trace.xy.mean(axis=0) - 1.0)) for trace in traces]
    corner = traces[0].xy.mean(axis=0) - 1.0
    on_high_diagonal = corner[0] * corner[1] < 0
    assert len(traces) == 2
    assert min(centre) > 0.2
    assert on_high_diagonal != high_corners_joined


@pytest.mark.parametrize(("a", "b"), [(0.1, 0.0), (0.0, -0.1), (0.06, 0.08)])
def test_plane_mean_slope_from_contour_length(a, b):
    """NEH 630 ch. 15 eq. 15-6, slope = length × interval / area, holds on a plane; its lines are straight."""
    terrain = ground(lambda x, y: a * x + b * y, rows=101, columns=101)
    traces = trace_levels(terrain, np.arange(-9.75, 10.0, 0.5))
    total = sum(length_m(trace) for trace in traces)
    assert total * 0.5 / 100.0**2 == pytest.approx(0.1, rel=0.02)
    for trace in traces:
        assert length_m(trace) == pytest.approx(np.hypot(*(trace.xy[-1] - trace.xy[0])), rel=1e-6)


def test_random_ground_mean_slope_from_contour_length():
    """NEH 630 ch. 15 eq. 15-6 with a small interval gives the mean slope of any ground."""
    terrain = plain_terrain(random_heights(7, size=60, sigma=5.0))
    total = sum(length_m(trace) for trace in trace_levels(terrain, np.arange(-4.0, 4.0, 0.05)))
    inner = slope(terrain)
    weight = np.ones(inner.shape)
    weight[[0, -1]] *= 0.5
    weight[:, [0, -1]] *= 0.5
    assert total * 0.05 / weight.sum() == pytest.approx(np.average(inner, weights=weight), rel=0.01)


@pytest.mark.parametrize("slope_down", [0.1, -0.1])
def test_cone_contours_are_circles(slope_down):
    """Contours of a cone are circles of radius (apex − level) / slope, walked with downhill on the right."""
    terrain = ground(lambda x, y: 5.0 - slope_down * np.hypot(x, y))
    radius = np.array([10.0, 20.0, 30.0])
    traces = trace_levels(terrain, 5.0 - slope_down * radius)
    for r, trace in zip(radius, traces, strict=True):
        assert trace.closed
        np.testing.assert_allclose(np.hypot(*trace.xy.T), r, atol=1.0 / (8.0 * r) + 1e-4)
        assert length_m(trace) == pytest.approx(2.0 * np.pi * r, rel=2e-3)
        assert shapely.LinearRing(trace.xy).is_ccw == (slope_down > 0)


def test_paraboloid_rings_have_equal_areas():
    """Between contours of a dome z = −c r² at an even interval every ring has the area π × interval / c."""
    terrain = ground(lambda x, y: -0.01 * (x**2 + y**2), rows=120, columns=120, cell_m=0.5)
    levels = -np.arange(1.0, 7.0)
    areas = [shapely.Polygon(trace.xy).area for trace in trace_levels(terrain, levels)]
    np.testing.assert_allclose(np.diff(areas), np.pi * 1.0 / 0.01, rtol=2e-3)


def test_sinusoidal_hillside_converges_to_its_arc_length():
    """Per wavelength (2/π) λ √(1 + q²) E(k), k² = q²/(1 + q²), q = 2πA/(sλ): the error shrinks fourfold a halving."""
    s, amplitude, wave = 0.1, 0.2, 16.0
    q = 2.0 * np.pi * amplitude / (s * wave)
    exact = 4 * 2.0 / np.pi * wave * np.sqrt(1.0 + q**2) * ellipe(q**2 / (1.0 + q**2))
    errors = []
    for cells in (64, 128):
        cell = 64.0 / cells
        terrain = ground(
            lambda x, y: s * y + amplitude * np.sin(2.0 * np.pi * x / wave),
            rows=cells // 2,
            columns=cells + 1,
            cell_m=cell,
        )
        [trace] = trace_levels(terrain, [0.02])
        errors.append(abs(length_m(trace) - exact))
    assert errors[0] < 0.01 * exact
    assert errors[1] < errors[0] / 3.0


def test_valley_contour_is_a_chevron():
    """Per half width W the contour of z = s y + t |x| is W √(1 + (t/s)²) long."""
    terrain = ground(lambda x, y: 0.1 * y + 0.05 * np.abs(x), rows=81, columns=81)
    [trace] = trace_levels(terrain, [0.999])
    assert length_m(trace) == pytest.approx(2.0 * 40.0 * np.sqrt(1.25), rel=1e-5)


def test_saddle_ground_has_hyperbolas():
    """Contours of z = c (x² − y²) lie on hyperbolas, two branches a level."""
    terrain = ground(lambda x, y: 0.01 * (x**2 - y**2))
    for level_m in (-1.0, 1.0):
        traces = trace_levels(terrain, [level_m])
        assert len(traces) == 2
        for trace in traces:
            x, y = trace.xy.T
            np.testing.assert_allclose(0.01 * (x**2 - y**2), level_m, atol=0.01 * 0.25 + 1e-4)


@pytest.mark.parametrize(
    ("turn", "move"),
    [
        (np.fliplr, lambda xy, w, h: np.column_stack([w - xy[:, 0], xy[:, 1]])),
        (np.flipud, lambda xy, w, h: np.column_stack([xy[:, 0], h - xy[:, 1]])),
        (np.rot90, lambda xy, w, h: np.column_stack([h - xy[:, 1], xy[:, 0]])),
    ],
)
def test_turned_ground_has_turned_contours(turn, move):
    """Mirroring or turning the ground does the same to its contours and nothing else."""
    heights = random_heights(11, sigma=1.5)
    h, w = heights.shape
    before, after = (trace_levels(plain_terrain(surface), LEVELS) for surface in (heights, turn(heights)))
    pairs = [np.hstack([move(path[:, :2], w, h), move(path[:, 2:], w, h)]) for path in [legs(before)]]
    np.testing.assert_allclose(legs(after), sorted_legs(pairs[0]), rtol=0, atol=1e-9)


def test_ground_below_the_sea_has_the_same_contours():
    """A site 430 m below sea level is an ordinary site."""
    heights = random_heights(12)
    before = trace_levels(plain_terrain(heights), LEVELS)
    after = trace_levels(plain_terrain(heights - np.float32(430.0)), np.array(LEVELS) - 430.0)
    np.testing.assert_allclose(legs(after), legs(before), rtol=0, atol=1e-9)


def test_levels_come_in_the_order_given():
    """Traces are grouped by level as listed, open ones before closed ones."""
    traces = trace_levels(plain_terrain(random_heights(13)), [0.4893, -0.6311, 0.0127])
    order = [(round(trace.level_m, 4), trace.closed) for trace in traces]
    rank = {0.4893: 0, -0.6311: 1, 0.0127: 2}
    assert order == sorted(order, key=lambda pair: (rank[pair[0]], pair[1]))
    assert {pair[0] for pair in order} == set(rank)


@pytest.mark.compiled
def test_any_number_of_threads_gives_the_same_bytes():
    """Bands of rows worked in parallel leave no mark."""
    terrain = plain_terrain(random_heights(14, size=300))
    runs = []
    threads = numba.get_num_threads()
    for count in (1, threads):
        numba.set_num_threads(count)
        runs.append(np.vstack([trace.xy for trace in trace_levels(terrain, LEVELS)]).tobytes())
    assert runs[0] == runs[1]


def test_band_seams_leave_no_mark():
    """A tile of more rows than a band has unbroken lines: a plane falling eastward is crossed from end to end."""
    terrain = ground(lambda x, y: -0.1 * x, rows=150, columns=6)
    [trace] = trace_levels(terrain, [0.0])
    assert length_m(trace) == pytest.approx(149.0)


def test_no_level_no_trace():
    """Without levels, or with levels beyond the ground, there is nothing to trace."""
    terrain = plain_terrain(random_heights(15))
    assert trace_levels(terrain, []) == []
    assert trace_levels(terrain, [1e6, -1e6]) == []
    assert trace_levels(Terrain.from_heights(np.ones((1, 1)), plain_terrain(np.ones((1, 1))).grid), [0.5]) == []


def test_level_that_is_no_number_fails():
    """A level must be a finite number."""
    with pytest.raises(InputError, match="levels_m holds nan; every level must be a finite number"):
        trace_levels(plain_terrain(random_heights(16)), [1.0, np.nan])
