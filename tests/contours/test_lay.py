"""Level lines of a site, and what was refused."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from contour_ground import ground, length_m, plain_terrain, random_heights
from scipy.ndimage import gaussian_filter

from swalekit.contours.lay import lay_lines
from swalekit.contours.line import LineRules
from swalekit.contours.obstacles import KeepOut
from swalekit.contours.trace import trace_levels
from swalekit.errors import GeometryError, InputError
from swalekit.terrain.sample import sample_heights

RULES = LineRules(least_length_m=5.0, watercourse_gap_m=2.0)
AREA = shapely.box(-50.0, -30.0, 50.0, 30.0)


def _hillside(across=0.1):
    """Falls southward; the level 0.0 runs straight from west to east through the origin."""
    return ground(lambda x, y: across * y + 0.0 * x, rows=80, columns=120)


def _lay(terrain, levels=(0.0,), area=AREA, rules=RULES, **obstacles):
    lines, refused = lay_lines(terrain, levels, area=area, rules=rules, **obstacles)
    for line in lines:
        _assert_level_line(line, terrain, area, rules)
    return lines, refused


def _assert_level_line(line, terrain, area, rules):
    """Stations are even and close, inside, near their level; the ground falls to the right within the slope window."""
    path = np.vstack([line.xy, line.xy[:1]]) if line.closed else line.xy
    steps = np.hypot(*np.diff(path, axis=0).T)
    assert steps.max() <= rules.station_m + 1e-9
    assert np.ptp(steps) < 0.1 * line.spacing_m
    assert area.buffer(0.05).covers(shapely.LineString(path))
    assert np.abs(line.ground_m - line.level_m).max() <= rules.tolerance_m
    low, high = (sample_heights(terrain, *(line.xy + side * line.downhill).T) for side in (1.0, -1.0))
    assert np.nanmean(high - low) > 0.0
    assert line.cross_slope.min() >= rules.least_slope
    assert line.cross_slope.max() <= 1.02 * rules.greatest_slope  # which holds at the vertices of the contour


def _lengths(refused):
    found = {}
    for part in refused:
        found[part.reason] = found.get(part.reason, 0.0) + part.length_m
    return found


def test_plain_hillside_is_one_line():
    """On a plane a level runs straight through the area, stations at most 2 m apart, and nothing is refused."""
    [line], refused = _lay(_hillside())
    assert line.length_m == pytest.approx(100.0)
    np.testing.assert_allclose(line.ground_m, 0.0, atol=1e-6)
    np.testing.assert_allclose(line.cross_slope, 0.1, rtol=1e-5)
    assert refused == ()


@pytest.mark.parametrize(
    ("kind", "geometry", "setback", "cut_m"),
    [
        ("building", shapely.box(-5.0, -4.0, 5.0, 4.0), 3.0, 16.0),
        ("buried utility", shapely.LineString([(10.0, -20.0), (10.0, 20.0)]), 2.0, 4.0),
        ("well", shapely.Point(0.0, 18.0), 30.0, 48.0),
    ],
)
def test_keep_outs_cut_lines(kind, geometry, setback, cut_m):
    """What lies within the setback is refused in the keep-out's name; the rest is laid."""
    keep_out = KeepOut(kind, geometry, setback, "old one")
    lines, [refused] = _lay(_hillside(), keep_outs=[keep_out])
    assert (refused.reason, refused.detail) == (kind, f"{kind} 'old one', setback {setback:g} m")
    assert refused.length_m == pytest.approx(cut_m, rel=2e-3)
    assert [line.xy[0, 0] for line in lines] == sorted(line.xy[0, 0] for line in lines)
    assert sum(line.length_m for line in lines) == pytest.approx(100.0 - refused.length_m)


