"""The daily water budget: a week by hand, its balance, its limits."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from swalekit.errors import InputError
from swalekit.hydrology.losses.curve_number import CurveNumberLoss, runoff_mm
from swalekit.hydrology.losses.soil import Soil
from swalekit.planting.water.carrying_capacity import (
    CarryRule,
    PlantedGround,
    carrying_capacity,
    least_hand_water_l_week,
)
from swalekit.planting.water.daily_water import DailyWater, harvest_m3
from swalekit.planting.water.harvest_ratio import (
    harvest_ratio,
    probable_rain_mm,
    tree_ground_m2,
    tree_microcatchment_m2,
)
from swalekit.planting.water.measures import MEASURES, compare_measures
from swalekit.planting.water.months import growing_year_reliability, month_table, whole_year_days
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import Stand
from swalekit.planting.water.water_budget import Ditch, WaterBudget, water_budget

ZONE = RootZone(100.0, 1.0, 0.5, 8.0, 18.0)
DITCH = Ditch(10.0, 20.0, 10.0)


def water(rain_mm: np.ndarray, harvested_m3: np.ndarray, *, reference_mm: float = 5.0, start: str = "2003-01-01"):
    """Days of even reference evapotranspiration from which no rain runs off."""
    dates = np.datetime64(start, "D") + np.arange(len(rain_mm))
    return DailyWater(dates, rain_mm, np.zeros(len(rain_mm)), np.full(len(rain_mm), reference_mm), harvested_m3)


def stand(days: int, *, kcb: float = 0.5, cover: float = 0.5) -> Stand:
    """An even stand."""
    return Stand(np.full(days, kcb), np.full(days, 1.2), cover)


def assert_balanced(budget: WaterBudget) -> None:
    """No drop is made or lost, in all and in the ditch."""
    scale = max(1.0, budget.gained_m3)
    assert budget.gained_m3 == pytest.approx(budget.lost_m3 + budget.stored_m3, abs=1e-9 * scale)
    leaving = budget.spilled_m3 + budget.soaked_m3 + budget.ditch_evaporation_m3
    assert np.sum(budget.water.harvested_m3 - leaving) == pytest.approx(budget.ditch_m3[-1], abs=1e-9 * scale)


def test_week_worked_out_by_hand():
    """A dry day, a storm of 20 mm with 12 m³ to a ditch of 10, and five dry days after it, on 100 m²."""
    days = water(np.array([0, 20, 0, 0, 0, 0, 0.0]), np.array([0, 12, 0, 0, 0, 0, 0.0]))
    budget = water_budget(days, stand(7), ZONE, DITCH, planted_m2=100.0)
    # The ditch soaks 24 · 10 mm · 20 m² = 4.8 m³ a day and loses 1.05 · 5 mm · 20 m² = 0.105 m³ to the air.
    assert budget.spilled_m3 == pytest.approx([0, 2, 0, 0, 0, 0, 0])
    assert budget.ditch_m3 == pytest.approx([0, 5.095, 0.19, 0, 0, 0, 0])
    assert budget.soaked_m3 == pytest.approx([0, 4.8, 4.8, 0.19 * 4.8 / 4.905, 0, 0, 0])
    # Never stressed: 0.5 · 5 mm. The topmost soil gives 3 mm until 8 mm are gone, then less.
    assert budget.transpiration_mm == pytest.approx([2.5] * 7)
    assert budget.evaporation_mm == pytest.approx([0, 3, 3, 2.1, 0.63, 0.189, 0.0567])
    assert budget.percolation_mm == pytest.approx([0, 10, 42.5, 0, 0, 0, 0])
    soaked_mm = 1.8593272
    after = [52.5, 0, 0, 4.6 - soaked_mm, 7.73 - soaked_mm, 10.419 - soaked_mm, 12.9757 - soaked_mm]
    assert budget.depletion_mm == pytest.approx(after, abs=1e-6)
    assert_balanced(budget)


def test_stress_takes_off_transpiration_by_hand():
    """From 80 mm lacking of 100, p = 0.5 + 0.04 (5 − 2.5) = 0.6: Ks = 20 / 40, so that 1.25 mm go."""
    dry = water(np.zeros(1), np.zeros(1))
    budget = water_budget(dry, stand(1), ZONE, Ditch.none(), planted_m2=10.0, start_share=0.8)
    assert budget.stress == pytest.approx([0.5])
    assert budget.depletion_mm == pytest.approx([81.25])


@pytest.mark.parametrize(
    ("fraction", "reference_mm", "lacking", "stress"),
    [
        pytest.param(0.7, 0.0, 0.9, 0.5, id="no want: p = 0.7 + 0.2, no more than 0.8"),
        pytest.param(0.3, 40.0, 0.55, 0.5, id="great want: p below 0.1, no less"),
    ],
)
def test_share_taken_without_stress_has_its_bounds(fraction, reference_mm, lacking, stress):
    """FAO-56 ch. 8: 0.1 to 0.8, whatever the want of the day; Ks = (1 - lacking) / (1 - p) by hand."""
    zone = RootZone(100.0, 1.0, fraction, 8.0, 18.0)
    day = water(np.zeros(1), np.zeros(1), reference_mm=reference_mm)
    budget = water_budget(day, stand(1), zone, Ditch.none(), planted_m2=10.0, start_share=lacking)
    assert budget.stress == pytest.approx([stress])


def test_evaporation_stops_with_the_water_of_the_topmost_soil():
    """On half-bare ground no more than half of the 18 mm that evaporate at most goes, however hot the day."""
    hot = water(np.array([20.0]), np.zeros(1), reference_mm=45.0)
    budget = water_budget(hot, stand(1), ZONE, Ditch.none(), planted_m2=10.0)
    assert budget.evaporation_mm == pytest.approx([9.0])


def test_no_more_is_used_than_is_there():
    """A full root zone of 10 mm under a demand of 20 gives 10 in all and stays in balance."""
    hot = water(np.zeros(2), np.zeros(2), reference_mm=40.0)
    budget = water_budget(
        hot, stand(2), RootZone(10.0, 1.0, 0.5, 2.0, 5.0), Ditch.none(), planted_m2=10.0, start_share=0
    )
    assert budget.transpiration_mm.sum() + budget.evaporation_mm.sum() == pytest.approx(10.0)
    assert budget.depletion_mm[-1] == pytest.approx(10.0)
    assert_balanced(budget)


amounts = st.lists(st.tuples(st.floats(0, 120), st.floats(0, 60)), min_size=2, max_size=40)


@settings(max_examples=150, deadline=None)
@given(
    amounts,
    st.floats(0.1, 5000),
    st.floats(0, 40),
    st.floats(0, 1),
    st.sampled_from([0.0, 7.5, np.inf]),
    st.floats(0, 1),
    st.floats(0, 1),
)
def test_no_drop_is_made_or_lost(days, planted_m2, capacity_m3, cover, irrigation_mm_month, mulch, reached):
    """Whatever comes: the balance closes, and nothing is negative or beyond what the soil holds."""
    rain, harvested = np.array(days).T.copy()
    comes = replace(water(rain, harvested), runoff_mm=0.3 * rain)
    grows = stand(len(rain), kcb=0.9, cover=cover).with_mulch(mulch)
    ditch = Ditch(capacity_m3, 30.0, 4.0)
    given = {"planted_m2": planted_m2, "reached_share": reached, "irrigation_mm_month": irrigation_mm_month}
    budget = water_budget(comes, grows, ZONE, ditch, **given)
    assert_balanced(budget)
    for values in (budget.transpiration_mm, budget.evaporation_mm, budget.percolation_mm, budget.spilled_m3):
        assert (values >= -1e-12).all()
    assert (budget.transpiration_mm <= budget.demand_mm + 1e-12).all()
    assert (budget.depletion_mm >= 0.0).all()
    assert (budget.depletion_mm <= ZONE.total_mm).all()
    assert (budget.ditch_m3 <= capacity_m3).all()


def test_without_rain_the_soil_dries_out():
    """Nothing percolates and no more is used than was there."""
    budget = water_budget(water(np.zeros(200), np.zeros(200)), stand(200), ZONE, Ditch.none(), planted_m2=50.0)
    assert budget.percolation_mm.sum() == 0.0
    assert budget.transpiration_mm.sum() + budget.evaporation_mm.sum() <= 50.0
    assert budget.transpiration_mm[-1] < 0.01 * budget.transpiration_mm[0]


def test_endless_rain_leaves_no_stress():
    """The soil stays full, all demand is met, and what is left percolates."""
    budget = water_budget(water(np.full(60, 50.0), np.zeros(60)), stand(60), ZONE, Ditch.none(), planted_m2=50.0)
    assert (budget.stress[1:] == 1.0).all()
    assert budget.depletion_mm[-1] == 0.0
    assert budget.percolation_mm[-1] == pytest.approx(50.0 - 2.5 - 3.0)


def test_irrigation_is_just_enough():
    """With irrigation no day brings stress, and any less would."""
    days = water(np.zeros(120), np.zeros(120))
    given_water = water_budget(days, stand(120), ZONE, Ditch.none(), planted_m2=50.0, irrigation_mm_month=np.inf)
    assert given_water.stress == pytest.approx(np.ones(120))
    assert given_water.irrigation_m3 > 0.0
    ready = (0.5 + 0.04 * 2.5) * ZONE.total_mm
    watered = given_water.irrigation_mm > 0.0
    assert given_water.depletion_mm[watered] - 2.5 == pytest.approx(np.full(watered.sum(), ready))
    assert_balanced(given_water)


def test_irrigation_stops_at_what_is_allowed_in_a_month():
    """No month takes more than its allowance; a greater one leaves less stress, and none of it is lost."""
    days = water(np.zeros(120), np.zeros(120))
    budgets = [
        water_budget(days, stand(120), ZONE, Ditch.none(), planted_m2=50.0, irrigation_mm_month=most)
        for most in (0.0, 10.0, 30.0, np.inf)
    ]
    for budget, most in zip(budgets, (0.0, 10.0, 30.0, np.inf), strict=True):
        months = days.dates.astype("datetime64[M]")
        by_month = [budget.irrigation_mm[months == month].sum() for month in np.unique(months)]
        assert max(by_month) <= most + 1e-9
        assert_balanced(budget)
    used = [budget.transpiration_mm.sum() for budget in budgets]
    assert used == sorted(used)
    assert used[1] < used[2] < used[3]
    assert max(budgets[1].irrigation_mm.cumsum()) > 10.0  # the next month begins anew


def test_negative_irrigation_fails():
    """Water can't be taken away by giving it."""
    with pytest.raises(InputError, match="irrigation_mm_month is -1"):
        water_budget(
            water(np.zeros(2), np.zeros(2)), stand(2), ZONE, Ditch.none(), planted_m2=5.0, irrigation_mm_month=-1.0
        )


