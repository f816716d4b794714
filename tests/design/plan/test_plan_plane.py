"""A plan on an even slope, where every figure is known by hand."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, make_site, plane

from swalekit.contours.obstacles import KeepOut
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import totals
from swalekit.hydrology.losses.curve_number import CurveNumberLoss, runoff_mm
from swalekit.hydrology.losses.soil import SoilZone

LEVELS = {"levels_m": [110.0, 108.0, 106.0, 104.0]}


@pytest.fixture(scope="module")
def design():
    """Four levels 20 m apart on a slope of 10 %, 100 m wide."""
    return plan(make_site(levels=LEVELS), plane())


def free_ends_m(swale):
    """Room that the works of an open line need at both ends: what its return takes, and a cell of 1 m."""
    return 2.0 * (float(swale.sized.shape.returns.outline_m[..., 0].max()) + 1.0)


def test_lines_cross_the_slope_as_far_as_their_works_fit(design):
    """A level line on a plane 100 m wide leaves room for its returns and a cell at both ends, to a station of 2 m."""
    assert [swale.id for swale in design.swales] == ["S1", "S2", "S3", "S4"]
    for swale, level in zip(design.swales, LEVELS["levels_m"], strict=True):
        assert swale.line.level_m == level
        room_m = 100.0 - free_ends_m(swale) - swale.line.length_m
        assert -1.0 <= room_m <= 2 * 2.0  # works that grew since they were cut keep half a cell
        np.testing.assert_allclose(swale.line.cross_slope, 0.1, rtol=1e-4)


def test_catchment_is_the_strip_between_lines(design):
    """Lines 20 m apart catch 20 m times their length, to a cell either way; the top one catches what lies above it."""
    upper, *others = design.swales
    for swale, above in zip(others, design.swales, strict=False):
        past_m2 = max(swale.line.length_m - above.line.length_m, 0.0) * 20.0  # what runs past a shorter line above
        between_m2 = 20.0 * swale.line.length_m
        assert swale.catchment_m2 == pytest.approx(between_m2 + past_m2, abs=2 * swale.line.length_m)
    above_m = 20.0 + 2.0  # and the works below the line
    assert upper.catchment_m2 == pytest.approx(above_m * upper.line.length_m, abs=2 * upper.line.length_m)


def test_runoff_is_depth_times_area_and_all_rain_on_the_ditch(design):
    """Runoff by the curve number on the catchment, and what the soil keeps besides on the ditch's own strip."""
    runoff = float(runoff_mm(50.0, 80.0))
    for swale in design.swales:
        on_strip_m3 = (50.0 - runoff) * swale.sized.shape.catch_m2 / 1000.0
        assert swale.strip_rain_m3 == pytest.approx(on_strip_m3, rel=1e-9)
        expected = runoff * swale.catchment_m2 / 1000.0 + on_strip_m3
        assert swale.runoff_m3 == pytest.approx(expected, rel=1e-9)


def test_depth_is_the_first_step_that_holds(design):
    """Storage covers the need, and would not at a depth one step less."""
    for swale in design.swales:
        assert swale.sized.short_m3 == 0
        assert swale.storage_m3 >= swale.runoff_m3
        assert swale.held_storm_mm >= 50.0
        assert round(swale.sized.shape.depth_m / 0.05, 6) % 1 == 0
    assert design.held_storm_mm == min(swale.held_storm_mm for swale in design.swales)


def test_water_is_conserved(design):
    """What comes to the site is kept or leaves it below the last line."""
    figures = totals(design)
    below_last = float((design.catchments == 0).sum())
    left = below_last * float(runoff_mm(50.0, 80.0)) / 1000.0
    assert design.site_runoff_m3 == pytest.approx(
        design.kept_m3 + left, rel=0.005
    )  # cells cut up count by their middle
    account = design.account
    assert account.rain_m3 == pytest.approx(0.05 * design.ground.terrain.valid.sum(), rel=1e-12)
    assert abs(account.residual_m3) < 1e-9
    assert account.left_m3 == pytest.approx(left, rel=0.01)
    assert figures["spill_m3"] == 0


def test_catchments_and_uncaught_ground_add_up_to_the_tile(design):
    """Every cell drains to one swale or to none."""
    counted = [(design.catchments == number).sum() for number in range(1, 5)]
    assert counted == pytest.approx([swale.catchment_m2 for swale in design.swales], rel=0.015)
    assert sum(counted) + (design.catchments == 0).sum() == design.ground.terrain.valid.sum()


