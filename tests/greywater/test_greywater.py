"""Greywater: flow, reed bed, the ground that gravity serves, the pipe."""

import math
from dataclasses import replace

import numpy as np
import pytest
from contour_ground import ground

from swalekit.errors import InputError
from swalekit.greywater.bed_places import HouseOutlet, PlaceRules, bed_places
from swalekit.greywater.first_order import (
    cross_section_m2,
    first_order_area_m2,
    plug_flow_area_m2,
    rate_per_day,
)
from swalekit.greywater.household_flow import Household, greywater_cautions
from swalekit.greywater.pipe_route import pipe_levels_m, pipe_route
from swalekit.greywater.reed_bed import BedRules, size_reed_bed
from swalekit.greywater.served_ground import bed_loss_m3_d, garden_m2, served_ground, wicking_factor
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

SLOPE = 0.125
PLANE = ground(lambda x, y: 100.0 + SLOPE * y, rows=161, columns=161)
CONE = ground(lambda x, y: 150.0 - SLOPE * np.hypot(x, y), rows=161, columns=161)
MIDDLE = (0.0, 0.0)


def offsets(terrain: Terrain) -> tuple[np.ndarray, np.ndarray]:
    """Easting and northing of all cells from the middle of the tile [m]."""
    rows, columns = terrain.grid.shape
    return tuple(np.broadcast_arrays(*terrain.grid.centres(np.arange(rows)[:, None], np.arange(columns)[None, :])))


@pytest.mark.parametrize(
    ("sources", "litres", "flow"),
    [
        # From memory: California Plumbing Code, 25 and 15 gallons (95 and 57 L) an occupant.
        (("bathing", "laundry"), {}, 4 * (95.0 + 57.0)),
        (("bathing",), {}, 4 * 95.0),
        (("bathing", "kitchen"), {"bathing": 40.0}, 4 * (40.0 + 25.0)),
    ],
)
def test_flow_by_people_and_fixtures(sources: tuple[str, ...], litres: dict[str, float], flow: float):
    """People times litres of the fixtures that drain to the bed."""
    assert 1000.0 * Household(4, sources, litres).flow_m3_d == pytest.approx(flow)


def test_kitchen_and_toilet_are_left_out_by_default():
    """Without a choice of sources only bathing and laundry count."""
    assert set(Household(2).flow_l_d()) == {"bathing", "laundry"}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"people": 0.0}, "people is 0"),
        ({"sources": ("bathing", "bathing")}, "each once"),
        ({"sources": ()}, "give one or more"),
        ({"sources": ("bath",)}, "source is 'bath'"),
        ({"litres": {"bathing": -5.0}}, "bathing is -5"),
    ],
)
def test_household_that_cannot_be_right_fails(change: dict, words: str):
    """People, known sources and uses of zero or more."""
    with pytest.raises(InputError, match=words):
        Household(**({"people": 4.0} | change))


def test_un_habitat_design_example():
    """From memory: 32 m³/d from 350 to 30 mg/L at 0.15 m/d takes 524.10 m², 1.310 m² a person."""
    area = first_order_area_m2(32.0, 350.0, 30.0, areal_rate_m_d=0.15)
    assert area == pytest.approx(524.10, abs=0.02)
    assert area / 400 == pytest.approx(1.310, abs=0.0005)


@pytest.mark.parametrize(("temperature", "rate"), [(10, 0.614), (15, 0.822), (20, 1.10), (25, 1.472)])
def test_rate_by_temperature(temperature: float, rate: float):
    """K = 1.1 · 1.06^(T − 20), from memory of UN-HABITAT (2008)."""
    assert rate_per_day(temperature) == pytest.approx(rate, abs=0.0005)


def test_darcy_section():
    """32 m³/d through gravel of 3e-3 m/s at 1 % takes 12.35 m²."""
    assert cross_section_m2(32.0, conductivity_m_s=3e-3, bed_slope=0.01) == pytest.approx(12.35, abs=0.005)


def test_plug_flow_with_background():
    """10 m³/d from 200 to 20 mg/L, k 180 m/yr, background 10: 59.7 m²."""
    area = plug_flow_area_m2(10.0, 200.0, 20.0, rate_m_yr=180.0, background_mg_l=10.0)
    assert area == pytest.approx(59.7, abs=0.05)


