"""The bank over a pipe and the ford: their geometry by hand, on plane ground."""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from swalekit.contours.crossing import Crossing
from swalekit.section.crossing import CrossingPlace, CrossingWorks, ramp_grade, roadways_of, works_at
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.stage_storage import stage_storage
from swalekit.section.stations import Stations

LEVEL = Stations(10.0, np.full(51, 10.0), np.full(51, 0.05), np.full(51, 2.0), np.full(51, 30.0))


def place(kind: str, *, at_m: float = 50.0, width_m: float = 4.0) -> CrossingPlace:
    """A crossing in the middle of a line of 100 m."""
    return CrossingPlace(Crossing(kind, shapely.Point(0.0, 0.0), width_m, "Track"), at_m, width_m, round(at_m / 2.0))


def works(kind: str, **other: float) -> CrossingWorks:
    """A crossing over a ditch 0.5 m deep, its crest 0.4 m above the stake, on ground of 5 %."""
    ground = {"depth_m": 0.5, "crest_level_m": 10.4, "ground_m": 10.0, "slope": 0.05, "reach_m": 30.0}
    return works_at(place(kind), Section(), **ground | {"curvature_per_m": 0.0} | other)


def test_a_bank_covers_the_widest_pipe_whose_crown_lies_below_the_sill() -> None:
    """Sill 0.15 m below the crest and 0.3 m of cover: top 0.15 m above the crest; pipe from face to face at 2 : 1."""
    bank = works("pipe")
    assert bank.top_m == pytest.approx(10.55)
    assert bank.floor_m == pytest.approx(9.5)
    assert bank.pipe_length_m == pytest.approx(4.0 + 2.0 * 2.0 * 1.05)
    level = works_at(
        place("pipe"),
        Section(freeboard_m=0.35),
        depth_m=0.5,
        crest_level_m=10.4,
        ground_m=10.0,
        slope=0.05,
        reach_m=30.0,
        curvature_per_m=0.0,
    )
    assert level.top_m == pytest.approx(10.4)


def test_a_bank_ends_where_its_ramps_meet_the_ground() -> None:
    """Uphill from the lip 1:6 down while the ground rises 5 %; downhill 1:6, the ground falling 5 %."""
    lip = -(0.3 + 1.5 * 0.5) / (1.0 - 1.5 * 0.05)
    downhill_lip = (0.3 + 1.5 * 0.5) / (1.0 + 1.5 * 0.05)
    toe = downhill_lip + 0.3
    edge = toe + 2.0 * (0.4 + 0.05 * toe) + 0.5
    least, greatest = works("pipe").span_m
    assert least == pytest.approx(lip - (0.55 + 0.05 * lip) / (0.05 + 0.167))
    assert greatest == pytest.approx(edge + (0.55 + 0.05 * edge) / (0.167 - 0.05))


def test_a_bank_takes_the_room_of_the_ditch_beneath_it() -> None:
    """Within the roadway all storage is lost, but for the wedge uphill of its ramp; beside it what its faces take.

    The pond's section at the sill, 0.25 m above the stake, is A; of the ditch's floor, 0.75 m below the sill, the faces
    of 2 : 1 begin 0.3 · 2 m beyond the roadway at the sill and end 1.05 · 2 m beyond it.
    """
    bank = works("pipe")
    lost_m3 = float(bank.lost(np.array([10.25]))[0][0])
    narrow = replace(bank, place=place("pipe", width_m=2.0))
    a_metre_m2 = (lost_m3 - float(narrow.lost(np.array([10.25]))[0][0])) / 2.0
    swale = ShapedSwale(LEVEL, Section(), 0.5, 10.4)
    least = -bank.span_m[0]
    wedge_m2 = (0.25 - 0.05 * least) * (0.25 / 0.05 - least) / 2.0
    assert a_metre_m2 == pytest.approx(float(swale.storage_area_m2[25]) - wedge_m2, rel=0.02)
    faces_m3 = lost_m3 - 4.0 * a_metre_m2
    assert 2.0 * 0.6 * a_metre_m2 < faces_m3 < 2.0 * 2.1 * a_metre_m2


