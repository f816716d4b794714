"""Text cells that a spreadsheet shows and does not run."""

import re
from collections.abc import Mapping
from typing import TypeVar

Value = TypeVar("Value")

_RUN = re.compile(r"'*[=+\-@\t\r]")  # what a spreadsheet takes for a formula, apostrophes in front or not
_SHIELDED = re.compile(r"'+[=+\-@\t\r]")


def shielded(text: str) -> str:
    """Text with an apostrophe in front if a spreadsheet would take it for a formula.

    Examples
    --------
    >>> shielded("=1+1"), shielded("gate post")
    ("'=1+1", 'gate post')
    """
    return f"'{text}" if _RUN.match(text) else text


def shielded_row(row: Mapping[str, Value]) -> dict[str, Value | str]:
    """A row of figures and texts by column, its texts shielded.

    Examples
    --------
    >>> shielded_row({"depth_m": -0.5, "name": "-5 gate"})
    {'depth_m': -0.5, 'name': "'-5 gate"}
    """
    return {name: shielded(value) if isinstance(value, str) else value for name, value in row.items()}


def unshielded(text: str) -> str:
    """Text as it was before `shielded`.

    Examples
    --------
    >>> unshielded("'=1+1"), unshielded("'tis")
    ('=1+1', "'tis")
    """
    return text[1:] if _SHIELDED.match(text) else text
