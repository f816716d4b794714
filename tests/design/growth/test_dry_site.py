"""A planting where 150 mm fall: modest, never empty, and told in figures."""

import numpy as np
import pytest
import shapely
from dry_site import RAIN_MM, YEARS, dry_design, dry_records, dry_weather

from swalekit.design.growth.grow import grow
from swalekit.design.growth.plant_groups import FRUIT, HARDY, PIONEER
from swalekit.design.growth.table import grow_totals, watering_rows
from swalekit.planting.water.daily_water import DailyWater
from swalekit.planting.water.months import mean_year, month_table
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import StandPart, stand_of
from swalekit.planting.water.water_budget import Ditch, water_budget
from swalekit.reporting.words.planting_words import growth_words
from swalekit.tables.crop_coefficients import crop_row

pytestmark = pytest.mark.compiled


@pytest.fixture(scope="module")
def growth():
    """The planting as the brief asks for it."""
    return grow(dry_design(), dry_records())


def test_the_weather_is_that_of_a_dry_place():
    """As much rain as the name says, on few days, and wet years twice as wet as dry ones."""
    days = dry_weather()
    assert mean_year(days.rain_mm, days.dates) == pytest.approx(RAIN_MM, abs=1.0)
    years = np.bincount(days.dates.astype("datetime64[Y]").astype(int) - 30, days.rain_mm)
    assert len(years) == YEARS
    assert np.quantile(years, 0.9) > 2.0 * np.quantile(years, 0.1)


def test_some_trees_live_on_it_not_none_and_not_hundreds(growth):
    """Some five to the hectare at most, each on a root circle of its own, none of which bears without watering."""
    hectares = growth.design.site.boundary.area / 1e4
    plants = grow_totals(growth)["trees"] + grow_totals(growth)["lasting_pioneers"]
    assert 1.0 < plants / hectares < 8.0
    for swale in growth.swales:
        assert swale.kind in (FRUIT, HARDY, PIONEER)
        trees = swale.planting.xy[np.array(swale.planting.row) != "berm"]
        assert len(trees) >= swale.capacity.trees > 0
        assert swale.capacity.planted_m2 / swale.capacity.trees > 150.0


def test_each_lives_by_its_own_least_share(growth):
    """In four years of five every swale gives its plants their share, and one more plant would go short."""
    for swale in growth.swales:
        assert swale.water.table.least_ratio == swale.group.least_ratio
        assert swale.water.table.reliability >= 0.8
        assert swale.capacity.limited_by == "water"


def test_no_drop_is_made_or_lost(growth):
    """To a tenth of a cubic metre a swale, over all years."""
    for swale in growth.swales:
        budget = swale.water.budget
        assert abs(budget.gained_m3 - budget.lost_m3 - budget.stored_m3) < 0.1


def test_roots_of_two_swales_share_no_ground(growth):
    """All rooted ground fits on the site."""
    assert growth.planted_m2 < growth.design.site.boundary.area


def test_water_by_hand_carries_more(growth):
    """The curve begins with none, never falls, and ends with fruit; the table and the words tell it."""
    curve = growth.by_hand
    assert [found.l_week for found in curve] == [0.0, 20.0, 50.0, 100.0, 200.0]
    fruit = [found.fruit for found in curve]
    assert fruit == sorted(fruit)
    assert fruit[0] == 0 < fruit[-1]
    rows = [row for row in watering_rows(growth) if row["swale"] == "all"]
    assert [row["fruit_trees"] for row in rows] == fruit
    assert rows[0]["hand_m3"] == 0.0 < rows[1]["hand_m3"]
    told = growth_words(growth)[0]
    assert f"with 200 L {fruit[-1]} fruit trees" in told
    assert f"Without watering the swales carry {curve[0].hardy} trees that live without bearing;" in told


def test_planned_water_by_hand_is_planted_for(growth):
    """With what the curve says carries fruit, the plan bears as many trees, and counts the water."""
    watered = grow(dry_design(hand_water_l_week=200.0), dry_records())
    assert watered.trees_at[0.3] == growth.by_hand[-1].fruit
    assert len(watered.swales_of(FRUIT)) > len(growth.swales_of(FRUIT)) == 0
    assert grow_totals(watered)["given_m3"] > 0
    assert "Planned here are" in growth_words(watered)[0]


def test_a_planting_of_nothing_but_thirsty_kinds_is_answered_too():
    """Apricots alone, no pioneers, no low plants: none lives, and each swale is told what one would take by hand."""
    found = grow(dry_design(sheltered=["apricot"], pioneers=[], ground_cover=[]), dry_records())
    for swale in found.swales:
        assert swale.kind in ("", FRUIT)
        assert swale.kind or (swale.least_l_week or 0.0) > 0.0
    told = " ".join(found.notes)
    assert "L a week in the dry months" in told
    assert "no pioneers are named" in told


def test_olives_bear_on_200_mm_where_they_stand_24_m_apart(growth):
    """From memory: groves of Sfax, sand, some 200 mm, 17 trees to the hectare; at 6 m they don't."""
    days, zone = dry_weather(), RootZone.of_texture("sand", root_depth_m=2.0, depletion_fraction=0.65)
    rain_mm = days.rain_mm * 200.0 / RAIN_MM
    water = DailyWater(days.dates, rain_mm, 0.0 * rain_mm, growth.reference.et_mm, 0.0 * rain_mm)
    met = {}
    for spacing_m in (24.0, 6.0):
        cover = min(1.0, 0.25 * np.pi * 7.0**2 / spacing_m**2)
        stand = stand_of([StandPart(crop_row("olive"), cover)], growth.days)
        budget = water_budget(water, stand, zone, Ditch.none(), planted_m2=spacing_m**2)
        met[spacing_m] = month_table(budget, least_ratio=0.3).reliability
    assert met[24.0] >= 0.8
    assert met[6.0] < 0.3


def test_berms_bear_what_rain_carries_or_the_notes_say_why_not(growth):
    """Low plants at their own share on every berm, or a word on what to do instead."""
    bare = [swale.swale for swale in growth.swales if not swale.planting.plants_of("ground cover")]
    assert growth.cover.spacing_m is None
    assert 0 < len(bare) < len(growth.swales)
    assert f"nowhere on the berms of {', '.join(bare)}: cover these with stones" in " ".join(growth.notes)
    crests = [shapely.LineString(swale.line.path) for swale in growth.design.swales]
    for swale, line in zip(growth.swales, crests, strict=True):
        low = swale.planting.xy[swale.planting.of_roles("ground cover")]
        assert (shapely.distance(shapely.points(low), line) < 6.0).all()
        trees = swale.planting.xy[swale.planting.of_roles("fruit")]
        if len(low) and len(trees):  # where no root of a tree takes the water
            gap_m = shapely.distance(shapely.points(low), shapely.MultiPoint(trees))
            assert gap_m.min() > 0.5 * 2.9 * swale.group.chosen.mean_canopy_m
