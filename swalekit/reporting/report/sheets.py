"""The report on paper: sheets in landscape, with the same figures and words as the page."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from matplotlib.figure import Figure

from swalekit.design.plan.record import GrowthRecord, PlanRecord
from swalekit.reporting.charts.growth.water_year import draw_measures, draw_water_year
from swalekit.reporting.charts.options.comparison import KEY_MM, draw_comparison, draw_option_key
from swalekit.reporting.charts.storm.balance import draw_balance
from swalekit.reporting.charts.storm.rain import draw_hyetograph
from swalekit.reporting.charts.storm.water import draw_water
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.panel import draw_facts, draw_title
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.paper.lettering import Cautions, font, wrap
from swalekit.reporting.paper.paper import EDGE_MM, PAPERS_MM, Panel, axes_on, blank_sheet
from swalekit.reporting.paper.table import TableLayout, draw_table
from swalekit.reporting.paper.typical_section import draw_typical_section, section_scale
from swalekit.reporting.report.profile import draw_record_profile
from swalekit.reporting.report.text import HEAD_PT, TEXT_PT, chapters, how_sure, verdict
from swalekit.reporting.report.text_sheets import text_sheets
from swalekit.reporting.words.account_words import BALANCE_COLUMNS, account_sentences
from swalekit.reporting.words.plan_words import fact_words, raised_cautions, shown_options, table_columns
from swalekit.reporting.words.shown import ShownColumn, cells, heads

_PAD_MM = EDGE_MM + 6.0
_GUTTER_MM = 8.0
_HEAD_MM = 11.0
_TABLE_PT = 7.0
_BALANCE_MM = 24.0
_SECTIONS_A_SHEET = 4
_MOST_SECTIONS = 24


def report_sheets(record: PlanRecord) -> Iterator[Figure]:
    """Sheets of a report one after the other, A4, or letter for a brief in US units.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Yields
    ------
    Figure
        The answer, the map, the table of swales, their sections, the storm, where its rain goes, options and water for
        trees if there are any, and the rest in words; every sheet in its true size.

    Examples
    --------
    >>> len(list(report_sheets(record)))
    8
    """
    paper = "letter" if record.units == "us" else "A4"
    content = replace(plan_content(record), table=(), header=(), facts=fact_words(record), cautions=(), credits=())
    yield _answer_sheet(record, content, paper)
    yield map_sheet(content, paper=paper)
    yield from _table_sheets("Swales", record.swales, table_columns(record), paper, units=record.units)
    yield from _section_sheets(record, paper)
    yield _storm_sheet(record, paper)
    if record.account is not None:
        told = partial(_draw_balance, record.account, units=record.units)
        rows = record.account["swales"]
        yield from _table_sheets("Where the rain goes", rows, BALANCE_COLUMNS, paper, units=record.units, above=told)
    if record.options:
        yield _options_sheet(record, paper)
    if record.growth is not None and record.growth.planting["water_year"]:
        yield _trees_sheet(record.growth, paper, units=record.units)
    yield from text_sheets(chapters(record), paper)


def _answer_sheet(record: PlanRecord, content: MapContent, paper: str) -> Figure:
    """Title, the answer in a sentence and in figures, how sure; the water of the site beside it."""
    figure, (width_mm, height_mm) = blank_sheet(paper), PAPERS_MM[paper]
    left_mm = 0.46 * width_mm - _PAD_MM
    box = (_PAD_MM, _PAD_MM, left_mm, height_mm - 2 * _PAD_MM)
    panel = Panel.on(figure, box)
    y = draw_title(content, panel)
    y = panel.write(wrap(verdict(record), left_mm, 12.0), y + 2.0, 12.0) + 4.0
    y = draw_facts(content.facts, panel, y) + 5.0
    y = panel.heading("HOW SURE", y)
    for sentence in how_sure(record):
        y = panel.write(wrap(sentence, left_mm, 8.5), y + 0.6, 8.5)
    y = panel.heading("CAUTIONS RAISED", y + 5.0)
    raised = tuple(f"{caution.name}: {caution.swales}" for caution in raised_cautions(record)) or ("none",)
    panel.write(Cautions(raised, left_mm, TEXT_PT).lines(box[3] - y), y, TEXT_PT)
    if record.water is not None:
        right_mm = _PAD_MM + left_mm + 24.0
        axes = axes_on(
            figure, (right_mm, _PAD_MM + 14.0, width_mm - right_mm - _PAD_MM, height_mm - 2 * _PAD_MM - 26.0)
        )
        draw_water(record.water, axes, units=record.units)
        axes.set_title("Water of the site in the design storm", loc="left", **font(HEAD_PT, "bold"))
    return figure


def _table_sheets(
    head: str,
    swales: Sequence[dict[str, Any]],
    columns: Sequence[ShownColumn],
    paper: str,
    *,
    units: str,
    above: Callable[[Figure, Panel], float] = lambda figure, panel: _HEAD_MM,
) -> Iterator[Figure]:
    """A table of swales, on as many sheets as it needs; what stands above it on the first says where that ends [mm]."""
    header = ("Swale", *heads(columns, units=units))
    rows = [(row["swale"], *cells(row, columns, units=units)) for row in swales]
    top: Callable[[Figure, Panel], float] = above
    while rows:
        figure, panel = _headed(head, paper)
        top_mm, top = top(figure, panel), lambda figure, panel: _HEAD_MM
        whole, room_mm = TableLayout(header, tuple(rows), panel.width_mm, _TABLE_PT), panel.height_mm - top_mm
        step = max(int((room_mm - whole.header_mm) / whole.row_mm), 1)
        part = TableLayout(header, tuple(rows[:step]), panel.width_mm, _TABLE_PT)
        draw_table(part, panel, top_mm=top_mm, room_mm=room_mm)
        rows = rows[step:]
        yield figure


def _draw_balance(account: dict[str, Any], figure: Figure, panel: Panel, *, units: str) -> float:
    """What became of the rain of both storms, in words and as bars; where it ends [mm]."""
    y = _HEAD_MM
    for sentence in account_sentences(account, units=units):
        y = panel.write(wrap(sentence, panel.width_mm, 8.5), y, 8.5) + 0.8
    bottom_mm = _PAD_MM + panel.height_mm - y - 9.0 - _BALANCE_MM
    axes = axes_on(figure, (_PAD_MM + 24.0, bottom_mm, panel.width_mm - 30.0, _BALANCE_MM))
    draw_balance(account, axes, units=units)
    return y + _BALANCE_MM + 22.0


def _section_sheets(record: PlanRecord, paper: str) -> Iterator[Figure]:
    """Cross-sections of the swales that store most, each at a round scale, and beside each its long profile."""
    largest = sorted(record.swales, key=lambda row: -float(row["storage_m3"]))[:_MOST_SECTIONS]
    names = {row["swale"] for row in largest}
    chosen = [row for row in record.swales if row["swale"] in names]
    which = "" if len(chosen) == len(record.swales) else f" of the {len(chosen)} swales that store most"
    head = f"Sections and long profiles{which}"
    for first in range(0, len(chosen), _SECTIONS_A_SHEET):
        figure, panel = _headed(head, paper)
        across_mm = (panel.width_mm - _GUTTER_MM) / 2
        down_mm = (panel.height_mm - _HEAD_MM) / _SECTIONS_A_SHEET
        for place, row in enumerate(chosen[first : first + _SECTIONS_A_SHEET]):
            bottom = _PAD_MM + panel.height_mm - _HEAD_MM - (place + 1) * down_mm
            part = Panel.on(figure, (_PAD_MM, bottom, across_mm, down_mm))
            section, high_mm = record.sections[row["swale"]], down_mm - 18.0
            scale = section_scale(section, across_mm, highest_mm=high_mm)
            part.write(
                [f"{section.swale} · 1 : {scale} · ground falls {100 * section.slope:.0f} %"], 0.0, 8.0, weight="bold"
            )
            draw_typical_section(section, part, top_mm=6.0, units=record.units, highest_mm=high_mm)
            right = _PAD_MM + across_mm + _GUTTER_MM + 12.0
            axes = axes_on(figure, (right, bottom + 9.0, across_mm - 22.0, down_mm - 13.0))
            draw_record_profile(row, record.profiles[row["swale"]], axes, units=record.units)
        yield figure


def _storm_sheet(record: PlanRecord, paper: str) -> Figure:
    """The course of the rain."""
    figure, panel = _headed("The design storm", paper)
    axes = axes_on(figure, (_PAD_MM + 18.0, _PAD_MM + 16.0, panel.width_mm - 38.0, panel.height_mm - _HEAD_MM - 24.0))
    draw_hyetograph(record.course, axes, units=record.units)
    return figure


def _trees_sheet(growth: GrowthRecord, paper: str, *, units: str) -> Figure:
    """The year's water of the planted ground, and what swales and mulch do for it, one above the other."""
    figure, panel = _headed("Water for trees", paper)
    rows, width_mm = growth.planting["water_year"], panel.width_mm - 26.0
    height_mm = (panel.height_mm - _HEAD_MM - 26.0) / 2
    below, above = ((_PAD_MM + 18.0, _PAD_MM + 8.0 + up * (height_mm + 16.0), width_mm, height_mm) for up in (0, 1))
    draw_water_year(rows, axes_on(figure, above), units=units)
    draw_measures(rows, axes_on(figure, below), least_ratio=growth.planting["least_ratio"])
    return figure


