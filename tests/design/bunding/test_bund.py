"""Microcatchments on sites: size by the rain, ground that is open, water, cautions and cost."""

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.contours.obstacles import KeepOut
from swalekit.design.brief.microcatchments_part import MicrocatchmentsPart
from swalekit.design.bunding.bund import bund
from swalekit.design.bunding.records import BundRecords
from swalekit.design.bunding.size import unit_size
from swalekit.design.bunding.table import block_rows, bund_totals, ground_rows, peg_rows, unit_rows
from swalekit.design.plan.pipeline import plan
from swalekit.errors import BriefError, GeometryError, TerrainError
from swalekit.microcatchments.units import HIGHEST, LEFT, LOWEST, RIGHT
from swalekit.section.footprint import works_footprint
from swalekit.terrain.terrain import Terrain

YEARS_MM = np.array([260, 230, 210, 180, 170, 150, 140, 120, 95, 80], float)
GENTLE = {"terrain": {"file": "tile.tif", "vertical_sigma_m": 0.05}}


def asked(boundary=None, **given):
    """A site on which microcatchments alone are laid, unless it says otherwise."""
    part = {"swales": "none", "rain_mm": 220.0} | given
    return make_site(boundary, microcatchments=part)


def names(found):
    """Names of its cautions."""
    return [caution.name for caution in found.cautions]


def test_size_by_the_rain_of_two_years_in_three():
    """WR 400, RA 10, K 0.4, EFF 0.5 and ten years: DR 135.15 mm, MC 97.98 m², with the roots 107.98, so 12 m."""
    part = MicrocatchmentsPart(runoff_coefficient=0.4)
    found = unit_size(part, BundRecords(years_mm=YEARS_MM, rain_file="rain.csv"))
    assert (found.rain_mm, found.catchment_m2) == pytest.approx((135.15, 97.98), abs=0.01)
    assert found.mean_mm == found.year_mm == pytest.approx(163.5)
    assert found.sizes_m == (12.0,)
    assert found.rain_from == "reached in two years of three of the 10 in rain.csv"


def test_the_rain_of_the_brief_goes_before_the_record():
    """And no catchment is needed where it is enough: the smallest unit holds the roots."""
    part = MicrocatchmentsPart(rain_mm=450.0)
    found = unit_size(part, BundRecords(years_mm=YEARS_MM))
    assert (found.rain_mm, found.catchment_m2, found.sizes_m) == (450.0, 0.0, (4.0,))


@pytest.mark.parametrize(("kind", "size_m"), [("negarim", 15.0), ("semi-circular", 20.0)])
def test_a_tree_beyond_the_tables_gets_the_largest(kind, size_m):
    """And is told what share of its catchment that is."""
    part = MicrocatchmentsPart(kind=kind, rain_mm=60.0, water_want_mm=1000.0, rooted_m2=25.0)
    found = unit_size(part, BundRecords())
    assert found.sizes_m == (size_m,)
    assert found.met_share == pytest.approx(
        {"negarim": 15.0**2 - 25.0, "semi-circular": 3.0 * np.pi * 200.0}[kind] / found.catchment_m2
    )


@pytest.mark.parametrize(
    ("part", "years_mm", "words"),
    [
        ({}, [], "none is known; give \\[microcatchments\\] rain_mm"),
        (
            {"size_m": 7.0, "rain_mm": 200.0},
            [],
            "size_m is 7; as the side of a negarim one of 3, 4, 5, 6, 8, 10, 12, 15",
        ),
        ({"size_m": 7.0, "kind": "semi-circular"}, [], "radius of a semi-circular bund one of 6, 10, 20"),
    ],
)
def test_a_size_that_cannot_be_found_fails(part, years_mm, words):
    """In one line that says what to give."""
    with pytest.raises(BriefError, match=words):
        unit_size(MicrocatchmentsPart(**part), BundRecords(years_mm=np.array(years_mm)))


