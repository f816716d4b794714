"""Stone and grass below a sill, against the published relations."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from swalekit.errors import InputError
from swalekit.section.apron import chute_d50_m, isbash_d50_m, laid_below, size_apron
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH


def test_isbash_stone() -> None:
    """HDC sheet 712-1: 2 m/s of turbulent water moves stone of less than 0.167 m."""
    assert isbash_d50_m(2.0) == pytest.approx(0.167, abs=5e-4)


@pytest.mark.parametrize(("unit_flow", "slope", "d50_mm"), [(0.05, 0.05, 28.8), (0.05, 0.20, 61.9), (0.1, 0.20, 89.4)])
def test_robinson_stone(unit_flow: float, slope: float, d50_mm: float) -> None:
    """Robinson, Rice & Kadavy (1998): the stone that just withstands a flow down a chute."""
    assert 1000.0 * chute_d50_m(unit_flow, slope) == pytest.approx(d50_mm, abs=0.1)


def test_both_branches_meet() -> None:
    """At a slope of 0.10 the two relations agree within 1 %."""
    assert chute_d50_m(0.05, 0.0999999) == pytest.approx(chute_d50_m(0.05, 0.1), rel=0.01)


@given(st.floats(0.005, 0.2), st.floats(0.1, 0.2))
def test_stone_withstands_more_than_what_fails_by_another_relation(unit_flow: float, slope: float) -> None:
    """Abt & Johnson (1991), from memory: stone of 5.23 S^0.43 q^0.56 inches (q in ft²/s) fails; ours is larger."""
    fails_m = 5.23 * slope**0.43 * (unit_flow / METRES_PER_FOOT**2) ** 0.56 * MM_PER_INCH / 1000.0
    apron = size_apron(unit_flow, 1.0, drop_m=0.0, face_slope=0.5, ground_slope=slope)
    assert apron.d50_m > fails_m


@given(st.floats(0.03, 0.15), st.floats(0.8, 3.0), st.floats(0.0, 1.0), st.floats(0.05, 0.4))
def test_apron_grows_with_flow_and_shrinks_with_a_longer_sill(
    flow: float, length: float, drop: float, slope: float
) -> None:
    """More flow asks for larger stone, a longer sill for smaller; the face's length is part of it."""
    sizes = {"drop_m": drop, "face_slope": 0.5, "ground_slope": slope}
    apron, more = size_apron(flow, length, **sizes), size_apron(2.0 * flow, length, **sizes)
    wider = size_apron(flow, 2.0 * length, **sizes)
    assert wider.d50_m < apron.d50_m < more.d50_m
    assert apron.length_m >= drop + 15.0 * apron.d50_m - 1e-9
    assert apron.volume_m3 == pytest.approx(2.0 * apron.d50_m * apron.length_m * apron.width_m)


def test_a_steep_face_is_flattened_and_steeper_ground_refused() -> None:
    """A berm's face of 2 : 1 gets stone for 2.5 : 1, its length too; no stone was tested on ground of over 40 %."""
    apron = size_apron(0.1, 2.0, drop_m=0.4, face_slope=0.5, ground_slope=0.1)
    assert apron.slope == 0.4
    assert apron.length_m == pytest.approx(0.4 * (1 + 2.5**2) ** 0.5 + 15 * apron.d50_m)
    assert size_apron(0.1, 2.0, drop_m=0.4, face_slope=0.5, ground_slope=0.41) is None


def test_no_stone_is_smaller_or_larger_than_what_was_tested() -> None:
    """Robinson, Rice & Kadavy (1998) tested 15 to 278 mm: a trickle gets the smallest, a torrent none."""
    sizes = {"drop_m": 0.3, "face_slope": 0.5, "ground_slope": 0.1}
    assert size_apron(0.001, 2.0, **sizes).d50_m == 0.015
    assert size_apron(0.40, 1.0, **sizes).d50_m == pytest.approx(0.278, abs=0.002)
    assert size_apron(0.41, 1.0, **sizes) is None


def test_an_apron_covers_the_crest_and_goes_on_over_the_ground() -> None:
    """It is longer by the sill's breadth and the ground along its slope, and ends at the water that receives it."""
    sizes = {"drop_m": 0.4, "face_slope": 0.5, "ground_slope": 0.2}
    short, long = size_apron(0.1, 2.0, **sizes), size_apron(0.1, 2.0, **sizes, crest_m=1.1, ground_m=20.0)
    run_out_m = 15.0 * short.d50_m
    assert long.length_m - short.length_m == pytest.approx(1.1 + 20.0 * (1 + 0.2**2) ** 0.5 - run_out_m)
    assert (long.d50_m, long.width_m, long.ground_m) == (short.d50_m, short.width_m, 20.0)
    assert short.ground_m == pytest.approx(run_out_m / (1 + 0.2**2) ** 0.5)
    assert size_apron(0.1, 2.0, **sizes, ground_m=20.0, way_m=12.5).ground_m == 12.5


def test_what_is_laid_goes_by_the_names_of_its_prices() -> None:
    """Stone by its volume, sod by its area, nothing without an apron."""
    stone = size_apron(0.1, 2.0, drop_m=0.4, face_slope=0.5, ground_slope=0.2)
    sod = size_apron(0.02, 2.0, drop_m=0.4, face_slope=0.5, ground_slope=0.2, kind="grass")
    assert laid_below(stone) == {"stone_m3": stone.volume_m3}
    assert laid_below(sod) == {"grass_m2": sod.area_m2}
    assert laid_below(None) == {}


def test_gentle_ground_goes_by_the_speed_on_the_sill() -> None:
    """Below 2 % and without a drop: Isbash at the critical speed (g q)^(1/3), with the margin of 1.2."""
    apron = size_apron(0.1, 2.0, drop_m=0.0, face_slope=0.5, ground_slope=0.01)
    assert apron.d50_m == pytest.approx(1.2 * isbash_d50_m((9.80665 * 0.05) ** (1 / 3)))


def test_grass_where_sod_bears_it_and_stone_elsewhere() -> None:
    """A trickle runs over sod, a stream asks for stone; no flow asks for grass alone."""
    sizes = {"drop_m": 0.3, "face_slope": 0.5, "ground_slope": 0.1, "kind": "grass"}
    trickle, stream = size_apron(0.02, 2.0, **sizes), size_apron(0.4, 2.0, **sizes)
    assert (trickle.kind, trickle.volume_m3) == ("grass", 0.0)
    assert stream.kind == "stone"
    assert size_apron(0.0, 2.0, **sizes).kind == "grass"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"kind": "stones"}, "did you mean 'stone'"),
        ({"drop_m": -0.1}, "drop_m is -0.1"),
        ({"ground_slope": 0.0}, "ground_slope is 0"),
        ({"sill_length_m": 0.0}, "sill_length_m is 0"),
    ],
)
def test_apron_fails(changes: dict, words: str) -> None:
    """Values that can't be are refused by name."""
    values = {"flow_m3s": 0.1, "sill_length_m": 2.0, "drop_m": 0.3, "face_slope": 0.5, "ground_slope": 0.1} | changes
    with pytest.raises(InputError, match=words):
        size_apron(**values)
