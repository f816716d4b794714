"""A storm poured over the ground: worked cases, a slow twin, and what no pour may break."""

import numpy as np
import pytest
from flow_twins import rough_heights
from pour_twins import SlowPour, channel, mixed_cells, plain, rough_cells
from scipy import ndimage
from skimage.morphology import reconstruction

from swalekit.errors import InputError
from swalekit.flow.mixed_cells import MixedCells
from swalekit.flow.pour import basin_sums, pour_onto, pour_over, poured_surface

DH_3 = """-9 -9 -9 -9 -9 -9 -9 -9 -9 -9
-9 9 9 9 9 9 9 9 9 -9
-9 9 8 8 8 8 7 6 9 -9
-9 9 8 7 8 7 6 5 9 -9
-9 9 8 7 8 6 5 4 9 -9
-9 9 8 8 8 5 4 3 9 -9
-9 9 7 6 5 4 3 2 9 -9
-9 9 7 6 5 4 3 1 9 -9
-9 9 9 9 9 9 9 9 9 -9
-9 -9 -9 -9 -9 -9 -9 -9 -9 -9"""
N_1, N_2 = (8, 4, 2, 5, 1, 3, 7), (10, 3, 6, 2, 7, 0, 4, 9)


def rained(surface, depth_m):
    """Inflow of rain on the row of a channel, none of it on the walls and the sea."""
    depth = np.zeros((3, surface.cells.grid.shape[1]))
    depth[1, 1:-1] = depth_m
    return basin_sums(surface, depth.ravel())[:, 0]


def at_pits(surface, **inflow_m3):
    """Inflow by the height of the pit, as in ``at_2=5.0``."""
    heights = surface.cells.heights[surface.pit].astype(int).tolist()
    inflow = np.zeros(len(heights) + 1)
    for name, volume in inflow_m3.items():
        inflow[1 + heights.index(int(name.removeprefix("at_")))] = volume
    return inflow


def by_spill(surface, values):
    """Values of the depressions by the height of the lowest pit and the spill level."""
    lowest = np.full(len(surface), np.inf)
    lowest[: surface.pit.size] = surface.cells.heights[surface.pit]
    for node, up in enumerate(surface.parent):
        if up >= 0:
            lowest[up] = min(lowest[up], lowest[node])
    keys = zip(lowest.tolist(), surface.spill_level_m.tolist(), strict=True)
    return {key: round(value, 9) for key, value in zip(keys, values.tolist(), strict=True)}


@pytest.mark.parametrize(("sill", "volume"), [(2, []), (3, [5]), (4, [10])])
def test_fsm_water_level_equation(sill, volume):
    """Check values DH-1: five cells whose heights sum to 10 hold 0, 5, 10 below a sill at 2, 3, 4."""
    assert channel([20, 2, 2, 2, 2, 2, sill]).volume_m3.tolist() == volume


@pytest.mark.parametrize(("water", "level", "left"), [(10, 4.0, 0), (8, 3.6, 0), (12, 4.0, 2)])
def test_fsm_water_level(water, level, left):
    """Check values DH-2: the same pit with its sill at 4; what is too much goes over it."""
    surface = channel([20, 1, 2, 2, 2, 3, 4])
    pour = pour_onto(surface, at_pits(surface, at_1=water))
    assert pour.pond_level_m == pytest.approx([level], abs=1e-12)
    assert pour.left_m3 == left


def test_fsm_move_water_into_pits():
    """Check values DH-3: two pits of a basin of 36 cells, and what a unit of rain on every cell does."""
    # mirrored: one cell has two steepest ways, the first of which is taken here and the other in the paper's test
    surface = poured_surface(plain([line.split()[::-1] for line in DH_3.splitlines()]))
    assert by_spill(surface, surface.volume_m3) == {(1, 8): 73, (7, 8): 2, (1, 9): 111}
    assert sorted(basin_sums(surface)[:, 0].tolist()) == [6, 30, 64]
    pour = pour_onto(surface, basin_sums(surface)[:, 0])
    assert by_spill(surface, pour.held_m3) == {(1, 8): 34, (7, 8): 2, (1, 9): 36}
    assert pour.left_m3 == 64


def test_fsm_fill_depressions():
    """Check values DH-4: depths at the sill, and with 3 units in the upper two cells."""
    heights = np.full((6, 4), 4.0)
    heights[1:5, 1:3] = [[1, 1], [3, 3], [2, 1], [1, 1]]
    surface = poured_surface(plain(heights))
    assert by_spill(surface, surface.volume_m3)[1, 4] == 19
    upper = int(np.flatnonzero(surface.pit < 12)[0])
    inflow = np.zeros(3)
    inflow[1 + upper] = 3.0
    depth = (pour_onto(surface, inflow).level_m - surface.cells.heights).reshape(6, 4)[1:5, 1:3]
    np.testing.assert_array_equal(depth, [[1.5, 1.5]] + 3 * [[np.nan, np.nan]])
    full = pour_onto(surface, np.array([0.0, 19.0, 0.0]))
    np.testing.assert_array_equal(
        (full.level_m - surface.cells.heights).reshape(6, 4)[1:5, 1:3], [[3, 3], [1, 1], [2, 3], [3, 3]]
    )
    assert full.left_m3 == 0


