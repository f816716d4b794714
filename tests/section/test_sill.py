"""The flow of a check storm and the sill that passes it."""

import numpy as np
import pytest
from scipy.integrate import quad

from swalekit.errors import InputError
from swalekit.hydrology.routing.travel_time import time_of_concentration_h
from swalekit.section.sill import GRAVITY_M_S2, critical_depth_m, low_end_unit_flow_m2s, sill_head_m, sill_length_m
from swalekit.tables.values import weir_coefficient
from swalekit.units import METRES_PER_FOOT


@pytest.mark.parametrize(
    ("unit_flow", "critical_depth", "head"), [(0.05, 0.0634, 0.0951), (0.10, 0.1006, 0.1510), (0.20, 0.1598, 0.2396)]
)
def test_broad_crest_of_a_metre(unit_flow: float, critical_depth: float, head: float) -> None:
    """Critical depth is (q²/g)^(1/3) and the head over an ideal crest is 1.5 times that."""
    assert critical_depth_m(unit_flow) == pytest.approx(critical_depth, abs=1e-4)
    assert 1.5 * critical_depth_m(unit_flow) == pytest.approx(head, abs=1e-4)
    assert sill_head_m(unit_flow, 1.0, coefficient=weir_coefficient("ideal").value) == pytest.approx(head, abs=1e-4)


def test_ideal_coefficient_is_that_of_critical_flow() -> None:
    """C = (2/3)^1.5 √g."""
    assert weir_coefficient("ideal").value == pytest.approx((2 / 3) ** 1.5 * GRAVITY_M_S2**0.5, abs=0.0006)


def test_length_and_head_are_inverse() -> None:
    """A sill of the length found for a head has that head."""
    for head in (0.05, 0.1, 0.3):
        length = sill_length_m(0.35, head, coefficient=1.5)
        assert sill_head_m(0.35, length, coefficient=1.5) == pytest.approx(head)


@pytest.mark.parametrize(("flow", "head"), [(0.1, 0.0), (-0.1, 0.1), (np.nan, 0.1)])
def test_sill_length_fails(flow: float, head: float) -> None:
    """A sill without head, or for a negative flow, is refused."""
    with pytest.raises(InputError):
        sill_length_m(flow, head, coefficient=1.5)


def test_neh_15_lag_example() -> None:
    """Flow length 3865 ft, CN 63, slope 4.79 %: 1.14 h, NEH 630 ch. 15, example of the lag method."""
    hours = time_of_concentration_h(3865.0 * METRES_PER_FOOT, 0.0479, 63.0)
    assert hours == pytest.approx(1.14, abs=0.01)


def test_broad_crest_at_a_low_head() -> None:
    """SWMM Reference Manual Table 6-3 by hand: 10 m under 0.2 ft, C 2.34 ft^0.5/s, pass 0.1944 m³/s."""
    coefficient, head = 2.34 * METRES_PER_FOOT**0.5, 0.2 * METRES_PER_FOOT
    assert coefficient == pytest.approx(1.292, abs=5e-4)
    assert sill_length_m(0.1944, head, coefficient=coefficient) == pytest.approx(10.0, abs=0.01)


@pytest.mark.parametrize(
    ("head", "level_m3s", "tilted_m3s", "ratio"), [(0.05, 0.33541, 0.33709, 1.84), (0.02, 0.08485, 0.08753, 5.20)]
)
def test_a_tilted_sill(head: float, level_m3s: float, tilted_m3s: float, ratio: float) -> None:
    """20 m that tilt by 20 mm, C 1.5, by the integral of the weir formula: the flow hardly changes, the spread does."""

    def unit_flow(off_level_m: float) -> float:
        return low_end_unit_flow_m2s(level_m3s, 20.0, coefficient=1.5, off_level_m=off_level_m)

    assert sill_head_m(level_m3s, 20.0, coefficient=1.5) == pytest.approx(head, abs=1e-5)
    low_half, _ = quad(unit_flow, 0.0, 0.01)
    high_half, _ = quad(lambda rise: 1.5 * (head - rise) ** 1.5, 0.0, 0.01)
    assert 20.0 * (low_half + high_half) / 0.02 == pytest.approx(tilted_m3s, abs=2e-5)
    assert unit_flow(0.01) / (1.5 * (head - 0.01) ** 1.5) == pytest.approx(ratio, abs=0.005)


def test_no_flow_crowds_nowhere() -> None:
    """A sill that is never reached passes nothing at its low end either, and a negative tolerance is refused."""
    assert low_end_unit_flow_m2s(0.0, 5.0, coefficient=1.5, off_level_m=0.01) == 0.0
    with pytest.raises(InputError, match=r"off_level_m is -0\.01"):
        low_end_unit_flow_m2s(0.1, 5.0, coefficient=1.5, off_level_m=-0.01)
