"""The pour over the ground as built, against sums by hand and against the sizing."""

import numpy as np
import pytest
import shapely
from dug_ground import dug_channel
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.contours.line import LevelLine
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import lay_levels
from swalekit.design.plan.pipeline import plan
from swalekit.errors import InputError
from swalekit.hydrology.losses.coefficient import RunoffCoefficient
from swalekit.hydrology.losses.soil import Soil
from swalekit.section.laid_swale import LaidSwale
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale
from swalekit.section.stations import Stations
from swalekit.verification.swale_ponds import HOLLOW, swale_ponds
from swalekit.verification.water_account import account_water

HALF = Soil((RunoffCoefficient(0.5),))


def laid(count, crest_level_m):
    """Swales of which only crest and sill are looked at."""
    line = LevelLine(2.0, False, np.array([[0.0, 0.0], [1.0, 0.0]]), np.full(2, 2.0), np.full(2, 0.1))
    shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.1, crest_level_m)
    return [LaidSwale(f"S{k}", k, line, shape, 0.5, 0.5) for k in range(1, count + 1)]


@pytest.mark.parametrize(
    ("ditches", "crest", "owned"),
    [
        ({2: 1, 4: 2}, 5.0, [(2, 1), (1, 2)]),
        ({2: 1, 4: 2}, 7.0, [(2, 1), (1, 2)]),
        ({2: 1, 4: 1}, 5.0, [(2, 1), (1, 1)]),
        ({2: 1, 4: 1}, 4.98, []),
        ({2: 1}, 7.0, [(1, 1)]),
        ({2: 1}, 5.0, [(2, 1)]),
    ],
)
def test_a_pond_holds_one_swales_ditch_and_spills_below_its_crest(ditches, crest, owned):
    """Ponds are the greatest depressions with one swale's ditch that spill no higher than its crest."""
    ponds = swale_ponds(dug_channel((8, 4, 2, 5, 1, 3, 7), ditches), np.full(2, crest))
    lowest = np.array([2.0, 1.0, 1.0])  # pits of the leaves, then of what both become
    assert [(lowest[top], ponds.owner[top]) for top in ponds.tops] == owned


def test_corners_of_cells_are_no_ponds():
    """What holds less than a hundredth of a swale's storage beside its pond is left out."""
    ponds = swale_ponds(dug_channel((99, 4.985, 5, 1, 8, 1, 9), {1: 1, 3: 1, 5: 2}), np.array([7.9, 9.0]))
    assert ponds.owner[ponds.tops].tolist() == [1, 2]
    ponds = swale_ponds(dug_channel((9, 7.99, 8, 3, 7.5, 99), {1: 1, 3: 1}), np.array([9.0]))
    assert len(ponds.tops) == 1


@pytest.mark.parametrize(("noise_depth_m", "met"), [(0.0, HOLLOW), (1.5, 1)])
def test_water_passes_hollows_that_are_noise(noise_depth_m, met):
    """Ground above a hollow of the ground drains to it, or to the swale below where the hollow is noise."""
    built = dug_channel((20, 18, 19, 12.9, 14, 13, 6, 8, 7), {6: 1})
    ponds = swale_ponds(built, np.array([8.5]), noise_depth_m=noise_depth_m)
    first = ponds.surface.basin[built.grid.shape[1] + 2]
    assert ponds.first_met[first] == met
    assert ponds.first_met[0] == 0


def test_water_passes_nested_noise():
    """Two shallow pits that fill to one are noise together."""
    built = dug_channel((20, 18, 18.5, 17.9, 19, 6, 8, 7), {5: 1})
    ponds = swale_ponds(built, np.array([8.5]), noise_depth_m=1.5)
    assert ponds.first_met.tolist() == [0, 1, 1, 1]


