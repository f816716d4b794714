"""The flow network against slow twins, other libraries and what must not change it."""

import numba
import numpy as np
import pytest
from flow_twins import assert_flow_network, flood_levels, flooded_ponds, make_terrain, rim_cells, rough_heights, walk
from hypothesis import given, settings
from hypothesis import strategies as st

from swalekit.errors import InputError
from swalekit.flow.accumulation import accumulate
from swalekit.flow.catchments import first_met
from swalekit.flow.hollow_ponds import drowned, pond_labels, pond_level_m
from swalekit.flow.network import build_flow_network
from swalekit.kernels.flow_receivers import steepest_receivers


def ground(seed, rows, columns, n_levels, void_share):
    """Random heights: whole numbers with flats and ties, or (no levels given) without; some voids."""
    rng = np.random.default_rng(seed)
    heights = rng.integers(n_levels, size=(rows, columns)) if n_levels else rng.uniform(-430, -400, (rows, columns))
    return np.where(rng.random((rows, columns)) < void_share, np.nan, heights).astype(np.float32)


sides = st.sampled_from([1, 2, 3, 5, 7, 8, 9, 10, 11, 12])
any_ground = st.builds(
    ground, st.integers(0, 2**32), sides, sides, st.sampled_from([0, 2, 4, 10]), st.sampled_from([0.0, 0.05])
).filter(lambda heights: np.isfinite(heights).any())
noise_depths_m = st.sampled_from([0.0, 1.0, 2.5, np.finfo(np.float32).max])


@settings(deadline=None, derandomize=True, max_examples=150)
@given(heights=any_ground, noise_depth_m=noise_depths_m)
def test_any_ground_keeps_the_promises(heights, noise_depth_m):
    """Every promise holds on any ground, flats, ties and voids included."""
    terrain = make_terrain(heights)
    network = build_flow_network(terrain, noise_depth_m=noise_depth_m)
    assert_flow_network(network, terrain)
    assert (network.hollows.depth_m >= noise_depth_m).all()


def sums_by_level(ponds):
    """Level, volume and area of all ponds at one level together: those that only touch may count as one."""
    level, volume, area = np.reshape(ponds, (-1, 3)).T
    levels, group = np.unique(level, return_inverse=True)
    return np.column_stack([levels, np.bincount(group, volume), np.bincount(group, area)]) if levels.size else levels


@settings(deadline=None, derandomize=True, max_examples=150)
@given(heights=any_ground, noise_depth_m=noise_depths_m)
def test_hollows_are_those_of_a_priority_flood(heights, noise_depth_m):
    """Level, volume, area and cells of the outermost ponds are those between ground and filled surface."""
    terrain = make_terrain(heights)
    hollows = build_flow_network(terrain, noise_depth_m=noise_depth_m).hollows
    wet, ponds = flooded_ponds(heights.astype(np.float64))
    outer = hollows.drowns_in < 0
    if noise_depth_m == 0 or np.unique(heights).size == heights.size:
        kept = [pond for pond in ponds if pond[1] >= noise_depth_m]
        found = np.column_stack([hollows.spill_level_m, hollows.pond_m3, hollows.area_m2])[outer]
        np.testing.assert_allclose(sums_by_level(found), sums_by_level([(p[0], p[2], p[3]) for p in kept]), rtol=1e-12)
    assert hollows.volume_m3.sum() == pytest.approx(hollows.pond_m3[outer].sum(), rel=1e-12)
    inner = hollows.drowns_in[~outer]
    assert (hollows.spill_level_m[inner] >= hollows.spill_level_m[~outer]).all()
    if noise_depth_m == 0:
        network = build_flow_network(terrain, noise_depth_m=0.0)
        assert ((pond_labels(network, terrain, hollows.spill_level_m) > 0) == wet).all()


