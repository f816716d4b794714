"""Plantings on a plane: what the water carries, what hangs together, what is refused."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from grown import grow_design, records, weather
from scipy.spatial import cKDTree
from sites import NORTH, WEST, make_site, plane

from swalekit import lines_of, plan
from swalekit.contours.obstacles import KeepOut
from swalekit.design.brief.weather_part import WeatherPart
from swalekit.design.growth.greywater import swales_crossed, things_crossed
from swalekit.design.growth.grow import grow
from swalekit.design.growth.plant_table import SPECIES_COLUMNS, plant_rows, species_rows
from swalekit.design.growth.records import Records, check_growable
from swalekit.design.growth.table import GROW_COLUMNS, GROW_TOTALS, grow_row, grow_totals, month_rows, stand_rows
from swalekit.design.growth.tree_water import class_areas_m2
from swalekit.design.growth.tree_weather import daily_weather, station_of
from swalekit.errors import BriefError, InputError
from swalekit.greywater.pipe_route import PipeRoute
from swalekit.hydrology.storm.daily_record import DailyRecord
from swalekit.planting.weather.made_year import MonthlyNormals
from swalekit.planting.weather.reference_et import hargreaves_mm
from swalekit.reporting.words.planting_words import growth_words
from swalekit.tables.load import named_rows
from swalekit.tables.soil_water import soil_water


@pytest.fixture(scope="module")
def design():
    """Two swales with a house above."""
    return grow_design(greywater={"people": 3.0, "litres": {"bathing": 60.0}})


@pytest.fixture(scope="module")
def growth(design):
    """Their planting."""
    return grow(design, records())


def test_no_drop_is_made_or_lost(growth):
    """What comes to each swale and its trees leaves them or is stored."""
    assert len(growth.swales) == 2
    for swale in growth.swales:
        budget = swale.water.budget
        assert budget.gained_m3 == pytest.approx(budget.lost_m3 + budget.stored_m3, rel=1e-9)


def test_harvest_is_the_plans_own_runoff(design, growth):
    """The record's runoff by the plan's curve number over the plan's catchment, in a mean year."""
    record = weather()
    for swale, dug, areas in zip(growth.swales, design.swales, class_areas_m2(design), strict=True):
        assert areas.sum() == (design.catchments == int(dug.id[1:])).sum() * design.ground.terrain.grid.cell_area_m2
        runoff_mm = design.ground.soil.runoff_mm(record.rain_mm)[:, 0].sum() / 4.0
        assert swale.harvested_m3 == pytest.approx(runoff_mm * areas.sum() / 1000.0)


def rooted_by_hand(growth) -> list[float]:
    """Ground within half of 2.9 canopies of six metres of a tree, on the site, no nearer to the other line."""
    upper, lower = (shapely.LineString(swale.line.path) for swale in growth.design.swales)
    site = growth.design.site
    stand = shapely.union_all([keep_out.geometry for keep_out in site.keep_outs])
    x, y = np.meshgrid(np.arange(WEST + 0.1, WEST + 100.0, 0.2), np.arange(NORTH - 119.9, NORTH, 0.2))
    points = shapely.points(x.ravel(), y.ravel())
    first = shapely.distance(points, upper) <= shapely.distance(points, lower)
    land = ~shapely.intersects(points, stand) if site.keep_outs else np.ones(points.size, bool)
    found = []
    for swale, ours in zip(growth.swales, (first, ~first), strict=True):
        near = cKDTree(swale.planting.xy[swale.planting.of_roles("fruit")])
        reach_m, _ = near.query(np.column_stack([x.ravel(), y.ravel()]))
        found.append(0.04 * float((ours & land & (reach_m <= 0.5 * 2.9 * 6.0)).sum()))
    return found


def test_trees_on_the_map_are_those_carried(growth):
    """Each swale bears its capacity, downhill of its berm and on the site, and one total has one value."""
    rows = plant_rows(growth)
    for swale, dug in zip(growth.swales, growth.design.swales, strict=True):
        assert 0 < swale.trees == swale.capacity.trees <= swale.capacity.room
        assert (swale.planting.xy[:, 1] < dug.line.xy[:, 1].min()).all()
    assert sum(row["role"] == "fruit" for row in rows) == grow_totals(growth)["trees"] == growth.trees_at[0.3]
    assert growth.planted_m2 == pytest.approx(sum(rooted_by_hand(growth)), rel=0.002)
    assert [row["number"] for row in rows] == list(range(1, len(rows) + 1))
    assert {row["plant_year"] for row in rows if row["role"] == "fruit"} == {2032}