def test_bed_of_the_design_example():
    """The example's flow through a bed whose rate is 0.15 m/d comes to its area, wide enough for its water."""
    rules = BedRules(20.0, 500.0, 0.3, 30.0, depth_m=0.40, porosity=0.15 / (1.1 * 0.40))
    bed = size_reed_bed(32.0, rules)
    assert bed.area_m2 == pytest.approx(524.10, abs=0.02)
    assert bed.width_m * bed.depth_m >= 12.34
    assert bed.residence_d == pytest.approx(524.10 * 0.15 / 1.1 / 32.0, abs=0.001)
    assert bed.load_g_m2_d == pytest.approx(32.0 * 350.0 / 524.1, abs=0.01)
    assert "BOD load of 21 g/m2 a day is above 8" in bed.notes[0]


def test_cold_water_takes_a_larger_bed():
    """Colder water is cleaned more slowly, and a bed that can't clean is refused."""
    areas = [size_reed_bed(0.6, BedRules(temperature)).area_m2 for temperature in (5.0, 10.0, 20.0)]
    assert areas == sorted(areas, reverse=True)
    with pytest.raises(InputError, match="a bed goes from inflow down"):
        size_reed_bed(0.6, BedRules(15.0, inflow_mg_l=40.0))


@pytest.mark.parametrize(("temperature", "told"), [(4.9, True), (5.0, False)])
def test_water_too_cold_to_be_cleaned_is_told(temperature: float, told: bool):
    """Below 5 °C, where the rate's formula ends, a note says so with the figure."""
    notes = size_reed_bed(0.6, BedRules(temperature)).notes
    assert [note.startswith("water of 4.9 °C hardly cleans") for note in notes if "cleans" in note] == [True] * told


def test_garden_water_and_wicking_beds():
    """A flow meets the want of its area; wicking beds go twice as far; rain that is enough sets no limit."""
    assert garden_m2(0.6, 6.0, 1.0) == pytest.approx(100.0)
    assert garden_m2(0.6, 6.0, 1.0, factor=wicking_factor()) == pytest.approx(200.0)
    assert garden_m2(0.6, 6.0, 1.0, rain_mm=7.0) == math.inf
    assert bed_loss_m3_d(10.0, 5.0, 1.2) == pytest.approx(0.06)


@pytest.mark.parametrize("grade", [0.02, 0.06, 0.10])
def test_served_ground_on_a_plane_is_a_sector(grade: float):
    """From an outlet on the plane, directions within arccos(grade / slope) of straight downhill are served."""
    served = served_ground(PLANE, MIDDLE, 100.0, grade=grade)
    x, y = offsets(PLANE)
    distance = np.hypot(x, y)
    np.testing.assert_array_equal(served.cells, -SLOPE * y >= grade * distance)
    disc = distance <= 75.0
    sector_m2 = 75.0**2 * math.acos(grade / SLOPE)
    assert np.count_nonzero(served.cells & disc) == pytest.approx(sector_m2, rel=0.01)
    assert served.area_ha == np.count_nonzero(served.cells) / 10_000.0


def test_served_ground_on_a_cone_lies_outside_a_circle():
    """From an outlet 2 m below the top, all ground farther than 2 / (slope − grade) is served; none by a steep pipe."""
    served = served_ground(CONE, MIDDLE, 148.0, grade=0.025)
    np.testing.assert_array_equal(served.cells, np.hypot(*offsets(CONE)) >= 2.0 / (SLOPE - 0.025) - 1e-6)
    assert served_ground(CONE, MIDDLE, 148.0, grade=0.15).area_m2 == 0.0


def test_served_ground_keeps_off_what_is_not_allowed():
    """Storm ditches, keep-outs and voids are never served."""
    heights = PLANE.heights.copy()
    heights[120:] = np.nan
    holed = Terrain.from_heights(heights, PLANE.grid)
    allowed = np.ones(PLANE.grid.shape, np.bool_)
    allowed[100] = False
    served = served_ground(holed, MIDDLE, 100.0, grade=0.02, allowed=allowed)
    assert served.cells[90, 80]
    assert not served.cells[100].any()
    assert not served.cells[120:].any()


@pytest.mark.parametrize(
    ("xy", "grade", "words"), [((500.0, 0.0), 0.02, "lies off the tile"), (MIDDLE, 0.0, "grade is 0")]
)
def test_served_ground_fails(xy: tuple[float, float], grade: float, words: str):
    """The outlet stands on the tile and the pipe falls."""
    with pytest.raises(InputError, match=words):
        served_ground(PLANE, xy, 100.0, grade=grade)


