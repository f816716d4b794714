"""What the commands say of their results, on standard output."""

import json
import signal
import sys
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from swalekit.design.brief.settings import duration_h, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.growth.growth import Growth
from swalekit.design.plan.cautions import cautions_by_name
from swalekit.design.plan.design import Design
from swalekit.design.plan.storm_table import storm_rows
from swalekit.design.plan.table import swale_row, totals
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import matters_most, reliability_cautions, reliability_rows
from swalekit.design.survey.survey import Survey
from swalekit.reporting.words.plan_words import failure_words
from swalekit.reporting.words.planting_words import growth_words, planting_header, planting_table
from swalekit.reporting.words.shown import listed, number, shown, unit_name
from swalekit.reporting.words.survey_words import percent, survey_words
from swalekit.results.plan.read import read_summary
from swalekit.staking.stake import Stakeout

_ROWS_SHOWN = 40
_PLAN_COLUMNS: tuple[tuple[str, str, str, int], ...] = (
    ("level", "level_m", "m", 2),
    ("length", "length_m", "m", 0),
    ("catchment", "catchment_m2", "m2", 0),
    ("runoff", "runoff_m3", "m3", 0),
    ("depth", "depth_m", "m", 2),
    ("stores", "storage_m3", "m3", 0),
    ("holds", "held_storm_mm", "mm", 1),
    ("dug", "dug_m3", "m3", 0),
    ("sill", "sill_length_m", "m", 1),
)
"""Head, name of the figure, its unit, decimals."""


def print_json(value: dict[str, Any]) -> None:
    """Print JSON for machines, in ASCII so that any pipe carries it."""
    _end_with_the_reader()
    sys.stdout.write(json.dumps(value, indent=2) + "\n")
    sys.stdout.flush()


def print_summary(folder: Path) -> None:
    """Print the summary in a folder of results, for machines."""
    print_json(read_summary(folder, ()))


def print_plan(design: Design, folder: Path) -> None:
    """Print the table of swales, the totals, warnings and cautions in brief."""
    console, units = result_console(), design.site.brief.site.units
    if design.swales:
        console.print(_swale_table(design, units))
    figures: dict[str, Any] = totals(design)
    console.print(
        f"{figures['swales']} swales, {shown(figures['length_m'], 'm', units=units)}: "
        f"{shown(figures['dug_m3'], 'm3', units=units)} dug, {figures['machine_h']:,.0f} machine hours"
        + (f", cost {figures['cost']:,} {design.site.brief.rates.currency}".rstrip() if design.cost is not None else "")
    )
    console.print(
        f"held storm {shown(figures['held_storm_mm'], 'mm', units=units, decimals=1)} "
        f"(asked: {shown(storm_of(design.site).depth_mm, 'mm', units=units, decimals=1)}), "
        f"{100 * figures['kept_share']:.0f} % of the site's runoff kept"
    )
    if design.ground.soil.has_condition:
        wet, dry = (shown(figures[name], "mm", units=units, decimals=1) for name in ("held_wet_mm", "held_dry_mm"))
        console.print(f"curve numbers are rough: held storm {wet} on wet ground, {dry} on dry")
    for warning in design.warnings:
        console.print(f"note: {warning}", soft_wrap=True)
    if failure := failure_words(design):
        console.print(failure, soft_wrap=True)
    for name, swales, advice in cautions_by_name(design.cautions):
        which = listed(swales) if len(swales) <= _ROWS_SHOWN else f"{len(swales)} of the swales, see earthwork.csv"
        console.print(f"caution: {name}: {which} ({advice})", soft_wrap=True)
    console.print(f"results in {folder}", soft_wrap=True)