def test_asking_for_more_water_a_tree_leaves_fewer_trees(growth):
    """The count never grows with the least share, and the words show its neighbours."""
    counts = [growth.trees_at[ratio] for ratio in sorted(growth.trees_at)]
    assert sorted(growth.trees_at) == [0.2, 0.3, 0.4, 0.5]
    assert counts == sorted(counts, reverse=True)
    assert f"{growth.trees_at[0.2]:,} at 20 %, {growth.trees_at[0.4]:,} at 40 %" in growth_words(growth)[0]


def test_swale_brings_what_rain_alone_does_not(growth):
    """Side by side: trees get more with a swale, and mulch never takes from them."""
    year = {name: sum(row["transpiration_mm"] for row in month_rows(growth) if row["measure"] == name) for name in
            ("bare", "mulch", "swale", "swale and mulch")}  # fmt: skip
    assert year["swale"] > 1.1 * year["bare"]
    rounding_mm = 12 * 0.1
    assert year["mulch"] >= year["bare"] - rounding_mm
    assert year["swale and mulch"] >= year["swale"] - rounding_mm


def test_columns_are_those_declared(growth):
    """Rows and totals hold every declared column in its order."""
    assert [list(grow_row(swale)) for swale in growth.swales] == [[each.name for each in GROW_COLUMNS]] * 2
    assert list(grow_totals(growth)) == [each.name for each in GROW_TOTALS]


def test_bill_counts_what_the_plan_needs(growth):
    """Plants with their losses replaced, mulch at its depth, and only what is priced costs."""
    lines = {line.item: line for line in reversed(growth.bill.lines)}
    olive = next(line for line in growth.nursery if line.species.name == "olive")
    assert lines["olive"].quantity == olive.planted == growth.trees
    bought = sum(line.quantity for line in growth.bill.lines if line.item == "olive")
    assert bought == np.ceil(growth.trees / (0.85 * 0.95 * 0.97))
    trees = growth.canopies["fruit"]
    eight_years = float(trees.canopy_m2[-1] / trees.grown_m2[-1])
    assert 0.85 * 0.5**2 < eight_years < 0.5**2  # of a slow canopy's diameter in eight years, less in gaps
    rings_m2 = 0.5 * 36.0 * eight_years * olive.planted
    assert growth.mulch.new_m3.sum() == pytest.approx(0.1 * rings_m2)
    bought = [
        sum(line.quantity for line in growth.bill.lines if line.item == item)
        for item in ("mulch, first laid", "mulch, top-up")
    ]
    assert sum(bought) == pytest.approx(growth.mulch.bought_m3.sum())
    assert 0.0 < bought[0] <= growth.mulch.new_m3.sum()
    assert growth.bill.cost == pytest.approx(sum(line.cost for line in growth.bill.lines if line.price is not None))
    assert "compost" in growth.bill.unpriced
    carried = {line.year: line.quantity for line in growth.bill.lines if line.item == "water carried"}
    assert (carried, lines["olive"].year) == (growth.first_water_m3, 3)
    assert str(olive.plant_month)[:4] == "2032"


def test_want_and_reach_grow_with_the_plants(growth):
    """Canopies want more from year to year, roots reach more of the ditch, and less where pioneers are thinned."""
    part, planted_m2 = growth.design.site.brief.planting, growth.planted_m2
    covers = sum(growth.canopies[role].canopy_m2 for role in ("pioneer", "fruit")) / planted_m2
    years = growth.stand_years
    assert [year.year for year in years] == [part.planting_year + number for number in range(1, part.years + 1)]
    by_swale = pytest.approx(np.minimum(covers, 1.0), rel=0.08)  # thinned and rounded
    assert [year.cover for year in years] == by_swale
    alone = years[:2]
    assert [row.root_depth_m for row in alone] == sorted(row.root_depth_m for row in alone)
    reached = [year.reached_share for year in years]
    assert reached[:6] == sorted(reached[:6])
    assert reached[6] < reached[5] <= 1.0
    assert years[0].want_m3 < 0.1 * years[-1].want_m3
    assert min(year.root_depth_m for year in years) >= 0.3
    assert max(year.root_depth_m for year in years) <= growth.zone.root_depth_m


