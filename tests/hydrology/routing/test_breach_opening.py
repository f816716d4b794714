"""The breach of a bank: Jamestown Dam as published, and what bounds the flow from a small one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from swalekit.errors import InputError
from swalekit.hydrology.routing.breach_opening import (
    breach_forms_min,
    breach_opening,
    breach_peak_m3s,
    breach_width_m,
    weir_bound_m3s,
)
from swalekit.units import METRES_PER_FOOT

ACRE_FOOT_M3 = 43_560.0 * METRES_PER_FOOT**3
INVERT_FT, BREACH_FT = 1390.0, 81.0

# Wahl (2001), Tables 2 to 4: storage [acre-ft], level [ft]; width [ft], time [h], peak [ft³/s] by Froehlich (1995)
JAMESTOWN = [
    (37_000.0, 1432.67, 307.0, 1.63, 93_800.0),
    (85_000.0, 1440.0, 401.0, 2.53, 145_900.0),
    (221_000.0, 1454.0, 544.0, 4.19, 262_700.0),
    (380_000.0, 1464.3, 648.0, 5.59, 370_900.0),
]


@pytest.mark.parametrize(("storage", "level", "width", "hours", "peak"), JAMESTOWN)
def test_wahl_jamestown(storage: float, level: float, width: float, hours: float, peak: float) -> None:
    """Wahl (2001), Tables 2 to 4: piping through Jamestown Dam."""
    volume, height = storage * ACRE_FOOT_M3, BREACH_FT * METRES_PER_FOOT
    found = breach_width_m(volume, height, relation="1995", overtopped=False) / METRES_PER_FOOT
    assert found == pytest.approx(width, abs=0.6)
    assert breach_forms_min(volume, height, relation="1995") / 60.0 == pytest.approx(hours, abs=0.01)
    head = (level - INVERT_FT) * METRES_PER_FOOT
    assert breach_peak_m3s(volume, head) / METRES_PER_FOOT**3 == pytest.approx(peak, rel=1e-3)


def test_froehlich_2008() -> None:
    """Piping through a dam of 76.2 m that holds 251.4 hm³, as two public files have it: 156.59 m wide in 1.166 h."""
    assert breach_width_m(251.4e6, 76.2, relation="2008", overtopped=False) == pytest.approx(156.59, abs=0.01)
    assert breach_forms_min(251.4e6, 76.2, relation="2008") / 60.0 == pytest.approx(1.166, abs=0.001)


def test_a_swale_by_both_relations() -> None:
    """50 m³ half a metre deep: the relations carried far beyond their data, and the weir that rules them."""
    assert breach_width_m(50.0, 0.5, relation="1995") == pytest.approx(0.774, rel=0.01)
    assert breach_forms_min(50.0, 0.5, relation="1995") == pytest.approx(2.26, rel=0.01)
    assert breach_peak_m3s(50.0, 0.5) == pytest.approx(0.815, rel=0.01)
    assert breach_width_m(50.0, 0.5, relation="2008") == pytest.approx(1.19, rel=0.01)
    assert breach_forms_min(50.0, 0.5, relation="2008") == pytest.approx(4.76, rel=0.01)
    assert weir_bound_m3s(0.774, 0.5) == pytest.approx(0.465, abs=0.001)
    opening = breach_opening(50.0, 0.5)
    assert (opening.ruled_by, opening.extrapolated) == ("weir", True)


def test_a_dam_within_the_data_is_not_extrapolated() -> None:
    """At Jamestown no bound but the relation rules."""
    opening = breach_opening(85_000.0 * ACRE_FOOT_M3, 50.0 * METRES_PER_FOOT)
    assert (opening.ruled_by, opening.extrapolated) == ("relation", False)


@given(st.floats(0.01, 5000.0), st.floats(0.05, 3.0))
def test_no_flow_is_more_than_opening_and_water_bear(volume: float, head: float) -> None:
    """The peak is within relation, weir and water; the triangle carries the volume and never empties while it forms."""
    opening = breach_opening(volume, head)
    assert opening.peak_m3s <= breach_peak_m3s(volume, head) * (1 + 1e-12)
    assert opening.peak_m3s <= weir_bound_m3s(opening.width_m, head) * (1 + 1e-12)
    assert opening.empties_min >= opening.forms_min * (1 - 1e-12)
    assert opening.peak_m3s * opening.empties_min * 60.0 / 2.0 == pytest.approx(volume)


def test_a_given_time_goes_before_the_relations() -> None:
    """36 m³ in ten minutes peak at 2 V / T."""
    opening = breach_opening(36.0, 0.5, empties_min=10.0)
    assert (opening.peak_m3s, opening.empties_min) == (pytest.approx(0.12), 10.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: breach_opening(0.0, 0.5), "volume_m3 is 0"),
        (lambda: breach_opening(5.0, -0.5), "height_m is -0.5"),
        (lambda: breach_opening(5.0, 0.5, empties_min=0.0), "empties_min is 0"),
        (lambda: breach_width_m(5.0, 0.5, relation="2007"), "relation is '2007'"),
    ],
)
def test_breach_fails(call, words: str) -> None:
    """Values that can't be are refused by name."""
    with pytest.raises(InputError, match=words):
        call()
