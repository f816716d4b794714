"""Units laid on made ground: planes, a cone, a rough hillside below the sea, each with things in the way."""

import numpy as np
import pytest
import shapely
from scipy.interpolate import RegularGridInterpolator
from scipy.ndimage import gaussian_filter
from sites import plane

from swalekit.errors import InputError
from swalekit.grid import Grid
from swalekit.microcatchments.fall import fall_blocks, fall_of
from swalekit.microcatchments.lay_negarim import lay_negarim
from swalekit.microcatchments.lay_semicircles import lay_semicircles
from swalekit.microcatchments.negarim import bund_height_m, corner_water_m3
from swalekit.microcatchments.open_ground import OpenGround
from swalekit.microcatchments.semicircle import half_disc_water_m3
from swalekit.microcatchments.sizing import semi_circular_choices
from swalekit.microcatchments.units import HIGHEST, LEFT, LOWEST, RIGHT, Units
from swalekit.tables.microcatchments import negarim_sizes
from swalekit.terrain.terrain import Terrain

SIZES = {row.side_m: row for row in negarim_sizes()}
TREE_M2 = 74.3


def cone() -> Terrain:
    """A round hill that falls 3 % all round."""
    at = np.arange(200) - 99.5
    return Terrain.from_heights(100.0 - 0.03 * np.hypot(*np.meshgrid(at, at)), Grid.from_corner((200, 200), cell_m=1.0))


def rough() -> Terrain:
    """Noisy ground in cells of 2 m, 400 m below the sea, in New Zealand's CRS."""
    noise = np.random.default_rng(1)
    south, east = np.mgrid[0:150, 0:150] * 2.0
    bumps = gaussian_filter(noise.standard_normal(south.shape), 8.0) * 8.0
    heights = -400.0 - 0.03 * south - 0.01 * east + bumps + 0.03 * noise.standard_normal(south.shape)
    return Terrain.from_heights(heights, Grid.from_corner((150, 150), cell_m=2.0, crs="EPSG:2193"))


def humpy() -> Terrain:
    """A plane of 3 % with humps a hand high, a few metres wide."""
    even = plane(0.03, shape=(150, 150))
    humps = gaussian_filter(np.random.default_rng(4).standard_normal(even.grid.shape), 2.0)
    return Terrain.from_heights(even.heights + 0.07 * humps / humps.std(), even.grid)


def with_hole() -> Terrain:
    """A plane with ground that nobody has seen."""
    heights = plane(0.03, shape=(150, 150)).heights.copy()
    heights[60:75, 40:60] = np.nan
    return Terrain.from_heights(heights, plane(0.03, shape=(150, 150)).grid)


GROUND = {"plane": lambda: plane(0.03, shape=(150, 150)), "gentle": lambda: plane(0.008, shape=(150, 150)),
          "cone": cone, "rough": rough, "hole": with_hole}  # fmt: skip