@pytest.mark.parametrize("grade", [0.02, 0.10])
def test_higher_beds_command_more_and_come_first(grade: float):
    """On a plane the best place is the highest one that the pipe from the house still reaches."""
    garden = np.zeros(PLANE.grid.shape, np.bool_)
    garden[100:] = True
    found = bed_places(PLANE, [HouseOutlet((0.0, 50.0), 106.0)], garden=garden, rules=PlaceRules(grade=grade))
    assert found.places
    assert found.reason == ""
    areas = [place.commanded_m2 for place in found.places]
    assert areas[1:] == sorted(areas[1:], reverse=True)
    assert areas[0] >= 0.98 * max(areas)
    for place in found.places:
        assert place.ground_m <= 106.0 - grade * place.distance_m
        again = served_ground(PLANE, place.xy, place.outlet_level_m, grade=grade, allowed=garden)
        assert again.area_m2 == place.commanded_m2


def test_of_places_nearly_as_good_the_one_with_the_shortest_pipe_comes_first():
    """Two parts in a hundred of the best served ground are given up for a shorter pipe, no more."""
    garden = np.zeros(PLANE.grid.shape, np.bool_)
    garden[100:] = True
    house = HouseOutlet((0.0, 50.0), 106.0)
    every = bed_places(PLANE, [house], garden=garden, most=100_000).places
    most_m2 = max(place.commanded_m2 for place in every)
    good = [place for place in every if place.commanded_m2 >= 0.98 * most_m2]
    assert every[0] in good
    assert every[0].pipe_m == min(place.pipe_m for place in good)
    none = bed_places(PLANE, [house], garden=np.zeros_like(garden))
    assert (none.places, none.reason[:18]) == ((), "nothing is planted")


def test_the_place_is_the_highest_by_a_search_of_every_cell():
    """A twin that walks every cell of the lattice, with SciPy's shortest ways, finds no place that serves more."""
    garden = np.zeros(PLANE.grid.shape, np.bool_)
    garden[60:, 40:] = True
    outlets = [HouseOutlet((0.0, 50.0), 105.2, "ground floor", 0.3), HouseOutlet((0.0, 50.0), 107.5, "bath", 0.2)]
    rules = PlaceRules(grade=0.02, greatest_distance_m=60.0)
    found = bed_places(PLANE, outlets, garden=garden, rules=rules)
    rows, columns = np.indices(PLANE.grid.shape)
    x, y = PLANE.grid.centres(rows, columns)
    straight = np.hypot(x - 0.0, y - 50.0)
    across, down = np.abs(x - x.flat[np.argmin(straight)]), np.abs(y - y.flat[np.argmin(straight)])
    way = np.maximum(across, down) + (math.sqrt(2.0) - 1.0) * np.minimum(across, down)
    step = round(5.0 / PLANE.grid.cell_m)
    best = 0.0
    for row, column in zip(*(axis.ravel() for axis in np.meshgrid(
        np.arange(step // 2, PLANE.grid.shape[0], step), np.arange(step // 2, PLANE.grid.shape[1], step), indexing="ij"
    )), strict=True):  # fmt: skip
        if not 5.0 <= straight[row, column] <= 60.0:
            continue
        ground = float(PLANE.heights[row, column])
        flow = sum(o.flow_m3_d for o in outlets if ground <= o.level_m - 0.02 * way[row, column])
        if flow:
            reached = PLANE.heights <= ground - 0.4 - 0.02 * np.hypot(x - x[row, column], y - y[row, column])
            best = max(best, flow * float((reached & garden).sum()) * PLANE.grid.cell_area_m2)
    flow = sum(outlets[k].flow_m3_d for k in found.places[0].led)
    assert 0.98 * best - 1e-6 <= flow * found.places[0].commanded_m2 <= best + 1e-6


def test_a_higher_outlet_reaches_higher_ground_and_weighs_by_its_flow():
    """Much water from upstairs is led high without the rest; little of it goes down with the rest."""
    garden = np.zeros(PLANE.grid.shape, np.bool_)
    garden[20:] = True
    low = HouseOutlet((0.0, 50.0), 104.0, "laundry", 0.1)
    high = HouseOutlet((0.0, 50.0), 109.0, "bath", 0.9)
    mostly = bed_places(PLANE, [low, high], garden=garden)
    assert mostly.places[0].led == (1,)
    assert mostly.places[0].ground_m > 104.0
    little = bed_places(PLANE, [replace(low, flow_m3_d=0.9), replace(high, flow_m3_d=0.1)], garden=garden)
    assert little.places[0].led == (0, 1)
    assert little.places[0].ground_m <= 104.0
    by_low, by_high = mostly.reaches
    assert by_high.commanded_m2 > by_low.commanded_m2 > 0.0
    raised = bed_places(PLANE, [replace(low, level_m=104.5)], garden=garden)
    assert raised.reaches[0].commanded_m2 == pytest.approx(by_low.commanded_m2 + by_low.gain_m2)


def test_levels_of_a_pipe_on_the_ground_by_a_slow_twin():
    """Rounds of relaxation over all neighbours until nothing rises give the same levels as the heap."""
    random = np.random.default_rng(4)
    rows, columns, grade, cell = 14, 17, 0.02, 2.0
    heights = 100.0 + random.normal(0.0, 0.6, (rows, columns))
    open_ground = random.random((rows, columns)) > 0.15
    open_ground[7, 8] = True
    terrain = Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=cell, west_m=0.0, north_m=28.0))
    xy = tuple(float(axis) for axis in terrain.grid.centres(7, 8))
    best = np.full(heights.shape, -np.inf)
    best[7, 8] = 101.5
    ground = terrain.heights.astype(np.float64)
    for _ in range(rows * columns):
        was = best.copy()
        for (row, column), level in np.ndenumerate(was):
            for down, right in ((0, 1), (1, 0), (1, 1), (1, -1), (0, -1), (-1, 0), (-1, -1), (-1, 1)):
                r, c = row + down, column + right
                if 0 <= r < rows and 0 <= c < columns and open_ground[r, c]:
                    comes = level - grade * cell * math.hypot(down, right)
                    if cell * math.hypot(r - 7, c - 8) > 3.0:
                        comes = min(comes, ground[r, c] + 0.3)
                    best[r, c] = max(best[r, c], comes)
        if np.array_equal(best, was):
            break
    every = tuple(axis.ravel() for axis in np.indices(heights.shape))
    levels = pipe_levels_m(terrain, xy, 101.5, every, grade=grade, within_m=200.0, allowed=open_ground)
    np.testing.assert_allclose(levels.reshape(heights.shape), best, atol=1e-9)
    assert np.isfinite(best).sum() > 100


