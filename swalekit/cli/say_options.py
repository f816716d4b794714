"""What is said on the terminal of options and spacing rules."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from swalekit.cli.say import result_console
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import Option
from swalekit.design.options.spacing_table import SpacingTable
from swalekit.reporting.words.option_words import OPTION_CAUTION, option_sentences
from swalekit.reporting.words.shown import number, shown, unit_name

_ROWS_SHOWN = 40


def print_comparison(comparison: Comparison, folder: Path) -> None:
    """Print the table of options, of many only those that stand out, and which is recommended."""
    console, units, options = result_console(), comparison.site.brief.site.units, comparison.options
    listed = options if len(options) <= _ROWS_SHOWN else comparison.kept
    table = Table(box=None, pad_edge=False)
    table.add_column("", justify="right")
    table.add_column("option")
    volume, rain = (unit_name(each, units=units) for each in ("m3", "mm"))
    currency = comparison.site.brief.rates.currency
    for head in ("swales", f"dug\n{volume}", f"cost\n{currency}".rstrip(), f"holds\n{rain}", "kept"):
        table.add_column(head, justify="right")
    table.add_column("")
    for option in listed:
        figures: dict[str, Any] = option.figures
        table.add_row(
            str(option.number),
            option.label,
            str(figures["swales"]),
            number(figures["dug_m3"], "m3", units=units),
            "–" if figures["cost"] is None else f"{figures['cost']:,}",
            number(figures["held_storm_mm"], "mm", units=units, decimals=1),
            f"{100 * figures['kept_share']:.0f} %",
            _verdict(option, units),
        )
    console.print(table)
    if len(listed) < len(options):
        console.print(f"the {len(options) - len(listed)} others are in options.csv")
    _print_notes(console, [(f"option {option.number}", option.note) for option in listed])
    for sentence in option_sentences(comparison):
        console.print(sentence, soft_wrap=True)
    console.print(f"caution: {OPTION_CAUTION}", soft_wrap=True)
    console.print(f"results in {folder}", soft_wrap=True)


def print_spacing_rules(table: SpacingTable, folder: Path, *, units: str) -> None:
    """Print interval, distance and lines of every rule on the site's slopes."""
    console, unit = result_console(), unit_name("m", units=units)
    gentle, median, steep = (f"{100 * slope:.1f} %" for slope in table.slopes)
    printed = Table(box=None, pad_edge=False)
    printed.add_column("rule")
    for head in (f"interval\nat {median}", *(f"spacing\nat {slope}" for slope in (gentle, median, steep)), "lines"):
        printed.add_column(f"{head}\n{unit}" if head != "lines" else head, justify="right")
    for row in table.rows:
        figures: dict[str, Any] = table.figures(row)
        printed.add_row(
            row.rule,
            number(figures["interval_m"], "m", units=units, decimals=2),
            *(number(figures[f"spacing_{name}m"], "m", units=units, decimals=1) for name in ("gentle_", "", "steep_")),
            "–" if row.lines is None else str(row.lines),
        )
    console.print(printed)
    memory = [row.rule for row in table.rows if row.status == "from memory"]
    _print_notes(console, [(row.rule, row.note.removeprefix(f"rule '{row.rule}' ")) for row in table.rows])
    console.print(f"{len(memory)} rules are from memory, not read in print: see column status in spacing_rules.csv")
    console.print(f"results in {folder}", soft_wrap=True)


def _print_notes(console: Console, notes: Iterable[tuple[str, str]]) -> None:
    """Print each note once, with the names of all that it is said of."""
    named: dict[str, list[str]] = {}
    for name, note in notes:
        if note:
            named.setdefault(note, []).append(name)
    for note, names in named.items():
        console.print(f"note: {', '.join(names)}: {note}", soft_wrap=True)


def _verdict(option: Option, units: str) -> str:
    if option.holds:
        beyond = f"beyond the {' and the '.join(option.beyond)}" if option.beyond else ""
        return "cheapest that holds" if option.cheapest else beyond
    return f"{option.weakest} lacks {shown(option.short_m3, 'm3', units=units)}" if option.weakest else "no swale"
