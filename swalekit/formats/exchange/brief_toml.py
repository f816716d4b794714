"""A brief to begin with as TOML, a word beside every key."""

import json
from collections.abc import Sequence
from itertools import groupby
from textwrap import wrap

from swalekit.design.appraisal.first_brief import Setting

GUESS = "GUESS"
"""Marks what was neither told nor measured."""
_WIDE = 118


def brief_toml(settings: Sequence[Setting], *, head: Sequence[str] = ()) -> str:
    """Write settings as the text of a brief.

    Parameters
    ----------
    settings : sequence of Setting
        In the order of the brief, those of a part together.
    head : sequence of str
        Sentences that it begins with.

    Returns
    -------
    str
        TOML; what a setting is stands above it, and a guess says so.

    Examples
    --------
    >>> print(brief_toml([Setting("storm", "depth_mm", 50.0, "the rain to hold", guess=True)], head=["Hello."]))
    # Hello.
    <BLANKLINE>
    [storm]
    # GUESS: the rain to hold
    depth_mm = 50.0
    <BLANKLINE>
    """
    lines = [comment for sentence in head for comment in _comments(sentence)]
    for part, listed in groupby(settings, key=lambda setting: setting.part):
        lines += ["", f"[{part}]"]
        for setting in listed:
            note = f"{GUESS}: {setting.note}" if setting.guess and setting.note else setting.note
            lines += _comments(note) if note else []
            row = f"{setting.key} = {json.dumps(setting.value, ensure_ascii=False)}"
            lines.append(f"# {row}" if setting.offered else row)
    return "\n".join(lines) + "\n"


def _comments(text: str) -> list[str]:
    printed = "".join(letter if letter.isprintable() else " " for letter in text)
    return [f"# {line}" for line in wrap(printed, _WIDE - 2, break_long_words=False, break_on_hyphens=False)]