def test_the_want_of_canopies_does_not_hang_on_roots():
    """As long as canopies don't close, as much canopy wants as much, however wide its roots."""
    found = [grow(grow_design(house=False, rows_below=0, root_spread=spread), records()) for spread in (2.9, 3.7)]
    wants = [[year.want_m3 for year in growth.stand_years[:4]] for growth in found]
    assert wants[0] == pytest.approx(wants[1])


def test_a_stand_like_the_grown_one_gets_what_that_does():
    """When trees alone stand and are grown: the same want, and the same share of it, as the count was reckoned for."""
    old = grow(grow_design(house=False, pioneers=[], years=20), records())
    grown = old.stand_years[-1]
    tables = [(swale.water.budget.planted_m2, swale.water.table) for swale in old.swales]
    want_mm = sum(m2 * table.demand_mm.sum() for m2, table in tables)
    got_mm = sum(m2 * table.transpiration_mm.sum() for m2, table in tables)
    assert grown.want_m3 == pytest.approx(want_mm / 1000.0 / len(tables[0][1].years), rel=1e-3)
    assert grown.met == pytest.approx(got_mm / want_mm, rel=1e-3)


def test_young_plants_ask_for_water_in_their_first_dry_seasons(growth):
    """Fifteen litres every two weeks of their first three dry seasons, to those that live, in gaps too."""
    roles = {
        role: sum(n for species, n in growth.counts.items() if species.role == role) for role in ("pioneer", "fruit")
    }
    a_plant_m3 = 0.015 * (12 - len(growth.season.months)) * 365.25 / 12.0 / 14.0
    alive = {"pioneer": (1.0, 0.8, 0.8 * 0.9), "fruit": (1.0, 0.85, 0.85 * 0.95)}
    by_hand: dict[int, float] = {}
    for work in growth.schedule:
        for age, share in enumerate(alive.get(work.species.role, ())):
            if work.task in ("plant", "replace losses"):
                by_hand[work.year + age] = by_hand.get(work.year + age, 0.0) + share * work.plants
    assert by_hand[1] == roles["pioneer"]
    assert growth.first_water_m3 == pytest.approx({year: plants * a_plant_m3 for year, plants in by_hand.items()})
    (told,) = (words for words in growth_words(growth) if words.startswith("Hold water ready for young trees"))
    assert f"{max(growth.first_water_m3.values()):.0f} m³ in" in told


def test_the_years_tell_what_stands_is_lost_and_replaced(growth):
    """The stand at the end of a year is that of the year before, with what is set, lost, thinned and taken out."""
    done = {(work.year, work.task): 0 for work in growth.schedule}
    for work in growth.schedule:
        done[work.year, work.task] += work.plants if work.species.role != "ground cover" else 0
    before, ordered = 0, 0
    for year, row in enumerate(stand_rows(growth), 1):
        of_year = {task: done.get((year, task), 0) for task in ("plant", "replace losses", "thin", "take out")}
        assert row["replaced"] == of_year["replace losses"]
        assert row["first_water_m3"] == pytest.approx(growth.first_water_m3.get(year, 0.0), abs=0.05)
        standing = row["pioneers"] + row["trees"]
        gone = row["lost"] + of_year["thin"] + of_year["take out"]
        assert standing == before + of_year["plant"] + row["replaced"] - gone
        before, ordered = standing, ordered + of_year["plant"] + row["replaced"]
    assert row["trees"] == growth.trees
    assert ordered == sum(line.plants for line in growth.nursery if line.species.role != "ground cover")


def test_losses_may_be_the_designers_own():
    """None asks for no gaps; more lost asks for more plants, and the count of trees never hangs on it."""
    none, many = (
        grow(grow_design(house=False, succession={"fruit": {"losses": losses}}), records(years=2))
        for losses in ([], [0.5, 0.2])
    )
    olives = [sum(line.plants for line in one.nursery if line.species.name == "olive") for one in (none, many)]
    assert olives == [none.trees, np.ceil(none.trees / 0.4)]
    assert none.trees == many.trees
    with pytest.raises(BriefError, match="losses"):
        grow_design(succession={"fruit": {"losses": [1.0]}})


