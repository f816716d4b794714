"""One check, one rule, one name. Each raises `InputError` with the name, the value found and the rule."""

import math
from collections.abc import Sequence
from difflib import get_close_matches

from swalekit.errors import InputError


def check_finite(**values: float) -> None:
    """Every value is a finite number."""
    for name, value in values.items():
        if not math.isfinite(value):
            message = f"{name} is {value}; it must be a finite number"
            raise InputError(message)


def check_positive(**values: float) -> None:
    """Every value is finite and greater than zero."""
    check_finite(**values)
    for name, value in values.items():
        if value <= 0:
            message = f"{name} is {value:g}; it must be greater than zero"
            raise InputError(message)


def check_not_negative(**values: float) -> None:
    """Every value is finite and zero or greater."""
    check_finite(**values)
    for name, value in values.items():
        if value < 0:
            message = f"{name} is {value:g}; it must be zero or greater"
            raise InputError(message)


def check_between(low: float, high: float, **values: float) -> None:
    """Every value is finite and within ``low`` and ``high``, both included."""
    check_finite(**values)
    for name, value in values.items():
        if not low <= value <= high:
            message = f"{name} is {value:g}; it must lie between {low:g} and {high:g}"
            raise InputError(message)


def check_ordered(low_name: str, low: float, high_name: str, high: float) -> None:
    """The first value does not exceed the second."""
    check_finite(**{low_name: low, high_name: high})
    if low > high:
        message = f"{low_name} is {low:g} and {high_name} is {high:g}; {low_name} must not exceed {high_name}"
        raise InputError(message)


def check_same_shape(**arrays: object) -> None:
    """All arrays have one shape."""
    shapes = {name: getattr(array, "shape", ()) for name, array in arrays.items()}
    if len(set(shapes.values())) > 1:
        listed = ", ".join(f"{name} {shape}" for name, shape in shapes.items())
        message = f"arrays differ in shape: {listed}; they must be the same"
        raise InputError(message)


def check_one_of(choices: Sequence[str], **values: str) -> None:
    """Every value is one of the choices; the nearest one is offered."""
    for name, value in values.items():
        if value not in choices:
            near = get_close_matches(value, choices, n=1)
            hint = f"; did you mean '{near[0]}'?" if near else ""
            mark = "'" if any("," in each for each in choices) else ""
            listed = ", ".join(f"{mark}{each}{mark}" for each in choices)
            message = f"{name} is '{value}'; it must be one of {listed}{hint}"
            raise InputError(message)
