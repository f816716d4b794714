"""Pipes under ways, against arithmetic by hand."""

from itertools import pairwise
from math import pi, sqrt

import pytest

from swalekit.errors import InputError
from swalekit.section.culvert import (
    USUAL_DIAMETERS_M,
    culvert_flow_m3s,
    full_flow_m3s,
    inlet_flow_m3s,
    least_diameter_m,
    pipe_length_m,
)


@pytest.mark.parametrize(
    ("diameter_m", "headwater_m", "flow_m3s"),
    [
        (0.6, 1.5, 0.6 * 0.282743 * sqrt(2 * 9.81 * 1.2)),  # orifice equation, HEC-22: 0.823 m³/s
        (1.0, 1.2, 0.6 * 0.785398 * sqrt(2 * 9.81 * 0.7)),  # 1.746 m³/s
        (1.0, 0.5, 0.0),
        (1.0, 0.0, 0.0),
    ],
)
def test_a_drowned_inlet_is_an_orifice(diameter_m: float, headwater_m: float, flow_m3s: float) -> None:
    """C A √(2 g h), with the head above the pipe's middle."""
    assert inlet_flow_m3s(diameter_m, headwater_m) == pytest.approx(flow_m3s, rel=1e-5)


def test_a_full_pipe_loses_its_head_at_both_ends_and_along_it() -> None:
    """D 0.6 m, 6 m long, 0.12 m of head: friction 0.85, V² = 2 g · 0.12 / 2.75, Q = 0.2827 V (HDS-5 eq. 3.6)."""
    friction = 19.62 * 0.024**2 * 6.0 / 0.15 ** (4 / 3)
    assert friction == pytest.approx(0.851, abs=0.001)
    assert full_flow_m3s(0.6, 0.12, 6.0) == pytest.approx(0.282743 * sqrt(2.3544 / (1.9 + friction)), rel=1e-4)


def test_a_long_pipe_flows_by_manning() -> None:
    """Where friction is all, V = R^(2/3) √(H/L) / n."""
    radius_m, length_m, head_m = 0.2, 1e6, 50.0
    manning_m_s = radius_m ** (2 / 3) * sqrt(head_m / length_m) / 0.024
    assert full_flow_m3s(0.8, head_m, length_m) == pytest.approx(pi * 0.16 * manning_m_s, rel=1e-3)


def test_a_pipe_carries_what_its_inlet_and_its_barrel_let_pass() -> None:
    """Of a level pipe under 1.2 diameters of water the barrel counts; wider and shorter pipes carry more."""
    flows = [culvert_flow_m3s(width, length_m=8.0) for width in USUAL_DIAMETERS_M]
    assert flows == sorted(flows)
    assert culvert_flow_m3s(0.6, length_m=12.0) < culvert_flow_m3s(0.6, length_m=6.0)
    assert all(flow <= inlet_flow_m3s(width, 1.2 * width) for width, flow in zip(USUAL_DIAMETERS_M, flows, strict=True))


def test_the_least_pipe_just_carries_the_flow() -> None:
    """The next smaller one doesn't; beyond the widest there is none."""
    for smaller, width in pairwise(USUAL_DIAMETERS_M):
        assert least_diameter_m(culvert_flow_m3s(width, length_m=8.0), length_m=8.0) == width
        assert least_diameter_m(1.001 * culvert_flow_m3s(smaller, length_m=8.0), length_m=8.0) == width
    assert least_diameter_m(10.0, length_m=8.0) is None
    assert pipe_length_m(4.0) == 8.0


@pytest.mark.parametrize("flow", [-0.1, float("nan")])
def test_a_flow_that_is_none_is_refused(flow: float) -> None:
    """In one line that names it."""
    with pytest.raises(InputError, match="flow_m3s"):
        least_diameter_m(flow, length_m=8.0)