def test_trees_under_pioneers_want_less_unless_the_brief_says_no():
    """While pioneers stand, and by no more than the share; the grown stand is the same."""
    shaded, sunny = (grow(grow_design(house=False, shade_relief=relief), records(years=2)) for relief in (0.3, 0.0))
    wants = [(one.want_m3, other.want_m3) for one, other in zip(shaded.stand_years, sunny.stand_years, strict=True)]
    assert wants[0][0] == wants[0][1]
    assert all(0.7 * sun < shade < sun for shade, sun in wants[4:9])
    assert wants[9][0] == wants[9][1]
    assert [swale.capacity.trees for swale in shaded.swales] == [swale.capacity.trees for swale in sunny.swales]


def test_several_pioneers_nurse_a_tree():
    """As many between one tree and the next as asked for, evenly, with no fewer trees; thinned by the table."""
    one, three = (grow(grow_design(house=False, pioneers_per_tree=number), records(years=2)) for number in (1, 3))
    counts = [{species.role: plants for species, plants in found.counts.items()} for found in (one, three)]
    assert counts[1]["fruit"] >= counts[0]["fruit"] - 2
    assert counts[1]["pioneer"] >= 3 * (counts[1]["fruit"] - 2)
    foot = three.swales[0].planting
    xy = foot.xy[[row == "foot" for row in foot.row]]
    gaps_m = np.hypot(*np.diff(xy[np.argsort(xy[:, 0])], axis=0).T)
    assert np.median(gaps_m) == pytest.approx(6.0 / 4.0, abs=0.15)
    (thinned,) = (work.plants for work in three.schedule if work.task == "thin")
    assert thinned == np.ceil(0.5 * counts[1]["pioneer"])


def test_no_rain_carries_no_tree(design):
    """A planting without runoff is a result: nothing planted, and said so."""
    dry = grow(design, records(rain_mm=0.5))
    assert grow_totals(dry)["trees"] == 0
    assert month_rows(dry) == plant_rows(dry) == []
    told = " ".join(dry.notes)
    assert "S1, S2: no fruit tree gets 30 %" in told
    litres = [swale.least_l_week for swale in dry.swales]
    assert f"one tree on each would live with {litres[0]:.0f} L a week" in told
    assert "they carry nothing" in told
    assert [found.trees for found in dry.by_hand][:2] == [0, 0]
    assert "Nothing is planted" in growth_words(dry)[-1]
    tasks = " ".join(task for month in dry.calendar for task in month.tasks)
    assert "dig ditches" in tasks
    assert not any(word in tasks for word in ("plant", "mulch", "soak", "nursery"))
    assert "fruit" not in dry.cautions


def test_greywater_bed_stands_below_the_house_and_serves_lower_ground(growth):
    """On a plane the ground served is all that lies below outlet level less grade times distance, less what is kept."""
    found, terrain = growth.greywater, growth.design.ground.terrain
    best = found.places[0]
    assert found.house.xy[1] == pytest.approx(4_000_000.0 - 14.0, abs=0.1)
    assert best.place.ground_m < found.house.level_m
    row, column = np.nonzero(best.served.cells)
    x, y = terrain.grid.centres(row, column)
    distance = np.hypot(x - best.place.xy[0], y - best.place.xy[1])
    reached = best.place.outlet_level_m - 0.02 * distance
    assert (terrain.heights[row, column] <= reached + 0.03).all()
    assert found.household.flow_m3_d == pytest.approx(3 * (60.0 + 57.0) / 1000.0)
    assert found.route.xy[0] == pytest.approx(found.house.xy, abs=1.0)
    assert "bed above a swale" in growth.cautions


def test_fruit_on_little_water_is_cautioned():
    """A third of the want is no harvest."""
    thirsty = grow(grow_design(house=False), records(rain_mm=13.0))
    assert "have 50 % or more" in thirsty.cautions["fruit"]


