"""Figures of a planting against the same worked out another way."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from grown import grow_design, records, weather
from sites import NORTH, WEST

from swalekit.contours.obstacles import KeepOut
from swalekit.design.growth.chosen_species import Chosen, root_zone_of
from swalekit.design.growth.greywater import serves_across_watercourse
from swalekit.design.growth.greywater_plan import _planted_cells
from swalekit.design.growth.grow import grow
from swalekit.design.growth.growth import Growth
from swalekit.design.growth.house_cautions import bed_cautions
from swalekit.design.growth.plant_table import plant_rows
from swalekit.design.growth.records import Records
from swalekit.design.growth.stand_years import HAND_STEPS_L_WEEK
from swalekit.design.growth.table import grow_row, grow_totals
from swalekit.design.growth.tree_water import plantable, wetted_m
from swalekit.design.plan.design import Design
from swalekit.greywater.pipe_route import PipeRoute
from swalekit.greywater.reed_bed import BedRules, size_reed_bed
from swalekit.planting.plants.succession import canopies_by_year
from swalekit.planting.water.harvest_ratio import harvest_ratio, probable_rain_mm
from swalekit.planting.water.root_spread import reached_share
from swalekit.reporting.words.planting_words import growth_words
from swalekit.section.footprint import works_footprint
from swalekit.tables.crop_coefficients import crop_row
from swalekit.terrain.terrain import cells_within


@pytest.fixture(scope="module")
def design() -> Design:
    """Two swales with a house above and a tank amid the ground below."""
    found = grow_design(greywater={"people": 3.0})
    tank = KeepOut("septic field", shapely.box(WEST + 60.0, NORTH - 100.0, WEST + 66.0, NORTH - 94.0), 2.0, "Tank")
    return replace(found, site=replace(found.site, keep_outs=(*found.site.keep_outs, tank)))


@pytest.fixture(scope="module")
def growth(design: Design) -> Growth:
    """Their planting in thin rain, over twelve years, wet and dry ones."""
    even = weather(12, rain_mm=13.0)
    year = even.dates.astype("datetime64[Y]").astype(int)
    return grow(design, Records(replace(even, rain_mm=even.rain_mm * (0.82 + 0.05 * (year * 7 % 12)))))


def test_water_lacking_is_what_meets_the_whole_want(growth):
    """Given without limit, every month gets all of it; the table shows the mean and the driest year."""
    for swale in growth.swales:
        water, row = swale.water, grow_row(swale)
        assert water.irrigated.ratio.min() == pytest.approx(1.0)
        depths_mm = [water.irrigated.irrigation_mm[water.irrigated.year == year].sum() for year in range(2001, 2013)]
        volumes_m3 = np.array(depths_mm) * swale.capacity.planted_m2 / 1000.0
        assert row["irrigation_m3"] == pytest.approx(volumes_m3.mean(), abs=0.5)
        assert row["greatest_irrigation_m3"] == pytest.approx(volumes_m3.max(), abs=0.5)
        assert row["irrigation_m3"] > 10.0


def test_planted_ground_sheds_as_the_hillside_does(growth):
    """Its runoff is the plan's, and does not come to its roots."""
    rain_mm = growth.weather.rain_mm
    expected = growth.design.ground.soil.runoff_mm(rain_mm)[:, 0]
    for swale in growth.swales:
        np.testing.assert_allclose(swale.water.budget.water.runoff_mm, expected)
    assert expected.max() > 0.0


def test_hard_months_are_those_in_which_most_years_fall_short(growth):
    """Counted month by month over the record."""
    for swale in growth.swales:
        table = swale.water.table
        short = [
            np.mean(table.transpiration_mm[table.month == month] < 0.3 * table.demand_mm[table.month == month])
            for month in range(1, 13)
        ]
        hard = [str(month) for month in range(1, 13) if short[month - 1] > 0.5]
        assert grow_row(swale)["hard_months"] == ", ".join(hard)
        assert hard


def test_manuals_ratio_is_that_of_the_record(growth):
    """Trees' want and probable rain of the record's years, half of the harvest used, as the manual's lower figure."""
    yearly_mm = [growth.weather.rain_mm[growth.weather.dates.astype("datetime64[Y]") == year].sum() for year in
                 np.arange("2001", "2013", dtype="datetime64[Y]")]  # fmt: skip
    harvest_mm = sum(swale.harvested_m3 for swale in growth.swales) / sum(swale.catchment_m2 for swale in growth.swales)
    want_m3 = sum(swale.water.budget.demand_mm.sum() * swale.capacity.planted_m2 for swale in growth.swales) / 12000.0
    assert grow_totals(growth)["tree_want_m3"] == pytest.approx(want_m3 / growth.trees, abs=0.05)
    want_mm = 1000.0 * want_m3 / growth.planted_m2
    expected = harvest_ratio(
        want_mm,
        probable_rain_mm(yearly_mm, 67.0),
        runoff_coefficient=1000.0 * harvest_mm / np.mean(yearly_mm),
        efficiency=0.5,
    )
    assert growth.needed_ratio == pytest.approx(expected, rel=0.01)


