"""Maps, sheets and charts: what is drawn is true to scale, complete and the same each time."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from matplotlib.figure import Figure
from matplotlib.text import Text
from read_back import words

from swalekit.design.plan.record import SwaleSection
from swalekit.errors import InputError, OutputError
from swalekit.grid import Grid
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.furniture import round_length
from swalekit.reporting.map.legend import legend_entries
from swalekit.reporting.map.map import draw_map
from swalekit.reporting.map.relief import hillshade, reference_contours, terrain_in_view
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.map.view import MapView, round_scale
from swalekit.reporting.paper.paper import PAPERS_MM
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.terrain.terrain import Terrain

WEST, NORTH = 500_000.0, 4_000_000.0

SECTION_WORDS = "Floor 0.6 m, bench 0.3 m"
SECTION = SwaleSection(
    "L1",
    np.column_stack([(-1.2, -0.3, 0.3, 0.9, 1.2, 2.2, 2.7, 4.4), (0.12, -0.5, -0.5, -0.09, -0.12, 0.4, 0.4, -0.44)]),
    slope=0.1,
    sill_m=0.25,
)


def hillside(rows=60, columns=80, cell_m=2.0):
    """A plane that falls south at 10 % under a gentle wave."""
    y, x = np.mgrid[:rows, :columns] * cell_m
    heights = 500.0 - 0.1 * y + 0.8 * np.sin(x / 30.0)
    return Terrain.from_heights(heights, Grid.from_corner((rows, columns), cell_m=cell_m, west_m=WEST, north_m=NORTH))


def site(line_count=3, **changes):
    """A small site with one of everything on its map."""
    x = np.linspace(WEST + 30, WEST + 130, 40)
    levels = np.linspace(NORTH - 20, NORTH - 100, max(line_count, 1))[:line_count]
    lines = {f"L{k}": np.column_stack([x, y + 2 * np.sin(x / 9)]) for k, y in enumerate(levels)}
    house = shapely.box(WEST + 60, NORTH - 85, WEST + 70, NORTH - 78)
    content = MapContent(
        title="Ladera Ñorquíña",
        terrain=hillside(),
        subtitle="three lines",
        boundary=shapely.box(WEST + 20, NORTH - 110, WEST + 140, NORTH - 10),
        lines=lines,
        catchments={name: shapely.LineString(path).buffer(6, single_sided=True) for name, path in lines.items()},
        sills={name: path[9:12] for name, path in lines.items()},
        sill_paths=tuple(path[10] + np.array([[0.0, 0.0], [0.0, -8.0]]) for path in lines.values()),
        keep_outs=(
            ("building", "Barn", house, house.buffer(5)),
            ("well", "", shapely.Point(WEST + 100, NORTH - 60), None),
        ),
        watercourses=(np.array([[WEST + 50, NORTH - 10], [WEST + 55, NORTH - 110]]),),
        ponds=(("hollow", shapely.Point(WEST + 120, NORTH - 60).buffer(4)),),
        refused=(("setback", np.array([[WEST + 60, NORTH - 95], [WEST + 75, NORTH - 95]])),),
        header=("Swale", "Level [m]"),
        table=tuple((name, f"{490.0 - k:.2f}") for k, name in enumerate(lines)),
        facts=(("Dug", "120 m³"), ("Cost", "$ 900")),
        section=SECTION,
        section_words=SECTION_WORDS,
        cautions=("Level on site before digging.",),
        credits=("Drawn for a test.",),
    )
    return replace(content, **changes)


# --- scale ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", sorted(PAPERS_MM))
@pytest.mark.parametrize("units", ["metric", "us"])
def test_sheet_scale_is_true_and_round(paper, units):
    """Millimetres on paper times the printed denominator are metres on the ground, both ways."""
    figure = map_sheet(site(units=units), paper=paper)
    axes = figure.axes[0]
    figure.draw_without_rendering()
    width_m, height_m = np.ptp(axes.get_xlim()), np.ptp(axes.get_ylim())
    box_in = axes.get_window_extent().width / figure.dpi, axes.get_window_extent().height / figure.dpi
    denominators = width_m / (box_in[0] * 0.0254), height_m / (box_in[1] * 0.0254)
    printed = float(next(text for text in words(figure) if text.startswith("Scale")).split(":")[1].strip(" )"))
    assert denominators == pytest.approx((printed, printed), rel=1e-3)
    leading = printed / 12 if units == "us" else printed
    assert leading / 10 ** np.floor(np.log10(leading)) in (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.5)


@pytest.mark.parametrize("size_m", [(60, 400), (400, 60), (5, 5), (12_000, 9_000)])
def test_site_fits_its_frame_at_the_largest_round_scale(size_m):
    """The site is inside the frame, and the next larger scale would not hold it."""
    bounds = (0.0, 0.0, *map(float, size_m))
    scale = round_scale(bounds, (280.0, 260.0), units="metric")
    ground = np.array([280.0, 260.0]) / 1000 * scale
    assert (ground >= size_m).all()
    larger = [s for s in (200, 250, 500, 750, 1000, 1500, 2000, 2500, 5000, 7500, 10_000, 15_000, 25_000) if s < scale]
    assert not larger or (np.array([280.0, 260.0]) / 1000 * larger[-1] < size_m).any()


def test_scale_bar_lengths_are_round():
    """Each part of the bar is 1, 2 or 5 times a power of ten and fits the room."""
    assert [round_length(room) for room in (1.0, 1.99, 4.9, 5.0, 730.0)] == [1.0, 1.0, 2.0, 5.0, 500.0]


def test_unknown_paper_fails():
    """A paper that isn't stocked is named with those that are."""
    with pytest.raises(InputError, match=r"paper is 'A9'; it must be one of A4, A3"):
        map_sheet(site(), paper="A9")


