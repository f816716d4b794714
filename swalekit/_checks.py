"""One check, one rule, one name. Each raises `InputError` with the name, the value found and the rule."""

import math
from collections.abc import Sequence
from difflib import get_close_matches

from swalekit.errors import InputError


def check_finite(**values: float) -> None:
    """Check that every value is a finite number.

    Parameters
    ----------
    **values : float
        Values by the names that an error gives them.

    Raises
    ------
    InputError
        If one isn't.

    Examples
    --------
    >>> check_finite(depth_m=0.8)
    >>> check_finite(depth_m=float("nan"))
    Traceback (most recent call last):
    swalekit.errors.InputError: depth_m is nan; it must be a finite number
    """
    for name, value in values.items():
        if not math.isfinite(value):
            message = f"{name} is {value}; it must be a finite number"
            raise InputError(message)


def check_positive(**values: float) -> None:
    """Check that every value is finite and greater than zero.

    Parameters
    ----------
    **values : float
        Values by the names that an error gives them.

    Raises
    ------
    InputError
        If one isn't.

    Examples
    --------
    >>> check_positive(cell_m=0.0)
    Traceback (most recent call last):
    swalekit.errors.InputError: cell_m is 0; it must be greater than zero
    """
    check_finite(**values)
    for name, value in values.items():
        if value <= 0:
            message = f"{name} is {value:g}; it must be greater than zero"
            raise InputError(message)


def check_not_negative(**values: float) -> None:
    """Check that every value is finite and zero or greater.

    Parameters
    ----------
    **values : float
        Values by the names that an error gives them.

    Raises
    ------
    InputError
        If one isn't.

    Examples
    --------
    >>> check_not_negative(rain_mm=-1.0)
    Traceback (most recent call last):
    swalekit.errors.InputError: rain_mm is -1; it must be zero or greater
    """
    check_finite(**values)
    for name, value in values.items():
        if value < 0:
            message = f"{name} is {value:g}; it must be zero or greater"
            raise InputError(message)


def check_between(low: float, high: float, **values: float) -> None:
    """Check that every value is finite and within two limits, both included.

    Parameters
    ----------
    low, high : float
        Limits, in the unit of the values.
    **values : float
        Values by the names that an error gives them.

    Raises
    ------
    InputError
        If one isn't.

    Examples
    --------
    >>> check_between(30, 100, curve_number=120.0)
    Traceback (most recent call last):
    swalekit.errors.InputError: curve_number is 120; it must lie between 30 and 100
    """
    check_finite(**values)
    for name, value in values.items():
        if not low <= value <= high:
            message = f"{name} is {value:g}; it must lie between {low:g} and {high:g}"
            raise InputError(message)


def check_ordered(low_name: str, low: float, high_name: str, high: float) -> None:
    """Check that one value does not exceed another.

    Parameters
    ----------
    low_name, high_name : str
        What an error calls them.
    low, high : float
        The values, in one unit.

    Raises
    ------
    InputError
        If the first is the greater, or one isn't finite.

    Examples
    --------
    >>> check_ordered("least_slope", 0.3, "greatest_slope", 0.2)
    Traceback (most recent call last):
    swalekit.errors.InputError: least_slope is 0.3 and greatest_slope is 0.2; least_slope must not exceed greatest_slope
    """
    check_finite(**{low_name: low, high_name: high})
    if low > high:
        message = f"{low_name} is {low:g} and {high_name} is {high:g}; {low_name} must not exceed {high_name}"
        raise InputError(message)


def check_same_shape(**arrays: object) -> None:
    """Check that all arrays have one shape.

    Parameters
    ----------
    **arrays : ndarray
        Arrays by the names that an error gives them.

    Raises
    ------
    InputError
        If they differ.

    Examples
    --------
    >>> import numpy as np
    >>> check_same_shape(heights=np.zeros(3), width_m=np.zeros(2))
    Traceback (most recent call last):
    swalekit.errors.InputError: arrays differ in shape: heights (3,), width_m (2,); they must be the same
    """
    shapes = {name: getattr(array, "shape", ()) for name, array in arrays.items()}
    if len(set(shapes.values())) > 1:
        listed = ", ".join(f"{name} {shape}" for name, shape in shapes.items())
        message = f"arrays differ in shape: {listed}; they must be the same"
        raise InputError(message)


def check_one_of(choices: Sequence[str], **values: str) -> None:
    """Check that every value is one of the choices.

    Parameters
    ----------
    choices : sequence of str
        What there is.
    **values : str
        Values by the names that an error gives them.

    Raises
    ------
    InputError
        If one isn't; the nearest choice is offered.

    Examples
    --------
    >>> check_one_of(("A4", "letter"), paper="leter")
    Traceback (most recent call last):
    swalekit.errors.InputError: paper is 'leter'; it must be one of A4, letter; did you mean 'letter'?
    """
    for name, value in values.items():
        if value not in choices:
            near = get_close_matches(value, choices, n=1)
            hint = f"; did you mean '{near[0]}'?" if near else ""
            mark = "'" if any("," in choice for choice in choices) else ""
            listed = ", ".join(f"{mark}{choice}{mark}" for choice in choices)
            message = f"{name} is '{value}'; it must be one of {listed}{hint}"
            raise InputError(message)