def test_a_ford_dips_so_deep_below_the_sill_and_keeps_the_crest() -> None:
    """Floor 0.3 m below the sill, as wide as the ditch's; up to the crest at 1:6, or on to the berm's own crest."""
    ford = works("ford")
    assert ford.floor_m == pytest.approx(10.25 - 0.3)
    assert ford.top_m == pytest.approx(10.4)
    x = ford.ways.x[0]
    assert x[:2].tolist() == [-0.3, 0.3]
    assert x[2] == pytest.approx(0.3 + 0.45 / 0.167)
    level = {"crest_level_m": 10.7}
    assert works("ford", **level).floor_m == pytest.approx(10.0)  # never above the ground
    assert works("ford", depth_m=0.3, crest_level_m=10.0).floor_m >= 10.0 - 0.3


def test_the_opening_of_a_ford_is_its_dip_below_the_sill() -> None:
    """0.3 m deep: 0.6 m of floor, and two sides of about 1:6, the uphill one till the ground is reached."""
    ford = works("ford")
    downhill = 0.3**2 / 0.167 / 2.0
    assert 0.6 * 0.3 + downhill < ford.opening_m2 < 0.6 * 0.3 + 2.0 * downhill + 0.1


def test_water_gathers_nowhere_on_a_crossed_swale_that_it_did_not_before() -> None:
    """Storage by level is that of the swale less what the bank takes: never more, rising with the level."""
    crossed = replace(LEVEL, crossings=(place("pipe"),))
    bare, under = ShapedSwale(LEVEL, Section(), 0.5, 10.4), ShapedSwale(crossed, Section(), 0.5, 10.4)
    before, after = stage_storage(bare), stage_storage(under)
    assert (after.volume_m3 <= before.volume_m3 + 1e-6).all()
    assert (np.diff(after.volume_m3) >= 0.0).all()
    assert float(after.volume_m3_at(under.sill_level_m)) == pytest.approx(under.storage_m3, abs=0.01)
    assert before.volume_m3_at(bare.sill_level_m) - after.volume_m3_at(under.sill_level_m) == pytest.approx(
        float(under.crossings[0].lost(np.array([under.sill_level_m]))[0][0]), abs=0.01
    )


@pytest.mark.parametrize("kind", ["pipe", "ford"])
def test_the_soil_of_berm_and_bank_is_what_the_ditch_gives(kind: str) -> None:
    """The crest is lowered so that cut times fill factor is the fill of berm, returns and bank."""
    crossed = replace(LEVEL, crossings=(place(kind),))
    swale, bare = (shape_swale(stations, 0.5, Section()) for stations in (crossed, LEVEL))
    assert swale.berm_m3 == pytest.approx(0.9 * swale.cut_m3, rel=1e-3)
    assert swale.crest_level_m < bare.crest_level_m
    assert swale.crossings_m3 > 0.0


def test_the_soil_of_many_banks_is_brought() -> None:
    """A short line gives no more than its share to the bank; what is lacking isn't hidden."""
    short = Stations(10.0, np.full(8, 10.0), np.full(8, 0.12), np.full(8, 2.0), np.full(8, 30.0))
    swale = shape_swale(replace(short, crossings=(place("pipe", at_m=7.0),)), 0.4, Section())
    assert swale.berm_m3 > 0.9 * swale.cut_m3


def test_pipes_side_by_side_have_room_in_the_ditch() -> None:
    """0.6 m of floor and sides of 1.5 : 1, pipes half a diameter apart; none whose crown lies above the sill."""
    bank = works("pipe")
    assert [bank.most_pipes(diameter_m) for diameter_m in (0.3, 0.4, 0.5, 0.6, 0.8)] == [2, 2, 2, 2, 0]


def test_ramps_fall_by_more_than_the_ground() -> None:
    """1:6 on gentle ground, 8 % more than the ground on steeper."""
    assert ramp_grade(0.02) == pytest.approx(0.167)
    assert ramp_grade(0.15) == pytest.approx(0.23)


def test_a_swale_without_crossings_has_no_roadways() -> None:
    """Kernels get empty arrays of the same types as with some."""
    none, some = roadways_of(()), roadways_of((works("pipe"),))
    for empty, full in zip(none, some, strict=True):
        assert empty.size == 0
        assert (empty.dtype, empty.ndim) == (full.dtype, full.ndim)
