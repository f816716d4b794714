"""Cures are tried on the real layout: each on ground made so that its caution is raised and one change removes it."""

from dataclasses import replace

import numpy as np
import pytest
from sites import NORTH, WEST, make_site, plane

from swalekit.design.brief.decided_lines import DecidedLine, Lines
from swalekit.design.mending import cures_of, mend, mending_rows, mending_summary
from swalekit.design.plan import lines_of, plan
from swalekit.design.plan.table import swale_row
from swalekit.errors import InputError
from swalekit.terrain.terrain import Terrain

NO_WATERCOURSES = {"watercourse_area_m2": 1e6}


def bent(terrain, lower_m):
    """Ground that is lowered by a function of easting and northing from its south-western corner."""
    x, y = terrain.grid.centres(*np.indices(terrain.grid.shape))
    return Terrain.from_heights(
        terrain.heights - lower_m(x - WEST, y - (NORTH - terrain.grid.shape[0] * terrain.grid.cell_m)), terrain.grid
    )


def held(site, terrain, *lines):
    """The site with straight lines held, from west to east: name, first and last easting, northing from the foot."""
    foot = NORTH - terrain.grid.shape[0] * terrain.grid.cell_m
    decided = []
    for name, first, last, up in lines:
        x = np.arange(first, last + 0.5, 2.0)
        decided.append(DecidedLine(name, "held", np.column_stack([WEST + x, np.full(x.size, foot + up)])))
    return site.with_lines(Lines(tuple(decided), terrain.grid.crs))


def names(design, swale=None):
    """Cautions of the swales, or of one."""
    return {each.name for each in design.cautions if each.swale and swale in {None, each.swale}}


@pytest.fixture(scope="module")
def gully():
    """A held line that ends on the edge of a gully 2 m deep, which leaves the tile: its fill is too high there."""
    terrain = bent(plane(shape=(120, 160)), lambda x, y: 2.0 * np.exp(-(((x - 127.0) / 3.0) ** 2)))
    site = make_site(levels={"levels_m": [90.0]}, lines=NO_WATERCOURSES | {"tolerance_m": 3.0})
    design = plan(held(site, terrain, ("S1", 30.0, 122.0, 60.0)), terrain)
    return design, mend(design)


def test_fill_that_is_too_high_is_cut_off(gully):
    """The end of a held line over a gully is left out; nothing else is raised, and the rest stays as it was."""
    design, mended = gully
    assert "high fill" in names(design)
    assert "high fill" not in names(mended.after)
    taken = [trial for trial in mended.taken if trial.cure.caution == "high fill"]
    assert len(taken) == 1
    before, after = design.swales[0].line, mended.after.swales[0].line
    assert after.length_m < before.length_m
    assert (after.xy == before.xy[: len(after.xy)]).all()
    assert float(mended.after.surface.greatest_fill_m[0]) <= 1.0


def test_the_mended_lines_plan_the_mended_layout(gully):
    """Planned anew from its decisions it is the same, figure by figure; all of its lines are held."""
    _, mended = gully
    again = plan(mended.after.site.with_lines(lines_of(mended.after)), mended.after.ground.terrain)
    rows, others = ([swale_row(swale, design.rates) for swale in design.swales] for design in (again, mended.after))
    assert rows == others
    assert {line.state for line in lines_of(mended.after).lines} == {"held"}


def test_a_steep_stretch_is_left_out_and_both_sides_stay():
    """Where the slope doubles in the middle of the line two parts are kept, the longer under the old name."""
    terrain = plane(0.1, shape=(160, 260))
    x, y = terrain.grid.centres(*np.indices(terrain.grid.shape))
    east, up = x - WEST, y - (NORTH - 160.0)
    # the level of northing 80 m stays where it is, the fall across it doubles from 110 m to 150 m east
    steeper = 1.0 + np.exp(-(((east - 130.0) / 14.0) ** 4))
    ground = Terrain.from_heights(108.0 + 0.1 * steeper * (up - 80.0), terrain.grid, vertical_sigma_m=0.05)
    site = make_site(levels={"levels_m": [108.0]}, lines=NO_WATERCOURSES | {"greatest_slope": 0.3})
    design = plan(site, ground)
    assert [swale.id for swale in design.swales] == ["S1"]
    assert "steep ground" in names(design)
    mended = mend(design)
    assert "steep ground" not in names(mended.after)
    assert [swale.id for swale in mended.after.swales] != ["S1"]
    first, second = sorted(mended.after.swales, key=lambda swale: -swale.line.length_m)
    assert (first.id, second.id) == ("S1", "S2")
    assert max(first.line.cross_slope.max(), second.line.cross_slope.max()) <= 0.15 + 1e-9
    assert mended.after.held_storm_mm >= 50.0


def test_a_line_above_takes_a_part_of_the_water():
    """A hillside 300 m long above one narrow ditch stands long; with a line half-way up both are dry in time."""
    terrain = plane(0.08, shape=(420, 90))
    soil = {"curve_number": 85.0, "intake_mm_h": 10.0, "empty_within_h": 72.0}
    section = {"greatest_bottom_width_m": 3.0, "greatest_depth_m": 1.2}
    storm = {"depth_mm": 30.0}
    site = make_site(storm=storm, soil=soil, section=section, levels={"levels_m": [112.0]}, lines=NO_WATERCOURSES)
    design = plan(site, terrain)
    below = design.swales[0]
    assert "stands long" in names(design)
    first = next(cure for cure in cures_of(design, below) if cure.caution == "stands long")
    assert first.words.startswith("a line ")
    mended = mend(design)
    taken = [trial for trial in mended.taken if trial.cure.caution == "stands long"]
    assert taken
    assert "stands long" not in names(mended.after)
    assert len(mended.after.swales) >= 2
    assert max(swale.routed.empty_after_h for swale in mended.after.swales) <= 72.0
    assert mended.after.held_storm_mm >= 30.0
    assert all(trial.extra_dug_m3 is not None for trial in mended.trials)
    told = mending_summary(mended)
    assert told["before"]["swales"] == 1
    counts = {row["caution"]: (row["before"], row["after"]) for row in told["cautions"]}
    assert counts["stands long"] == (1, 0)


