"""The crew's second sheet: order of work, cautions, the section and the quantities."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from matplotlib.figure import Figure

from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import Cautions, line_height_mm, wrap
from swalekit.reporting.paper.paper import HEADING_MM, Panel, blank_sheet
from swalekit.reporting.paper.table import TableLayout, draw_table
from swalekit.reporting.paper.typical_section import draw_typical_section, section_height_mm, section_scale
from swalekit.reporting.stakes.sheet import PAD_MM, SheetForm
from swalekit.reporting.words.shown import ShownColumn, cells, heads
from swalekit.reporting.words.stake_words import order_of_work, sheet_cautions

_SIZES_PT = (9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
_TITLE_MM = 9.0
_GAP_MM = 3.0
_COLUMN_GAP_MM = 7.0
_LEFT_SHARE = 0.46
_STEP_MM = 5.5  # the numbers of the steps
_STEP_GAP_MM = 0.9
_SECTION_PT = 7.5
_SECTION_MM = 24.0

_COLUMNS: tuple[ShownColumn, ...] = (
    ("Length", "length_m", "m", 0),
    ("Dig", "depth_m", "m", 2),
    ("Dug", "dug_m3", "m3", 0),
    ("Loose", "loose_m3", "m3", 0),
    ("Berm", "berm_m3", "m3", 0),
    ("Topsoil", "topsoil_m3", "m3", 0),
    ("Sill", "sill_length_m", "m", 1),
)


@dataclass(frozen=True, eq=False)
class WorkForm:
    """What stands on the sheet, and how large.

    Parameters
    ----------
    plan : PlanRecord
        A plan with swales.
    content : MapContent
        The site.
    form : SheetForm
        Paper, units and benchmark.
    """

    plan: PlanRecord
    content: MapContent
    form: SheetForm

    @property
    def height_mm(self) -> float:
        """Height within the margins [mm]."""
        return self.form.size_mm[1]

    @property
    def widths_mm(self) -> tuple[float, float]:
        """Widths of the left and the right column [mm]."""
        both = self.form.size_mm[0] - _COLUMN_GAP_MM
        return _LEFT_SHARE * both, (1.0 - _LEFT_SHARE) * both

    @cached_property
    def steps(self) -> tuple[str, ...]:
        """The order of work."""
        return order_of_work(
            list(self.plan.sections),
            self.form.stakeout.benchmark,
            units=self.form.units,
            settlement=self.plan.brief["allowances"]["settlement"],
        )

    @cached_property
    def text_pt(self) -> float:
        """Size of steps and cautions: the largest at which both fit."""
        return next((size for size in _SIZES_PT if _text_mm(self, size) <= self.height_mm), _SIZES_PT[-1])

    @cached_property
    def table_top_mm(self) -> float:
        """Upper edge of the table on the first page [mm]."""
        section, width = self.content.section, self.widths_mm[1]
        if section is None:
            return _TITLE_MM + HEADING_MM
        words = len(wrap(self.content.section_words, width, _SECTION_PT)) * line_height_mm(_SECTION_PT)
        return (
            _TITLE_MM + 2 * HEADING_MM + words + section_height_mm(section, width, highest_mm=_SECTION_MM) + 2 * _GAP_MM
        )

    @cached_property
    def table_pt(self) -> float:
        """Size of the table: the largest at which it is whole on the first page, the least if it is longer."""
        rows = _rows(self.plan, [""] * len(self.plan.swales), units=self.form.units)
        for size in _SIZES_PT:
            layout = _table(rows, self, size)
            if self.table_top_mm + layout.height_mm <= self.height_mm and sum(layout.needed_mm) <= layout.width_mm:
                return size
        return _SIZES_PT[-1]

    @cached_property
    def pages(self) -> list[range]:
        """Rows of the table on each page, the line of totals among them; two tables side by side from the second on."""
        rows, empty = len(self.plan.swales) + 1, _table((), self, self.table_pt)
        first = int((self.height_mm - self.table_top_mm - empty.header_mm) / empty.row_mm)
        other = 2 * int((self.height_mm - _TITLE_MM - HEADING_MM - empty.header_mm) / empty.row_mm)
        starts = [0, *range(first, rows, other)]
        return [range(start, stop) for start, stop in zip(starts, [*starts[1:], rows], strict=True)]


def _wrapped_step(step: str, work: WorkForm, size_pt: float) -> list[str]:
    """A step broken to the left column."""
    return wrap(step, work.widths_mm[0] - _STEP_MM, size_pt)


def _cautions(work: WorkForm, size_pt: float) -> Cautions:
    """Cautions broken to the left column."""
    return Cautions(sheet_cautions(work.plan), work.widths_mm[0], size_pt)


def _text_mm(work: WorkForm, size_pt: float) -> float:
    """Height of steps and cautions with their headings [mm]."""
    lines = sum(len(_wrapped_step(step, work, size_pt)) for step in work.steps)
    steps = lines * line_height_mm(size_pt) + len(work.steps) * _STEP_GAP_MM
    return _TITLE_MM + 2 * HEADING_MM + _GAP_MM + steps + _cautions(work, size_pt).height_mm


def _table(rows: Sequence[tuple[str, ...]], work: WorkForm, size_pt: float) -> TableLayout:
    """Rows of the quantities in a column of the sheet."""
    header = ("Swale", "Sheet", *heads(_COLUMNS, units=work.form.units), "Spills to")
    return TableLayout(header, tuple(rows), work.widths_mm[1], size_pt)


def work_sheets(work: WorkForm, sheets_of: Sequence[str], *, sheets: int) -> list[Figure]:
    """Draw the sheet, and more where the table of quantities is longer than it.

    Parameters
    ----------
    work : WorkForm
        What stands on it.
    sheets_of : sequence of str
        On which sheets each swale is drawn, as ``3–5``.
    sheets : int
        How many sheets there are.

    Returns
    -------
    list of Figure
        The sheet with order of work, cautions, section and quantities, and those with further quantities.

    Examples
    --------
    >>> work = WorkForm(record, content, SheetForm(stakeout, "A4", "metric"))
    >>> len(work_sheets(work, ["3", "4"], sheets=4))
    1
    """
    rows = _rows(work.plan, sheets_of, units=work.form.units)
    figures = []
    for page, shown in enumerate(work.pages):
        figure = blank_sheet(work.form.paper)
        head = _column(figure, work, 0.0, work.form.size_mm[0])
        title = f"{work.content.title}: {'quantities' if page else 'work and quantities'}"
        head.letter(0, 5.0, title, 13.0, weight="bold")
        head.letter(head.width_mm, 5.0, f"Sheet {page + 2} of {sheets}", 8.5, ha="right")
        draw = _draw_more if page else _draw_first
        draw(work, figure, rows[shown.start : shown.stop])
        figures.append(figure)
    return figures


def _column(figure: Figure, work: WorkForm, left_mm: float, width_mm: float) -> Panel:
    """A column of the sheet, over its whole height."""
    return Panel.on(figure, (PAD_MM + left_mm, PAD_MM, width_mm, work.height_mm))


def _draw_first(work: WorkForm, figure: Figure, rows: Sequence[tuple[str, ...]]) -> None:
    """Order of work and cautions left, section and quantities right."""
    left_mm, right_mm = work.widths_mm
    _draw_text(work, _column(figure, work, 0.0, left_mm))
    right = _column(figure, work, left_mm + _COLUMN_GAP_MM, right_mm)
    section = work.content.section
    if section is not None:
        y = right.heading("TYPICAL SECTION", _TITLE_MM)
        words = f"drawn: {section.swale}, 1 : {section_scale(section, right_mm, highest_mm=_SECTION_MM)}"
        right.letter(right_mm, _TITLE_MM + 3.3, words, _SIZES_PT[-1], color=palette.QUIET_INK, ha="right")
        y = right.write(wrap(work.content.section_words, right_mm, _SECTION_PT), y, _SECTION_PT) + 1.0
        room = {"top_mm": y, "highest_mm": _SECTION_MM, "size_pt": _SECTION_PT}
        draw_typical_section(section, right, units=work.form.units, **room)
    _draw_quantities(work, right, rows, work.table_top_mm)


def _draw_text(work: WorkForm, panel: Panel) -> None:
    """Steps with their numbers, then cautions."""
    size, y = work.text_pt, panel.heading("ORDER OF WORK", _TITLE_MM)
    row_mm = line_height_mm(size)
    for count, step in enumerate(work.steps, start=1):
        panel.letter(0, y + 0.75 * row_mm, f"{count}", size, weight="bold")
        for line in _wrapped_step(step, work, size):
            panel.letter(_STEP_MM, y + 0.75 * row_mm, line, size)
            y += row_mm
        y += _STEP_GAP_MM
    y = panel.heading("CAUTIONS", y + _GAP_MM - _STEP_GAP_MM)
    panel.write(_cautions(work, size).lines(panel.height_mm - y), y, size)


def _draw_more(work: WorkForm, figure: Figure, rows: Sequence[tuple[str, ...]]) -> None:
    """Two tables side by side."""
    half, width = -(-len(rows) // 2), work.widths_mm[1]
    for block in range(2):
        panel = _column(figure, work, block * (work.form.size_mm[0] - width), width)
        _draw_quantities(work, panel, rows[block * half : (block + 1) * half], _TITLE_MM + HEADING_MM)


def _draw_quantities(work: WorkForm, panel: Panel, rows: Sequence[tuple[str, ...]], top_mm: float) -> None:
    """Some rows of the table under its heading."""
    panel.heading("QUANTITIES", top_mm - HEADING_MM)
    draw_table(_table(rows, work, work.table_pt), panel, top_mm=top_mm, room_mm=panel.height_mm - top_mm + 1.0)


def _rows(plan: PlanRecord, sheets_of: Sequence[str], *, units: str) -> list[tuple[str, ...]]:
    """A row a swale, and the totals."""
    rows = [
        (row["swale"], sheets, *cells(row, _COLUMNS, units=units), str(row["spills_to"]))
        for row, sheets in zip(plan.swales, sheets_of, strict=True)
    ]
    sums = (cells(plan.totals, [column], units=units)[0] if column[1] in plan.totals else "" for column in _COLUMNS)
    return [*rows, ("All", "", *sums, "")]
