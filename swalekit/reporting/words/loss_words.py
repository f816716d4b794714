"""What the ground keeps of a storm, in the words of a sheet."""

from collections.abc import Iterable
from string import Formatter
from typing import Any

from swalekit.hydrology.losses.loss import Loss
from swalekit.reporting.words.shown import unit_name
from swalekit.units import to_us

_ROOM = 2
"""With more values than this, only the least and the greatest are shown."""


def loss_facts(losses: Iterable[Loss], *, units: str) -> tuple[tuple[str, str], ...]:
    """Label and value of the figure that matters most in each method, over all soil classes.

    Parameters
    ----------
    losses : iterable of Loss
        Losses of the soil classes.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    tuple of (str, str)
        One pair a method: label, and its values over all classes with the unit; of more than two the least and the
        greatest.

    Examples
    --------
    >>> from swalekit.hydrology.losses.curve_number import CurveNumberLoss
    >>> from swalekit.hydrology.losses.green_ampt import GreenAmptLoss
    >>> loss_facts((CurveNumberLoss(85.0), CurveNumberLoss(90.0), GreenAmptLoss(10.9, 110.1, 0.2)), units="metric")
    (('Curve number', '85, 90'), ('Green-Ampt K', '10.9 mm/h'))
    """
    found: dict[tuple[str, str], set[float]] = {}
    for loss in losses:
        label, field, unit = loss.figure
        found.setdefault((label, unit), set()).add(getattr(loss, field))
    return tuple(
        (label, f"{_spread(sorted(values), unit, units)} {unit_name(unit, units=units)}".strip())
        for (label, unit), values in found.items()
    )


def loss_credit(losses: tuple[Loss, ...], *, units: str) -> str:
    """Sentence that says by which methods runoff was worked out, with all their values where there is one class.

    Parameters
    ----------
    losses : tuple of Loss
        Losses of the soil classes, one or more.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        The sentence; with more than one class only the names of the methods.

    Examples
    --------
    >>> from swalekit.hydrology.losses.constant import ConstantLoss
    >>> loss_credit((ConstantLoss(10.0, 5.0),), units="metric")
    'Runoff by an initial loss of 10 mm and a constant loss of 5 mm/h.'
    """
    if len(losses) == 1:
        return f"Runoff by {_InUnits(units).format(losses[0].told, **vars(losses[0]))}."
    names = list(dict.fromkeys(loss.in_words for loss in losses))
    return f"Runoff by {' and '.join(filter(None, [', '.join(names[:-1]), names[-1]]))}."


class _InUnits(Formatter):
    """Fills a template whose values name their SI unit, ``{rate_mm_h:mm/h}``, or plain digits, ``{share:.2g}``."""

    def __init__(self, units: str) -> None:
        self.units = units

    def format_field(self, value: Any, format_spec: str) -> str:
        """A value with its unit as the reader's."""
        if format_spec.endswith("g"):
            return format(value, format_spec)
        return f"{_number(value, format_spec, self.units)} {unit_name(format_spec, units=self.units)}"


def _spread(values: list[float], unit: str, units: str) -> str:
    numbers = [_number(value, unit, units) for value in values]
    return ", ".join(numbers) if len(numbers) <= _ROOM else f"{numbers[0]}–{numbers[-1]}"


def _number(value: float, unit: str, units: str) -> str:
    return f"{to_us(value, unit)[0] if units == 'us' else value:.3g}"
