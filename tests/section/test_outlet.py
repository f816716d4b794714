"""Flow over a sill and down the slope below it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from swalekit.errors import InputError
from swalekit.section.outlet import (
    borne_unit_flow_m2s,
    check_outlet,
    cover_roughness,
    permissible_velocity_m_s,
    sheet_depth_m,
)
from swalekit.section.sill import GRAVITY_M_S2, low_end_unit_flow_m2s
from swalekit.tables.load import named_row, read_table
from swalekit.units import METRES_PER_FOOT


@pytest.mark.parametrize(("unit_flow", "depth"), [(0.05, 0.0634), (0.10, 0.1006), (0.20, 0.1598)])
def test_critical_flow_on_the_sill(unit_flow: float, depth: float) -> None:
    """On the sill yc = (q²/g)^(1/3), with the speed q / yc."""
    outlet = check_outlet(2.0 * unit_flow, 2.0, 0.1, cover="boulders", roughness=0.05)
    assert outlet.sill_depth_m == pytest.approx(depth, abs=1e-4)
    assert outlet.sill_velocity_m_s == pytest.approx(unit_flow / outlet.sill_depth_m)


@given(st.floats(1e-4, 0.5), st.floats(0.005, 0.5), st.floats(0.01, 0.5))
def test_sheet_depth_inverts_manning(unit_flow: float, slope: float, roughness: float) -> None:
    """At the depth h found, Manning's speed h^(2/3) s^0.5 / n times h is the flow."""
    depth = sheet_depth_m(unit_flow, slope, roughness=roughness)
    assert depth ** (5.0 / 3.0) * slope**0.5 / roughness == pytest.approx(unit_flow, rel=1e-9)


@pytest.mark.parametrize(
    ("cover", "slope", "published_ft_s"),
    [
        ("sandy loam", 0.1, 1.75),  # from memory: Fortier & Scobey (1926), clear water
        ("stiff clay", 0.1, 3.75),
        ("bermudagrass", 0.05, 6.0),  # from memory: SCS-TP-61, easily eroded soil
        ("bermudagrass", 0.051, 5.0),
        ("bermudagrass", 0.2, 4.0),
        ("grass mixture", 0.05, 4.0),
        ("grass mixture", 0.11, 0.0),
        ("annuals", 0.06, 0.0),
        ("large cobbles", 0.2, 11.8),  # Keown et al. (1977), USACE Table 3.5
    ],
)
def test_permissible_velocity(cover: str, slope: float, published_ft_s: float) -> None:
    """The printed speed of a cover's slope class, none where the slope is too steep for it."""
    assert permissible_velocity_m_s(cover, slope) == pytest.approx(published_ft_s * METRES_PER_FOOT)


@pytest.mark.parametrize(("slope", "roughness"), [(0.02, 0.24), (0.12, 0.05), (0.3, 0.02)])
def test_sill_of_the_safe_length_is_safe(slope: float, roughness: float) -> None:
    """At the safe length the faster of both speeds is just the permissible one, and below it too fast."""
    length = check_outlet(0.3, 1.0, slope, cover="firm loam", roughness=roughness).safe_length_m
    outlet = check_outlet(0.3, length * (1 + 1e-9), slope, cover="firm loam", roughness=roughness)
    assert outlet.bears
    assert max(outlet.sill_velocity_m_s, outlet.slope_velocity_m_s) == pytest.approx(outlet.permissible_m_s)
    assert not check_outlet(0.3, 0.99 * length, slope, cover="firm loam", roughness=roughness).bears


def test_safe_length_by_hand() -> None:
    """Sandy loam under 0.12 m³/s over 4 m: the slope governs; a longer sill by Manning."""
    outlet = check_outlet(0.12, 4.0, 0.12, cover="sandy loam", roughness=0.05)
    permissible = 1.75 * METRES_PER_FOOT
    depth = (permissible * 0.05 / np.sqrt(0.12)) ** 1.5
    assert outlet.safe_length_m == pytest.approx(0.12 / min(permissible * depth, permissible**3 / GRAVITY_M_S2))
    assert not outlet.bears


def test_cover_that_no_sill_makes_safe() -> None:
    """Grass on too steep a slope bears nothing: no length of sill helps."""
    outlet = check_outlet(0.5, 1.0, 0.15, cover="grass mixture", roughness=0.03)
    assert outlet.permissible_m_s == 0
    assert outlet.safe_length_m == np.inf
    assert not outlet.bears


