"""What cells, steps and errors of a tile can carry, and what a design on it is told."""

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.design.layout.fit_ground import check_fit, fitness_of
from swalekit.design.options.comparison import compare, search
from swalekit.design.options.variations import axes_of, grid_of
from swalekit.design.plan.pipeline import plan
from swalekit.design.reliability.reliability import how_sure
from swalekit.errors import TerrainError
from swalekit.grid import Grid
from swalekit.terrain.fitness import Fitness, fitness, height_step_m, height_step_words
from swalekit.terrain.terrain import Terrain


def refusal(site, terrain, **choices) -> str:
    """What a design on the tile is told."""
    with pytest.raises(TerrainError) as refused:
        check_fit(site, fitness_of(site, terrain), **choices)
    assert "\n" not in str(refused.value)
    return str(refused.value)


@pytest.mark.parametrize("cell_m", [0.05, 0.25, 1.0, 2.0, 10.0, 90.0])
def test_an_even_plane_has_its_slope_and_error_of_place(cell_m):
    """By hand: 0.05 m of error on 10 % move a line 0.5 m, and levels 2 m apart lie 20 m apart."""
    found = fitness(plane(0.1, shape=(300, 200), cell_m=cell_m))
    assert found.cell_m == cell_m
    assert found.median_slope == pytest.approx(0.1, rel=2e-3)
    assert found.place_error_m == pytest.approx(0.5, rel=2e-3)
    assert found.spacing_m(2.0) == pytest.approx(20.0, rel=2e-3)
    assert found.height_step_m == 0.0


def test_level_ground_has_no_place_and_no_spacing():
    """Both are infinite, not a division by zero."""
    found = fitness(plane(0.0))
    assert (found.median_slope, found.place_error_m, found.spacing_m(1.0)) == (0.0, np.inf, np.inf)
    check_fit(make_site(), found)


def test_a_sample_of_a_large_tile_tells_what_the_whole_does():
    """Slopes of 0 to 20 % in waves: the squares looked at lie all over the tile."""
    side = 2600
    row, column = np.mgrid[0:side, 0:side]
    heights = 500.0 + 0.1 * row + 20.0 * np.sin(column / 150.0)
    terrain = Terrain.from_heights(heights, Grid.from_corner((side, side), cell_m=1.0))
    east = 20.0 / 150.0 * np.cos(column / 150.0)
    assert fitness(terrain).median_slope == pytest.approx(np.median(np.hypot(0.1, east)), rel=0.03)


def test_the_slope_is_that_of_the_site_and_of_ground_that_lines_may_lie_on():
    """A quarter of the tile falls 10 %, the rest is level but for a cliff."""
    heights = np.full((200, 200), 50.0)
    heights[:100, :100] += 0.1 * np.arange(100)
    heights[100:103] -= 20.0
    terrain = Terrain.from_heights(heights, Grid.from_corner((200, 200), cell_m=1.0, west_m=WEST, north_m=NORTH))
    hill = shapely.box(WEST + 6, NORTH - 94, WEST + 94, NORTH - 6)
    assert fitness(terrain).median_slope == pytest.approx(0.0, abs=1e-6)
    assert fitness(terrain, hill).median_slope == pytest.approx(0.1, rel=0.01)
    assert fitness(terrain, least_slope=0.01, greatest_slope=0.25).median_slope == pytest.approx(0.1, rel=0.01)


def test_roughness_is_no_slope():
    """Noise of 5 cm on cells of 0.25 m would add 12 % to a slope of 3 %."""
    rough = plane(0.03, shape=(600, 600), cell_m=0.25)
    noise = np.random.default_rng(1).normal(0.0, 0.05, rough.grid.shape)
    terrain = Terrain.from_heights(rough.heights + noise, rough.grid)
    assert fitness(terrain).median_slope == pytest.approx(0.03, rel=0.05)


@pytest.mark.parametrize(
    ("step_m", "words"), [(1.0, "1 m"), (0.5, "0.5 m"), (0.3048, "1 ft"), (1200.0 / 3937.0, "1 ft")]
)
def test_heights_in_steps_are_found(step_m, words):
    """Also where one in thirty was filled in between; single precision is no matter on a mountain."""
    heights = (step_m * np.rint((2500.0 + hills(side=128).heights) / step_m)).astype(np.float32)
    heights[::30] += np.float32(0.37 * step_m)
    heights[5:20, 5:20] = np.nan
    assert height_step_words(height_step_m(heights)) == words


@pytest.mark.parametrize("step_m", [0.001, 0.01, 0.1])
def test_heights_rounded_as_surveys_are_have_no_step(step_m):
    """Millimetres, centimetres and decimetres lie below the error of a tile."""
    assert height_step_m((step_m * np.rint(hills().heights / step_m)).astype(np.float32)) == 0.0


def test_an_even_plane_of_whole_metres_is_no_sign_of_steps():
    """It rises one metre a cell because it was made so."""
    assert height_step_m(np.repeat(np.arange(30.0, dtype=np.float32)[:, np.newaxis], 20, axis=1)) == 0.0


@pytest.mark.parametrize("cell_m", [0.05, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0])
def test_cells_of_surveys_and_national_models_carry_lines_far_enough_apart(cell_m):
    """Three cells between lines are enough, two are not."""
    terrain = plane(0.1, shape=(60, 60), cell_m=cell_m)
    check_fit(make_site(levels={"interval_m": max(0.06, 0.3 * cell_m)}), fitness(terrain))
    if cell_m >= 1.0:
        told = refusal(make_site(levels={"interval_m": 0.2 * cell_m}), terrain)
        assert f"cells of {cell_m:g} m leave 2 between lines {2 * cell_m:g} m apart" in told
        assert f"give an interval of {0.3 * cell_m:g} m or more" in told


