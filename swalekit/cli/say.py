"""What the commands say on the terminal: stages on standard error, results on standard output."""

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from swalekit.design.design import Design
from swalekit.design.options import Option
from swalekit.design.table import totals
from swalekit.reporting.shown import listed, number, shown, unit_name

_ROWS_SHOWN = 40


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
    """Print JSON for machines."""
    sys.stdout.write(json.dumps(value, indent=2, ensure_ascii=False) + "\n")


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
        f"(asked: {shown(design.site.brief.storm.depth_mm, 'mm', units=units, decimals=1)}), "
        f"{figures['kept_share']:.0%} of the site's runoff kept"
    )
    for warning in design.warnings:
        console.print(f"note: {warning}", soft_wrap=True, markup=False)
    by_name: dict[str, list[str]] = {}
    for caution in design.cautions:
        if caution.swale:
            by_name.setdefault(caution.name, []).append(caution.swale)
    for name, swales in by_name.items():
        console.print(f"caution: {name}: {listed(swales)}", soft_wrap=True, markup=False)
    console.print(f"results in {folder}", markup=False)


def print_options(options: Sequence[Option], folder: Path) -> None:
    """Print the table of options."""
    console, units = _console(), options[0].design.site.brief.site.units
    priced = any(option.design.cost is not None for option in options)
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
            f"{figures['cost']:,}" if priced and figures["cost"] is not None else "–",
            number(figures["held_m3"], "m3", units=units),
            number(figures["held_storm_mm"], "mm", units=units, decimals=1),
            f"{figures['kept_share']:.0%}",
            "cheapest that holds the storm" if option.cheapest else ("" if option.holds else "spills"),
        )
    console.print(table)
    if not any(option.holds for option in options):
        console.print("no option holds the design storm: give smaller intervals, or a deeper or wider ditch")
    console.print(f"results in {folder}", markup=False)


def _console() -> Console:
    return Console(width=None if sys.stdout.isatty() else 100, highlight=False)


def _swale_table(design: Design, units: str) -> Table:
    table = Table(box=None, pad_edge=False)
    columns = (
        ("level", "m", 2, lambda each: each.line.level_m),
        ("length", "m", 0, lambda each: each.line.length_m),
        ("catchment", "m2", 2 if units == "us" else 0, lambda each: each.catchment_m2),
        ("runoff", "m3", 0, lambda each: each.runoff_m3),
        ("depth", "m", 2, lambda each: each.sized.shape.depth_m),
        ("stores", "m3", 0, lambda each: each.storage_m3),
        ("holds", "mm", 1, lambda each: each.held_storm_mm),
        ("dug", "m3", 0, lambda each: each.quantities.dug_m3),
        ("sill", "m", 1, lambda each: each.sill.length_m),
    )
    table.add_column("swale")
    for name, unit, _, _ in columns:
        table.add_column(f"{name}\n{unit_name(unit, units=units)}", justify="right")
    for swale in design.swales[:_ROWS_SHOWN]:
        cells = [number(of(swale), unit, units=units, decimals=decimals) for _, unit, decimals, of in columns]
        table.add_row(swale.id, *cells)
    if len(design.swales) > _ROWS_SHOWN:
        table.add_row("…", f"and {len(design.swales) - _ROWS_SHOWN} more in earthwork.csv")
    return table