def test_a_short_record_fails():
    """Fewer than ten years give no rain of two in three; with a size none is needed."""
    short = BundRecords(years_mm=YEARS_MM[:5], rain_file="rain.csv")
    with pytest.raises(BriefError, match="the record has 5 whole years; give"):
        unit_size(MicrocatchmentsPart(), short)
    assert unit_size(MicrocatchmentsPart(size_m=5.0), short).catchment_m2 is None


def hollowed(side_cells):
    """A plane of 3 % with one square hollow, a hand deep."""
    heights = plane(0.03, shape=(120, 120)).heights.copy()
    heights[60 : 60 + side_cells, 60 : 60 + side_cells] -= 0.15 + 0.03 * side_cells
    return Terrain.from_heights(heights, plane(0.03, shape=(120, 120)).grid, vertical_sigma_m=0.05)


@pytest.mark.parametrize(("side_cells", "is_met"), [(2, True), (12, False)])
def test_ponds_are_kept_clear_of_unless_they_are_small(side_cells, is_met):
    """A hollow of 4 m² is levelled within a unit of 36; one of 144 m² is left alone."""
    terrain = hollowed(side_cells)
    found = bund(asked(size_m=6.0).with_values({"storm.depth_mm": 200.0}), terrain)
    west, south = WEST + 60.0, NORTH - 60.0 - side_cells
    hollow = shapely.box(west + 0.1, south + 0.1, west + side_cells - 0.1, south + side_cells - 0.1)
    assert found.ground.ponds.sum() >= 0.5 * side_cells**2
    assert shapely.intersects(found.units.outlines, hollow).any() == is_met


def test_totals_are_sums_of_the_units():
    """Trees, soil, water; the ground's parts are all of it."""
    found = bund(
        asked(shapely.box(WEST, NORTH - 150.0, WEST + 140.0, NORTH), size_m=6.0), plane(0.03, shape=(150, 150))
    )
    rows, totals = unit_rows(found), bund_totals(found)
    assert totals["units"] == totals["trees"] == len(rows) == sum(row["units"] for row in block_rows(found)) > 200
    for name in ("bund_m3", "pit_m3", "runoff_m3", "held_m3"):
        assert sum(row[name] for row in rows) == pytest.approx(totals[name], abs=0.005 * len(rows) + 0.05)
    assert sum(row["area_m2"] for row in ground_rows(found)) == pytest.approx(totals["asked_m2"], abs=5)
    assert len({row["unit"] for row in rows}) == len(rows)


def test_runoff_is_that_of_the_units_ground():
    """Curve number 80 and 50 mm: (50 − 12.7)² / (50 + 50.8) = 13.80 mm (NEH 630 ch. 10, eq. 10-11) over 36 m²."""
    found = bund(asked(size_m=6.0), plane(0.03, shape=(60, 60)))
    assert found.runoff_m3 == pytest.approx(0.013802 * 36.0, rel=1e-3)


def test_units_that_spill_are_told():
    """A storm of 900 mm is more than they hold."""
    site = asked(size_m=6.0).with_values({"storm.depth_mm": 900.0})
    found = bund(site, plane(0.03, shape=(60, 60)))
    assert found.spilling == len(found.units) > 0
    assert found.spilled_m3.sum() == pytest.approx((found.runoff_m3 - found.units.held_m3).sum())
    assert "spills in the design storm" in names(found)
    assert "spills in the design storm" not in names(bund(asked(size_m=6.0), plane(0.03, shape=(60, 60))))


def test_keep_outs_and_the_boundary_are_kept_clear():
    """A well with 30 m, and the setback from the property line."""
    land = shapely.box(WEST + 5.0, NORTH - 145.0, WEST + 145.0, NORTH - 5.0)
    site = asked(land, size_m=5.0)
    well = KeepOut("well", shapely.Point(WEST + 75.0, NORTH - 75.0), 30.0, "well")
    object.__setattr__(site, "keep_outs", (well,))
    found = bund(site, plane(0.03, shape=(150, 150)))
    works = shapely.union(found.units.outlines, shapely.buffer(found.units.bunds, 0.37))
    assert len(works) > 200
    assert not shapely.intersects(works, well.zone).any()
    assert shapely.covers(land.buffer(-3.0), works).all()
    assert {row["ground"]: row["area_m2"] for row in ground_rows(found)}["kept clear"] > np.pi * 30.0**2


