"""What every loss method promises, and the printed examples of each."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loss_examples import LOSSES, name_of
from numpy.testing import assert_allclose, assert_array_equal

from swalekit.design.brief.soil_part import LOSS_METHODS
from swalekit.errors import InputError
from swalekit.hydrology.losses.coefficient import RunoffCoefficient
from swalekit.hydrology.losses.constant import ConstantLoss
from swalekit.hydrology.losses.curve_number import CurveNumberLoss, runoff_mm
from swalekit.hydrology.losses.green_ampt import GreenAmptLoss
from swalekit.hydrology.losses.loss import Loss, default_storm_shape
from swalekit.hydrology.storm.hyetograph import Hyetograph, uniform_storm
from swalekit.hydrology.storm.storm import nrcs_storm
from swalekit.units import MM_PER_INCH

every_loss = pytest.mark.parametrize("loss", LOSSES, ids=name_of)
storms = st.lists(st.tuples(st.floats(0.01, 3.0), st.floats(0.0, 40.0), st.floats(0.0, 10.0)), min_size=1, max_size=12)


def course(steps: list[tuple[float, ...]]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Time of a storm, its rain, and the rain of another that has more in every step."""
    step_h, rain_mm, more_mm = np.array(steps).T
    time_h, rain, more = (np.append(0.0, np.cumsum(steps)) for steps in (step_h, rain_mm, rain_mm + more_mm))
    return time_h, rain, more


def test_every_method_has_an_example() -> None:
    """The tests for all losses leave none out."""
    assert tuple(type(loss) for loss in LOSSES) == LOSS_METHODS


@every_loss
@settings(deadline=None)  # the first example compiles
@given(steps=storms)
def test_excess_keeps_within_the_rain_and_never_falls(loss: Loss, steps: list[tuple[float, ...]]) -> None:
    """From nothing at the start, runoff grows and is never more than the rain so far."""
    time_h, rain, _ = course(steps)
    excess = loss.excess_mm(time_h, rain)
    assert excess.shape == rain.shape
    assert excess[0] == 0
    assert np.all((excess >= 0) & (excess <= rain))
    assert np.all(np.diff(excess) >= -1e-12)


@every_loss
@settings(deadline=None)  # the first example compiles
@given(steps=storms)
def test_more_rain_never_makes_less_runoff(loss: Loss, steps: list[tuple[float, ...]]) -> None:
    """With more rain in every step, no less has run off at any time."""
    time_h, rain, more = course(steps)
    assert np.all(loss.excess_mm(time_h, more) >= loss.excess_mm(time_h, rain) - 1e-9)


@every_loss
def test_runoff_rises_with_depth(loss: Loss) -> None:
    """Among storms of one shape the deeper one makes more runoff, up to most of the rain or its share."""
    runoff = loss.runoff_mm(np.linspace(0.0, 300.0, 61))
    assert runoff[0] == 0
    assert np.all(np.diff(runoff) >= 0)
    assert runoff[-1] > 50


@every_loss
def test_cutting_steps_changes_nothing(loss: Loss) -> None:
    """A course told in steps a quarter as long runs off as before: steps are solved exactly."""
    storm = nrcs_storm(90.0, "II")
    finer_h = np.interp(np.arange(4 * (len(storm.time_h) - 1) + 1) / 4, np.arange(len(storm.time_h)), storm.time_h)
    finer = loss.excess_mm(finer_h, np.interp(finer_h, storm.time_h, storm.cumulative_mm))
    assert_allclose(finer[::4], loss.excess_mm(storm.time_h, storm.cumulative_mm), rtol=1e-10, atol=1e-10)


@every_loss
def test_scalar_equals_array(loss: Loss) -> None:
    """A depth alone, in a row or in a table gives the same runoff in its own shape."""
    depths = np.array([[0.0, 12.0, 40.0], [77.0, 130.0, 600.0]])
    together = loss.runoff_mm(depths)
    assert together.shape == depths.shape
    assert_array_equal(together, [[float(loss.runoff_mm(depth)) for depth in row] for row in depths])


@every_loss
def test_runoff_is_the_excess_at_the_end_of_the_scaled_storm(loss: Loss) -> None:
    """Runoff of a depth is what has run off when a storm of that depth and shape is over."""
    shape = Hyetograph.from_increments([1.0, 5.0, 0.0, 3.0], step_min=20.0)
    storm = shape.scaled_to(70.0)
    excess = loss.excess_mm(storm.time_h, storm.cumulative_mm)
    assert float(loss.runoff_mm(70.0, shape=shape)) == pytest.approx(excess[-1], rel=1e-12)