def test_a_level_sill_goes_by_the_grass_of_level_ground() -> None:
    """SCS-TP-61, from memory: a grass mixture bears 4 ft/s up to 5 %, which the sill is, and nothing on 15 %."""
    outlet = check_outlet(0.5, 1.0, 0.15, cover="grass mixture", roughness=0.03)
    assert outlet.sill_permissible_m_s == pytest.approx(4.0 * METRES_PER_FOOT)
    on_sill, on_slope = borne_unit_flow_m2s("grass mixture", 0.15, roughness=0.03)
    assert (on_sill, on_slope) == (pytest.approx((4.0 * METRES_PER_FOOT) ** 3 / GRAVITY_M_S2), 0.0)


@pytest.mark.parametrize(("cover", "slope"), [("sandy loam", 0.06), ("sandy loam", 0.25), ("sod grass", 0.12)])
def test_borne_flow_by_a_second_calculation(cover: str, slope: float) -> None:
    """Manning's equation solved for the depth by scipy: at the flow that is borne the speed is the permissible one."""
    on_sill, on_slope = borne_unit_flow_m2s(cover, slope)
    rough, permissible = cover_roughness(cover).value, permissible_velocity_m_s(cover, slope)
    depth = brentq(lambda h: h ** (5 / 3) * np.sqrt(slope) / rough - on_slope, 1e-6, 1.0)
    assert on_slope / depth == pytest.approx(permissible, rel=1e-6)
    critical = brentq(lambda h: GRAVITY_M_S2 * h**3 - on_sill**2, 1e-6, 1.0)
    assert on_sill / critical == pytest.approx(permissible_velocity_m_s(cover, 0.001), rel=1e-6)


@pytest.mark.parametrize("slope", [0.06, 0.12, 0.2])
def test_sills_onto_bare_soil_are_of_the_order_of_level_spreaders(slope: float) -> None:
    """Hathaway & Hunt (2006), as in a public manual: 1.4 m of sill per 10 L/s onto grass, 4.3 m onto forest."""
    borne = min(borne_unit_flow_m2s("sandy loam", slope))
    length_m = brentq(
        lambda length: low_end_unit_flow_m2s(0.01, length, coefficient=1.5, off_level_m=0.01) - borne, 0.1, 100.0
    )
    assert 1.4 / 2.0 < length_m < 4.3


@pytest.mark.parametrize(
    ("row", "depth_ft", "printed_ft_s"),
    [("bare ground, 6 cm of water", 0.2, 9.965), ("grass, 12 cm of water", 0.4, 16.135)],
)
def test_roughness_of_covers_gives_the_printed_speed(row: str, depth_ft: float, printed_ft_s: float) -> None:
    """NEH 630 ch. 15 (2010) Table 15-3: 1.486/n times the depth to the power 2/3 is the printed speed at slope 1."""
    assert 1.486 / named_row("roughness", surface=row).value * depth_ft ** (2 / 3) == pytest.approx(
        printed_ft_s, rel=2e-3
    )


def test_bare_soil_goes_with_its_own_roughness() -> None:
    """A metre's 54 L/s down 10 % of bare loam run at 0.93 m/s; the n of range, for sheet flow, would make it 0.53."""
    own, range_n = (check_outlet(0.054, 1.0, 0.1, cover="sandy loam", roughness=n) for n in (None, 0.13))
    assert own.slope_velocity_m_s == pytest.approx(0.054**0.4 * (0.1**0.5 / 0.051) ** 0.6)
    assert (own.slope_velocity_m_s, range_n.slope_velocity_m_s) == pytest.approx((0.93, 0.53), abs=0.01)


def test_no_flow_is_safe() -> None:
    """A sill that is never reached does no harm."""
    outlet = check_outlet(0.0, 1.0, 0.3, cover="sandy loam", roughness=0.05)
    assert outlet.bears
    assert outlet.slope_velocity_m_s == outlet.sill_velocity_m_s == outlet.safe_length_m == 0


def test_rows_have_a_source_and_stones_grow() -> None:
    """Every speed has its source, and stones are listed from the lightest to the heaviest."""
    rows = read_table("permissible_velocity")
    assert all(row["source"] and float(row["velocity_ft_s"]) > 0 for row in rows)
    stones = [float(row["velocity_ft_s"]) for row in rows if row["kind"] == "stone"]
    assert stones == sorted(stones)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"cover": "firm lome"}, "did you mean 'firm loam'"),
        ({"length_m": 0.0}, "length_m is 0"),
        ({"slope": 0.0}, "slope is 0"),
        ({"roughness": 0.0}, "roughness is 0"),
        ({"flow_m3s": -0.1}, "unit_flow_m2s is -0.1"),
    ],
)
def test_outlet_fails(changes: dict, words: str) -> None:
    """Values that can't be are refused by name."""
    values = {"flow_m3s": 0.1, "length_m": 1.0, "slope": 0.1, "cover": "firm loam", "roughness": 0.05} | changes
    with pytest.raises(InputError, match=words):
        check_outlet(**values)
