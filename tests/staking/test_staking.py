"""Stakes: where they stand, what they say, their numbers."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST
from staked_ground import (
    BERM_TOE,
    CREST_INNER,
    CREST_OUTER,
    DOWNHILL_LIP,
    DOWNHILL_TOE,
    LINE_Y,
    UPHILL_LIP,
    assert_close,
    cone,
    ring,
    sloping_plane,
    staked,
    straight,
)

from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.section.footprint import works_footprint
from swalekit.staking.breaklines import KINDS, breaklines
from swalekit.staking.places import StakeRules, sharp_bends_m, stake_places
from swalekit.staking.stake import Benchmark, stake_number
from swalekit.staking.stake_out import stake_out, survey_points
from swalekit.terrain.survey_points import SurveyPoints


def corner_line(*, closed: bool = False) -> LevelLine:
    """40 m north, then 40 m west; closed, a square of that."""
    side = np.arange(0.0, 40.0, 2.0)
    legs = [np.column_stack([0 * side + 40.0, side]), np.column_stack([40.0 - side, 0 * side + 40.0])]
    rest = [np.column_stack([0 * side, 40.0 - side]), np.column_stack([side, 0 * side])]
    xy = np.vstack([*legs, *rest] if closed else [*legs, [[0.0, 40.0]]]) + np.array([WEST + 40.0, NORTH - 80.0])
    return LevelLine(106.0, closed, xy, np.full(len(xy), 106.0), np.full(len(xy), 0.1))


def test_straight_line_is_staked_at_ends_sill_and_every_ten_metres():
    """On a plane nothing else calls for a stake; the sill's middle takes the place of the stake at 30 m."""
    places = stake_places(straight(), StakeRules())
    assert [round(chainage, 6) for chainage, _ in places] == [0, 10, 20, 28, 30, 32, 40, 50, 60, 70, 80, 90, 100]
    marks = [mark for _, mark in places]
    assert marks == ["end", "line", "line", "sill end", "sill", "sill end", *["line"] * 6, "end"]


def test_figures_on_a_plane():
    """Ground, floor, dig depth, crest, sill, place and its error are those worked out by hand."""
    stakeout = stake_out([straight()], sloping_plane())
    for stake in stakeout.stakes:
        assert (stake.ground_m, stake.floor_m, stake.crest_m) == pytest.approx((106.0, 105.5, 106.4))
        assert stake.dig_m == pytest.approx(0.5)
        assert (stake.x_m, stake.y_m) == pytest.approx((WEST + 20.0 + stake.chainage_m, LINE_Y), abs=1e-6)
        assert stake.position_sigma_m == pytest.approx(0.05 / 0.1)
        assert stake.sill_m == (pytest.approx(106.25) if 28 <= stake.chainage_m <= 32 else None)


def test_offset_stakes_on_a_plane():
    """They stand a margin beyond lip and toe, uphill to the north, on the ground of the plane."""
    stakeout = stake_out([straight()], sloping_plane(), rules=StakeRules(margin_m=0.75))
    for stake in stakeout.stakes:
        for offset, north_m in ((stake.uphill, UPHILL_LIP + 0.75), (stake.downhill, -DOWNHILL_TOE - 0.75)):
            assert (offset.x_m, offset.y_m) == pytest.approx((stake.x_m, LINE_Y + north_m), abs=1e-6)
            assert offset.distance_m == pytest.approx(abs(north_m))
            assert offset.ground_m == pytest.approx(106.0 + 0.1 * north_m, abs=1e-4)


def test_offset_stake_off_the_tile_has_no_height():
    """It is set out all the same."""
    stakeout = stake_out([straight(north_m=-57.0)], sloping_plane())
    assert all(np.isnan(stake.downhill.ground_m) for stake in stakeout.stakes)
    assert all(np.isfinite(stake.uphill.ground_m) for stake in stakeout.stakes)


def test_benchmark_gives_relative_heights():
    """Above is positive, below is negative."""
    benchmark = Benchmark("Zaun é باب", 106.1)
    assert benchmark.above_m(106.4) == pytest.approx(0.3)
    assert benchmark.above_m(105.5) == pytest.approx(-0.6)


@pytest.mark.parametrize("name", ["", "  ", "two\nlines", "bell\x07"])
def test_benchmark_without_a_plain_name_fails(name):
    """A name stands in files that a control character would break."""
    with pytest.raises(InputError, match="name of the benchmark is"):
        Benchmark(name, 1.0)


def test_numbers_name_swale_stake_and_side():
    """Every point has a number of its own, of at most six digits."""
    swales = [straight(), straight(name="S12", number=12, north_m=20.0)]
    points = survey_points(stake_out(swales, sloping_plane()))
    assert points.number[:6].tolist() == [1001, 1301, 1601, 1002, 1302, 1602]
    assert points.number[-1] == 12_613
    assert len(set(points.number.tolist())) == len(points.number) == 2 * 3 * 13
    assert points.description[:2] == ("S1 0.0 end dig 0.50", "S1 0.0 end uphill 2.24")