def _options_sheet(record: PlanRecord, paper: str) -> Figure:
    """Soil dug against storm held, one mark an option, and a key to those that are numbered."""
    figure, panel = _headed("Options compared", paper)
    high_mm = panel.height_mm - _HEAD_MM - 26.0
    axes = axes_on(figure, (_PAD_MM + 16.0, _PAD_MM + 16.0, panel.width_mm - KEY_MM - 22.0, high_mm))
    listed = sorted(shown_options(record), key=_by_merit)
    numbers = {option["number"] for option in listed}
    names = [str(option["number"]) if option["number"] in numbers else "" for option in record.options]
    draw_comparison(record.options, record.values_used["storm_depth_mm"], axes, names=names, units=record.units)
    key = Panel.on(figure, (_PAD_MM + panel.width_mm - KEY_MM, _PAD_MM + 16.0, KEY_MM, high_mm))
    draw_option_key(listed, key, units=record.units)
    return figure


def _by_merit(option: dict[str, Any]) -> tuple[bool, bool, float]:
    """The recommended or nearest, the others that keep all limits, the rest, each part by rising price."""
    price = option["dug_m3"] if option["cost"] is None else option["cost"]
    first = "yes" in (option["recommended"], option["nearest"])
    return not first, option["holds"] != "yes" or bool(option["beyond"]), price


def _headed(head: str, paper: str) -> tuple[Figure, Panel]:
    """A sheet with a heading."""
    figure, (width_mm, height_mm) = blank_sheet(paper), PAPERS_MM[paper]
    size = (width_mm - 2 * _PAD_MM, height_mm - 2 * _PAD_MM)
    panel = Panel.on(figure, (_PAD_MM, _PAD_MM, *size))
    panel.write([head], 0.0, 13.0, weight="bold")
    return figure, panel
