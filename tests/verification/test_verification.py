"""The as-built check on ground where every figure is known by hand."""

import numpy as np
import pytest
from staked_ground import straight
from surveyed_ground import CREST, FLOOR, SILL, crew, designed, designed_ring, judged, shot, shuffled, together

from swalekit.errors import InputError
from swalekit.section.stage_storage import stage_storage
from swalekit.verification.as_built import INCOMPLETE, NOT_SURVEYED, OUTSIDE, WITHIN, SurveyRules
from swalekit.verification.built_profile import BuiltProfile, built_profile
from swalekit.verification.spots import find_spots
from swalekit.verification.survey_check import check_survey

SLOPE, TOE = 0.1, 0.3 + 0.47 / (1 / 1.5 + 0.1) + 0.3  # of the berm's uphill face, by the sides of ditch and ground


def sag(chainage):
    """12 cm down from 60 to 66 m."""
    return np.where((chainage >= 60.0) & (chainage <= 66.0), -0.12, 0.0)


def above_ground_m2(water_m):
    """Pond above the ground, by hand: a wedge up to the berm's foot, and the triangle on its 2:1 face."""
    at_toe = water_m + SLOPE * TOE
    return at_toe**2 / 2.0 * (1.0 / SLOPE + 2.0)


def ditch_m2(depth_m):
    """Cut of a floor 0.6 m wide with sides 1.5:1 in the slope, by the corners of its outline."""
    uphill = 0.3 + (depth_m + SLOPE * 0.3) / (1 / 1.5 - SLOPE)
    downhill = 0.3 + (depth_m - SLOPE * 0.3) / (1 / 1.5 + SLOPE)
    x, y = np.array([-uphill, -0.3, 0.3, downhill]), np.array([SLOPE * uphill, -depth_m, -depth_m, -SLOPE * downhill])
    return 0.5 * abs(x @ np.roll(y, 1) - y @ np.roll(x, 1))


@pytest.mark.parametrize("swale", [designed(), designed_ring()], ids=["plane", "ring"])
def test_built_as_designed(swale):
    """Nothing departs, storage and soil are those of the design, the water leaves over the sill."""
    built = judged(swale, crew(swale))
    assert built.verdict == WITHIN
    assert built.storage_m3 == pytest.approx(swale.shape.storage_m3, rel=1e-9)
    assert built.dug_m3 == pytest.approx(swale.shape.cut_m3, rel=1e-9)
    assert (built.spill.over, built.spill.level_m) == ("sill", pytest.approx(swale.shape.sill_level_m))
    assert built.freeboard_m == pytest.approx(0.15)
    assert max(part.greatest_from_mean_m for part in built.parts.values()) < 1e-9


def test_sag_is_found_where_it_is():
    """Straight between points 2 m apart, the crest crosses 5 cm at 5/12 of the way down and up again."""
    (spot,) = judged(designed(), crew(designed(), crest=sag)).spots
    assert (spot.part, spot.kind) == ("crest", "low")
    assert (spot.start_m, spot.stop_m) == pytest.approx((58.0 + 2.0 * 5 / 12, 68.0 - 2.0 * 5 / 12))
    assert (spot.greatest_m, spot.at_m) == pytest.approx((0.12, 60.0))
    assert spot.length_m == pytest.approx(6.0 + 2 * 2.0 * 7 / 12)


def test_fill_of_a_sag_is_that_of_the_hand_prism():
    """Crest 0.5 m wide and faces 2:1: 0.0888 m² over 6 m, and two ends of 7/6 m that run out to 5 cm."""
    built = judged(designed(), crew(designed(), crest=sag))
    full = 0.5 * 0.12 + 2.0 * 0.12**2
    end = 0.5 * (0.05 + 0.12) / 2 + 2.0 * (0.05**2 + 0.05 * 0.12 + 0.12**2) / 3
    assert built.fill_m3 == pytest.approx(6.0 * full + 2 * 7 / 6 * end)
    assert built.raised_m == pytest.approx(6.0 + 7 / 3)


def test_sag_costs_the_storage_between_two_levels():
    """With a freeboard of 5 cm a sag of 12 cm lowers the spill by 7 cm along all of the 100 m."""
    swale = designed(freeboard_m=0.05)
    built = judged(swale, crew(swale, crest=sag))
    assert (built.spill.over, built.spill.level_m, built.spill.chainage_m) == ("crest", pytest.approx(106.28), 60.0)
    lost = 100.0 * (above_ground_m2(0.35) - above_ground_m2(0.28))
    assert swale.shape.storage_m3 - built.storage_m3 == pytest.approx(lost, rel=1e-9)
    assert built.freeboard_m == pytest.approx(-0.07)


