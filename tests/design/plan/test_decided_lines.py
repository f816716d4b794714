"""Plans around the lines that the designer holds, draws and drops."""

import re
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import CRS, Transformer
from sites import NORTH, WEST, hills, make_site, plane

from swalekit import KeepOut, Lines, lay_out, lines_of, plan, read_site, terrain_of
from swalekit.contours.line import LineRules
from swalekit.design.brief.decided_lines import DecidedLine
from swalekit.design.layout.given_lines import held_line
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import lay_levels
from swalekit.design.options.comparison import compare
from swalekit.design.options.variations import axes_of, grid_of
from swalekit.design.plan.table import swale_row
from swalekit.design.reliability.reliability import how_sure
from swalekit.design.survey.stakeout import laid_swales
from swalekit.errors import InputError
from swalekit.grid import Grid
from swalekit.kernels.section_nodes import CREST_INNER_EDGE, CREST_OUTER_EDGE, DOWNHILL_LIP, UPHILL_LIP
from swalekit.terrain.terrain import Terrain

LEVELS = [109.0, 107.0, 105.0, 103.0]
NO_LINES = Lines((), plane().grid.crs)


def across(north_m, *, west_m=5.0, east_m=95.0, bow_m=0.3):
    """A stroke across the plane so far below its northern edge, a little off the contour."""
    return [(WEST + west_m, NORTH - north_m), (WEST + 50.0, NORTH - north_m - bow_m), (WEST + east_m, NORTH - north_m)]


@pytest.fixture(scope="module")
def site():
    """Four lines, twenty metres apart, on a plane of ten percent."""
    return make_site(levels={"levels_m": LEVELS})


@pytest.fixture(scope="module")
def proposed(site):
    """The plan that the brief asks for."""
    return plan(site, plane())


def ids(design):
    """Names of the swales, from the top down."""
    return [swale.id for swale in design.swales]


def same(one, other):
    """Whether two lines are the same to the last bit, ground and slope with them."""
    pairs = ((one.xy, other.xy), (one.ground_m, other.ground_m), (one.cross_slope, other.cross_slope))
    return one.level_m == other.level_m and all(a.tobytes() == b.tobytes() for a, b in pairs)


@pytest.mark.compiled
@pytest.mark.parametrize("seed", [3, 7, 12])
def test_holding_all_lines_of_a_plan_gives_the_plan(seed):
    """Lines, sizes and volumes are those of the proposals, and so they are when nothing is decided."""
    site, terrain = make_site(), hills(seed)
    before = plan(site, terrain)
    assert before.swales
    lines = lines_of(before)
    for state in ("proposed", "held", "drawn"):
        decided = replace(lines, lines=tuple(replace(line, state=state) for line in lines.lines))
        again = plan(site.with_lines(decided), terrain)
        assert all(same(one.line, other.line) for one, other in zip(before.swales, again.swales, strict=True))
        assert [swale_row(swale) | {"state": "proposed"} for swale in again.swales] == list(
            map(swale_row, before.swales)
        )
        assert again.warnings == before.warnings


