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

    Parameters
    ----------
    paper : str
        Name of the paper, one of `PAPERS_MM`.

    Returns
    -------
    Figure
        The sheet.

    Raises
    ------
    InputError
        If the paper is unknown.

    Examples
    --------
    >>> (blank_sheet("A4").get_size_inches() * 25.4).round(1).tolist()
    [297.0, 210.0]
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
    """New axes on a sheet.

    Parameters
    ----------
    figure : Figure
        The sheet.
    box_mm : tuple of float
        Left and lower edge, width and height on the paper [mm].

    Returns
    -------
    Axes
        Where to draw.

    Examples
    --------
    >>> axes_on(blank_sheet("A4"), (0.0, 0.0, 148.5, 105.0)).get_position().size.round(3).tolist()
    [0.5, 0.5]
    """
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
        """A panel on a sheet.

        Parameters
        ----------
        figure : Figure
            The sheet.
        box_mm : tuple of float
            Left and lower edge, width and height on the paper [mm].

        Returns
        -------
        Panel
            A panel of that width and height.

        Examples
        --------
        >>> Panel.on(blank_sheet("A4"), (20.0, 20.0, 100.0, 60.0)).height_mm
        60.0
        """
        return cls(axes_on(figure, box_mm), box_mm[2], box_mm[3])

    def line(self, places_mm: Any, **style: Any) -> None:
        """Draw a line through places, shape (n, 2) [mm].

        Parameters
        ----------
        places_mm : array_like, shape (n, 2)
            Distance right of the left edge and below the upper edge [mm].
        **style
            Arguments of matplotlib's `Line2D`.

        Examples
        --------
        >>> panel = Panel.on(blank_sheet("A4"), (20.0, 20.0, 100.0, 60.0))
        >>> panel.line([(0.0, 5.0), (100.0, 5.0)], color=INK)
        >>> panel.axes.lines[0].get_xydata().tolist()
        [[0.0, 5.0], [100.0, 5.0]]
        """
        self.axes.add_line(Line2D(*np.asarray(places_mm, np.float64).T, **style))

    def heading(self, text: str, top_mm: float) -> float:
        """Write a heading over a rule.

        Parameters
        ----------
        text : str
            The heading.
        top_mm : float
            Upper edge, where the rule lies [mm].

        Returns
        -------
        float
            Lower edge [mm].

        Examples
        --------
        >>> Panel.on(blank_sheet("A4"), (20.0, 20.0, 100.0, 60.0)).heading("SECTION", 10.0)
        14.4
        """
        self.line([(0.0, top_mm), (self.width_mm, top_mm)], color=QUIET_INK, linewidth=0.5)
        self.letter(0, top_mm + 3.3, text, _HEADING_PT, color=QUIET_INK, weight="bold")
        return top_mm + HEADING_MM

    def letter(
        self, x_mm: float, baseline_mm: float, text: str, size_pt: float, *, color: str = INK, weight: str = "normal",
        **style: Any,
    ) -> None:  # fmt: skip
        """Set one line of lettering on a base line.

        Parameters
        ----------
        x_mm : float
            Distance right of the left edge [mm].
        baseline_mm : float
            Distance of the base line below the upper edge [mm].
        text : str
            The line, plain characters only.
        size_pt : float
            Size of the lettering [pt].
        color : str
            Colour of the lettering.
        weight : str
            ``normal`` or ``bold``.
        **style
            Further arguments of matplotlib's `Axes.text`.

        Examples
        --------
        >>> panel = Panel.on(blank_sheet("A4"), (20.0, 20.0, 100.0, 60.0))
        >>> panel.letter(0.0, 12.0, "floor", 6.5)
        >>> panel.axes.texts[0].get_position()
        (0.0, 12.0)
        """
        self.axes.text(x_mm, baseline_mm, text, color=color, **{"va": "baseline"} | style, **font(size_pt, weight))

    def write(
        self, lines: Sequence[str], top_mm: float, size_pt: float, *, color: str = INK, weight: str = "normal"
    ) -> float:
        """Write lines of text from the left edge.

        Parameters
        ----------
        lines : sequence of str
            The lines, each of which must fit the width.
        top_mm : float
            Upper edge [mm].
        size_pt : float
            Size of the lettering [pt].
        color : str
            Colour of the lettering.
        weight : str
            ``normal`` or ``bold``.

        Returns
        -------
        float
            Lower edge [mm].

        Examples
        --------
        >>> round(Panel.on(blank_sheet("A4"), (20.0, 20.0, 100.0, 60.0)).write(["one", "two"], 10.0, 8.0), 2)
        17.06
        """
        step = line_height_mm(size_pt)
        for number, line in enumerate(lines, start=1):
            self.letter(0, top_mm + (number - 0.25) * step, line, size_pt, color=color, weight=weight)
        return top_mm + len(lines) * step


def _fractions(box_mm: Box, figure: Figure) -> tuple[float, float, float, float]:
    """Left, bottom, width and height as parts of the figure, from millimetres."""
    width, height = figure.get_size_inches() * 25.4
    left, bottom, across, up = box_mm
    return left / width, bottom / height, across / width, up / height
