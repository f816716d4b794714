"""Terrain that is drained anew with each draw of its heights, and catchments that hang on the rule of routing."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.design.brief.site import Site
from swalekit.design.layout.catchment_rule import CatchmentsByRule, catchments_by_rule
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import lay_in_place, make_layout
from swalekit.design.layout.water import pour
from swalekit.design.plan.pipeline import built_layout, plan
from swalekit.design.reliability.drained import Drained, StakedGround
from swalekit.design.reliability.reliability import how_sure
from swalekit.design.reliability.table import reliability_cautions, reliability_rows, reliability_summary
from swalekit.grid import Grid
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.soil import SoilZone
from swalekit.terrain.height_error import HeightErrors, draw_height_errors
from swalekit.terrain.terrain import Terrain


def staked(site: Site, terrain: Terrain, *, built: bool = False) -> StakedGround:
    """The ground of a layout before anything is drawn."""
    ground = study_ground(site, terrain)
    if built:
        return StakedGround.of(site, ground, *built_layout(site, ground)[:2])
    layout = make_layout(site, ground)
    return StakedGround.of(site, ground, layout, pour(site, ground, layout))


def bent(terrain: Terrain, errors_m: np.ndarray) -> HeightErrors:
    """Errors of one metre times what is given at each cell."""
    nodes = np.pad(errors_m.astype(np.float32), ((0, 1), (0, 1)))
    return HeightErrors(terrain.grid, nodes, 1)


def area_m2(drained: Drained) -> np.ndarray:
    """Own ground of each line."""
    return drained.stores.area_m2[: drained.n_lines].sum(axis=1)


LEVELS = {"levels_m": [106.0, 104.0]}


# --- drained anew ----------------------------------------------------------------------------------------------------


@pytest.mark.compiled
def test_without_errors_the_ground_is_as_built():
    """A field of nothing gives back the areas of the works as built and where they spill, to the litre."""
    site, terrain = make_site(levels={"interval_m": 2.0}, lines={"least_length_m": 10.0}), hills()
    ground = staked(site, terrain, built=True)
    drained = ground.drained(bent(terrain, np.zeros(terrain.grid.shape)), 1.0)
    np.testing.assert_allclose(area_m2(drained), area_m2(ground.built))
    np.testing.assert_array_equal(
        drained.spills_to[ground.built.spills_to >= 0], ground.built.spills_to[ground.built.spills_to >= 0]
    )
    assert ground.built.n_lines >= 2


def test_a_ridge_across_the_slope_takes_the_ground_above_it():
    """A bank 3 m high that slants to the side of the tile leads all water above it past the line."""
    site, terrain = make_site(levels={"levels_m": [104.0]}), plane(shape=(80, 60))
    ground = staked(site, terrain)
    bank = np.zeros((80, 60))
    for column in range(60):
        bank[10 + column // 6 : 12 + column // 6, column] = 3.0
    drained = ground.drained(bent(terrain, bank), 1.0)
    before, after = area_m2(ground.built)[0], area_m2(drained)[0]
    (line,) = ground.lines
    assert before == pytest.approx(40.0 * line.length_m, rel=0.05)
    assert before - after == pytest.approx(15.0 * line.length_m, rel=0.1)  # 10 to 20 rows lie above the bank


def test_a_channel_beside_the_lower_line_moves_the_overflow():
    """Ground that sinks to one side below the upper line's sill takes its overflow off the tile."""
    site, terrain = make_site(levels=LEVELS), plane(shape=(80, 60))
    ground = staked(site, terrain)
    column = np.arange(60)
    tilt = np.zeros((80, 60))
    tilt[24:] = -0.4 * column  # below the upper line all falls to the east, steeper than to the south
    drained = ground.drained(bent(terrain, tilt), 1.0)
    assert ground.built.spills_to.tolist() == [2, 0]
    assert drained.spills_to[0] == 0


@pytest.mark.compiled
def test_no_ground_is_lost_or_made():
    """Whatever is drawn, what drains to lines and hollows and off the tile is the tile: lines get no more than it."""
    site, terrain = make_site(levels={"interval_m": 2.5}), hills()
    ground = staked(site, terrain)
    for seed in range(20):
        errors = draw_height_errors(terrain.grid, correlation_m=15.0, random=np.random.default_rng(seed))
        drained = ground.drained(errors, 0.3)
        assert (drained.stores.area_m2 >= 0.0).all()
        assert drained.stores.area_m2.sum() <= terrain.grid.n_cells * terrain.grid.cell_area_m2 * 1.001
        assert drained.catchment_m2(50.0, ground.soil).sum() <= drained.stores.area_m2.sum() + 1e-6


