"""First stores met and single paths."""

import numpy as np
import pytest
from flow_twins import make_terrain, rough_heights, walk

from swalekit.errors import InputError
from swalekit.flow.accumulation import accumulate
from swalekit.flow.catchments import first_met, label_cells, rim_cells, trace_path
from swalekit.flow.network import build_flow_network
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

SHAPE = (18, 22)


def barriers(rng) -> np.ndarray:
    """Two lines across the tile, each joined side to side, with labels 1 and 2."""
    stops = np.zeros(SHAPE, np.int32)
    for label, middle in ((1, 5), (2, 12)):
        before = middle
        for column in range(SHAPE[1]):
            row = int(np.clip(before + rng.integers(-2, 3), middle - 3, middle + 3))
            stops[min(before, row) : max(before, row) + 1, column] = label
            before = row
    return stops


def example(seed, *, noise_depth_m):
    """Rough ground that falls to the south, with barriers across it."""
    rng = np.random.default_rng(seed)
    heights = rough_heights(rng, SHAPE[::-1], tilt=-0.1).T
    heights[0, rng.integers(SHAPE[1])] = np.nan
    return build_flow_network(make_terrain(heights), noise_depth_m=noise_depth_m), barriers(rng)


@pytest.mark.parametrize("noise_depth_m", [0.5, 1e9])
@pytest.mark.parametrize("seed", range(3))
def test_first_met_agrees_with_walks(seed, noise_depth_m):
    """The label is that of the first stop or hollow on each single walk."""
    network, stops = example(seed, noise_depth_m=noise_depth_m)
    labels = first_met(network, stops, n_stops=2)
    hollow_at = {pit: 3 + h for h, pit in enumerate(network.hollows.pit)}
    for i in network.order:
        met = [stops.flat[j] or hollow_at.get(j, 0) for j in walk(network, i)]
        assert labels.flat[i] == next((label for label in met if label), 0)


@pytest.mark.parametrize("seed", range(4))
def test_no_path_slips_through_a_barrier(seed):
    """Water that starts above a line joined side to side and ends below it has met it."""
    network, stops = example(seed, noise_depth_m=1e9)
    labels = first_met(network, stops, n_stops=2)
    above = (np.cumsum(stops == 1, axis=0) == 0).ravel()
    crossing = [i for i in network.order if above[i] and not above[walk(network, i)[-1]]]
    assert len(crossing) > 10
    assert (labels.ravel()[crossing] == 1).all()


@pytest.mark.parametrize("seed", range(3))
def test_catchments_share_out_the_tile(seed):
    """The areas of all labels add up to the valid area; a hollow's is what reaches its pit when hollows are closed."""
    network, _ = example(seed, noise_depth_m=0.5)
    labels = first_met(network, np.zeros(SHAPE, np.int32), n_stops=0)
    areas = np.bincount(labels[labels >= 0], minlength=1 + network.hollows.pit.size)
    closed = np.ones(network.hollows.pit.size, bool)
    assert areas.sum() == network.order.size == labels.size - 1
    assert (areas[1:] == accumulate(network, closed=closed).ravel()[network.hollows.pit]).all()


def test_dome_rings_have_equal_areas():
    """Between contours at equal vertical intervals every ring of a paraboloid z = H - c r² has the area pi VI / c."""
    row, column = np.indices((161, 161))
    radius_m = 0.5 * np.hypot(row - 80, column - 80)
    network = build_flow_network(make_terrain(100 - 0.01 * radius_m**2, cell_m=0.5), noise_depth_m=0.0)
    ring = np.ceil(0.01 * radius_m**2 / 4.0).astype(np.int32)  # VI = 4 m
    ring[80, 80] = 1
    beyond = np.maximum.reduce([np.roll(ring, (r, c), (0, 1)) for r in (-1, 0, 1) for c in (-1, 0, 1)])
    stops = np.where((beyond > ring) & (ring <= 3), ring, 0).astype(np.int32)
    areas_m2 = 0.25 * np.bincount(first_met(network, stops, n_stops=3).ravel())
    # each ring gains or loses at most a few of its boundary cells: 2 % of some 5000
    np.testing.assert_allclose(areas_m2[1:4], np.pi * 4.0 / 0.01, rtol=0.02)