def test_water_by_swale_is_worked_by_hand():
    """Ditches of 0.4 and 0.6 m³, one above the other, to which 3.5 and 5 litres run a millimetre."""
    built = dug_channel(np.array([8, 4, 2, 5, 1, 3, 7]) / 10.0, {2: 1, 4: 2})
    account = account_water(built, laid(2, 0.5), HALF, depth_mm=116.0)
    upper, lower = account.swales
    assert (upper.storage_m3, lower.storage_m3) == pytest.approx((0.4, 0.6), rel=1e-6)
    assert (upper.first_spill_level_m, upper.spills_to) == (pytest.approx(0.5), 2)
    assert upper.first_spill_xy == (500_004.5, 3_999_998.5)
    assert not upper.on_sill
    assert (upper.catchment_m2, upper.strip_m2, lower.catchment_m2, lower.strip_m2) == (5.0, 1.0, 8.0, 1.0)
    assert (upper.arriving_m3, upper.held_m3, upper.spilled_m3) == pytest.approx((0.406, 0.4, 0.006), abs=1e-6)
    assert (lower.arriving_m3, lower.held_m3, lower.spilled_m3) == pytest.approx((0.586, 0.586, 0.0), abs=1e-6)
    assert (upper.held_storm_mm, lower.held_storm_mm) == (114.2, 117.6)
    assert account.rain_m3 == pytest.approx(27 * 0.116)
    assert (account.swales_m3, account.hollows_m3) == pytest.approx((0.986, 0.0), abs=1e-6)
    deeper = account_water(built, laid(2, 0.5), HALF, depth_mm=200.0)
    assert (deeper.swales_m3, deeper.hollows_m3) == pytest.approx((1.0, 0.7), abs=1e-6)
    dry = account_water(built, laid(2, 0.5), Soil((RunoffCoefficient(0.0),)), depth_mm=200.0)
    assert [swale.held_storm_mm for swale in dry.swales] == pytest.approx([400.0, 500.0], abs=0.1)


def test_water_that_goes_from_one_pond_to_another_of_a_swale_has_not_left_it():
    """Of three ponds two spill into each other at 5 m; what leaves, leaves the third at 6 m."""
    built = dug_channel((9, 1, 5, 2, 9.5, 3, 6), {1: 1, 3: 1, 5: 1})
    none = Soil((RunoffCoefficient(0.0),))
    [swale] = account_water(built, laid(1, 6.5), none, depth_mm=3500.0).swales
    assert swale.storage_m3 == 10.0
    assert (swale.first_spill_level_m, swale.spills_to) == (6.0, 0)
    assert (swale.arriving_m3, swale.held_m3, swale.spilled_m3) == (10.5, 10.0, 0.5)


def test_a_swale_without_a_pond_holds_nothing():
    """Where the crest lies below all that closes the ditch, no water is the swale's; nor is any where there is none."""
    built = dug_channel((8, 4, 2, 5, 1, 3, 7), {2: 1})
    account = account_water(built, laid(1, 4.0), HALF, depth_mm=100.0)
    [swale] = account.swales
    assert (swale.storage_m3, swale.first_spill_level_m, swale.first_spill_xy) == (0.0, None, None)
    assert (swale.arriving_m3, swale.held_storm_mm) == (0.0, 0.0)
    without = account_water(dug_channel((8, 4, 2, 5, 1, 3, 7), {}), [], HALF, depth_mm=100.0)
    assert without.swales == ()
    assert without.hollows_m3 == pytest.approx(account.hollows_m3 - 0.05)  # half the rain on what was dug


@pytest.mark.parametrize("depth_mm", [0.0, 3.0, 60.0, 700.0])
def test_rain_is_soaked_held_or_gone(depth_mm):
    """The account closes to less than a drop."""
    built = dug_channel((8, 4, 2, 5, 1, 3, 7, 6.5, 9), {2: 1, 4: 2})
    classes = np.arange(33, dtype=np.uint8).reshape(3, 11) % 2
    soil = Soil((RunoffCoefficient(0.3), RunoffCoefficient(0.9)))
    account = account_water(built, laid(2, 5.0), soil, depth_mm=depth_mm, soil_class=classes)
    assert account.residual_m3 == pytest.approx(0.0, abs=1e-12 * max(depth_mm, 1.0))
    assert account.rain_m3 == pytest.approx(33.0 * depth_mm / 1000.0)
    for swale in account.swales:
        assert swale.arriving_m3 == pytest.approx(swale.held_m3 + swale.spilled_m3)