def opened(terrain: Terrain) -> OpenGround:
    """The tile less a rim, a house and a watercourse."""
    west, south, east, north = terrain.grid.bounds
    house = shapely.box(west + 40.0, south + 40.0, west + 60.0, south + 55.0)
    taken = terrain.grid.zeros(np.bool_)
    taken[:, taken.shape[1] // 2] = True
    return OpenGround(terrain, shapely.box(west, south, east, north).buffer(-3.0).difference(house.buffer(5.0)), taken)


def lay(kind: str, ground: OpenGround) -> Units:
    """Units of a kind for a tree that needs 74 m² besides its roots."""
    if kind == "negarim":
        return lay_negarim(ground, SIZES[6.0])
    return lay_semicircles(ground, semi_circular_choices(TREE_M2), catchment_m2=TREE_M2)


CASES = [(kind, name) for kind in ("negarim", "semi-circular") for name in GROUND]


@pytest.fixture(scope="module", params=CASES, ids="-".join)
def laid(request):
    """Open ground and what was laid there."""
    kind, name = request.param
    ground = opened(GROUND[name]())
    return ground, lay(kind, ground)


def heights_at(terrain: Terrain, xy):
    """Between cell centres by another library."""
    grid = terrain.grid
    x, _ = grid.centres(0, np.arange(grid.shape[1]))
    _, y = grid.centres(np.arange(grid.shape[0]), 0)
    return RegularGridInterpolator((y[::-1], x), terrain.heights[::-1].astype(float))(xy[..., ::-1])


def test_there_are_many(laid):
    """Units fill the ground."""
    ground, units = laid
    assert len(units) > (300 if units.kind == "negarim" else 15)
    assert units.unit_m2.sum() < ground.area.area
    assert set(units.block) == set(range(1, units.block.max() + 1))


def test_no_unit_overlaps_another(laid):
    """Squares touch at most; of two half moons not even the bunds touch."""
    _, units = laid
    shapes = units.outlines if units.kind == "negarim" else shapely.buffer(units.bunds, 0.35)
    first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    pairs = first < second
    shared = shapely.area(shapely.intersection(shapes[first[pairs]], shapes[second[pairs]]))
    assert shared.max(initial=0.0) < 1e-6 * shapely.area(shapes).max()


def test_bunds_of_neighbouring_blocks_keep_apart(laid):
    """Their feet don't meet."""
    _, units = laid
    feet = shapely.buffer(units.bunds, 0.37, cap_style="flat")
    first, second = shapely.STRtree(feet).query(feet, predicate="intersects")
    assert not np.any(units.block[first] != units.block[second])


def test_all_lie_on_open_ground(laid):
    """Within the area, off the watercourse's cells and off unknown ground, with the foot of their bunds."""
    ground, units = laid
    works = shapely.union(units.outlines, shapely.buffer(units.bunds, 0.37, cap_style="flat"))
    assert shapely.covers(ground.area, works).all()
    grid = ground.terrain.grid
    closed = ground.taken | ~ground.terrain.valid
    row, column = np.nonzero(closed)
    x, y = grid.centres(row, column)
    half = grid.cell_m / 2.0
    cells = shapely.box(x - half, y - half, x + half, y + half)
    hits, met = shapely.STRtree(cells).query(works, predicate="intersects")
    depth = shapely.area(shapely.intersection(works[hits], cells[met]))
    assert depth.max(initial=0.0) < 0.05 * grid.cell_area_m2  # a corner of a cell between two points may be cut


def test_tips_are_level(laid):
    """Both tips of a half moon by another library's bilinear heights; a square's corners within its block's turn."""
    ground, units = laid
    levels = heights_at(ground.terrain, units.pegs_m)
    assert levels == pytest.approx(units.levels_m, abs=1e-3)
    apart = np.abs(levels[:, LEFT] - levels[:, RIGHT])
    if units.kind == "semi-circular":
        assert apart.max() < 0.02
    elif ground.terrain.grid.cell_m == 1.0:
        assert apart.max() <= 6.0 * np.sqrt(2.0) * 0.03 * np.sin(np.radians(31.0))


def test_the_pit_is_at_the_lowest_corner(laid):
    """On even ground every square's first corner is the lowest of the four, its third the highest."""
    ground, units = laid
    if units.kind == "negarim" and ground.terrain.grid.cell_m == 1.0:
        assert (units.levels_m.argmin(axis=1) == LOWEST).all()
        assert (units.levels_m.argmax(axis=1) == HIGHEST).all()
    assert (units.levels_m[:, LOWEST] < units.levels_m[:, HIGHEST]).mean() > 0.95


def test_slopes_are_within_the_published_range(laid):
    """No unit lies on steeper ground than its kind, or its size, is published for."""
    ground, units = laid
    assert (units.slope >= ground.least_slope - 1e-9).all()
    assert units.slope.max() <= (0.05 if units.kind == "negarim" else 0.05 + 1e-9)
    small = units.slope[units.size_m == 6.0]
    if units.kind == "semi-circular":
        assert (
            (small <= 0.01 + 1e-6) | (small >= 0.04 - 1e-6)
        ).all()  # the small also take what is beyond the published


def test_walls_are_counted_once():
    """Soil of a block: 0.125 m² over the length of all its walls, where every wall is 25 cm high."""
    units = lay_negarim(opened(plane(0.01, shape=(150, 150))), SIZES[5.0])
    walls = set()
    for pegs in units.pegs_m.round(3):
        for one, other in ((LOWEST, LEFT), (LOWEST, RIGHT), (HIGHEST, LEFT), (HIGHEST, RIGHT)):
            walls.add(frozenset([tuple(pegs[one]), tuple(pegs[other])]))
    assert units.bund_m3.sum() == pytest.approx(0.125 * 5.0 * len(walls), rel=1e-6)
    assert shapely.length(units.bunds).sum() == pytest.approx(5.0 * len(walls), rel=1e-6)


def test_no_stretch_of_wall_belongs_to_two_units(laid):
    """Middle lines of the bunds of a block lie on one another nowhere."""
    _, units = laid
    for block in np.unique(units.block)[:5]:
        own = units.bunds[units.block == block]
        assert shapely.union_all(shapely.set_precision(own, 1e-4)).length == pytest.approx(
            shapely.length(own).sum(), rel=1e-4
        )


def test_bunds_are_turned_to_the_contour():
    """On a round hill the straight rows of a block would leave few tips level: turned, they fill the ground."""
    terrain = cone()
    ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(np.bool_))
    units = lay("semi-circular", ground)
    across = units.pegs_m[:, RIGHT] - units.pegs_m[:, LEFT]
    outward = units.pegs_m[:, HIGHEST] - np.array(shapely.box(*terrain.grid.bounds).centroid.coords[0])
    lengths = np.hypot(*across.T) * np.hypot(*outward.T)
    assert len(units) > 40
    assert np.abs((across * outward).sum(axis=1) / lengths).max() < 0.02


