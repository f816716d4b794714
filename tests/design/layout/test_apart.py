"""Works that can't be built: their stretches are trimmed or refused, never counted."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import KeepOut
from swalekit.design.layout.apart import fit_for_works, kept_apart, on_known_ground
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import make_layout
from swalekit.design.layout.sized_apart import sized_apart
from swalekit.design.plan.pipeline import plan
from swalekit.earthwork.built_ground import build_ground
from swalekit.section.footprint import footprint_parts, works_footprint
from swalekit.section.section import Section
from swalekit.section.shape import shape_swale
from swalekit.section.stations import Stations
from swalekit.terrain.terrain import Terrain

STATION_M, LEAST_M = 2.0, 15.0
MIDDLE = np.array([WEST + 100.0, NORTH - 100.0])


@pytest.fixture(scope="module")
def ground():
    """A plane of 200 m by 200 m without hollows or watercourses."""
    return study_ground(make_site(), plane(shape=(200, 200)))


def straight(y_m, level_m, *, x_m=(-30.0, 30.0), slope=0.1):
    """A line that runs west to east, downhill southward; places from the middle of the ground."""
    x = np.arange(x_m[0], x_m[1] + 1.0, STATION_M)
    xy = MIDDLE + np.column_stack([x, np.full(x.size, y_m)])
    return LevelLine(level_m, False, xy, np.full(x.size, level_m), np.full(x.size, slope))


def ring(radius_m, level_m, *, outward=True, slope=0.1):
    """A ring, downhill outward as round a knoll, or inward as in a bowl."""
    angle = np.linspace(0.0, 2 * np.pi, round(np.pi * radius_m), endpoint=False)
    xy = MIDDLE + radius_m * np.column_stack([np.sin(angle), np.cos(angle)])
    line = LevelLine(level_m, True, xy, np.full(len(xy), level_m), np.full(len(xy), slope))
    is_outward = (line.downhill * (line.xy - MIDDLE)).sum(axis=1).mean() > 0
    return line if is_outward == outward else replace(line, xy=xy[::-1].copy())


def swale(line, depth_m=0.3, *, reach_m=0.0):
    """A swale along a line."""
    return line, shape_swale(Stations.of_line(line, np.full(len(line.xy), reach_m)), depth_m, Section())


def works_of(lines, depth_m=0.3):
    """Ground of the works along lines."""
    return [works_footprint(*swale(line, depth_m)) for line in lines]


def beyond_m(depth_m=0.3):
    """How far works reach beyond the end of a line, by the corners of its return."""
    _, shape = swale(straight(0.0, 10.0), depth_m)
    return float(shape.returns.outline_m[0, :, 0].max())


def reasons(refused):
    """Reasons of refused stretches."""
    return {stretch.reason for stretch in refused}


@pytest.mark.parametrize(("gap_m", "kept"), [(2.5, 1), (6.0, 2)])
def test_the_upper_line_stays(ground, gap_m, kept):
    """Works of 0.3 m fit 6 m apart and not 2.5 m apart; the lower line is refused whole, with its reason."""
    lines = (straight(0.0, 10.0), straight(-gap_m, 10.0 - 0.1 * gap_m))
    left, refused = fit_for_works(make_site(), ground, lines, depth_m=0.3)
    assert left == lines[:kept]
    assert [stretch.reason for stretch in refused] == ["too close"] * (2 - kept)
    assert sum(stretch.length_m for stretch in refused) == pytest.approx(60.0 * (2 - kept))


def test_deeper_works_need_more_room(ground):
    """Lines that carry the least works are too close for deep ones."""
    lines = (straight(0.0, 10.0), straight(-6.0, 9.4))
    left, refused = kept_apart(make_site(), ground, [swale(line, 1.0) for line in lines])
    assert (left, reasons(refused)) == (lines[:1], {"too close"})


def test_a_pond_does_not_stand_on_works_above(ground):
    """On 2 % the pond of the lower line would reach the berm 9 m above it; without its pond the line is kept."""
    lines = (straight(0.0, 10.0, slope=0.02), straight(-9.0, 9.82, slope=0.02))
    dry, _ = kept_apart(make_site(), ground, [swale(line, 0.4) for line in lines])
    wet, refused = kept_apart(make_site(), ground, [swale(line, 0.4, reach_m=30.0) for line in lines])
    assert (dry, wet, reasons(refused)) == (lines, lines[:1], {"too close"})


def test_only_the_close_stretch_is_taken_out(ground):
    """A short line takes out of the one below what lies beneath it and its returns; the rest stays, clear of it."""
    short, long = straight(0.0, 10.0, x_m=(-10.0, 10.0)), straight(-3.0, 9.7, x_m=(-60.0, 60.0))
    (upper, *lower), (stretch,) = kept_apart(make_site(), ground, [swale(short), swale(long)])
    west, east = lower
    assert upper is short
    assert (west.xy[0, 0], east.xy[-1, 0]) == (MIDDLE[0] - 60.0, MIDDLE[0] + 60.0)
    assert stretch.reason == "too close"
    assert west.length_m + stretch.length_m + east.length_m == pytest.approx(120.0)
    works = works_of([upper, west, east])
    assert shapely.union_all(works).area == pytest.approx(sum(work.area for work in works))
    needed_m = 20.0 + 4 * beyond_m()
    assert needed_m <= stretch.length_m <= needed_m + 2 * STATION_M + 1.0
    _, more = kept_apart(make_site(lines={"least_length_m": 80.0}), ground, [swale(short), swale(long)])
    assert sorted(part.reason for part in more) == ["short", "short", "too close"]


def test_a_ring_is_opened_once(ground):
    """What is left of a ring is one open line across its seam."""
    above = straight(22.0, 11.0, x_m=(-8.0, 8.0))
    left, refused = kept_apart(make_site(), ground, [swale(above), swale(ring(20.0, 10.0))])
    assert [line.closed for line in left] == [False, False]
    assert reasons(refused) == {"too close"}
    taken_m = sum(stretch.length_m for stretch in refused)
    assert left[1].length_m + taken_m == pytest.approx(2 * np.pi * 20.0, abs=0.5)
    assert taken_m > 16.0


def test_pieces_of_one_contour_leave_room_for_both_returns(ground):
    """Of two pieces 1 m apart the longer is kept whole, and the shorter cut back by what both returns take."""
    lines = (straight(0.0, 10.0, x_m=(-50.0, -1.0)), straight(0.0, 10.0, x_m=(0.0, 80.0)))
    (west, east), (stretch,) = kept_apart(make_site(), ground, [swale(line) for line in lines])
    assert east is lines[1]
    assert stretch.reason == "too close"
    gap_m = east.xy[0, 0] - west.xy[-1, 0]
    assert 2 * beyond_m() <= gap_m <= 2 * beyond_m() + STATION_M + 0.5


@pytest.mark.parametrize(("kind", "reason"), [("watercourses", "watercourse"), ("ponds", "pond")])
def test_works_keep_a_cell_off_water(ground, kind, reason):
    """Water across a line: it ends a return's reach and a cell before it, on both sides, to a station."""
    wet = np.zeros(ground.terrain.grid.shape, bool)
    wet[:, 100] = True  # 100 m to 101 m east
    parts, refused = kept_apart(make_site(), replace(ground, **{kind: wet}), [swale(straight(0.0, 10.0))])
    assert reasons(refused) == {reason}
    west_m, east_m = parts[0].xy[-1, 0] - MIDDLE[0], parts[1].xy[0, 0] - MIDDLE[0]
    needed_m = beyond_m() + 1.0
    assert -needed_m - STATION_M - 0.5 <= west_m <= -needed_m + 0.5
    assert 1.0 + needed_m - 0.5 <= east_m <= 1.0 + needed_m + STATION_M + 0.5


