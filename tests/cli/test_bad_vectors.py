"""Boundaries, keep-outs and soil zones that do not fit the tile: one line and nothing written, or a note."""

from pathlib import Path

import pytest
import shapely
from bad_input import OPTIONS, assert_noted, assert_refused, brief_text, vectors
from pyproj import Transformer
from sites import NORTH, WEST

HOUSE = shapely.box(WEST + 20, NORTH - 40, WEST + 30, NORTH - 20)


pytestmark = pytest.mark.usefixtures("plane_tile")


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"setback_m": "far"}, ["setback_m", "'far'", "number"]),
        ({"setback_m": True}, ["setback_m", "True", "number"]),
        ({"setback_m": -1}, ["setback_m", "-1", "between 0 and 10000"]),
        ({"setback_m": 1e300}, ["setback_m", "1e+300", "between 0 and 10000"]),
    ],
)
def test_a_setback_that_is_no_distance_is_named(swalekit, given, words):
    """File, feature, key and value."""
    keep_outs = vectors((HOUSE, {"kind": "building"} | given))
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--keep-outs", keep_outs)
    assert_refused(result, keep_outs, "feature 1", *words)


@pytest.mark.parametrize("option", ["--boundary", "--keep-outs"])
def test_polygons_a_quarter_of_the_globe_away_are_named(swalekit, option):
    """Where the tile's CRS has no place for them they can't be moved to it."""
    far = vectors((shapely.box(87.0, 0.0, 87.1, 0.1), {"kind": "tree", "name": "Oak"}), crs="OGC:1.3:CRS84")
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, option, far)
    assert_refused(result, "Oak" if option == "--keep-outs" else "boundary", "87.1", "check the CRS")


@pytest.mark.parametrize(
    ("zones", "words"),
    [
        ([(HOUSE.centroid, {"curve_number": 90})], ["feature 1", "Point", "polygon"]),
        ([(HOUSE, {"cn": 90})], ["feature 1", "no property (cn)", "curve_number"]),
        ([(HOUSE, {"curve_number": "high"})], ["feature 1", "'high'"]),
        ([(HOUSE, {"curve_number": 90})] * 256, ["256", "255", "join"]),
    ],
    ids=["a point", "no curve number", "text", "too many"],
)
def test_soil_zones_that_cannot_be_used_are_named(swalekit, zones, words):
    """File, feature and value."""
    brief = brief_text(replaced=("curve_number = 80", f'curve_number = 80\nzones = "{vectors(*zones)}"'))
    assert_refused(swalekit("plan", brief), "areas.geojson", *words)


def test_a_boundary_lost_in_its_own_setback_is_refused(swalekit):
    """A strip of 4 m leaves nothing once the setback is taken off either side."""
    strip = vectors((shapely.box(WEST + 20, NORTH - 50, WEST + 24, NORTH - 10), {}))
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--boundary", strip)
    assert_refused(result, "boundary", "setback", "[area.setbacks_m]")


def test_a_boundary_that_reaches_off_the_tile_is_noted(swalekit):
    """Half of it lies west of the tile."""
    wide = vectors((shapely.box(WEST - 50, NORTH - 60, WEST + 50, NORTH), {}))
    assert_noted(swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--boundary", wide), "50.0 % of the land")


def test_a_walked_boundary_of_a_phone_is_planned_in(swalekit):
    """KML beside a tile: its line is closed, which is noted, and lines stay within it."""
    to_globe = Transformer.from_crs("EPSG:32630", "EPSG:4326", always_xy=True)
    places = [to_globe.transform(WEST + x, NORTH - y) for x, y in ((4, 2), (46, 2), (46, 58), (4, 58), (4, 6))]
    line = " ".join(f"{x:.9f},{y:.9f},0" for x, y in places)
    shape = f"<LineString><coordinates>{line}</coordinates></LineString>"
    Path("walk.kml").write_text(f"<kml><Document><Placemark>{shape}</Placemark></Document></kml>")
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--boundary=walk.kml")
    assert_noted(result, "'walk.kml': a line of 192 m was closed over the 4.0 m between its ends", "2 swales, 60 m")


def test_keep_outs_off_the_tile_or_without_a_geometry_are_noted(swalekit):
    """A house in the wrong place is no protection: the reader is told."""
    away = shapely.box(WEST + 9000, NORTH, WEST + 9010, NORTH + 10)
    keep_outs = vectors((away, {"kind": "building"}), (None, {"kind": "well"}))
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--keep-outs", keep_outs)
    assert_noted(result, "no keep-out lies on the tile", "1 of 2 features have no geometry")


def test_soil_zones_off_the_tile_are_noted(swalekit):
    """The curve number of the brief holds everywhere, and the reader is told."""
    away = shapely.box(WEST + 9000, NORTH, WEST + 9010, NORTH + 10)
    zones = vectors((away, {"curve_number": 90}))
    brief = brief_text(replaced=("curve_number = 80", f'curve_number = 80\nzones = "{zones}"'))
    assert_noted(swalekit("plan", brief), "no soil zone lies on the tile")


def test_levels_off_the_ground_are_noted(swalekit):
    """One level has a line; the others are named beside the range of the ground."""
    result = swalekit("plan", "plane.tif", "--levels=103,-5,5000", *OPTIONS)
    assert_noted(result, "1 swales", "no line at 5000, -5 m", "100.05 to 105.95 m")
