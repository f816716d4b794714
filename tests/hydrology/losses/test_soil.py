"""The soil value, whatever its losses."""

import numpy as np
import pytest
from loss_examples import LOSSES, name_of
from numpy.testing import assert_array_equal

from swalekit.errors import InputError
from swalekit.hydrology.losses.constant import ConstantLoss
from swalekit.hydrology.losses.curve_number import CurveNumberLoss, curve_number_at_5_percent
from swalekit.hydrology.losses.green_ampt import GreenAmptLoss, green_ampt_of_texture
from swalekit.hydrology.losses.loss import Loss
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import held_storm_mm, local_runoff_m3
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.storm.hyetograph import uniform_storm
from swalekit.hydrology.storm.storm import nrcs_storm

every_loss = pytest.mark.parametrize("loss", LOSSES, ids=name_of)


def test_each_class_follows_its_own_loss() -> None:
    """One column a class, each as its loss alone would give it."""
    runoff = Soil(LOSSES).runoff_mm([[20.0, 60.0, 150.0]])
    assert runoff.shape == (1, 3, len(LOSSES))
    alone = [loss.runoff_mm([20.0, 60.0, 150.0]) for loss in LOSSES]
    np.testing.assert_allclose(runoff[0].T, alone, atol=0.02)


@every_loss
def test_runoff_rises_within_the_rain(loss: Loss) -> None:
    """More rain never makes less runoff, nor more than the rain, on the curve and beyond its end."""
    rain = np.linspace(0.0, 1500.0, 800)
    runoff = Soil((loss,)).runoff_mm(rain)[:, 0]
    assert runoff[0] == 0
    assert np.all(np.diff(runoff) >= 0)
    assert np.all(runoff <= rain)


@pytest.mark.parametrize("shape", [nrcs_storm(1.0, "II"), uniform_storm(1.0, 2.0)], ids=["type II", "even"])
@pytest.mark.parametrize("texture", ["sand", "sandy loam", "clay"])
def test_runoff_curve_is_true_to_a_hundredth_of_a_millimetre(texture: str, shape) -> None:
    """Between the depths of its curve a soil sheds what its loss does, to 0.01 mm and hardly ever less."""
    loss = green_ampt_of_texture(texture, saturation=0.4)
    rain = np.random.default_rng(5).uniform(0.0, 400.0, 200)
    error = Soil((loss,), storm_shape=shape).runoff_mm(rain)[:, 0] - loss.runoff_mm(rain, shape=shape)
    assert np.all((error > -0.001) & (error < 0.01))


def test_storm_deeper_than_the_curve_is_worked_out() -> None:
    """Beyond 1000 mm a soil gives what its loss gives for the storm's shape."""
    loss, shape = LOSSES[1], uniform_storm(1.0, 30.0)
    assert Soil((loss,), storm_shape=shape).runoff_mm(1400.0)[0] == loss.runoff_mm(1400.0, shape=shape)


def test_storm_shape_counts() -> None:
    """A soil sheds more of a burst than of a long soft storm."""
    burst, soft = (Soil(LOSSES[1:2], storm_shape=uniform_storm(1.0, hours)).runoff_mm(60.0)[0] for hours in (1.0, 24.0))
    assert burst > 20
    assert soft == 0


@every_loss
def test_held_storm_inverts_runoff(loss: Loss) -> None:
    """A store as large as a storm's runoff holds that storm, whatever the loss."""
    stores, soil = Stores(np.array([[1000.0]]), np.array([60.0]), np.array([-1], np.int32)), Soil((loss,))
    capacity = local_runoff_m3(stores, 72.3, soil)
    assert capacity[0] > 5
    assert held_storm_mm(stores, capacity, soil)[0] == pytest.approx(72.3, abs=0.01)


def test_condition_makes_a_band() -> None:
    """Dry ground sheds less than average, wet ground more, by NEH 630 ch. 10 Table 10-1; other losses stay."""
    soil = Soil((CurveNumberLoss(74.0), LOSSES[1]), intake_mm_h=12.0)
    dry, average, wet = (soil.with_condition(condition) for condition in ("dry", "average", "wet"))
    assert average == soil
    assert (dry.losses[0], wet.losses[0]) == (CurveNumberLoss(55.0), CurveNumberLoss(88.0))
    assert dry.losses[1] == wet.losses[1] == LOSSES[1]
    assert (dry.intake_mm_h, wet.storm_shape) == (12.0, soil.storm_shape)
    runoff = [float(wetness.runoff_mm(60.0)[0]) for wetness in (dry, average, wet)]
    assert runoff == sorted(set(runoff))


def test_intake_is_divided_by_the_safety_factor() -> None:
    """Half the field value is designed with, unless another factor is given; no value stays none."""
    assert Soil(LOSSES, intake_mm_h=30.0).design_intake_mm_h == 15.0
    assert Soil(LOSSES, intake_mm_h=30.0, intake_safety_factor=3.0).design_intake_mm_h == 10.0
    assert Soil(LOSSES).design_intake_mm_h is None


def test_curve_numbers_of_a_soil() -> None:
    """A soil whose classes all follow a curve number gives the numbers for Ia / S = 0.2, whatever they stand for."""
    given = CurveNumberLoss(float(curve_number_at_5_percent(85.0)), 0.05)
    assert Soil((CurveNumberLoss(70.0), given), 9.0).curve_number == pytest.approx((70.0, 85.0), rel=1e-12)


def test_runoff_on_curve_numbers_is_exact() -> None:
    """Curve numbers take no curve: runoff is the formula's, to the last bit."""
    rain = np.linspace(0.0, 300.0, 50)
    assert_array_equal(Soil((CurveNumberLoss(80.0),)).runoff_mm(rain)[:, 0], CurveNumberLoss(80.0).runoff_mm(rain))


@pytest.mark.parametrize(
    ("losses", "choices", "words"),
    [
        ((), {}, "the soil has no class"),
        (LOSSES, {"intake_mm_h": 0.0}, "intake_mm_h is 0"),
        (LOSSES, {"intake_safety_factor": 0.5}, "intake_safety_factor is 0.5; it must lie between 1"),
    ],
)
def test_soil_fails(losses: tuple[Loss, ...], choices: dict[str, float], words: str) -> None:
    """A soil is checked when it is made."""
    with pytest.raises(InputError, match=words):
        Soil(losses, **choices)


def test_curve_number_of_another_method_fails() -> None:
    """There is no curve number where a class follows another method."""
    with pytest.raises(InputError, match="its losses are CurveNumberLoss, ConstantLoss"):
        _ = Soil((CurveNumberLoss(80.0), ConstantLoss(5.0, 5.0))).curve_number


@pytest.mark.parametrize("rain_mm", [-1.0, np.nan])
def test_rain_that_cannot_be_fails(rain_mm: float) -> None:
    """Storm depths are finite and not negative, on every loss."""
    with pytest.raises(InputError, match=f"rain_mm is {rain_mm:g}"):
        Soil((GreenAmptLoss(10.0, 100.0, 0.2),)).runoff_mm([30.0, rain_mm])