def test_the_pond_may_reach_a_hollow_and_the_works_may_not(ground):
    """Water of a hollow 6 m above a line lies in its pond on 2 %, and below it under its berm."""
    line = swale(straight(0.0, 10.0, slope=0.02), 0.4, reach_m=30.0)
    above, below = (np.zeros(ground.terrain.grid.shape, bool) for _ in range(2))
    above[93, 95:105] = below[102, 95:105] = True
    assert kept_apart(make_site(), replace(ground, ponds=above), [line]) == ((line[0],), ())
    assert reasons(kept_apart(make_site(), replace(ground, ponds=below), [line])[1]) == {"pond"}
    assert reasons(kept_apart(make_site(), replace(ground, watercourses=above), [line])[1]) == {"watercourse"}


def test_works_and_pond_need_known_ground(ground):
    """A line from edge to edge ends a return's reach and a cell before them; so does one beside a void."""
    line = straight(0.0, 10.0, x_m=(-99.0, 99.0))
    (left,), refused = kept_apart(make_site(), ground, [swale(line)])
    assert [stretch.reason for stretch in refused] == ["unknown ground"] * 2
    ends_m = np.abs(left.xy[[0, -1], 0] - MIDDLE[0])
    needed_m = 100.0 - 1.0 - beyond_m()
    assert ((needed_m - STATION_M - 0.5 <= ends_m) & (ends_m <= needed_m + 0.5)).all()
    heights = ground.terrain.heights.copy()
    heights[105, 100] = np.nan  # 5 m below the line: more than a cell beyond works of 0.3 m, within those of 1 m
    holed = replace(ground, terrain=Terrain.from_heights(heights, ground.terrain.grid))
    line = straight(0.0, 10.0, x_m=(-60.0, 60.0))
    assert kept_apart(make_site(), holed, [swale(line, 0.3)])[1] == ()
    assert reasons(kept_apart(make_site(), holed, [swale(line, 1.0)])[1]) == {"unknown ground"}