def test_mulch_and_swale_help():
    """Trees use more of what they want with mulch, with a swale, and most with both."""
    random = np.random.default_rng(8)
    rain = np.where(random.random(365) < 0.12, random.exponential(12.0, 365), 0.0)
    grows = stand(365, cover=0.3).with_mulch(1.0)
    budgets = compare_measures(water(rain, 0.2 * rain), grows, ZONE, Ditch(20.0, 60.0, 5.0), planted_m2=300.0)
    used = {name: budget.transpiration_mm.sum() for name, budget in budgets.items()}
    assert list(used) == list(MEASURES)
    assert used["bare"] < used["mulch"] < used["swale and mulch"]
    assert used["bare"] < used["swale"] < used["swale and mulch"]


def test_months_and_years_that_suffer():
    """A record of two years and a bit keeps its whole years; one without rain suffers once its store is gone."""
    rain = np.zeros(800)
    rain[31 : 31 + 365 : 5] = 30.0
    budget = water_budget(water(rain, 0.0 * rain, start="2002-12-01"), stand(800), ZONE, Ditch.none(), planted_m2=1.0)
    table = month_table(budget, least_ratio=0.35)
    assert table.years == (2003, 2004)
    assert table.rain_mm.sum() == pytest.approx(73 * 30.0)
    assert table.year_ratio[2003] == pytest.approx(1.0, abs=0.01)
    assert table.suffering_years == {2004: tuple(range(2, 13))}
    assert table.reliability == 0.5


