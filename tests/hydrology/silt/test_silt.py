"""Soil washed off a slope and the years that a ditch serves, against published figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from swalekit.errors import InputError
from swalekit.hydrology.silt.service_life import ServiceLife
from swalekit.hydrology.silt.soil_loss import rain_erosivity, silt_m3, slope_factor, soil_loss_t_ha


@pytest.mark.parametrize(("rain_mm", "erosivity"), [(200.0, 245.0), (300.0, 470.0), (500.0, 1070.0)])
def test_renard_freimund(rain_mm: float, erosivity: float) -> None:
    """Renard & Freimund (1994), from memory: R by the rain of a year below 850 mm."""
    assert rain_erosivity(rain_mm) == pytest.approx(erosivity, abs=1.0)


def test_both_branches_of_the_erosivity_meet() -> None:
    """At 850 mm the two relations agree within 2 %."""
    assert rain_erosivity(849.999) == pytest.approx(rain_erosivity(850.0), rel=0.02)


@pytest.mark.parametrize(
    ("slope", "by_length"),
    [
        (0.02, (0.203, 0.246, 0.300, 0.355)),
        (0.06, (0.480, 0.677, 0.963, 1.300)),
        (0.08, (0.608, 0.891, 1.320, 1.844)),
        (0.09, (0.676, 1.006, 1.513, 2.142)),
        (0.10, (0.776, 1.172, 1.787, 2.559)),
        (0.20, (1.716, 2.795, 4.611, 7.057)),
    ],
)
def test_slope_factor(slope: float, by_length: tuple[float, ...]) -> None:
    """USDA Agriculture Handbook 703: LS of 10, 22.13, 50 and 100 m at moderate rilling; the unit plot has about 1."""
    found = [slope_factor(length, slope) for length in (10.0, 22.13, 50.0, 100.0)]
    assert found == pytest.approx(by_length, abs=1e-3)


def test_halving_the_slope_length() -> None:
    """At 8 % a ditch half-way down cuts L to 0.716."""
    assert slope_factor(25.0, 0.08) / slope_factor(50.0, 0.08) == pytest.approx(0.716, abs=1e-3)


def test_soil_loss_by_hand() -> None:
    """Two slopes by their factors, and the share of a ditch that their silt takes."""
    first = soil_loss_t_ha(500.0, 0.03, slope_factor(50.0, 0.08), cover_factor=0.2)
    second = soil_loss_t_ha(rain_erosivity(300.0), 0.03, slope_factor(30.0, 0.10), cover_factor=0.15)
    assert (first, second) == (pytest.approx(3.96, abs=0.01), pytest.approx(2.90, abs=0.01))
    silt = silt_m3(first, 50.0, density_t_m3=1.3)
    assert silt == pytest.approx(0.0152, rel=0.01)
    assert ServiceLife(silt, 0.75, 0.0, 0.1).clean_after_y == pytest.approx(4.9, abs=0.05)


@given(st.floats(0.01, 50.0), st.floats(1.0, 1000.0), st.floats(0.0, 1.0), st.floats(0.01, 1.0))
def test_storage_falls_to_nothing_and_no_further(silt: float, storage: float, full: float, share: float) -> None:
    """Storage at the year of cleaning is what the share leaves; in the end none is left."""
    life = ServiceLife(silt, storage, full * storage, share)
    assert life.storage_after_m3(life.clean_after_y) == pytest.approx((1.0 - share) * storage, abs=1e-9 * storage)
    assert life.storage_after_m3(life.design_held_y) == pytest.approx(life.needed_m3, abs=1e-9 * storage)
    assert life.storage_after_m3(2.0 * storage / silt) == 0.0


def test_without_silt_a_ditch_serves_for_ever() -> None:
    """And one that lacks room from the first holds the design storm for no year."""
    assert ServiceLife(0.0, 10.0, 5.0, 0.1).clean_after_y == float("inf")
    assert ServiceLife(1.0, 10.0, 12.0, 0.1).design_held_y == 0.0


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: rain_erosivity(-1.0), "rain_year_mm is -1"),
        (lambda: slope_factor(-1.0, 0.1), "length_m is -1"),
        (lambda: soil_loss_t_ha(1.0, 1.0, 1.0, cover_factor=1.2), "cover_factor is 1.2"),
        (lambda: silt_m3(1.0, 1.0, density_t_m3=0.0), "density_t_m3 is 0"),
        (lambda: ServiceLife(-1.0, 1.0, 1.0, 0.1), "silt_m3_y is -1"),
        (lambda: ServiceLife(1.0, 1.0, 1.0, 1.1), "clean_at_share is 1.1"),
    ],
)
def test_silt_fails(call, words: str) -> None:
    """Values that can't be are refused by name."""
    with pytest.raises(InputError, match=words):
        call()
