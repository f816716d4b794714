"""How far a pond reaches uphill, and from where it spills."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, make_site, plane

from swalekit.contours.barrier import barrier_labels
from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import KeepOut
from swalekit.design.plan.pipeline import plan
from swalekit.flow.catchments import first_met
from swalekit.flow.network import build_flow_network
from swalekit.grid import Grid
from swalekit.section.drainage import Drainage
from swalekit.section.footprint import reached_by_works, works_footprint
from swalekit.section.sill_place import SpillPath, place_sill
from swalekit.section.stations import pond_reach_m
from swalekit.terrain.terrain import Terrain

pytestmark = pytest.mark.compiled


@pytest.fixture(scope="module")
def two_lines():
    """Lines 20 m apart on a slope of 10 %, 100 m wide."""
    return plan(make_site(levels={"levels_m": [106.0, 104.0]}), plane())


def test_a_pond_reaches_to_the_line_above(two_lines):
    """The lower line's pond ends 20 m uphill, at the upper one's cells."""
    swale = two_lines.swales[1]
    reach = pond_reach_m(swale.line, two_lines.catchments, 2, two_lines.ground.terrain.grid)
    np.testing.assert_allclose(reach, 19.0, atol=1.0)


def test_a_pond_reaches_no_farther_than_asked(two_lines):
    """The top line's ground goes on for 60 m; a limit of 25 m holds."""
    line = two_lines.swales[0].line
    reach = pond_reach_m(line, two_lines.catchments, 1, two_lines.ground.terrain.grid, greatest_m=25.0)
    assert reach.max() == 25.0


def test_a_pond_reaches_as_far_as_a_walk_uphill_finds_its_label():
    """On labels strewn at random every station's reach is that of walking from it cell by cell."""
    rng = np.random.default_rng(4)
    grid = Grid.from_corner((40, 50), cell_m=0.5, west_m=0.0, north_m=20.0)
    labels = (rng.uniform(size=grid.shape) < 0.9).astype(np.int32)
    xy = np.column_stack([np.linspace(0.6, 24.1, 48), rng.uniform(4.0, 12.0, 48)])
    line = LevelLine(10.0, False, xy, np.full(48, 10.0), np.full(48, 0.1))
    for place, downhill, reach in zip(xy, line.downhill, pond_reach_m(line, labels, 1, grid), strict=True):
        walked = 0
        while True:
            row, column = np.rint(grid.rows_columns(*(place - downhill * 0.5 * (walked + 1)))).astype(int)
            if not (0 <= row < 40 and 0 <= column < 50 and labels[row, column] == 1):
                break
            walked += 1
        assert reach == max(0.5 * walked, 0.25)


def spill_path(fall_m) -> SpillPath:
    """Where the sill of a line 80 m long is placed; the ground falls below it by distances along and below [m]."""
    grid = plane().grid
    x, y = np.broadcast_arrays(*grid.centres(np.arange(120)[:, np.newaxis], np.arange(100)[np.newaxis, :]))
    along_m, below_m = x - (WEST + 10.5), (NORTH - 50.5) - y
    heights = 200.0 - np.where(below_m < 0.0, 0.1 * below_m, fall_m(along_m, below_m))
    terrain = Terrain.from_heights(heights, grid)
    xy = np.column_stack([np.linspace(WEST + 10.5, WEST + 90.5, 81), np.full(81, NORTH - 50.5)])
    line = LevelLine(200.0, False, xy, np.full(81, 200.0), np.full(81, 0.1))
    network, stops = build_flow_network(terrain, noise_depth_m=0.0), barrier_labels(grid, (line,))
    drainage = Drainage(network, stops, first_met(network, stops, n_stops=1), np.zeros(grid.shape, np.bool_))
    return place_sill(line, 1, terrain=terrain, drainage=drainage, keep_outs=(), boundary=None)


@pytest.mark.parametrize("gentlest_m", [0.0, 3.0, 29.0, 31.0, 52.0, 80.0])
def test_the_sill_is_placed_where_the_ground_below_is_gentlest(gentlest_m):
    """Every 10 m is looked at, from 5 m off one end to 5 m off the other."""
    path = spill_path(lambda along_m, below_m: (0.1 + 0.0005 * np.abs(along_m - gentlest_m)) * below_m)
    looked_at = np.arange(5, 76, 10)
    assert path.station == looked_at[np.abs(looked_at - gentlest_m).argmin()]


def test_the_slope_below_a_sill_is_that_of_its_first_twenty_metres():
    """Falling 10 % for 10 m, 30 % for as many and 5 % from there on, water meets 20 %."""
    path = spill_path(lambda _, below_m: np.interp(below_m, [0.0, 10.0, 20.0, 80.0], [0.0, 1.0, 4.0, 7.0]))
    assert path.slope_below == pytest.approx(0.2, rel=1e-4)


def test_overflow_keeps_clear_of_a_house_where_it_can(two_lines):
    """With a house below the western half, the sill stands in the eastern half, and nothing is cautioned."""
    house = shapely.box(WEST - 5, NORTH - 100, WEST + 45, NORTH - 90)
    site = replace(make_site(levels={"levels_m": [104.0]}), keep_outs=(KeepOut("building", house, 2.0, "House"),))
    (swale,) = plan(site, plane()).swales
    assert swale.sill.xy[0] > WEST + 47
    assert swale.sill.harms == ()