def test_record_without_whole_year_fails():
    """Reliability is a share of years."""
    with pytest.raises(InputError, match="holds no whole calendar year"):
        whole_year_days(np.arange("2003-02-01", "2004-06-01", dtype="datetime64[D]"))


def test_harvest_is_the_runoff_of_the_plan():
    """Runoff by class times its area, as the curve number gives it."""
    rain = np.array([0.0, 20.0, 60.0])
    expected = (runoff_mm(rain, 80.0) * 3000.0 + runoff_mm(rain, 90.0) * 500.0) / 1000.0
    np.testing.assert_allclose(
        harvest_m3(Soil((CurveNumberLoss(80.0), CurveNumberLoss(90.0))), [3000.0, 500.0], rain), expected
    )
    with pytest.raises(InputError, match="one area of zero or more for 2 soil classes"):
        harvest_m3(Soil((CurveNumberLoss(80.0), CurveNumberLoss(90.0))), [3000.0], rain)


def test_daily_water_that_cannot_be_right_fails():
    """Days without gaps, amounts of zero or more, no more runoff than rain."""
    days = water(np.ones(3), np.zeros(3))
    with pytest.raises(InputError, match="harvested_m3 of 2003-01-02 is -1"):
        replace(days, harvested_m3=np.array([0.0, -1.0, 0.0]))
    with pytest.raises(InputError, match="runoff_mm of 2003-01-01 is 2 and rain_mm 1"):
        replace(days, runoff_mm=np.full(3, 2.0))
    with pytest.raises(InputError, match="day 2003-01-02 is missing"):
        replace(days, dates=days.dates + np.array([0, 1, 1]))