@pytest.mark.compiled
def test_catchments_by_soil_class_sum_up():
    """With two soils the areas of each class are drained apart."""
    zone = SoilZone(CurveNumberLoss(95.0), shapely.box(WEST, NORTH - 80, WEST + 30, NORTH))
    site = make_site(levels=LEVELS)
    site = Site(site.brief, soil_zones=(zone,), crs=site.crs)
    terrain = plane(shape=(80, 60))
    ground = staked(site, terrain)
    errors = draw_height_errors(terrain.grid, correlation_m=15.0, random=np.random.default_rng(1))
    drained = ground.drained(errors, 0.05)
    west, east = drained.stores.area_m2[:2].sum(axis=0)[[1, 0]]
    assert west == pytest.approx(east, rel=0.15)
    assert west > 1000.0


@pytest.mark.compiled
def test_catchments_of_a_saddle_spread_and_are_told():
    """On a broad back heights decide to which side water goes: ranges are wide, and the designed area lies in them."""
    sure = how_sure(
        make_site(
            levels={"levels_m": [197.0, 193.0]},
            uncertainty={"draws": 60, "correlation_m": 15.0, "terrain_sigma_m": 0.3},
        ),
        hills(3, side=96),
    )
    rows = reliability_rows(sure)[:-1]
    assert all(row["catchment_low_m2"] <= row["catchment_median_m2"] <= row["catchment_high_m2"] for row in rows)
    assert any(row["catchment_high_m2"] > 1.1 * row["catchment_low_m2"] for row in rows)
    kept = how_sure(
        make_site(
            levels={"levels_m": [197.0, 193.0]},
            uncertainty={"draws": 20, "correlation_m": 15.0, "drain_anew": False},
        ),
        hills(3, side=96),
    )
    assert (np.ptp(kept.catchment_m2, axis=0) == 0.0).all()
    assert not kept.moved.any()
    told = next(row for row in reliability_summary(kept)["drawn"] if row["input"] == "catchment")
    assert told["distribution"] == "none: as designed"
    assert kept.influence["holding the storm"]["catchment"] == 0.0


# --- the rule --------------------------------------------------------------------------------------------------------


def test_on_a_plane_both_rules_agree():
    """Down the columns of a grid no water parts, and nothing is told."""
    site, terrain = make_site(levels=LEVELS), plane(shape=(80, 60))
    ground = study_ground(site, terrain)
    rule = catchments_by_rule(ground, make_layout(site, ground))
    np.testing.assert_allclose(rule.parted_m2, rule.single_m2)
    assert rule.notes(["S1", "S2"]) == ()


def knoll() -> Terrain:
    """A cone, on which one direction a cell gathers water on eight rays."""
    y, x = np.mgrid[60:-61:-1, -60:61]
    grid = Grid.from_corner((121, 121), cell_m=1.0, west_m=WEST, north_m=NORTH)
    return Terrain.from_heights(110.0 - 0.1 * np.hypot(x, y), grid, vertical_sigma_m=0.02)


@pytest.mark.compiled
def test_a_line_whose_catchment_hangs_on_the_rule_is_told_once():
    """An arc of 20° on a cone catches by eight directions what falls on a ray, or not: one note, with both figures."""
    angle = np.radians(np.linspace(5.0, 25.0, 12))
    arc = np.column_stack([WEST + 60.5 + 40.0 * np.cos(angle), NORTH - 60.5 + 40.0 * np.sin(angle)])
    site = make_site(levels={"levels_m": [106.0]}, lines={"least_length_m": 5.0})
    design = plan(site, knoll(), lines=[arc])
    (told,) = [note for note in design.warnings if note.startswith("catchment unsure")]
    single, parted = (float(each) for each in told.split("S1 ")[1].split(" m2")[0].replace(",", "").split(" or "))
    ground = study_ground(site, knoll())
    rule = catchments_by_rule(ground, make_layout(site, ground, laid=lay_in_place(site, ground, [arc])))
    assert abs(parted - single) > 0.1 * single
    assert (single, parted) == pytest.approx((rule.single_m2[0], rule.parted_m2[0]), rel=0.15)  # works are wider


def test_only_what_differs_by_a_tenth_and_some_cells_is_unsure():
    """Worst first, with both figures; a small area may differ by a few cells."""
    rule = CatchmentsByRule(np.array([1000.0, 1000.0, 500.0, 30.0]), np.array([1090.0, 800.0, 900.0, 45.0]), 1.0)
    assert rule.unsure.tolist() == [False, True, True, False]
    (note,) = rule.notes(["S1", "S2", "S3", "S4"])
    assert note.startswith("catchment unsure: S3 500 or 900 m2, S2 1,000 or 800 m2, by the rule")


@pytest.mark.compiled
def test_reliability_tells_it_among_its_cautions():
    """One caution with the figures that the table has."""
    sure = how_sure(make_site(levels=LEVELS, uncertainty={"draws": 20}), plane(shape=(80, 60)))
    rule = CatchmentsByRule(np.array([1000.0, 500.0]), np.array([1000.0, 900.0]), 1.0)
    unsure = replace(sure, by_rule=rule)
    assert [each for each in reliability_cautions(unsure) if each.startswith("catchment unsure: S2 500 or 900 m2")]
    assert [row["catchment_parted_m2"] for row in reliability_rows(unsure)] == [1000, 900, 1900]