@every_loss
def test_even_rain_makes_no_more_runoff_than_a_burst(loss: Loss) -> None:
    """Spreading a storm out lessens runoff where the method follows its course, and else changes nothing."""
    even, burst = (float(loss.runoff_mm(80.0, shape=uniform_storm(1.0, hours))) for hours in (6.0, 1.0))
    assert even < burst - 5 if loss.follows_course else even == burst


def test_default_shape_is_type_ii() -> None:
    """Without a shape, rain falls as in an NRCS storm of type II."""
    loss = LOSSES[1]
    assert loss.runoff_mm(60.0) == loss.runoff_mm(60.0, shape=nrcs_storm(60.0, "II"))
    assert default_storm_shape().duration_h == 24.0


@pytest.mark.parametrize(
    "loss",
    [CurveNumberLoss(100.0), GreenAmptLoss(0.0, 100.0, 0.3), ConstantLoss(0.0, 0.0), RunoffCoefficient(1.0)],
    ids=name_of,
)
def test_ground_that_takes_nothing_sheds_all_rain(loss: Loss) -> None:
    """Where nothing soaks in, all rain runs off, at every time, and not a rounding error more."""
    for depth in (0.7, 50.0, 333.3):
        storm = nrcs_storm(depth, "II")
        excess = loss.excess_mm(storm.time_h, storm.cumulative_mm)
        assert_allclose(excess, storm.cumulative_mm, rtol=1e-12)
        assert np.all(excess <= storm.cumulative_mm)
        assert loss.runoff_mm(depth, shape=storm) <= depth


@pytest.mark.parametrize(
    "loss",
    [
        CurveNumberLoss(1.0),
        GreenAmptLoss(1e6, 100.0, 0.3),
        GreenAmptLoss(1.0, 1e9, 1.0),
        ConstantLoss(1e6, 0.0),
        ConstantLoss(0.0, 1e6),
        RunoffCoefficient(0.0),
    ],
    ids=repr,
)
def test_ground_that_takes_all_sheds_nothing(loss: Loss) -> None:
    """Where all soaks in, nothing runs off."""
    assert loss.runoff_mm(200.0) == 0


def test_neh_10_example_10_6() -> None:
    """Cumulative runoff of CN 80, hour by hour, as printed in NEH 630 ch. 10, Table 10-2 [in]."""
    rain_in = "0 .15 .30 .62 1.01 1.27 1.36 1.36 1.38 1.38 1.55 1.87 2.25 2.61 2.66 2.68 3.22 4.17 4.82 4.93 5.00"
    printed_in = "0 0 0 0 .08 .18 .22 .22 .23 .23 .32 .48 .72 .97 1.00 1.02 1.42 2.18 2.74 2.83 2.89"
    rain_mm = np.array(rain_in.split(), float) * MM_PER_INCH
    excess = CurveNumberLoss(80.0).excess_mm(np.arange(21.0), rain_mm)
    # NOTE: the fifth and the eleventh hour are printed 0.006 and 0.009 off the equation.
    assert_allclose(excess / MM_PER_INCH, np.array(printed_in.split(), float), atol=0.01)


def test_curve_number_loss_is_the_curve_number_formula() -> None:
    """Runoff of storms is that of `runoff_mm`, to the last bit, with the ratio given."""
    depths = np.linspace(0.0, 200.0, 11)
    loss = CurveNumberLoss(77.0, initial_abstraction_ratio=0.05)
    assert_array_equal(loss.runoff_mm(depths), runoff_mm(depths, 77.0, initial_abstraction_ratio=0.05))


def test_constant_loss_by_hand() -> None:
    """Initial loss of 10 mm filled after half of the first hour, then 4 mm/h; a gentle hour sheds nothing."""
    excess = ConstantLoss(initial_mm=10.0, rate_mm_h=4.0).excess_mm([0, 1, 2, 4], [0.0, 20.0, 23.0, 43.0])
    assert_allclose(excess, [0.0, 8.0, 8.0, 20.0])


@every_loss
def test_condition_moves_curve_numbers_only(loss: Loss) -> None:
    """Dry, average and wet ground differ by NEH 630 ch. 10 Table 10-1 for curve numbers (80: 63, 91) and not else."""
    dry, average, wet = (loss.with_condition(condition) for condition in ("dry", "average", "wet"))
    assert average == loss
    if isinstance(loss, CurveNumberLoss):
        assert (dry, wet) == (replace(loss, curve_number=63.0), replace(loss, curve_number=91.0))
    else:
        assert dry == wet == loss
    with pytest.raises(InputError, match="condition is 'soaked'; it must be one of dry, average, wet"):
        loss.with_condition("soaked")


