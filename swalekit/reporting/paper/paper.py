"""Sheets of paper: their sizes, the neat line round them, and axes and panels that lie on them in millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Self

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from swalekit._checks import check_one_of
from swalekit.reporting.paper.lettering import font, line_height_mm
from swalekit.reporting.paper.palette import INK, PAPER, QUIET_INK

PAPERS_MM = {
    "A4": (297.0, 210.0),
    "A3": (420.0, 297.0),
    "A2": (594.0, 420.0),
    "A1": (841.0, 594.0),
    "letter": (279.4, 215.9),
    "tabloid": (431.8, 279.4),
}
"""Width and height of the sheets, landscape [mm]; letter is 11 × 8½ and tabloid 17 × 11 inches."""

EDGE_MM = 7.0
"""From the paper's edge to the neat line."""
HEADING_MM = 4.4
"""Height of a heading over what it heads."""
_HEADING_PT = 7.0

Box = tuple[float, float, float, float]
"""Left and lower edge, width and height on the paper [mm]."""


def blank_sheet(paper: str) -> Figure:
    """An empty landscape sheet with its neat line, in its true size.

    Raises
    ------
    InputError
        If the paper is unknown.
    """
    check_one_of(tuple(PAPERS_MM), paper=paper)
    width_mm, height_mm = PAPERS_MM[paper]
    figure = Figure(figsize=(width_mm / 25.4, height_mm / 25.4), facecolor=PAPER)
    left, bottom, _, _ = _fractions((EDGE_MM, EDGE_MM, 0, 0), figure)
    frame = Rectangle((left, bottom), 1 - 2 * left, 1 - 2 * bottom, fill=False, edgecolor=INK, linewidth=1.2)
    frame.set_transform(figure.transFigure)
    figure.add_artist(frame)
    return figure


def axes_on(figure: Figure, box_mm: Box) -> Axes:
    """New axes on a sheet."""
    return figure.add_axes(_fractions(box_mm, figure))


@dataclass(frozen=True, eq=False)
class Panel:
    """Axes that count in millimetres of paper from their upper left corner downward.

    Parameters
    ----------
    axes : Axes
        Where to draw.
    width_mm, height_mm : float
        Size [mm].
    """

    axes: Axes
    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        self.axes.set(xlim=(0, self.width_mm), ylim=(self.height_mm, 0))
        self.axes.set_axis_off()

    @classmethod
    def on(cls, figure: Figure, box_mm: Box) -> Self:
        """A panel on a sheet."""
        return cls(axes_on(figure, box_mm), box_mm[2], box_mm[3])

    def line(self, places_mm: Any, **style: Any) -> None:
        """Draw a line through places, shape (n, 2) [mm]."""
        self.axes.add_line(Line2D(*np.asarray(places_mm, np.float64).T, **style))

    def heading(self, text: str, top_mm: float) -> float:
        """Write a heading over a rule; returns the lower edge [mm]."""
        self.line([(0.0, top_mm), (self.width_mm, top_mm)], color=QUIET_INK, linewidth=0.5)
        self.letter(0, top_mm + 3.3, text, _HEADING_PT, color=QUIET_INK, weight="bold")
        return top_mm + HEADING_MM

    def letter(
        self, x_mm: float, baseline_mm: float, text: str, size_pt: float, *, color: str = INK, weight: str = "normal",
        **style: Any,
    ) -> None:  # fmt: skip
        """Set one line of lettering on a base line."""
        self.axes.text(x_mm, baseline_mm, text, color=color, **{"va": "baseline"} | style, **font(size_pt, weight))

    def write(
        self, lines: Sequence[str], top_mm: float, size_pt: float, *, color: str = INK, weight: str = "normal"
    ) -> float:
        """Write lines of text; returns the lower edge [mm]."""
        step = line_height_mm(size_pt)
        for number, line in enumerate(lines, start=1):
            self.letter(0, top_mm + (number - 0.25) * step, line, size_pt, color=color, weight=weight)
        return top_mm + len(lines) * step


def _fractions(box_mm: Box, figure: Figure) -> tuple[float, float, float, float]:
    """Left, bottom, width and height as parts of the figure, from millimetres."""
    width, height = figure.get_size_inches() * 25.4
    left, bottom, across, up = box_mm
    return left / width, bottom / height, across / width, up / height