@pytest.mark.compiled
def test_on_the_sample_held_lines_stay_and_names_last(sample_site):
    """Three held, two dropped, one drawn between, one widened, one trimmed: the rest is proposed around them."""
    site, terrain = sample_site
    before = plan(site, terrain)
    assert site.crs != terrain.grid.crs  # read in degrees; lines stay in the CRS that they are held in
    upper, lower = (swale.line.xy[5:40] for swale in before.swales[1:3])
    lines = (
        lines_of(before)
        .decide("S3", "held")
        .decide("S7", "held", bottom_width_m=1.4, stage=2)
        .decide("S12", "held", depth_m=0.7)
        .decide("S5", "dropped", note="the oak stands there")
        .decide("S20", "dropped")
        .draw(0.5 * (upper + lower))
    )
    whole = before.swales[0].line
    trimmed = replace(lines.lines[0], state="held", xy=whole.xy[20:90])
    lines = replace(lines, lines=(trimmed, *lines.lines[1:]))
    after = plan(site.with_lines(lines), terrain)
    laid, was = ({swale.id: swale for swale in design.swales} for design in (after, before))
    for name in ("S3", "S7", "S12"):
        assert same(laid[name].line, was[name].line)
    assert laid["S1"].line.xy.tobytes() == whole.xy[20:90].tobytes()
    assert {"S5", "S20"}.isdisjoint(laid)
    drawn = laid[lines.lines[-1].name]
    assert drawn.state == "drawn"
    assert laid["S2"].line.level_m > drawn.line.level_m > laid["S3"].line.level_m
    assert ids(after) == sorted(laid, key=lambda name: ids(after).index(name))
    levels = [swale.line.level_m for swale in after.swales]
    assert levels == sorted(levels, reverse=True)
    assert laid["S7"].sized.shape.section.bottom_width_m == 1.4
    assert laid["S12"].sized.shape.depth_m == 0.7
    named = {(stretch.name, stretch.reason) for stretch in after.refused if stretch.name}
    asked = {("S1", "held"), ("S5", "dropped"), ("S20", "dropped")}
    cut_back = {(name, "held") for name in ("S3", "S7", "S12")}  # where their contours go on over too high a fill
    cut_back |= {(drawn.id, "too steep")}
    assert asked <= named <= asked | cut_back
    assert "the oak stands there" in {stretch.detail for stretch in after.refused}
    assert len(after.refused) >= len(before.refused) - 5
    again = plan(site.with_lines(lines_of(after)), terrain)
    assert ids(again) == ids(after)
    assert all(same(one.line, other.line) for one, other in zip(after.swales, again.swales, strict=True))
    assert list(map(swale_row, again.swales)) == list(map(swale_row, after.swales))


@pytest.fixture(scope="module")
def sample_site():
    """The sample's site, and its terrain."""
    site = read_site("sample_terrain/site.toml")
    return site, terrain_of(site)


def test_a_trimmed_line_stays_trimmed_and_a_dropped_one_away(site, proposed):
    """The rest of the contour beside a held piece isn't proposed, and what is left out is told with the note."""
    lines = lines_of(proposed).decide("S3", "dropped", note="the oak stands there")
    short = replace(lines.lines[1], state="held", xy=lines.lines[1].xy[10:30])
    design = plan(site.with_lines(replace(lines, lines=(lines.lines[0], short, *lines.lines[2:]))), plane())
    assert ids(design) == ["S1", "S2", "S4"]
    assert design.swales[1].line.xy.tobytes() == short.xy.tobytes()
    told = {(stretch.name, stretch.reason): stretch for stretch in design.refused if stretch.name}
    assert set(told) == {("S2", "held"), ("S3", "dropped")}
    assert told["S3", "dropped"].detail == "the oak stands there"
    assert told["S3", "dropped"].length_m == pytest.approx(proposed.swales[2].line.length_m)
    assert [line.state for line in lines_of(design).lines] == ["proposed", "held", "dropped", "proposed"]


def test_part_of_a_split_line_may_be_held(site, proposed):
    """Beside a held half the other half, still proposed, is laid; once it is dropped it isn't."""
    lines = lines_of(proposed)
    xy = lines.lines[1].xy
    west, east = replace(lines.lines[1], state="held", xy=xy[:20]), replace(lines.lines[1], name="S9", xy=xy[24:])
    split = replace(lines, lines=(lines.lines[0], west, east, *lines.lines[2:]))
    design = plan(site.with_lines(split), plane())
    assert ids(design) == ["S1", "S2", "S9", "S3", "S4"]
    assert design.swales[2].line.xy.tobytes() == xy[24:].tobytes()
    left = plan(site.with_lines(split.decide("S9", "dropped")), plane())
    assert ids(left) == ["S1", "S2", "S3", "S4"]


def test_joined_lines_stay_joined():
    """One held line across the gap of a pipe stands in place of both pieces, and is cautioned, not cut."""
    pipe = KeepOut("buried utility", shapely.LineString([(WEST + 50.0, NORTH), (WEST + 50.0, NORTH - 120.0)]), 2.0)
    site = replace(make_site(levels={"levels_m": [107.0]}), keep_outs=(pipe,))
    pieces = lines_of(plan(site, plane()))
    assert [line.name for line in pieces.lines] == ["S1", "S2"]
    joined = DecidedLine("S1", "held", np.vstack([line.xy for line in pieces.lines]), level_m=107.0)
    design = plan(site.with_lines(replace(pieces, lines=(joined,))), plane())
    assert ids(design) == ["S1"]
    assert design.swales[0].line.length_m > 85.0
    assert any(caution.name.startswith("works reach buried utility") for caution in design.swales[0].cautions)
    drawn = plan(site.with_lines(NO_LINES.draw(joined.xy, bottom_width_m=0.9)), plane())
    assert ids(drawn) == ["S1", "S2"]
    assert [swale.sized.shape.section.bottom_width_m for swale in drawn.swales] == [0.9, 0.9]
    assert [swale.state for swale in drawn.swales] == ["drawn", "drawn"]