def print_stakes(design: Design, stakeout: Stakeout, folder: Path) -> None:
    """Print the stakes of each swale and what the crew must know."""
    console, units, part = result_console(), design.site.brief.site.units, design.site.brief.stakes
    table = Table(box=None, pad_edge=False)
    table.add_column("swale")
    for head in ("stakes", "numbers", f"standard error\nof place {unit_name('m', units=units)}"):
        table.add_column(head, justify="right")
    for swale in stakeout.swales[:_ROWS_SHOWN]:
        stakes = [each for each in stakeout.stakes if each.swale == swale.id]
        worst = number(max(each.position_sigma_m for each in stakes), "m", units=units, decimals=1)
        table.add_row(swale.id, str(len(stakes)), f"{stakes[0].number}–{stakes[-1].number}", worst)
    if len(stakeout.swales) > _ROWS_SHOWN:
        table.add_row("…", f"{len(stakeout.swales) - _ROWS_SHOWN} more in stakes.csv")
    if table.row_count:
        console.print(table)
    spacing = shown(part.spacing_m, "m", units=units, decimals=1)
    console.print(f"{len(stakeout.stakes)} stakes on {len(stakeout.swales)} swales, every {spacing} and at bends")
    for warning in design.warnings:
        console.print(f"note: {warning}", soft_wrap=True)
    console.print(f"results in {folder}", soft_wrap=True)


def print_survey(survey: Survey, folder: Path) -> None:
    """Print a verdict on each swale, what must be mended, and what the reader must know."""
    console, units, check = result_console(), survey.design.site.brief.site.units, survey.check
    table = Table(box=None, pad_edge=False)
    for head in ("swale", "verdict", "spills over"):
        table.add_column(head)
    volume, rain = unit_name("m3", units=units), unit_name("mm", units=units)
    for head in (f"stores\n{volume}", "of\ndesign", f"holds\n{rain}", f"designed\n{rain}", "points"):
        table.add_column(head, justify="right")
    for place, built in enumerate(check.swales[:_ROWS_SHOWN]):
        storage_m3 = built.storage_m3
        share = "–" if storage_m3 is None else percent(storage_m3, built.design.shape.storage_m3)
        held = number(survey.held.built_mm[place], "mm", units=units, decimals=1)
        table.add_row(
            built.design.id,
            built.verdict,
            "–" if built.spill is None else built.spill.over,
            number(storage_m3, "m3", units=units),
            share,
            f"({held})" if survey.held.assumed[place] else held,
            number(survey.held.designed_mm[place], "mm", units=units, decimals=1),
            str(sum(part.count for part in built.parts.values())),
        )
    if len(check.swales) > _ROWS_SHOWN:
        table.add_row("…", f"{len(check.swales) - _ROWS_SHOWN} more in survey.csv")
    console.print(table)
    if survey.held.assumed[: len(check.swales)].any():
        console.print("in brackets: rests on the design of this swale or one above, for want of points")
    for line in survey_words(survey):
        console.print(line, soft_wrap=True)
    console.print(f"results in {folder}", soft_wrap=True)


def print_storm(site: Site, folder: Path) -> None:
    """Print depth by return period, the storms asked for, and what a reader must know."""
    console, units, storm = result_console(), site.brief.site.units, storm_of(site)
    table = Table(box=None, pad_edge=False)
    for head in ("return period\nyears", f"depth\n{unit_name('mm', units=units)}", "90 % band\nfrom", "\nto"):
        table.add_column(head, justify="right")
    for row in storm_rows(site):
        figures: dict[str, Any] = row
        cells = [number(figures[name], "mm", units=units, decimals=1) for name in ("depth_mm", "low_mm", "high_mm")]
        table.add_row(f"{row['return_period_y']:g}", *cells)
    if table.row_count:
        console.print(table)
    part = site.brief.storm
    design, check = (
        shown(depth, "mm", units=units, decimals=1) + ("" if years is None else f" ({years:g} years)")
        for depth, years in (
            (storm.depth_mm, part.return_period_y),
            (storm.check_depth_mm, part.check_return_period_y),
        )
    )
    console.print(f"design storm {design}, check storm {check}, in {duration_h(site):.3g} h")
    for note in site.notes:
        console.print(f"note: {note}", soft_wrap=True)
    console.print(f"results in {folder}", soft_wrap=True)