# --- what is on it -------------------------------------------------------------------------------------------------


def test_draw_map_gives_back_its_axes_framed_on_the_site():
    """The axes that went in come out, and show the whole boundary at one scale both ways."""
    axes = Figure(figsize=(6, 4)).subplots()
    content = site()
    assert draw_map(content, axes) is axes
    assert MapView.of_axes(axes).rectangle.contains(content.boundary)
    assert axes.get_aspect() == 1.0


def test_draw_map_keeps_limits_that_were_set():
    """Axes with limits of their own are not framed anew."""
    axes = Figure(figsize=(4, 4)).subplots()
    axes.set(xlim=(WEST + 40, WEST + 80), ylim=(NORTH - 80, NORTH - 40))
    draw_map(site(), axes)
    assert axes.get_xlim() == (WEST + 40, WEST + 80)


@pytest.mark.parametrize("count", [1, 3, 30])
def test_every_line_is_named_on_the_map(count):
    """Each line's name stands on the map itself, once."""
    axes = map_sheet(site(line_count=count)).axes[0]
    names = [text.get_text() for text in axes.texts]
    assert [names.count(f"L{k}") for k in range(count)] == [1] * count


def test_line_names_stand_on_their_lines():
    """A name's centre is no farther from its own line than half its lettering."""
    content = site()
    axes = map_sheet(content).axes[0]
    allowed_m = MapView.of_axes(axes).metres(1.5)
    for name, path in content.lines.items():
        at = next(text.get_position() for text in axes.texts if text.get_text() == name)
        assert shapely.LineString(path).distance(shapely.Point(at)) < allowed_m


def test_name_of_scattered_ponds_stands_beside_the_largest():
    """An area in several parts is named at its largest part, not between them."""
    large, small = shapely.Point(WEST + 40, NORTH - 90).buffer(6), shapely.Point(WEST + 125, NORTH - 25).buffer(2)
    axes = map_sheet(site(ponds=(("two ponds", large.union(small)),))).axes[0]
    at = next(text.get_position() for text in axes.texts if text.get_text() == "two ponds")
    assert large.distance(shapely.Point(at)) < MapView.of_axes(axes).metres(12.0)


