"""From soil keys to a loss: the four methods, what a zone leaves out, and what can't be."""

import pytest

from swalekit.design.brief.soil_part import keys_of_zone, soil_loss
from swalekit.errors import InputError
from swalekit.hydrology.losses.coefficient import RunoffCoefficient
from swalekit.hydrology.losses.constant import ConstantLoss
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.green_ampt import GreenAmptLoss, green_ampt_of_texture

COVER = {"cover": "pasture", "condition": "good", "group": "C"}
SANDY = {"texture": "sandy loam", "initial_saturation": 0.5, "condition": "poor"}
MEASURED = {"conductivity_mm_h": 4.0, "suction_mm": 90.0, "moisture_deficit": 0.2}


@pytest.mark.parametrize(
    ("keys", "loss"),
    [
        ({"curve_number": 81.0}, CurveNumberLoss(81.0)),
        (COVER, CurveNumberLoss(74.0)),  # TR-55, Table 2-2c
        ({"conductivity_mm_h": 6.5, "suction_mm": 167.0, "moisture_deficit": 0.34}, GreenAmptLoss(6.5, 167.0, 0.34)),
        (SANDY, green_ampt_of_texture("sandy loam", saturation=0.5)),
        ({"initial_loss_mm": 10.0, "loss_rate_mm_h": 5.0}, ConstantLoss(10.0, 5.0)),
        ({"loss_rate_mm_h": 5.0}, ConstantLoss(0.0, 5.0)),
        ({"runoff_coefficient": 0.3}, RunoffCoefficient(0.3)),
        ({"curve_number": 81.0, "texture": "clay", "group": "D"}, CurveNumberLoss(81.0)),
    ],
)
def test_each_method_has_its_keys(keys, loss):
    """Texture and group beside a curve number ask for nothing else."""
    assert soil_loss(keys) == loss


def test_a_value_given_goes_before_the_test_and_the_test_before_the_texture():
    """Conductivity of sandy loam is 10.9 mm/h (Rawls et al. 1983), the test's 7, the one given 4."""
    published = soil_loss(SANDY)
    tested = soil_loss(SANDY, tested_mm_h=7.0)
    given = soil_loss({"conductivity_mm_h": 4.0, "texture": "sandy loam", "initial_saturation": 0.5}, tested_mm_h=7.0)
    assert [loss.conductivity_mm_h for loss in (published, tested, given)] == [10.9, 7.0, 4.0]
    assert published.suction_mm == tested.suction_mm == given.suction_mm == pytest.approx(110.1)


@pytest.mark.parametrize(
    ("zone", "brief", "loss"),
    [
        ({"group": "D"}, COVER, CurveNumberLoss(80.0)),  # TR-55, Table 2-2c
        ({"condition": "poor", "group": "A"}, COVER, CurveNumberLoss(68.0)),  # the same
        ({"curve_number": 90.0, "group": "D"}, COVER, CurveNumberLoss(90.0)),
        ({"texture": "clay"}, SANDY, green_ampt_of_texture("clay", saturation=0.5)),
        ({"texture": "clay", "moisture_deficit": 0.1}, SANDY, GreenAmptLoss(0.3, 316.3, 0.1)),
        ({"texture": "clay", "group": "D"}, SANDY, green_ampt_of_texture("clay", saturation=0.5)),
        ({"texture": "clay"}, MEASURED, GreenAmptLoss(0.3, 316.3, 0.2)),
        ({"texture": "clay", "curve_number": 90.0}, SANDY, CurveNumberLoss(90.0)),
        ({"initial_saturation": 0.0}, SANDY, green_ampt_of_texture("sandy loam", saturation=0.0)),
        ({"conductivity_mm_h": 2.0}, SANDY, GreenAmptLoss(2.0, 110.1, 0.206)),
        ({"initial_loss_mm": 2.0}, {"loss_rate_mm_h": 6.0}, ConstantLoss(2.0, 6.0)),
        ({"runoff_coefficient": 0.6}, COVER, RunoffCoefficient(0.6)),
    ],
)
def test_a_zone_takes_from_the_brief_what_it_leaves_out(zone, brief, loss):
    """Only within one method: the cover for a group, the wetness for a texture, the rate for an initial loss."""
    found, expected = (vars(each) for each in (soil_loss(keys_of_zone(zone, brief)), loss))
    assert type(soil_loss(keys_of_zone(zone, brief))) is type(loss)
    assert found == pytest.approx(expected)


@pytest.mark.parametrize(
    ("zone", "brief", "words"),
    [
        ({"texture": "clay"}, COVER, "texture 'clay' alone does not say"),
        ({"group": "D"}, SANDY, "group 'D' alone does not say"),
        ({"group": "D"}, {"curve_number": 80.0}, "group 'D' alone does not say"),
        ({"curve_number": 20.0}, COVER, "curve_number is 20"),
        ({"cover": "pasture"}, SANDY, "needs group"),
        ({"conductivity_mm_h": 2.0}, COVER, "needs suction_mm, moisture_deficit"),
        ({"curve_number": 80.0, "loss_rate_mm_h": 3.0}, COVER, "both say how much runs off"),
    ],
)
def test_a_zone_that_says_too_little_or_too_much_is_refused(zone, brief, words):
    """What is missing or said twice is named."""
    with pytest.raises(InputError, match=words):
        soil_loss(keys_of_zone(zone, brief))