def test_a_dip_between_keeps_a_pipe_down():
    """Ground of the outlet's height beyond a dip is reached round it, not over it on posts."""
    heights = np.full((40, 60), 100.0)
    heights[:, 25:35] = 97.0
    closed = Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=1.0, west_m=0.0, north_m=40.0))
    heights = heights.copy()
    heights[:5, 25:35] = 100.0
    causeway = Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=1.0, west_m=0.0, north_m=40.0))
    beyond, xy = (np.array([20]), np.array([45])), (10.5, 20.5)
    assert pipe_levels_m(closed, xy, 102.0, beyond, grade=0.02, within_m=100.0)[0] <= 97.3
    level_m = pipe_levels_m(causeway, xy, 102.0, beyond, grade=0.02, within_m=100.0)[0]
    assert 99.0 < level_m < 100.3
    end = tuple(float(axis) for axis in causeway.grid.centres(20, 45))
    route = pipe_route(causeway, xy, end, start_level_m=102.0, grade=0.02, arrive_m=level_m - 1e-9)
    assert route.highest_m <= 0.3 + 1e-6
    assert route.invert_m[-1] >= level_m - 1e-6


def test_pipe_from_an_outlet_above_the_ground_keeps_its_height_until_it_arrives():
    """From 3 m above the ground, uphill along the plane, it falls by its grade all along and arrives as asked."""
    start, end = (0.0, 0.0), (0.0, 20.0)
    ground_m = 100.0 + 0.1 * 20.0
    route = pipe_route(PLANE, start, end, start_level_m=103.0, grade=0.02, arrive_m=ground_m - 0.2)
    assert (-np.diff(route.invert_m) >= 0.02 * np.diff(np.hypot(*(route.xy - route.xy[0]).T)) - 1e-9).all()
    assert route.invert_m[-1] >= ground_m - 0.2 - 0.06
    assert route.above_m > 0.0
    sunk = pipe_route(PLANE, start, end, start_level_m=103.0, grade=0.02)
    assert sunk.invert_m[-1] < route.invert_m[-1] - 1.0
    assert sunk.above_m == 0.0


def test_beds_keep_to_allowed_and_gentle_ground():
    """No place lies on ground kept out, too near, or too steep."""
    garden, allowed = np.zeros(PLANE.grid.shape, np.bool_), np.ones(PLANE.grid.shape, np.bool_)
    garden[100:], allowed[:, 80:] = True, False
    rules = PlaceRules(least_distance_m=12.0)
    found = bed_places(PLANE, [HouseOutlet((0.0, 50.0), 106.0)], garden=garden, allowed=allowed, rules=rules)
    assert all(place.xy[0] < 0.0 and place.distance_m >= 12.0 for place in found.places)
    steep = bed_places(PLANE, [HouseOutlet((0.0, 50.0), 106.0)], garden=garden, rules=PlaceRules(greatest_slope=0.1))
    assert (steep.places, steep.reason[:40]) == ((), "no ground 5 to 150 m from the house may ")