def test_numbers_stay_when_another_swale_is_left_out():
    """A swale's stakes follow from the swale alone."""
    both = [straight(), straight(name="S2", number=2, north_m=20.0)]
    all_of_two = [stake for stake in stake_out(both, sloping_plane()).stakes if stake.swale == "S2"]
    assert all_of_two == list(stake_out(both[1:], sloping_plane()).stakes)


def test_more_stakes_than_numbers_fails():
    """One line says which swale, and the way out."""
    with pytest.raises(InputError, match=r"swale 1 would have more than 299 stakes.*farther apart"):
        stake_out([straight()], sloping_plane(), rules=StakeRules(spacing_m=0.3))
    with pytest.raises(InputError, match="swale number 1000 makes no point number"):
        stake_number(1000, 1)


@pytest.mark.parametrize(("name", "number", "match"), [("S1", 2, "name 'S1'"), ("S2", 1, "number '1'")])
def test_two_swales_of_one_name_or_number_fail(name, number, match):
    """Their stakes could not be told apart."""
    with pytest.raises(InputError, match=f"2 swales have the {match}"):
        stake_out([straight(), straight(name=name, number=number, north_m=20.0)], sloping_plane())


def test_sill_beyond_the_line_fails():
    """Its middle must have a stake."""
    with pytest.raises(InputError, match="sill_chainage_m is 130"):
        staked(straight().line, sill=(130.0, 4.0))


@pytest.mark.parametrize("spacing", [0.7, 3.0, 7.0, 10.0, 250.0])
def test_stakes_are_never_farther_apart_than_the_spacing(spacing):
    """Whatever else is staked; and no two stand in one place."""
    for swale in (straight(), ring()):
        chainage = np.array([place for place, _ in stake_places(swale, StakeRules(spacing_m=spacing))])
        gaps = np.diff(np.append(chainage, chainage[0] + swale.line.length_m) if swale.line.closed else chainage)
        assert gaps.max() <= spacing + min(1.0, spacing / 2.0) + 1e-9
        assert gaps.min() > 0.05


def test_last_stake_of_a_ring_is_not_beside_the_first():
    """Four times 47 m is half a metre short of the whole ring."""
    places = stake_places(ring(), StakeRules(spacing_m=47.0, bend_degrees=90.0))
    assert [chainage for chainage, mark in places if mark == "line"] == [0.0, 47.0, 141.0]


def test_bend_is_staked_at_its_corner():
    """A right angle has one stake, marked; a turn below the limit has none."""
    assert sharp_bends_m(corner_line(), bend_degrees=20.0, support_m=10.0) == [40.0]
    assert sharp_bends_m(corner_line(), bend_degrees=91.0, support_m=10.0) == []
    places = dict(stake_places(staked(corner_line(), sill=(9.0, 2.0)), StakeRules(spacing_m=15.0)))
    assert places[40.0] == "bend"


def test_bends_of_a_ring_count_across_its_start():
    """Also the corner at the first station."""
    assert sorted(sharp_bends_m(corner_line(closed=True), bend_degrees=20.0, support_m=10.0)) == [0, 40, 80, 120]


def test_even_bend_turns_by_its_radius():
    """Half a support length each way round a circle, the chords differ by half the angle of the support."""
    line, support_m = ring(30.0).line, 12.0
    turn = np.degrees(support_m / 30.0) / 2.0
    assert sharp_bends_m(line, bend_degrees=turn + 0.5, support_m=support_m) == []
    found = np.diff(sharp_bends_m(line, bend_degrees=turn - 0.5, support_m=support_m))
    assert ((found >= support_m) & (found < support_m + line.spacing_m)).all()
    assert len(found) == 12


def test_change_of_ground_is_staked():
    """Between neighbouring stakes the ground, and with it the dig depth, stays within the limit of the stake behind."""
    ground = 106.0 + 0.09 * np.sin(np.linspace(0.0, 12.0, 51))
    stakeout = stake_out([straight(ground=ground)], sloping_plane(), rules=StakeRules(spacing_m=50.0))
    assert [stake.mark for stake in stakeout.stakes].count("grade") >= 4
    step = np.abs(np.diff(ground)).max()
    staked_at = [stake.chainage_m for stake in stakeout.stakes]
    for start, stop in pairwise(staked_at):
        between = ground[(np.arange(51) * 2.0 >= start) & (np.arange(51) * 2.0 <= stop)]
        if stop - start > 2.0:
            assert np.abs(between - between[0]).max() <= 0.05 + step
    for stake in stakeout.stakes:
        assert stake.dig_m == pytest.approx(stake.ground_m - 105.5)


def test_change_of_ground_before_the_end_of_a_ring_is_staked():
    """The stretch from the last stake back to the first is walked too: up a step, and down again."""
    swale = ring()
    ground = swale.line.ground_m.copy()
    ground[-2] += 0.08
    line = LevelLine(106.0, True, swale.line.xy, ground, swale.line.cross_slope)
    places = stake_places(staked(line, sill=(90.0, 4.0)), StakeRules(bend_degrees=90.0))
    assert [chainage for chainage, mark in places if mark == "grade"] == pytest.approx(line.chainage_m[[-2, -1]])