def test_keep_outs_bear_their_names():
    """A name stands where there is one, without what follows its comma if it is long; else the kind, once."""
    here = [shapely.Point(WEST + x, NORTH - 60) for x in (40, 70, 100, 125)]
    names = ("", "", "Old walnut", "Oak of the upper spring, planted by the grandfather")
    keep_outs = tuple(("tree", name, place, None) for name, place in zip(names, here, strict=True))
    axes = map_sheet(site(line_count=1, keep_outs=keep_outs)).axes[0]
    lettered = [text.get_text() for text in axes.texts if text.get_text()[0].isalpha()]
    assert sorted(lettered) == ["L0", "Oak of the upper spring", "Old walnut", "hollow", "tree"]


def test_point_keep_outs_differ_by_kind():
    """Well, tree and other points have marks of their own."""
    place = shapely.Point(WEST + 50, NORTH - 50)
    content = site(keep_outs=tuple((kind, "", place, None) for kind in ("well", "tree", "building")))
    entries = dict(legend_entries(content))
    marks = [sample.get_marker() for words in ("Well", "Tree", "Building") for sample in entries[words]]
    assert len(set(marks)) == 3


def test_a_kind_drawn_in_two_ways_has_both_in_the_legend():
    """A tree that is a point and one that is an area are explained side by side."""
    place = shapely.Point(WEST + 50, NORTH - 50)
    entries = dict(legend_entries(site(keep_outs=(("tree", "", place, None), ("tree", "", place.buffer(5), None)))))
    assert len(entries["Tree"]) == 2


def test_dashed_lines_differ_without_colour():
    """Spill paths, refused stretches, setbacks and the boundary have dashes of their own."""
    names = ("Path of spill water", "Refused stretch", "Setback", "Site boundary")
    dashes = [sample._unscaled_dash_pattern for words, sample in legend_entries(site()) if words in names]
    assert len(dashes) == len({tuple(dash[1]) for dash in dashes}) == 4


def test_a_failing_berm_and_those_it_overtops_are_told_apart_without_colour():
    """Crosses on the one, strokes across the others; each in the legend only where it occurs."""
    failing = site(failing=("L0",), overtopped=("L1", "L2"))
    entries = dict(legend_entries(failing))
    assert {entries[words].get_marker() for words in ("Failing berm", "Overtopped by it")} == {"X", "|"}
    assert not {"Failing berm", "Overtopped by it"} & {words for words, _ in legend_entries(site())}
    axes = map_sheet(failing).axes[0]
    (crosses,) = [line for line in axes.lines if line.get_marker() == "X"]
    marks = shapely.points(np.column_stack(crosses.get_data()))
    assert shapely.distance(marks, shapely.LineString(failing.lines["L0"])).max() < 1e-6
    strokes = [stroke for stroke in axes.collections if stroke.get_zorder() == 7.9]
    assert [len(stroke.get_segments()) for stroke in strokes] == [2]


def test_setback_within_the_boundary_is_drawn():
    """The land that may be worked is outlined and explained."""
    inside = site(keep_outs=(), workable=shapely.box(WEST + 26, NORTH - 104, WEST + 134, NORTH - 16))
    drawn = [shapely.MultiPoint(patch.get_path().vertices).bounds for patch in map_sheet(inside).axes[0].patches]
    assert inside.workable.bounds in drawn
    assert "Setback" in dict(legend_entries(inside))
    assert "Setback" not in dict(legend_entries(site(keep_outs=())))


def test_section_is_lettered_and_drawn_where_there_is_room():
    """Its phrase is always there; its dimensions stand on the drawing, which gives way to table and cautions."""
    dimensions = {"floor 0.60", "bench 0.30", "crest 0.50", "freeboard 0.15 m", "0.50", "drawn: L1, 1 : 75"}
    assert set(words(map_sheet(site()))) >= dimensions | {SECTION_WORDS}
    full = words(map_sheet(site(cautions=tuple(f"Caution {k}." for k in range(60)))))
    assert SECTION_WORDS in full
    assert not dimensions & set(full)