@settings(deadline=None, derandomize=True, max_examples=100)
@given(heights=any_ground)
def test_carved_paths_climb_no_higher_than_the_flood(heights):
    """Where all hollows are noise, the highest ground on a path is the level a flood reaches at its start."""
    terrain = make_terrain(heights)
    network = build_flow_network(terrain, noise_depth_m=1e9)
    filled = flood_levels(heights.astype(np.float64)).ravel()
    for i in network.order:
        assert heights.ravel()[walk(network, i)].max() == filled[i]


@settings(deadline=None, derandomize=True, max_examples=100)
@given(heights=any_ground)
def test_ponds_drain_to_their_pit(heights):
    """From any cell under a full pond the path reaches the pond's own pit without leaving the water."""
    terrain = make_terrain(heights)
    network = build_flow_network(terrain, noise_depth_m=0.0)
    hollows = network.hollows
    labels = pond_labels(network, terrain, hollows.spill_level_m).ravel()
    for i in np.flatnonzero(labels):
        path = walk(network, i, ends=[hollows.pit[labels[i] - 1]])
        assert path[-1] == hollows.pit[labels[i] - 1]
        assert (labels[path] == labels[i]).all()


def test_nested_hollows_fill_in_turn():
    """Of two pits below one spill point the one that fills first spills into the other; both are one pond above it."""
    row = [9, 3, 5, 2, 7, 4, 6, 1]
    terrain = make_terrain([[9] * 8, row, [9] * 8])
    network = build_flow_network(terrain, noise_depth_m=0.5)
    hollows = network.hollows
    assert hollows.pit.tolist() == [8 + 3, 8 + 5, 8 + 1]
    assert hollows.spill_to.tolist() == [8 + 5, 8 + 6, 8 + 2]
    assert hollows.spill_level_m.tolist() == [7, 6, 5]
    assert hollows.drowns_in.tolist() == [-1, -1, 0]
    assert hollows.volume_m3.tolist() == [3 + 2 + 4, 2, 2]
    assert hollows.pond_m3.tolist() == [4 + 2 + 5, 2, 2]


def test_runoff_sets_the_turn():
    """The hollow that gets the runoff fills first and spills into its neighbour, whichever is the deeper."""
    row = [9, 3, 5, 2, 7, 1]
    terrain = make_terrain([[9] * 6, row, [9] * 6])
    runoff = np.zeros((3, 6), np.float32)
    for column, first, second in ((1, 6 + 1, 6 + 3), (3, 6 + 3, 6 + 1)):
        runoff[:] = 0.0
        runoff[1, column] = 1.0
        network = build_flow_network(terrain, noise_depth_m=0.5, runoff=runoff)
        assert_flow_network(network, terrain)
        assert network.hollows.pit.tolist() == [second, first]
        assert network.hollows.drowns_in.tolist() == [-1, 0]


@pytest.mark.parametrize(
    ("row", "rain", "levels"),
    [
        ([8, 4, 2, 5, 1, 3, 7], 1.0, {4.0, 3.5}),
        ([8, 4, 2, 5, 1, 3, 7], 2.2, {5.2}),
        ([8, 4, 2, 5, 1, 3, 7], 2.5, {5.5}),
    ],
)
def test_rain_stands_where_fill_spill_merge_leaves_it(row, rain, levels):
    """Worked by hand: A {4, 2} and B {1, 3} share a saddle of 5 and spill at 7; B has the saddle's own rain."""
    wall, low = [99.0] * (len(row) + 2), -9.0
    terrain = make_terrain([wall, [low, *row, low], wall])
    runoff = np.zeros(terrain.grid.shape, np.float32)
    runoff[1, 1:-1] = rain
    network = build_flow_network(terrain, noise_depth_m=0.0, runoff=runoff)
    local = first_met(network, np.zeros(terrain.grid.shape, np.int32), n_stops=0)
    reached_m3 = np.bincount(local.ravel(), weights=runoff.ravel(), minlength=3)[1:]
    for hollow in np.argsort(network.hollows.spill_level_m, kind="stable"):  # the one that drowns, then the other
        surplus = max(reached_m3[hollow] - network.hollows.volume_m3[hollow], 0.0)
        reached_m3[hollow] -= surplus
        below = network.hollows.drowns_in[hollow]
        if below >= 0:
            reached_m3[below] += surplus
    level_m = pond_level_m(network, terrain, reached_m3)
    standing = ~drowned(network.hollows, reached_m3)
    assert {round(float(level), 6) for level in level_m[standing]} == levels