def test_trees_get_what_their_roots_reach():
    """In thin rain wide roots carry trees where narrow ones can't; what soaks in beyond is told, and none is lost."""
    wide = grow(grow_design(root_spread=2.9), records(rain_mm=13.0))
    assert wide.trees_at_spread[1.7] == 0 < wide.trees_at[0.3]
    for each in wide.swales:
        row, stored_m3 = grow_row(each), each.water.budget.ditch_m3[-1] / 4.0
        soaked_m3 = row["soaked_m3"] + row["beyond_m3"]
        assert soaked_m3 + row["evaporated_m3"] + row["spilled_m3"] + stored_m3 == pytest.approx(
            row["harvested_m3"], abs=0.3
        )
        assert 0.0 < row["beyond_m3"] == pytest.approx((1.0 - row["reached_share"]) * soaked_m3, abs=0.2)
    beyond_m3 = sum(grow_row(swale)["beyond_m3"] for swale in wide.swales)
    assert f"{beyond_m3:.0f} m³ between the trees" in growth_words(wide)[2]


def test_a_ditch_with_too_little_in_reach_of_a_tree_gets_pockets():
    """All its water would carry trees; what soaks in near one tree doesn't, unless it is gathered there."""
    even, gathered = (
        grow(grow_design(root_spread=1.7, pocket_m3=pocket_m3), records(rain_mm=14.0)) for pocket_m3 in (0.0, 2.0)
    )
    assert {swale.tried["fruit tree"].limited_by for swale in even.swales} == {"reach"}
    assert {swale.kind for swale in even.swales} == {"hardy tree"}
    assert any("S1, S2: too little soaks in within reach of any one fruit tree" in note for note in even.notes)
    assert {swale.kind for swale in gathered.swales} == {"fruit tree"}
    assert 0 < gathered.trees < even.trees
    for swale in gathered.swales:
        assert grow_row(swale)["pockets_m3"] == 2 * swale.trees
        assert swale.water.budget.pocket_soaked_m3.sum() > 0.0
        assert abs(swale.water.budget.gained_m3 - swale.water.budget.lost_m3 - swale.water.budget.stored_m3) < 0.1
    assert f"{2 * gathered.trees} m³ in all" in " ".join(growth_words(gathered))
    lines = {line.item: line.quantity for line in gathered.bill.lines}
    assert lines["pocket"] == 2 * gathered.trees
    assert "pocket" not in {line.item for line in even.bill.lines}


def test_a_pipe_through_a_ditch_is_named(growth):
    """One above the floor of the ditch that it crosses is told; deep enough below it is not."""
    swale, found = growth.design.swales[0], growth.greywater
    x, y = swale.line.xy.mean(axis=0)
    for depth_m, crossed in ((0.1, [swale.id]), (3.0, [])):
        level_m = swale.line.level_m - depth_m
        xy = np.array([[x, y + 2.0], [x, y - 2.0]])
        route = PipeRoute(xy, np.full(2, swale.line.level_m), np.full(2, level_m))
        assert swales_crossed(growth.design, replace(found, route=route)) == crossed


def test_a_pipe_across_a_road_is_named(growth):
    """The road is told, the house that the pipe comes from is not."""
    found, (x, y) = growth.greywater, growth.greywater.house.xy
    route = PipeRoute(np.array([[x, y], [x, y - 30.0]]), np.full(2, 100.0), np.full(2, 99.5))
    road = KeepOut("road", shapely.LineString([(x - 9.0, y - 20.0), (x + 9.0, y - 20.0)]), 2.0, "Track")
    site = replace(growth.design.site, keep_outs=(*growth.design.site.keep_outs, road))
    crossed = things_crossed(replace(growth.design, site=site), replace(found, route=route))
    assert crossed == ["road 'Track'"]


def test_house_below_all_ground_is_served_by_no_bed():
    """Gravity serves nothing, and the words say so and what to do."""
    low = grow(grow_design(greywater={"people": 3.0, "house_xy": [WEST + 50.0, 3_999_881.0]}), records())
    assert (low.greywater.places, low.greywater.route, low.greywater.watered_m2) == ((), None, 0.0)
    assert "pump" in growth_words(low)[-1]


