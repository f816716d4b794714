"""What the ground of a site suits: every cell once, by its slope, its roughness, its water and its rain."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.contours.obstacles import KeepOut
from swalekit.design.appraisal.appraisal import appraise
from swalekit.design.appraisal.ground_classes import GROUND_CLASSES, GroundFacts, Limits, classify, roughness
from swalekit.design.appraisal.noon_sun import noon_sun
from swalekit.design.layout.ground import study_ground
from swalekit.errors import InputError
from swalekit.terrain.terrain import Terrain

LAND = shapely.Polygon(
    [(WEST + 8, NORTH - 8), (WEST + 90, NORTH - 12), (WEST + 85, NORTH - 92), (WEST + 12, NORTH - 80)]
)


def looked_at(terrain, boundary=None, *, rain_year_mm=None, keep_outs=(), **parts):
    """The appraisal of a site on a terrain."""
    site = replace(make_site(boundary, **parts), keep_outs=tuple(keep_outs))
    return appraise(site, study_ground(site, terrain), rain_year_mm=rain_year_mm)


def areas(found):
    """Area by the name of the kind of ground [m²]."""
    return {row.name: row.area_m2 for row in found.classes}


@pytest.mark.parametrize("boundary", [None, LAND, shapely.affinity.translate(LAND, 40, 0)])
@pytest.mark.parametrize("terrain", [hills(3, side=96), plane(0.1)], ids=["hills", "plane"])
def test_areas_make_up_the_site(terrain, boundary):
    """To the square millimetre, also where the land reaches beyond the tile; nothing is counted twice."""
    found = looked_at(terrain, boundary)
    whole_m2 = (boundary or shapely.box(*terrain.grid.bounds)).area
    assert sum(areas(found).values()) == pytest.approx(whole_m2, rel=1e-9)
    assert sum(found.use_m2(use) for use in ("level swales", "microcatchments", "nothing")) == pytest.approx(whole_m2)
    assert sum(found.slope_shares) == pytest.approx(1.0)
    assert sum(found.facing_shares) == pytest.approx(1.0)
    assert (found.number[~found.inside] == 0).all()
    assert (found.number[found.inside] > 0).all()


@pytest.mark.parametrize(
    ("slope", "name"),
    [(0.005, "too flat"), (0.05, "workable slope"), (0.2, "steep"), (0.5, "too steep")],
)
def test_an_even_slope_is_of_one_kind(slope, name):
    """Where no watercourse is, all of it."""
    found = looked_at(plane(slope, shape=(60, 60)), lines={"greatest_slope": 0.15})
    assert list(areas(found)) == [name]
    assert found.slope_quartiles == pytest.approx((slope,) * 3, rel=1e-3)


@pytest.mark.parametrize(
    ("rain_mm", "slope", "name"),
    [
        (None, 0.03, "workable slope"),
        (400.0, 0.03, "workable slope"),
        (150.0, 0.03, "dry and gentle"),
        (150.0, 0.1, "too dry"),
        (100.0, 0.03, "too dry"),
    ],
)
def test_dry_ground_is_for_basins_or_nothing(rain_mm, slope, name):
    """FAO: contour bunds for trees from 200 mm a year, negarim from 150 mm and up to 5 %; rain unknown says nothing."""
    assert list(areas(looked_at(plane(slope, shape=(60, 60)), rain_year_mm=rain_mm))) == [name]


def test_keep_outs_and_the_boundary_strip_are_kept_clear():
    """With their setbacks, measured on the ground: areas within a cell of the true ones."""
    house = KeepOut("building", shapely.Point(WEST + 45, NORTH - 45), 10.0)
    terrain = plane(0.1)
    found = looked_at(terrain, LAND, keep_outs=[house], area={"setbacks_m": {"property line": 6.0}})
    true_m2 = LAND.area - LAND.buffer(-6.0).difference(house.zone).area
    assert areas(found)["kept clear"] == pytest.approx(true_m2, rel=0.05)


def test_rough_ground_is_for_single_basins():
    """Knee-high mounds every 12 m in half of the tile; the plane beside them stays workable."""
    terrain = plane(0.08, shape=(120, 120))
    row, column = np.mgrid[0:120, 0:120]
    mounds = 0.6 * np.sin(2 * np.pi * row / 12) * np.sin(2 * np.pi * column / 12) * (column >= 60)
    found = areas(looked_at(Terrain.from_heights(terrain.heights + mounds, terrain.grid, vertical_sigma_m=0.05)))
    rough_m2 = found["rough or broken"] + found.get("too steep", 0.0)
    assert rough_m2 == pytest.approx(0.5 * 120**2, rel=0.2)


def test_a_plane_is_not_rough():
    """At any slope and whatever its height."""
    row = np.arange(40.0)
    heights = np.repeat((3000.0 - 0.9 * row)[:, np.newaxis], 30, axis=1).astype(np.float32)
    assert np.nanmax(roughness(heights, 3.0)) < 1e-3


def test_rough_ground_is_not_told_on_wide_cells():
    """Hills 400 m long on cells of 28 m are hills."""
    row, _ = np.mgrid[0:60, 0:60]
    wide = plane(0.1, shape=(60, 60), cell_m=28.0)
    hilly = Terrain.from_heights(wide.heights + 8.0 * np.sin(row / 2.3), wide.grid, vertical_sigma_m=1.0)
    assert "rough or broken" not in areas(looked_at(hilly))


def test_no_ground_is_unknown_where_blocks_are_cut_off_by_the_edge():
    """80 cells of 1 m are 26 blocks and two thirds of one, whose corner holds less than half a block."""
    assert list(areas(looked_at(plane(0.5, shape=(80, 80))))) == ["too steep"]


def test_voids_are_unknown():
    """To a cell."""
    heights = plane(0.1, shape=(90, 90)).heights.copy()
    heights[30:60, 30:60] = np.nan
    void = Terrain.from_heights(heights, plane(shape=(90, 90)).grid, vertical_sigma_m=0.05)
    assert areas(looked_at(void))["unknown"] == pytest.approx(900.0, rel=0.01)


def test_the_last_kind_that_fits_counts():
    """A keep-out on a pond in a watercourse on rough steep ground is kept clear; without it a pond, and so on."""
    slope, rough = np.full((1, 5), 0.3, np.float32), np.full((1, 5), 9.0, np.float32)
    water, pond, kept = (np.arange(5)[np.newaxis] >= first for first in (1, 2, 3))
    limits = Limits.published(least_slope=0.01, greatest_slope=0.15, watercourse_gap_m=5.0)
    inside = np.arange(5)[np.newaxis] < 4
    names = {kind.number: kind.name for kind in GROUND_CLASSES}
    found = classify(GroundFacts(slope, rough, water, pond, kept), inside, limits)[0]
    expected = ["rough or broken", "watercourse", "pond in a hollow", "kept clear"]
    assert [names.get(number, "") for number in found.tolist()] == [*expected, ""]


@pytest.mark.parametrize("latitude_deg", [-60.0, -30.0, -5.0, 5.0, 30.0, 60.0])
def test_winter_sun_of_a_slope_that_looks_at_it(latitude_deg):
    """Ground tilted to stand square to the sun gets 1 / cos z; its twin beyond the grazing angle gets none."""
    zenith = np.radians(abs(latitude_deg) + 23.44)
    to_sun = -np.tan(zenith) * (-1.0 if latitude_deg > 0 else 1.0)
    rise = np.array([to_sun, -20.0 * to_sun / abs(to_sun)], np.float32)
    facing, away = noon_sun(np.zeros(2, np.float32), rise, latitude_deg=latitude_deg).tolist()
    assert facing == pytest.approx(1.0 / np.cos(zenith), rel=1e-4)
    assert away == 0.0


def test_there_is_no_winter_noon_beyond_the_polar_circles():
    """The sun doesn't rise."""
    with pytest.raises(InputError, match="latitude_deg"):
        noon_sun(np.zeros(1, np.float32), np.zeros(1, np.float32), latitude_deg=70.0)


