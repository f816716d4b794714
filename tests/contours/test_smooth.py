"""Contours eased for a digger."""

import numpy as np
import pytest
from contour_ground import ground, length_m, plain_terrain, random_heights

from swalekit.contours.polyline import path_of
from swalekit.contours.smooth import SmoothTrace, smooth_traces
from swalekit.contours.trace import Trace, trace_levels
from swalekit.errors import InputError
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

TOLERANCE_M, RADIUS_M = 0.10, 4.0


def _smooth(terrain: Terrain, levels: list[float]) -> tuple[list[Trace], list[SmoothTrace]]:
    traces = trace_levels(terrain, levels)
    smooth = smooth_traces(terrain, traces, tolerance_m=TOLERANCE_M, bend_radius_m=RADIUS_M)
    for trace, smoothed in zip(traces, smooth, strict=True):
        _assert_smooth(terrain, trace, smoothed)
    return traces, smooth


def _assert_smooth(terrain: Terrain, raw: Trace, smooth: SmoothTrace) -> None:
    """Level and kind are kept, ends stay put, and vertices that aren't sharp are on their level in a wide bend."""
    trace, fit = smooth.trace, ~smooth.sharp
    assert (trace.level_m, trace.closed) == (raw.level_m, raw.closed)
    if not trace.closed:
        np.testing.assert_allclose(trace.xy[[0, -1]], raw.xy[[0, -1]])
    off = np.abs(sample_heights(terrain, *trace.xy.T) - trace.level_m)
    assert (off[fit] <= TOLERANCE_M + 1e-9).all()
    xy = np.vstack([trace.xy[-2:], trace.xy, trace.xy[:2]]) if trace.closed else trace.xy
    before, after = xy[2:-2] - xy[:-4], xy[4:] - xy[2:-2]
    radius = _radius(before, after)
    assert (radius[fit if trace.closed else fit[2:-2]] >= RADIUS_M - 1e-9).all()


def _radius(before, after):
    """Radius of the circle through three points, by the law of sines."""
    chord = np.hypot(*(before + after).T)
    turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1))
    return chord / (2.0 * np.abs(np.sin(turn)) + 1e-15)


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("noise_m", [0.0, 0.02])
def test_promises_hold_on_hills(seed, noise_m):
    """On rolling ground, clean or with 2 cm of noise, every vertex that isn't sharp keeps tolerance and radius."""
    rng = np.random.default_rng(seed)
    heights = 2.0 * random_heights(seed, size=120, sigma=14.0) + noise_m * rng.standard_normal((120, 127))
    _, smooth = _smooth(plain_terrain(heights), [-1.511, 0.217, 1.913])
    sharp = np.concatenate([smoothed.sharp for smoothed in smooth if length_m(smoothed.trace) > 60.0])
    assert sharp.mean() < 0.25


def test_noise_is_taken_out():
    """On a plane under 2 cm of noise the line is nearly as short as the plane's own contour; the raw one is longer."""
    noise = 0.02 * np.random.default_rng(3).standard_normal((80, 200))
    terrain = ground(lambda x, y: 0.05 * y + noise, rows=80, columns=200, cell_m=0.5)
    traces, smooth = _smooth(terrain, [0.0])
    longest = max(range(len(traces)), key=lambda i: length_m(traces[i]))
    assert not smooth[longest].sharp.any()
    assert length_m(traces[longest]) > 1.1 * 99.5
    assert length_m(smooth[longest].trace) < 1.02 * 99.5


@pytest.mark.parametrize(("a", "b"), [(0.0, 0.1), (0.06, 0.08)])
def test_straight_lines_stay(a, b):
    """A straight contour is only given new vertices, once or twice."""
    terrain = ground(lambda x, y: a * x + b * y)
    [raw], [once] = _smooth(terrain, [0.0])
    [twice] = smooth_traces(terrain, [once.trace], tolerance_m=TOLERANCE_M, bend_radius_m=RADIUS_M)
    assert length_m(once.trace) == pytest.approx(length_m(raw), rel=1e-6)
    np.testing.assert_allclose(twice.trace.xy, once.trace.xy, atol=1e-5)
    assert not once.sharp.any()


