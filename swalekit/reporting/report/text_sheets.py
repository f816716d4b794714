"""Sheets of words in two columns."""

from collections.abc import Iterator, Sequence

from matplotlib.figure import Figure

from swalekit.reporting.paper.paper import EDGE_MM, PAPERS_MM, Panel, blank_sheet
from swalekit.reporting.report.text import HEAD_PT, TEXT_PT, TextLine, flow
from swalekit.reporting.words.chapters import Chapter

_PAD_MM = EDGE_MM + 6.0
_GUTTER_MM = 8.0


def text_sheets(chapters: Sequence[Chapter], paper: str) -> Iterator[Figure]:
    """Chapters on landscape sheets, in two columns.

    Parameters
    ----------
    chapters : sequence of Chapter
        Heads and sentences.
    paper : str
        Name of the paper.

    Yields
    ------
    Figure
        Sheets in their true size, as many as it takes.

    Examples
    --------
    >>> sentences = tuple(f"Sentence {number}." for number in range(100))
    >>> len(list(text_sheets([Chapter("Sources", sentences)], "A4")))
    2
    """
    width_mm, height_mm = PAPERS_MM[paper]
    column_mm, room_mm = (width_mm - 2 * _PAD_MM - _GUTTER_MM) / 2, height_mm - 2 * _PAD_MM
    columns = flow(chapters, column_mm, room_mm)
    for first in range(0, len(columns), 2):
        figure = blank_sheet(paper)
        for place, column in enumerate(columns[first : first + 2]):
            left = _PAD_MM + place * (column_mm + _GUTTER_MM)
            _draw_column(column, Panel.on(figure, (left, _PAD_MM, column_mm, room_mm)))
        yield figure


def _draw_column(column: Sequence[TextLine], panel: Panel) -> None:
    for line in column:
        size, weight = (HEAD_PT, "bold") if line.heading else (TEXT_PT, "normal")
        panel.write([line.text], line.top_mm, size, weight=weight)
