"""One loss of each method, for tests that hold for all of them, and what a method must say of itself."""

from swalekit.design.brief.soil_part import SoilPart
from swalekit.hydrology.losses.coefficient import RunoffCoefficient
from swalekit.hydrology.losses.constant import ConstantLoss
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.green_ampt import GreenAmptLoss
from swalekit.hydrology.losses.loss import Loss

LOSSES: tuple[Loss, ...] = (
    CurveNumberLoss(80.0),
    GreenAmptLoss(conductivity_mm_h=10.9, suction_mm=110.1, moisture_deficit=0.25),
    ConstantLoss(initial_mm=8.0, rate_mm_h=6.0),
    RunoffCoefficient(0.3),
)


def name_of(loss: Loss) -> str:
    """Name of a test case."""
    return type(loss).__name__


def missing_parts(method: type[Loss], examples: tuple[Loss, ...] = LOSSES) -> list[str]:
    """What the house must know of a method and can't find.

    Parameters
    ----------
    method : type of Loss
        The method.
    examples : tuple of Loss
        Losses that the tests for all methods run over.
    """
    keys = getattr(method, "keys", ())
    unknown = [key for key in (*keys, *method.shared_keys) if key not in SoilPart.model_fields]
    doc = method.__doc__ or ""
    found = {
        "a name in the record": bool(getattr(method, "method", "")),
        "words on the map": all(hasattr(method, name) for name in ("in_words", "told", "figure")),
        "keys": bool(keys) and bool(getattr(method, "ways", ())),
        f"fields of the brief for {', '.join(unknown)}": not unknown,
        "a source": "References\n" in doc and ".. [1]" in doc,
        "an example in its docstring": ">>>" in doc,
        "a loss among the examples of the tests": any(type(loss) is method for loss in examples),
        f"functions {', '.join(sorted(method.__abstractmethods__))}": not method.__abstractmethods__,
    }
    return [part for part, there in found.items() if not there]
