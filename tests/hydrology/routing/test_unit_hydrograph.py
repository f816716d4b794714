"""The unit hydrograph against published ordinates, and what it carries."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swalekit.errors import InputError
from swalekit.hydrology.routing.unit_hydrograph import runoff_hydrograph, time_to_peak_h, unit_flow_m3s, unit_hydrograph
from swalekit.tables.load import read_table


def test_hds_2_example_6_10() -> None:
    """HDS-2 example 6.10: 1.2 km², Tc 1.34 h, burst 0.133 Tc peaks at 0.89 h with 0.28 m³/s a millimetre."""
    to_peak = time_to_peak_h(1.34, 0.133 * 1.34)
    assert to_peak == pytest.approx(0.89, abs=0.005)
    assert float(unit_flow_m3s(1.2e6, to_peak, to_peak)) == pytest.approx(0.28, rel=0.01)


@pytest.mark.parametrize(
    ("ratio", "published"), [(0.4, 0.087), (0.7, 0.230), (1.5, 0.190), (2.0, 0.078), (3.0, 0.015), (4.0, 0.003)]
)
def test_hds_2_table_6_11(ratio: float, published: float) -> None:
    """Ordinates of HDS-2 Table 6.11 to their last printed digit."""
    to_peak = time_to_peak_h(1.34, 0.133 * 1.34)
    assert float(unit_flow_m3s(1.2e6, to_peak, ratio * to_peak)) == pytest.approx(published, rel=0.01, abs=6e-4)


def test_chow_example_7_7_1() -> None:
    """3 km², Tc 1.25 h, burst 10 min: peak at 0.833 h with 7.49 m³/s a centimetre (from memory: Applied Hydrology)."""
    to_peak = time_to_peak_h(1.25, 10 / 60)
    assert to_peak == pytest.approx(0.833, abs=5e-4)
    assert 10 * float(unit_flow_m3s(3e6, to_peak, to_peak)) == pytest.approx(7.49, rel=0.005)


def test_printed_volume_ratios() -> None:
    """The volume under the straight-lined ordinates is the printed mass curve to 0.003 (NEH 630 ch. 16)."""
    time, flow, volume = (
        np.array([float(row[name]) for row in read_table("unit_hydrograph")])
        for name in ("time_ratio", "flow_ratio", "volume_ratio")
    )
    under = np.append(0.0, np.cumsum(np.diff(time) * (flow[1:] + flow[:-1]) / 2))
    np.testing.assert_allclose(under / under[-1], volume, atol=0.003)
    assert all(row["source"] for row in read_table("unit_hydrograph"))


@given(st.floats(1.0, 1e6), st.floats(0.01, 5.0), st.sampled_from([1.0, 5.0, 15.0]))
def test_carries_one_millimetre(area_m2: float, concentration_h: float, step_min: float) -> None:
    """Whatever the catchment and the step, exactly a millimetre runs off."""
    flow = unit_hydrograph(area_m2, concentration_h, step_min)
    assert flow.sum() * step_min * 60 == pytest.approx(area_m2 / 1000, rel=1e-12)
    assert (flow >= 0).all()


def test_short_catchment_is_a_mean_of_the_curve() -> None:
    """With Tc of three minutes each step has the mean of the curve within it."""
    to_peak = time_to_peak_h(0.05, 1 / 60)
    flow = unit_hydrograph(2000.0, 0.05, 1.0)
    times = (np.arange(60 * flow.size) + 0.5) / 3600
    means = unit_flow_m3s(2000.0, to_peak, times).reshape(-1, 60).mean(axis=1)
    np.testing.assert_allclose(flow, means, rtol=2e-3, atol=1e-6)


def test_no_catchment_makes_no_flow() -> None:
    """A store without ground of its own gets nothing."""
    assert not unit_hydrograph(0.0, 0.1, 1.0).any()


@given(st.lists(st.floats(0.0, 20.0), min_size=1, max_size=60))
def test_storm_keeps_its_volume(excess: list[float]) -> None:
    """All runoff made in the storm arrives."""
    flow = runoff_hydrograph(excess, unit_hydrograph(5000.0, 0.2, 2.0))
    assert flow.sum() * 120 == pytest.approx(5.0 * sum(excess), rel=1e-12)


def test_hydrographs_add_up() -> None:
    """A storm of two bursts is the sum of both, each with the delay of its burst."""
    unit = unit_hydrograph(5000.0, 0.2, 2.0)
    both = np.zeros(unit.size + 3)
    both[: unit.size] += 4.0 * unit
    both[3:] += 1.5 * unit
    np.testing.assert_allclose(runoff_hydrograph([4.0, 0.0, 0.0, 1.5], unit), both, atol=1e-15)


@pytest.mark.parametrize(
    ("area", "concentration", "step", "words"),
    [(-1.0, 0.1, 1.0, "area_m2 is -1"), (1.0, 0.0, 1.0, "concentration_h is 0"), (1.0, 0.1, 0.0, "step_min is 0")],
)
def test_unit_hydrograph_fails(area: float, concentration: float, step: float, words: str) -> None:
    """A negative area and times that aren't positive are refused."""
    with pytest.raises(InputError, match=words):
        unit_hydrograph(area, concentration, step)