@pytest.mark.parametrize("kind", ["negarim", "semi-circular"])
def test_water_held_on_uneven_ground(kind):
    """Depths below each unit's level at points of another grid, by another library's heights."""
    ground = opened(humpy())
    units = lay(kind, ground)
    share = (np.arange(60) + 0.5) / 60.0
    one, other = (part.ravel()[:, np.newaxis] for part in np.meshgrid(share, share))
    held = []
    for pegs, height_m in zip(units.pegs_m, units.bund_height_m, strict=True):
        if kind == "negarim":
            xy = pegs[LOWEST] + one * (pegs[LEFT] - pegs[LOWEST]) + other * (pegs[RIGHT] - pegs[LOWEST])
            z, cell_m2 = heights_at(ground.terrain, xy), 36.0 / len(xy)
            fitted, *_ = np.linalg.lstsq(np.column_stack([np.ones(len(xy)), xy - pegs[LOWEST]]), z, rcond=None)
            level = fitted[0] + height_m - 0.10
        else:
            angle, away = np.pi * one, np.sqrt(other)
            right, down = pegs[RIGHT] - pegs[HIGHEST], pegs[LOWEST] - pegs[HIGHEST]
            xy = pegs[HIGHEST] + away * (np.cos(angle) * right + np.sin(angle) * down)
            z, cell_m2 = heights_at(ground.terrain, xy), np.pi * float(right @ right) / 2.0 / len(xy)
            level = heights_at(ground.terrain, pegs[[LEFT, RIGHT]]).min()
        held.append(np.maximum(level - z, 0.0).sum() * cell_m2)
    found = units.held_m3 - units.pit_m3
    assert np.abs(found - held).max() < 0.05 * max(held)
    assert found.sum() == pytest.approx(sum(held), rel=0.01)


def test_rows_of_half_moons_are_staggered():
    """On a plane the next row's middles lie half way between those above, one published pitch below."""
    terrain = plane(0.03, shape=(200, 200))
    units = lay("semi-circular", OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(np.bool_)))
    middles = units.pegs_m[:, HIGHEST]
    rows = np.unique(middles[:, 1].round(2))
    assert np.diff(rows) == pytest.approx(25.13, abs=0.02)
    upper, lower = (np.sort(middles[middles[:, 1].round(2) == row][:, 0]) for row in rows[:2])
    assert (np.abs(upper - lower[0]) % 25.0).min() == pytest.approx(12.5, abs=0.01)


@pytest.mark.parametrize("slope", [0.01, 0.03, 0.045])
def test_water_held_on_a_plane(slope):
    """By the formulas of one unit, turned as the ground falls."""
    ground = opened(plane(slope, shape=(150, 150)))
    squares = lay_negarim(ground, SIZES[8.0], freeboard_m=0.10)
    depth_m = bund_height_m(8.0, slope) - 0.10
    expected = SIZES[8.0].pit_m3 + float(corner_water_m3(depth_m, 8.0, slope))
    assert squares.held_m3 == pytest.approx(expected, rel=0.01)
    moons = lay("semi-circular", ground)
    expected = half_disc_water_m3(moons.size_m, slope)
    assert moons.held_m3 == pytest.approx(expected, rel=0.01)


def test_ground_of_no_slope_and_of_too_much_holds_none():
    """Nothing is laid on 0.2 % or 8 %, and the limits can be widened."""
    for slope in (0.002, 0.08):
        ground = opened(plane(slope, shape=(100, 100)))
        assert len(lay("negarim", ground)) == len(lay("semi-circular", ground)) == 0
    terrain = plane(0.08, shape=(100, 100))
    wider = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(np.bool_), greatest_slope=0.1)
    assert len(lay_negarim(wider, SIZES[5.0])) > 100