def test_works_keep_off_keep_outs_and_the_property_line(ground):
    """A pipe under the berm, and a boundary across it, though the line itself keeps clear of both."""
    line = straight(0.0, 10.0)
    pipe = KeepOut("buried utility", shapely.LineString([MIDDLE - [0.0, 2.0], MIDDLE - [0.0, 9.0]]), 0.5, "Pipe")
    _, (stretch,) = kept_apart(replace(make_site(), keep_outs=(pipe,)), ground, [swale(line)])
    assert (stretch.reason, stretch.detail) == ("buried utility", "its works would reach the buried utility 'Pipe'")
    assert 2 * beyond_m() <= stretch.length_m <= 2 * beyond_m() + 2 * STATION_M + 0.5
    land = shapely.box(*(MIDDLE - [90.0, 2.0]), *(MIDDLE + 90.0))
    assert kept_apart(make_site(land), ground, [swale(line)])[0] == ()
    assert reasons(kept_apart(make_site(land), ground, [swale(line)])[1]) == {"property line"}


@pytest.mark.parametrize(
    ("radius_m", "slope", "outward"), [(4.0, 0.02, True), (4.0, 0.1, True), (12.0, 0.02, True), (12.0, 0.1, False)]
)
def test_a_ring_needs_ground_within_its_works(ground, radius_m, slope, outward):
    """The pond covers all of a knoll of 4 m radius on 2 %, not on 10 %; in a wide bowl there is room for the berm."""
    swales = [swale(ring(radius_m, 10.0, outward=outward, slope=slope), 0.5, reach_m=9.0)]
    left, refused = kept_apart(make_site(), ground, swales)
    fits = radius_m > 5.0 or slope > 0.05
    assert len(left) == fits
    assert [(part.reason, part.detail) for part in refused] == [
        ("small ring", "its works and its pond leave no ground within it")
    ] * (not fits)