def test_sag_above_the_sill_costs_freeboard_alone():
    """With a freeboard of 15 cm the water still leaves over the sill, 3 cm below the crest."""
    built = judged(designed(), crew(designed(), crest=sag))
    assert built.verdict == OUTSIDE
    assert built.storage_m3 == pytest.approx(designed().shape.storage_m3)
    assert built.freeboard_m == pytest.approx(0.03)


@pytest.mark.parametrize("sill", [-0.2, -0.06, 0.02, 0.1])
def test_storage_is_that_of_the_stage_storage_table(sill):
    """On a floor as designed the storage at the sill as built is what the table by level gives."""
    swale = designed()
    built = judged(swale, crew(swale, sill=sill))
    assert built.storage_m3 == pytest.approx(float(stage_storage(swale.shape).volume_m3_at(SILL + sill)), rel=2e-4)


def test_soil_dug_is_that_of_the_depth_as_built():
    """A floor that falls from 10 cm high to 10 cm low: end areas at depths from 0.4 to 0.6 m."""
    built = judged(designed(), crew(designed(), floor=lambda chainage: 0.1 - 0.002 * chainage))
    areas = [ditch_m2(depth) for depth in np.linspace(0.4, 0.6, 51)]
    assert built.dug_m3 == pytest.approx(2.0 * (sum(areas) - (areas[0] + areas[-1]) / 2), rel=1e-9)
    assert built.floor.mean_departure_m == pytest.approx(0.0, abs=1e-9)
    assert built.floor.greatest_from_mean_m == pytest.approx(0.1)
    assert [(spot.kind, spot.start_m, spot.stop_m) for spot in built.spots] == [
        ("low", pytest.approx(75.0), 100.0),
        ("high", 0.0, pytest.approx(25.0)),
    ]


def test_floor_too_high_costs_the_ditch_it_fills():
    """10 cm less depth takes the soil of the ditch, and the foot of the berm with the ditch's lip."""
    built = judged(designed(), crew(designed(), floor=0.1))
    moved = 0.1 / (1 / 1.5 + SLOPE)
    above = [(0.25 + SLOPE * toe) ** 2 / 2 * (1 / SLOPE + 2.0) for toe in (TOE, TOE - moved)]
    lost = 100.0 * (ditch_m2(0.5) - ditch_m2(0.4) + above[0] - above[1])
    assert designed().shape.storage_m3 - built.storage_m3 == pytest.approx(lost, rel=1e-9)


@pytest.mark.parametrize("swale", [designed(), designed_ring()], ids=["plane", "ring"])
def test_noise_below_the_tolerance_is_within(swale):
    """Heights off by up to 2 cm everywhere."""
    rng = np.random.default_rng(5)
    noise = {part: lambda chainage: rng.uniform(-0.02, 0.02, chainage.size) for part in ("floor", "crest", "sill")}
    built = judged(swale, crew(swale, **noise))
    assert built.verdict == WITHIN
    assert 0.0 < max(part.greatest_from_mean_m for part in built.parts.values()) < 0.04


@pytest.mark.parametrize(
    ("departure", "verdict"), [(-0.05, WITHIN), (0.05, WITHIN), (-0.051, OUTSIDE), (0.051, OUTSIDE)]
)
def test_tolerance_itself_is_within(departure, verdict):
    """A millimetre decides."""
    assert judged(designed(), crew(designed(), crest=departure)).verdict == verdict


@pytest.mark.parametrize(("sill", "kind"), [(-0.031, "low"), (0.031, "high"), (0.15, "high")])
def test_sill_has_a_tolerance_of_its_own(sill, kind):
    """3 cm, and no soil is reckoned for it."""
    (spot,) = judged(designed(), crew(designed(), sill=sill)).spots
    assert (spot.part, spot.kind, spot.fill_m3) == ("sill", kind, None)
    assert (spot.start_m, spot.stop_m) == (28.5, 31.5)


def test_crest_along_the_sill_is_the_sill():
    """There the berm is built to the sill's level; within half a metre of its ends the nearer level tells."""
    crest = shot(designed(), "crest", [20.0, 28.2, 29.0, 30.0, 31.9, 32.2, 40.0], [CREST, CREST, *[SILL] * 4, CREST])
    built = judged(designed(), together(crest, shot(designed(), "floor", [0.0, 20.0, 40.0], FLOOR)))
    assert built.sill.chainage_m == pytest.approx([29.0, 30.0, 31.9, 32.2])
    assert built.crest.chainage_m == pytest.approx([20.0, 28.2, 40.0])
    assert not built.spots


def test_sill_never_cut_is_a_fault():
    """A berm that runs on at crest level where the sill should be is 15 cm too high there."""
    (spot,) = judged(designed(), shot(designed(), "crest", np.arange(0.0, 101.0), CREST)).spots
    assert (spot.part, spot.kind, spot.greatest_m) == ("sill", "high", pytest.approx(0.15))
    assert (spot.start_m, spot.stop_m) == (29.0, 31.0)


