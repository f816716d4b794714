"""Figures, lettering, tints and the sheet of a plan as a reader sees them."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from matplotlib.colors import to_rgb
from sites import WEST, hills, make_site, plane

from swalekit.contours.obstacles import KeepOut
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import swale_row, totals
from swalekit.grid import Grid
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.paper.label_placement import Label, Spot, label_box, place_labels, spots_along, spots_around
from swalekit.reporting.paper.lettering import text_width_mm, wrap
from swalekit.reporting.paper.outlines import middle_of, tint_numbers
from swalekit.reporting.paper.palette import CATCHMENT_ALPHA, CATCHMENT_TINTS
from swalekit.reporting.paper.table import fit_table
from swalekit.reporting.words.shown import area_shown, listed, number, shown, swales_shown
from swalekit.results.plan.record import plan_record
from swalekit.terrain.terrain import Terrain


@pytest.mark.parametrize(
    ("ids", "expected"),
    [([], ""), (["S1"], "S1"), (["S2", "S1"], "S1, S2"), (["S3", "S4", "S5", "S9"], "S3–S5, S9")],
)
def test_runs_of_swales_are_joined(ids, expected):
    """Three or more in a row become a range."""
    assert listed(ids) == expected


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        (0.3048, "m", "1 ft"),
        (25.4, "mm", "1.0 in"),
        (4046.8564224, "m2", "1.00 acres"),
        (7.64554857984, "m3", "10 yd³"),
        (37.85411784, "L/d", "10 gal/d"),
    ],
)
def test_us_units(value, unit, expected):
    """Foot, inch, acre, cubic yard, gallon."""
    assert shown(value, unit, units="us") == expected


def test_a_number_without_its_unit_and_hectares():
    """For tables whose header names the unit; areas in hectares."""
    assert number(1234.5, "m", units="metric", decimals=1) == "1,234.5"
    assert number(None, "m", units="metric") == "–"
    assert area_shown(15_000.0, units="metric") == "1.50 ha"


@pytest.mark.parametrize(
    ("ids", "of", "expected"),
    [
        (["S1", "S2"], 4, "S1, S2"),
        (["S1", "S2", "S4"], 4, "most swales: 3 of 4"),
        (["S1", "S2", "S3", "S4"], 4, "all 4 swales"),
        (["S1"], 1, "S1"),
        (["S2", "S1"], 3, "most swales: 2 of 3"),
    ],
)
def test_most_swales_are_counted(ids, of, expected):
    """Where more than half share something, their count stands in place of their numbers."""
    assert swales_shown(ids, of=of) == expected


# --- lettering -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width_mm", [8.0, 20.0, 55.0])
def test_wrapped_lines_fit_and_keep_every_letter(width_mm):
    """No line is wider than the room and no letter is lost."""
    text = "Hold each drop on the hillside as long as the ground can take it, in Llanfairpwllgwyngyllgogerychwyrn"
    lines = wrap(text, width_mm, 7.0)
    assert max(text_width_mm(line, 7.0) for line in lines) <= width_mm
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_labels_avoid_one_another():
    """Labels that all prefer one place end up side by side."""
    spots = spots_around((100.0, 100.0, 100.0, 100.0), 30.0, 8.0)
    labels = [Label(30.0, 8.0, spots) for _ in range(4)]
    chosen = place_labels(labels, shapely.box(0, 0, 200, 200))
    boxes = [label_box(label, spot) for label, spot in zip(labels, chosen, strict=True)]
    assert shapely.union_all(boxes).area == pytest.approx(4 * 30 * 8)


def test_optional_label_gives_way():
    """An optional label is left out where only a taken place remains."""
    label = Label(10.0, 5.0, [Spot(20.0, 20.0)], optional=True)
    room, stone = shapely.box(0, 0, 40, 40), shapely.box(15, 15, 25, 25)
    assert place_labels([label], room) == [Spot(20.0, 20.0)]
    assert place_labels([label], room, taken=[stone]) == [None]


def test_lettering_on_a_line_reads_from_below():
    """A line drawn backward carries its name no more upside down than one drawn forward."""
    line = np.array([[0.0, 0.0], [60.0, 20.0], [120.0, 40.0]])
    for path in (line, line[::-1]):
        assert spots_along(path, 20.0)[0].angle_deg == pytest.approx(np.degrees(np.arctan(1 / 3)))


def test_wide_table_is_set_smaller_and_stays_within_its_width():
    """Columns never add up to more than the panel is wide."""
    rows = tuple((f"swale with a rather long name {k}", *["123456.78"] * 5) for k in range(4))
    layout = fit_table(("Swale", *["Held storm [mm]"] * 5), rows, 100.0, 80.0)
    assert layout.size_pt < 7.5
    assert sum(layout.column_widths_mm) == pytest.approx(100.0)


# --- tints -----------------------------------------------------------------------------------------------------------


def test_neighbouring_catchments_differ_in_tint():
    """Squares that touch, at corners too, share no tint of four; the same squares take the same tints again."""
    squares = [shapely.box(x, y, x + 1, y + 1) for y in range(5) for x in range(5)]
    tints = tint_numbers(squares, 4)
    pairs = [(a, b) for a, b in shapely.STRtree(squares).query(squares, predicate="intersects").T if a != b]
    assert all(tints[a] != tints[b] for a, b in pairs)
    assert tint_numbers(squares, 4) == tints
    assert set(tint_numbers(squares, 3)) == {0, 1, 2}


def test_tints_differ_in_lightness():
    """In grey print, laid over white, any two of them are at least 3 % apart."""
    grey = sorted(1 - CATCHMENT_ALPHA * (1 - np.dot(to_rgb(tint), (0.299, 0.587, 0.114))) for tint in CATCHMENT_TINTS)
    assert np.diff(grey).min() > 0.03


# --- the sheet of a plan -------------------------------------------------------------------------------------------


def content_of(design):
    """What the sheet of a design shows."""
    return plan_content(plan_record(design))


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_table_shows_the_figures_of_the_files(units):
    """Every cell is a rounded figure of the tables that are written, in the reader's units."""
    design = plan(make_site(site={"units": units}), plane())
    content = content_of(design)
    assert [head.split("\n")[0] for head in content.header] == [
        "Swale", "Level", "Length", "Depth", "Crest", "Sill", "Dug", "Stores", "Holds",
    ]  # fmt: skip
    per_m, per_m3, per_mm = (1 / 0.3048, 1 / 0.764554857984, 1 / 25.4) if units == "us" else (1.0, 1.0, 1.0)
    for swale, (name, *cells) in zip(design.swales, content.table, strict=True):
        row = swale_row(swale)
        lengths = [f"{row[key] * per_m:.{n}f}" for key, n in (("level_m", 2), ("length_m", 0), ("depth_m", 2))]
        levels = [f"{row[key] * per_m:.2f}" for key in ("crest_m", "sill_m")]
        volumes = [f"{row[key] * per_m3:,.0f}" for key in ("dug_m3", "storage_m3")]
        held = f"{row['held_storm_mm'] * per_mm:.{2 if units == 'us' else 1}f}"
        assert [name, *cells] == [swale.id, *lengths, *levels, *volumes, held]
    facts = dict(content.facts)
    assert facts["Swales"].startswith(f"{len(design.swales)} · ")
    assert facts["Storage when full"].split()[0] == f"{totals(design)['storage_m3'] * per_m3:,.0f}"