def capacity_water() -> DailyWater:
    """Two years with a storm every 15 days that brings 10 m³ and no rain on the trees."""
    return water(np.zeros(730), np.where(np.arange(730) % 15 == 0, 10.0, 0.0), reference_mm=4.0)


def on_25_m2(grows: Stand, reached=lambda _: 1.0):
    """Ground of trees that have 25 m² each, however many."""
    return lambda trees: PlantedGround(25.0 * trees, reached(trees), grows)


def test_trees_carried_are_the_most_that_do_not_suffer():
    """The number found passes, one more fails, and half the water carries about half."""
    grows, zone, ditch = stand(730, cover=1.0), RootZone(130.0, 1.0, 0.5, 8.0, 18.0), Ditch(50.0, 100.0, 10.0)
    found = carrying_capacity(capacity_water(), on_25_m2(grows), zone, ditch, room=500)
    assert found.limited_by == "water"
    for trees, enough in ((found.trees, True), (found.trees + 1, False)):
        budget = water_budget(capacity_water(), grows, zone, ditch, planted_m2=25.0 * trees)
        assert (month_table(budget).reliability >= 0.8) is enough
    half = replace(capacity_water(), harvested_m3=0.5 * capacity_water().harvested_m3)
    fewer = carrying_capacity(half, on_25_m2(grows), zone, ditch, room=500)
    assert fewer.trees == pytest.approx(found.trees / 2, abs=1)
    assert fewer.planted_m2 == 25.0 * fewer.trees


