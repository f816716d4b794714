"""The site sheet says what the appraisal says, in the reader's units, and colours the ground by it."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from sites import NORTH, WEST, make_site, plane

from swalekit.design.appraisal.appraisal import appraise
from swalekit.design.appraisal.ground_classes import GROUND_CLASSES
from swalekit.design.layout.ground import study_ground
from swalekit.reporting.charts.site.sheet import site_sheet
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.paper import palette
from swalekit.reporting.words.site_words import pond_table, site_cautions, site_credits, site_facts
from swalekit.terrain.terrain import Terrain

LAND = shapely.box(WEST + 5, NORTH - 115, WEST + 95, NORTH - 5)


def sheet_of(units="metric", rain_year_mm=None):
    """A sheet, and the appraisal that it shows: a plane of 8 %, steep in the north, with a hollow."""
    row, column = np.mgrid[0:120, 0:100]
    heights = plane(0.08).heights + 0.25 * np.maximum(40 - row, 0)
    heights = heights - np.maximum(0.0, 1.5 - np.hypot(row - 80, column - 50) / 6.0)
    terrain = Terrain.from_heights(heights, plane().grid, vertical_sigma_m=0.05)
    site = make_site(LAND, site={"units": units})
    ground = study_ground(site, terrain)
    found = appraise(site, ground, rain_year_mm=rain_year_mm)
    header, table = pond_table(found, units=units)
    content = MapContent(
        "North", terrain, boundary=LAND, header=header, table=table, facts=site_facts(site, found),
        cautions=site_cautions(site, found, unfit="the tile is odd"), credits=site_credits(found), units=units,
    )  # fmt: skip
    return site_sheet(found, content), found


def words(sheet):
    """Every text on a sheet."""
    return [text.get_text() for axes in sheet.axes for text in axes.texts]


@pytest.mark.parametrize(("units", "unit", "unit_m2"), [("metric", "ha", 1e4), ("us", "acres", 4046.8564224)])
def test_areas_on_the_sheet_make_up_the_site(units, unit, unit_m2):
    """Those of the kinds of ground, and those of the three uses, each to half of the last digit."""
    sheet, found = sheet_of(units)
    shown = [text.split() for text in words(sheet) if f" {unit}" in text]
    kinds = [float(text[0]) for text in shown if len(text) == 2][1:]  # the first is the land itself
    uses = [float(text[0]) for text in shown if len(text) == 4]
    assert len(uses) == 3
    assert len(kinds) == len(found.classes)
    for areas in (kinds, uses):
        assert sum(areas) == pytest.approx(LAND.area / unit_m2, abs=0.005 * len(areas))


def test_each_kind_of_ground_is_named_with_its_reason():
    """And what stands in the hollow, the slopes, the sun, and that the tile is odd."""
    sheet, found = sheet_of()
    told = " ".join(words(sheet))
    for row in found.classes:
        assert row.name in told
    for text in ("25 % to 35 %", "P1", "SLOPE", "SUN AT A WINTER NOON", "The tile is odd.", "Level swales"):
        assert text in told


def test_dryness_is_told():
    """With the rain that swales and basins want."""
    assert "The year's rain isn't known" in " ".join(words(sheet_of()[0]))
    assert "A year brings 150 mm of rain" in " ".join(words(sheet_of(rain_year_mm=150.0)[0]))


def test_the_map_is_coloured_by_the_kind_of_ground():
    """A place in the middle of each kind shows its tint through the relief."""
    sheet, found = sheet_of()
    sheet.set_dpi(60)
    canvas = FigureCanvasAgg(sheet)
    canvas.draw()
    pixels = np.asarray(canvas.buffer_rgba())[::-1, :, :3] / 255.0
    north = {"steep": (30, 25), "workable slope": (20, 70), "kept clear": (8, 60)}
    places = {name: (WEST + x, NORTH - y) for name, (x, y) in north.items()}
    for name, place in places.items():
        (number,) = [kind.number for kind in GROUND_CLASSES if kind.name == name]
        row, column = (round(float(at)) for at in found.terrain.grid.rows_columns(*place))
        assert found.number[row, column] == number
        x, y = sheet.axes[0].transData.transform(place).astype(int)
        seen = np.median(pixels[y - 2 : y + 3, x - 2 : x + 3], axis=(0, 1))
        tints = {kind.name: to_rgb(palette.GROUND_TINTS[kind.number - 1]) for kind in found_kinds(found)}
        off = {kind: np.abs(seen - tint).sum() for kind, tint in tints.items()}
        assert min(off, key=off.get) == name


def found_kinds(found):
    """Kinds of ground that occur."""
    return [row.kind for row in found.classes]


def test_a_site_without_sun_or_ponds_has_a_sheet_too():
    """Beyond the polar circles the second small map is left out."""
    sheet, found = sheet_of()
    bare = replace(found, sun=None, ponds=())
    content = MapContent("Polar", found.ground.terrain, boundary=LAND)
    assert len(site_sheet(bare, content).axes) == len(sheet.axes) - 1
