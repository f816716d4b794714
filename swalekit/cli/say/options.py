"""What is said of options and spacing rules."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from rich.console import Console

from swalekit.cli.say.console import ROWS_SHOWN, print_lines, print_table, result_console
from swalekit.design.brief.site import Site
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import Option
from swalekit.design.options.spacing_table import SpacingTable
from swalekit.reporting.words.option_words import OPTION_CAUTION, option_sentences
from swalekit.reporting.words.shown import number, shown, unit_name


def print_comparison(comparison: Comparison, folder: Path) -> None:
    """Print the table of options, of many only those that stand out, and which is recommended."""
    console, units, options = result_console(), comparison.site.brief.site.units, comparison.options
    listed = options if len(options) <= ROWS_SHOWN else comparison.kept
    volume, rain = (unit_name(unit, units=units) for unit in ("m3", "mm"))
    cost = f"cost\n{comparison.site.brief.rates.currency}".rstrip()
    heads = ("", "option", "swales", f"dug\n{volume}", cost, f"holds\n{rain}", "kept", "")
    print_table(console, heads, [_cells(option, units) for option in listed], left=(1, len(heads) - 1))
    if len(listed) < len(options):
        console.print(f"the {len(options) - len(listed)} others are in options.csv")
    _print_notes(console, [(f"option {option.number}", option.note) for option in listed])
    print_lines(console, *option_sentences(comparison), f"caution: {OPTION_CAUTION}", f"results in {folder}")


def print_spacing_rules(site: Site, table: SpacingTable, folder: Path) -> None:
    """Print interval, distance and lines of every rule on the site's slopes."""
    console, units = result_console(), site.brief.site.units
    gentle, median, steep = (f"{100 * slope:.1f} %" for slope in table.slopes)
    measured = (f"interval\nat {median}", *(f"spacing\nat {slope}" for slope in (gentle, median, steep)))
    rows = []
    for row in table.rows:
        figures: dict[str, Any] = table.figures(row)
        spacings = (number(figures[f"spacing_{at}m"], "m", units=units, decimals=1) for at in ("gentle_", "", "steep_"))
        interval = number(figures["interval_m"], "m", units=units, decimals=2)
        rows.append((row.rule, interval, *spacings, "–" if row.lines is None else str(row.lines)))
    unit = unit_name("m", units=units)
    print_table(console, ("rule", *(f"{head}\n{unit}" for head in measured), "lines"), rows, most=len(rows))
    memory = [row.rule for row in table.rows if row.status == "from memory"]
    _print_notes(console, [(row.rule, row.note.removeprefix(f"rule '{row.rule}' ")) for row in table.rows])
    console.print(f"{len(memory)} rules are from memory, not read in print: see column status in spacing_rules.csv")
    print_lines(console, f"results in {folder}")


def _print_notes(console: Console, notes: Iterable[tuple[str, str]]) -> None:
    """Print each note once, with the names of all that it is said of."""
    named: dict[str, list[str]] = {}
    for name, note in notes:
        if note:
            named.setdefault(note, []).append(name)
    print_lines(console, *(f"note: {', '.join(names)}: {note}" for note, names in named.items()))


def _cells(option: Option, units: str) -> list[str]:
    figures: dict[str, Any] = option.figures
    return [
        str(option.number),
        option.label,
        str(figures["swales"]),
        number(figures["dug_m3"], "m3", units=units),
        "–" if figures["cost"] is None else f"{figures['cost']:,}",
        number(figures["held_storm_mm"], "mm", units=units, decimals=1),
        f"{100 * figures['kept_share']:.0f} %",
        _verdict(option, units),
    ]


def _verdict(option: Option, units: str) -> str:
    if option.holds:
        beyond = f"beyond the {' and the '.join(option.beyond)}" if option.beyond else ""
        return "cheapest that holds" if option.cheapest else beyond
    return f"{option.weakest} lacks {shown(option.short_m3, 'm3', units=units)}" if option.weakest else "no swale"
