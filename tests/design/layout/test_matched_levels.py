"""Levels matched to the storm."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.contours.line import LevelLine
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground, study_ground
from swalekit.design.layout.level_trial import LEAST_FULLNESS, LevelTrial, just_full_level, try_level
from swalekit.design.layout.lines import workable_area
from swalekit.design.layout.matched_levels import MatchedLevels, matched_levels, mean_runoff_mm
from swalekit.design.plan.pipeline import size_layout
from swalekit.errors import InputError
from swalekit.hydrology.losses.curve_number import CurveNumberLoss, runoff_mm
from swalekit.hydrology.losses.soil import SoilZone
from swalekit.section.even_slope import matched_spacing_m, metre_of_swale
from swalekit.section.section import Section
from swalekit.terrain.terrain import Terrain

SHALLOW = {"greatest_depth_m": 0.4, "greatest_bottom_width_m": 0.6}


def match(site: Site, terrain: Terrain, **choices: float) -> tuple[Ground, MatchedLevels]:
    """The ground of a site and its matched levels."""
    ground = study_ground(site, terrain)
    return ground, matched_levels(site, ground, workable_area(site, ground), **choices)


def gentle_hills(seed: int) -> Terrain:
    """Hills of a height on which lines can be laid."""
    steep = hills(seed, side=160)
    row = np.mgrid[0:160, 0:160][0]
    return Terrain.from_heights(0.2 * steep.heights + 160.0 - 0.06 * row, steep.grid, vertical_sigma_m=0.05)


def level_lines() -> tuple[LevelLine, ...]:
    """One line, of no account where it lies."""
    return (LevelLine(1.0, False, np.array([[0.0, 0.0], [10.0, 0.0]]), np.ones(2), np.full(2, 0.1)),)


@pytest.mark.parametrize("slope", [0.05, 0.1, 0.2])
def test_spacing_by_hand_balances_the_water(slope):
    """Storage of a metre equals runoff of the ground between lines and all rain on the strip."""
    swale = metre_of_swale(slope, Section(), depth_m=0.4)
    spacing_m = matched_spacing_m(swale, rain_mm=50.0, runoff_mm=14.0)
    arriving_m3 = 0.014 * (spacing_m - swale.catch_m2) + 0.050 * swale.catch_m2
    assert arriving_m3 == pytest.approx(swale.storage_m3)


def test_spacing_by_hand_at_its_ends():
    """No runoff is no limit; a ditch that can't hold the rain on itself has no spacing; runoff above the rain fails."""
    swale = metre_of_swale(0.1, Section(), depth_m=0.4)
    assert matched_spacing_m(swale, rain_mm=10.0, runoff_mm=0.0) == np.inf
    assert matched_spacing_m(swale, rain_mm=1000.0, runoff_mm=1.0) == 0.0
    with pytest.raises(InputError, match="runoff_mm must not exceed rain_mm"):
        matched_spacing_m(swale, rain_mm=10.0, runoff_mm=11.0)


@pytest.mark.compiled
@pytest.mark.parametrize("slope", [0.05, 0.1, 0.2])
def test_on_a_plane_levels_lie_as_by_hand(slope):
    """On a wide plane the spacing is that by hand, less 2 % of tolerance, 2 for ends, 2 for works as built, a row."""
    site, terrain = make_site(section=SHALLOW), plane(slope, shape=(210, 300))
    _, matched = match(site, terrain)
    swale = metre_of_swale(slope, Section(), depth_m=0.4)
    by_hand_m = matched_spacing_m(swale, rain_mm=50.0, runoff_mm=float(runoff_mm(50.0, 80.0)))
    spacings = -np.diff(matched.levels_m)[:-1] / slope  # the last level takes what ground is left
    assert spacings.size >= 2
    assert spacings.max() <= by_hand_m + terrain.grid.cell_m
    assert spacings.min() >= 0.94 * by_hand_m - terrain.grid.cell_m