def test_n1_volumes():
    """Check values N1-a: a parent holds its parts, and the ground over them."""
    surface = channel(N_1)
    assert by_spill(surface, surface.volume_m3) == {(2, 5): 4, (1, 5): 6, (1, 7): 20}


@pytest.mark.parametrize(
    ("inflow", "held", "level", "left"),
    [
        (1.0, (2, 3, 5), (4.0, 3.5), 2.0),
        ({"at_2": 5, "at_1": 1}, (4, 2, 6), (5.0, 3.0), 0.0),
        (2.2, (4, 6, 11), (5.2, 5.2), 4.4),
        (2.5, (4, 6, 12.5), (5.5, 5.5), 5.0),
        ({"at_2": 14, "at_1": 9}, (4, 6, 20), (7.0, 7.0), 3.0),
    ],
)
def test_n1_pours(inflow, held, level, left):
    """Check values N1-b to N1-f: fill, spill, merge in two pits; ends of the row drain off."""
    surface = channel(N_1)
    pour = pour_onto(surface, at_pits(surface, **inflow) if isinstance(inflow, dict) else rained(surface, inflow))
    assert by_spill(surface, pour.held_m3) == dict(zip([(2, 5), (1, 5), (1, 7)], held, strict=True))
    levels = by_spill(surface, pour.pond_level_m)
    assert (levels[2, 5], levels[1, 5]) == level
    assert pour.left_m3 == pytest.approx(left, abs=1e-12)


@pytest.mark.parametrize(
    ("inflow", "held", "levels", "left"),
    [
        ({}, (0, 0, 0, 0, 0), {}, 0),
        ({"at_3": 5}, (3, 2, 5, 0, 5), {(3, 6): 6.0, (2, 6): 4.0}, 0),
        ({"at_3": 12}, (3, 4, 10, 2, 12), {(2, 7): 7.0, (0, 7): 2.0}, 0),
        ({"at_3": 12, "at_2": 6, "at_0": 8}, (3, 4, 10, 10, 26), {(0, 9): 8.0, (3, 6): 8.0}, 0),
        ({"at_3": 40}, (3, 4, 10, 10, 32), {(0, 9): 9.0}, 8),
        ({"at_3": 4, "at_2": 4}, (3, 4, 8, 0, 8), {(2, 7): round(19 / 3, 9)}, 0),
    ],
)
def test_n2_pours(inflow, held, levels, left):
    """Check values N2-a to N2-f: three levels of nested depressions."""
    surface = channel(N_2)
    keys = [(3, 6), (2, 6), (2, 7), (0, 7), (0, 9)]
    assert by_spill(surface, surface.volume_m3) == dict(zip(keys, (3, 4, 10, 10, 32), strict=True))
    pour = pour_onto(surface, at_pits(surface, **inflow))
    assert by_spill(surface, pour.held_m3) == dict(zip(keys, held, strict=True))
    found = by_spill(surface, pour.pond_level_m)
    assert {key: found[key] for key in levels} == levels
    assert pour.left_m3 == left


def test_water_that_passes_is_told_where_it_passes():
    """Of 12 units into A, 9 go on to B, and 2 of both over the saddle to C; of 40 all that isn't held leaves at C's."""
    surface = channel(N_2)
    passed = by_spill(surface, pour_onto(surface, at_pits(surface, at_3=12)).passed_m3)
    assert passed == {(3, 6): 9, (2, 6): 5, (2, 7): 2, (0, 7): 0, (0, 9): 0}
    assert by_spill(surface, pour_onto(surface, at_pits(surface, at_3=40)).passed_m3)[0, 9] == 8


@pytest.mark.parametrize("k", [1, 2, 3, 4])
@pytest.mark.parametrize("seed", range(4))
def test_slow_twin(seed, k):
    """Ponds that rise one by one stand where the pour says, whatever the cells are cut into."""
    cells, rng = rough_cells(seed, k, shape=(9, 10) if k > 1 else (16, 17))
    runoff = rng.exponential(0.7, cells.heights.size) * (rng.random(cells.heights.size) < 0.3)
    pour = pour_over(cells, runoff)
    assert np.unique(np.append(pour.surface.parent, -1)).size > 2
    twin = SlowPour(cells)
    for node in twin.nodes:
        twin.pour(node, twin.area[node] * runoff[node])
    assert pour.left_m3 == pytest.approx(twin.left, rel=1e-9)
    assert pour.stored_m3 == pytest.approx(twin.stored, rel=1e-9)
    level = np.where(np.isnan(pour.level_m), cells.heights, pour.level_m)
    np.testing.assert_allclose(level[twin.nodes], twin.level[twin.nodes], atol=1e-5)