def test_an_area_is_asked_for():
    """Units lie in it alone; one off the site is an error."""
    area = shapely.Point(WEST + 75.0, NORTH - 75.0).buffer(40.0)
    found = bund(asked(size_m=5.0), plane(0.03, shape=(150, 150)), BundRecords(area))
    assert shapely.covers(area, found.units.outlines).all()
    assert found.asked.asked.area == pytest.approx(area.area)
    with pytest.raises(GeometryError, match="area lies wholly outside the site"):
        bund(asked(size_m=5.0), plane(0.03, shape=(150, 150)), BundRecords(shapely.box(0.0, 0.0, 9.0, 9.0)))


@pytest.mark.compiled
@pytest.mark.parametrize("swales", ["kept", "first", "none"])
def test_swales_are_kept_clear_of(swales):
    """Those of a plan: works and a metre round them; where they go first, what drains to them too."""
    part = {"swales": swales, "rain_mm": 220.0, "size_m": 5.0, "greatest_slope": 0.08}
    site, terrain = make_site(levels={"levels_m": [104.0]}, microcatchments=part), plane(0.06, shape=(150, 150))
    design = plan(site, terrain)
    found = bund(site, terrain, design=design)
    works = shapely.union_all([works_footprint(swale.line, swale.sized.shape) for swale in design.swales])
    assert len(design.swales) == 1
    feet = shapely.buffer(found.units.bunds, 0.37)
    assert min(shapely.distance(feet, works).min(), shapely.distance(found.units.outlines, works).min()) > 1.0
    rows, columns = terrain.grid.rows_columns(*found.units.pegs_m.mean(axis=1).T)
    caught = design.catchments[np.rint(rows).astype(int), np.rint(columns).astype(int)] > 0
    assert caught.any() == (swales != "first")
    assert not caught.all()


@pytest.mark.compiled
def test_ground_that_cannot_carry_swales_carries_units_still():
    """Levels closer than cells can tell are refused; a note says why no swale is kept clear of."""
    part = {"rain_mm": 220.0, "size_m": 5.0}
    site = make_site(levels={"interval_m": 0.02}, microcatchments=part)
    found = bund(site, plane(0.03, shape=(60, 60)))
    assert found.design is None
    assert len(found.units) > 50
    assert found.notes[0].startswith("no swales are kept clear of: the tile can't carry level ditches")


@pytest.mark.parametrize("kind", ["negarim", "semi-circular"])
def test_pegs_have_the_level_of_the_ground(kind):
    """Every tree, corner and tip once, with the plane's height; tips of a bund on one level."""
    found = bund(asked(kind=kind, rain_mm=250.0), plane(0.03, shape=(150, 150)))
    pegs = peg_rows(found)
    assert [peg["number"] for peg in pegs] == list(range(1, len(pegs) + 1))
    for peg in pegs:
        assert peg["ground_m"] == pytest.approx(100.0 + 0.03 * (peg["northing_m"] - NORTH + 150.0), abs=0.006)
    places = {(round(peg["easting_m"], 1), round(peg["northing_m"], 1)) for peg in pegs}
    assert len(places) == len(pegs)
    marks = {peg["mark"] for peg in pegs}
    if kind == "negarim":
        corners = {tuple(corner) for corner in found.units.pegs_m.reshape(-1, 2).round(1).tolist()}
        assert len(pegs) == len(corners) + len(found.units)
        assert marks == {"tree", "lowest corner", "left corner", "highest corner", "right corner"}
    else:
        assert marks == {"tree", "foot of the bow", "left tip", "right tip"}
        assert len(pegs) == 3 * len(found.units) + found.trees


def test_trees_stand_within_their_unit():
    """In the pit, above the foot of both walls; behind the bow."""
    for kind in ("negarim", "semi-circular"):
        found = bund(asked(kind=kind, rain_mm=250.0), plane(0.03, shape=(150, 150)))
        trees = [peg for peg in peg_rows(found) if peg["mark"] == "tree"]
        outlines = dict(zip((row["unit"] for row in unit_rows(found)), found.units.outlines, strict=True))
        inside = [outlines[peg["unit"]].contains(shapely.Point(peg["easting_m"], peg["northing_m"])) for peg in trees]
        assert len(trees) == found.trees
        assert all(inside)


