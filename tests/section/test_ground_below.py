"""The ground below a sill: its reaches to the water that receives the flow, and what stands in the way."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, make_site, plane

from swalekit.contours.obstacles import KeepOut
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import make_layout
from swalekit.grid import Grid
from swalekit.section.ground_below import GroundBelow, ground_below, reaches, steepest_of
from swalekit.section.outlet import LEVEL
from swalekit.terrain.terrain import Terrain

LEVELS = {"levels_m": [107.0, 104.0]}


def below(terrain, *, keep_outs=(), boundary=None, foot_m=4.0):
    """The ground below the middle of the upper of two lines, 30 m above the other on 10 %."""
    site = make_site(levels=LEVELS)
    ground = study_ground(site, terrain)
    layout = make_layout(site, ground)
    return ground_below(
        layout.lines[0],
        len(layout.lines[0].xy) // 2,
        1,
        foot_m=foot_m,
        terrain=terrain,
        drainage=layout.drainage,
        keep_outs=keep_outs,
        boundary=boundary,
    )


def test_reaches_end_at_the_next_line():
    """From the foot of the berm, 4 m below the line, to the next one 30 m below, all as steep as the plane."""
    ground = below(plane(0.1))
    np.testing.assert_allclose(ground.slope, 0.1, rtol=1e-3)
    assert ground.end_m[-1] == pytest.approx(30.0 - 4.0, abs=1.5)
    assert 4.0 < ground.length_m.min() <= ground.length_m.max() < 6.5
    assert (ground.layable_m, ground.barrier, ground.harms) == (np.inf, "", frozenset())


def test_a_steeper_reach_is_seen():
    """A bank of 30 % over 6 m, half-way down, stands in the reaches that it lies in, and no other."""
    heights = np.array(plane(0.1).heights, copy=True)
    north_m = NORTH - 0.5 - np.arange(heights.shape[0])
    top_m = NORTH - 60.0
    heights -= 0.2 * np.clip(top_m - north_m, 0.0, 6.0)[:, np.newaxis]
    terrain = Terrain.from_heights(heights, plane(0.1).grid, vertical_sigma_m=0.05)
    ground = below(terrain)
    assert 0.2 < ground.slope.max() <= 0.3 + 1e-3
    assert ground.slope[0] == pytest.approx(0.1, abs=1e-3)


def test_level_and_rising_ground_falls_one_in_a_thousand_at_least():
    """So that a sheet of water on it has a depth."""
    assert LEVEL == 0.001
    grid = Grid.from_corner((30, 3), cell_m=1.0, west_m=0.0, north_m=30.0)
    rising = Terrain.from_heights(np.repeat(np.linspace(5.0, 5.3, 30)[:, np.newaxis], 3, axis=1), grid)
    way = np.column_stack([np.full(30, 1.5), np.arange(29.5, 0.0, -1.0)])
    _, slope = reaches(way, rising)
    assert (slope < 0).all()
    site = make_site(levels=LEVELS)
    heights = np.array(plane(0.1).heights, copy=True)
    shelf = (heights < 106.0) & (heights > 105.0)
    heights[shelf] = 105.0 + 1e-6 * heights[shelf]
    ground = below(Terrain.from_heights(heights, plane(0.1).grid, vertical_sigma_m=site.brief.terrain.vertical_sigma_m))
    assert ground.slope.min() == LEVEL


def test_a_zigzag_is_as_long_as_the_way_between():
    """From cell to cell at 22.5° the way is 8 % longer than the straight line, by which the slope is taken."""
    steps = np.array([[0.0, -1.0], [1.0, -1.0]] * 10)
    way = np.array([2.5, 28.5]) + np.vstack([np.zeros(2), np.cumsum(steps, axis=0)])
    grid = Grid.from_corner((30, 20), cell_m=1.0, west_m=0.0, north_m=30.0)
    row, column = np.mgrid[0:30, 0:20]
    down = np.array([np.sin(np.deg2rad(26.57)), np.cos(np.deg2rad(26.57))])
    terrain = Terrain.from_heights(50.0 - 0.2 * (down[0] * column + down[1] * row), grid)
    length_m, slope = reaches(way, terrain)
    np.testing.assert_allclose(slope, 0.2, rtol=0.03)
    assert length_m.sum() == pytest.approx(np.hypot(10.0, 20.0), rel=0.03)


def test_a_road_and_the_property_line_end_what_may_be_laid():
    """The nearer one is named, with its distance from the foot; both are harms too."""
    road = KeepOut("road", shapely.LineString([(WEST, NORTH - 67.0), (WEST + 100.0, NORTH - 67.0)]), 5.0, "Track")
    terrain = plane(0.1)
    ground = below(terrain, keep_outs=(road,))
    assert ground.barrier == "road 'Track'"
    assert ground.layable_m == pytest.approx(67.0 - 50.0 - 4.0, abs=0.5)
    land = shapely.box(WEST, NORTH - 60.0, WEST + 100.0, NORTH)
    ground = below(terrain, keep_outs=(road,), boundary=land)
    assert ground.barrier == "property line"
    assert ground.layable_m == pytest.approx(60.0 - 50.0 - 4.0, abs=0.5)
    assert ground.harms == {"road 'Track'", "property line"}


def test_ways_beside_each_other_count_by_the_worst():
    """Steepest and longest reach by reach, the nearest barrier, all harms."""
    one = GroundBelow(np.array([5.0, 5.0]), np.array([0.1, 0.3]), 8.0, "road", frozenset({"road"}))
    other = GroundBelow(np.array([4.0, 6.0, 5.0]), np.array([0.2, 0.1, 0.05]))
    worst = steepest_of([one, other])
    assert worst.length_m.tolist() == [5.0, 6.0, 5.0]
    assert worst.slope.tolist() == [0.2, 0.3, 0.05]
    assert (worst.layable_m, worst.barrier, worst.harms) == (8.0, "road", {"road"})
    assert steepest_of([replace(one)]).slope.tolist() == one.slope.tolist()
