"""Banks over pipes and fords on swales that go on beneath them: what is told holds on the ground as built."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from matplotlib.tri import LinearTriInterpolator, Triangulation
from scipy.ndimage import label
from sites import NORTH, WEST, make_site, plane
from skimage.morphology import reconstruction

from swalekit.contours.crossing import Crossing
from swalekit.design.layout.kept_clear import crossing_strips
from swalekit.design.plan.crossings import CROSSING_COLUMNS, crossing_table
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import swale_row
from swalekit.design.survey.stakeout import laid_swales, stake_design
from swalekit.earthwork.built_ground import build_ground
from swalekit.errors import InputError
from swalekit.flow.mixed_cells import MixedCells
from swalekit.kernels.earthwork_surface import CROSSING
from swalekit.reporting.map.legend import legend_entries
from swalekit.reporting.map.plan_map import plan_content
from swalekit.results.plan.layers import PlanLayers
from swalekit.results.plan.record import plan_record
from swalekit.section.culvert import full_flow_m3s
from swalekit.section.footprint import crossing_areas
from swalekit.staking.breaklines import breaklines
from swalekit.staking.tin import triangulate

PLANE = plane(shape=(120, 200))
TRACK = Crossing("pipe", shapely.LineString([(WEST + 140, NORTH), (WEST + 132, NORTH - 120)]), 4.0, "Track", "track")
WADE = Crossing("ford", shapely.LineString([(WEST + 60, NORTH), (WEST + 60, NORTH - 120)]), 3.0, "Wade", "livestock")


def _site(*crossings, **parts):
    return replace(make_site(levels={"levels_m": [108.0, 104.0]}, **parts), crossings=crossings)


@pytest.fixture(scope="module")
def crossed():
    """Two swales of 200 m across a plane, a track with pipes and a ford over both."""
    return plan(_site(TRACK, WADE), PLANE)


def full_m3(design, *, with_pipes):
    """Water in every swale by morphological reconstruction, and its level at the middle of each part of its line."""
    surface = design.surface
    ground_m = surface.fine_heights().astype(np.float64)
    grid, known = surface.fine_grid, np.isfinite(ground_m)
    for swale in design.swales if with_pipes else ():
        for way in swale.crossings:
            if way.bed is not None:
                half_m = way.bed.length_m / 2.0 + 0.5
                along_m = way.bed.chainage_m + np.linspace(-half_m, half_m, 200)
                rows, columns = grid.rows_columns(*swale.line.at(swale.line.xy.T, along_m))
                at = np.rint(rows).astype(int), np.rint(columns).astype(int)
                ground_m[at] = np.minimum(ground_m[at], way.bed.invert_m)
    framed = np.pad(np.where(known, ground_m, -1e6), 1, constant_values=-1e6)
    water_m = reconstruction(np.where(framed > -1e6, framed.max(), framed), framed, method="erosion")[1:-1, 1:-1]
    depth_m = np.where(known, water_m - surface.fine_heights(), 0.0)
    under = np.zeros(depth_m.shape, bool)
    under[np.isfinite(depth_m) & (water_m - ground_m > depth_m + 1e-6)] = True
    ponds, _ = label(np.where(known, water_m - ground_m, 0.0) > 1e-6, structure=np.ones((3, 3)))
    found = []
    for swale in design.swales:
        ends = [0.0, *(way.works.place.chainage_m for way in swale.crossings), swale.line.length_m]
        middles = swale.line.at(swale.line.xy.T, [(a + b) / 2.0 for a, b in pairwise(ends)]).T
        cells = [tuple(round(float(place)) for place in grid.rows_columns(*xy)) for xy in middles]
        own = np.isin(ponds, [ponds[cell] for cell in cells]) & (depth_m > 0.0) & ~under
        found.append((float(depth_m[own].sum()) * grid.cell_area_m2, [float(water_m[cell]) for cell in cells]))
    return found


def test_a_line_goes_on_beneath_a_bank_and_a_ford(crossed):
    """One swale each, cut nowhere, with its crossings in the order of its line."""
    assert [round(swale.line.level_m) for swale in crossed.swales] == [108, 104]
    assert [[way.works.place.crossing.name for way in swale.crossings] for swale in crossed.swales] == [
        ["Wade", "Track"],
        ["Wade", "Track"],
    ]
    assert not [line for line in crossed.refused if line.reason == "crossing"]


def test_the_halves_fill_to_one_sill_and_hold_what_is_told(crossed):
    """Filled independently, pipes opened: every part to the sill's level, storage as sized and as poured."""
    for swale, (held_m3, levels_m) in zip(crossed.swales, full_m3(crossed, with_pipes=True), strict=True):
        assert levels_m == pytest.approx([swale.sill.level_m] * 3, abs=0.005)
        assert held_m3 == pytest.approx(swale.storage_m3, rel=0.01)
        assert held_m3 == pytest.approx(swale.poured.storage_m3, rel=0.01)
        assert swale.poured.on_sill
        assert swale.held_storm_mm >= 50.0


