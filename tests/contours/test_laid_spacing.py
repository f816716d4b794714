"""How far apart lines came to lie, against the distance of their points to the next line."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, make_site, plane

import swalekit
from swalekit.cli.say.plan import print_plan
from swalekit.contours.laid_spacing import laid_spacing
from swalekit.contours.lay import lay_lines
from swalekit.contours.line import DEFAULT_RULES
from swalekit.contours.obstacles import KeepOut
from swalekit.design.layout.chosen_levels import choose_levels
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.grid import Grid
from swalekit.results.plan.summary import summary
from swalekit.terrain.terrain import Terrain

pytestmark = pytest.mark.compiled
"""Whole plans, which the uncompiled loops would take minutes for."""

SAMPLE = Path(__file__).parents[2] / "sample_terrain" / "site.toml"


def distance_down_m(lines) -> float:
    """Mean distance from the stations of each level to the next line below: the second route."""
    levels = np.unique([line.level_m for line in lines])[::-1]
    own = [[line for line in lines if line.level_m == level] for level in levels]
    below = [shapely.union_all([shapely.LineString(line.path) for line in level]) for level in own[1:]]
    pairs = [(line, next_below) for level, next_below in zip(own, below, strict=False) for line in level]
    apart = [shapely.distance(shapely.points(line.xy), next_below) for line, next_below in pairs]
    weights = [line.width_m for line, _ in pairs]
    return float(np.average(np.concatenate(apart), weights=np.concatenate(weights)))


def two_halves(gentle: float, steep: float) -> Terrain:
    """A plane that falls southward, gently in its western half and steeply in its eastern, 240 m by 200 m."""
    down = np.arange(240.0)[::-1, np.newaxis]
    heights = 100.0 + np.hstack([np.repeat(gentle * down, 100, axis=1), np.repeat(steep * down, 100, axis=1)])
    return Terrain.from_heights(heights, Grid.from_corner((240, 200), cell_m=1.0, west_m=WEST, north_m=NORTH))


def cone(side: int = 301, *, slope: float = 0.1) -> Terrain:
    """A cone of even slope in the middle of a square."""
    radius = np.hypot(*(np.mgrid[:side, :side] - side // 2))
    return Terrain.from_heights(
        200.0 - slope * radius, Grid.from_corner((side, side), cell_m=1.0, west_m=0.0, north_m=side)
    )


def planned(terrain: Terrain, **levels: float) -> Design:
    """A plan on a whole tile."""
    return plan(make_site(levels=levels, lines={"greatest_slope": 0.2}), terrain)


@pytest.mark.parametrize("asked_m", [12.0, 20.0, 33.0])
def test_on_a_plane_the_spacing_got_is_that_asked_for(asked_m):
    """By the distance of points to the next line, and level by level as well as cells of 3 m tell a line's length."""
    design = planned(plane(shape=(150, 90)), spacing_m=asked_m)
    assert design.spacing.levels_m.tolist() == [swale.line.level_m for swale in design.swales]
    half_a_cell_at_both_ends = 3.0 / min(swale.line.length_m for swale in design.swales)
    np.testing.assert_allclose(design.spacing.spacing_m, asked_m, rtol=half_a_cell_at_both_ends)
    assert design.spacing.mean_m == pytest.approx(asked_m, rel=half_a_cell_at_both_ends)
    assert distance_down_m([swale.line for swale in design.swales]) == pytest.approx(asked_m, rel=1e-3)


def test_ground_too_steep_to_dig_has_no_say():
    """Beside a half of 40 %, which gets no line, those of the half of 10 % lie as far apart as asked."""
    terrain = two_halves(0.1, 0.4)
    design = planned(terrain, spacing_m=20.0)
    lines = [swale.line for swale in design.swales]
    assert all(line.xy[:, 0].max() < WEST + 105.0 for line in lines)
    np.testing.assert_allclose(-np.diff(design.spacing.levels_m), 2.0, rtol=0.02)
    assert distance_down_m(lines) == pytest.approx(20.0, rel=0.02)
    assert design.spacing.mean_m == pytest.approx(20.0, rel=0.05)


def test_keep_outs_have_no_say():
    """Nor has ground that is kept out, though it may be dug by its slope."""
    terrain = two_halves(0.05, 0.15)
    steep = shapely.box(WEST + 97.0, NORTH - 240.0, WEST + 200.0, NORTH)
    site = replace(make_site(levels={"spacing_m": 20.0}), keep_outs=(KeepOut("building", steep, 0.0),))
    ground = study_ground(site, terrain)
    levels = choose_levels(site, ground, workable_area(site, ground)).levels_m
    np.testing.assert_allclose(-np.diff(levels), 1.0, rtol=0.03)


def test_on_a_cone():
    """Rings of growing length, the spacing the same all the way down."""
    design = planned(cone(), spacing_m=25.0)
    inner = design.spacing.spacing_m[:4]  # rings that the tile's edge doesn't cut
    np.testing.assert_allclose(inner, 25.0, rtol=0.04)
    assert design.spacing.mean_m == pytest.approx(25.0, rel=0.04)


def test_fewer_than_two_levels_have_no_spacing():
    """One line lies by itself, and the summary says none."""
    terrain = plane()
    lines, refused = lay_lines(terrain, [106.0], area=shapely.box(*terrain.grid.bounds), rules=DEFAULT_RULES)
    found = laid_spacing(terrain, lines, refused, shapely.box(*terrain.grid.bounds))
    assert (found.mean_m, found.spacing_m.size) == (None, 0)


@pytest.mark.parametrize("asked_m", [20.0, 30.0])
def test_on_the_sample(asked_m):
    """Within a tenth of what is asked for, on ground with keep-outs, a boundary and a strip too steep to dig."""
    ground = {"lines.greatest_slope": 0.22, "lines.least_length_m": 30.0}  # a narrower strip than the brief leaves out
    site = swalekit.read_site(SAMPLE).with_values({"levels.spacing_m": asked_m} | ground)
    design = plan(site, swalekit.terrain_of(site))
    assert design.spacing.mean_m == pytest.approx(asked_m, rel=0.1)


def test_summary_and_terminal_tell_asked_and_got(capsys):
    """By level too; of an interval nothing was asked, and of given lines nothing is told."""
    design = planned(plane(shape=(150, 90)), spacing_m=33.0)
    told = summary(design)["spacing"]
    assert (told["asked_m"], told["got_m"]) == (33.0, 34.2)
    assert [row["level_m"] for row in told["levels"]] == np.round(design.spacing.levels_m[:-1], 2).tolist()
    assert {row["to_next_m"] for row in told["levels"]} == {34.2}
    print_plan(design, Path("plan"))
    assert (
        "spacing of the lines 34.2 m (asked: 33.0 m), 34.2 m to 34.2 m from level to level" in capsys.readouterr().out
    )
    by_interval = planned(plane(), interval_m=4.0)
    assert summary(by_interval)["spacing"]["asked_m"] is None
    print_plan(by_interval, Path("plan"))
    assert "spacing of the lines" not in capsys.readouterr().out
    given = plan(make_site(), plane(), lines=[swale.line for swale in by_interval.swales])
    assert summary(given)["spacing"] is None