def test_on_a_plane_each_line_is_just_full():
    """A matched level holds its need and a row of cells lower would not; the last takes what is left and is noted."""
    site, terrain = make_site(section=SHALLOW), plane(shape=(150, 200))
    ground, matched = match(site, terrain)
    area, above = workable_area(site, ground), ()
    fullness = matched.need_m3 / matched.storage_m3
    for level_m, share in zip(matched.levels_m[:-1], fullness[:-1], strict=True):
        assert 0.95 < share <= 1.0
        lower = try_level(site, ground, area, level_m - 0.1, depth_m=0.4, above=above)
        assert lower.fullness > LEAST_FULLNESS + 0.02
        above = (*above, try_level(site, ground, area, level_m, depth_m=0.4, above=above))
    assert 0.5 <= fullness[-1] < 0.9
    assert matched.notes == (
        f"the lines at {matched.levels_m[-1]:.2f} m are {fullness[-1]:.0%} full: less water meets lower ones",
    )


def test_the_plan_on_matched_levels_holds_the_storm():
    """Sized by the plan itself, every swale on matched levels needs nearly the greatest depth and holds the storm."""
    site = make_site(section=SHALLOW)
    ground, matched = match(site, plane(shape=(150, 200)))
    layout = size_layout(site.with_values({"levels": {"levels_m": matched.levels_m.tolist()}}), ground)
    assert [swale.line.level_m for swale in layout.swales] == matched.levels_m.tolist()
    full = slice(None, -1)  # the last level takes what ground is left
    assert [swale.sized.shape.depth_m for swale in layout.swales[full]] == [0.4] * (matched.levels_m.size - 1)
    assert [swale.storage_m3 for swale in layout.swales[full]] == pytest.approx(matched.storage_m3[full].tolist())
    runoff_m3 = [swale.runoff_m3 for swale in layout.swales[full]]
    assert runoff_m3 == pytest.approx(matched.need_m3[full].tolist(), rel=0.04)  # which allows for works as built
    assert 50.0 <= layout.held_storm_mm < 54.0


@pytest.mark.compiled
def test_deeper_ditches_lie_farther_apart():
    """More storage takes more ground; the depth given counts, not the brief's."""
    site = make_site(section=SHALLOW)
    terrain = plane(shape=(200, 200))
    shallow, deep = match(site, terrain, depth_m=0.35)[1], match(site, terrain, depth_m=0.45)[1]
    assert -np.diff(deep.levels_m)[0] > 1.2 * -np.diff(shallow.levels_m)[0]


def test_start_is_laid_as_given():
    """The first level is the start, whatever it gets; the next is matched below it."""
    site, terrain = make_site(section=SHALLOW), plane(shape=(150, 200))
    free, started = match(site, terrain)[1], match(site, terrain, start_m=110.5)[1]
    assert started.levels_m[0] == 110.5
    assert -np.diff(started.levels_m)[0] == pytest.approx(-np.diff(free.levels_m)[0], abs=0.15)
    with pytest.raises(InputError, match="start_m is 90"):
        match(site, terrain, start_m=90.0)


def test_water_from_outside_is_noted_and_what_lies_below_is_matched():
    """Where more comes from uphill of the boundary than a line holds, the first is short and noted, the others full."""
    lower_half = shapely.box(WEST - 10, NORTH - 310, WEST + 210, NORTH - 150)
    site, terrain = make_site(lower_half, section=SHALLOW), plane(shape=(300, 200))
    site = replace(site, crs=terrain.grid.crs)
    _, matched = match(site, terrain)
    assert matched.need_m3[0] > 2.0 * matched.storage_m3[0]
    assert (matched.need_m3[1:] <= matched.storage_m3[1:]).all()
    note = matched.notes[0]
    assert note.startswith(f"the lines at {matched.levels_m[0]:.2f} m get {matched.need_m3[0]:.0f} m3")