def test_without_its_pipe_a_half_has_no_sill(crossed):
    """The bank is higher than the crest: water of the part without the sill would go over its berm."""
    for swale, (_, levels_m) in zip(crossed.swales, full_m3(crossed, with_pipes=False), strict=True):
        assert max(levels_m) > swale.sill.level_m + 0.1
        assert max(levels_m) <= swale.sized.shape.crest_level_m + 0.01


def test_the_soil_of_banks_and_fords_is_that_of_the_ground_as_built(crossed):
    """The same swales with and without crossings: the difference of cut and fill is what each tells."""
    lines = [swale.line for swale in crossed.swales]
    shapes = [swale.sized.shape for swale in crossed.swales]
    bare = [replace(shape, stations=replace(shape.stations, crossings=())) for shape in shapes]
    sills = [(swale.sill.chainage_m, swale.sill.length_m) for swale in crossed.swales]
    with_m3, without_m3 = (build_ground(PLANE, lines, each, sills=sills) for each in (shapes, bare))
    for number, swale in enumerate(crossed.swales):
        fill_m3 = sum(way.works.fill_m3 for way in swale.crossings)
        cut_m3 = sum(way.works.cut_m3 for way in swale.crossings)
        assert with_m3.fill_m3[number] - without_m3.fill_m3[number] == pytest.approx(fill_m3, rel=0.02)
        assert with_m3.cut_m3[number] - without_m3.cut_m3[number] == pytest.approx(cut_m3, abs=0.1)
    assert (crossed.surface.short_soil_m3 == 0.0).all()


def test_pipes_carry_what_must_pass_them(crossed):
    """The least pipe whose full flow under the head that the freeboard leaves is enough; its crown below the sill."""
    for swale in crossed.swales:
        ford, pipe = swale.crossings
        shape = swale.sized.shape
        assert pipe.head_m == pytest.approx(0.5 * swale.routed.freeboard_m)
        assert pipe.carries_m3s == pytest.approx(
            pipe.pipes * full_flow_m3s(pipe.pipe_m, pipe.head_m, pipe.works.pipe_length_m)
        )
        assert pipe.carries_m3s >= pipe.flow_m3s > 0.0
        assert pipe.bed.invert_m + pipe.pipe_m <= shape.sill_level_m
        assert pipe.works.top_m - pipe.bed.invert_m - pipe.pipe_m >= 0.3
        assert ford.carries_m3s >= ford.flow_m3s > 0.0
        assert not swale.sill.chainage_m - swale.sill.length_m / 2.0 < 140.0 - 4.0 < swale.sill.chainage_m
    parts_m3s = [way.flow_m3s for way in crossed.swales[0].crossings]
    assert parts_m3s[0] / parts_m3s[1] == pytest.approx(60.0 / 65.0, rel=0.2)