def test_water_of_a_young_stand_is_what_its_roots_reach(growth):
    """Year by year: the reach of living plants of that year's size over both ditches, by the water that soaks in."""
    part = growth.design.site.brief.planting
    for each in growth.stand_years:
        year = each.year - part.planting_year - 1  # planted in the autumn before
        reached = soaked = 0.0
        for dug, swale in zip(growth.design.swales, growth.swales, strict=True):
            xy, radii = [np.zeros((0, 2))], [np.zeros(0)]
            canopies = canopies_by_year(swale.planting.counts, succession=part.years_by_role, years=part.years)
            for role in ("pioneer", "fruit"):
                canopy, places = canopies[role], swale.planting.xy[swale.planting.of_roles(role)]
                plants = int(canopy.plants[year])
                if plants == canopy.plants.max():
                    xy.append(places)
                    diameter = 2.0 * np.sqrt(canopy.canopy_m2[year] / plants / np.pi)
                    radii.append(np.full(len(places), 0.5 * 2.9 * diameter))
                elif plants:
                    break
            else:
                share = reached_share(dug.line, np.vstack(xy), np.concatenate(radii), wet_m=wetted_m(dug, part))
                reached += share * swale.water.budget.soaked_m3.sum()
                soaked += swale.water.budget.soaked_m3.sum()
        if soaked:
            assert each.reached_share == pytest.approx(reached / soaked, abs=1e-6)
    least = {swale.group.least_ratio for swale in growth.swales}
    assert {year.short_share for year in growth.stand_years if year.met < 0.8 * min(least)} <= {1.0}
    assert any(year.short_share > 0.0 for year in growth.stand_years)
    assert all(year.short_share < 1.0 for year in growth.stand_years if year.met > 1.2 * max(least))


def test_water_by_hand_of_a_year_is_the_least_that_is_enough(growth):
    """None where enough years give the plants their share; where they don't, a step is told, and the words name it."""
    for year in growth.stand_years:
        assert (year.hand_l_week == 0.0) is (year.short_share <= 0.2 + 1e-9)
        assert year.hand_l_week is None or year.hand_l_week in HAND_STEPS_L_WEEK
    short = [year for year in growth.stand_years if year.hand_l_week != 0.0]
    told = " ".join(growth_words(growth))
    assert ("each plant wants in a week of the dry months" in told) is bool(short)
    for year in short:
        assert year.hand_l_week is None or f"{year.hand_l_week:.0f} L in {year.year}" in told


def test_given_water_counts_in_every_year_of_the_stand(design):
    """Irrigation without practical limit meets the want of each."""
    part = design.site.brief.planting.model_copy(update={"irrigation_mm_month": 1000.0})
    site = replace(design.site, brief=design.site.brief.model_copy(update={"planting": part}))
    found = grow(replace(design, site=site), records(rain_mm=13.0))
    assert [year.met for year in found.stand_years] == pytest.approx([1.0] * part.years)


def test_plants_keep_off_works_watercourses_and_ways_of_overflow():
    """Ground of every other swale, five metres by a watercourse and the strip of an overflow are not planted."""
    found = grow(grow_design(house=False, rows_below=8, seep_m=50.0), records(rain_mm=60.0))
    works = shapely.union_all([works_footprint(swale.line, swale.sized.shape) for swale in found.design.swales])
    places = shapely.points(
        [(row["easting_m"], row["northing_m"]) for row in plant_rows(found) if row["row"] != "berm"]
    )
    assert not shapely.contains(works.buffer(-0.05), places).any()
    course = np.array([[WEST + 30.0, NORTH - 110.0], [WEST + 30.0, NORTH - 5.0]])
    wet = replace(found.design, ground=replace(found.design.ground, watercourse_lines=(course,)))
    free, gap_m = plantable(wet), wet.site.brief.lines.watercourse_gap_m
    assert free.distance(shapely.LineString(course)) == pytest.approx(gap_m, rel=0.01)
    ways = [shapely.LineString(swale.sill.path) for swale in wet.swales if len(swale.sill.path) > 1]
    assert ways
    assert all(free.distance(each) >= 1.49 for each in ways)