@pytest.mark.parametrize(("radius_m", "kept"), [(2.0, 2), (9.0, 1)])
def test_a_bend_too_tight_for_its_berm_is_taken_out(ground, radius_m, kept):
    """Round the head of a narrow valley the berm would lie on itself: two lines are left; round a wide one it fits."""
    turn = np.linspace(0.0, np.pi, round(np.pi * radius_m / STATION_M) + 1)[1:-1]
    limb = np.arange(60.0, -0.1, -STATION_M)
    side = np.stack([-radius_m - 0.1 * limb, -limb], axis=1)  # limbs that open downhill
    bend = radius_m * np.stack([-np.cos(turn), np.sin(turn)], axis=1)
    xy = MIDDLE + np.vstack([side, bend, side[::-1] * [-1.0, 1.0]])
    line = LevelLine(10.0, False, xy, np.full(len(xy), 10.0), np.full(len(xy), 0.1))
    assert line.downhill[len(xy) // 2, 1] < -0.8  # the berm lies within
    left, refused = kept_apart(make_site(), ground, [swale(line)])
    assert len(left) == kept
    assert reasons(refused) <= ({"bend", "too close"} if kept == 2 else set())
    assert ("bend" in reasons(refused)) == (kept == 2)
    for part in left:
        strips = shapely.make_valid(shapely.polygons(footprint_parts(*swale(part)).works_m))
        assert shapely.area(strips).sum() - shapely.union_all(strips).area <= 0.5


def test_lines_stay_three_cells_apart():
    """At cells of 4 m works of 0.3 m fit 10 m apart, but the cells can't tell the lines apart."""
    ground = study_ground(make_site(), plane(shape=(60, 60), cell_m=4.0))
    near, far = (straight(-gap_m, 9.0, x_m=(-40.0, 40.0)) for gap_m in (10.0, 13.0))
    above = straight(0.0, 10.0, x_m=(-40.0, 40.0))
    assert len(kept_apart(make_site(), ground, [swale(above), swale(far)])[0]) == 2
    left, (stretch,) = kept_apart(make_site(), ground, [swale(above), swale(near)])
    assert left == (above,)
    assert stretch.detail == "less than 3 cells of 4 m from a line of another level"


def test_lines_that_are_given_are_only_cut_off_the_known_ground(ground):
    """What lies beyond the tile is cut, to the station; the rest is as it was given, with its caution."""
    beyond, inside = straight(0.0, 110.0, x_m=(-40.0, 120.0)), straight(-2.0, 109.8)
    (upper, lower), (stretch,) = on_known_ground(make_site(), ground, [beyond, inside])
    assert (upper.xy[-1, 0] - MIDDLE[0], stretch.reason) == (98.0, "unknown ground")
    assert lower is inside
    design = plan(make_site(), ground.terrain, lines=[beyond, inside])
    assert [swale.line.length_m for swale in design.swales] == [138.0, 60.0]
    assert [caution.name for caution in design.swales[1].cautions].count("works overlap") == 1


def test_no_works_of_a_plan_overlap():
    """At an interval of 0.3 m on 10 % every other line is refused; what is planned can be built, by its polygons."""
    design = plan(make_site(levels={"interval_m": 0.3}), plane(0.1, shape=(80, 90), cell_m=0.5))
    works = [swale.works for swale in design.swales]
    assert 5 <= len(works) <= 8
    assert reasons(design.refused) == {"too close", "unknown ground"}
    assert shapely.union_all(works).area == pytest.approx(sum(work.area for work in works), rel=1e-6)


@pytest.mark.compiled
@pytest.mark.parametrize("seed", [7, 8, 11])
def test_on_any_ground_what_is_sized_can_be_built(seed):
    """Once sized, works share no ground with each other, water or the outer half cell; nothing more is taken."""
    rules = {"least_ring_m": 30.0, "watercourse_area_m2": 1000.0, "greatest_slope": 0.3}
    site = make_site(lines=rules, levels={"interval_m": 1.0})
    ground = study_ground(site, hills(seed, side=160))
    layout, water = sized_apart(site, ground, make_layout(site, ground))
    swales = list(zip(layout.lines, (swale.shape for swale in water.sized), strict=True))
    assert len(swales) >= 5
    assert kept_apart(site, ground, swales) == (layout.lines, ())
    works = np.array([works_footprint(*swale) for swale in swales])
    assert shapely.union_all(works).area == pytest.approx(shapely.area(works).sum(), abs=0.5)
    grid, rim = ground.terrain.grid, np.ones(ground.terrain.grid.shape, bool)
    rim[1:-1, 1:-1] = False
    assert (ground.watercourses & ~rim).any()
    x, y = grid.centres(*np.nonzero(ground.watercourses | ground.ponds))
    half_m = grid.cell_m / 2
    assert not shapely.intersects(
        shapely.union_all(works), shapely.box(x - half_m, y - half_m, x + half_m, y + half_m)
    ).any()
    west, south, east, north = shapely.total_bounds(works)
    least, most = np.array(grid.bounds[:2]) + half_m, np.array(grid.bounds[2:]) - half_m
    assert (least <= [west, south]).all()
    assert ([east, north] <= most).all()


@pytest.mark.parametrize("depth_m", [0.4, 0.6])
def test_an_end_over_a_gully_is_cut_back_until_its_fill_is_low(depth_m):
    """A gully 2 m deep beyond the east end, where the return would stand; the fine cells of the ground built agree."""
    terrain = plane(shape=(200, 200))
    x, _ = terrain.grid.centres(*np.indices(terrain.grid.shape))
    dug = Terrain.from_heights(terrain.heights - 2.0 * np.exp(-(((x - MIDDLE[0] - 33.0) / 2.0) ** 2)), terrain.grid)
    ground = study_ground(make_site(lines={"watercourse_area_m2": 1e6}), dug)
    level_m = float(dug.heights[100, 100])
    line, shape = swale(straight(0.0, level_m), depth_m)

    def fill_m(line):
        built = build_ground(dug, [line], [swale(line, depth_m)[1]])
        return float(built.greatest_fill_m[0])

    assert fill_m(line) > 1.0
    (kept,), refused = kept_apart(make_site(), ground, [(line, shape)])
    assert reasons(refused) == {"high fill"}
    assert fill_m(kept) <= 1.0
    assert kept.xy[0, 0] == line.xy[0, 0]
    assert STATION_M <= line.length_m - kept.length_m <= 10.0
    high = make_site(section={"greatest_fill_m": 3.0})
    assert kept_apart(high, ground, [(line, shape)]) == ((line,), ())