def test_a_pipe_far_above_the_house_is_refused():
    """A level typed wrong would command all the ground."""
    with pytest.raises(BriefError, match=r"outlet_level_m is 900 and the lowest ground at the house lies at 1\d\d"):
        grow(grow_design(greywater={"people": 3.0, "outlet_level_m": 900.0}), records())


def test_house_that_is_not_there_is_named():
    """A name among no buildings, or a place off the tile."""
    with pytest.raises(BriefError, match=r"needs the building 'Hut'.*there are 'House'"):
        grow(grow_design(greywater={"people": 3.0, "house": "Hut"}), records())
    with pytest.raises(InputError, match=r"the house at 1\.0, 2\.0 lies off"):
        grow(grow_design(greywater={"people": 3.0, "house_xy": [1.0, 2.0]}), records())


def test_what_is_missing_is_told_in_one_line():
    """All of it at once, by part and key."""
    with pytest.raises(BriefError, match=r"lacks \[weather\] file, \[planting\] planting_year.*\[soil\] texture"):
        check_growable(make_site().brief)
    with pytest.raises(BriefError, match=r"lacks \[weather\] file, \[planting\] sheltered"):
        check_growable(make_site(planting={"pioneers": ["mulga"]}).brief)


@pytest.mark.parametrize(
    ("planting", "words"),
    [
        ({"sheltered": ["olve"]}, "did you mean olive"),
        ({"sheltered": ["mulga"]}, "names mulga, whose role is pioneer"),
        ({"sheltered": ["olve", "fgi"], "pioneers": ["mulgo"]}, "'olve'.*'fgi'.*'mulgo'.*did you mean mulga"),
        ({"prices": {"gold": 1.0}}, "prices names 'gold'.*name a species"),
        ({"prices": {"olives": 1.0}}, "prices names 'olives'.*did you mean 'olive'"),
    ],
)
def test_species_and_prices_that_do_not_fit_are_refused(planting, words):
    """Named with the way out, before any water is followed."""
    with pytest.raises(InputError, match=words):
        grow(grow_design(house=False, **planting), records())


@pytest.mark.parametrize(
    "trees", [["carob", "fig", "white mulberry"], ["pomegranate", "jujube", "prickly pear", "date palm"]]
)
def test_trees_without_coefficients_of_their_own_take_those_of_their_class(trees):
    """Every fruit of dry ground is planned, and the notes name each one that stands on a class value."""
    found = grow(grow_design(house=False, sheltered=trees, prices={}), records(years=2))
    assert [species.name for species in found.chosen.sheltered] == trees
    assumed = [name for name in trees if name in ("carob", "fig", "white mulberry", "date palm")]
    (told,) = (note for note in found.notes if "class value" in note)
    assert ", ".join(assumed) in told
    assert "[planting.coefficients" in told


@pytest.mark.parametrize("texture", sorted(named_rows("soil_intake")))
def test_every_texture_of_a_plan_holds_water_for_trees(texture):
    """Those that FAO-56 leaves out too: finer soil holds more than sand."""
    assert soil_water(texture).available_mm_m >= soil_water("sand").available_mm_m


def test_given_coefficients_go_where_none_is_published():
    """By the species' botanical name too."""
    own = {"Ficus carica": {"kcb": [0.4, 0.4, 0.4]}}
    found = grow(grow_design(house=False, sheltered=["fig"], coefficients=own, prices={}), records(years=2))
    assert found.chosen.crops[0].kcb == (0.4, 0.4, 0.4)


def test_station_is_the_tile_unless_the_brief_says_other():
    """Latitude of the tile's middle and its mean height; either may be given."""
    site, terrain = make_site(weather={"elevation_m": 800.0}), plane()
    place = station_of(site, terrain)
    assert place.latitude_deg == pytest.approx(36.14, abs=0.02)
    assert place.elevation_m == 800.0
    assert station_of(make_site(), terrain).elevation_m == pytest.approx(106.0, abs=0.1)


