"""The design surface against the volumes by end areas."""

from collections.abc import Callable

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.earthwork.design_surface import build_design_surface
from swalekit.earthwork.line_offsets import line_offsets
from swalekit.grid import Grid
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.stations import Stations
from swalekit.terrain.terrain import Terrain

Surface = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]
XY = NDArray[np.float64]


def make_terrain(surface: Surface, cell_m: float, size_m: float) -> Terrain:
    """Terrain of a surface over a square that begins at the origin."""
    count = round(size_m / cell_m)
    grid = Grid.from_corner((count, count), cell_m=cell_m, west_m=0.0, north_m=size_m)
    x, y = grid.centres(*np.indices(grid.shape))
    return Terrain.from_heights(surface(x, y), grid)


def shape_line(surface: Surface, xy: XY, level_m: float, *, closed: bool = False) -> tuple[LevelLine, ShapedSwale]:
    """A swale 0.5 m deep along stations, with cross slopes taken from the surface itself."""
    step = 1e-3
    x, y = xy.T
    slope = np.hypot(
        (surface(x + step, y) - surface(x - step, y)) / (2 * step),
        (surface(x, y + step) - surface(x, y - step)) / (2 * step),
    )
    line = LevelLine(level_m, closed, xy, surface(x, y), slope)
    return line, shape_swale(Stations.of_line(line, np.full(len(xy), 20.0)), 0.5, Section())


def plane_case() -> tuple[Surface, XY, float, bool]:
    """A plane that falls to the south-east, 12 %."""

    def surface(x: XY, y: XY) -> XY:
        return 50.0 - 0.12 * (0.6 * x - 0.8 * y)

    along = np.linspace(-12.0, 12.0, 25)[:, np.newaxis]
    centre = np.array([20.0, 20.0])
    return surface, centre + along * np.array([0.8, 0.6]), 50.0 - 0.12 * (-4.0), False


def knoll_case() -> tuple[Surface, XY, float, bool]:
    """A whole ring of 15 m radius round a knoll of 10 %, downhill outside."""

    def surface(x: XY, y: XY) -> XY:
        return 10.0 - 0.10 * np.hypot(x - 25.0, y - 25.0)

    angle = np.linspace(0.0, 2 * np.pi, 95)[:-1]
    return surface, 25.0 + 15.0 * np.column_stack([np.cos(angle), np.sin(angle)]), 8.5, True


def basin_case() -> tuple[Surface, XY, float, bool]:
    """A whole ring of 40 m radius in a bowl of 10 %, downhill inside."""

    def surface(x: XY, y: XY) -> XY:
        return 10.0 + 0.10 * np.hypot(x - 50.0, y - 50.0)

    angle = np.linspace(2 * np.pi, 0.0, 127)[:-1]
    return surface, 50.0 + 40.0 * np.column_stack([np.cos(angle), np.sin(angle)]), 14.0, True


def sinusoidal_case() -> tuple[Surface, XY, float, bool]:
    """A hillside of 15 % with waves of 60 m along it."""
    wave = 2 * np.pi / 60.0

    def surface(x: XY, y: XY) -> XY:
        return 0.15 * y + 0.3 * np.sin(wave * x)

    x = np.linspace(10.0, 70.0, 61)
    return surface, np.column_stack([x, 40.0 - 2.0 * np.sin(wave * x)]), 6.0, False


@pytest.mark.parametrize("cell_m", [0.25, 0.5])
@pytest.mark.parametrize(
    ("case", "size_m"),
    [(plane_case, 40.0), (knoll_case, 50.0), (basin_case, 100.0), (sinusoidal_case, 80.0)],
    ids=["plane", "knoll", "basin", "waves"],
)
def test_both_routes_agree(case: Callable[[], tuple[Surface, XY, float, bool]], size_m: float, cell_m: float) -> None:
    """Cut and fill on the raster are within 3 % of end areas on smooth ground."""
    surface, xy, level_m, closed = case()
    terrain = make_terrain(surface, cell_m, size_m)
    line, shape = shape_line(surface, xy, level_m, closed=closed)
    built = build_design_surface(terrain, [line], [shape])
    assert built.cut_m3[0] == pytest.approx(shape.cut_m3, rel=0.03)
    assert built.fill_m3[0] == pytest.approx(shape.berm_m3, rel=0.03)