def test_fewer_trees_on_more_ground_are_carried_where_many_are_not():
    """Rain that a tree on 25 m² can't live on carries it on as much as its roots fill: spacing follows from water."""
    rain = water(np.where(np.arange(730) % 60 == 0, 50.0, 0.0), np.zeros(730), reference_mm=4.0)
    zone = RootZone(130.0, 1.0, 0.5, 8.0, 18.0)
    close = stand(730, kcb=1.0, cover=1.0)

    def spread(trees: int) -> PlantedGround:
        planted_m2 = min(100.0 * trees, 500.0)
        share = 25.0 * trees / planted_m2
        return PlantedGround(planted_m2, 0.0, stand(730, kcb=share, cover=share))

    crowded = carrying_capacity(rain, on_25_m2(close), zone, Ditch.none(), room=20, rule=CarryRule(least_ratio=0.5))
    apart = carrying_capacity(rain, spread, zone, Ditch.none(), room=20, rule=CarryRule(least_ratio=0.5))
    assert crowded.trees == 0
    assert 5 <= apart.trees < 20


def test_water_by_hand_is_counted_by_plant_and_only_in_dry_months():
    """Twenty litres a week are 87 in a month, over the ground of the plants; a wet month gets none."""
    rule = CarryRule(hand_l_week=20.0, dry_months=(1,))
    days = water(np.zeros(59), np.zeros(59))
    budget = water_budget(
        days, stand(59), ZONE, Ditch.none(), planted_m2=40.0, irrigation_mm_month=rule.allowed_mm(10, 40.0),
        start_share=1.0,
    )  # fmt: skip
    assert budget.irrigation_mm[:31].sum() * 40.0 == pytest.approx(10 * 20.0 * 365.25 / 12 / 7)
    assert budget.irrigation_mm[31:].sum() == 0.0
    assert_balanced(budget)


def test_least_water_by_hand_is_just_enough():
    """Ten litres less carry none; without rain none at all but with as much as the ground wants."""
    days, zone = water(np.zeros(730), np.zeros(730), reference_mm=4.0), RootZone(130.0, 1.0, 0.5, 8.0, 18.0)
    ground, rule = on_25_m2(stand(730, cover=1.0)), CarryRule(dry_months=tuple(range(1, 13)))
    litres = least_hand_water_l_week(days, ground, zone, Ditch.none(), rule=rule)
    for hand, carried in ((litres, 1), (litres - 10.0, 0)):
        found = carrying_capacity(days, ground, zone, Ditch.none(), room=1, rule=replace(rule, hand_l_week=hand))
        assert found.trees == carried
    assert litres == pytest.approx(0.3 * 0.5 * 4.0 * 7 * 25.0, rel=0.3)
    assert least_hand_water_l_week(days, ground, zone, Ditch.none(), rule=rule, most_l_week=20.0) is None


@pytest.mark.parametrize("mulch", [0.0, 0.3, 1.0])
def test_mulch_takes_its_share_off_all_that_evaporates(mulch):
    """FAO-56 ch. 10: 5 % for each 10 % of the surface, of a whole drying too, where nothing else runs short."""
    rain = np.where(np.arange(120) % 30 == 0, 20.0, 0.0)
    grows = stand(120, kcb=0.1, cover=0.0)
    bare, under = (
        water_budget(water(rain, np.zeros(120)), grows.with_mulch(cover), ZONE, Ditch.none(), planted_m2=10.0)
        for cover in (0.0, mulch)
    )
    assert under.evaporation_mm.sum() == pytest.approx((1.0 - 0.5 * mulch) * bare.evaporation_mm.sum())
    assert_balanced(under)


def test_water_out_of_reach_is_lost_to_the_trees():
    """With half of the ditch in reach the roots get half, the rest soaks in beyond; the ditch knows no difference."""
    comes, grows, ditch = water(np.zeros(30), np.full(30, 2.0)), stand(30), Ditch(50.0, 100.0, 10.0)
    whole, half = (
        water_budget(comes, grows, ZONE, ditch, planted_m2=1000.0, reached_share=share, start_share=1.0)
        for share in (1.0, 0.5)
    )
    np.testing.assert_allclose(half.soaked_m3, whole.soaked_m3)
    assert half.beyond_m3.sum() == pytest.approx(0.5 * half.soaked_m3.sum())
    came = [budget.stored_m3 + budget.transpiration_mm.sum() + budget.evaporation_mm.sum() for budget in (whole, half)]
    assert came[0] - came[1] == pytest.approx(half.beyond_m3.sum())
    assert_balanced(half)


