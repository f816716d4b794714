"""From soil keys to a loss: the four methods, what a zone leaves out, and what can't be."""

import pytest

from swalekit.design.brief.soil_keys import SoilKeys, soil_loss
from swalekit.errors import InputError
from swalekit.hydrology.losses.green_ampt import green_ampt_of_texture
from swalekit.hydrology.losses.losses import ConstantLoss, CurveNumberLoss, GreenAmptLoss, Loss, RunoffCoefficient

COVER = SoilKeys(cover="pasture", condition="good", group="C")
SANDY = SoilKeys(texture="sandy loam", initial_saturation=0.5, condition="poor")
MEASURED = SoilKeys(conductivity_mm_h=4.0, suction_mm=90.0, moisture_deficit=0.2)


def loss_of(keys: SoilKeys, tested_mm_h: float | None = None) -> Loss:
    """The loss at the usual ratio."""
    return soil_loss(keys, initial_abstraction_ratio=0.2, tested_mm_h=tested_mm_h)


@pytest.mark.parametrize(
    ("keys", "loss"),
    [
        (SoilKeys(curve_number=81.0), CurveNumberLoss(81.0)),
        (COVER, CurveNumberLoss(74.0)),  # TR-55, Table 2-2c
        (SoilKeys(conductivity_mm_h=6.5, suction_mm=167.0, moisture_deficit=0.34), GreenAmptLoss(6.5, 167.0, 0.34)),
        (SANDY, green_ampt_of_texture("sandy loam", saturation=0.5)),
        (SoilKeys(initial_loss_mm=10.0, loss_rate_mm_h=5.0), ConstantLoss(10.0, 5.0)),
        (SoilKeys(loss_rate_mm_h=5.0), ConstantLoss(0.0, 5.0)),
        (SoilKeys(runoff_coefficient=0.3), RunoffCoefficient(0.3)),
        (SoilKeys(curve_number=81.0, texture="clay", group="D"), CurveNumberLoss(81.0)),
    ],
)
def test_each_method_has_its_keys(keys, loss):
    """Texture and group beside a curve number ask for nothing else."""
    assert loss_of(keys) == loss


def test_a_value_given_goes_before_the_test_and_the_test_before_the_texture():
    """Conductivity of sandy loam is 10.9 mm/h (Rawls et al. 1983), the test's 7, the one given 4."""
    published = loss_of(SANDY)
    tested = loss_of(SANDY, 7.0)
    given = loss_of(SoilKeys(conductivity_mm_h=4.0, texture="sandy loam", initial_saturation=0.5), 7.0)
    assert [loss.conductivity_mm_h for loss in (published, tested, given)] == [10.9, 7.0, 4.0]
    assert published.suction_mm == tested.suction_mm == given.suction_mm == pytest.approx(110.1)


@pytest.mark.parametrize(
    ("zone", "brief", "loss"),
    [
        (SoilKeys(group="D"), COVER, CurveNumberLoss(80.0)),  # TR-55, Table 2-2c
        (SoilKeys(condition="poor", group="A"), COVER, CurveNumberLoss(68.0)),  # the same
        (SoilKeys(curve_number=90.0, group="D"), COVER, CurveNumberLoss(90.0)),
        (SoilKeys(texture="clay"), SANDY, green_ampt_of_texture("clay", saturation=0.5)),
        (SoilKeys(texture="clay", moisture_deficit=0.1), SANDY, GreenAmptLoss(0.3, 316.3, 0.1)),
        (SoilKeys(texture="clay", group="D"), SANDY, green_ampt_of_texture("clay", saturation=0.5)),
        (SoilKeys(texture="clay"), MEASURED, GreenAmptLoss(0.3, 316.3, 0.2)),
        (SoilKeys(texture="clay", curve_number=90.0), SANDY, CurveNumberLoss(90.0)),
        (SoilKeys(initial_saturation=0.0), SANDY, green_ampt_of_texture("sandy loam", saturation=0.0)),
        (SoilKeys(conductivity_mm_h=2.0), SANDY, GreenAmptLoss(2.0, 110.1, 0.206)),
        (SoilKeys(initial_loss_mm=2.0), SoilKeys(loss_rate_mm_h=6.0), ConstantLoss(2.0, 6.0)),
        (SoilKeys(runoff_coefficient=0.6), COVER, RunoffCoefficient(0.6)),
    ],
)
def test_a_zone_takes_from_the_brief_what_it_leaves_out(zone, brief, loss):
    """Only within one method: the cover for a group, the wetness for a texture, the rate for an initial loss."""
    found, expected = (vars(each) for each in (loss_of(zone.within(brief)), loss))
    assert type(loss_of(zone.within(brief))) is type(loss)
    assert found == pytest.approx(expected)


@pytest.mark.parametrize(
    ("zone", "brief", "words"),
    [
        (SoilKeys(texture="clay"), COVER, "texture 'clay' alone does not say"),
        (SoilKeys(group="D"), SANDY, "group 'D' alone does not say"),
        (SoilKeys(group="D"), SoilKeys(curve_number=80.0), "group 'D' alone does not say"),
        (SoilKeys(curve_number=20.0), COVER, "curve_number is 20"),
        (SoilKeys(cover="pasture"), SANDY, "needs group"),
        (SoilKeys(conductivity_mm_h=2.0), COVER, "needs suction_mm, moisture_deficit"),
        (SoilKeys(curve_number=80.0, loss_rate_mm_h=3.0), COVER, "both say how much runs off"),
    ],
)
def test_a_zone_that_says_too_little_or_too_much_is_refused(zone, brief, words):
    """What is missing or said twice is named."""
    with pytest.raises(InputError, match=words):
        loss_of(zone.within(brief))
