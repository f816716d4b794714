"""What the ground keeps of a storm, in the words of a sheet."""

from collections.abc import Iterable

from swalekit.hydrology.losses.losses import ConstantLoss, CurveNumberLoss, GreenAmptLoss, Loss, RunoffCoefficient
from swalekit.reporting.words.shown import unit_name
from swalekit.units import to_us

_FIGURES: dict[type[Loss], tuple[str, str, str]] = {
    CurveNumberLoss: ("Curve number", "curve_number", ""),
    GreenAmptLoss: ("Green-Ampt K", "conductivity_mm_h", "mm/h"),
    ConstantLoss: ("Loss rate", "rate_mm_h", "mm/h"),
    RunoffCoefficient: ("Runoff coefficient", "coefficient", ""),
}
"""Label, value and unit of the figure that matters most."""
_NAMES: dict[type[Loss], str] = {
    CurveNumberLoss: "the NRCS curve number",
    GreenAmptLoss: "Green and Ampt's infiltration",
    ConstantLoss: "a constant loss",
    RunoffCoefficient: "a runoff coefficient",
}
_ROOM = 2
"""With more values than this, only the least and the greatest are shown."""


def loss_facts(losses: Iterable[Loss], *, units: str) -> tuple[tuple[str, str], ...]:
    """Label and value of the figure that matters most in each method, over all soil classes.

    Examples
    --------
    >>> loss_facts((CurveNumberLoss(85.0), CurveNumberLoss(90.0), GreenAmptLoss(10.9, 110.1, 0.2)), units="metric")
    (('Curve number', '85, 90'), ('Green-Ampt K', '10.9 mm/h'))
    """
    found: dict[tuple[str, str], set[float]] = {}
    for loss in losses:
        label, name, unit = _FIGURES[type(loss)]
        found.setdefault((label, unit), set()).add(getattr(loss, name))
    return tuple(
        (label, f"{_spread(sorted(values), unit, units)} {unit_name(unit, units=units)}".strip())
        for (label, unit), values in found.items()
    )


def loss_credit(losses: tuple[Loss, ...], *, units: str) -> str:
    """Sentence that says by which methods runoff was worked out, with all their values where there is one class.

    Examples
    --------
    >>> loss_credit((ConstantLoss(10.0, 5.0),), units="metric")
    'Runoff by an initial loss of 10 mm and a constant loss of 5 mm/h.'
    """
    if len(losses) == 1:
        return f"Runoff by {_in_full(losses[0], units)}."
    names = [_NAMES[method] for method in dict.fromkeys(type(loss) for loss in losses)]
    return f"Runoff by {' and '.join(filter(None, [', '.join(names[:-1]), names[-1]]))}."


def _in_full(loss: Loss, units: str) -> str:
    match loss:
        case GreenAmptLoss():
            return (
                f"{_NAMES[GreenAmptLoss]}: K {_value(loss.conductivity_mm_h, 'mm/h', units)}, suction "
                f"{_value(loss.suction_mm, 'mm', units)}, moisture deficit {loss.moisture_deficit:.2g}"
            )
        case ConstantLoss():
            return (
                f"an initial loss of {_value(loss.initial_mm, 'mm', units)} and a constant loss of "
                f"{_value(loss.rate_mm_h, 'mm/h', units)}"
            )
    return _NAMES[type(loss)]


def _spread(values: list[float], unit: str, units: str) -> str:
    numbers = [_number(value, unit, units) for value in values]
    return ", ".join(numbers) if len(numbers) <= _ROOM else f"{numbers[0]}–{numbers[-1]}"


def _value(value: float, unit: str, units: str) -> str:
    return f"{_number(value, unit, units)} {unit_name(unit, units=units)}"


def _number(value: float, unit: str, units: str) -> str:
    return f"{to_us(value, unit)[0] if units == 'us' else value:.3g}"
