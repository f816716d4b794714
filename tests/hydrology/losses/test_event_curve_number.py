"""Curve numbers from observed rain and runoff: the closed form, the fit, its bounds, and their trend with the rain."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from swalekit.errors import InputError
from swalekit.hydrology.losses import (
    ObservedRunoff,
    curve_number_trend,
    fit_curve_number,
    runoff_mm,
    storm_curve_number,
)


@given(rain=st.floats(2.0, 300.0), share=st.floats(0.001, 0.999), ratio=st.sampled_from([0.0, 0.05, 0.2, 0.35]))
def test_the_number_makes_the_runoff_that_it_was_found_from(rain, share, ratio):
    """The closed form is the inverse of the runoff equation, for any Ia/S."""
    number = storm_curve_number(rain, share * rain, initial_abstraction_ratio=ratio)
    assert float(runoff_mm(rain, number, initial_abstraction_ratio=ratio)) == pytest.approx(share * rain, rel=1e-6)


def test_closed_form_of_the_usual_ratio():
    """S = 5 (P + 2Q − (4Q² + 5PQ)^½), and the same by bisection of the runoff equation."""
    rain, runoff = 62.0, 17.5
    retention = 5.0 * (rain + 2.0 * runoff - np.sqrt(4.0 * runoff**2 + 5.0 * rain * runoff))
    assert float(storm_curve_number(rain, runoff)) == pytest.approx(25400.0 / (254.0 + retention), rel=1e-12)
    halved = brentq(lambda number: float(runoff_mm(rain, number)) - runoff, 20.0, 100.0)
    assert float(storm_curve_number(rain, runoff)) == pytest.approx(halved, abs=1e-6)


def test_without_runoff_the_number_is_the_greatest_that_makes_none():
    """A tenth above it something runs off, at it nothing."""
    number = float(storm_curve_number(30.0, 0.0))
    assert float(runoff_mm(30.0, number)) == pytest.approx(0.0, abs=1e-9)
    assert float(runoff_mm(30.0, number + 0.5)) > 0.0


@pytest.mark.parametrize(("rain", "runoff"), [(0.0, 0.0), (20.0, 21.0), (20.0, -1.0)])
def test_what_no_storm_does_is_refused(rain, runoff):
    """No rain, more runoff than rain, less than none."""
    with pytest.raises(InputError, match="rain must be above zero"):
        storm_curve_number(rain, runoff)


def observed(rain, low, high=None, storms=None):
    """Runoff known in full unless another upper end is given; every reading of a storm of its own."""
    low = np.asarray(low, float)
    names = tuple(map(str, range(low.size))) if storms is None else storms
    return ObservedRunoff(np.asarray(rain, float), low, low if high is None else np.asarray(high, float), names)


def test_the_fit_is_that_of_the_least_squares():
    """Against a fine search by hand, on scattered numbers; the interval holds the fit, the median is of the singles."""
    rng = np.random.default_rng(5)
    rain = rng.uniform(20.0, 70.0, 25)
    single = 80.0 + rng.normal(0.0, 4.0, 25)
    runoff = runoff_mm(rain, single)
    fitted = fit_curve_number(observed(rain, runoff))
    tried = np.arange(70.0, 90.0, 0.01)
    off = [float(np.sum((runoff_mm(rain, number) - runoff) ** 2)) for number in tried]
    assert fitted.curve_number == pytest.approx(tried[int(np.argmin(off))], abs=0.05)
    assert fitted.low < fitted.curve_number < fitted.high
    assert fitted.high - fitted.low < 6.0
    positive = runoff > 0.0
    assert fitted.median == pytest.approx(float(np.median(np.where(positive, single, storm_curve_number(rain, 0.0)))))


def test_bounds_count_only_where_the_curve_breaks_them():
    """A lower bound beneath the curve changes nothing; one above it pulls the number up, an upper one down."""
    rain = [30.0, 40.0, 50.0]
    runoff = runoff_mm(rain, 80.0)
    alone = fit_curve_number(observed(rain, runoff)).curve_number
    for low, high, expected in ((5.0, np.inf, 0), (40.0, np.inf, 1), (0.0, 40.0, 0), (0.0, 5.0, -1)):
        both = observed([*rain, 60.0], [*runoff, low], [*runoff, high])
        assert np.sign(fit_curve_number(both).curve_number - alone) == expected


def test_bounds_alone_give_no_number():
    """Three lower bounds tell no runoff in full; two storms give no interval."""
    assert fit_curve_number(observed([30.0, 40.0, 50.0], [5.0, 6.0, 7.0], [np.inf] * 3)) is None
    assert fit_curve_number(observed([30.0, 40.0], [5.0, 9.0])).low is None


def test_readings_of_one_storm_stand_or_fall_together():
    """Nine readings of three storms leave the number as unsure as the three, not as sure as nine storms."""
    rain, runoff = np.array([30.0, 40.0, 50.0]), np.array([6.0, 8.0, 22.0])
    names = tuple("abc")
    three, nine = fit_curve_number(observed(rain, runoff, storms=names)), fit_curve_number(
        observed(np.tile(rain, 3), np.tile(runoff, 3), storms=names * 3)
    )  # fmt: skip
    assert (nine.low, nine.high) == (three.low, three.high)
    assert nine.storms == 3


def test_numbers_that_fall_with_the_rain_level_off():
    """Runoff made of CN = 68 + 32 e^(−P / 18): the limit comes back; of a runoff coefficient they fall still."""
    rain = np.linspace(18.0, 110.0, 20)
    falling = curve_number_trend(rain, runoff_mm(rain, 68.0 + 32.0 * np.exp(-rain / 18.0)))
    assert (falling.kind, falling.limit) == ("levels off", pytest.approx(68.0, abs=0.1))
    rain = np.linspace(10.0, 60.0, 20)
    assert curve_number_trend(rain, 0.15 * rain).kind == "still falls"
    assert curve_number_trend(rain[8:], runoff_mm(rain[8:], np.linspace(70.0, 85.0, 12))).kind == "rises"
    steady = curve_number_trend(rain[8:], runoff_mm(rain[8:], np.tile([79.0, 81.0], 6)))
    assert (steady.kind, steady.limit) == ("steady", pytest.approx(80.0))
    assert curve_number_trend(rain[:5], 0.2 * rain[:5]) is None