def test_trees_that_stand_apart_do_not_take_from_each_other():
    """As long as their reaches don't meet, many are carried as well as one; a tree that reaches too little isn't."""
    grows, zone, ditch = stand(730, cover=1.0), RootZone(130.0, 1.0, 0.5, 8.0, 18.0), Ditch(50.0, 100.0, 10.0)
    all_of_it = carrying_capacity(capacity_water(), on_25_m2(grows), zone, ditch, room=500)
    touching = 1.0 / all_of_it.trees
    near, scanty = (on_25_m2(grows, lambda trees, part=part: min(1.0, part * touching * trees)) for part in (1.05, 0.5))
    apart = carrying_capacity(capacity_water(), near, zone, ditch, room=500)
    assert apart.trees == all_of_it.trees
    assert apart.reached_share == 1.0
    scant = carrying_capacity(capacity_water(), scanty, zone, ditch, room=500)
    assert (scant.trees, scant.limited_by) == (0, "reach")


@pytest.mark.parametrize(
    ("zone", "room", "limit"),
    [(RootZone(130.0, 1.0, 0.5, 8.0, 18.0), 5, "room"), (RootZone(20.0, 0.3, 0.5, 2.0, 5.0), 500, "root zone")],
)
def test_room_or_root_zone_may_be_the_limit(zone: RootZone, room: int, limit: str):
    """Few trees have room; a shallow soil can't carry one from storm to storm."""
    found = carrying_capacity(
        capacity_water(), on_25_m2(stand(730, cover=1.0)), zone, Ditch(50.0, 100.0, 10.0), room=room
    )
    assert found.limited_by == limit
    assert found.trees == (room if limit == "room" else 0)


def test_stricter_rules_carry_fewer_trees():
    """Trees that must not want for anything are fewer than trees that merely live."""
    found = [
        carrying_capacity(
            capacity_water(),
            on_25_m2(stand(730, cover=1.0)),
            RootZone(130.0, 1.0, 0.5, 8.0, 18.0),
            Ditch(50.0, 100.0, 10.0),
            room=500,
            rule=CarryRule(least_ratio=ratio),
        ).trees
        for ratio in (0.3, 0.6, 0.95)
    ]
    assert found == sorted(found, reverse=True)
    assert found[0] > found[-1]


@pytest.mark.parametrize(
    ("needed", "rain", "coefficient", "efficiency", "published"),
    [
        pytest.param(475.0, 250.0, 0.25, 0.50, 7.2, id="millet in trapezoidal bunds"),
        pytest.param(525.0, 310.0, 0.50, 0.75, 1.85, id="sorghum in contour ridges"),
    ],
)
def test_harvest_ratio_of_critchley_and_siegert(needed, rain, coefficient, efficiency, published):
    """From memory: worked examples of FAO AGL/MISC/17/91 ch. 4."""
    found = harvest_ratio(needed, rain, runoff_coefficient=coefficient, efficiency=efficiency)
    assert found == pytest.approx(published, abs=0.005)


def test_microcatchment_of_critchley_and_siegert():
    """From memory: a citrus tree on 10 m² takes 74 m², FAO AGL/MISC/17/91 ch. 4."""
    found = tree_microcatchment_m2(10.0, 1000.0, 350.0, runoff_coefficient=0.5, efficiency=0.5)
    assert found == pytest.approx(74.0, abs=0.5)


