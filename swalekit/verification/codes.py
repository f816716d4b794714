"""What the code of a surveyed point says: which swale, and which part of it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from swalekit._one_line import one_line

PART_WORDS: dict[str, tuple[str, ...]] = {
    "floor": ("floor", "flr", "fl", "bottom", "bot", "bed", "invert", "inv", "flowline"),
    "crest": ("crest", "crst", "cr", "top", "ridge", "tob"),
    "sill": ("sill", "spill", "spillway", "overflow", "weir"),
}
"""Words by which crews call the parts, in any case (common practice)."""

_PARTS = {word: part for part, words in PART_WORDS.items() for word in words}
_RUNS = re.compile(r"[^\W\d_]+|\d+")  # letters, or digits


@one_line("swales", "parts")
@dataclass(frozen=True)
class PointCode:
    """What a code says.

    Parameters
    ----------
    swales : tuple of int
        Places in the list of swales of those that it names.
    parts : tuple of str
        Parts that it names: ``floor``, ``crest``, ``sill``.
    """

    swales: tuple[int, ...]
    parts: tuple[str, ...]


def code_words(text: str) -> tuple[str, ...]:
    """Runs of letters and runs of digits in a point's code.

    Parameters
    ----------
    text : str
        The code.

    Returns
    -------
    tuple of str
        The runs in order, in small letters.

    Examples
    --------
    >>> code_words("S3-Floor_12")
    ('s', '3', 'floor', '12')
    """
    return tuple(_RUNS.findall(text.casefold()))


def read_code(code: str, ids: Sequence[tuple[str, ...]]) -> PointCode:
    """Find names of swales and words for parts in a code.

    Parameters
    ----------
    code : str
        As the crew typed it; blanks, hyphens, capitals and numbers that mean something else don't matter.
    ids : sequence of tuple of str
        `code_words` of the swales' names.

    Returns
    -------
    PointCode
        The crest of a sill or a spillway's floor is the sill: beside its word the others don't count.

    Examples
    --------
    >>> read_code("s2 CREST 14.5", [("s", "1"), ("s", "2")]).swales
    (1,)
    >>> read_code("FL12", [("s", "1")]).parts, read_code("sill crest", []).parts
    (('floor',), ('sill',))
    """
    words = code_words(code)
    starts = {words[start : start + length] for length in set(map(len, ids)) for start in range(len(words))}
    parts = tuple(dict.fromkeys(_PARTS[word] for word in words if word in _PARTS))
    return PointCode(
        swales=tuple(place for place, mark in enumerate(ids) if mark in starts),
        parts=("sill",) if "sill" in parts else parts,
    )