@pytest.mark.parametrize("seed", range(4))
def test_full_levels_are_the_reconstruction(seed):
    """With water enough for all, it stands at the surface that erosion from the rim reconstructs."""
    rng = np.random.default_rng(seed)
    heights = ndimage.gaussian_filter(rng.normal(size=(40, 50)), 1.0)
    heights[rng.random(heights.shape) < 0.01] = np.nan
    cells = plain(heights)
    mask = np.where(np.isnan(heights), -np.inf, cells.heights.reshape(heights.shape))
    rim = ndimage.binary_dilation(np.isnan(heights), np.ones((3, 3)))
    rim[[0, -1]] = rim[:, [0, -1]] = True
    seed_levels = np.where(rim, mask, mask.max())
    wanted = reconstruction(seed_levels, mask, method="erosion", footprint=np.ones((3, 3)))
    level = pour_over(cells, 1e3).level_m.reshape(heights.shape)
    known = ~np.isnan(heights)
    np.testing.assert_array_equal(np.where(np.isnan(level), mask, level)[known], wanted[known].astype(np.float32))


@pytest.mark.parametrize("depth_m", [0.0, 0.02, 0.2, 2.0])
@pytest.mark.parametrize("k", [1, 3])
def test_water_is_conserved_and_stands_below_its_spill_level(k, depth_m):
    """Rain on known ground is what stands and what left; no pond stands above its spill level; what passes adds up."""
    cells, _ = rough_cells(11, k, shape=(30, 40), voids=20)
    surface = poured_surface(cells)
    inflow = basin_sums(surface, depth_m)[:, 0]
    pour = pour_onto(surface, inflow)
    assert inflow.sum() == pytest.approx(depth_m * cells.node_area_m2().sum(), rel=1e-12)
    assert pour.stored_m3 + pour.left_m3 == pytest.approx(inflow.sum(), rel=1e-9)
    level = np.where(np.isnan(pour.level_m), 0.0, pour.level_m - cells.heights)
    assert (level * cells.node_area_m2())[cells.node_area_m2() > 0].sum() == pytest.approx(pour.stored_m3, rel=1e-4)
    root = surface.parent < 0
    assert (pour.water_m3 <= surface.room_m3).all()
    assert not (pour.pond_level_m[root] > surface.spill_level_m[root]).any()
    came = np.append(inflow[1:], np.zeros(len(surface) - surface.pit.size + 1))
    full = pour.onward >= 0
    np.add.at(came, pour.onward[full], pour.passed_m3[full])
    np.testing.assert_allclose(came[:-1], pour.water_m3 + pour.passed_m3, rtol=1e-9, atol=1e-9)
    assert came[-1] + inflow[0] == pytest.approx(pour.left_m3, rel=1e-9)


def test_the_order_of_the_pour_changes_nothing_that_stands():
    """Two pours added one after the other stand as one: poured onto what is left of the room."""
    cells, rng = rough_cells(5, 2, shape=(20, 20))
    surface = poured_surface(cells)
    flipped = MixedCells(cells.grid, 2, cells.block, cells.heights)
    inflow = rng.exponential(1.0, surface.pit.size + 1)
    whole, again = pour_onto(surface, inflow), pour_onto(poured_surface(flipped), inflow)
    np.testing.assert_array_equal(whole.water_m3, again.water_m3)


MOVES = {
    "shifted": lambda heights: np.pad(heights, 1, constant_values=np.nan),
    "raised": lambda heights: heights + 512.0,
    "turned": np.rot90,
    "mirrored": np.fliplr,
    "transposed": np.transpose,
}


@pytest.mark.parametrize("move", MOVES)
@pytest.mark.parametrize("seed", range(2))
def test_totals_do_not_depend_on_where_the_ground_lies(seed, move):
    """Ground without ties that is shifted, raised, turned or mirrored holds, passes and loses the same."""
    heights = rough_heights(np.random.default_rng(seed), (30, 34), tilt=0.02)
    pours = [pour_over(plain(ground, 2.0), 0.3) for ground in (heights, MOVES[move](heights))]
    for name in ("water_m3", "passed_m3"):
        before, after = (np.sort(getattr(pour, name)) for pour in pours)
        np.testing.assert_allclose(after, before, rtol=1e-9, atol=1e-9)
    assert pours[1].left_m3 == pytest.approx(pours[0].left_m3, rel=1e-12)
    assert pours[0].stored_m3 > 0