def test_what_stays_says_why():
    """With neither room above nor wider floors the water stands; the floor that would do is named, and does."""
    terrain = plane(0.08, shape=(420, 90))
    soil = {"curve_number": 85.0, "intake_mm_h": 10.0}
    narrow = {"greatest_bottom_width_m": 0.6, "greatest_depth_m": 1.4, "greatest_fill_m": 2.0}
    site = make_site(soil=soil, section=narrow, levels={"levels_m": [128.0]}, lines=NO_WATERCOURSES)
    foot_only = {"greatest_slope": 0.5, "least_length_m": 85.0}  # no line is as long as the tile is wide
    design = plan(site, terrain)
    assert "stands long" in names(design)
    tight = replace(design, site=design.site.with_values({f"lines.{key}": each for key, each in foot_only.items()}))
    mended = mend(tight)
    (stays,) = [caution for caution in mended.left if caution.name == "stands long"]
    floor_m = float(stays.advice.split("a floor ")[1].split(" m wide")[0])
    wide = lines_of(mended.after).decide("S1", "held", bottom_width_m=floor_m)
    assert "stands long" not in names(plan(site.with_lines(wide), terrain))
    assert [row for row in mending_rows(mended) if row["outcome"] == "stays"]


def test_a_stronger_swale_below_stops_a_chain_of_failures():
    """The upper's failure takes the lower one with it; a longer sill or a higher crest there stops it, at a price."""
    terrain = plane(0.15, shape=(260, 60))
    site = make_site(
        storm={"depth_mm": 80.0}, section={"freeboard_m": 0.11, "greatest_depth_m": 1.2},
        levels={"levels_m": [125.0, 112.0]}, lines=NO_WATERCOURSES | {"greatest_slope": 0.3},
        rates={"dig_per_m3": 4.0, "sill_per_m": 9.0, "currency": "EUR"},
    )  # fmt: skip
    design = plan(site, terrain)
    failure = design.swales[0].failure
    assert (failure.overtops, failure.stops) == (("S2",), ("S2",))
    assert "failure overtops others" in names(design, "S1")
    mended = mend(design)
    tried = [trial for trial in mended.trials if trial.cure.caution == "failure overtops others"]
    assert {trial.cure.edit.touches for trial in tried if "S2" in trial.cure.words} == {("S2",)}
    crests = [trial for trial in tried if "freeboard at S2" in trial.cure.words]
    assert crests
    assert all(trial.works and trial.extra_cost > 0.0 and trial.extra_dug_m3 > 0.0 for trial in crests)
    assert "failure overtops others" not in names(mended.after)
    again = plan(site.with_lines(lines_of(mended.after)), terrain)
    assert again.swales[0].failure.overtops == ()
    lines = lines_of(design)
    low, high = (lines.decide("S2", "held", freeboard_m=0.11 + more) for more in (0.05, failure.raise_m[0] + 0.05))
    assert [plan(site.with_lines(each), terrain).swales[0].failure.overtops for each in (low, high)] == [("S2",), ()]


def test_beside_lines_that_stand_alone_nothing_is_proposed():
    """What is left out while cures are tried isn't offered again by the brief."""
    terrain, site = plane(), make_site(levels={"levels_m": [108.0, 104.0]})
    lines = lines_of(plan(site, terrain)).decide("S1", "held")
    one = replace(lines, lines=lines.lines[:1])
    assert [swale.id for swale in plan(site.with_lines(one), terrain).swales] == ["S1", "S2"]
    assert [swale.id for swale in plan(site.with_lines(replace(one, alone=True)), terrain).swales] == ["S1"]


def test_only_the_swales_that_are_named_are_mended(gully):
    """A swale that isn't there is refused by name, and a share is one."""
    design, _ = gully
    assert {trial.cure.swale for trial in mend(design, only=["S1"]).trials} == {"S1"}
    with pytest.raises(InputError, match="no swale is called 'S9'; the layout has S1"):
        mend(design, only=["S9"])
    with pytest.raises(InputError, match="may_lose is 2"):
        mend(design, may_lose=2.0)


def test_no_more_is_left_out_than_may_be_lost():
    """Both lines of a steep plane want leaving out; of a share that only the smaller is within, it alone goes."""
    terrain = plane(0.2, shape=(140, 100))
    design = plan(make_site(levels={"levels_m": [112.0, 106.0]}, lines=NO_WATERCOURSES), terrain)
    held = {swale.id: swale.held_m3 / design.kept_m3 for swale in design.swales}
    small, large = sorted(held, key=lambda name: held[name])
    assert held[small] < 0.9 * held[large]
    mended = mend(design, may_lose=0.5 * (held[large] + 1.0))
    assert [trial.cure.swale for trial in mended.taken] == [small]
    assert [swale.id for swale in mended.after.swales] == [large]
    assert mend(design, may_lose=0.5 * held[small]).taken == ()