def test_house_below_all_ground_serves_nothing():
    """It is said so, with the levels, and what to do."""
    garden = np.ones(PLANE.grid.shape, np.bool_)
    found = bed_places(PLANE, [HouseOutlet(MIDDLE, 80.0)], garden=garden)
    assert found.places == ()
    assert "nothing can be served by gravity: the house's outlet at 80.00 m lies below all of it" in found.reason
    assert "pump" in found.reason
    above = np.zeros(PLANE.grid.shape, np.bool_)
    above[:10] = True
    none = bed_places(PLANE, [HouseOutlet(MIDDLE, 100.0)], garden=above)
    assert (none.places, none.reason[:36]) == ((), "no planted ground lies below any pla")


def test_pipe_goes_straight_on_a_plane_and_always_falls():
    """Down the fall line the pipe lies at its cover all the way."""
    route = pipe_route(PLANE, (0.0, 40.0), (0.0, -40.0), start_level_m=104.9, grade=0.02)
    assert route.length_m == pytest.approx(80.0)
    assert route.deepest_m == pytest.approx(0.2)
    assert (np.diff(route.invert_m) < 0.0).all()


def test_pipe_goes_round_a_mound_or_a_keep_out():
    """A mound of 3 m in the way is gone round rather than trenched; what may not be crossed isn't."""
    mound = ground(lambda x, y: 100.0 + 0.05 * y + 3.0 * np.exp(-(x**2 + y**2) / 50.0), rows=121, columns=121)
    route = pipe_route(mound, (0.0, 40.0), (0.0, -40.0), start_level_m=101.8, grade=0.02)
    assert 80.0 < route.length_m < 95.0
    assert route.deepest_m < 1.5
    allowed = np.ones(PLANE.grid.shape, np.bool_)
    allowed[80, 40:121] = False
    around = pipe_route(PLANE, (0.0, 40.0), (0.0, -40.0), start_level_m=104.9, grade=0.02, allowed=allowed)
    row, column = (np.round(place).astype(int) for place in PLANE.grid.rows_columns(*around.xy.T))
    assert allowed[row, column].all()
    assert around.length_m > 100.0


@pytest.mark.parametrize(("dearer", "across"), [(0.95, True), (1.05, False)])
def test_a_metre_deeper_costs_as_much_as_four_metres_of_way(dearer: float, across: bool):
    """A bank 10 m wide with a way round that is 14.9 m longer is crossed up to 14.9 / (4 × 10) m above the pipe."""
    longer_m = 2 * 18 * (math.sqrt(2) - 1)  # 18 columns aside and back, by cells' diagonals
    start_m, level = np.abs(np.arange(91)[:, np.newaxis] - 20.0), np.full((91, 61), 90.0)
    level[40:50, :48] = 100.0 - 0.001 * start_m[40:50] + dearer * longer_m / 40.0
    terrain = Terrain.from_heights(level, Grid.from_corner(level.shape, cell_m=1.0, west_m=0.0, north_m=91.0))
    route = pipe_route(terrain, (30.5, 70.5), (30.5, 20.5), start_level_m=100.0, grade=0.001)
    assert route.length_m == pytest.approx(50.0 if across else 50.0 + longer_m)


def test_pipe_without_a_way_fails():
    """A keep-out across the whole tile closes the way, and an end on it is named."""
    allowed = np.ones(PLANE.grid.shape, np.bool_)
    allowed[80] = False
    with pytest.raises(InputError, match="there is no way for the pipe"):
        pipe_route(PLANE, (0.0, 40.0), (0.0, -40.0), start_level_m=104.9, grade=0.02, allowed=allowed)
    with pytest.raises(InputError, match="the end of the pipe lies on ground that it may not cross"):
        pipe_route(PLANE, (0.0, 40.0), (0.0, 0.0), start_level_m=104.9, grade=0.02, allowed=allowed)


def test_cautions_give_reasons_and_follow_the_figures():
    """Storm ditches, codes and compost always; a large flow and kitchen water where they are."""
    usual = greywater_cautions(Household(4))
    assert "never lead greywater into a swale" in usual["storm ditch"]
    assert "in a storm it spills" in usual["storm ditch"]
    assert "24 months" in usual["compost toilet"]
    assert not {"large flow", "kitchen or toilet water"} & usual.keys()
    many = greywater_cautions(Household(12, ("bathing", "laundry", "toilet")))
    assert "above the 1514 L" in many["large flow"]
    assert many["kitchen or toilet water"].startswith("toilet water counts as blackwater")