@pytest.mark.parametrize("k", [1, 2, 3, 4])
def test_a_plane_loses_all_its_water(k):
    """On mixed cells of a plane every drop leaves, and the area of all basins is the plane's."""
    rng = np.random.default_rng(k)
    cells = mixed_cells(lambda x, y: 0.13 * x - 0.21 * y + 900_000.0, rng.random((12, 15)) < 0.3, k, cell_m=2.0)
    surface = poured_surface(cells)
    assert surface.pit.size == 0
    assert basin_sums(surface).sum() == pytest.approx(12 * 15 * 4.0, rel=1e-12)
    assert pour_over(cells, 0.1).left_m3 == pytest.approx(72.0, rel=1e-12)


@pytest.mark.parametrize("k", [1, 2, 3, 4])
def test_ditch_and_berm_on_a_plane_hold_the_known_volume(k):
    """A level ditch of 1 m by 16 m on fine cells, the ends of its berm closed: depths below the sill, by hand."""
    slope, south = 0.1, 4_000_000.0 - 24.0

    def built(x, y):
        x, y = x - 500_000.0, y - south
        ground = 100.0 + slope * y
        berm = (x >= 6) & (x < 22) & (y >= 10) & (y < 11)
        wing = (((x >= 5) & (x < 6)) | ((x >= 22) & (x < 23))) & (y >= 10) & (y < 14)
        ditch = (x >= 6) & (x < 22) & (y >= 11) & (y < 12)
        sill = berm & (x >= 13) & (x < 14)
        return np.where(sill, 101.3, np.where(berm | wing, 101.6, np.where(ditch, 100.5, ground)))

    rows = 23.5 - np.arange(24)
    cut = np.zeros((24, 28), bool)
    cut[(rows > 9) & (rows < 15), 4:24] = True
    cells = mixed_cells(built, cut, k)
    surface = poured_surface(cells)
    # y of the fine rows above the ditch that lie below the sill
    y = 12.0 + (np.arange(k) + 0.5) / k
    wanted = 16 * 0.8 + 16 * np.maximum(101.3 - (100.0 + slope * y), 0.0).mean()
    root = int(np.argmax(surface.volume_m3))
    assert surface.spill_level_m[root] == pytest.approx(101.3, abs=1e-5)
    assert surface.volume_m3[root] == pytest.approx(wanted, rel=1e-4)
    x, y = cells.centres(surface.spill[root])
    assert 13 < x - 500_000.0 < 14
    assert 10 < y - south < 11
    pour = pour_over(cells, 0.05)
    assert pour.held_m3[root] == pytest.approx(min(wanted, 0.05 * basin_sums(surface)[1:].sum()), rel=1e-9)


def test_noise_holds_nothing():
    """Depressions shallower than the noise down to their lowest pit pass all; what lies in a deeper one counts."""
    cells = plain([[20.0] * 10, [-9, 8, 4, 7, 6.5, 6.9, 1, 5, 7.5, -9], [20.0] * 10])
    free, calm = poured_surface(cells), poured_surface(cells, noise_depth_m=4.0)
    assert free.volume_m3.max() > 0
    assert by_spill(calm, calm.room_m3) == by_spill(free, free.room_m3)
    flat = poured_surface(cells, noise_depth_m=7.0)
    assert flat.room_m3.sum() == 0
    assert pour_onto(flat, np.ones(flat.pit.size + 1)).left_m3 == flat.pit.size + 1


def test_deep_nests_are_no_trouble():
    """A stair of thousands of nested pits fills and spills without recursion."""
    steps = np.arange(4000)
    row = np.empty(8000)
    row[0::2], row[1::2] = 10.0 + steps, 20.0 - 1.0 / (1.0 + steps) + steps
    surface = channel([*row, 1e5])
    pour = pour_onto(surface, rained(surface, 3.0))
    assert pour.stored_m3 + pour.left_m3 == pytest.approx(3.0 * 8001, rel=1e-9)


def test_wrong_inflow_fails():
    """Inflow is one volume a basin, none below zero."""
    surface = channel(N_1)
    with pytest.raises(InputError, match="differ in shape"):
        pour_onto(surface, np.zeros(2))
    with pytest.raises(InputError, match="inflow to basin 2 is -1 m³"):
        pour_onto(surface, np.array([0.0, 0.0, -1.0]))


def test_wrong_depths_fail():
    """Depths and classes are one a node."""
    surface = channel(N_1)
    with pytest.raises(InputError, match="differ in shape"):
        basin_sums(surface, np.zeros(3))
    with pytest.raises(InputError, match="greatest_class"):
        basin_sums(surface, classes=np.full(27, 2, np.uint8), n_classes=2)