def test_watercourses_and_ponds_cut_lines():
    """A watercourse of one cell takes its width and a gap either side, a pond its cells."""
    terrain = _hillside()
    blocked, ponds = (np.zeros(terrain.grid.shape, np.bool_) for _ in range(2))
    blocked[:, 40] = True
    ponds[:, 90:100] = True
    lines, refused = _lay(terrain, blocked=blocked, ponds=ponds)
    assert _lengths(refused) == pytest.approx({"watercourse": 5.0, "pond": 10.0})
    assert [round(line.length_m, 6) for line in lines] == [28.0, 47.0, 10.0]


@pytest.mark.parametrize(("slope_east", "reason"), [(0.4, "too steep"), (0.004, "too flat")])
def test_slope_window_cuts_lines(slope_east, reason):
    """Where the ground east of x = 20 is too steep or too flat, the line ends near there."""
    terrain = ground(lambda x, y: np.where(x < 20.0, 0.1, slope_east) * y, rows=80, columns=120)
    lines, refused = _lay(terrain)
    laid = max(lines, key=lambda line: line.length_m)
    assert laid.xy[:, 0].max() == pytest.approx(20.0, abs=4.0)
    assert reason in _lengths(refused)
    assert _lengths(refused)[reason] == pytest.approx(30.0, abs=4.0)


def test_ground_that_falls_the_other_way_cuts_lines():
    """East of x = 20 the ground falls northward but for a metre beside the line, which counts as too flat there."""

    def surface(x, y):
        beside = np.clip(y, -1.0, 1.0)
        return 0.1 * np.where(x < 20.0, y, beside - 2.0 * (y - beside))

    lines, refused = _lay(ground(surface, rows=80, columns=120))
    [west] = [line for line in lines if np.abs(line.xy[:, 1]).max() < 0.5]
    assert west.xy[:, 0].max() == pytest.approx(20.0, abs=4.0)
    assert _lengths(refused)["too flat"] == pytest.approx(30.0, abs=4.0)


def test_slope_detail_is_averaged():
    """Noise that makes single spots too flat does not shred a line: it is laid in one piece."""
    noise = 0.02 * np.random.default_rng(5).standard_normal((160, 240))
    terrain = ground(lambda x, y: 0.025 * y + noise, rows=160, columns=240, cell_m=0.5)
    lines, _ = _lay(terrain, rules=replace(RULES, tolerance_m=0.15))
    assert max(line.length_m for line in lines) > 95.0


def test_sharp_bend_is_refused():
    """A steep chevron is cut at its apex for the bend and laid on both sides."""
    terrain = ground(lambda x, y: 0.1 * y + 0.15 * np.abs(x), rows=120, columns=120, cell_m=0.5)
    lines, refused = _lay(terrain, levels=(-1.0,), area=shapely.box(-20, -28, 20, 28))
    assert {part.reason for part in refused} == {"bend"}
    assert len(lines) == 2
    assert all(np.abs(part.xy[:, 0]).max() < 8.0 for part in refused)


def test_waves_are_eased_up_to_the_edge_of_the_area():
    """Waves of 4 m are no course for a machine: the line runs within 0.1 m of their middle to its very ends."""
    terrain = ground(lambda x, y: 0.1 * (y - 0.5 * np.cos(0.5 * np.pi * (x - 50.0))), rows=160, columns=280, cell_m=0.5)
    [line], refused = _lay(terrain)
    assert refused == ()
    assert line.xy[[0, -1], 0] == pytest.approx([-50.0, 50.0])
    assert np.abs(line.xy[:, 1]).max() < 0.1