def test_sag_round_the_first_station_of_a_ring():
    """It is one spot, from before the first station to behind it."""
    swale = designed_ring()
    length_m = swale.line.length_m

    def low(chainage):
        return np.where(np.minimum(chainage, length_m - chainage) <= 3.0, -0.12, 0.0)

    (spot,) = judged(swale, crew(swale, step_m=1.0, crest=low, floor=low)).low_crest
    assert spot.start_m > length_m - 4.0
    assert 3.0 < spot.stop_m < 4.0
    assert spot.length_m == pytest.approx(spot.stop_m - spot.start_m + length_m)
    floor, crest = judged(swale, crew(swale, step_m=1.0, crest=low, floor=low)).spots
    assert (floor.start_m, floor.stop_m) == pytest.approx((crest.start_m, crest.stop_m), abs=0.1)


def test_ring_with_its_sill_on_the_first_station():
    """The crest is judged all round but for the sill."""
    swale = designed_ring(sill_m=1.0)
    assert judged(swale, crew(swale)).verdict == WITHIN
    (spot,) = judged(swale, crew(swale, sill=-0.05)).spots
    assert (spot.part, spot.length_m) == ("sill", pytest.approx(3.0, abs=0.1))


def test_ring_that_is_low_all_round():
    """The spot is the whole ring, less the sill on the crest."""
    swale = designed_ring()
    floor, crest = judged(swale, crew(swale, floor=-0.06, crest=-0.06)).spots
    assert floor.length_m == pytest.approx(swale.line.length_m)
    assert crest.length_m == pytest.approx(swale.line.length_m - 4.0)


def test_crest_along_a_sill_on_the_first_station_of_a_ring():
    """The way round counts: half a metre before the first station lies on a sill whose middle is 1 m behind it."""
    swale = designed_ring(sill_m=1.0)
    points = shot(swale, "crest", [0.0, 50.0, swale.line.length_m - 0.3], [SILL, CREST, SILL])
    assert judged(swale, points).sill.count == 2


def test_end_of_a_ring_is_its_start():
    """A chainage of the whole length is none."""
    profile = built_profile(np.array([3.0, 10.0]), *np.zeros((2, 2)), round_m=10.0, lowest_counts=True)
    assert profile.chainage_m.tolist() == [0.0, 3.0]


def test_spots_at_the_ends_and_at_single_points():
    """Each runs from crossing to crossing, or from the first or to the last point."""
    departure = np.array([0.0, -0.1, 0.0, 0.1, 0.1])
    profile = BuiltProfile(np.arange(5.0), departure, departure, None, lowest_counts=False)
    spots = find_spots("floor", profile, [(0.0, 4.0)], tolerance_m=0.05, section=designed().shape.section)
    assert [(spot.kind, spot.start_m, spot.stop_m) for spot in spots] == [("low", 0.5, 1.5), ("high", 2.5, 4.0)]


def test_departure_from_the_own_mean_is_that_from_level():
    """A crest that is 3 cm low throughout is level."""
    crest = judged(designed(), crew(designed(), crest=-0.03)).crest
    assert crest.mean_departure_m == pytest.approx(-0.03)
    assert crest.greatest_from_mean_m == pytest.approx(0.0, abs=1e-9)


def test_all_built_too_high_holds_more():
    """Crest and sill 30 cm up: the face goes on to rise as it does."""
    built = judged(designed(), crew(designed(), crest=0.3, sill=0.3))
    assert built.storage_m3 == pytest.approx(100.0 * (ditch_m2(0.5) + above_ground_m2(0.55)), rel=1e-9)


def test_one_low_point_is_a_spot_without_length():
    """What lies beside it isn't known."""
    built = judged(designed(), shot(designed(), "crest", [50.0], CREST - 0.2))
    (spot,) = built.spots
    assert (spot.start_m, spot.stop_m, spot.length_m, spot.fill_m3) == (50.0, 50.0, 0.0, 0.0)
    ring = designed_ring()
    (spot,) = judged(ring, shot(ring, "crest", [50.0], CREST - 0.4)).spots
    assert spot.length_m == 0.0


def test_lowest_of_crest_points_at_one_chainage_counts():
    """Water leaves over it, whatever lies beside."""
    pair = shot(designed(), "crest", [80.0, 80.0], [CREST - 0.3, CREST])
    built = judged(designed(), together(crew(designed()), pair))
    assert (built.spill.over, built.spill.chainage_m) == ("crest", 80.0)
    assert built.spots[0].greatest_m == pytest.approx(0.3)


