"""Ground on which nothing gets its share in enough years: what is known to live on the rain is planted, far apart."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from dry_site import dry_brief, dry_terrain, dry_weather
from sites import make_site

from swalekit.design.growth.grow import grow
from swalekit.design.growth.records import Records
from swalekit.design.plan.pipeline import plan
from swalekit.planting.plants.species import known_species

pytestmark = pytest.mark.compiled


@pytest.fixture(scope="module")
def harsh():
    """The dry slope with a soil that sheds little, under a sun that asks for half as much again."""
    parts = dry_brief()
    parts["soil"] = parts["soil"] | {"curve_number": 70.0}
    design = plan(make_site(**parts), dry_terrain())
    weather = dry_weather()
    hot = replace(weather, tmax_c=weather.tmax_c + 12.0, tmin_c=weather.tmin_c + 6.0)
    return grow(design, Records(hot))


def test_pioneers_stand_where_the_budget_carries_nothing(harsh):
    """No fruit tree; pioneers whose least rain is published and falls there, each with ground of its own."""
    wild = [swale for swale in harsh.swales if swale.capacity.limited_by == "rain"]
    assert len(wild) > len(harsh.swales) / 2
    rain_mm = 150.0
    for swale in wild:
        assert swale.kind == "pioneer"
        assert 0 < swale.capacity.trees <= swale.capacity.room
        for species in swale.group.chosen.sheltered:
            assert known_species()[species.name].stands("rain").least <= rain_mm
    told = next(note for note in harsh.notes if "known to live on the rain" in note)
    assert "umbrella thorn from 100 mm (FAO ECOCROP" in told


def test_roots_of_such_plants_do_not_meet(harsh):
    """Plants of a swale stand as far apart as their roots spread, within what the row's places allow."""
    part = harsh.design.site.brief.planting
    for swale in harsh.swales:
        if swale.capacity.limited_by == "rain" and swale.capacity.trees > 1:
            spread_m = part.root_spread * swale.group.chosen.mean_canopy_m
            xy = swale.planting.xy[swale.planting.of_roles("pioneer")]
            line = harsh.design.swales[[each.swale for each in harsh.swales].index(swale.swale)].line
            along = np.sort([shapely.LineString(line.path).project(shapely.Point(point)) for point in xy])
            assert np.diff(along).mean() >= 0.8 * spread_m


def test_their_share_is_what_they_get_in_enough_years(harsh):
    """By the months of the budget: in four years of five no less than the share told, and in one of five or so less."""
    reliability = harsh.design.site.brief.planting.reliability
    for swale in harsh.swales:
        if swale.capacity.limited_by == "rain":
            ratios = np.array(list(swale.water.table.year_ratio.values()))
            assert (ratios >= swale.group.least_ratio).mean() >= reliability
            assert (ratios >= swale.group.least_ratio + 0.02).mean() < reliability + 0.05


def test_plants_for_more_rain_are_not_planted_so():
    """Pioneers that are known from wetter ground alone don't stand there."""
    parts = dry_brief(pioneers=["bladder senna"], sheltered=["apricot"])
    parts["soil"] = parts["soil"] | {"curve_number": 70.0}
    weather = dry_weather()
    hot = replace(weather, tmax_c=weather.tmax_c + 12.0, tmin_c=weather.tmin_c + 6.0)
    bare = grow(plan(make_site(**parts), dry_terrain()), Records(hot))
    assert all(swale.capacity.limited_by != "rain" for swale in bare.swales)