@pytest.mark.parametrize(
    ("part", "caution"),
    [
        ({"rain_mm": 120.0}, "rain below the published range"),
        ({"rain_mm": 900.0, "kind": "semi-circular"}, "rain above the published range"),
        ({"greatest_slope": 0.08, "size_m": 4.0}, "above the published slope"),
        ({"soil_depth_m": 0.6}, "shallow soil"),
        ({"rain_mm": 90.0, "water_want_mm": 1200.0}, "thirsty tree"),
        ({"greatest_slope": 0.02}, "nothing laid"),
        ({"size_m": 5.0, "greatest_slope": 0.08}, "more soil than the pits give"),
        ({}, "soil depth"),
        ({}, "level on site"),
        ({}, "water from above"),
        ({}, "licensed practice"),
    ],
)
def test_cautions(part, caution):
    """Each figure that should raises its own, and a plain case raises none but those for every site."""
    terrain = plane(0.06 if "greatest_slope" in part else 0.03, shape=(80, 80))
    assert caution in names(bund(asked(**part), terrain))
    plain = names(bund(asked(size_m=6.0, rain_mm=390.0), plane(0.01, shape=(80, 80))))
    assert caution not in plain or not part


def test_cells_wider_than_a_unit_fail_and_coarse_ones_are_told():
    """4 m cells for units of 3 m, and for units of 6 m."""
    terrain = plane(0.03, shape=(40, 40), cell_m=4.0)
    with pytest.raises(TerrainError, match="cells of 4 m are wider than a unit of 3 m"):
        bund(asked(size_m=3.0), terrain)
    assert "coarse tile" in names(bund(asked(size_m=6.0), terrain))


def test_steep_ground_has_no_units_with_bunds_higher_than_published():
    """10 m squares on 6 % would need 0.85 m; a note tells how steep they may lie."""
    found = bund(asked(size_m=10.0, greatest_slope=0.1), plane(0.06, shape=(80, 80)))
    assert len(found.units) == 0
    assert found.notes == (
        "units of 10 m are laid on up to 4.2 %: on steeper ground their bund would be higher than 0.6 m, the highest "
        "published",
    )
    assert next(row for row in ground_rows(found) if row["ground"] == "too steep")["area_m2"] > 5000


def test_cost_by_hand_and_by_machine():
    """Bund and pits at their prices; else the machine's with mobilisation; none without a price."""
    site, terrain = asked(size_m=6.0), plane(0.03, shape=(60, 60))
    found = bund(site, terrain)
    assert found.cost is None
    by_hand = bund(site.with_values({"rates": {"bund_per_m3": 6.0, "pit_each": 2.0}}), terrain)
    assert by_hand.cost == pytest.approx(6.0 * found.bund_m3 + 2.0 * found.trees)
    machine = bund(site.with_values({"rates": {"dig_per_m3": 3.0, "mobilisation": 200.0}}), terrain)
    assert machine.cost == pytest.approx(3.0 * found.bund_m3 + 200.0)


@pytest.mark.compiled
def test_hilly_ground_with_hollows_and_soil():
    """Generic ground: levels, places and figures stay sane."""
    found = bund(asked(kind="negarim", size_m=3.0, greatest_slope=0.14), hills())
    units = found.units
    assert len(units) > 20
    assert (units.slope <= 0.14 + 1e-9).all()
    assert (units.held_m3 >= units.pit_m3).all()
    across = np.hypot(*(units.pegs_m[:, LEFT] - units.pegs_m[:, RIGHT]).T)
    along = np.hypot(*(units.pegs_m[:, LOWEST] - units.pegs_m[:, HIGHEST]).T)
    assert across == pytest.approx(3.0 * np.sqrt(2.0))
    assert along == pytest.approx(3.0 * np.sqrt(2.0))