def test_a_bund_higher_than_any_published_is_not_laid():
    """A square of 10 m on 4.5 % would need 64 cm; the table ends at 60."""
    ground = opened(plane(0.045, shape=(100, 100)))
    assert len(lay_negarim(ground, SIZES[10.0])) == 0
    assert lay_negarim(ground, SIZES[8.0]).bund_height_m.max() == pytest.approx(0.55)


def test_turned_ground_gives_the_same():
    """A plane that falls east holds as many units as one that falls south, within a row."""
    south = opened(plane(0.03, shape=(150, 150)))
    turned = Terrain.from_heights(np.rot90(plane(0.03, shape=(150, 150)).heights, 1), south.terrain.grid)
    east = OpenGround(turned, shapely.box(*turned.grid.bounds).buffer(-3.0), turned.grid.zeros(np.bool_))
    free = OpenGround(south.terrain, east.area, east.taken)
    assert len(lay("negarim", east)) == pytest.approx(len(lay("negarim", free)), rel=0.02)


def test_the_same_ground_gives_the_same_units():
    """Bit by bit."""
    one, other = (lay("negarim", opened(rough())) for _ in range(2))
    assert all(np.array_equal(getattr(one, name), getattr(other, name)) for name in vars(one) if name != "kind")


def test_no_area_no_units():
    """An area off the tile, and one too small for a unit."""
    terrain = plane(0.03, shape=(40, 40))
    west, south, _, _ = terrain.grid.bounds
    for area in (shapely.Polygon(), shapely.box(0.0, 0.0, 1.0, 1.0), shapely.box(west, south, west + 4.0, south + 4.0)):
        ground = OpenGround(terrain, area, terrain.grid.zeros(np.bool_))
        assert len(lay("negarim", ground)) == len(lay("semi-circular", ground)) == 0


def test_fall_is_read_exactly_at_edges_and_beside_voids():
    """A plane's slope and direction in every cell that holds ground."""
    terrain = with_hole()
    ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(np.bool_))
    fall = fall_of(ground, width_m=11.0)
    known = np.isfinite(fall.slope)
    assert np.array_equal(known, terrain.valid)
    assert fall.slope[known] == pytest.approx(0.03, abs=2e-5)
    assert fall.direction[known] == pytest.approx(-np.pi / 2.0, abs=1e-3)


def test_fall_is_the_same_in_strips(monkeypatch):
    """Work in strips of rows changes nothing."""
    ground = opened(rough())
    whole = fall_of(ground, width_m=12.0)
    monkeypatch.setattr("swalekit.microcatchments.fall._STRIP_CELLS", 3000)
    strips = fall_of(ground, width_m=12.0)
    assert strips.slope == pytest.approx(whole.slope, abs=1e-6, nan_ok=True)


@pytest.mark.parametrize("degrees", [0.0, 0.4, 90.0, 179.9, 359.7])
def test_even_ground_is_one_block(degrees):
    """Whichever way it falls, also across the direction where angles begin anew."""
    at = np.arange(60.0)
    x, y = np.meshgrid(at, -at)
    angle = np.radians(degrees)
    heights = 50.0 - 0.03 * (x * np.cos(angle) + y * np.sin(angle))
    terrain = Terrain.from_heights(heights, Grid.from_corner((60, 60), cell_m=1.0))
    ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(np.bool_))
    fall = fall_of(ground, width_m=9.0)
    ((_, block, found),) = fall_blocks(fall, fall.slope > 0.0, turn_rad=np.radians(10.0), least_m2=25.0)
    assert block.all()
    assert (np.degrees(found) - degrees + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda ground: lay_negarim(ground, SIZES[5.0], turn_deg=60.0), "turn_deg is 60; it must lie between 5 and 30"),
        (lambda ground: lay_negarim(ground, SIZES[5.0], freeboard_m=-0.1), "freeboard_m is -0.1"),
        (lambda ground: lay_semicircles(ground, (), catchment_m2=70.0, tip_tolerance_m=0.0), "tip_tolerance_m is 0"),
        (lambda ground: OpenGround(ground.terrain, ground.area, ground.taken, 0.06), "least_slope is 0.06"),
        (lambda ground: OpenGround(ground.terrain, ground.area, ground.taken[1:]), "arrays differ in shape"),
    ],
)
def test_what_cannot_be_fails(call, words):
    """In one line."""
    with pytest.raises(InputError, match=words):
        call(opened(plane(0.03, shape=(40, 40))))