@pytest.mark.parametrize(
    ("rooted", "needed", "rain", "coefficient", "efficiency", "catchment"),
    [
        pytest.param(10.0, 1000.0, 350.0, 0.5, 0.5, 74.29, id="citrus"),
        pytest.param(10.0, 400.0, 150.0, 0.4, 0.5, 83.33, id="150 mm"),
        pytest.param(8.0, 300.0, 200.0, 0.3, 0.6, 22.22, id="200 mm"),
        pytest.param(12.0, 500.0, 250.0, 0.25, 0.5, 96.0, id="250 mm"),
        pytest.param(10.0, 265.0, 300.0, 0.5, 0.5, 0.0, id="rain is enough"),
    ],
)
def test_microcatchment_by_the_manuals_formula(rooted, needed, rain, coefficient, efficiency, catchment):
    """MC = RA (WR - DR) / (DR K EFF), worked out by hand; never less than nothing."""
    given = {"runoff_coefficient": coefficient, "efficiency": efficiency}
    assert tree_microcatchment_m2(rooted, needed, rain, **given) == pytest.approx(catchment, abs=0.01)


def test_a_tree_takes_its_catchment_and_the_ground_of_its_roots():
    """The manual calls MC the whole of it, but its balance gives the catchment alone: 74.3 + 10 m² for its citrus."""
    given = {"runoff_coefficient": 0.5, "efficiency": 0.5}
    total_m2 = tree_ground_m2(10.0, 1000.0, 350.0, **given)
    assert total_m2 == pytest.approx(84.3, abs=0.1)
    harvested_l = (total_m2 - 10.0) * 350.0 * 0.5 * 0.5
    assert harvested_l == pytest.approx(10.0 * (1000.0 - 350.0))


def test_balance_of_catchment_and_cultivated_ground():
    """C DR K EFF = CA (WR - DR): 10,000 m² of catchment and 1,389 m² of field come to the same water."""
    ratio = harvest_ratio(475.0, 250.0, runoff_coefficient=0.25, efficiency=0.5)
    assert 1389.0 * ratio == pytest.approx(10000.0, rel=0.001)


def test_probable_rain_by_rank():
    """The wettest of 20 seasons stands at 3.09 %, the driest at 96.9 %; two years in three lie between."""
    rain = np.arange(200.0, 600.0, 20.0)
    assert probable_rain_mm(rain, 100.0 * 0.625 / 20.25) == pytest.approx(580.0)
    assert probable_rain_mm(rain, 100.0 * 19.625 / 20.25) == pytest.approx(200.0)
    assert probable_rain_mm(rain, 67.0) < probable_rain_mm(rain, 33.0)
    with pytest.raises(InputError, match="has 5 seasons; give 10 or more"):
        probable_rain_mm(rain[:5], 50.0)


def test_more_rain_than_needed_takes_no_catchment():
    """Where rain is enough the ratio is zero, not negative."""
    assert harvest_ratio(400.0, 500.0, runoff_coefficient=0.3, efficiency=0.5) == 0.0


def test_years_from_the_rains_keep_a_dry_season_whole():
    """A dry season that falls over the turn of the year fails one year from July, though no calendar year is short."""
    dates = np.arange("2001-01-01", "2005-01-01", dtype="datetime64[D]")
    drought = (dates >= np.datetime64("2002-10-01")) & (dates < np.datetime64("2003-04-01"))
    rain = np.where(drought, 0.0, 4.0)
    days = DailyWater(dates, rain, np.zeros(dates.size), np.full(dates.size, 5.0), np.zeros(dates.size))
    budget = water_budget(days, stand(dates.size, kcb=0.8), ZONE, Ditch.none(), planted_m2=10.0)
    ratios = month_table(budget, least_ratio=0.5).year_ratio
    least = min(ratios.values()) - 1e-6
    assert growing_year_reliability(budget, least_ratio=least, first_month=1) == 1.0
    assert growing_year_reliability(budget, least_ratio=least, first_month=7) == pytest.approx(2.0 / 3.0)
    assert growing_year_reliability(budget, least_ratio=0.0, first_month=7) == 1.0
    with pytest.raises(InputError, match="first_month is 13"):
        growing_year_reliability(budget, least_ratio=0.5, first_month=13)
