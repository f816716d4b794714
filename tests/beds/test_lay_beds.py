"""Beds on contour held against the raster and against each other."""

from itertools import combinations

import numpy as np
import pytest
import shapely
from scipy.interpolate import RegularGridInterpolator

from swalekit.beds.bed import BedRules, bed_practice, levelled_from
from swalekit.beds.lay import lay_beds
from swalekit.errors import GeometryError, InputError
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

WEST, SOUTH = 1000.0, 2000.0


def terrain_of(heights: np.ndarray, cell_m: float) -> Terrain:
    """Heights, the first row the northernmost, above a corner of the grid."""
    north_m = SOUTH + heights.shape[0] * cell_m
    return Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=cell_m, west_m=WEST, north_m=north_m))


def rough() -> Terrain:
    """Half-metre cells below the sea, 12 % southward with waves and noise."""
    y, x = np.mgrid[:120, :120] * 0.5
    noise = 0.015 * np.random.default_rng(3).standard_normal(x.shape)
    return terrain_of(-30.0 - 0.12 * y + 1.5 * np.sin(x / 25.0) + noise, 0.5)


def bench() -> Terrain:
    """Two-metre cells, 4 % with a bench that hardly falls."""
    y, x = np.mgrid[:50, :50] * 2.0
    return terrain_of(300.0 - 0.04 * np.where(y < 50.0, y, np.where(y < 60.0, 50.0, y - 10.0)) + 0.02 * x, 2.0)


def cone() -> Terrain:
    """A hill of 15 %, whose contours are rings."""
    y, x = np.mgrid[:140, :140] * 0.5
    return terrain_of(50.0 - 0.15 * np.hypot(x - 35.0, y - 35.0), 0.5)


def spur() -> Terrain:
    """Contours that draw together: 6 % in the west, 20 % in the east."""
    y, x = np.mgrid[:60, :60] * 1.0
    return terrain_of(100.0 - y * (0.06 + 0.14 * x / 60.0), 1.0)


GROUNDS = {"rough": rough, "bench": bench, "cone": cone, "spur": spur}
AREA = shapely.Polygon([(1015.0, 2015.0), (1047.0, 2012.0), (1050.0, 2045.0), (1030.0, 2048.0), (1013.0, 2040.0)])


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize(("width_m", "path_m"), [(1.2, 0.45), (0.6, 0.6)])
def test_beds_are_level_apart_and_within_their_ground(ground: str, width_m: float, path_m: float) -> None:
    """SciPy's bilinear heights along each bed's middle keep to its level, shapely's outlines keep a path apart."""
    terrain = GROUNDS[ground]()
    rules = BedRules(width_m=width_m, path_m=path_m)
    beds = lay_beds(terrain, AREA, rules)
    assert len(beds) > 20
    rows, columns = terrain.grid.shape
    x = terrain.grid.centres(np.zeros(columns), np.arange(columns))[0]
    y = terrain.grid.centres(np.arange(rows), np.zeros(rows))[1]
    heights = RegularGridInterpolator((y[::-1], x), terrain.heights[::-1].astype(np.float64))
    for bed in beds:
        along = np.linspace(0.0, bed.length_m, 40)
        middle = shapely.get_coordinates(shapely.line_interpolate_point(shapely.LineString(bed.line.xy), along))
        assert np.abs(heights(middle[:, ::-1]) - bed.line.level_m).max() <= rules.tolerance_m + 0.01  # between stations
        assert np.abs(heights(bed.line.xy[:, ::-1]) - bed.line.level_m).max() <= rules.tolerance_m + 1e-4
        assert AREA.buffer(1e-6).covers(bed.outline)
        assert bed.area_m2 == pytest.approx(bed.length_m * width_m, rel=0.03)
        assert rules.shortest_m <= bed.length_m <= 1.25 * rules.longest_m + width_m
    for one, other in combinations(beds, 2):
        assert one.outline.distance(other.outline) >= path_m - 1e-6