def test_noise_inside_a_kept_hollow_counts_with_it():
    """A shallow pit that spills into a deeper pond is carved toward that pond's pit."""
    row = [9, 3.95, 4, 2, 7, 1]
    network = build_flow_network(make_terrain([[9] * 6, row, [9] * 6]), noise_depth_m=0.5)
    assert network.hollows.pit.tolist() == [6 + 3]
    assert network.hollows.filled_count == 1
    assert network.receiver[6 + 1 : 6 + 5].tolist() == [6 + 2, 6 + 3, 6 + 4, 6 + 5]


@pytest.mark.parametrize("noise_depth_m", [0.5, 5.0])
def test_hollow_on_the_rim_spills_off_the_tile(noise_depth_m):
    """Water leaves at the lowest rim cell, which becomes an outlet, whether the hollow is kept or not."""
    terrain = make_terrain([[9, 9, 9, 9], [6, 4, 5, 9], [9, 9, 9, 9]])
    network = build_flow_network(terrain, noise_depth_m=noise_depth_m)
    assert_flow_network(network, terrain)
    assert network.receiver[4] == network.receiver[5] == 4
    assert network.hollows.spill_to.tolist() == ([4] if noise_depth_m < 2 else [])


@pytest.mark.parametrize("drain_column", [0, 8])
def test_flats_drain_by_a_shortest_way(drain_column):
    """Water crosses level ground in as few steps as there are, toward where the flat drains."""
    heights = np.full((7, 9), 5.0)
    heights[[0, -1]] = heights[:, [0, -1]] = 9.0
    heights[3, drain_column] = 1.0
    network = build_flow_network(make_terrain(heights), noise_depth_m=0.5)
    assert network.hollows.pit.size == 0
    for row, column in np.argwhere(heights == 5.0):
        steps = len(walk(network, row * 9 + column)) - 1
        assert steps == max(abs(drain_column - column), abs(row - 3))


def test_void_is_where_water_leaves():
    """A cell beside a void without lower neighbour is an outlet, not a pit."""
    heights = np.full((5, 5), 9.0)
    heights[2, 1], heights[2, 2] = 3.0, np.nan
    network = build_flow_network(make_terrain(heights), noise_depth_m=0.0)
    assert network.hollows.pit.size == 0
    assert network.receiver[11] == 11
    assert network.order.size == 24


def turned(array, how):
    """Array mirrored or turned by a quarter; ``back`` undoes it."""
    return {"mirror": np.fliplr, "turn": np.rot90, "back": lambda a: np.rot90(a, -1), "shift": np.asarray}[how](array)


@pytest.mark.parametrize("how", ["mirror", "turn", "shift"])
@pytest.mark.parametrize("seed", [0, 1, 2, 51])
def test_mirror_turn_and_shift_change_nothing(how, seed):
    """Accumulated areas and hollows do not depend on the way the tile lies, nor on its height above the sea."""
    heights = rough_heights(np.random.default_rng(seed), (25, 32), tilt=0.05)
    networks = [
        build_flow_network(make_terrain(h), noise_depth_m=0.3)
        for h in (heights, turned(heights, how) - (430.0 if how == "shift" else 0.0))
    ]
    first, second = (accumulate(network) for network in networks)
    assert (turned(second, "back" if how == "turn" else how) == first).all()
    assert networks[0].hollows.pit.size > 2
    for name in ("depth_m", "volume_m3", "area_m2"):
        np.testing.assert_array_equal(*(np.sort(getattr(network.hollows, name)) for network in networks))


