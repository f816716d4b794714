"""The ground as built against the volumes by end areas."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely
from line_offsets import line_offsets
from numpy.typing import NDArray
from scipy import ndimage
from skimage.morphology import reconstruction

from swalekit.contours.line import LevelLine
from swalekit.earthwork.built_ground import BuiltGround, build_ground
from swalekit.grid import Grid
from swalekit.kernels.earthwork_surface import DITCH, SILL
from swalekit.section.returns import outline_xy
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


def shape_line(
    surface: Surface, xy: XY, level_m: float, *, closed: bool = False, reach_m: float = 20.0
) -> tuple[LevelLine, ShapedSwale]:
    """A swale 0.5 m deep along stations, with cross slopes taken from the surface itself."""
    step = 1e-3
    x, y = xy.T
    slope = np.hypot(
        (surface(x + step, y) - surface(x - step, y)) / (2 * step),
        (surface(x, y + step) - surface(x, y - step)) / (2 * step),
    )
    line = LevelLine(level_m, closed, xy, surface(x, y), slope)
    return line, shape_swale(Stations.of_line(line, np.full(len(xy), reach_m)), 0.5, Section())


def plane_case(slope: float = 0.12) -> tuple[Surface, XY, float, bool]:
    """A plane that falls to the south-east."""

    def surface(x: XY, y: XY) -> XY:
        return 50.0 - slope * (0.6 * x - 0.8 * y)

    along = np.linspace(-12.0, 12.0, 25)[:, np.newaxis]
    centre = np.array([20.0, 20.0])
    return surface, centre + along * np.array([0.8, 0.6]), 50.0 - slope * (-4.0), False


def knoll_case() -> tuple[Surface, XY, float, bool]:
    """A whole ring of 15 m radius round a knoll of 10 %, downhill outside."""

    def surface(x: XY, y: XY) -> XY:
        return 10.0 - 0.10 * np.hypot(x - 25.0, y - 25.0)

    angle = np.linspace(0.0, 2 * np.pi, 95)[:-1]
    return surface, 25.0 + 15.0 * np.column_stack([np.cos(angle), np.sin(angle)]), 8.5, True


def arc_case() -> tuple[Surface, XY, float, bool]:
    """Two thirds of the ring round the knoll."""
    surface, xy, level_m, _ = knoll_case()
    return surface, xy[:63], level_m, False


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


def cone_case() -> tuple[Surface, XY, float, bool]:
    """A whole ring of 40 m radius round a knoll of 12 %, downhill outside."""

    def surface(x: XY, y: XY) -> XY:
        return 10.0 - 0.12 * np.hypot(x - 60.0, y - 60.0)

    angle = np.linspace(0.0, 2 * np.pi, 127)[:-1]
    return surface, 60.0 + 40.0 * np.column_stack([np.cos(angle), np.sin(angle)]), 5.2, True


def valley_case() -> tuple[Surface, XY, float, bool]:
    """Across a valley of 10 %, the berm on the inside of a bend of 6 m radius."""

    def hollow(x: XY) -> XY:
        return 0.10 * np.sqrt((x - 60.0) ** 2 + 36.0)

    def surface(x: XY, y: XY) -> XY:
        return 20.0 - 0.10 * y + hollow(x)

    x = np.linspace(90.0, 30.0, 2000)
    fine = shapely.LineString(np.column_stack([x, (hollow(x) + 6.0) / 0.10 - 10.0]))
    xy = shapely.get_coordinates(shapely.line_interpolate_point(fine, np.linspace(0.0, fine.length, 80)))
    return surface, xy, 15.0, False


@pytest.mark.parametrize("cell_m", [pytest.param(0.25, marks=pytest.mark.compiled), 0.5])
@pytest.mark.parametrize(
    ("case", "size_m"),
    [(plane_case, 40.0), (knoll_case, 50.0), (arc_case, 50.0), (basin_case, 100.0), (sinusoidal_case, 80.0)],
    ids=["plane", "knoll", "arc", "basin", "waves"],
)
def test_both_routes_agree(case: Callable[[], tuple[Surface, XY, float, bool]], size_m: float, cell_m: float) -> None:
    """Cut and fill on the raster are within 3 % of end areas on smooth ground."""
    surface, xy, level_m, closed = case()
    terrain = make_terrain(surface, cell_m, size_m)
    line, shape = shape_line(surface, xy, level_m, closed=closed)
    built = build_ground(terrain, [line], [shape])
    assert built.cut_m3[0] == pytest.approx(shape.cut_m3, rel=0.03)
    assert built.fill_m3[0] == pytest.approx(shape.berm_m3, rel=0.03)


def nodes_xy(built: BuiltGround) -> NDArray[np.float64]:
    """Centres of the fine cells, shape (blocks k², 2)."""
    row, column = np.nonzero(built.block >= 0)
    fine_row, fine_column = np.divmod(np.arange(built.k**2), built.k)
    at = [
        ((part[:, np.newaxis] + (fine + 0.5) / built.k) - 0.5)
        for part, fine in ((row, fine_row), (column, fine_column))
    ]
    return np.column_stack([part.ravel() for part in built.grid.centres(*at)])


def fine_raster(built: BuiltGround) -> tuple[NDArray[np.float64], Grid]:
    """The ground as built on fine cells all over, and their grid."""
    (rows, columns), k = built.grid.shape, built.k
    fine = np.kron(built.heights[: rows * columns].reshape(rows, columns), np.ones((k, k), np.float32))
    blocks = fine.reshape(rows, k, columns, k).swapaxes(1, 2)
    blocks[built.block >= 0] = built.heights[rows * columns :].reshape(-1, k, k)
    west, _, _, north = built.grid.bounds
    grid = Grid.from_corner((rows * k, columns * k), cell_m=built.fine_cell_m, west_m=west, north_m=north)
    return blocks.swapaxes(1, 2).reshape(rows * k, columns * k).astype(float), grid


def test_blocks_and_their_nodes() -> None:
    """Blocks are numbered by row and column; nodes hold the ground between cell centres and, untouched, stay so."""
    surface, xy, level_m, _ = plane_case()
    terrain = make_terrain(surface, 1.0, 40.0)
    built = build_ground(terrain, *([each] for each in shape_line(surface, xy, level_m)))
    cut_up = built.block >= 0
    assert (built.k, built.fine_cell_m) == (4, 0.25)
    np.testing.assert_array_equal(built.block[cut_up], np.arange(np.count_nonzero(cut_up)))
    assert {part.shape for part in (built.heights, built.natural, built.swale, built.part)} == {
        (1600 + 16 * np.count_nonzero(cut_up),)
    }
    np.testing.assert_array_equal(built.heights[:1600], terrain.heights.ravel())
    np.testing.assert_allclose(built.natural[1600:], surface(*nodes_xy(built).T), atol=1e-4)
    untouched = built.swale == 0
    np.testing.assert_array_equal(built.heights[untouched], built.natural[untouched])
    assert not built.swale[:1600].any()
    assert set(built.swale.tolist()) == {0, 1}


def test_heights_hold_the_volumes() -> None:
    """The difference of heights is fill less cut, and the floor and crest stand at their levels."""
    surface, xy, level_m, _ = plane_case()
    terrain = make_terrain(surface, 1.0, 40.0)
    line, shape = shape_line(surface, xy, level_m)
    built = build_ground(terrain, [line], [shape])
    for moved_m, area_m2 in ((built.cell_heights - terrain.heights, 1.0), (built.heights - built.natural, 0.25**2)):
        moved_m3 = moved_m.sum(dtype=float) * area_m2
        assert moved_m3 == pytest.approx(built.fill_m3[0] - built.cut_m3[0], abs=0.01)
    assert built.greatest_fill_m[0] == pytest.approx((built.heights - built.natural).max(), abs=1e-4)
    points = nodes_xy(built)
    seen = line_offsets(line.xy, points, closed=False)
    near, heights = np.hypot(*(points - line.xy[12]).T) < 6.0, built.heights[1600:]
    on_floor = near & (np.abs(seen.offset_m) < 0.3)
    np.testing.assert_allclose(heights[on_floor], shape.floor_level_m, atol=1e-4)
    assert (built.part[1600:][on_floor] == DITCH).all()
    assert heights[near & (seen.offset_m > 0)].max() == pytest.approx(shape.crest_level_m, abs=1e-4)


def test_only_the_returns_lie_beyond_the_ends() -> None:
    """Nothing is dug beyond the end stations of an open line, and only the ground under its returns is raised."""
    surface, xy, level_m, _ = plane_case()
    terrain = make_terrain(surface, 0.5, 40.0)
    line, shape = shape_line(surface, xy, level_m)
    built = build_ground(terrain, [line], [shape])
    change, points = (built.heights - built.natural)[terrain.grid.n_cells :], nodes_xy(built)
    beyond = np.abs((points - 20.0) @ np.array([0.8, 0.6])) > 12.0 + 0.5
    outlines = shapely.union_all(shapely.polygons(outline_xy(line, shape.returns)))
    under = shapely.contains_xy(outlines.buffer(-0.5), points)
    aside = ~shapely.contains_xy(outlines.buffer(0.5), points)
    assert (change[beyond & under] > 0).all()
    assert (change[beyond & aside] == 0).all()


def pond_of(heights: NDArray[np.floating], grid: Grid, line: LevelLine, sill_level_m: float) -> NDArray[np.bool_]:
    """Cells below the sill that hang together with the ditch."""
    labels, _ = ndimage.label(heights < sill_level_m, np.ones((3, 3)))
    row, column = (round(float(part)) for part in grid.rows_columns(*line.xy[len(line.xy) // 2]))
    assert labels[row, column] > 0
    return labels == labels[row, column]


def reaches_the_edge(pond: NDArray[np.bool_]) -> bool:
    """Whether water stands at the tile's edge."""
    return bool(pond[[0, -1]].any() or pond[:, [0, -1]].any())


