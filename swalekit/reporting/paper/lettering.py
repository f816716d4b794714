"""Measuring and breaking lettering, cautions broken to a room, and the halo that lifts letters off the map."""

import warnings
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

from matplotlib.font_manager import FontProperties
from matplotlib.patheffects import withStroke
from matplotlib.textpath import TextToPath

from swalekit.reporting.paper.palette import HALO

FONT_FAMILY = "DejaVu Sans"
LEAST_SIZE_PT = 6.0
LINE_HEIGHT = 1.25
"""Distance of base lines over the size of the lettering."""

_MM_PER_PT = 25.4 / 72
_SCREEN_ALLOWANCE = 1.015  # letters snapped to dots run a little wider than in print
_MEASURE = TextToPath()


def font(size_pt: float, weight: str = "normal") -> dict[str, Any]:
    """Keyword arguments that set the lettering of a matplotlib text: plain characters, no formulas.

    Parameters
    ----------
    size_pt : float
        Size of the lettering [pt].
    weight : str
        ``normal`` or ``bold``.

    Returns
    -------
    dict of str to object
        Family, size and weight of the font, and no reading of formulas.

    Examples
    --------
    >>> font(8.0)["fontsize"], font(8.0)["parse_math"]
    (8.0, False)
    """
    return {"fontfamily": FONT_FAMILY, "fontsize": size_pt, "fontweight": weight, "parse_math": False}


def halo(width_pt: float = 2.0) -> list[Any]:
    """Path effects that set a light rim round lettering.

    Parameters
    ----------
    width_pt : float
        Width of the stroke, half of which shows outside the letter [pt].

    Returns
    -------
    list of matplotlib path effects
        What `path_effects` of a text takes.
    """
    return [withStroke(linewidth=width_pt, foreground=HALO)]


@lru_cache(maxsize=2**16)
def text_width_mm(text: str, size_pt: float, weight: str = "normal") -> float:
    """Width of one line of lettering [mm].

    Parameters
    ----------
    text : str
        The line, plain characters.
    size_pt : float
        Size of the lettering [pt].
    weight : str
        ``normal`` or ``bold``.

    Returns
    -------
    float
        Width, with an allowance for letters snapped to the dots of a screen [mm].

    Examples
    --------
    >>> text_width_mm("ii", 8.0) < text_width_mm("WW", 8.0)
    True
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # a glyph the font lacks is drawn, and measured, as a box
        width, _, _ = _MEASURE.get_text_width_height_descent(
            text, FontProperties(family=FONT_FAMILY, size=size_pt, weight=weight), ismath=False
        )
    return float(width) * _MM_PER_PT * _SCREEN_ALLOWANCE


def line_height_mm(size_pt: float) -> float:
    """Distance of two base lines [mm].

    Parameters
    ----------
    size_pt : float
        Size of the lettering [pt].

    Returns
    -------
    float
        Distance [mm].

    Examples
    --------
    >>> round(line_height_mm(8.0), 2)
    3.53
    """
    return size_pt * LINE_HEIGHT * _MM_PER_PT


def wrap(text: str, width_mm: float, size_pt: float, weight: str = "normal") -> list[str]:
    """Break text into lines that fit a width; a word wider than that is broken too.

    Parameters
    ----------
    text : str
        Text; its own line ends are kept.
    width_mm : float
        Room [mm].
    size_pt : float
        Size of the lettering [pt].
    weight : str
        Weight of the lettering.

    Returns
    -------
    list of str
        Lines, at least one.

    Examples
    --------
    >>> wrap("hold the water", 13.0, 8.0)
    ['hold the', 'water']
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}" if line else word
            if text_width_mm(longer, size_pt, weight) <= width_mm:
                line = longer
                continue
            if line:
                lines.append(line)
            *full, line = _broken_word(word, width_mm, size_pt, weight)
            lines += full
        lines.append(line)
    return lines


def shorten(text: str, width_mm: float, size_pt: float, weight: str = "normal") -> str:
    """Cut text with an ellipsis until it fits a width [mm].

    Parameters
    ----------
    text : str
        One line.
    width_mm : float
        Room [mm].
    size_pt : float
        Size of the lettering [pt].
    weight : str
        ``normal`` or ``bold``.

    Returns
    -------
    str
        The text, whole if it fits; the ellipsis alone where nothing does.

    Examples
    --------
    >>> shorten("upper terrace", 12.0, 8.0)
    'upper…'
    """
    if text_width_mm(text, size_pt, weight) <= width_mm:
        return text
    kept = text
    while kept and text_width_mm(kept + "…", size_pt, weight) > width_mm:
        kept = kept[:-1].rstrip()
    return kept + "…"


@dataclass(frozen=True)
class Cautions:
    """Cautions broken to a width, each after a dash.

    Parameters
    ----------
    sentences : tuple of str
        Cautions, the most important first.
    width_mm : float
        Room for a line [mm].
    size_pt : float
        Size of the lettering [pt].
    file : str
        Where those are that find no room.
    """

    sentences: tuple[str, ...]
    width_mm: float
    size_pt: float
    file: str = "summary.json"

    @cached_property
    def _paragraphs(self) -> list[list[str]]:
        """Lines of each caution."""
        return [wrap(f"– {sentence}", self.width_mm, self.size_pt) for sentence in self.sentences]

    @property
    def height_mm(self) -> float:
        """Height of them all [mm]."""
        return sum(map(len, self._paragraphs)) * line_height_mm(self.size_pt)

    def lines(self, room_mm: float) -> list[str]:
        """Lines that fit the room [mm]; whole cautions only, the rest counted in a last line.

        Parameters
        ----------
        room_mm : float
            Height there is [mm].

        Returns
        -------
        list of str
            Lines from the first caution on.

        Examples
        --------
        >>> Cautions(("Call before digging.", "Stop when wet."), 60.0, 7.0).lines(7.0)
        ['– Call before digging.', '– Stop when wet.']
        >>> Cautions(("Call before digging.", "Stop when wet."), 60.0, 7.0).lines(4.0)
        ['… and 2 more in summary.json']
        """
        rows = int(room_mm / line_height_mm(self.size_pt) + 1e-6)
        shown: list[str] = []
        for number, paragraph in enumerate(self._paragraphs):
            last = number == len(self._paragraphs) - 1
            if len(shown) + len(paragraph) + (0 if last else 1) > rows:
                return [*shown, f"… and {len(self._paragraphs) - number} more in {self.file}"]
            shown += paragraph
        return shown


def _broken_word(word: str, width_mm: float, size_pt: float, weight: str) -> list[str]:
    """Pieces of a word, each as long as fits."""
    pieces = [""]
    for character in word:
        if pieces[-1] and text_width_mm(pieces[-1] + character, size_pt, weight) > width_mm:
            pieces.append("")
        pieces[-1] += character
    return pieces