def test_years_of_the_work_may_be_the_designers_own():
    """Trees a year earlier and pioneers that stay: in schedule, nursery, plants' years, water by hand and canopies."""
    own = {"fruit": {"plant_year": 2}, "pioneer": {"thin_year": 100, "remove_year": 100}}
    found = grow(grow_design(house=False, succession=own, years=12), records())
    tasks = {(work.year, work.task, work.species.role) for work in found.schedule}
    assert (2, "plant", "fruit") in tasks
    assert (12, "cut for mulch", "pioneer") in tasks
    assert not {"thin", "take out"} & {task for _, task, _ in tasks}
    assert {str(line.plant_month)[:4] for line in found.nursery if line.species.role == "fruit" and line.planted} == {
        "2031"
    }
    assert {row["plant_year"] for row in plant_rows(found) if row["role"] == "fruit"} == {2031}
    assert list(found.first_water_m3) == [1, 2, 3, 4, 5, 6, 7]
    pioneers = found.canopies["pioneer"]
    assert pioneers.plants[-1] == sum(n for species, n in found.counts.items() if species.role == "pioneer")
    assert pioneers.canopy_m2[-1] == pioneers.canopy_m2.max()


def test_places_beyond_reach_are_left_out_and_told():
    """A second row stands too far below for roots 2.9 times as wide as canopies; where water creeps it doesn't."""
    near, creeping = (
        grow(grow_design(house=False, rows_below=1, seep_m=seep_m), records(rain_mm=16.0)) for seep_m in (0.0, 8.0)
    )
    assert {row["row"] for row in plant_rows(near)} == {"berm", "foot"}
    left_out = sum(swale.out_of_reach for swale in near.swales)
    assert any(f"places for {left_out} more trees lie so far below" in note for note in near.notes)
    assert "below 1" in {row["row"] for row in plant_rows(creeping)}
    assert not any(swale.out_of_reach for swale in creeping.swales)


def test_trees_of_one_swale_keep_clear_of_those_of_the_next():
    """Many rows below the upper swale come down to the lower one: no two trees stand nearer than half a spacing."""
    found = grow(grow_design(house=False, rows_below=8, seep_m=50.0), records(rain_mm=60.0))
    trees = np.vstack([swale.planting.xy[swale.planting.of_roles("fruit")] for swale in found.swales])
    distance_m, _ = cKDTree(trees).query(trees, k=2)
    assert len(trees) > 100
    assert distance_m[:, 1].min() >= 3.0


@pytest.mark.parametrize(
    ("planting", "words"),
    [
        ({"years": 2}, "years is 2, but fruit is planted in year 3; give 3 or more"),
        ({"succession": {"ground cover": {"plant_year": 90}}}, "years is 10, but ground cover is planted in year 90"),
        ({"succession": {"fruit": {"remove_year": 3}}}, "fruit is taken out in the year in which it is planted"),
        ({"succession": {"hero": {"plant_year": 1}}}, "succession names 'hero'.*pioneer, ground cover"),
        ({"succession": {"pioneer": {"thin_year": 12}}}, "thin_year is 12 and remove_year.*in the order planted"),
    ],
)
def test_years_that_do_not_fit_are_refused(planting, words):
    """In one line with the key and the way out."""
    with pytest.raises(ValueError, match=words):
        grow_design(**planting)


def test_trees_may_stand_without_pioneers():
    """In shade that is there: trees alone, a spacing apart, and no word of pioneers."""
    found = grow(grow_design(house=False, pioneers=[]), records())
    assert {species.role for species in found.counts} == {"fruit", "ground cover"}
    for swale in found.swales:
        foot = swale.planting.xy[np.array(swale.planting.row) == "foot"]
        assert np.diff(np.sort(foot[:, 0])).min() >= 6.0
    assert found.stand_years[0].year == 2031
    assert "pioneer" not in " ".join((*growth_words(found), *found.notes, *found.cautions.values()))


def test_reference_by_temperature_alone():
    """Hargreaves where the brief asks for it, by the published formula; other readings of the weather don't count."""
    design = grow_design(house=False)
    brief = design.site.brief
    hot = brief.model_copy(update={"weather": WeatherPart(file="weather.csv", method="Hargreaves")})
    site = replace(design.site, brief=hot)
    found = grow(replace(design, site=site), records())
    np.testing.assert_allclose(found.reference.et_mm, hargreaves_mm(weather()))
    assert "temperature alone" in " ".join(found.notes)