@pytest.mark.parametrize(
    ("fullness_at", "expected"),
    [
        (lambda drop: 0.4 * drop, 2.47),  # just full in the middle of the tolerance
        (lambda drop: 0.9 * (drop < 1.5) + 1.2 * (drop >= 1.5), 1.0),  # a jump: the fullest that holds
        (lambda drop: 0.6 * drop if drop < 1.5 else 0.2 * drop, 1.0),  # less water next below: the fullest so far
        (lambda drop: 1.5 + drop, 1.0),  # short everywhere: the first tried
        (lambda drop: 3.0 - 0.1 * drop, 1.0),  # also where it is the least short
        (lambda drop: 0.04 * drop, None),  # never half full
        (lambda drop: 0.06 * drop, 9.98),  # more than half full at the foot
        (lambda drop: 0.33 * drop if drop < 0.6 or drop > 2.0 else None, 3.0),  # no line can be laid between
        (lambda drop: None if drop < 8.0 else 2.0, 8.1),  # none for long, then short
        (lambda _: None, None),  # no line anywhere
    ],
)
def test_search_of_a_level(fullness_at, expected):
    """The level found below 110 m, on ground down to 100 m, for fullness as a function of the drop."""
    line = level_lines()

    def fill(level_m: float) -> LevelTrial:
        share = fullness_at(110.0 - level_m)
        return LevelTrial(level_m, () if share is None else line, np.ones(1), np.array([share or 0.0]))

    found = just_full_level(fill, 110.0, 100.0, guess_m=1.0, least_m=0.1)
    assert (found is None) == (expected is None)
    if found is not None:
        assert 110.0 - found.level_m == pytest.approx(expected, abs=0.02)


def test_hollow_keeps_its_share():
    """A trough in the plane above the line, within its length, takes its volume from what the line gets."""
    site, even = make_site(section=SHALLOW), plane()
    heights = even.heights.copy()
    heights[20, 20:80] -= 0.3
    needs, hollow_m3 = [], 0.0
    for terrain in (even, Terrain.from_heights(heights, even.grid, vertical_sigma_m=0.05)):
        ground = study_ground(site, terrain)
        needs.append(try_level(site, ground, ground.area, 108.0, depth_m=0.4).need_m3.sum())
        hollow_m3 = ground.network.hollows.volume_m3.sum()
    assert hollow_m3 == pytest.approx(12.0, abs=0.1)
    assert needs[0] - needs[1] == pytest.approx(1.02 * hollow_m3)  # with what is allowed for works as built


@pytest.mark.parametrize(
    ("parts", "terrain"),
    [({"storm": {"depth_mm": 5.0}}, plane()), ({}, plane(0.3)), ({}, plane(0.1, shape=(12, 100)))],
    ids=["no runoff", "too steep", "too small"],
)
def test_ground_that_fills_no_line_has_no_level(parts, terrain):
    """Without runoff, without lines, or with too little ground there is no level, and a note says so."""
    _, matched = match(make_site(**parts), terrain)
    assert matched.levels_m.size == 0
    assert "no level is filled" in matched.notes[0]


@pytest.mark.compiled
def test_on_hills_levels_descend_and_hold_what_they_get():
    """On generic ground levels descend, none without a note is more than full, most are nearly full."""
    shares = []
    for seed in (0, 1, 3):
        ground, matched = match(make_site(section=SHALLOW), gentle_hills(seed))
        fullness = matched.need_m3 / matched.storage_m3
        assert matched.levels_m.size >= 3
        assert (np.diff(matched.levels_m) < 0).all()
        assert sum("what is over spills" in note for note in matched.notes) == np.count_nonzero(fullness > 1.0)
        assert (fullness >= 0.5).all()
        again = matched_levels(make_site(section=SHALLOW), ground, ground.area)
        np.testing.assert_array_equal(again.levels_m, matched.levels_m)
        shares += fullness.tolist()
    assert np.median(shares) >= 0.95


def test_runoff_of_the_site_is_weighted_by_soil():
    """With bare ground on a quarter of the plane the runoff is a quarter of its and three of the rest."""
    zone = SoilZone(CurveNumberLoss(95.0), shapely.box(WEST, NORTH - 200, WEST + 25, NORTH + 10))
    site = replace(make_site(), soil_zones=(zone,))
    expected = 0.25 * float(runoff_mm(50.0, 95.0)) + 0.75 * float(runoff_mm(50.0, 80.0))
    assert mean_runoff_mm(site, study_ground(site, plane())) == pytest.approx(expected)