def test_plane_holds_as_many_rows_as_its_pitch_allows() -> None:
    """On a plane rows stand a pitch apart, and beds take the share of BD-3: 1.2 of 1.65."""
    terrain = terrain_of(np.outer(0.05 * np.arange(80.0)[::-1], np.ones(80)), 1.0)
    beds = lay_beds(terrain, shapely.box(1020.0, 2020.0, 1030.0, 2060.0))
    assert len(beds) == 24  # 40 m over 1.65 m
    assert sum(bed.area_m2 for bed in beds) / 400.0 == pytest.approx(1.2 / 1.65, rel=0.02)
    assert {bed.name for bed in beds} == {f"B{row}-1" for row in range(1, 25)}
    levels = np.array([bed.line.level_m for bed in beds])
    assert -np.diff(levels) == pytest.approx(1.65 * 0.05, rel=0.01)


def test_bed_is_levelled_from_the_slope_of_its_greatest_fall() -> None:
    """At 10 % a bed of 1.2 m falls 0.12 m: half is cut, half filled, b² s / 8 of soil a metre moved."""
    terrain = terrain_of(np.outer(0.1 * np.arange(40.0)[::-1], np.ones(40)), 1.0)
    area = shapely.box(1010.0, 2010.0, 1020.0, 2020.0)
    bed = lay_beds(terrain, area)[0]
    assert bed.levelled
    assert bed.fall_m == pytest.approx(0.12, abs=1e-3)
    assert bed.wall_m == pytest.approx(0.06, abs=1e-3)
    assert bed.moved_m3 == pytest.approx(1.2**2 * 0.1 / 8.0 * bed.length_m, rel=1e-3)
    narrow = lay_beds(terrain, area, BedRules(width_m=0.6))[0]
    assert not narrow.levelled
    assert narrow.moved_m3 == 0.0
    assert levelled_from(BedRules()) == pytest.approx(0.1 / 1.2)


def test_common_practice_of_widths() -> None:
    """BD-1 and BD-2: 1.2 m from both sides, 0.6 m from one, paths of 0.45 m at least."""
    names = ("bed width, reached from both sides", "bed width, reached from one side", "least path")
    assert [bed_practice(name) for name in names] == [1.2, 0.6, 0.45]


def test_beds_are_refused_in_one_line() -> None:
    """Ground narrower than a bed, off the tile, and widths out of range end in one line; steep ground bears none."""
    terrain = terrain_of(np.outer(0.4 * np.arange(40.0)[::-1], np.ones(40)), 1.0)
    with pytest.raises(GeometryError, match=r"nowhere as wide as a bed of 1\.2 m"):
        lay_beds(terrain, shapely.box(1010.0, 2010.0, 1011.0, 2030.0))
    with pytest.raises(GeometryError, match="off the tile"):
        lay_beds(terrain, shapely.box(5000.0, 2010.0, 5020.0, 2030.0))
    with pytest.raises(InputError, match="width_m"):
        BedRules(width_m=9.0)
    assert lay_beds(terrain, shapely.box(1010.0, 2010.0, 1030.0, 2030.0)) == ()


def test_ground_that_is_no_ground_bears_no_bed() -> None:
    """A void in the tile is kept clear, and the same ground gives the same beds."""
    terrain = rough()
    heights = terrain.heights.copy()
    heights[60:64, 50:54] = np.nan
    holed = terrain_of(heights, 0.5)
    void = shapely.box(WEST + 25.5, SOUTH + 60.0 - 31.5, WEST + 26.5, SOUTH + 60.0 - 30.5)
    beds = lay_beds(holed, AREA)
    assert not any(shapely.LineString(bed.line.xy).intersects(void) for bed in beds)
    again = lay_beds(holed, AREA)
    assert [bed.outline.wkb for bed in beds] == [bed.outline.wkb for bed in again]