def test_a_drawn_line_is_laid_along_its_contour_and_stays(site, proposed):
    """It ends where the stroke ends, gets the next number, and a plan of the lines that come of it is the same."""
    design = plan(site.with_lines(lines_of(proposed).draw(across(60.0, west_m=20.0, east_m=70.0))), plane())
    assert ids(design) == ["S1", "S2", "S5", "S3", "S4"]
    drawn = design.swales[2].line
    assert drawn.xy[0, 0] == pytest.approx(WEST + 20.0, abs=0.1)
    assert drawn.xy[-1, 0] == pytest.approx(WEST + 70.0, abs=0.1)
    assert np.ptp(drawn.xy[:, 1]) < 0.2
    lines = lines_of(design)
    assert (lines.lines[4].state, lines.lines[4].xy.tobytes()) == ("drawn", drawn.xy.tobytes())
    again = plan(site.with_lines(lines), plane())
    assert ids(again) == ids(design)
    assert all(same(one.line, other.line) for one, other in zip(design.swales, again.swales, strict=True))


def test_a_line_drawn_along_a_proposal_stands_in_its_place(site, proposed):
    """Four metres below a proposal, for half its length: it gives way whole, and its name lapses."""
    design = plan(site.with_lines(lines_of(proposed).draw(across(34.0, west_m=30.0))), plane())
    assert ids(design) == ["S5", "S2", "S3", "S4"]
    west, _ = (stretch for stretch in design.refused if stretch.reason == "drawn")
    assert "S5, which is drawn" in west.detail
    assert west.length_m == pytest.approx(27.0, abs=3.0)
    assert lines_of(design).lines[0].state == "lapsed"
    assert "S1 is proposed no more: S5, which is drawn, stands in its place" in design.warnings


def test_a_stroke_in_another_crs_is_laid_where_it_lies(site):
    """Drawn in degrees, it becomes the line that it becomes in metres."""
    stroke = np.array(across(60.0))
    to_degrees = Transformer.from_crs(NO_LINES.crs, CRS.from_epsg(4326), always_xy=True)
    in_degrees = Lines((), CRS.from_epsg(4326)).draw(np.column_stack(to_degrees.transform(*stroke.T)))
    one, other = (plan(site.with_lines(lines), plane()) for lines in (NO_LINES.draw(stroke), in_degrees))
    assert ids(one) == ids(other)
    for mine, theirs in zip(one.swales, other.swales, strict=True):
        np.testing.assert_allclose(mine.line.xy, theirs.line.xy, atol=1e-3)


def test_names_last_through_other_briefs(site, proposed):
    """New levels get new numbers, old ones lapse, and come back with their names."""
    other = site.with_values({"levels.levels_m": [108.0, 105.0, 102.0]})
    second = plan(other.with_lines(lines_of(proposed)), plane())
    assert ids(second) == ["S5", "S3", "S6"]
    states = {line.name: line.state for line in lines_of(second).lines}
    assert [name for name, state in states.items() if state == "lapsed"] == ["S1", "S2", "S4"]
    third = plan(site.with_lines(lines_of(second)), plane())
    assert ids(third) == ["S1", "S2", "S3", "S4"]


def test_names_stand_in_all_that_is_told(site, proposed):
    """Where overflow goes, failures, catchments and stakes are told by lasting names."""
    lines = lines_of(proposed).decide("S1", "dropped").decide("S3", "dropped").draw(across(60.0), name="by the gate")
    design = plan(site.with_values({"storm.depth_mm": 100.0}).with_lines(lines), plane())
    assert ids(design) == ["S2", "by the gate", "S4"]
    assert [swale.sill.spills_to for swale in design.swales] == ["by the gate", "S4", "off the tile"]
    assert [swale.failure.swale for swale in design.swales] == ids(design)
    assert [swale.number for swale in laid_swales(design)] == [2, 999, 4]
    assert {line.name for line in (swale.line for swale in design.swales)} == set(ids(design))