@pytest.mark.parametrize("slope", [0.05, 0.1, 0.2])
def test_spacing_asks_for_the_interval_that_gives_it(slope):
    """On a plane a spacing of 20 m is an interval of 20 m × slope."""
    design = plan(make_site(levels={"spacing_m": 20.0}), plane(slope))
    levels = [swale.line.level_m for swale in design.swales]
    assert len(levels) >= 3
    np.testing.assert_allclose(-np.diff(levels), 20.0 * slope, rtol=0.02)


def test_a_shallow_ditch_spills_to_the_next_line():
    """A line too shallow for its share says so, spills down, and the next one gets what it spills."""
    design = plan(make_site(levels=LEVELS, section={"greatest_depth_m": 0.3}, storm={"depth_mm": 120.0}), plane())
    above, below = design.swales[0], design.swales[1]
    assert above.spill_m3 == pytest.approx(above.runoff_m3 - above.storage_m3)
    assert below.spill_in_m3 == pytest.approx(above.spill_m3)
    assert above.sill.spills_to == "S2"
    assert "too small" in [caution.name for caution in above.cautions]
    assert "times the length" in above.sized.cure


def test_a_building_cuts_the_line_and_its_piece_is_kept_with_the_reason():
    """A house of 10 m with a setback of 5 m takes 20 m out of the line through it; returns keep off the tile's edge."""
    house = shapely.box(WEST + 40, NORTH - 65, WEST + 50, NORTH - 55)
    site = make_site(levels={"levels_m": [106.0]})
    design = plan(replace(site, keep_outs=(KeepOut("building", house, 5.0, "House"),)), plane())
    west, refused, east = sorted(
        (part for part in (*(s.line for s in design.swales), *design.refused) if part.length_m > 10.0),
        key=lambda part: part.xy[0, 0],
    )
    assert (refused.reason, refused.length_m) == ("building", pytest.approx(20.0, abs=0.1))
    assert {part.reason for part in design.refused} == {"building", "unknown ground"}
    assert (west.xy[-1, 0], east.xy[0, 0]) == (pytest.approx(WEST + 35.0, abs=0.1), pytest.approx(WEST + 55.0, abs=0.1))
    ends_m = [swale.sized.shape.returns.outline_m[..., 0].max() + 1.0 for swale in design.swales]
    assert west.length_m == pytest.approx(35.0 - ends_m[0], abs=2.0)
    assert east.length_m == pytest.approx(45.0 - ends_m[1], abs=2.0)


def test_an_interval_larger_than_the_relief_is_a_design_without_lines():
    """No level fits: no swale, a warning that says so, and totals of zero."""
    design = plan(make_site(levels={"interval_m": 500.0}), plane())
    assert design.swales == ()
    assert "no level line fits" in design.warnings[-1]
    assert totals(design)["dug_m3"] == 0
    assert design.held_storm_mm == 0


def test_ground_far_below_the_sea_is_ordinary():
    """At -430 m every length and volume is the same."""
    high = plan(make_site(levels=LEVELS), plane(foot_m=100.0))
    low = plan(make_site(levels={"levels_m": [level - 530.0 for level in LEVELS["levels_m"]]}), plane(foot_m=-430.0))
    for one, other in zip(high.swales, low.swales, strict=True):
        assert other.quantities.dug_m3 == pytest.approx(one.quantities.dug_m3, rel=2e-3)
        assert other.catchment_m2 == one.catchment_m2


def test_soil_zones_change_the_runoff_where_they_lie():
    """Bare ground on the western half raises the runoff of every line to the mean of both runoffs."""
    zone = SoilZone(CurveNumberLoss(95.0), shapely.box(WEST, NORTH - 200, WEST + 50, NORTH + 10))
    design = plan(replace(make_site(levels=LEVELS), soil_zones=(zone,)), plane())
    mean = (float(runoff_mm(50.0, 80.0)) + float(runoff_mm(50.0, 95.0))) / 2
    swale = design.swales[2]
    expected = mean * swale.catchment_m2 / 1000.0 + swale.strip_rain_m3
    assert swale.runoff_m3 == pytest.approx(expected, rel=1e-6)
