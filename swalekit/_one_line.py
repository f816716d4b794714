"""One readable line for a value: what it is, and its main figures with their units."""

from collections.abc import Callable, Mapping, Sized
from functools import reduce
from numbers import Integral, Real
from typing import Any, TypeVar

import numpy as np

_T = TypeVar("_T")

_UNITS = {
    "m3s": "m³/s",
    "m3_d": "m³/d",
    "mm_h": "mm/h",
    "mj_m2": "MJ/m²",
    "m_s": "m/s",
    "m": "m",
    "m2": "m²",
    "m3": "m³",
    "mm": "mm",
    "h": "h",
    "min": "min",
    "y": "y",
    "c": "°C",
    "kpa": "kPa",
    "percent": "%",
}
"""Ending of a name -> the unit that it stands for."""

_LONGEST = 120
_LONGEST_TEXT = 48


def one_line(*names: str) -> Callable[[type[_T]], type[_T]]:
    """Let the values of a class show themselves in one line, at most 120 letters long.

    Parameters
    ----------
    *names : str
        Attributes to show, in order, such as ``storage_m3`` or ``line.level_m``; the unit is the ending of the name.
        Numbers stand after their name, arrays of them as their range, other collections as their count; a text stands
        alone, a truth as its name where it holds, a value with a line of its own as that; what is None is left out.

    Returns
    -------
    callable
        Decorator of a class, above ``dataclass``.

    Examples
    --------
    >>> from dataclasses import dataclass
    >>> @one_line("name", "depth_m", "stakes", "ground_m", "closed")
    ... @dataclass(frozen=True)
    ... class Ditch:
    ...     name: str
    ...     depth_m: float
    ...     stakes: tuple[str, ...]
    ...     ground_m: np.ndarray
    ...     closed: bool = True
    >>> Ditch("upper", 0.5, ("a", "b"), np.array([101.23, 101.5]))
    Ditch(upper, depth 0.5 m, stakes 2, ground 101.23 to 101.5 m, closed)
    """

    def line(value: Any) -> str:
        parts = [_shown(name, _looked_up(value, name)) for name in names]
        return _shortened(f"{type(value).__name__}({', '.join(filter(None, parts))}", _LONGEST - 1) + ")"

    line.names = names  # type: ignore[attr-defined]

    def decorate(cls: type[_T]) -> type[_T]:
        cls.__repr__ = line  # type: ignore[method-assign]
        return cls

    return decorate


def _looked_up(value: Any, name: str) -> Any:
    """An attribute of a value or of what it holds; None where there is no such part."""
    return reduce(_part, name.split("."), value)


def _part(value: Any, name: str) -> Any:
    if isinstance(value, Mapping):
        return value[name]
    return None if value is None else getattr(value, name)


def _shown(name: str, value: Any) -> str:
    """A value in a few words; none for what is absent, untrue or empty of numbers."""
    words, unit = _words_and_unit(name.rpartition(".")[2])
    if isinstance(value, str):
        return _shortened(" ".join(value.split()), _LONGEST_TEXT)
    if value is None or isinstance(value, bool):
        return words if value else ""
    figures = _figures(value)
    return f"{words} {figures}{unit}" if figures is not None else str(value)


def _figures(value: Any) -> str | None:
    """A number; the range of some; the count of other things; None where a value has a line of its own."""
    if isinstance(value, Real):
        return _number(value)
    if isinstance(value, tuple) and value and all(isinstance(part, Real) for part in value):
        whole = len(value) <= 3 and all(isinstance(part, Integral) for part in value)
        return " × ".join(map(str, value)) if whole else _figures(np.array(value, np.float64))
    if isinstance(value, np.ndarray) and value.dtype.kind in "fM" and not np.isnan(value).all():
        ends = np.nanmin(value), np.nanmax(value)
        return " to ".join(dict.fromkeys(_number(end) if isinstance(end, Real) else str(end) for end in ends))
    return str(len(value)) if isinstance(value, Sized) else None


def _words_and_unit(name: str) -> tuple[str, str]:
    """A name as words, and its unit with a space before it; none where its ending is no unit."""
    for ending, unit in _UNITS.items():
        if name.endswith(f"_{ending}"):
            return name.removesuffix(f"_{ending}").replace("_", " "), f" {unit}"
    return name.replace("_", " "), ""


def _number(value: Any) -> str:
    """A whole number as it is; two digits after the point, three digits below one."""
    if isinstance(value, Integral):
        return str(value)
    return f"{float(value):.3g}" if abs(value) < 1 else f"{round(float(value), 2):,.12g}"


def _shortened(text: str, longest: int) -> str:
    """A text cut to some letters."""
    return text if len(text) <= longest else f"{text[: longest - 1]}…"