@pytest.mark.parametrize("ignore", [0, 1, 2])
@pytest.mark.parametrize("seed", range(2))
def test_trace_path_agrees_with_walks(seed, ignore):
    """The path is the walk to the first stop that is not ignored, to a pit, or to the end."""
    network, stops = example(seed, noise_depth_m=0.5)
    flat = stops.ravel()
    ends = set(network.hollows.pit) | set(np.flatnonzero((flat > 0) & (flat != ignore)))
    for start in network.order[::7]:
        path, label = trace_path(network, start, stops, ignore=ignore)
        assert path.tolist() == walk(network, start, ends=ends)
        assert label == (flat[path[-1]] if flat[path[-1]] != ignore else 0)


def test_path_from_a_hollows_spill_goes_on():
    """From where a hollow spills the path goes on to the next store."""
    row = [9, 3, 7, 6, 5, 4]
    network = build_flow_network(make_terrain([[9] * 6, row, [9] * 6]), noise_depth_m=0.5)
    stops = np.zeros((3, 6), np.int32)
    stops[1, 4] = 1
    path, label = trace_path(network, network.hollows.spill_to[0], stops)
    assert path[-1] == 6 + 4
    assert label == 1


def test_stop_on_a_pit_catches_first():
    """A stop that covers a hollow's pit is what the water meets there."""
    network = build_flow_network(make_terrain([[9, 9, 9], [9, 1, 8], [9, 9, 9]]), noise_depth_m=0.5)
    stops = np.zeros((3, 3), np.int32)
    assert first_met(network, stops, n_stops=1)[1, 1] == 2
    stops[1, 1] = 1
    assert first_met(network, stops, n_stops=1)[1, 1] == 1


@pytest.mark.parametrize(
    ("stops", "message"),
    [(np.zeros((2, 3), np.int32), "differ in shape"), (np.full((3, 3), 2, np.int32), "greatest_stop is 2")],
)
def test_wrong_stops_fail(stops, message):
    """Stops of another shape, or with a label beyond their number, are refused."""
    network = build_flow_network(make_terrain(np.eye(3)), noise_depth_m=0.0)
    with pytest.raises(InputError, match=message):
        first_met(network, stops, n_stops=1)


def test_start_off_the_grid_fails():
    """A path can't start where there is no cell."""
    network = build_flow_network(make_terrain(np.eye(3)), noise_depth_m=0.0)
    with pytest.raises(InputError, match="start is 9"):
        trace_path(network, 9, np.zeros((3, 3), np.int32))


def test_label_cells_agree_with_a_plain_count():
    """Every label and class is counted as numpy counts it."""
    random = np.random.default_rng(4)
    labels = random.integers(-1, 5, (9, 7)).astype(np.int32)
    classes = random.integers(0, 3, (9, 7)).astype(np.uint8)
    counts = label_cells(labels, n_labels=5, classes=classes, n_classes=3)
    expected = [[np.sum((labels == k) & (classes == c)) for c in range(3)] for k in range(5)]
    np.testing.assert_array_equal(counts, expected)


def test_rim_cells_are_those_on_the_edge_or_beside_a_void():
    """A 5 × 5 tile with a void in the middle has 16 edge cells and 4 beside the void."""
    heights = np.ones((5, 5))
    heights[2, 2] = np.nan
    terrain = Terrain.from_heights(heights, Grid.from_corner((5, 5), cell_m=1.0))
    labels = np.where(terrain.valid, 0, -1).astype(np.int32)
    labels[0] = 1
    np.testing.assert_array_equal(rim_cells(terrain, labels, n_labels=2), [15, 5])
