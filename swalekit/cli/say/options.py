"""What is said of options and spacing rules."""

from collections.abc import Iterable
from math import isinf
from pathlib import Path
from typing import Any

from rich.console import Console

from swalekit.cli.say.console import ROWS_SHOWN, print_lines, print_table, result_console
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import first_few
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.limits import CHECK_STORM, FILL, STANDING
from swalekit.design.options.option import Option
from swalekit.design.options.spacing_table import SpacingTable
from swalekit.reporting.words.option_words import OPTION_CAUTION, cost_of_water, option_sentences
from swalekit.reporting.words.shown import number, shown, table_of, unit_name

_BROKEN = "*"
"""Behind a figure that breaks a limit."""


def print_comparison(comparison: Comparison, folder: Path) -> None:
    """Print the table of options, of many only those that stand out, and which is recommended.

    Parameters
    ----------
    comparison : Comparison
        The options.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_comparison(comparison, Path("compare"))  # doctest: +ELLIPSIS
                             dug        holds          cost  stands  fill
       option        swales   m³  cost     mm  kept  per m³       h     m  cautions
    1  interval 3 m       3  174     –   50.9  73 %       –      66  0.43       0+1
    2  interval 4 m       2  142     –   51.2  66 %       –      58  0.48       0+1  recommended
    cautions: those that another section, line or sill could cure + those of the place
    2 options were laid out.
    Option 2 is recommended (interval 4 m): of the 2 that hold the design storm of 50.0 mm it is the cheapest, a...
    Its cautions: 1 of the place (catchment cut off 1).
    Its interval is the largest tried; a larger one may be better still.
    Recommended is, of the options that keep all limits (the storm held, dry in time, fill, no berm overtopped, ...
    caution: what an option that fails does to those below is looked at in its plan alone; plan the one that is ...
    results in compare
    """
    console, units, options = result_console(), comparison.site.brief.site.units, comparison.options
    listed = options if len(options) <= ROWS_SHOWN else comparison.kept
    columns = (
        ("", "number", "", 0),
        ("option", "option", "", 0),
        ("swales", "swales", "", 0),
        ("dug", "dug_m3", "m3", 0),
        (f"cost\n{comparison.site.brief.rates.currency}", "cost", "", 0),
        ("holds", "held_storm_mm", "mm", 1),
        ("kept", "kept", "", 0),
        (f"cost\nper {unit_name('m3', units=units)}", "each", "", 0),
        ("stands", "stands", "h", 0),
        ("fill", "fill", "m", 0),
        ("cautions", "warned", "", 0),
        ("", "verdict", "", 0),
    )
    table = table_of((_worded(option, units) for option in listed), columns, units=units)
    print_table(console, *table, left=(1, len(columns) - 1))
    if len(listed) < len(options):
        console.print(f"the {len(options) - len(listed)} others are in options.csv")
    _print_notes(console, [(f"option {option.number}", option.note) for option in listed])
    print_lines(console, *_legend(listed))
    print_lines(console, *option_sentences(comparison), f"caution: {OPTION_CAUTION}", f"results in {folder}")


def print_spacing_rules(site: Site, table: SpacingTable, folder: Path) -> None:
    """Print interval, distance and lines of every rule on the site's slopes.

    Parameters
    ----------
    site : Site
        The site.
    table : SpacingTable
        The rules on its slopes.
    folder : Path
        Where the results are.
    """
    console, units = result_console(), site.brief.site.units
    gentle, median, steep = (f"{100 * slope:.1f} %" for slope in table.slopes)
    columns = (
        ("rule", "rule", "", 0),
        (f"interval\nat {median}", "interval_m", "m", 2),
        (f"spacing\nat {gentle}", "spacing_gentle_m", "m", 1),
        (f"spacing\nat {median}", "spacing_m", "m", 1),
        (f"spacing\nat {steep}", "spacing_steep_m", "m", 1),
        ("lines", "lines", "", 0),
    )
    rows = (table.figures(row) | {"lines": None if row.lines is None else str(row.lines)} for row in table.rows)
    print_table(console, *table_of(rows, columns, units=units), most=len(table.rows))
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


def _worded(option: Option, units: str) -> dict[str, Any]:
    figures: dict[str, Any] = option.figures
    kept = f"{100 * figures['kept_share']:.0f} %"
    plain = {name: str(figures[name]) for name in ("number", "swales")}
    stands_h = option.standing_h
    stands = "–" if stands_h is None else "over 200" if isinf(stands_h) else f"{stands_h:.0f}"
    fill = number(option.fill_m, "m", units=units, decimals=2)
    return (
        figures
        | plain
        | {
            "kept": kept,
            "each": cost_of_water(option.cost_per_m3, units=units),
            "stands": stands + (_BROKEN if STANDING in option.beyond else ""),
            "fill": fill + (_BROKEN if FILL in option.beyond else ""),
            "warned": f"{option.to_cure}+{option.of_place}",
            "verdict": _verdict(option, units),
        }
    )


def _verdict(option: Option, units: str) -> str:
    if option.keeps_all:
        return "recommended" if option.recommended else "cheapest" if option.cheapest else ""
    if not option.weakest:
        return "no swale"
    lacks = [] if option.holds else [f"{option.weakest} lacks {shown(option.short_m3, 'm3', units=units)}"]
    beyond = [name for name in option.beyond if name not in (STANDING, FILL, CHECK_STORM)]
    broken = [f"breaks {', '.join(beyond)}"] if beyond else []
    over = [f"check storm over {first_few(option.overtopped)}"] if option.overtopped else []
    return "; ".join([*(["nearest"] if option.nearest else []), *lacks, *over, *broken])


def _legend(listed: Iterable[Option]) -> list[str]:
    """What figures of the table mean that their heads don't tell."""
    broken = any({STANDING, FILL} & {*option.beyond} for option in listed)
    return [
        "cautions: those that another section, line or sill could cure + those of the place",
        *([f"{_BROKEN} breaks a limit of the brief"] if broken else []),
    ]