def test_the_section_in_words_and_figures():
    """Its words are the brief's, its drawing the depth, crest and sill of the swale that stores most."""
    design = plan(make_site(section={"bench_m": 0.45, "downhill_side_slope": 2.0}), plane())
    content, largest = content_of(design), max(design.swales, key=lambda swale: swale.storage_m3)
    section = content.section
    assert content.section_words == (
        "Floor 0.6 m, sides 1.5:1 uphill and 2:1 downhill, bench 0.45 m, berm faces 2:1, crest 0.5 m, freeboard 0.15 m"
    )
    assert section.swale == largest.id
    assert -section.xy[1, 1] == pytest.approx(largest.sized.shape.depth_m)
    assert section.xy[5, 1] - section.sill_m == pytest.approx(0.15)
    assert np.diff(section.xy[[3, 4], 0])[0] == pytest.approx(0.45)


def test_every_pond_bears_the_numbers_of_its_hollows():
    """The lowest cell of a hollow lies in the pond that is named after it; all that hold water are named."""
    design = plan(make_site(), hills())
    named = {name: pond for name, pond in content_of(design).ponds if name}
    lowest = {hollow.id: shapely.Point(hollow.xy) for hollow in design.hollows}
    assert named
    for name, pond in named.items():
        assert all(pond.contains(lowest[hollow]) for hollow in name.split(", "))


def test_cautions_say_where_and_what_to_do():
    """Swales of one caution stand together with its advice; a keep-out keeps its name."""
    design = plan(make_site(soil={"curve_number": 80.0, "intake_mm_h": 0.5}), plane())
    house = KeepOut("building", shapely.box(WEST, 0, WEST + 5, 5), 5.0, "House")
    content = content_of(replace(design, site=replace(design.site, keep_outs=(house,))))
    first, count = content.cautions[0], len(design.swales)
    assert first.startswith(f"Stands long (all {count} swales): not dry within 72 h")
    assert sum("tands long" in caution for caution in content.cautions) == 1
    assert content.keep_outs[0][:2] == ("building", "House")


def test_a_sill_on_a_ring_may_cross_its_first_station():
    """The stretch drawn is as long as the sill and centred on it, also where the ring closes."""
    row, column = np.mgrid[:140, :140] - 69.5
    cone = Terrain.from_heights(120.0 - 0.1 * np.hypot(row, column), Grid.from_corner((140, 140), cell_m=1.0))
    design = plan(make_site(levels={"levels_m": [115.0]}), cone)
    (ring,) = design.swales
    assert ring.line.closed
    for chainage_m in (0.0, 0.6 * ring.line.length_m):
        sill = replace(ring.sill, chainage_m=chainage_m, length_m=8.0)
        (stretch,) = content_of(replace(design, swales=(replace(ring, sill=sill),))).sills.values()
        path = shapely.LineString([*ring.line.xy, ring.line.xy[0]])
        assert shapely.LineString(stretch).length == pytest.approx(8.0)
        assert shapely.Point(middle_of(stretch)).distance(path.interpolate(chainage_m)) < 1e-6