def test_own_settings_count_for_their_line_alone(site, proposed):
    """Width, freeboard, depth, sill and bare berm differ on one line; others are as they were."""
    lines = lines_of(proposed).decide(
        "S2", "held", bottom_width_m=1.2, freeboard_m=0.25, depth_m=0.8, sill_length_m=7.0, sill_at_m=20.0, stage=3
    )
    design = plan(site.with_lines(lines), plane())
    own, shape = design.swales[1], design.swales[1].sized.shape
    assert (shape.section.bottom_width_m, shape.section.freeboard_m, shape.depth_m) == (1.2, 0.25, 0.8)
    assert (own.sill.length_m, own.sill.chainage_m) == (7.0, 20.0)
    assert (swale_row(own)["stage"], swale_row(own)["state"]) == (3, "held")
    assert design.swales[0].sized.shape.section == proposed.swales[0].sized.shape.section
    assert design.swales[0].quantities.dug_m3 == proposed.swales[0].quantities.dug_m3
    proposal = plan(site.with_lines(lines_of(proposed).decide("S2", "proposed", bottom_width_m=1.2)), plane())
    assert proposal.swales[1].sized.shape.section.bottom_width_m == 1.2


def test_batter_and_crest_may_differ_by_line(site, proposed):
    """Its ditch has the sides that were asked for at every station, its berm the crest; held lines stay to the byte."""
    lines = lines_of(proposed)
    for line in lines.lines:
        lines = lines.decide(line.name, "held")
    before = plan(site.with_lines(lines), plane())
    asked = {"uphill_side_slope": 1.0, "downhill_side_slope": 2.5, "crest_width_m": 0.9}
    after = plan(site.with_lines(lines.decide("S2", "held", depth_m=0.6, **asked)), plane())
    assert all(same(one.line, other.line) for one, other in zip(before.swales, after.swales, strict=True))
    rows = [swale_row(design.swales[0]) for design in (before, after)]  # above the one that was changed
    one, other = ({name: cell for name, cell in row.items() if "failure" not in name} for row in rows)
    assert one == other
    shape = after.swales[1].sized.shape
    x, z = (part[:, 5] for part in shape.nodes)
    uphill, downhill = (abs((x[k + 1] - x[k]) / (z[k + 1] - z[k])) for k in (UPHILL_LIP, DOWNHILL_LIP - 1))
    assert (uphill, downhill) == (pytest.approx(1.0), pytest.approx(2.5))
    assert x[CREST_OUTER_EDGE] - x[CREST_INNER_EDGE] == pytest.approx(0.9)
    row = swale_row(after.swales[1])
    assert {name: row[name] for name in asked} == asked
    assert lines_of(after).own("S2").uphill_side_slope == 1.0
    again = plan(site.with_lines(lines_of(after)), plane())
    assert list(map(swale_row, again.swales)) == list(map(swale_row, after.swales))


def test_a_sill_is_longer_than_asked_where_the_check_storm_needs_it(site, proposed):
    """The length that is given is the least."""
    stormy = site.with_values({"storm.check_depth_mm": 200.0})
    free = plan(stormy.with_lines(lines_of(proposed)), plane()).swales[3].sill.length_m
    held = plan(stormy.with_lines(lines_of(proposed).decide("S4", "held", sill_length_m=0.5 * free)), plane())
    assert free > 1.0
    assert held.swales[3].sill.length_m >= 0.9 * free