def test_sill_mark_stands_on_the_middle_of_its_stretch():
    """The mark lies half way along the sill, the sill itself is drawn to its length."""
    stretch = np.array([[WEST + 40.0, NORTH - 50.0], [WEST + 52.0, NORTH - 50.0]])
    axes = map_sheet(site(sills={"L0": stretch})).axes[0]
    marks = [
        tuple(np.asarray(collection.get_offsets())[0])
        for collection in axes.collections
        if len(collection.get_offsets()) == 1
    ]
    assert (WEST + 46.0, NORTH - 50.0) in marks
    assert any(
        np.array_equal(path.vertices, stretch) for collection in axes.collections for path in collection.get_paths()
    )


def test_empty_content_makes_a_sheet():
    """Bare ground with neither boundary nor lines nor words still gives a map with its scale."""
    figure = map_sheet(MapContent("", hillside()))
    assert any(text.startswith("Scale 1 :") for text in words(figure))
    assert legend_entries(MapContent("", hillside())) == []


def test_site_beyond_the_terrain_makes_a_sheet():
    """A boundary that lies off the tile gives a sheet without relief rather than an error."""
    figure = map_sheet(site(boundary=shapely.box(0, 0, 100, 100)))
    assert not figure.axes[0].images


@pytest.mark.parametrize("words_given", ["A $x_1$ stone", "مزرعة", "x" * 300, "two\nlines", "Größe – Ñ"])
def test_any_words_are_drawn_as_they_are(words_given, tmp_path):
    """Dollar signs are no formulas, and endless words don't run out of the panel."""
    figure = map_sheet(site(title=words_given, cautions=(words_given,), facts=((words_given, words_given),)))
    save_png(figure, tmp_path / "sheet.png", dpi=40)
    panel = figure.axes[1]
    assert not any(text.get_parse_math() for text in figure.findobj(Text) if "$" in text.get_text())
    right_edge = panel.get_window_extent().x1 + 0.03 * figure.bbox.width
    assert all(text.get_window_extent().x1 <= right_edge for text in panel.texts)


def test_letters_the_font_lacks_pass_silently(tmp_path):
    """A title in a script without glyphs is drawn as boxes; warnings are errors here."""
    path = save_png(map_sheet(site(title="農場", lines={"農": site().lines["L0"]})), tmp_path / "a.png", dpi=40)
    assert path.stat().st_size > 0


@pytest.mark.parametrize("count", [40, 200])
def test_table_shows_or_counts_every_line(count):
    """Rows that find no room are counted in a last line; nothing is set smaller than 6 pt."""
    rows = tuple((f"R{k}", f"{k}.00") for k in range(count))
    figure = map_sheet(site(table=rows))
    shown = sum(text.startswith("R") and text[1:].isdigit() for text in words(figure))
    left_out = [int(text.split()[2]) for text in words(figure) if text.endswith("more in earthwork.csv")]
    assert shown + sum(left_out) == count
    assert shown >= 40
    assert min(text.get_fontsize() for text in figure.axes[1].texts) >= 6.0


def test_cautions_are_shown_whole_or_counted():
    """Cautions beyond the room are counted, and leave the table some rows."""
    figure = map_sheet(site(cautions=tuple(f"Caution {k}: keep clear of the edge." for k in range(300))))
    shown = sum(text.startswith("– Caution") for text in words(figure))
    left_out = next(int(text.split()[2]) for text in words(figure) if text.endswith("more in summary.json"))
    assert shown + left_out == 300
    assert "L0" in [text.get_text() for text in figure.axes[1].texts]


@pytest.mark.parametrize("count", [4, 8, 11])
def test_cautions_are_set_smaller_before_the_table_is_cut(count):
    """Where both are whole in the smallest lettering, both are whole."""
    rows, sentence = tuple((f"R{k}", f"{k}.00") for k in range(48)), "Keep clear of the edge and of the machine. " * 3
    figure = map_sheet(site(table=rows, cautions=(sentence,) * count, section=None))
    assert not [text for text in words(figure) if " more in " in text]