def test_wide_bends_stay():
    """A sinusoidal hillside whose bends are wider than the radius is left within 2 cm of its level."""
    terrain = ground(lambda x, y: 0.1 * y + 0.2 * np.sin(2.0 * np.pi * x / 40.0), cell_m=0.5)
    _, [smooth] = _smooth(terrain, [0.3])
    assert not smooth.sharp.any()
    assert np.abs(sample_heights(terrain, *smooth.trace.xy.T) - 0.3).max() < 0.02


@pytest.mark.parametrize(("radius", "is_sharp"), [(8.0, False), (2.0, True)])
def test_rings_by_radius(radius, is_sharp):
    """Round a steep cone a ring wider than the bend radius is fit all round, one far narrower is sharp all round."""
    terrain = ground(lambda x, y: -0.5 * np.hypot(x, y), cell_m=0.5)
    _, [smooth] = _smooth(terrain, [-0.5 * radius])
    assert smooth.sharp.all() == smooth.sharp.any() == is_sharp


@pytest.mark.parametrize(
    ("along", "across", "is_sharp"),
    [(0.05, 0.02, False), (0.05, 0.05, False), (0.10, 0.30, True)],
)
def test_valley_bend_is_eased_where_the_tolerance_allows(along, across, is_sharp):
    """A chevron of turn 2θ needs room R (1/cos θ − 1) across the line; the tolerance gives 2 × 0.10 m / slope."""
    turn, steepness = np.arctan(across / along), np.hypot(along, across)
    needed, given = RADIUS_M * (1.0 / np.cos(turn) - 1.0), 2.0 * TOLERANCE_M / steepness
    assert (needed > given) == is_sharp
    terrain = ground(lambda x, y: along * y + across * np.abs(x), cell_m=0.5)
    _, [smooth] = _smooth(terrain, [-0.5])
    sharp_x = smooth.trace.xy[smooth.sharp, 0]
    assert (sharp_x.size > 4) == (sharp_x.size > 0) == is_sharp
    assert (np.abs(sharp_x) < 2.0 * RADIUS_M).all()


def test_vertices_that_leave_the_tolerance_are_brought_back():
    """Waves 6 m long and 0.7 m to and fro on a 30 % hillside bend at 1.4 m radius: they are eased within 0.10 m."""
    terrain = ground(lambda x, y: 0.3 * y + 0.2 * np.sin(2.0 * np.pi * x / 6.0), cell_m=0.5)
    _, [smooth] = _smooth(terrain, [0.3])
    assert not smooth.sharp.any()


def test_lines_beside_a_void_end_where_they_did():
    """A trace that ends at a void keeps its ends."""
    terrain = ground(lambda x, y: np.where(np.hypot(x - 5.0, y) < 4.0, np.nan, 0.1 * y))
    traces, smooth = _smooth(terrain, [0.02])
    assert len(traces) == len(smooth) == 2
    assert all(np.isfinite(path_of(smoothed.trace.xy, closed=False)).all() for smoothed in smooth)


def test_nothing_to_smooth():
    """Without traces there are none."""
    assert smooth_traces(ground(lambda x, y: x), [], tolerance_m=0.1, bend_radius_m=4.0) == []


@pytest.mark.parametrize(("tolerance", "radius"), [(0.0, 4.0), (0.1, -1.0)])
def test_rules_that_are_not_positive_fail(tolerance, radius):
    """Tolerance and radius must be greater than zero."""
    with pytest.raises(InputError, match="must be greater than zero"):
        smooth_traces(ground(lambda x, y: x), [], tolerance_m=tolerance, bend_radius_m=radius)