def test_ground_below_the_floor_is_not_dug():
    """There the floor is the ground."""
    ground = np.full(51, 106.0)
    ground[30] = 105.2
    stake = next(
        stake
        for stake in stake_out([straight(ground=ground)], sloping_plane()).stakes
        if abs(stake.chainage_m - 60) < 0.1
    )
    assert (stake.dig_m, stake.floor_m) == (0.0, pytest.approx(105.2))


def test_ring_is_staked_all_round():
    """It has no ends; downhill stakes stand outside, a margin beyond the berm."""
    stakeout = stake_out([ring()], cone(), rules=StakeRules(bend_degrees=90.0))
    assert {stake.mark for stake in stakeout.stakes} == {"line", "sill", "sill end"}
    centre = np.array([WEST + 60.0, NORTH - 60.0])
    for stake in stakeout.stakes:
        uphill, downhill = (np.hypot(*(np.array([offset.x_m, offset.y_m]) - centre)) for _, offset in stake.offsets)
        assert uphill == pytest.approx(30.0 - UPHILL_LIP - 1.0, abs=0.03)  # a chord of 2 m is 2 cm inside the circle
        assert downhill == pytest.approx(30.0 + DOWNHILL_TOE + 1.0, abs=0.03)
        assert stake.ground_m == pytest.approx(106.0)


def test_sill_at_the_start_of_a_ring_keeps_its_mark():
    """Its end, the first station and the last are one stake."""
    swale = ring(sill_m=ring().line.length_m - 2.0)
    first = stake_out([swale], cone()).stakes[0]
    assert (first.chainage_m, first.mark, first.sill_m) == (0.0, "sill end", pytest.approx(106.25))


def test_offset_stake_in_the_works_is_left_out():
    """Below a swale stands the ditch of the next; and no offset stake of the rest stands in any works."""
    near = [straight(), straight(name="S2", number=2, north_m=-6.0)]
    stakeout = stake_out(near, sloping_plane())
    assert all(stake.downhill is None for stake in stakeout.stakes if stake.swale == "S1")
    assert all(stake.uphill is None for stake in stakeout.stakes if stake.swale == "S2")
    works = shapely.union_all([works_footprint(swale.line, swale.shape) for swale in near])
    for stake in stakeout.stakes:
        for _, offset in stake.offsets:
            assert not works.contains(shapely.Point(offset.x_m, offset.y_m))


def test_no_swales_no_stakes():
    """An empty layout is staked with nothing."""
    stakeout = stake_out([], sloping_plane())
    assert stakeout.stakes == ()
    assert len(survey_points(stakeout).number) == 0


def test_survey_points_of_unequal_parts_fail():
    """Every point has all its parts."""
    with pytest.raises(InputError, match="differ in shape"):
        SurveyPoints(np.array([1]), np.zeros(1), np.zeros(1), np.zeros(2), ("a",))


def test_edges_of_the_works_on_a_plane():
    """Lips and toes lie on the ground, crest and sill at their levels, at the distances worked out by hand."""
    found = {kind: [drawn for drawn in breaklines(straight()) if drawn.kind == kind] for kind in KINDS}
    expected = {
        "ditch centre": [(0.0, 105.5)],
        "ditch edge": [(UPHILL_LIP, 106.0 + 0.1 * UPHILL_LIP), (-DOWNHILL_LIP, 106.0 - 0.1 * DOWNHILL_LIP)],
        "berm toe": [(-BERM_TOE, 106.0 - 0.1 * BERM_TOE), (-DOWNHILL_TOE, 106.0 - 0.1 * DOWNHILL_TOE)],
        "berm crest": [(-CREST_INNER, 106.4), (-CREST_OUTER, 106.4)],
    }
    for kind, rows in expected.items():
        for line, (north_m, height) in zip(found[kind], rows, strict=True):
            assert_close(line.xyz[:, 1], LINE_Y + north_m, atol=1e-6)
            assert_close(line.xyz[:, 2], height, atol=1e-9)
            assert not line.closed
    (sill,) = found["sill"]
    assert_close(sill.xyz[[0, -1], 0], [WEST + 48.0, WEST + 52.0])
    assert_close(sill.xyz[:, 1:], [[LINE_Y - (CREST_INNER + CREST_OUTER) / 2, 106.25]] * len(sill.xyz))
    for line in found["berm return"]:
        assert_close(line.xyz[:, 2], 106.0 + 0.1 * (line.xyz[:, 1] - LINE_Y), atol=1e-9)
    assert len(found["berm return"]) == 2


def test_edges_of_a_ring_are_closed():
    """All but the sill, and there are no returns."""
    closed = {line.kind: line.closed for line in breaklines(ring())}
    assert closed == {kind: kind != "sill" for kind in KINDS if kind != "berm return"}