def test_wrong_classes_fail():
    """Soil classes are one a cell of the tile."""
    with pytest.raises(InputError, match="differ in shape"):
        account_water(
            dug_channel((8, 4, 2, 5, 1, 3, 7), {2: 1}),
            laid(1, 5.0),
            HALF,
            depth_mm=1.0,
            soil_class=np.zeros((2, 2), np.uint8),
        )


def laid_of(design):
    """The swales of a plan as they are built."""
    return [
        LaidSwale(swale.id, number, swale.line, swale.sized.shape, swale.sill.chainage_m, swale.sill.length_m)
        for number, swale in enumerate(design.swales, start=1)
    ]


INNER = shapely.box(WEST + 12.0, NORTH - 84.0, WEST + 84.0, NORTH - 12.0)
"""Land whose swales' ends have ground round them."""


@pytest.mark.compiled
@pytest.mark.parametrize("terrain", [plane(), hills()], ids=["plane", "hills"])
def test_the_pour_agrees_with_the_sizing(terrain):
    """Ponds hold what was sized, spill at the sill's level and on it, and hold the storm that they were sized for."""
    design = plan(make_site(INNER), terrain)
    assert design.swales
    account = account_water(design.surface, laid_of(design), design.ground.soil, depth_mm=50.0, noise_depth_m=0.1)
    assert account.residual_m3 == pytest.approx(0.0, abs=1e-9 * account.rain_m3)
    for swale, water in zip(design.swales, account.swales, strict=True):
        assert water.on_sill
        assert water.first_spill_level_m == pytest.approx(swale.sill.level_m, abs=1e-4)
        assert water.storage_m3 == pytest.approx(swale.storage_m3, rel=0.025)
        # the returns reach a little beyond the stations that the sizing gathers from
        assert water.catchment_m2 + water.strip_m2 == pytest.approx(swale.catchment_m2, rel=0.05)
        assert water.held_storm_mm == pytest.approx(swale.held_storm_mm, rel=0.05)


@pytest.mark.compiled
def test_an_end_that_is_open_at_the_edge_of_the_tile_spills_there():
    """A line given up to the edge of the known ground has no room for its return, and loses water beside it."""
    ground = study_ground(make_site(), plane())
    design = plan(make_site(), plane(), lines=lay_levels(make_site(), ground).lines)
    for water in account_water(design.surface, laid_of(design), design.ground.soil, depth_mm=50.0).swales:
        assert not water.on_sill
        assert water.first_spill_xy[0] - WEST < 1.0
        assert water.spills_to == 0


@pytest.mark.compiled
def test_a_storm_just_deeper_than_the_held_one_spills():
    """At the held storm nothing leaves a swale; 0.2 mm more, something does."""
    design = plan(make_site(INNER), plane())
    for water in account_water(design.surface, laid_of(design), design.ground.soil, depth_mm=10.0).swales:
        for more_mm, spills in ((0.0, False), (0.2, True)):
            storm_mm = water.held_storm_mm + more_mm
            again = account_water(design.surface, laid_of(design), design.ground.soil, depth_mm=storm_mm)
            [same] = [each for each in again.swales if each.id == water.id]
            assert (same.spilled_m3 > 1e-6) == spills


@pytest.mark.compiled
def test_a_ditch_is_never_noise():
    """However rough the terrain is taken to be, a dug ditch holds its water."""
    design = plan(make_site(INNER), plane())
    rough, smooth = (
        account_water(design.surface, laid_of(design), design.ground.soil, depth_mm=30.0, noise_depth_m=noise_m)
        for noise_m in (9.0, 0.0)
    )
    assert [water.storage_m3 for water in rough.swales] == [water.storage_m3 for water in smooth.swales]
    assert min(water.storage_m3 for water in rough.swales) > 1.0