def test_heights_hold_the_volumes() -> None:
    """The difference of heights is fill less cut, and the floor and crest stand at their levels."""
    surface, xy, level_m, _ = plane_case()
    terrain = make_terrain(surface, 0.25, 40.0)
    line, shape = shape_line(surface, xy, level_m)
    built = build_design_surface(terrain, [line], [shape])
    moved = (built.heights.astype(float) - terrain.heights).sum() * terrain.grid.cell_area_m2
    assert moved == pytest.approx(built.fill_m3[0] - built.cut_m3[0], abs=0.01)
    points = np.column_stack([part.ravel() for part in terrain.grid.centres(*np.indices(terrain.grid.shape))])
    seen = line_offsets(line.xy, points, closed=False)
    near = np.hypot(*(points - line.xy[12]).T) < 6.0
    on_floor = near & (np.abs(seen.offset_m) < 0.1)
    np.testing.assert_allclose(built.heights.ravel()[on_floor], shape.floor_level_m, atol=1e-3)
    assert built.heights.ravel()[near & (seen.offset_m > 0)].max() == pytest.approx(shape.crest_level_m, abs=1e-3)


def test_ground_beyond_the_ends_is_left_alone() -> None:
    """Nothing is dug or filled beyond the end stations of an open line."""
    surface, xy, level_m, _ = plane_case()
    terrain = make_terrain(surface, 0.5, 40.0)
    line, shape = shape_line(surface, xy, level_m)
    built = build_design_surface(terrain, [line], [shape])
    x, y = terrain.grid.centres(*np.nonzero(built.heights != terrain.heights))
    along = (np.column_stack([x, y]) - 20.0) @ np.array([0.8, 0.6])
    assert np.abs(along).max() < 12.0 + 0.5
    assert np.abs(along).max() > 11.0


def test_voids_stay_void() -> None:
    """A void under a swale stays one and takes no earth."""
    surface, xy, level_m, _ = plane_case()
    whole = make_terrain(surface, 0.5, 40.0)
    heights = np.array(whole.heights)
    heights[30:50, 30:50] = np.nan
    line, shape = shape_line(surface, xy, level_m)
    built = build_design_surface(Terrain.from_heights(heights, whole.grid), [line], [shape])
    np.testing.assert_array_equal(np.isnan(built.heights), np.isnan(heights))
    assert 0 < built.cut_m3[0] < build_design_surface(whole, [line], [shape]).cut_m3[0]


@pytest.mark.parametrize("closed", [False, True])
def test_line_offsets_equal_a_dumb_search(closed: bool) -> None:
    """Distances from the line are those of the geometry library, signed by side."""
    rng = np.random.default_rng(2)
    angle = np.linspace(0, 2 * np.pi, 80, endpoint=False)[: 80 if closed else 60]
    xy = 30.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    points = rng.uniform(-38, 38, (500, 2))
    points = points[np.abs(np.hypot(*points.T) - 30) < 8]
    seen = line_offsets(xy, points, closed=closed)
    geometry = shapely.LinearRing(xy) if closed else shapely.LineString(xy)
    np.testing.assert_allclose(np.abs(seen.offset_m), shapely.distance(geometry, shapely.points(points)), atol=1e-9)
    inside = shapely.contains_xy(shapely.Polygon(xy), points[:, 0], points[:, 1])
    beside = seen.beside
    np.testing.assert_array_equal(seen.offset_m[beside] < 0, inside[beside])
    assert beside.all() == closed


def test_result_is_the_same_twice() -> None:
    """The same input gives the same bytes."""
    surface, xy, level_m, _ = sinusoidal_case()
    terrain = make_terrain(surface, 0.5, 80.0)
    line, shape = shape_line(surface, xy, level_m)
    first, second = (build_design_surface(terrain, [line], [shape]).heights.tobytes() for _ in range(2))
    assert first == second
