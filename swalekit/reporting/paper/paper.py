"""Sheets of paper: their sizes, the neat line round them, and axes that lie on them in millimetres."""

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from swalekit._checks import check_one_of
from swalekit.reporting.paper.palette import INK, PAPER

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


def _fractions(box_mm: Box, figure: Figure) -> tuple[float, float, float, float]:
    """Left, bottom, width and height as parts of the figure, from millimetres."""
    width, height = figure.get_size_inches() * 25.4
    left, bottom, across, up = box_mm
    return left / width, bottom / height, across / width, up / height