def test_too_few_points_say_what_they_can():
    """One floor point and no crest: no soil, no spill, no storage, and that is said."""
    built = judged(
        designed(), together(shot(designed(), "floor", [50.0], FLOOR), shot(designed(), "sill", [30.0], SILL))
    )
    assert built.verdict == INCOMPLETE
    assert (built.dug_m3, built.storage_m3, built.spill, built.freeboard_m) == (None, None, None, None)
    assert built.not_judged == (
        "floor and soil dug: 1 point of the floor where 2 are needed",
        "crest, spill level and storage: no point of the crest",
    )


def test_storage_without_a_floor_is_that_of_the_floor_as_designed():
    """The spill level is known, and the note says that the floor is not."""
    points = crew(designed(), sill=-0.02)
    rows = [row for row, code in enumerate(points.description) if "floor" not in code]
    built = judged(
        designed(),
        type(points)(
            *(getattr(points, name)[rows] for name in ("number", "easting_m", "northing_m", "height_m")),
            tuple(points.description[row] for row in rows),
        ),
    )
    assert built.storage_m3 == pytest.approx(float(stage_storage(designed().shape).volume_m3_at(SILL - 0.02)), rel=2e-4)
    assert (built.verdict, built.dug_m3, len(built.not_judged)) == (INCOMPLETE, None, 1)


def test_long_stretches_without_a_point_are_named():
    """More than 20 m, at the ends too; points of the sill check the crest."""
    points = together(
        shot(designed(), "floor", [0.0, 20.0, 40.0, 60.0, 80.0], FLOOR),
        shot(designed(), "crest", [21.0, 49.0, 80.0], CREST),
        shot(designed(), "sill", [30.0], SILL),
    )
    built = judged(designed(), points)
    assert [(stretch.part, stretch.start_m, stretch.stop_m) for stretch in built.unchecked] == [
        ("crest", 0.0, 21.0),
        ("crest", 49.0, 80.0),
    ]
    assert built.verdict == INCOMPLETE


def test_swale_without_a_point_is_not_surveyed():
    """Every swale of the layout has its row."""
    other = designed(straight(name="S2", number=2, north_m=-30.0))
    check = check_survey(crew(designed()), [designed(), other])
    assert [built.verdict for built in check.swales] == [WITHIN, NOT_SURVEYED]


def test_order_of_the_points_does_not_matter():
    """Crews walk as they like."""
    points = crew(designed(), crest=sag, floor=lambda chainage: 0.03 * np.sin(chainage))
    first, second = judged(designed(), points), judged(designed(), shuffled(points, 3))
    assert first.spots == second.spots
    assert (first.storage_m3, first.dug_m3, first.spill) == (second.storage_m3, second.dug_m3, second.spill)


@pytest.mark.parametrize("seed", range(12))
def test_planted_faults_are_judged_right(seed):
    """Under errors of up to 1 cm, each of three faults is found when planted and not when it isn't."""
    rng = np.random.default_rng(seed)
    planted = {part: bool(rng.integers(2)) for part in ("floor", "crest", "sill")}
    start = {"floor": rng.uniform(5.0, 80.0), "crest": rng.uniform(40.0, 85.0)}

    def departure(part, size_m):
        def at(chainage):
            fault = (chainage >= start[part]) & (chainage <= start[part] + 6.0) if part in start else True
            return planted[part] * size_m * fault + rng.uniform(-0.01, 0.01, chainage.size)

        return at

    swale = designed()
    points = crew(swale, floor=departure("floor", 0.09), crest=departure("crest", -0.12), sill=departure("sill", 0.06))
    built = judged(swale, points)
    assert {spot.part for spot in built.spots} == {part for part, there in planted.items() if there}
    assert built.verdict == (OUTSIDE if any(planted.values()) else WITHIN)
    for spot in built.spots:
        if spot.part in start:
            assert start[spot.part] - 2.0 < spot.start_m < spot.stop_m < start[spot.part] + 8.0


def test_many_points_make_the_same_verdict():
    """200 000 points on two swales, the sag among them."""
    swales = [designed(), designed(straight(name="S2", number=2, north_m=-30.0))]
    rng = np.random.default_rng(1)

    def noise(chainage):
        return rng.uniform(-0.01, 0.01, chainage.size)

    points = together(
        crew(swales[0], step_m=0.002, floor=noise, crest=lambda chainage: sag(chainage) + noise(chainage)),
        crew(swales[1], step_m=0.002, floor=noise, crest=noise),
    )
    assert points.number.size > 190_000
    first, second = check_survey(points, swales).swales
    assert (first.verdict, second.verdict) == (OUTSIDE, WITHIN)
    (spot,) = first.spots
    assert (spot.start_m, spot.stop_m) == pytest.approx((60.0, 66.0), abs=0.2)


@pytest.mark.parametrize("name", ["sill_tolerance_m", "within_m", "unchecked_m"])
def test_rules_that_make_no_sense_fail(name):
    """Tolerances and distances are positive."""
    with pytest.raises(InputError, match=name):
        SurveyRules(**{name: 0.0})
