"""Conductivity and sorptivity from ring tests."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.hydrology.losses.infiltration_test import fit_infiltration_test, philip_infiltration_mm

TIME_MIN = np.array([2.0, 5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0])


def philip_readings(sorptivity: float, conductivity: float) -> np.ndarray:
    """Depths of a test that follows Philip's equation exactly."""
    return philip_infiltration_mm(TIME_MIN / 60.0, sorptivity, conductivity)


def test_chow_example_4_2_1() -> None:
    """2.5 cm sideways in 15 min are S = 5 cm/h^½; with K = 0.4 cm/h, 3.73 cm in 30 min (Chow 1988, from memory)."""
    assert philip_infiltration_mm(0.25, 50.0, 0.0) == pytest.approx(100.0 / 40.0 * 10.0)
    assert philip_infiltration_mm(0.5, 50.0, 4.0) == pytest.approx(37.3, abs=0.1)


@pytest.mark.parametrize(("sorptivity", "conductivity"), [(50.0, 4.0), (10.0, 80.0), (0.0, 12.0)])
def test_exact_readings_are_recovered(sorptivity: float, conductivity: float) -> None:
    """Readings made by Philip's equation give back its two values without spread."""
    fit = fit_infiltration_test(TIME_MIN, philip_readings(sorptivity, conductivity))
    assert fit.conductivity_mm_h == pytest.approx(conductivity)
    assert fit.sorptivity_mm_h05 == pytest.approx(sorptivity, abs=1e-9)
    assert fit.spread_mm_h == pytest.approx(0.0, abs=1e-8)
    np.testing.assert_allclose(fit.infiltrated_mm(TIME_MIN / 60.0), philip_readings(sorptivity, conductivity))


def test_late_rate_is_that_of_the_last_third() -> None:
    """Over the last three of nine readings: 30 mm in an hour."""
    depth = np.array([1.0, 3.0, 6.0, 10.0, 14.0, 20.0, 28.0, 40.0, 58.0])
    assert fit_infiltration_test(TIME_MIN, depth).late_rate_mm_h == pytest.approx(30.0)


def test_late_rate_lies_above_the_steady_part() -> None:
    """As long as suction draws, the late rate is greater than K: from the first to the second hour by S (√2 − 1)."""
    fit = fit_infiltration_test(TIME_MIN, philip_readings(40.0, 10.0))
    assert fit.late_rate_mm_h == pytest.approx(10.0 + 40.0 * (np.sqrt(2.0) - 1.0))


def test_spread_tells_how_far_tests_scatter() -> None:
    """Over 300 tests with errors of 1 mm, the spread told by each is about the scatter between them."""
    rng = np.random.default_rng(7)
    exact = philip_readings(30.0, 20.0)
    fits = [fit_infiltration_test(TIME_MIN, np.maximum.accumulate(exact + rng.normal(0, 1, 9))) for _ in range(300)]
    scatter = np.std([fit.conductivity_mm_h for fit in fits])
    assert np.mean([fit.spread_mm_h for fit in fits]) == pytest.approx(scatter, rel=0.35)
    assert np.mean([fit.conductivity_mm_h for fit in fits]) == pytest.approx(20.0, abs=3 * scatter / np.sqrt(300))


def test_reading_at_the_start_changes_nothing() -> None:
    """A first row of no water at no time is not a reading."""
    depth = philip_readings(30.0, 20.0) + np.array([0, 1, 0, -1, 0, 1, 0, -1, 0])
    with_start = fit_infiltration_test(np.append(0.0, TIME_MIN), np.append(0.0, depth))
    assert with_start == fit_infiltration_test(TIME_MIN, depth)


@pytest.mark.parametrize(
    ("time_min", "depth_mm", "words"),
    [
        ([10, 20], [5, 9], r"has 2 reading\(s\) after the start; take at least 3"),
        ([0, 10, 20], [0, 5, 9], r"has 2 reading\(s\) after the start; take at least 3"),
        ([], [], r"has 0 reading\(s\)"),
        ([5, 10, 20, 30], [5, 9, 8, 12], "reading 3 has depth_mm 8 after 9; it must never fall"),
        ([5, 10, 10, 30], [5, 9, 11, 12], "reading 3 has time_min 10 after 10; it must rise"),
        ([0, 5, 10, 8, 30], [0, 5, 9, 11, 12], "reading 4 has time_min 8 after 10; it must rise"),
        ([0, 5, 10, 20], [3, 5, 9, 11], "reading 1 has time_min 0 after 0"),
        ([5, 10, 20], [-1, 9, 11], "reading 1 has depth_mm -1 after 0"),
        ([5, 10, 20], [5, np.nan, 11], "reading 2 has depth_mm nan"),
        ([5, 10, 20], [5, 9], "arrays differ in shape"),
        ([15, 60, 240], [10, 20, 38], "show no steady rate"),
    ],
)
def test_readings_that_cannot_be_used_fail(time_min: list[float], depth_mm: list[float], words: str) -> None:
    """What is wrong with the readings is told with the row."""
    with pytest.raises(InputError, match=words):
        fit_infiltration_test(time_min, depth_mm)