def test_root_zone_is_no_deeper_than_roots_and_soil(growth):
    """Mean of the species' depths and fractions, cut off by the soil's depth and thinned by its stones."""
    chosen = growth.chosen
    olive = chosen.sheltered[0]
    second = replace(olive, name="second", root_depth_m=0.75)
    both = Chosen((), (olive, second), (), (chosen.crops[0], replace(chosen.crops[0], depletion_fraction=0.25)))
    brief = growth.design.site.brief
    zone = root_zone_of(both, brief)
    assert zone.root_depth_m == pytest.approx((1.45 + 0.75) / 2.0)
    assert zone.depletion_fraction == pytest.approx((0.65 + 0.25) / 2.0)
    shallow = brief.planting.model_copy(update={"root_depth_m": 0.5, "stone_share": 0.25})
    cut = root_zone_of(both, brief.model_copy(update={"planting": shallow}))
    assert cut.total_mm == pytest.approx(0.75 * 0.5 * zone.available_mm_m)


def test_roots_said_to_go_deeper_than_they_do_are_told(design):
    """A depth beyond the species' own changes nothing, and the notes say so."""
    part = design.site.brief.planting.model_copy(update={"root_depth_m": 3.0})
    site = replace(design.site, brief=design.site.brief.model_copy(update={"planting": part}))
    found = grow(replace(design, site=site), records())
    assert found.zone.root_depth_m == pytest.approx(1.45)
    assert any("roots are taken 1.45 m deep" in note for note in found.notes)
    assert not any("roots are taken" in note for note in grow(design, records()).notes)


def test_coldest_night_is_asked_for_where_only_normals_are_known(growth):
    """Measured days tell it."""
    assert "coldest night" not in growth.cautions


def test_bed_is_sized_for_the_coldest_month_and_feeds_the_thirstiest(growth):
    """Area by the mean of January, what is left in the month of the greatest want less what the reeds use."""
    found, record = growth.greywater, growth.weather
    month = record.dates.astype("datetime64[M]").astype(int) % 12 + 1
    coldest_c = min(float(record.tmean_c[month == number].mean()) for number in range(1, 13))
    assert found.bed == size_reed_bed(found.household.flow_m3_d, BedRules(coldest_c))
    et_mm = [float(growth.reference.et_mm[month == number].mean()) for number in range(1, 13)]
    want_mm = [
        et_mm[number - 1] * float(growth.stand.kcb[month == number].mean())
        - float(record.rain_mm[month == number].mean())
        for number in range(1, 13)
    ]
    assert found.month == int(np.argmax(want_mm)) + 1
    reeds_m3_d = found.bed.area_m2 * et_mm[found.month - 1] * crop_row("reed swamp, moist soil").kc[1] / 1000.0
    assert found.left_m3_d == pytest.approx(found.household.flow_m3_d - reeds_m3_d)
    assert 0.0 < reeds_m3_d < found.household.flow_m3_d


def test_bed_and_pipe_keep_off_what_stands_there(growth):
    """Neither bed nor served ground on keep-outs, the bed's outlet as deep as it, the pipe's way clear of ditches."""
    found, design = growth.greywater, growth.design
    grid, zones = design.ground.terrain.grid, shapely.union_all([keep_out.zone for keep_out in design.site.keep_outs])
    works = shapely.union_all([works_footprint(swale.line, swale.sized.shape) for swale in design.swales])
    for each in found.places:
        place = each.place
        assert place.outlet_level_m == pytest.approx(place.ground_m - found.bed.depth_m)
        assert shapely.Point(place.xy).distance(zones) >= 0.45 * found.bed.length_m
        assert shapely.Point(place.xy).distance(works) >= 0.45 * found.bed.length_m
        assert not (each.served.cells & cells_within(grid, zones)).any()
        assert not (each.served.cells & cells_within(grid, works)).any()
    assert not shapely.LineString(found.route.xy).intersects(works.buffer(-0.5))


def test_bed_moves_off_ground_that_is_taken(growth, design):
    """A keep-out where it stood best: no place there nor within half a bed of it."""
    x, y = growth.greywater.places[0].place.xy
    field = KeepOut("septic field", shapely.Point(x, y).buffer(4.0), 1.0, "Field")
    site = replace(design.site, keep_outs=(*design.site.keep_outs, field))
    moved = grow(replace(design, site=site), records(years=12, rain_mm=13.0)).greywater
    assert moved.places
    near = [shapely.Point(each.place.xy).distance(field.zone) for each in moved.places]
    assert min(near) >= 0.45 * moved.bed.length_m


