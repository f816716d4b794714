"""The longest way of water to each stop against single walks."""

import numpy as np
import pytest
from flow_twins import make_terrain, rough_heights, walk

from swalekit.errors import InputError
from swalekit.flow.accumulation import longest_paths
from swalekit.flow.catchments import first_met
from swalekit.flow.network import build_flow_network


@pytest.mark.parametrize("seed", range(3))
def test_longest_paths_agree_with_walks(seed: int) -> None:
    """Each label's longest path is the longest of all single walks from its cells, and so is its fall."""
    rng = np.random.default_rng(seed)
    heights = rough_heights(rng, (16, 18), tilt=-0.1)
    heights[3, rng.integers(18)] = np.nan
    terrain = make_terrain(heights, cell_m=2.0)
    network = build_flow_network(terrain, noise_depth_m=0.3)
    stops = np.zeros((16, 18), np.int32)
    stops[:, 9] = 1
    labels = first_met(network, stops, n_stops=1)
    n_labels = 2 + network.hollows.pit.size
    length, fall = longest_paths(network, terrain, stops, labels, n_labels=n_labels)
    walks: dict[int, list[tuple[float, float]]] = {label: [(0.0, 0.0)] for label in range(n_labels)}
    ends = {*np.flatnonzero(stops), *network.hollows.pit}
    for i in network.order:
        rows, columns = np.unravel_index(walk(network, i, ends=ends), (16, 18))
        steps = 2.0 * np.hypot(np.diff(rows), np.diff(columns))
        walks[labels.flat[i]].append((steps.sum(), terrain.heights.flat[i] - terrain.heights[rows[-1], columns[-1]]))
    assert network.hollows.pit.size > 0
    for label, (found, drop) in enumerate(zip(length, fall, strict=True)):
        greatest = max(run for run, _ in walks[label])
        assert found == pytest.approx(greatest, rel=1e-5)
        assert any(drop == pytest.approx(own, abs=1e-6) for run, own in walks[label] if run > greatest - 1e-3)


def test_longest_paths_want_enough_labels() -> None:
    """A label beyond those announced is refused."""
    terrain = make_terrain([[3.0, 2.0, 1.0]])
    network = build_flow_network(terrain, noise_depth_m=0.0)
    ones = np.ones((1, 3), np.int32)
    with pytest.raises(InputError, match="greatest_label is 1"):
        longest_paths(network, terrain, ones, ones, n_labels=1)
