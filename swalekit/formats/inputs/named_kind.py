"""The kind of a keep-out, from the words that somebody wrote beside it on a phone."""

import re
from collections.abc import Iterable

from swalekit.contours.obstacles import KEEP_OUT_KINDS

_SAID = {
    "building": ("house", "home", "barn", "shed", "hut", "cabin", "stable", "greenhouse"),
    "septic field": ("septic", "septic tank", "leach field", "drain field"),
    "well": ("borehole", "bore"),
    "buried utility": ("utility", "pipe", "pipeline", "water pipe", "cable"),
    "road": ("track", "lane", "driveway", "drive"),
    "spring": ("fountain",),
    "slip-prone ground": ("landslip", "landslide", "slide", "slip"),
    "heritage": ("ruin", "grave", "tomb", "monument"),
    "power line": ("powerline", "pylon", "overhead line"),
    "rock": ("outcrop", "boulder"),
    "wetland": ("marsh", "bog", "swamp"),
}
"""Other words for a kind: our choice."""

_WORD = re.compile(r"[^\W_]+")


def named_kind(texts: Iterable[str]) -> str | None:
    """Find the kind of a keep-out in what it is called.

    Parameters
    ----------
    texts : iterable of str
        Name, type and folder of the feature, the nearest first.

    Returns
    -------
    str or None
        One of `KEEP_OUT_KINDS`, of the first text that holds the word of exactly one kind; None where none does.

    Examples
    --------
    >>> named_kind(["Old well"]), named_kind(["Juana's", "Houses"]), named_kind(["Well house"]), named_kind(["here"])
    ('well', 'building', None, None)
    """
    for place, text in enumerate(texts):
        words = _words(text)
        found = {
            kind for kind in KEEP_OUT_KINDS if kind != "other" for said in (kind, *_SAID.get(kind, ()))
            if _words(said) in words or _words(f"{said}s") in words
        }  # fmt: skip
        if place > 0:
            found.discard("spring")  # of a folder it is the season as well
        if len(found) == 1:
            return found.pop()
    return None


def _words(text: str) -> str:
    """Words in small letters, a space before and after each."""
    return " ".join(["", *_WORD.findall(text.casefold()), ""])
