"""The panel beside the map: title, totals, table, cautions, legend and scale."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from swalekit.design.plan.record import SwaleSection
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.furniture import draw_north_arrow, draw_scale_bar
from swalekit.reporting.map.legend import draw_legend, fitting_columns, legend_height_mm
from swalekit.reporting.map.unit_sketch import HEIGHT_MM, draw_unit
from swalekit.reporting.map.view import MapView, scale_text
from swalekit.reporting.paper.lettering import (
    LEAST_SIZE_PT,
    Cautions,
    line_height_mm,
    shorten,
    text_width_mm,
    wrap,
)
from swalekit.reporting.paper.palette import INK, QUIET_INK
from swalekit.reporting.paper.paper import HEADING_MM, Panel
from swalekit.reporting.paper.table import draw_table, fit_table
from swalekit.reporting.paper.typical_section import draw_typical_section, section_height_mm, section_scale

_TITLE_SIZES_PT = (19.0, 17.0, 15.0, 13.0, 11.0)
_SUBTITLE_PT = 8.5
_FACT_PT = 8.0
_SECTION_PT = 6.5
_CAUTION_SIZES_PT = (7.0, 6.5, LEAST_SIZE_PT)
_GAP_MM = 3.0
_COLUMN_GAP_MM = 6.0
_SCALE_BLOCK_MM = 11.0
_SOME_ROWS_MM = 45.0  # of a table beside the drawing of a unit


def draw_panel(content: MapContent, view: MapView, panel: Panel, *, notes: Sequence[str]) -> Axes:
    """Fill the panel beside a map.

    Parameters
    ----------
    content : MapContent
        What the sheet shows.
    view : MapView
        What the map shows, for the scale.
    panel : Panel
        Where to draw.
    notes : sequence of str
        Sentences on how the map was drawn, set before the credits.

    Returns
    -------
    Axes
        The panel's axes.

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> panel = Panel.on(blank_sheet("A3"), (300.0, 10.0, 105.0, 277.0))
    >>> view = MapView(500000.0, 3999880.0, 500100.0, 4000000.0, points_per_m=5.67)
    >>> axes = draw_panel(content, view, panel, notes=["Grid: metres."])
    >>> headings = {"TOTALS", "SWALES", "TYPICAL SECTION", "CAUTIONS", "LEGEND"}
    >>> headings <= {text.get_text() for text in axes.texts}
    True
    """
    y = draw_title(content, panel)
    y = draw_facts(content.facts, panel, y)
    foot = _draw_foot(content, view, panel, notes)
    section = _section_block(content, panel, foot - y)
    unit_mm = _unit_mm(content, panel, foot - y)
    cautions, caution_room = _caution_room(content, panel, foot - y - section.height_mm - unit_mm)
    table_room = (
        foot - y - section.height_mm - unit_mm - (caution_room + HEADING_MM + _GAP_MM if cautions.sentences else 0)
    )
    if content.table:
        y = panel.heading(content.table_heading, y)
        room_mm = table_room - HEADING_MM - _GAP_MM
        layout = fit_table(content.header, content.table, panel.width_mm, room_mm)
        y = draw_table(layout, panel, top_mm=y, room_mm=room_mm, file=content.table_file) + _GAP_MM
    if content.section is not None:
        y = _draw_section(content.section, section, panel, y, content.units)
    if unit_mm and content.bunds is not None and content.bunds.shape is not None:
        draw_unit(content.bunds.shape, panel, top_mm=panel.heading("A UNIT", y))
        y += unit_mm
    if cautions.sentences:
        y = panel.heading("CAUTIONS", y)
        panel.write(cautions.lines(foot - y - _GAP_MM), y, cautions.size_pt)
    return panel.axes


@dataclass(frozen=True)
class _SectionBlock:
    """Room for the section: its phrase broken into lines, and whether it is drawn below."""

    lines: tuple[str, ...]
    drawing_mm: float

    @property
    def height_mm(self) -> float:
        """Height of heading, lines and drawing, with the gap after them [mm]; none without a section."""
        if not self.lines:
            return 0.0
        return HEADING_MM + len(self.lines) * line_height_mm(_SECTION_PT) + self.drawing_mm + _GAP_MM


def _section_block(content: MapContent, panel: Panel, free_mm: float) -> _SectionBlock:
    """The section, drawn only where table and cautions stay whole at their smallest."""
    if content.section is None:
        return _SectionBlock((), 0.0)
    lines = tuple(wrap(content.section_words, panel.width_mm, _SECTION_PT))
    drawn = _SectionBlock(lines, section_height_mm(content.section, panel.width_mm))
    cautions = Cautions(content.cautions, panel.width_mm, LEAST_SIZE_PT, content.cautions_file)
    cautions_mm = cautions.height_mm + HEADING_MM + _GAP_MM if content.cautions else 0.0
    fits = drawn.height_mm + cautions_mm + _least_table_mm(content, panel) <= free_mm
    return drawn if fits else _SectionBlock(lines, 0.0)


def _unit_mm(content: MapContent, panel: Panel, free_mm: float) -> float:
    """Room for the drawing of a unit with its heading, where cautions and some of the table stay beside it [mm]."""
    if content.bunds is None or content.bunds.shape is None:
        return 0.0
    cautions = Cautions(content.cautions, panel.width_mm, LEAST_SIZE_PT, content.cautions_file)
    needed = HEADING_MM + HEIGHT_MM + _GAP_MM
    table_mm = min(_least_table_mm(content, panel), _SOME_ROWS_MM)
    beside = cautions.height_mm + HEADING_MM + _GAP_MM + table_mm
    return needed if needed + beside <= free_mm else 0.0


def _draw_section(section: SwaleSection, block: _SectionBlock, panel: Panel, top_mm: float, units: str) -> float:
    """Phrase and, where it has room, drawing of the section; returns the lower edge [mm]."""
    y = panel.write(block.lines, panel.heading("TYPICAL SECTION", top_mm), _SECTION_PT)
    if block.drawing_mm:
        note = f"drawn: {section.swale}, 1 : {section_scale(section, panel.width_mm)}"
        panel.letter(panel.width_mm, top_mm + 3.3, note, LEAST_SIZE_PT, color=QUIET_INK, ha="right")
        draw_typical_section(section, panel, top_mm=y, units=units)
    return y + block.drawing_mm + _GAP_MM


def draw_title(content: MapContent, panel: Panel) -> float:
    """Title in the largest lettering that needs two lines at most, subtitle below.

    Parameters
    ----------
    content : MapContent
        What the sheet shows.
    panel : Panel
        Where to draw.

    Returns
    -------
    float
        Lower edge, with the gap to what follows [mm].

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> round(draw_title(content, Panel.on(blank_sheet("A4"), (10.0, 10.0, 90.0, 190.0))), 1)
    15.9
    """
    size = next(
        (size for size in _TITLE_SIZES_PT if len(wrap(content.title, panel.width_mm, size, "bold")) <= 2),
        _TITLE_SIZES_PT[-1],
    )
    lines = wrap(content.title, panel.width_mm, size, "bold")
    y = panel.write(_first(lines, 3, panel.width_mm, size), 0.0, size, weight="bold")
    subtitle = wrap(content.subtitle, panel.width_mm, _SUBTITLE_PT) if content.subtitle else []
    y = panel.write(_first(subtitle, 4, panel.width_mm, _SUBTITLE_PT), y + 0.8, _SUBTITLE_PT, color=QUIET_INK)
    return y + _GAP_MM


def _first(lines: list[str], count: int, width_mm: float, size_pt: float) -> list[str]:
    """The first lines of many, the last of them ending in an ellipsis if more follow."""
    if len(lines) <= count:
        return lines
    return [*lines[: count - 1], shorten(lines[count - 1] + " …", width_mm, size_pt, "bold")]


def draw_facts(facts: Sequence[tuple[str, str]], panel: Panel, top_mm: float, *, heading: str = "TOTALS") -> float:
    """Totals, in two columns where all of them are short enough.

    Parameters
    ----------
    facts : sequence of (str, str)
        Label and value, as printed.
    panel : Panel
        Where to draw.
    top_mm : float
        Upper edge [mm].
    heading : str
        What stands above them.

    Returns
    -------
    float
        Lower edge, with the gap to what follows [mm].

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> panel = Panel.on(blank_sheet("A4"), (10.0, 10.0, 90.0, 190.0))
    >>> draw_facts([("Soil dug", "141 m³")], panel, 20.0) > draw_facts([], panel, 20.0)
    True
    """
    if not facts:
        return top_mm
    y, step = panel.heading(heading, top_mm), line_height_mm(_FACT_PT)
    half_mm = (panel.width_mm - _COLUMN_GAP_MM) / 2
    widths = [text_width_mm(label, _FACT_PT) + text_width_mm(value, _FACT_PT, "bold") for label, value in facts]
    columns = 2 if len(widths) > 1 and max(widths) + 6.0 <= half_mm else 1
    rows = -(-len(widths) // columns)
    for number, fact in enumerate(facts):
        left = number // rows * (half_mm + _COLUMN_GAP_MM)
        right = left + (half_mm if columns == 2 else panel.width_mm)
        _draw_fact(fact, panel, left, right, y + (number % rows + 0.72) * step)
    return y + rows * step + _GAP_MM


def _draw_fact(fact: tuple[str, str], panel: Panel, left_mm: float, right_mm: float, baseline_mm: float) -> None:
    """One total: label, leader and value, cut to the width."""
    width_mm = right_mm - left_mm
    value = shorten(fact[1], 0.6 * width_mm, _FACT_PT, "bold")
    value_left = right_mm - text_width_mm(value, _FACT_PT, "bold")
    label = shorten(fact[0], value_left - left_mm - 2.0, _FACT_PT)
    panel.letter(left_mm, baseline_mm, label, _FACT_PT)
    panel.letter(right_mm, baseline_mm, value, _FACT_PT, weight="bold", ha="right")
    leader = [left_mm + text_width_mm(label, _FACT_PT) + 1.0, value_left - 1.0]
    dots: dict[str, Any] = {"color": QUIET_INK, "linewidth": 0.4, "linestyle": (0, (1, 3))}
    panel.axes.add_line(Line2D(leader, [baseline_mm, baseline_mm], **dots))


def _draw_foot(content: MapContent, view: MapView, panel: Panel, notes: Sequence[str]) -> float:
    """Legend, scale and credits at the foot of the panel; returns their upper edge [mm]."""
    words = [line for sentence in (*notes, *content.credits) for line in wrap(sentence, panel.width_mm, LEAST_SIZE_PT)]
    words = _first(words, 8, panel.width_mm, LEAST_SIZE_PT)
    credits_top = panel.height_mm - len(words) * line_height_mm(LEAST_SIZE_PT)
    panel.write(words, credits_top, LEAST_SIZE_PT, color=QUIET_INK)
    scale_top = credits_top - _SCALE_BLOCK_MM - 2.0
    draw_scale(view, panel, scale_top, units=content.units)
    return draw_legend_above(content, panel, scale_top, columns=fitting_columns(content, panel.width_mm))


def draw_scale(
    view: MapView, panel: Panel, top_mm: float, *, units: str, left_mm: float = 1.5, size_pt: float = 6.5,
    color: str = INK,
) -> None:  # fmt: skip
    """Scale of a map in words, as a bar, and the arrow to north.

    Parameters
    ----------
    view : MapView
        The map.
    panel : Panel
        Where to draw.
    top_mm, left_mm : float
        Upper edge, and left edge of the bar [mm].
    units : str
        ``metric`` or ``us``.
    size_pt : float
        Size of the bar's lettering [pt].
    color : str
        Colour of the words.

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> panel = Panel.on(blank_sheet("A4"), (10.0, 10.0, 90.0, 20.0))
    >>> draw_scale(MapView(0.0, 0.0, 200.0, 100.0, points_per_m=72 / 25.4), panel, 0.0, units="metric")
    >>> panel.axes.texts[0].get_text()
    'Scale 1 : 1000'
    """
    panel.letter(0, top_mm + 3.4, f"Scale {scale_text(view.denominator, units)}", 10.0, weight="bold", color=color)
    bar = {"left_mm": left_mm, "top_mm": top_mm + 5.4, "room_mm": panel.width_mm - 32.0}
    draw_scale_bar(view, panel.axes, units=units, size_pt=size_pt, **bar)
    draw_north_arrow(panel.axes, centre_mm=panel.width_mm - 6.0, top_mm=top_mm)


def draw_legend_above(content: MapContent, panel: Panel, foot_mm: float, *, columns: int, **style: float) -> float:
    """Legend under its heading, where anything is to be explained.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    panel : Panel
        Where to draw.
    foot_mm : float
        Upper edge of what stands below it [mm].
    columns : int
        Columns that it is set in.
    **style : float
        Size of its lettering, as `draw_legend` takes it.

    Returns
    -------
    float
        Upper edge [mm].

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> panel = Panel.on(blank_sheet("A4"), (10.0, 10.0, 90.0, 100.0))
    >>> round(draw_legend_above(content, panel, 100.0, columns=2), 1)
    77.0
    """
    height = legend_height_mm(content, columns=columns)
    if not height:
        return foot_mm - _GAP_MM
    top_mm = foot_mm - height - HEADING_MM - _GAP_MM
    below_mm = panel.heading("LEGEND", top_mm) + 0.4
    draw_legend(content, panel.axes, top_mm=below_mm, width_mm=panel.width_mm, columns=columns, **style)
    return top_mm


def _caution_room(content: MapContent, panel: Panel, free_mm: float) -> tuple[Cautions, float]:
    """Cautions at the largest size that leaves the table whole, and the room [mm] they get.

    Where both can't be had, cautions get what the table leaves at its smallest, and two fifths of the room at least.
    """
    free_mm -= HEADING_MM + _GAP_MM
    beside_table = free_mm - _least_table_mm(content, panel)
    room = max(beside_table, 0.4 * free_mm)
    candidates = [Cautions(content.cautions, panel.width_mm, size, content.cautions_file) for size in _CAUTION_SIZES_PT]
    chosen = next((cautions for cautions in candidates if cautions.height_mm <= beside_table), candidates[-1])
    return chosen, min(chosen.height_mm, room)


def _least_table_mm(content: MapContent, panel: Panel) -> float:
    """Height of the whole table at its smallest, with its heading [mm]."""
    if not content.table:
        return 0.0
    return fit_table(content.header, content.table, panel.width_mm, 0.0).height_mm + HEADING_MM + _GAP_MM
