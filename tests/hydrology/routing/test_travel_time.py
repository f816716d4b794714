"""Travel times against the handbooks, and flow paths against single walks."""

import numpy as np
import pytest
from flow_twins import make_terrain, rough_heights, walk

from swalekit.errors import InputError
from swalekit.flow.accumulation import longest_paths
from swalekit.flow.catchments import first_met
from swalekit.flow.network import build_flow_network
from swalekit.hydrology.routing.travel_time import (
    overland_travel_h,
    overland_velocity_m_s,
    roughness,
)
from swalekit.tables.load import named_rows
from swalekit.units import METRES_PER_FOOT


def test_tr_55_example_3_1() -> None:
    """TR-55 (1986) example 3-1: 1400 ft of shallow flow down a grassed slope of 1 % take 0.24 h."""
    length_m = 1400.0 * METRES_PER_FOOT
    assert float(overland_travel_h(length_m, 0.01 * length_m, "grassed waterway")) == pytest.approx(0.24, abs=0.01)


def test_hds_2_example_2_1() -> None:
    """HDS-2 example 2.1: forest at 1 % sheds water at 0.076 m/s, a grassed waterway at 0.8 % at 0.409 m/s."""
    assert float(overland_velocity_m_s(0.010, "forest litter or hay meadow")) == pytest.approx(0.076, abs=0.001)
    # HDS-2 rounds the waterway's coefficient to 15 ft/s, NEH 630 ch. 15 prints 16.135
    assert float(overland_velocity_m_s(0.008, "grassed waterway")) == pytest.approx(0.409 * 16.135 / 15.0, rel=0.002)


def test_flat_path_is_given_the_least_slope() -> None:
    """A path without fall takes as long as one of the least slope, one of no length no time, and no path stays NaN."""
    hours = overland_travel_h([100.0, 100.0, 0.0, np.nan], [-0.1, 1.0, 0.0, np.nan], "nearly bare", least_slope=0.01)
    assert hours[0] == hours[1] > 0
    assert hours[2] == 0
    assert np.isnan(hours[3])


@pytest.mark.parametrize("table", ["roughness", "overland_velocity"])
def test_rows_have_unit_and_source(table: str) -> None:
    """No number stands without unit and source."""
    assert all(row.value > 0 and row.unit and row.source for row in named_rows(table).values())


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: overland_velocity_m_s(-0.1, "nearly bare"), "slope is -0.1"),
        (lambda: overland_velocity_m_s(0.1, "nearly bear"), "did you mean 'nearly bare'"),
        (lambda: overland_travel_h(1.0, 1.0, "nearly bare", least_slope=0.0), "least_slope is 0"),
        (lambda: roughness("range"), "natural range"),
    ],
)
def test_travel_time_fails(call, words: str) -> None:
    """Values that can't be are refused by name."""
    with pytest.raises(InputError, match=words):
        call()


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