@pytest.mark.parametrize(
    ("levels", "way_out"),
    [
        ({"spacing_m": 20.0}, "give a spacing of 30 m or more, or"),
        ({"levels_m": [102.0, 104.0, 112.0]}, "give levels 3 m or more apart, or"),
        ({"interval_m": 2.0}, "give an interval of 3 m or more, or"),
        ({"rule": "ramser"}, "give an interval of 3 m or more, or"),
    ],
    ids=["spacing", "listed", "interval", "rule"],
)
def test_however_levels_are_chosen_the_spacing_is_known(levels, way_out):
    """20 m apart on 10 %, by the rule less: cells of 10 m are too wide, and what would do is told in the same terms."""
    told = refusal(make_site(levels=levels), plane(0.1, cell_m=10.0))
    assert "cells of 10 m leave" in told
    assert way_out in told


def test_matched_levels_are_judged_by_the_spacing_by_hand():
    """On cells of 1 m they fit, on cells of 10 m a shallow ditch must lie closer than 30 m."""
    site = make_site(levels={"matched": True, "matched_depth_m": 0.3})
    check_fit(site, fitness(plane(0.1)))
    assert "cells of 10 m leave" in refusal(site, plane(0.1, cell_m=10.0))


def test_a_lone_level_and_drawn_lines_have_no_spacing():
    """Only the section, and steps that are too great, then count."""
    terrain = plane(0.1, cell_m=10.0)
    check_fit(make_site(levels={"levels_m": [105.0]}), fitness(terrain))
    check_fit(make_site(levels={"interval_m": 0.5}), fitness(terrain), lines_given=True)
    assert "cells of 90 m" in refusal(make_site(), plane(0.1, cell_m=90.0), lines_given=True)


def test_a_wider_ditch_may_lie_on_wider_cells():
    """Five top widths of 0.6 + 3 · 1 m are 18 m; a floor of 4 m makes them 35 m."""
    terrain = plane(0.02, cell_m=30.0)
    assert "cells of 30 m are wider than 18 m" in refusal(make_site(), terrain)
    check_fit(make_site(section={"bottom_width_m": 4.0}), fitness(terrain))


def test_an_error_of_place_beyond_the_spacing_is_refused():
    """1.2 m of height error moves a line of 10 % 12 m; lines 1 m apart in height lie 10 m apart."""
    site = make_site(levels={"interval_m": 1.0})
    check_fit(site, Fitness(1.0, 0.0, 0.1, 0.9))
    with pytest.raises(TerrainError, match=r"1\.2 m moves a line by 12 m .* more than the 10 m .*interval of 1\.2 m"):
        check_fit(site, Fitness(1.0, 0.0, 0.1, 1.2))


def test_steps_are_held_against_the_interval():
    """Whole feet carry 1 m between lines and not half a metre; whole metres nothing."""
    feet = Fitness(1.0, 0.3048, 0.1, 0.1)
    check_fit(make_site(levels={"interval_m": 1.0}), feet)
    with pytest.raises(TerrainError, match=r"steps of 1 ft, half the interval of 0\.5 m or more; give .* 0\.62 m"):
        check_fit(make_site(levels={"interval_m": 0.5}), feet)
    with pytest.raises(TerrainError, match=r"steps of 1 m, more than 0\.5 m; get 1 m lidar"):
        check_fit(make_site(levels={"interval_m": 10.0}), Fitness(1.0, 1.0, 0.1, 0.1))


def test_every_way_to_a_design_is_guarded_before_the_ground_is_studied():
    """Plan, comparison, search and reliability; of options the one is named."""
    stages: list[str] = []
    site, terrain = make_site(), plane(0.1, cell_m=90.0)
    axes = axes_of({"interval": [30.0, 60.0]})
    for work in (
        lambda: plan(site, terrain, stage=stages.append),
        lambda: how_sure(site, terrain, stage=stages.append),
        lambda: compare(site, terrain, grid_of(axes), stage=stages.append),
        lambda: search(site, terrain, axes, stage=stages.append),
    ):
        with pytest.raises(TerrainError, match="cells of 90 m are wider than 18 m"):
            work()
    assert not stages
    fine = plane(0.1)
    with pytest.raises(TerrainError, match=r"option 'interval 0\.2 m': the tile can't carry"):
        compare(site, fine, grid_of(axes_of({"interval": [2.0, 0.2]})))


def test_options_are_judged_by_their_own_levels():
    """A brief whose own interval is too small for the tile may be compared by larger ones, and searched."""
    site, terrain = make_site(levels={"interval_m": 0.2}), plane(0.1)
    axes = axes_of({"interval": [3.0, 4.0], "depth": [0.8]})
    assert len(compare(site, terrain, grid_of(axes)).options) == 2
    assert search(site, terrain, axes).options


def test_a_boundary_off_the_tile_is_left_to_its_own_message():
    """What lies elsewhere is not judged by the cells at the tile's edge."""
    far = shapely.box(WEST + 90_000, NORTH, WEST + 90_100, NORTH + 100)
    assert fitness_of(make_site(far), plane(0.1, cell_m=90.0)) is None