def test_ground_faces_the_way_it_falls():
    """A plane that falls southward, turned."""
    falls_south = plane(0.1, shape=(60, 60))
    for turns, way in enumerate(("south", "east", "north", "west")):
        turned = Terrain.from_heights(np.rot90(falls_south.heights, turns), falls_south.grid, vertical_sigma_m=0.05)
        shares = dict(zip(("north", "east", "south", "west", "level"), looked_at(turned).facing_shares, strict=True))
        assert shares[way] == pytest.approx(1.0)


def test_a_hollow_holds_what_each_storm_brings():
    """A round hollow of known volume: more in the check storm, never more than full."""
    terrain = plane(0.05, shape=(120, 120))
    row, column = np.mgrid[0:120, 0:120]
    bowl = np.minimum((np.hypot(row - 60, column - 60) - 15.0) / 10.0, 0.0)
    found = looked_at(Terrain.from_heights(terrain.heights + bowl, terrain.grid, vertical_sigma_m=0.05))
    (pond,) = found.ponds
    assert pond.name == "P1"
    assert np.hypot(pond.xy[0] - (WEST + 60.5), pond.xy[1] - (NORTH - 60.5)) < 8.0
    assert 0.0 < pond.held_m3[0] < pond.held_m3[1] <= pond.full_m3 + 1e-6
    assert pond.area_m2[0] < pond.area_m2[1]
