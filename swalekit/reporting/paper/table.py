"""A table that fits the room it is given."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from matplotlib.patches import Rectangle

from swalekit.reporting.paper.lettering import LEAST_SIZE_PT, line_height_mm, shorten, text_width_mm, wrap
from swalekit.reporting.paper.palette import INK, PANEL_STRIPE, QUIET_INK
from swalekit.reporting.paper.paper import Panel

_GAP_MM = 2.0
_SIZES_PT = (7.5, 7.0, 6.5, LEAST_SIZE_PT)


@dataclass(frozen=True)
class TableLayout:
    """A table cut and sized to a panel.

    Parameters
    ----------
    header : tuple of str
        Column heads.
    rows : tuple of tuple of str
        Every row, shown or not.
    width_mm : float
        Width of the panel [mm].
    size_pt : float
        Size of the lettering [pt].
    """

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    width_mm: float
    size_pt: float

    @cached_property
    def needed_mm(self) -> tuple[float, ...]:
        """Width that the cells of each column and the words of its head need [mm]."""
        needed = []
        for number, head in enumerate(self.header):
            cells = [text_width_mm(row[number], self.size_pt) for row in self.rows]
            words = [text_width_mm(word, self.size_pt, "bold") for word in head.split()]
            needed.append(max([*cells, *words, 3.0]) + _GAP_MM)
        return tuple(needed)

    @cached_property
    def column_widths_mm(self) -> tuple[float, ...]:
        """Width of each column [mm]: what it needs, the first taking what is left."""
        needed = self.needed_mm
        others = sum(needed[1:])
        first = min(needed[0], max(self.width_mm - others, 0.25 * self.width_mm))
        squeeze = min((self.width_mm - first) / others, 1.0) if others else 1.0
        share = (self.width_mm - first - squeeze * others) / max(len(needed) - 1, 1)
        return (first, *(squeeze * width + share for width in needed[1:]))

    @property
    def fits_width(self) -> bool:
        """Whether no cell has to be cut."""
        return all(
            text_width_mm(cell, self.size_pt) <= width
            for row in self.rows
            for cell, width in zip(row, self.column_widths_mm, strict=True)
        )

    @property
    def row_mm(self) -> float:
        """Height of a row [mm]."""
        return 0.95 * line_height_mm(self.size_pt)

    @property
    def wrapped_header(self) -> list[list[str]]:
        """Lines of each column head."""
        widths = self.column_widths_mm
        return [wrap(head, width - 0.8, self.size_pt, "bold") for head, width in zip(self.header, widths, strict=True)]

    @property
    def header_mm(self) -> float:
        """Height of the head [mm]."""
        return max(map(len, self.wrapped_header), default=0) * line_height_mm(self.size_pt) + 1.6

    @property
    def height_mm(self) -> float:
        """Height with every row [mm]."""
        return self.header_mm + len(self.rows) * self.row_mm


def fit_table(
    header: tuple[str, ...], rows: tuple[tuple[str, ...], ...], width_mm: float, room_mm: float
) -> TableLayout:
    """The largest lettering at which a table fits a width and a height, 6 pt at least.

    Parameters
    ----------
    header : tuple of str
        Column heads.
    rows : tuple of tuple of str
        Rows as printed.
    width_mm, room_mm : float
        Width and height there is [mm].

    Returns
    -------
    TableLayout
        At 6 pt it may still be too high or too wide: `draw_table` then cuts.

    Examples
    --------
    >>> fit_table(("line", "length [m]"), (("S1", "120"),), 80.0, 40.0).size_pt
    7.5
    """
    layouts = [TableLayout(header, rows, width_mm, size) for size in _SIZES_PT]
    return next((layout for layout in layouts if layout.height_mm <= room_mm and layout.fits_width), layouts[-1])


def draw_table(
    layout: TableLayout, panel: Panel, *, top_mm: float, room_mm: float, file: str = "earthwork.csv"
) -> float:
    """Draw a table on a panel.

    Parameters
    ----------
    layout : TableLayout
        The table.
    panel : Panel
        Where to draw.
    top_mm, room_mm : float
        Upper edge and height there is [mm]; rows beyond it are counted in a last line.
    file : str
        Where these are, as that line says.

    Returns
    -------
    float
        Lower edge [mm].

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> layout = fit_table(("line", "length [m]"), (("S1", "120"), ("S2", "95")), 80.0, 40.0)
    >>> panel = Panel.on(blank_sheet("A4"), (20.0, 20.0, 80.0, 60.0))
    >>> round(draw_table(layout, panel, top_mm=5.0, room_mm=40.0), 1), round(5.0 + layout.height_mm, 1)
    (16.2, 16.2)
    >>> [text.get_text() for text in panel.axes.texts]
    ['line', 'length [m]', 'S1', '120', 'S2', '95']
    """
    y = top_mm + layout.header_mm
    for number, head in enumerate(layout.wrapped_header):
        for row_up, words in enumerate(reversed(head)):
            baseline = y - 1.5 - row_up * line_height_mm(layout.size_pt)
            _cell(layout, panel, number, baseline, words, "bold")
    panel.line([(0.0, y - 0.3), (layout.width_mm, y - 0.3)], color=INK, linewidth=0.7)
    shown = len(layout.rows)
    if layout.height_mm > room_mm:
        shown = max(int((room_mm - layout.header_mm) / layout.row_mm) - 1, 0)
    for number, row in enumerate(layout.rows[:shown]):
        if number % 2:
            panel.axes.add_patch(Rectangle((0, y), layout.width_mm, layout.row_mm, facecolor=PANEL_STRIPE, linewidth=0))
        y += layout.row_mm
        for column, cell in enumerate(row):
            text = shorten(cell, layout.column_widths_mm[column], layout.size_pt)
            _cell(layout, panel, column, y - 0.28 * layout.row_mm, text, "normal")
    if shown < len(layout.rows):
        y += layout.row_mm
        more = f"… and {len(layout.rows) - shown} more in {file}"
        panel.letter(0, y - 0.28 * layout.row_mm, more, layout.size_pt, color=QUIET_INK)
    return y


def _cell(layout: TableLayout, panel: Panel, column: int, baseline_mm: float, text: str, weight: str) -> None:
    """Words in a column: the first reads from the left, the others end at its right edge."""
    widths: Sequence[float] = layout.column_widths_mm
    at, side = (0.0, "left") if column == 0 else (sum(widths[: column + 1]), "right")
    panel.letter(at, baseline_mm, text, layout.size_pt, weight=weight, ha=side)