def test_pipe_to_a_bed_below_a_swale_goes_round_its_ditch():
    """Past the end of it, though straight through would be shorter."""
    found = grow(grow_design(greywater={"people": 3.0, "least_distance_m": 65.0}), records())
    works = shapely.union_all([works_footprint(swale.line, swale.sized.shape) for swale in found.design.swales])
    greywater = found.greywater
    straight = shapely.LineString([greywater.house.xy, greywater.places[0].place.xy])
    assert straight.intersects(works)
    assert not shapely.LineString(greywater.route.xy).intersects(works.buffer(-0.8))
    assert greywater.route.length_m > straight.length


def test_served_ground_across_a_watercourse_is_seen(growth):
    """A line through it is told, one beyond it isn't."""
    design, served = growth.design, growth.greywater.places[0].served.cells
    row, column = np.argwhere(served)[served.sum() // 2]
    x, y = design.ground.terrain.grid.centres(np.array([row]), np.array([column]))
    for shift_m, seen in ((0.0, True), (-500.0, False)):
        course = np.array([[x[0] + shift_m + step, y[0]] for step in (-1.0, 0.0, 1.0)])
        ground = replace(design.ground, watercourse_lines=(course,))
        assert serves_across_watercourse(replace(design, ground=ground), growth.greywater) is seen


def test_ground_to_be_served_is_that_of_trees_and_pioneers(growth):
    """Not that of the berm's cover."""
    cells = _planted_cells(growth.design.ground.terrain, growth.swales, 36.0)
    grid = growth.design.ground.terrain.grid
    places = np.vstack([swale.planting.xy[~swale.planting.of_roles("ground cover")] for swale in growth.swales])
    expected = cells_within(grid, shapely.union_all(shapely.buffer(shapely.points(places), 3.0)))
    np.testing.assert_array_equal(cells, expected)


def test_crowded_years_are_cautioned():
    """Pioneers that spread over more ground than grown trees do: the year and both shares are told."""
    own = {"grape": {"kcb": [0.3, 0.3, 0.3]}}
    kinds = {"pioneers": ["golden wreath wattle"], "sheltered": ["grape"], "coefficients": own, "prices": {}}
    crowd = grow(grow_design(house=False, root_spread=6.0, **kinds), records(rain_mm=60.0))
    cover = sum(crowd.canopies[role].canopy_m2 for role in ("pioneer", "fruit")) / crowd.planted_m2
    grapes = crowd.canopies["fruit"].grown_m2.max() / crowd.planted_m2
    assert cover.max() > grapes
    told = crowd.cautions["dense years"]
    assert f"{cover.max():.0%}" in told
    assert f"{grapes:.0%}" in told
    assert f"in year {int(cover.argmax()) + 1}" in told
    assert "dense years" not in grow(grow_design(house=False), records()).cautions


def test_neighbours_of_the_least_share_lie_between_nothing_and_all():
    """At 0.95 nothing above 1 is asked for, at 0.05 nothing below 0."""
    for least, shares in ((0.95, [0.85, 0.95]), (0.05, [0.05, 0.15, 0.25])):
        found = grow(grow_design(house=False, least_ratio=least), records(years=2))
        assert sorted(found.trees_at) == shares


def test_weather_of_the_fixture_has_its_coldest_month_in_winter():
    """So that the figures above mean what they say."""
    record = weather(1)
    assert record.tmean_c[:31].mean() < record.tmean_c[180:210].mean()


def test_bed_keeps_clear_of_water_where_it_can_and_says_so_where_it_cannot(growth, design):
    """Thirty metres from a well and a watercourse; with wells all about, it stands near one and is cautioned."""
    x, y = growth.greywater.places[0].place.xy
    assert "bed near water" not in growth.cautions
    for wells, near in (([(x, y + 12.0)], False), ([(WEST + 10.0 * k, NORTH - 50.0) for k in range(11)], True)):
        kept = [KeepOut("well", shapely.Point(place), 1.0, f"Well {place}") for place in wells]
        site = replace(design.site, keep_outs=(*design.site.keep_outs, *kept))
        found = grow(replace(design, site=site), records(years=12, rain_mm=13.0))
        assert found.greywater.places
        bed = shapely.Point(found.greywater.places[0].place.xy)
        assert (min(bed.distance(keep_out.geometry) for keep_out in kept) < 30.0) is near
        assert ("within 30 m of a well" in found.cautions.get("bed near water", "")) is near


def test_a_deep_trench_is_cautioned(growth):
    """From 1.2 m on, with its depth."""
    found = growth.greywater
    for depth_m, told in ((1.1, False), (2.4, True)):
        route = PipeRoute(
            np.array([[WEST, NORTH], [WEST, NORTH - 9.0]]), np.full(2, 110.0), np.full(2, 110.0 - depth_m)
        )
        cautions = bed_cautions(growth.design, replace(found, route=route))
        assert ("deep trench" in cautions) is told
        assert not told or "2.4 m deep" in cautions["deep trench"]