def test_long_narrow_tile_keeps_the_promises():
    """A tile with far more basins than columns is no exception."""
    terrain = make_terrain(np.random.default_rng(5).random((200, 5)))
    network = build_flow_network(terrain, noise_depth_m=0.0)
    assert_flow_network(network, terrain)
    ponds = flooded_ponds(terrain.heights.astype(np.float64))[1]
    assert network.hollows.pit.size > len(ponds) > 50
    assert network.hollows.volume_m3.sum() == pytest.approx(sum(pond[2] for pond in ponds), rel=1e-12)


def test_number_of_threads_changes_nothing():
    """Receivers are the same on one thread and on all."""
    heights = rough_heights(np.random.default_rng(7), (40, 40)).astype(np.float32)
    every, alone = np.zeros((2, heights.size), np.int32)
    steepest_receivers(heights, every)
    threads = numba.get_num_threads()
    try:
        numba.set_num_threads(1)
        steepest_receivers(heights, alone)
        assert (alone == every).all()
    finally:
        numba.set_num_threads(threads)


def test_negative_noise_depth_fails():
    """A noise depth below zero is refused with its value."""
    with pytest.raises(InputError, match=r"noise_depth_m is -0\.1"):
        build_flow_network(make_terrain(np.ones((3, 3))), noise_depth_m=-0.1)


@pytest.mark.compiled
@pytest.mark.parametrize("size", [150, 151])
def test_large_ground_keeps_the_promises(size):
    """A tile with thousands of pits, flats and voids holds what small ones do."""
    rng = np.random.default_rng(size)
    heights = np.round(rough_heights(rng, (size, 2 * size), tilt=0.01) / 8)
    heights[rng.random(heights.shape) < 0.01] = np.nan
    terrain = make_terrain(heights)
    network = build_flow_network(terrain, noise_depth_m=0.0)
    assert_flow_network(network, terrain)
    wet, ponds = flooded_ponds(terrain.heights.astype(np.float64))
    assert network.hollows.pit.size > len(ponds) > 300
    assert network.hollows.volume_m3.sum() == pytest.approx(sum(pond[2] for pond in ponds), rel=1e-12)
    outlets = rim_cells(terrain.valid) & (network.receiver == np.arange(heights.size)).reshape(heights.shape)
    assert accumulate(network)[outlets].sum() == terrain.valid.sum()
    assert not (wet & outlets).any()


@pytest.mark.compiled
def test_filled_volume_agrees_with_pyflwdir():
    """The ponds hold what pyflwdir's filled surface (Wang and Liu 2006) lies above the ground."""
    dem = pytest.importorskip("pyflwdir").dem
    heights = rough_heights(np.random.default_rng(3), (80, 90)).astype(np.float32)
    filled, _ = dem.fill_depressions(heights)
    hollows = build_flow_network(make_terrain(heights), noise_depth_m=0.0).hollows
    assert hollows.volume_m3.sum() == pytest.approx(np.sum(filled - heights, dtype=np.float64), rel=1e-12)
    assert hollows.volume_m3.sum() > 1000


@pytest.mark.compiled
def test_accumulation_agrees_with_pyflwdir():
    """On ground without hollows every cell has as many cells upstream as pyflwdir counts on the same directions."""
    pyflwdir = pytest.importorskip("pyflwdir")
    row, column = np.indices((60, 70))
    dome = -np.hypot(row - 30, 2 * (column - 35)) + 0.2 * np.random.default_rng(4).random((60, 70))
    network = build_flow_network(make_terrain(dome), noise_depth_m=0.0)
    assert network.hollows.filled_count == network.hollows.pit.size == 0
    next_row, next_column = np.divmod(network.receiver.reshape(60, 70), 70)
    codes = np.array([[32, 64, 128], [16, 0, 1], [8, 4, 2]], np.uint8)[next_row - row + 1, next_column - column + 1]
    upstream = pyflwdir.from_array(codes, ftype="d8").upstream_area(unit="cell")
    assert (upstream == accumulate(network)).all()