def test_panel_lettering_does_not_overlap():
    """No two pieces of lettering in the panel lie on one another."""
    figure = map_sheet(site(line_count=30), paper="A4")
    figure.draw_without_rendering()
    boxes = [shapely.box(*text.get_window_extent().extents) for text in figure.axes[1].texts if text.get_text()]
    tree = shapely.STRtree(boxes)
    pairs = [(a, b) for a, b in tree.query(boxes, predicate="intersects").T if a < b]
    assert all(boxes[a].intersection(boxes[b]).area < 0.2 * min(boxes[a].area, boxes[b].area) for a, b in pairs)


def test_us_sheet_speaks_feet():
    """Scale, bar and contour interval are in feet where the reader's units are."""
    text = " ".join(words(map_sheet(site(units="us"))))
    assert " ft (1 :" in text
    assert "Grey contours every" in text
    assert text.split("Grey contours every ")[1].split(",")[0].endswith(" ft")


def test_unknown_units_fail():
    """Units other than metric and us are refused with the nearest of them."""
    with pytest.raises(InputError, match=r"units is 'metrics'.*did you mean 'metric'"):
        site(units="metrics")


# --- bytes ---------------------------------------------------------------------------------------------------------


def test_same_content_gives_same_bytes(tmp_path):
    """Two sheets from equal content are equal files."""
    for kind, save in {"png": save_png, "pdf": lambda sheet, path: save_pdf([sheet], path)}.items():
        first, second = (save(map_sheet(site()), tmp_path / f"{name}.{kind}") for name in ("a", "b"))
        assert first.read_bytes() == second.read_bytes()


def test_unwritable_place_fails(tmp_path):
    """A folder that isn't there is named in one line."""
    with pytest.raises(OutputError, match=r"drawing can't be written to .*choose another folder"):
        save_png(Figure(), tmp_path / "missing" / "map.png")


# --- ground --------------------------------------------------------------------------------------------------------


def test_hillshade_of_planes():
    """A plane square to the light is fully lit, a level one sin 45°, one parallel to the light dark."""
    y, x = np.mgrid[:6, :6].astype(np.float32)
    toward = (x + y) / np.sqrt(2)  # y counts southward: rises to the south-east, faces the north-west at 45°
    for heights, expected in ((toward, 1.0), (0 * x, np.sqrt(0.5)), (-toward, 0.0)):
        assert hillshade(heights.astype(np.float32), 1.0)[2:4, 2:4] == pytest.approx(expected, abs=1e-6)


def test_large_terrain_is_averaged_down_to_the_view():
    """The image holds no more cells than asked for, covers the view and keeps the mean height."""
    ground = hillside(rows=300, columns=400, cell_m=0.5)
    view = MapView(WEST + 10, NORTH - 120, WEST + 170, NORTH - 20, 1.0)
    part = terrain_in_view(ground, view, greatest_side=50)
    assert max(part.grid.shape) <= 50
    assert part.grid.bounds[0] <= view.west_m
    assert part.grid.bounds[3] >= view.north_m
    inside = ground.heights[40:240, 20:340]
    assert np.nanmean(part.heights) == pytest.approx(inside.mean(), abs=0.1)


def test_reference_contours_lie_on_their_level():
    """On a plane that falls south at 10 %, each contour is a line at the northing of its level."""
    heights = 500.0 - 0.1 * (np.arange(60)[:, None] * 2.0 + 1.0) + np.zeros((1, 80))
    ground = Terrain.from_heights(heights, Grid.from_corner((60, 80), cell_m=2.0, west_m=WEST, north_m=NORTH))
    view = MapView(WEST, NORTH - 120, WEST + 160, NORTH, 72 / 25.4)
    interval, contours = reference_contours(ground, view, units="metric")
    assert interval == 0.5
    inner = [contour for contour in contours if 489 < contour.level_m < 499]
    assert len(inner) == 19
    for contour in inner:
        assert contour.xy[:, 1] == pytest.approx(NORTH - (500.0 - contour.level_m) / 0.1, abs=0.05)