@pytest.mark.parametrize(
    ("stroke", "reason", "words"),
    [
        ([(WEST + 50.0, NORTH - 30.0), (WEST + 50.0, NORTH - 90.0)], "not level", "draw it along a contour"),
        (across(60.0, west_m=45.0, east_m=58.0), "short", "least 15 m"),
        (across(60.0, west_m=40.0, east_m=60.0), "building", "building 'hut'"),
    ],
)
def test_a_stroke_that_cannot_be_laid_is_refused_by_name(site, stroke, reason, words):
    """Uphill, too short, or through a house: the feature is named, in the refusals and among the warnings."""
    hut = KeepOut("building", shapely.box(WEST + 30.0, NORTH - 70.0, WEST + 70.0, NORTH - 50.0), 1.0, "hut")
    keep_outs = (hut,) if reason == "building" else ()
    design = plan(replace(site, keep_outs=keep_outs).with_lines(NO_LINES.draw(stroke, name="upper")), plane())
    assert "upper" not in ids(design)
    (refused,) = (stretch for stretch in design.refused if stretch.name == "upper")
    assert refused.reason == reason
    assert words in refused.detail
    assert any("upper, drawn, are not laid" in warning for warning in design.warnings)
    assert [line.state for line in lines_of(design).lines if line.name == "upper"] == ["drawn"]


def test_a_house_takes_its_part_of_a_stroke(site):
    """What is left on either side is laid: the longer part under the name, the other under a new number."""
    hut = KeepOut("building", shapely.box(WEST + 30.0, NORTH - 65.0, WEST + 40.0, NORTH - 55.0), 1.0, "hut")
    lines = NO_LINES.draw(across(60.0), name="upper", note="mine")
    design = plan(replace(site, keep_outs=(hut,)).with_lines(lines), plane())
    drawn = [swale for swale in design.swales if swale.state == "drawn"]
    assert {swale.id: swale.line.length_m > 40.0 for swale in drawn} == {"S1": False, "upper": True}
    assert [swale.own.note for swale in drawn] == ["mine", "mine"]
    assert ids(plan(replace(site, keep_outs=(hut,)).with_lines(lines_of(design)), plane())) == ids(design)


def test_a_held_line_that_is_not_level_is_refused_with_the_way_out(site, proposed):
    """It isn't laid, its name and place are kept, and no line is proposed under its name."""
    lines = lines_of(proposed)
    tilted = lines.lines[1].xy + np.linspace([0.0, 0.0], [0.0, 4.0], 47)
    held = replace(lines, lines=(lines.lines[0], replace(lines.lines[1], state="held", xy=tilted), *lines.lines[2:]))
    design = plan(site.with_lines(held), plane())
    (refused,) = (stretch for stretch in design.refused if stretch.name == "S2")
    assert (refused.reason, "set its state to drawn" in refused.detail) == ("not level", True)
    assert ids(design) == ["S1", "S5", "S3", "S4"]
    kept = lines_of(design).lines[1]
    assert (kept.name, kept.state, kept.xy.tobytes()) == ("S2", "held", tilted.tobytes())


def test_a_held_line_is_turned_where_downhill_lies_on_its_left(site, proposed):
    """Its stations are the same, the other way round."""
    lines = lines_of(proposed).decide("S2", "held")
    back = replace(lines.lines[1], xy=lines.lines[1].xy[::-1].copy())
    design = plan(site.with_lines(replace(lines, lines=(lines.lines[0], back, *lines.lines[2:]))), plane())
    assert same(design.swales[1].line, proposed.swales[1].line)


def test_a_held_line_along_a_roof_is_refused():
    """Level along a saddle's two sides, it has no berm that would hold: downhill changes sides."""
    north = np.arange(120)[:, np.newaxis] - 60.0
    east = np.arange(100)[np.newaxis, :] - 50.0
    heights = 100.0 + 0.0004 * east * north
    terrain = Terrain.from_heights(heights, Grid.from_corner((120, 100), cell_m=1.0, west_m=WEST, north_m=NORTH))
    xy = np.column_stack([np.arange(WEST + 10.5, WEST + 90.0, 2.0), np.full(40, NORTH - 60.5)])
    ridge = held_line(DecidedLine("S1", "held", xy), terrain, LineRules())
    assert ridge.reason == "too flat"
    assert re.search(r"downhill on its left along (4|5)\d % of it", ridge.detail)


def test_of_two_given_lines_that_cross_the_held_one_stays():
    """The other is refused, and told which it crosses."""
    flat = make_site(levels={"levels_m": [109.0]}, lines={"tolerance_m": 0.5})
    slanted = [(WEST + 10.0, NORTH - 62.0), (WEST + 90.0, NORTH - 58.0)]
    lines = NO_LINES.draw(slanted, name="slanted").draw(across(60.0, bow_m=0.0), name="held")
    lines = replace(lines, lines=tuple(replace(line, state="held") for line in lines.lines))
    design = plan(flat.with_lines(lines), plane())
    (refused,) = (stretch for stretch in design.refused if stretch.name)
    assert (refused.name, refused.reason) == ("held", "crosses")
    assert "slanted, which is held" in refused.detail