def test_ground_far_from_the_area_changes_no_line():
    """Lines are the same to the last bit whatever lies beyond twice the slope's support and the bend's radius."""
    near, far = (gaussian_filter(np.random.default_rng(seed).standard_normal((120, 180)), 2.0) for seed in (1, 2))
    x, y = np.abs(np.arange(180) - 89.5), np.abs(np.arange(120) - 59.5)[:, np.newaxis]
    margin_m = 2.0 * (RULES.slope_support_m + RULES.bend_radius_m) + 2.0
    beyond = (x > 50.0 + margin_m) | (y > 30.0 + margin_m)
    one, other = (
        lay_lines(ground(lambda _, y, rough=rough: 0.1 * y + rough, rows=120, columns=180), [-1.0, 1.0], area=AREA)
        for rough in (near, np.where(beyond, far, near))
    )
    assert len(one[0]) > 1
    for mine, theirs in zip((*one[0], *one[1]), (*other[0], *other[1]), strict=True):
        np.testing.assert_array_equal(mine.xy, theirs.xy)


def test_every_metre_is_accounted_for():
    """Laid and refused lengths add up to the contours within the area where smoothing has nothing to do."""
    terrain = _hillside()
    levels = np.arange(-3.45, 3.5, 0.6)
    keep_out = KeepOut("septic field", shapely.Point(3.0, 2.0).buffer(6.0), 5.0)
    blocked = np.zeros(terrain.grid.shape, np.bool_)
    blocked[np.arange(80), np.arange(80) + 20] = True
    area = shapely.Point(0.0, 0.0).buffer(28.0)
    lines, refused = _lay(terrain, levels=levels, area=area, keep_outs=[keep_out], blocked=blocked)
    traced = sum(shapely.LineString(trace.xy).intersection(area).length for trace in trace_levels(terrain, levels))
    total = sum(line.length_m for line in lines) + sum(part.length_m for part in refused)
    assert total == pytest.approx(traced, abs=1e-3)
    assert {"septic field", "watercourse", "short"} <= set(_lengths(refused))


@pytest.mark.parametrize("fall", [0.1, -0.1])
def test_rings_have_downhill_on_their_right(fall):
    """Round a knoll downhill is outside, in a basin inside; either ring is laid closed."""
    terrain = ground(lambda x, y: -fall * np.hypot(x, y))
    [line], _ = _lay(terrain, levels=[-fall * 20.0], area=shapely.box(-40, -40, 40, 40))
    outward = (line.downhill * line.xy).sum(axis=1)
    assert line.closed
    assert (np.sign(outward) == np.sign(fall)).all()
    assert line.length_m == pytest.approx(2.0 * np.pi * 20.0, rel=0.01)
    assert line.width_m.sum() == pytest.approx(line.length_m)


def test_ring_cut_once_is_one_open_line():
    """A ring that a fence crosses once is one piece, joined across the seam of its vertices."""
    terrain = ground(lambda x, y: -0.1 * np.hypot(x, y))
    for angle in np.linspace(0.1, 6.1, 5):
        far = 40.0 * np.array([np.cos(angle), np.sin(angle)])
        fence = KeepOut("property line", shapely.LineString([0.1 * far, far]), 1.0)
        [line], [refused] = _lay(terrain, levels=[-2.0], area=shapely.box(-40, -40, 40, 40), keep_outs=[fence])
        assert not line.closed
        assert line.length_m + refused.length_m == pytest.approx(2.0 * np.pi * 20.0, rel=0.01)


@pytest.mark.parametrize(("radius", "reason"), [(7.0, "small ring"), (12.0, None)])
def test_small_rings_are_refused(radius, reason):
    """A ring shorter than the least is not worth a ditch."""
    terrain = ground(lambda x, y: -0.1 * np.hypot(x, y))
    lines, refused = _lay(terrain, levels=[-0.1 * radius], area=shapely.box(-40, -40, 40, 40))
    assert [part.reason for part in refused] == ([reason] if reason else [])
    assert len(lines) == (reason is None)


def test_short_pieces_are_refused():
    """What is left between two obstacles too close together is refused as short, with its length."""
    wells = [KeepOut("well", shapely.Point(x, 0.0), 10.0) for x in (-12.0, 12.0)]
    _, refused = _lay(_hillside(), keep_outs=wells)
    short = [part for part in refused if part.reason == "short"]
    assert [part.detail for part in short] == ["4.0 m long, least 5 m"]


