"""Every method of losses says of itself all that brief, map, report and reliability ask of it."""

from dataclasses import dataclass
from importlib import import_module
from pkgutil import iter_modules

import pytest
from loss_examples import LOSSES, missing_parts, name_of

import swalekit.hydrology.losses
from swalekit.design.brief.soil_part import LOSS_METHODS, SoilPart, soil_loss
from swalekit.hydrology.losses.coefficient import RunoffCoefficient
from swalekit.hydrology.losses.loss import KeyFigure, Loss
from swalekit.reporting.words.loss_words import loss_credit, loss_facts
from swalekit.tables.load import read_table


class BareLoss(Loss):
    """A method of which nothing is told."""


@dataclass(frozen=True)
class ThresholdLoss(RunoffCoefficient):
    """All rain above a depth runs off, told in full but for its key in the brief.

    References
    ----------
    .. [1] Made up.

    Examples
    --------
    >>> ThresholdLoss(0.5).coefficient
    0.5
    """

    method = "threshold"
    in_words = "a threshold"
    told = "a threshold of {coefficient:.2g}"
    figure = KeyFigure("Threshold", "coefficient")
    keys = ("threshold_mm",)


def test_the_brief_offers_every_method_there_is() -> None:
    """Whatever class of the room is a method is among those of the brief, and each name is one method's."""
    names = [module.name for module in iter_modules(swalekit.hydrology.losses.__path__)]
    found = {
        value
        for name in names
        for value in vars(import_module(f"swalekit.hydrology.losses.{name}")).values()
        if isinstance(value, type) and issubclass(value, Loss) and value is not Loss
    }
    assert found == set(LOSS_METHODS)
    assert len({method.method for method in LOSS_METHODS}) == len(LOSS_METHODS)


@pytest.mark.parametrize("method", LOSS_METHODS)
def test_nothing_of_a_method_is_missing(method: type[Loss]) -> None:
    """Keys, words, source, examples and functions are all there."""
    assert missing_parts(method) == []


def test_every_missing_part_is_named() -> None:
    """A method of which nothing is told lacks all parts; one that is told but for its key lacks that key alone."""
    assert missing_parts(BareLoss) == [
        "a name in the record",
        "words on the map",
        "keys",
        "a source",
        "an example in its docstring",
        "a loss among the examples of the tests",
        "functions _excess_mm, from_keys, keeping",
    ]
    assert missing_parts(ThresholdLoss, (ThresholdLoss(0.5),)) == ["fields of the brief for threshold_mm"]


def test_a_method_of_ones_own_has_its_words_without_a_list() -> None:
    """Map and report ask the loss itself: no table of theirs names the methods."""
    loss = ThresholdLoss(0.5)
    assert loss_facts((loss,), units="us") == (("Threshold", "0.5"),)
    assert loss_credit((loss,), units="us") == "Runoff by a threshold of 0.5."


@pytest.mark.parametrize("loss", LOSSES, ids=name_of)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_words_of_a_method_fit_its_values(loss: Loss, units: str) -> None:
    """The label of the figure is followed by a number, the template of the sentence fits the fields."""
    ((label, value),) = loss_facts((loss,), units=units)
    assert label == loss.figure.label
    assert float(value.split()[0]) > 0
    assert "{" not in loss_credit((loss,), units=units)
    assert loss.in_words in loss_credit((loss, LOSSES[0]), units=units)
    assert all(read_table(table) for _, table in loss.sources)


@pytest.mark.parametrize(
    "given",
    [
        {"curve_number": 80.0},
        {"conductivity_mm_h": 10.9, "suction_mm": 110.1, "moisture_deficit": 0.25},
        {"initial_loss_mm": 8.0, "loss_rate_mm_h": 6.0},
        {"runoff_coefficient": 0.3},
    ],
)
def test_a_brief_reaches_every_method(given: dict[str, float]) -> None:
    """The keys of the brief's soil make the examples, one after the other."""
    loss = soil_loss(SoilPart(**given).loss_keys)
    assert loss in LOSSES
    assert set(given) <= {*loss.keys, *loss.shared_keys}