def test_a_line_off_the_tile_is_an_error_that_names_it(site):
    """Degrees read as metres lie nowhere near."""
    with pytest.raises(InputError, match=r"line S1, drawn, begins at 5 east, 40 north.*check the CRS"):
        plan(site.with_lines(NO_LINES.draw([(5.0, 40.0), (6.0, 40.0)])), plane())


def test_freeboard_below_the_water_over_the_sill_is_an_error(site, proposed):
    """A line's own freeboard keeps the rule that the brief's keeps."""
    with pytest.raises(InputError, match=r"line S2 has a freeboard_m of 0\.05"):
        site.with_lines(lines_of(proposed).decide("S2", "held", freeboard_m=0.05))


def test_unknown_settings_are_named(proposed):
    """A setting that there isn't is an error."""
    with pytest.raises(InputError, match="setting width_m"):
        lines_of(proposed).decide("S2", "held", width_m=2.0)


def test_works_of_given_lines_in_water_are_cautioned(site, proposed):
    """A held line across a watercourse isn't cut as a proposal is, and the caution says what its works meet."""
    ground = study_ground(site, plane())
    wet = np.zeros(ground.terrain.grid.shape, bool)
    wet[:, 50] = True
    ground = replace(ground, watercourses=wet)
    assert len(lay_out(site, ground).swales) == 8
    held = lay_out(site.with_lines(lines_of(proposed).decide("S2", "held")), ground).swales
    (swale,) = (swale for swale in held if swale.state == "held")
    assert same(swale.line, proposed.swales[1].line)
    (caution,) = (caution for caution in swale.cautions if caution.name.startswith("works meet"))
    assert caution.text == "its works meet a watercourse"


@pytest.mark.compiled
def test_options_and_reliability_keep_held_lines(site, proposed):
    """Whatever the interval, a held line stays in every option; draws are of the lines decided on."""
    held = site.with_lines(lines_of(proposed).decide("S2", "held", bottom_width_m=1.2))
    comparison = compare(held, plane(), grid_of(axes_of({"interval": [2.0, 3.0]})))
    for option in comparison.options:
        (own,) = (line for line in option.lines if line.swale == "S2")
        assert own.xy.tobytes() == proposed.swales[1].line.path.tobytes()
    sure = how_sure(held.with_values({"uncertainty.draws": 20}), plane())
    assert [swale.id for swale in sure.layout.swales] == ["S1", "S2", "S3", "S4"]
    assert sure.layout.swales[1].sized.shape.section.bottom_width_m == 1.2


HILLY = make_site(levels={"interval_m": 1.0})
HILLY_GROUND = study_ground(HILLY, hills(5))
HILLY_LINES = lay_levels(HILLY, HILLY_GROUND).lines
STATES = st.lists(
    st.sampled_from(["proposed", "held", "drawn", "dropped", "lapsed"]),
    min_size=len(HILLY_LINES),
    max_size=len(HILLY_LINES),
)


@settings(max_examples=25, deadline=None)
@given(states=STATES, order=st.randoms(use_true_random=False))
def test_any_decisions_keep_names_and_held_lines(states, order):
    """Held and drawn lines are laid to the bit, dropped ones aren't, all else keeps its name; in whatever order."""
    rows = [
        DecidedLine(line.name, state, line.xy, line.closed, line.level_m)
        for line, state in zip(HILLY_LINES, states, strict=True)
    ]
    order.shuffle(rows)
    laid = lay_levels(HILLY.with_lines(Lines(tuple(rows), HILLY.crs)), HILLY_GROUND)
    by_name = {line.name: line for line in laid.lines}
    assert len(by_name) == len(laid.lines)
    for line, state in zip(HILLY_LINES, states, strict=True):
        assert (line.name in by_name) == (state != "dropped")
        assert state == "dropped" or same(by_name[line.name], line)
    assert {line.name for line in laid.decided.lines} == {line.name for line in HILLY_LINES}