@pytest.mark.parametrize(
    ("time_h", "rain_mm", "words"),
    [
        ([0.0, 1.0], [0.0, 1.0, 2.0], "arrays differ in shape"),
        ([0.0, 1.0, 1.0], [0.0, 1.0, 2.0], "storm at 1 h: time does not rise"),
        ([0.0, 1.0, 2.0], [0.0, 3.0, 2.0], "storm at 2 h: -1 mm"),
        ([0.0, 1.0], [5.0, 6.0], "must start with 0"),
        ([], [], "must start with 0"),
    ],
)
def test_course_that_cannot_be_fails(time_h: list[float], rain_mm: list[float], words: str) -> None:
    """A storm out of order is refused."""
    with pytest.raises(InputError, match=words):
        LOSSES[1].excess_mm(time_h, rain_mm)


@every_loss
@pytest.mark.parametrize("depth_mm", [-1.0, np.nan, np.inf])
def test_rain_that_cannot_be_fails(loss: Loss, depth_mm: float) -> None:
    """Storm depths are finite and not negative."""
    with pytest.raises(InputError, match=f"rain_mm is {depth_mm:g}; it must be finite and zero or greater"):
        loss.runoff_mm([5.0, depth_mm])


@pytest.mark.parametrize(
    ("method", "values", "words"),
    [
        (CurveNumberLoss, (101.0,), "curve_number is 101"),
        (CurveNumberLoss, (80.0, 1.5), "initial_abstraction_ratio is 1.5"),
        (GreenAmptLoss, (-1.0, 100.0, 0.3), "conductivity_mm_h is -1"),
        (GreenAmptLoss, (1.0, np.nan, 0.3), "suction_mm is nan"),
        (GreenAmptLoss, (1.0, 100.0, 30.0), "moisture_deficit is 30; it must lie between 0 and 1"),
        (ConstantLoss, (-5.0, 1.0), "initial_mm is -5"),
        (ConstantLoss, (5.0, -1.0), "rate_mm_h is -1"),
        (RunoffCoefficient, (25.0,), "coefficient is 25; it must lie between 0 and 1"),
    ],
)
def test_loss_with_value_outside_its_range_fails(method: type[Loss], values: tuple[float, ...], words: str) -> None:
    """A loss is checked when it is made."""
    with pytest.raises(InputError, match=words):
        method(*values)


# --- ground that keeps more, or less ---------------------------------------------------------------------------------

every_factor = pytest.mark.parametrize("factor", [0.3, 0.8, 2.5])
BURST = Hyetograph(np.array([0.0, 2.0, 3.0, 6.0]), np.array([0.0, 20.0, 110.0, 140.0]))


@every_factor
@pytest.mark.parametrize("loss", [CurveNumberLoss(80.0), ConstantLoss(8.0, 6.0)], ids=name_of)
def test_a_depth_kept_f_times_over_sheds_f_times_as_much_of_f_times_the_rain(loss: Loss, factor: float) -> None:
    """Retention, initial loss and loss rate are depths: scaling them and the storm alike scales the runoff."""
    kept = loss.keeping(factor).runoff_mm(factor * 140.0, shape=BURST)
    assert kept == pytest.approx(factor * loss.runoff_mm(140.0, shape=BURST))


@every_factor
def test_ground_that_takes_in_f_times_as_fast_sheds_as_if_the_storm_were_f_times_as_long(factor: float) -> None:
    """Green and Ampt's law knows time only as K t."""
    loss = GreenAmptLoss(10.9, 110.1, 0.25)
    longer = Hyetograph(factor * BURST.time_h, BURST.cumulative_mm)
    shed_mm = float(loss.keeping(factor).runoff_mm(140.0, shape=BURST))
    assert shed_mm == pytest.approx(float(loss.runoff_mm(140.0, shape=longer)))
    assert 5.0 < shed_mm < 130.0


@every_factor
def test_the_odds_of_rain_staying_rise_f_times(factor: float) -> None:
    """Whatever the factor, the coefficient stays between 0 and 1."""
    shed = RunoffCoefficient(0.3).keeping(factor).coefficient
    assert (1.0 - shed) / shed == pytest.approx(factor * 0.7 / 0.3)