def test_overflow_that_can_only_reach_a_house_is_cautioned():
    """With a house along the whole line, the caution names it."""
    house = shapely.box(WEST - 5, NORTH - 100, WEST + 105, NORTH - 90)
    site = replace(make_site(levels={"levels_m": [104.0]}), keep_outs=(KeepOut("building", house, 2.0, "House"),))
    (swale,) = plan(site, plane()).swales
    assert swale.sill.harms == ("building 'House'",)
    assert "spill towards building 'House'" in [caution.name for caution in swale.cautions]


def test_overflow_leaving_the_boundary_is_named():
    """The last line's water goes over the property line."""
    boundary = shapely.box(WEST, NORTH - 110, WEST + 100, NORTH)
    (swale,) = plan(make_site(boundary, levels={"levels_m": [104.0]}), plane()).swales
    assert swale.sill.harms == ("property line",)
    assert swale.sill.spills_to == "off the tile"


def test_the_sill_passes_the_check_storm_below_the_crest(two_lines):
    """Head over the sill at the routed peak by Q = 1.5 L H^1.5, and below the freeboard."""
    for swale in two_lines.swales:
        sill = swale.sill
        assert sill.flow_m3s == pytest.approx(1.5 * sill.length_m * sill.head_m**1.5)
        assert sill.head_m <= 0.1 + 1e-6
        assert not swale.routed.overtopped
        assert sill.level_m + sill.head_m < swale.sized.shape.crest_level_m


def test_a_thing_within_the_works_is_cautioned(two_lines):
    """A pipe 1 m below a line lies under its berm, though its setback of 0.5 m is kept; 20 m below it does not."""
    swale = two_lines.swales[0]
    works = works_footprint(swale.line, swale.sized.shape)
    for below_m, expected in ((1.0, ("buried utility 'Pipe'",)), (20.0, ())):
        pipe = shapely.LineString(swale.line.xy + swale.line.downhill * below_m)
        keep_out = KeepOut("buried utility", pipe, 0.5, "Pipe")
        assert reached_by_works(works, keep_outs=[keep_out], boundary=None) == expected


def test_works_that_cross_the_property_line_are_refused_or_cautioned():
    """The works of a line along the boundary reach over it: that of a brief is refused, one that is given cautioned."""
    boundary = shapely.box(WEST, NORTH - 81, WEST + 100, NORTH)
    asked = make_site(boundary, levels={"levels_m": [104.0]}, area={"setbacks_m": {"property line": 0.0}})
    (stretch,) = plan(asked, plane()).refused
    assert stretch.reason == "property line"
    (swale,) = plan(asked, plane(), lines=[stretch.xy]).swales
    assert "works reach property line" in [caution.name for caution in swale.cautions]


def test_every_harm_on_the_way_is_named(two_lines):
    """A road and a pipe below the line: both are told, the worse first."""
    things = (
        KeepOut("road", shapely.box(WEST - 5, NORTH - 100, WEST + 105, NORTH - 95), 1.0, "Track"),
        KeepOut("buried utility", shapely.box(WEST - 5, NORTH - 110, WEST + 105, NORTH - 108), 1.0, "Pipe"),
    )
    (swale,) = plan(replace(make_site(levels={"levels_m": [104.0]}), keep_outs=things), plane()).swales
    assert swale.sill.harms == ("buried utility 'Pipe'", "road 'Track'")


def test_a_sill_lies_wholly_on_its_line_clear_of_the_ends(two_lines):
    """Half its length from either end at least, on the line."""
    for swale in two_lines.swales:
        half = swale.sill.length_m / 2
        assert half <= swale.sill.chainage_m <= swale.line.length_m - half
        assert shapely.distance(shapely.LineString(swale.line.xy), shapely.Point(swale.sill.xy)) < 1e-6


def test_a_house_that_only_a_failed_berm_would_reach_is_named():
    """The sill spills east of the house, but water from the western stations would run into it."""
    house = shapely.box(WEST + 5, NORTH - 100, WEST + 25, NORTH - 90)
    site = replace(make_site(levels={"levels_m": [104.0]}), keep_outs=(KeepOut("building", house, 2.0, "House"),))
    (swale,) = plan(site, plane()).swales
    names = [caution.name for caution in swale.cautions]
    assert "above building 'House'" in names
    assert not any(name.startswith("spill towards") for name in names)


def test_overflow_that_joins_a_watercourse_on_the_land_is_no_harm_to_the_neighbour():
    """A gully below the line takes the water before the boundary: the property line is not named."""
    row, column = np.mgrid[0:120, 0:100].astype(np.float64)
    heights = 100.0 + 0.1 * (120 - row) + 0.05 * np.abs(column - 50)
    terrain = Terrain.from_heights(heights, plane().grid, vertical_sigma_m=0.05)
    boundary = shapely.box(WEST, NORTH - 110, WEST + 100, NORTH)
    courses = {"watercourse_area_m2": 1000.0, "watercourse_gap_m": 3.0}
    design = plan(make_site(boundary, levels={"levels_m": [106.0]}, lines=courses), terrain)
    assert len(design.swales) == 2
    assert all(swale.sill.harms == () for swale in design.swales)