def test_the_ramps_keep_off_other_works(crossed):
    """All that is built of a crossing lies within the footprint of its swale, and footprints don't overlap."""
    upper, lower = (swale.works for swale in crossed.swales)
    assert upper.intersection(lower).area == pytest.approx(0.0, abs=0.01)
    surface = crossed.surface
    cells = MixedCells(surface.grid, surface.k, surface.block, surface.heights)
    xy = np.column_stack(cells.centres(np.flatnonzero(surface.part == CROSSING)))
    assert len(xy) * surface.fine_cell_m**2 > 100.0
    assert shapely.contains_xy(shapely.union_all([upper, lower]).buffer(0.3), *xy.T).all()


def test_the_table_tells_every_crossing_once_a_swale(crossed):
    """Kind, place, pipe with its inverts, soil, stone and caution; the layer has strips and what is built."""
    rows = crossing_table(crossed)
    assert [(row["crossing"], row["kind"], row["swale"]) for row in rows] == [
        ("Track", "pipe", "S1"),
        ("Track", "pipe", "S2"),
        ("Wade", "ford", "S1"),
        ("Wade", "ford", "S2"),
    ]
    assert [list(row) for row in rows] == [[column.name for column in CROSSING_COLUMNS]] * 4
    assert (
        rows[0]["invert_start_m"] == rows[0]["invert_stop_m"] == round(crossed.swales[0].sized.shape.floor_level_m, 2)
    )
    assert rows[0]["stone_m3"] is None
    assert rows[2]["stone_m3"] > 0.5
    assert rows[2]["pipe_m"] is None
    assert "local code" in rows[0]["caution"]
    assert "local code" in rows[2]["caution"]
    features = PlanLayers(crossed)["crossings"]
    assert [row.get("swale") for _, row in features] == [None, None, "S1", "S1", "S2", "S2"]
    assert [row["beneath"] for _, row in features[:2]] == ["S1, S2"] * 2
    assert {"pipe under a way", "ford"} <= {caution.name for caution in crossed.cautions}
    words = [words for words, _ in legend_entries(plan_content(plan_record(crossed)))]
    assert {"Bank over a pipe", "Ford", "Crossing"} <= set(words)


def test_pipe_trench_and_stone_have_their_price(crossed):
    """Metres of pipe, stone of fords and the trenches come on top, each where it has a price."""
    swale, (ford, pipe) = crossed.swales[0], crossed.swales[0].crossings
    rates = replace(crossed.rates, dig_per_m3=2.0)
    dearer = replace(rates, pipe_per_m=30.0, stone_per_m3=50.0)
    apron_m3 = 0.0 if swale.sill.apron is None else swale.sill.apron.volume_m3
    more = 30.0 * pipe.pipe_length_m + 50.0 * (ford.stone_m3 + apron_m3)
    assert swale.cost(dearer) - swale.cost(rates) == pytest.approx(more)
    assert swale.cost(rates) == pytest.approx(2.0 * (swale.quantities.dug_m3 + pipe.trench_m3))
    told = plan(_site(TRACK, rates={"dig_per_m3": 2.0}), PLANE).warnings
    assert any("m of pipe have no price ([rates] pipe_per_m)" in note for note in told)


def test_both_edges_and_the_inverts_are_staked(crossed):
    """Marks at both edges of each roadway and at the pipe's ends; nothing is dug under a bank."""
    stakes = [stake for stake in stake_design(crossed).stakes if stake.swale == "S1"]
    marks = [mark for stake in stakes for mark in stake.mark.split("+")]
    assert (marks.count("crossing edge"), marks.count("pipe end")) == (4, 2)
    shape, (ford, pipe) = crossed.swales[0].sized.shape, crossed.swales[0].crossings
    for stake in stakes:
        if "pipe end" in stake.mark:
            assert stake.floor_m == pytest.approx(pipe.bed.invert_m)
        if "crossing edge" in stake.mark:
            at_ford = abs(stake.chainage_m - ford.works.place.chainage_m) < 5.0
            assert stake.floor_m == pytest.approx(ford.works.floor_m if at_ford else stake.ground_m)
            assert stake.crest_m == pytest.approx(shape.crest_level_m if at_ford else pipe.works.top_m)
    kinds = [edge.kind for edge in breaklines(laid_swales(crossed)[0])]
    assert (kinds.count("crossing edge"), kinds.count("pipe")) == (4, 1)