def test_species_are_listed_with_their_figures_and_sources(growth):
    """Each species of the brief with what was taken of it, coefficients of trees with their table."""
    rows = {row["species"]: row for row in species_rows(growth)}
    assert list(rows) == ["bladder senna", "olive", "rosemary"]
    assert rows["olive"]["plants"] == grow_totals(growth)["trees"]
    assert rows["olive"]["kcb_mid"] == 0.65
    assert "FAO-56" in rows["olive"]["kcb_source"]
    assert (rows["rosemary"]["nitrogen_fixing"], rows["rosemary"]["rooting"]) == ("no", "spreading")
    assert list(rows["olive"]) == [column.name for column in SPECIES_COLUMNS]


def normals() -> MonthlyNormals:
    """A dry place by month."""
    warm = 18.0 - 9.0 * np.cos(np.arange(12) * np.pi / 6)
    return MonthlyNormals(warm + 6.0, warm - 6.0, np.full(12, 30.0), np.full(12, 4.0))


def test_normals_take_the_rain_of_a_daily_record():
    """Its whole years, gaps dry and counted, part years at the ends left out."""
    dates = np.arange("2000-11-01", "2003-01-01", dtype="datetime64[D]")
    depth = np.where(dates.astype(np.int64) % 9 == 0, 12.0, 0.0)
    kept = dates != np.datetime64("2001-05-03")
    record = DailyRecord(dates[kept], depth[kept])
    made, notes = daily_weather(WeatherPart(), Records(normals(), record), weather().place)
    assert (str(made.dates[0]), str(made.dates[-1])) == ("2001-01-01", "2002-12-31")
    inside = kept & (dates >= made.dates[0])
    assert made.rain_mm.sum() == pytest.approx(depth[inside].sum())
    assert "rain record: 2000 lacks 305 of 366 days and is left out" in notes
    assert "taken as dry: 1" in notes[-1]


def test_a_year_that_lacks_too_much_parts_a_rain_record():
    """The longest run of years that count is taken, the latest of equals, and all others are told by name."""
    dates = np.arange("2000-01-01", "2005-01-01", dtype="datetime64[D]")
    kept = dates.astype("datetime64[Y]") != np.datetime64("2001")
    record = DailyRecord(dates[kept], np.full(int(kept.sum()), 1.0))
    made, notes = daily_weather(WeatherPart(), Records(normals(), record), weather().place)
    assert (str(made.dates[0]), str(made.dates[-1])) == ("2002-01-01", "2004-12-31")
    assert notes[1] == "rain record: 2001 lacks 365 of 365 days and is left out"
    assert notes[2].endswith("of 2 runs the longest is taken, without 2000")


def test_a_rain_record_without_a_year_that_counts_is_refused():
    """Storms and trees leave out the same years, and say why none is left."""
    dates = np.arange("2000-05-01", "2000-12-01", dtype="datetime64[D]")
    record = DailyRecord(dates, np.full(dates.size, 1.0))
    with pytest.raises(InputError, match=r"holds no whole year \(2000 lacks 152 of 366 days and is left out\)"):
        daily_weather(WeatherPart(), Records(normals(), record), weather().place)


def test_made_rain_is_told_of_and_daily_weather_brings_its_own():
    """A made record says that it is one; a second record of rain beside daily weather is refused."""
    made, notes = daily_weather(WeatherPart(made_years=3), Records(normals()), weather().place)
    assert len(np.unique(made.dates.astype("datetime64[Y]"))) == 3
    assert "made of monthly normals" in notes[0]
    rain = DailyRecord(made.dates, np.full(made.dates.size, 1.0))
    with pytest.raises(InputError, match="rain goes with monthly normals"):
        daily_weather(WeatherPart(), replace(records(), rain=rain), weather().place)


def test_a_berm_that_stays_bare_carries_nothing(design, growth):
    """Without a plant on the upper swale by the designer's wish, the lower one is planted as before or more."""
    bare = design.site.with_lines(lines_of(design).decide("S1", "held", planting=False))
    grown = grow(plan(bare, design.ground.terrain), records())
    upper, lower = grown.swales
    assert (upper.trees, len(upper.planting.xy)) == (0, 0)
    assert lower.trees >= growth.swales[1].trees > 0