def spill_level_m(heights: NDArray[np.float64], grid: Grid, line: LevelLine) -> float:
    """Level at which water in the middle of the ditch begins to leave: that of the pond that fills it."""
    mask = np.where(np.isnan(heights), -np.inf, heights)
    seed = np.full_like(mask, np.inf)
    seed[[0, -1]], seed[:, [0, -1]] = mask[[0, -1]], mask[:, [0, -1]]
    full = reconstruction(seed, mask, method="erosion", footprint=np.ones((3, 3)))
    row, column = (round(float(part)) for part in grid.rows_columns(*line.xy[len(line.xy) // 2]))
    return float(full[row, column])


@pytest.mark.compiled
@pytest.mark.parametrize("cell_m", [0.25, 0.5, 1.0, 2.0, 5.0])
@pytest.mark.parametrize(
    "case",
    [plane_case, lambda: plane_case(0.05), lambda: plane_case(0.2), cone_case, valley_case, sinusoidal_case],
    ids=["12 %", "5 %", "20 %", "cone", "valley", "waves"],
)
def test_pond_stands_at_the_sill(case: Callable[[], tuple[Surface, XY, float, bool]], cell_m: float) -> None:
    """A full pond spills at the sill's level and holds the storage; without a sill it spills at the crest's."""
    surface, xy, level_m, closed = case()
    terrain = make_terrain(surface, cell_m, 120.0)
    line, shape = shape_line(surface, xy, level_m, closed=closed)
    built = build_ground(terrain, [line], [shape], sills=[(0.3 * line.length_m, 4.0)])
    heights, grid = fine_raster(built)
    assert spill_level_m(heights, grid, line) == pytest.approx(shape.sill_level_m, abs=1e-3)
    pond = pond_of(heights, grid, line, shape.sill_level_m - 1e-4)
    held_m3 = (shape.sill_level_m - heights[pond]).sum() * grid.cell_area_m2
    assert held_m3 == pytest.approx(shape.storage_m3, rel=0.03)
    assert built.cut_m3[0] == pytest.approx(shape.cut_m3, rel=0.03)
    no_sill, _ = fine_raster(build_ground(terrain, [line], [shape]))
    assert spill_level_m(no_sill, grid, line) == pytest.approx(shape.crest_level_m, abs=0.02)


@pytest.mark.parametrize("case", [plane_case, lambda: plane_case(0.05), sinusoidal_case], ids=["12 %", "5 %", "waves"])
def test_pond_cannot_run_round_the_ends(case: Callable[[], tuple[Surface, XY, float, bool]]) -> None:
    """On the ground without its returns the pond runs out beyond the ends."""
    surface, xy, level_m, _ = case()
    terrain = make_terrain(surface, 0.5, 80.0)
    line, shape = shape_line(surface, xy, level_m)
    built = build_ground(terrain, [line], [shape])
    heights, grid = fine_raster(built)
    assert not reaches_the_edge(pond_of(heights, grid, line, shape.sill_level_m))
    points = np.column_stack([part.ravel() for part in grid.centres(*np.indices(grid.shape))])
    beyond = ~line_offsets(line.xy, points, closed=False).beside.reshape(grid.shape)
    left_open = np.where(beyond, surface(*points.T).reshape(grid.shape), heights)
    assert reaches_the_edge(pond_of(left_open, grid, line, shape.sill_level_m))


def test_return_on_flat_ground_ends_with_the_reach() -> None:
    """On a slope of 1 % the returns stop where the pond may reach no farther, on the ground as in the volumes."""
    surface, xy, level_m, _ = plane_case(0.01)
    terrain = make_terrain(surface, 0.25, 40.0)
    line, shape = shape_line(surface, xy, level_m, reach_m=8.0)
    built = build_ground(terrain, [line], [shape])
    points = nodes_xy(built)[(built.heights != built.natural)[terrain.grid.n_cells :]]
    assert ((points - 20.0) @ np.array([0.6, -0.8])).min() == pytest.approx(-8.0, abs=0.25)
    assert built.fill_m3[0] == pytest.approx(shape.berm_m3, rel=0.03)


def on_plane(*, bump_m: float, downhill_m: float) -> tuple[Terrain, LevelLine, ShapedSwale]:
    """A swale on a plane of 12 % with a bump, or a dip, so far downhill of the middle of its line."""
    plain, xy, level_m, _ = plane_case()
    middle = xy[12] + downhill_m * np.array([0.6, -0.8])

    def surface(x: XY, y: XY) -> XY:
        return plain(x, y) + bump_m * np.exp(-0.5 * ((x - middle[0]) ** 2 + (y - middle[1]) ** 2))

    return make_terrain(surface, 0.5, 40.0), *shape_line(plain, xy, level_m)


def test_band_holds_all_that_the_pond_may_reach() -> None:
    """Every cell beside the line that water at the crest's level covers is cut up, and the cells round it."""
    surface, xy, level_m, _ = plane_case(0.03)
    terrain = make_terrain(surface, 1.0, 60.0)
    line, shape = shape_line(surface, xy, level_m)
    built = build_ground(terrain, [line], [shape])
    points = np.column_stack([part.ravel() for part in terrain.grid.centres(*np.indices(terrain.grid.shape))])
    seen = line_offsets(line.xy, points, closed=False)
    uphill = (seen.beside & (seen.offset_m < 0.0)).reshape(terrain.grid.shape)
    wet = uphill & (terrain.heights < shape.crest_level_m)
    assert seen.offset_m[wet.ravel()].min() < -8.0
    assert (built.block[ndimage.binary_dilation(wet, np.ones((3, 3)))] >= 0).all()
    assert (built.block[uphill & (terrain.heights > shape.crest_level_m + 0.1)] < 0).mean() > 0.9


@pytest.mark.parametrize("downhill_m", [1.0, 3.0, 5.0])
def test_sill_is_cut_through_ground_that_stands_higher(downhill_m: float) -> None:
    """A mound on bench, berm or the slope below is cut to the sill's level out to daylight."""
    terrain, line, shape = on_plane(bump_m=0.8, downhill_m=downhill_m)
    built = build_ground(terrain, [line], [shape], sills=[(12.0, 4.0)])
    sill = built.part == SILL
    assert (built.natural[sill] > shape.sill_level_m + 0.1).any()
    assert built.heights[sill].max() <= np.float32(shape.sill_level_m)
    heights, grid = fine_raster(built)
    assert spill_level_m(heights, grid, line) == pytest.approx(shape.sill_level_m, abs=1e-3)


def test_soil_that_the_ditch_lacks() -> None:
    """Over a dip the berm takes more than the ditch gives; at the balanced crest it takes just that, and holds less."""
    terrain, line, shape = on_plane(bump_m=-0.8, downhill_m=3.0)
    built = build_ground(terrain, [line], [shape], fill_factor=0.9)
    assert built.short_soil_m3[0] == pytest.approx(built.fill_m3[0] - 0.9 * built.cut_m3[0])
    assert built.short_soil_m3[0] > 2.0
    lower = replace(shape, crest_level_m=float(built.balanced_crest_m[0]))
    assert shape.crest_level_m - 0.3 < lower.crest_level_m < shape.crest_level_m - 0.02
    assert built.balanced_storage_m3[0] == lower.storage_m3 < shape.storage_m3
    balanced = build_ground(terrain, [line], [lower], fill_factor=0.9)
    assert balanced.fill_m3[0] == pytest.approx(0.9 * balanced.cut_m3[0], rel=0.01)
    assert (balanced.short_soil_m3[0], balanced.balanced_crest_m[0]) == (0.0, lower.crest_level_m)


def test_works_of_one_swale_leave_the_ditch_of_another_open() -> None:
    """Two lines 3.5 m apart share ground, the upper ditch stays as it was, and their order makes no difference."""
    surface, xy, level_m, _ = plane_case()
    terrain = make_terrain(surface, 0.5, 40.0)
    lower_xy = xy + 3.5 * np.array([0.6, -0.8])
    swales = [shape_line(surface, xy, level_m), shape_line(surface, lower_xy, level_m - 0.42)]
    both = build_ground(terrain, *zip(*swales, strict=True))
    alone = build_ground(terrain, *zip(*swales[:1], strict=True))
    assert both.shared_m2[0] == both.shared_m2[1] > 10.0
    assert alone.shared_m2[0] == 0.0
    (heights, grid), (without, _) = fine_raster(both), fine_raster(alone)
    dug = fine_raster(replace(alone, heights=alone.part.astype(np.float32)))[0] == DITCH
    assert (heights[dug] <= without[dug]).all()
    assert grid.cell_area_m2 * np.count_nonzero(dug) > 30.0
    np.testing.assert_array_equal(build_ground(terrain, *zip(*swales[::-1], strict=True)).heights, both.heights)


def test_voids_stay_void() -> None:
    """A void under a swale stays one and takes no earth."""
    surface, xy, level_m, _ = plane_case()
    whole = make_terrain(surface, 0.5, 40.0)
    heights = np.array(whole.heights)
    heights[30:50, 30:50] = np.nan
    line, shape = shape_line(surface, xy, level_m)
    built = build_ground(Terrain.from_heights(heights, whole.grid), [line], [shape])
    np.testing.assert_array_equal(np.isnan(built.cell_heights), np.isnan(heights))
    assert (built.block[np.isnan(heights)] == -1).all()
    assert np.isfinite(built.heights[heights.size :]).all()
    assert 0 < built.cut_m3[0] < build_ground(whole, [line], [shape]).cut_m3[0]


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
    """One input gives one surface, to the byte."""
    surface, xy, level_m, _ = sinusoidal_case()
    terrain = make_terrain(surface, 0.5, 80.0)
    line, shape = shape_line(surface, xy, level_m)
    first, second = (build_ground(terrain, [line], [shape]).heights.tobytes() for _ in range(2))
    assert first == second