def test_lines_read_from_the_top_and_from_the_west():
    """Lines come by level, highest first, then from west to east, however the levels are listed."""
    fence = KeepOut("road", shapely.LineString([(0.0, -40.0), (0.0, 40.0)]), 2.0)
    lines, _ = _lay(_hillside(), levels=[-1.05, 1.05, 0.05], keep_outs=[fence])
    assert [(line.level_m, line.xy[:, 0].mean() > 0) for line in lines] == [
        (level, east) for level in (1.05, 0.05, -1.05) for east in (False, True)
    ]


def test_site_half_off_the_tile():
    """Ground without heights carries no line, and a site off the tile has none."""
    lines, _ = _lay(_hillside(), area=shapely.box(30.0, -30.0, 200.0, 30.0))
    assert [round(line.xy[:, 0].max(), 1) for line in lines] == [59.5]
    assert _lay(_hillside(), area=shapely.box(500.0, 0.0, 600.0, 50.0)) == ((), ())


def test_ground_beside_a_void_is_measured_from_the_other_side():
    """A void below a line leaves the slope above it to go by, a void on the line ends it."""
    terrain = ground(
        lambda x, y: np.where((np.abs(x) < 10.0) & (y < -1.6) | (np.hypot(x - 30.0, y) < 5.0), np.nan, 0.1 * y),
        rows=80,
        columns=120,
    )
    lines, refused = _lay(terrain)
    assert sum(line.length_m for line in lines) > 85.0
    assert all(np.isfinite(line.ground_m).all() for line in lines)
    assert set(_lengths(refused)) <= {"void", "short"}


def test_rolling_ground_is_the_same_below_the_sea():
    """Lines on rolling ground keep every promise and don't depend on the height above sea level."""
    heights = 2.0 * random_heights(2, size=100, sigma=14.0)
    area = shapely.Point(50.0, 50.0).buffer(45.0)
    lines, _ = _lay(plain_terrain(heights), levels=[-1.511, 0.217], area=area)
    below, _ = _lay(plain_terrain(heights - np.float32(430.0)), levels=[-431.511, -429.783], area=area)
    assert len(lines) == len(below) > 0
    for line, other in zip(lines, below, strict=True):
        np.testing.assert_allclose(line.xy, other.xy, atol=1e-3)


def test_same_input_same_bytes():
    """Laying lines twice gives the same lines to the last bit."""
    terrain = plain_terrain(2.0 * random_heights(4, size=80, sigma=10.0))
    area = shapely.box(5.0, 5.0, 80.0, 75.0)
    first, second = (lay_lines(terrain, [-1.0, 0.5], area=area) for _ in range(2))
    for one, two in zip((*first[0], *first[1]), (*second[0], *second[1]), strict=True):
        assert one.xy.tobytes() == two.xy.tobytes()
    assert length_m(trace_levels(terrain, [0.5])[0]) > 0.0


def test_keep_out_kind_fails():
    """An unknown kind is refused with the nearest known one."""
    with pytest.raises(InputError, match="did you mean 'building'"):
        KeepOut("buildings", shapely.Point(0, 0), 5.0)


def test_keep_out_without_ground_fails():
    """A line or point without a setback keeps nothing out."""
    with pytest.raises(GeometryError, match="geometry is a LineString; give it a setback greater than zero"):
        KeepOut("road", shapely.LineString([(0, 0), (1, 1)]), 0.0)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"station_m": 3.0}, "station_m is 3; it must lie between 0 and 2"),
        ({"tolerance_m": 0.0}, "tolerance_m is 0"),
        ({"least_ring_m": -1.0}, "least_ring_m is -1"),
        ({"least_slope": 0.3}, "least_slope must not exceed greatest_slope"),
    ],
)
def test_rules_out_of_range_fail(change, words):
    """Each limit is checked when the rules are made."""
    with pytest.raises(InputError, match=words):
        LineRules(**change)