def test_the_triangles_follow_the_roadway(crossed):
    """Where the fine ground is a crossing, the surface for machine control lies on it."""
    tin = triangulate(PLANE, crossed.surface, laid_swales(crossed))
    mesh = Triangulation(*tin.xyz[:, :2].T, tin.faces)
    surface, grid = crossed.surface, crossed.surface.fine_grid
    x, y = grid.centres(*np.indices(grid.shape))
    for swale in crossed.swales:
        for way, area in zip(swale.crossings, crossing_areas(swale.line, swale.sized.shape), strict=True):
            inside = shapely.contains_xy(area.buffer(-0.3), x, y)
            apart_m = np.ma.filled(LinearTriInterpolator(mesh, tin.xyz[:, 2])(x[inside], y[inside]), np.nan)
            apart_m -= surface.fine_heights()[inside]
            assert inside.sum() > 100
            assert np.quantile(np.abs(apart_m), 0.95) < 0.03, way
            assert np.abs(apart_m).max() < 0.15


@pytest.mark.parametrize(
    ("crossings", "parts", "words"),
    [
        (
            (TRACK, replace(TRACK, name="Other", geometry=shapely.affinity.translate(TRACK.geometry, 5.0))),
            {},
            "overlaps crossing 'Other': 5.",
        ),
        (
            (TRACK,),
            {"section": {"least_depth_m": 0.2, "greatest_depth_m": 0.25, "bottom_width_m": 2.0}},
            "crossing 'Track' has 0.",
        ),
        ((TRACK,), {"sill": {"head_m": 0.149}, "storm": {"depth_mm": 50.0, "check_depth_mm": 300.0}}, "m3/s pass"),
    ],
    ids=["overlap", "shallow", "too much water"],
)
def test_what_can_not_be_built_ends_in_one_line(crossings, parts, words):
    """Each says what, where and the way out."""
    with pytest.raises(InputError) as error:
        plan(_site(*crossings, **parts), PLANE)
    assert words in str(error.value)
    assert " over S1" in str(error.value)
    assert "\n" not in str(error.value)
    assert any(out in str(error.value) for out in ("kind gap", "leave it out"))


@pytest.mark.parametrize(
    ("way", "slope"),
    [
        (replace(TRACK, geometry=shapely.LineString([(WEST + 4, NORTH), (WEST + 4, NORTH - 120)])), 0.1),
        (replace(TRACK, geometry=shapely.LineString([(WEST + 20, NORTH - 60), (WEST + 180, NORTH - 30)])), 0.1),
        (replace(TRACK, width_m=45.0, geometry=shapely.Point(WEST + 24.0, NORTH - 40.0)), 0.1),
        (TRACK, 0.2),
    ],
    ids=["end of the line", "askew", "wide", "steep"],
)
def test_where_a_line_can_not_go_on_it_ends_on_both_sides(way, slope):
    """As at a gap, which is told; the works keep off the way."""
    levels = {"levels_m": [100.0 + slope * 80.0]}
    site = replace(make_site(levels=levels, lines={"greatest_slope": 0.3, "least_length_m": 60.0}), crossings=(way,))
    design = plan(site, plane(slope, shape=(120, 200)))
    assert not any(swale.crossings for swale in design.swales)
    assert any(note.startswith("crossing 'Track' parts the lines at") for note in design.warnings)
    ((_, strip),) = crossing_strips(design.site, design.ground)
    assert all(swale.works.distance(strip.geometry) > 0.0 for swale in design.swales)


def test_a_crossing_that_no_swale_comes_to_is_told():
    """As one sentence; the plan is as without it."""
    off = replace(TRACK, geometry=shapely.Point(WEST + 100.0, NORTH - 118.0))
    told, bare = plan(_site(off), PLANE), plan(_site(), PLANE)
    assert "crossing 'Track' crosses no swale: none comes to it" in told.warnings
    assert [swale_row(swale) for swale in told.swales] == [swale_row(swale) for swale in bare.swales]
    assert (told.surface.heights == bare.surface.heights).all()
