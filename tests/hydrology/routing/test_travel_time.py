"""Travel times against the handbooks, and flow paths against single walks."""

import numpy as np
import pytest
from flow_twins import make_terrain, rough_heights, walk

from swalekit.errors import InputError
from swalekit.flow.catchments import first_met
from swalekit.flow.network import build_flow_network
from swalekit.flow.travel import longest_paths
from swalekit.hydrology.routing.travel_time import (
    manning_velocity_m_s,
    overland_travel_h,
    overland_velocity_m_s,
    roughness,
    sheet_flow_h,
    sheet_flow_limit_m,
    travel_time_h,
)
from swalekit.tables.load import named_rows
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH


def test_tr_55_example_3_1() -> None:
    """TR-55 (1986) example 3-1: 0.30 h of sheet flow, 0.24 h of shallow flow, 0.99 h in the channel, 1.53 h in all."""
    sheet = sheet_flow_h(
        100.0 * METRES_PER_FOOT, 0.01, roughness=roughness("dense grass").value, rain_2y_24h_mm=3.6 * MM_PER_INCH
    )
    shallow = travel_time_h(1400.0 * METRES_PER_FOOT, float(overland_velocity_m_s(0.01, "grassed waterway")))
    velocity = manning_velocity_m_s(27.0 / 28.2 * METRES_PER_FOOT, 0.005, roughness=0.05)
    channel = travel_time_h(7300.0 * METRES_PER_FOOT, velocity)
    assert [sheet, shallow, channel] == pytest.approx([0.30, 0.24, 0.99], abs=0.01)
    assert sheet + shallow + channel == pytest.approx(1.53, abs=0.01)


@pytest.mark.parametrize(
    ("area_ft2", "perimeter_ft", "n", "published_ft_s"),
    [(48, 22, 0.040, 6.3), (55, 35, 0.055, 3.7), (55, 39, 0.055, 3.4), (50, 26, 0.040, 5.7), (56, 28, 0.040, 5.9)],
)
def test_neh_15_table_15_5(area_ft2: float, perimeter_ft: float, n: float, published_ft_s: float) -> None:
    """Manning speeds of NEH 630 ch. 15, Table 15-5, on a slope of 1 %."""
    velocity = manning_velocity_m_s(area_ft2 / perimeter_ft * METRES_PER_FOOT, 0.01, roughness=n)
    assert velocity / METRES_PER_FOOT == pytest.approx(published_ft_s, abs=0.1)


@pytest.mark.parametrize(
    ("n", "slope", "published_ft"),
    [(0.13, 0.01, 77), (0.41, 0.01, 24), (0.80, 0.01, 12.5), (0.13, 0.05, 172), (0.41, 0.05, 55), (0.80, 0.05, 28)],
)
def test_neh_15_table_15_2(n: float, slope: float, published_ft: float) -> None:
    """Greatest lengths of sheet flow of NEH 630 ch. 15, Table 15-2."""
    assert sheet_flow_limit_m(slope, roughness=n) / METRES_PER_FOOT == pytest.approx(published_ft, abs=0.5)


def test_hds_2_example_2_1() -> None:
    """HDS-2 example 2.1: 43 m of forest, 79 m of grassed waterway and 146 m of channel take 1300 s."""
    forest, waterway = overland_velocity_m_s([0.010, 0.008], "forest litter or hay meadow")[0], 0.409
    channel = manning_velocity_m_s(0.3, 0.008, roughness=0.15)
    assert forest == pytest.approx(0.076, abs=0.001)
    assert channel == pytest.approx(0.27, abs=0.005)
    seconds = [3600 * travel_time_h(*reach) for reach in ((43, float(forest)), (79, waterway), (146, channel))]
    assert sum(seconds) == pytest.approx(1300, rel=0.02)
    # HDS-2 rounds the waterway's coefficient to 15 ft/s, NEH 630 ch. 15 prints 16.135
    assert float(overland_velocity_m_s(0.008, "grassed waterway")) == pytest.approx(0.409 * 16.135 / 15.0, rel=0.002)


def test_hds_2_example_2_3() -> None:
    """HDS-2 example 2.3: a trapezoid 0.7 m deep, 0.3 m wide, sides 2:1, at 1.2 % and n 0.04 flows at 1.36 m/s."""
    radius = 0.7 * (0.3 + 2 * 0.7) / (0.3 + 2 * 0.7 * np.sqrt(5.0))
    assert radius == pytest.approx(0.35, abs=0.005)
    assert manning_velocity_m_s(radius, 0.012, roughness=0.04) == pytest.approx(1.36, abs=0.01)


def test_manning_of_the_fluids_library() -> None:
    """R 0.2859 m at 0.5236 % and n 0.03 flows at 1.0468 m/s, as in the tests of the library `fluids`."""
    assert manning_velocity_m_s(0.2859, 0.005236, roughness=0.03) == pytest.approx(1.0468, abs=1e-4)


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
        (lambda: manning_velocity_m_s(0.0, 0.01, roughness=0.03), "hydraulic_radius_m is 0"),
        (lambda: travel_time_h(10.0, 0.0), "velocity_m_s is 0"),
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
