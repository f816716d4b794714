"""Crossings: no works in the way, and two halves that hold what they claim."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from scipy.ndimage import label
from sites import NORTH, WEST, hills, make_site, plane
from skimage.morphology import reconstruction

from swalekit.contours.crossing import Crossing, kept_clear_for
from swalekit.design.brief.decided_lines import DecidedLine, Lines
from swalekit.design.plan.crossings import crossing_rows
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import swale_row
from swalekit.reporting.map.legend import legend_entries
from swalekit.reporting.map.plan_map import plan_content
from swalekit.results.plan.layers import PlanLayers
from swalekit.results.plan.record import plan_record

PLANE = plane(shape=(120, 200))
GATE = Crossing("gap", shapely.Point(WEST + 90.0, NORTH - 43.0), 4.0, "Gate")
TRACK = Crossing("gap", shapely.LineString([(WEST + 140, NORTH), (WEST + 120, NORTH - 120)]), 3.0, "Track")


def _site(*crossings, **parts):
    return replace(make_site(levels={"levels_m": [108.0, 104.0]}, **parts), crossings=crossings)


@pytest.fixture(scope="module")
def whole():
    """Two swales of 200 m across a plane."""
    return plan(_site(), PLANE)


@pytest.fixture(scope="module")
def gated():
    """The same with a gateway near the upper line, 3 m off it, and a track across both."""
    return plan(_site(GATE, TRACK), PLANE)


def strips(design):
    """Ground that the crossings of a design take."""
    return [row.strip for row in crossing_rows(design.site, design.ground, design.swales)]


def figures(design):
    """What the table says of every swale, but for whose its line is."""
    return [swale_row(swale) | {"state": ""} for swale in design.swales]


def filled(surface):
    """The ground as built with every hollow full, by morphological reconstruction, and the ground itself."""
    ground_m = surface.fine_heights().astype(np.float64)
    known = np.isfinite(ground_m)
    framed = np.pad(np.where(known, ground_m, -1e6), 1, constant_values=-1e6)
    seed = np.where(framed > -1e6, framed.max(), framed)
    water_m = reconstruction(seed, framed, method="erosion")[1:-1, 1:-1]
    return np.where(known, water_m, np.nan), ground_m


def test_a_line_ends_on_both_sides_of_a_gateway_and_of_a_track(whole, gated):
    """A gateway a few metres off the line cuts it in its full width; a track cuts every line that it meets."""
    levels = [round(swale.line.level_m) for swale in gated.swales]
    assert [round(swale.line.level_m) for swale in whole.swales] == [108, 104]
    assert levels == [108, 108, 108, 104, 104]
    assert {line.reason for line in gated.refused} >= {"crossing"}
    west, middle = gated.swales[0].line, gated.swales[1].line
    assert west.xy[-1, 0] + 2.0 < GATE.geometry.x < middle.xy[0, 0] - 2.0
    assert middle.xy[0, 0] - west.xy[-1, 0] < 4.0 + 20.0
    assert all(swale.sill.length_m >= 1.0 for swale in gated.swales)
    assert [row.ends for row in crossing_rows(gated.site, gated.ground, gated.swales)] == [
        ("S1", "S2"),
        ("S2", "S3", "S4", "S5"),
    ]


def test_no_works_and_no_water_stand_in_the_way(gated):
    """Ditch, berm and returns keep off the strip, and on the full ground as built it is dry."""
    water_m, ground_m = filled(gated.surface)
    grid = gated.surface.fine_grid
    x, y = grid.centres(*np.indices(grid.shape))
    for strip in strips(gated):
        assert min(swale.works.distance(strip) for swale in gated.swales) > 0.0
        inside = shapely.contains_xy(strip, x, y) & np.isfinite(ground_m)
        assert inside.any()
        assert (water_m - ground_m)[inside].max() < 0.01
        assert np.abs(ground_m - (100.0 + 0.1 * (y - NORTH + 120.0)))[inside].max() < 0.002


def test_each_half_fills_to_its_sill_and_holds_what_it_claims(gated):
    """An independent filling of the ground as built finds every half's own sill as its lowest way out."""
    water_m, ground_m = filled(gated.surface)
    ponds, _ = label(water_m - ground_m > 1e-6)
    grid = gated.surface.fine_grid
    for swale in gated.swales:
        middle = swale.line.xy[len(swale.line.xy) // 2]
        at = tuple(round(float(place)) for place in grid.rows_columns(*middle))
        assert water_m[at] == pytest.approx(swale.sill.level_m, abs=0.005)
        own = ponds == ponds[at]
        held_m3 = float((water_m - ground_m)[own].sum()) * grid.cell_area_m2
        assert held_m3 == pytest.approx(swale.poured.storage_m3, rel=0.01)
        assert held_m3 == pytest.approx(swale.storage_m3, rel=0.03)
        assert swale.poured.on_sill
        assert swale.held_storm_mm >= 50.0


def test_the_halves_get_what_the_whole_got_but_for_the_way_between(whole, gated):
    """Catchments of the halves are that of the line before, less what runs down gateway and track."""
    (before, *_), parts = whole.swales, gated.swales[:3]
    a_metre_m2 = before.catchment_m2 / (before.line.length_m + 2.0)  # the crests of its returns are 2 m farther apart
    assert 40.0 < a_metre_m2 < 45.0
    for swale in parts:
        assert swale.catchment_m2 == pytest.approx(a_metre_m2 * (swale.line.length_m + 2.0), rel=0.02)
    gaps_m = before.line.length_m - sum(swale.line.length_m for swale in parts)
    lost_m2 = before.catchment_m2 - sum(swale.catchment_m2 for swale in parts)
    assert lost_m2 == pytest.approx(a_metre_m2 * (gaps_m - 4.0), rel=0.1)


def test_lines_that_are_given_are_cut_too_and_those_that_end_beside_are_let_be(whole, gated):
    """Level lines of the designer's own and drawn ones end at a crossing; those of a plan stay as they are."""
    site = _site(GATE, TRACK)
    own = plan(site, PLANE, lines=[swale.line for swale in whole.swales])
    drawn = plan(site, PLANE, lines=[swale.line.xy for swale in whole.swales])
    for design in (own, drawn):
        assert [round(swale.line.level_m) for swale in design.swales] == [108, 108, 108, 104, 104]
        assert "crossing" in {line.reason for line in design.refused}
        assert all(swale.works.distance(strip) > 0.0 for swale in design.swales for strip in strips(design))
    again = plan(site, PLANE, lines=[swale.line for swale in gated.swales])
    assert figures(again) == figures(gated)


def test_a_held_line_is_cut_and_its_longest_part_keeps_its_name(whole):
    """The designer's own line gives way to the designer's own crossing, which is told with the line's name."""
    line = whole.swales[0].line
    held = Lines((DecidedLine("S7", "held", line.xy, level_m=line.level_m),), PLANE.grid.crs)
    design = plan(replace(_site(GATE), lines=held), PLANE)
    parts = {swale.id: swale for swale in design.swales if round(swale.line.level_m) == 108}
    assert list(parts) == ["S8", "S7"]
    assert parts["S7"].line.length_m > parts["S8"].line.length_m > 75.0
    assert ("crossing", "S7") in {(taken.reason, taken.name) for taken in design.refused}
    assert all(swale.works.distance(strip) > 0.0 for swale in design.swales for strip in strips(design))
    again = plan(replace(_site(GATE), lines=design.site.lines), PLANE)
    assert figures(again) == figures(design)


def test_the_way_of_overflow_keeps_off_a_crossing_where_it_can(gated):
    """No sill of the upper line lies so that its water runs down the gateway or the track."""
    assert not any("crossing" in harm for swale in gated.swales for harm in swale.sill.harms)


@pytest.mark.parametrize("seed", range(4))
def test_on_any_ground_works_keep_off_every_crossing(seed):
    """Made hills, gateways and tracks at random: nothing is built in the way, wherever lines are cut."""
    terrain, random = hills(20 + seed), np.random.default_rng(seed)
    west, south, east, north = terrain.grid.bounds
    ways = random.uniform([west, south], [east, north], size=(3, 2))
    crossings = (
        Crossing("gap", shapely.Point(ways[0]), float(random.uniform(1.0, 6.0)), "Gate"),
        Crossing("gap", shapely.LineString(ways[1:]), float(random.uniform(1.0, 6.0)), "Track"),
    )
    lines = {"watercourse_area_m2": 1e5, "least_length_m": 8.0, "greatest_slope": 0.4}
    site = replace(make_site(levels={"interval_m": 1.5}, lines=lines), crossings=crossings)
    design = plan(site, terrain)
    assert design.swales
    assert all(swale.works.distance(strip) > 0.0 for swale in design.swales for strip in strips(design))
    assert any(line.reason == "crossing" for line in design.refused)


def test_a_plan_tells_of_crossings_that_cut_nothing_and_of_long_swales(whole, gated):
    """One sentence a crossing that no line comes to, and one for all long swales."""
    far = Crossing("gap", shapely.Point(WEST + 100.0, NORTH - 118.0), 4.0, "Far gate")
    told = plan(_site(far), PLANE).warnings
    assert "crossing 'Far gate' cuts no line: none comes to it" in told
    assert [note for note in whole.warnings if note.startswith("S1, S2: longer than 150 m")]
    assert not [note for note in gated.warnings if "longer than" in note or "cuts no line" in note]


def test_crossings_stand_on_the_map_and_in_their_layer(gated):
    """The layer has a strip a crossing with the swales beside it; the map shows and explains them."""
    features = PlanLayers(gated)["crossings"]
    assert [row["name"] for _, row in features] == ["Gate", "Track"]
    told = {"kind": "gap", "use": "", "name": "Gate", "width_m": 4.0, "ends": "S1, S2", "beneath": ""}
    assert features[0][1] == told
    assert features[0][0].area == pytest.approx(4.0 * 20.0)
    words = [words for words, _ in legend_entries(plan_content(plan_record(gated)))]
    assert "Crossing" in words


def test_a_point_is_kept_clear_straight_up_and_down_the_ground():
    """The strip of a gateway follows the fall of the ground; on flat ground it is a disc."""
    strip = kept_clear_for(GATE, PLANE).geometry
    assert strip.bounds == pytest.approx((WEST + 88.0, NORTH - 53.0, WEST + 92.0, NORTH - 33.0), abs=1e-6)
    flat = kept_clear_for(GATE, plane(0.0, shape=(120, 200))).geometry
    assert flat.area == pytest.approx(np.pi * 4.0, rel=0.02)
