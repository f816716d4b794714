"""What the commands say on the terminal: stages on standard error, results on standard output."""

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from swalekit.design.cautions import cautions_by_name
from swalekit.design.design import Design
from swalekit.design.options import Comparison, Option
from swalekit.design.settings import duration_h, storm_of
from swalekit.design.site import Site
from swalekit.design.storm_table import storm_rows
from swalekit.design.table import swale_row, totals
from swalekit.reporting.plan_words import failure_words
from swalekit.reporting.shown import listed, number, shown, unit_name
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


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Show the stage of long work on a terminal; say nothing in a pipe."""
    console = Console(stderr=True)
    if not console.is_terminal:
        yield lambda _: None
        return
    with console.status("starting") as status:
        yield status.update


def print_json(value: dict[str, Any]) -> None:
    """Print JSON for machines, in ASCII so that any pipe carries it."""
    sys.stdout.write(json.dumps(value, indent=2) + "\n")
    sys.stdout.flush()


def print_plan(design: Design, folder: Path) -> None:
    """Print the table of swales, the totals, warnings and cautions in brief."""
    console, units = _console(), design.site.brief.site.units
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
    for name, swales, advice in cautions_by_name(design):
        console.print(f"caution: {name}: {listed(swales)} ({advice})", soft_wrap=True)
    console.print(f"results in {folder}", soft_wrap=True)


def print_stakes(design: Design, stakeout: Stakeout, folder: Path) -> None:
    """Print the stakes of each swale and what the crew must know."""
    console, units, part = _console(), design.site.brief.site.units, design.site.brief.stakes
    table = Table(box=None, pad_edge=False)
    table.add_column("swale")
    for head in ("stakes", "numbers", f"place unsure by\n{unit_name('m', units=units)}"):
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


def print_storm(site: Site, folder: Path) -> None:
    """Print depth by return period, the storms asked for, and what a reader must know."""
    console, units, storm = _console(), site.brief.site.units, storm_of(site)
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


def print_comparison(comparison: Comparison, folder: Path) -> None:
    """Print the table of options."""
    console, units, options = _console(), comparison.site.brief.site.units, comparison.options
    table = Table(box=None, pad_edge=False)
    table.add_column("option")
    heads = ("swales", f"length\n{unit_name('m', units=units)}", f"dug\n{unit_name('m3', units=units)}", "cost")
    tail = (f"held\n{unit_name('m3', units=units)}", f"holds\n{unit_name('mm', units=units)}", "kept", "")
    for head in (*heads, *tail):
        table.add_column(head, justify="right")
    for option in options:
        figures: dict[str, Any] = option.figures
        table.add_row(
            option.label,
            str(figures["swales"]),
            number(figures["length_m"], "m", units=units),
            number(figures["dug_m3"], "m3", units=units),
            "–" if figures["cost"] is None else f"{figures['cost']:,}",
            number(figures["held_m3"], "m3", units=units),
            number(figures["held_storm_mm"], "mm", units=units, decimals=1),
            f"{100 * figures['kept_share']:.0f} %",
            _verdict(option),
        )
    console.print(table)
    if not any(option.holds for option in options):
        console.print("no option holds the design storm: see to the swales named, or allow a deeper or wider ditch")
    console.print(f"results in {folder}", soft_wrap=True)


def _verdict(option: Option) -> str:
    if option.holds:
        return "cheapest that holds the storm" if option.cheapest else ""
    figures = option.figures
    return f"{figures['weakest']} too small by {figures['short_m3']} m³" if figures["weakest"] else "no swale"


def _console() -> Console:
    return Console(width=None if sys.stdout.isatty() else 100, highlight=False, markup=False, emoji=False)


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