def print_reliability(reliability: Reliability, folder: Path) -> None:
    """Print the chance of each swale and of the layout to hold the storm, ranges, and what matters most."""
    console, units = result_console(), reliability.layout.site.brief.site.units
    *rows, layout = reliability_rows(reliability)
    table = Table(box=None, pad_edge=False)
    table.add_column("swale")
    volume, rain, length = (unit_name(unit, units=units) for unit in ("m3", "mm", "m"))
    for head in ("chance\nto hold", f"holds\n{rain}", f"dug\n{volume}", f"wanders by\n{length}, 9 in 10"):
        table.add_column(head, justify="right")
    for row in [*rows[:_ROWS_SHOWN], layout]:
        figures: dict[str, Any] = row
        ranges = (
            "–".join(number(figures[each], unit, units=units, decimals=digits) for each in ends)
            for ends, unit, digits in (
                (("held_low_mm", "held_high_mm"), "mm", 1),
                (("dug_low_m3", "dug_high_m3"), "m3", 0),
            )
        )
        wander = number(figures["wander_m"], "m", units=units, decimals=1)
        table.add_row(figures["swale"], f"{100 * figures['chance_to_hold']:.0f} %", *ranges, wander)
    console.print(table)
    if len(rows) > _ROWS_SHOWN:
        console.print(f"{len(rows) - _ROWS_SHOWN} more swales in reliability.csv")
    if layout["cost"] is not None:
        currency = reliability.layout.site.brief.rates.currency
        console.print(f"cost {layout['cost_low']:,} to {layout['cost_high']:,} {currency}".rstrip())
    most = ((outcome, matters_most(reliability, outcome)) for outcome in reliability.influence)
    console.print("matters most to " + ", ".join(f"{outcome}: {name}" for outcome, name in most if name))
    for caution in reliability_cautions(reliability):
        console.print(f"caution: {caution}", soft_wrap=True)
    console.print(f"ranges hold 90 % of {reliability.storm_mm.size} draws; results in {folder}", soft_wrap=True)


def print_growth(growth: Growth, folder: Path) -> None:
    """Print what each swale carries, what the count hangs on, the greywater, notes and cautions."""
    console = result_console()
    rows = planting_table(growth)
    if rows:
        table = Table(box=None, pad_edge=False)
        heads = planting_header(growth.design.site.brief.site.units)
        table.add_column(heads[0])
        for head in heads[1:]:
            table.add_column(head, justify="right")
        for row in rows[:_ROWS_SHOWN]:
            table.add_row(*row)
        if len(rows) > _ROWS_SHOWN:
            table.add_row("…", f"{len(rows) - _ROWS_SHOWN} more in planting.csv")
        console.print(table)
    for words in growth_words(growth):
        console.print(words, soft_wrap=True)
    for note in growth.notes:
        console.print(f"note: {note}", soft_wrap=True)
    for name, text in growth.cautions.items():
        console.print(f"caution: {name}: {text}", soft_wrap=True)
    console.print(f"results in {folder}", soft_wrap=True)


def result_console() -> Console:
    """Where results are printed: as wide as the terminal, 100 characters in a pipe."""
    _end_with_the_reader()
    return Console(width=None if sys.stdout.isatty() else 100, highlight=False, markup=False, emoji=False)


def _end_with_the_reader() -> None:
    """From here on, with the results written, the command ends as others do when nobody reads what it prints."""
    if hasattr(signal, "SIGPIPE"):
        signal.signal(signal.SIGPIPE, signal.SIG_DFL)


def _swale_table(design: Design, units: str) -> Table:
    table = Table(box=None, pad_edge=False)
    table.add_column("swale")
    for head, _, unit, _ in _PLAN_COLUMNS:
        table.add_column(f"{head}\n{unit_name(unit, units=units)}", justify="right")
    for swale in design.swales[:_ROWS_SHOWN]:
        row: dict[str, Any] = swale_row(swale)
        table.add_row(
            swale.id,
            *(number(row[name], unit, units=units, decimals=digits) for _, name, unit, digits in _PLAN_COLUMNS),
        )
    if len(design.swales) > _ROWS_SHOWN:
        table.add_row("…", f"{len(design.swales) - _ROWS_SHOWN} more in earthwork.csv")
    return table
