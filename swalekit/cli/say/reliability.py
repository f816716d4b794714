"""What is said of how sure a layout is."""

from pathlib import Path
from typing import Any

from swalekit.cli.say.console import ROWS_SHOWN, print_lines, print_table, result_console
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.sizes import Sizes, sizes_summary
from swalekit.design.reliability.table import (
    matters_most,
    reliability_cautions,
    reliability_rows,
    reliability_summary,
)
from swalekit.reporting.words.chance_words import chance_sentence, size_sentence
from swalekit.reporting.words.shown import number, unit_name


def print_reliability(reliability: Reliability, sizes: Sizes | None, folder: Path) -> None:
    """Print the chance of each swale and of the layout to hold the storm, ranges, and what matters most.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    sizes : Sizes or None
        Layouts of other sizes, where they were asked for.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_reliability(reliability, None, Path("reliability"))  # doctest: +ELLIPSIS
    In a storm of 50 mm, which may be 36 to 56 mm, on ground as dry or wet as it happens to be, no swale spills with...
             chance      holds      dug    catchment  wanders by
    swale   to hold         mm       m³  m², 8 in 10  m, 9 in 10
    S1         50 %  29.1–80.1    56–95  3,799–3,885         0.8
    S2         35 %  33.2–63.3    57–84  3,580–3,759         0.8
    layout     35 %  27.5–63.3  128–171  7,386–7,634         0.8
    matters most to holding the storm: runoff, soil dug: ditch floor, standing time: infiltration
    caution: a chance counts the named inputs alone, as they are taken to spread: no berm that fails, no blocked...
    chance of a year: needs a record or a table of rain in [storm]
    ranges hold 90 % of 20 draws; results in reliability
    """
    console, units = result_console(), reliability.layout.site.brief.site.units
    *swales, layout = reliability_rows(reliability)
    volume, rain, length = (unit_name(unit, units=units) for unit in ("m3", "mm", "m"))
    area = unit_name("m2", units=units)
    heads = (
        *("swale", "chance\nto hold", f"holds\n{rain}", f"dug\n{volume}"),
        *(f"catchment\n{area}, 8 in 10", f"wanders by\n{length}, 9 in 10"),
    )
    rows = [_cells(figures, units) for figures in (*swales[:ROWS_SHOWN], layout)]
    told = reliability_summary(reliability)
    print_lines(console, chance_sentence(told, units=units))
    print_table(console, heads, rows, most=len(rows))
    if len(swales) > ROWS_SHOWN:
        console.print(f"{len(swales) - ROWS_SHOWN} more swales in reliability.csv")
    if layout["cost"] is not None:
        currency = reliability.layout.site.brief.rates.currency
        console.print(f"cost {layout['cost_low']:,} to {layout['cost_high']:,} {currency}".rstrip())
    if sizes is not None:
        _print_sizes(sizes)
    most = ((outcome, matters_most(reliability, outcome)) for outcome in reliability.influence)
    console.print("matters most to " + ", ".join(f"{outcome}: {name}" for outcome, name in most if name))
    print_lines(console, *(f"caution: {caution}" for caution in reliability_cautions(reliability)))
    if told["chance_of_year_lacks"]:
        print_lines(console, f"chance of a year: {told['chance_of_year_lacks']}")
    print_lines(console, f"ranges hold 90 % of {reliability.storm_mm.size} draws; results in {folder}")


def _print_sizes(sizes: Sizes) -> None:
    """A row a size: what it is sized for, holds and costs; and the one that is sure enough."""
    console, brief, told = result_console(), sizes.sizes[0].reliability.asked.brief, sizes_summary(sizes)
    units, currency = brief.site.units, brief.rates.currency
    rain, length, volume = (unit_name(unit, units=units) for unit in ("mm", "m", "m3"))
    heads = (
        *(f"sized for\n{rain}", "chance\nto hold", "in a\nyear"),
        *(f"lines\n{length}", f"dug\n{volume}", f"cost\n{currency}".strip(), "for 1 %\nmore"),
    )
    rows = [
        [
            number(row["sized_for_mm"], "mm", units=units, decimals=1),
            f"{100 * row['chance_to_hold']:.0f} %",
            "–" if row["chance_of_year"] is None else f"{100 * row['chance_of_year']:.0f} %",
            number(row["length_m"], "m", units=units),
            number(row["dug_m3"], "m3", units=units),
            *("–" if row[name] is None else f"{row[name]:,}" for name in ("cost", "cost_of_a_per_cent")),
        ]
        for row in told["rows"]
    ]
    print_table(console, heads, rows, most=len(rows))
    print_lines(console, *filter(None, [size_sentence(told, units=units, currency=currency)]))
    if told["crowded"]:
        print_lines(console, "larger works leave room for less line: compare the lengths before the chances")


def _cells(figures: dict[str, Any], units: str) -> list[str]:
    def span(unit: str, decimals: int, *ends: str) -> str:
        return "–".join(number(figures[end], unit, units=units, decimals=decimals) for end in ends)

    return [
        figures["swale"],
        f"{100 * figures['chance_to_hold']:.0f} %",
        span("mm", 1, "held_low_mm", "held_high_mm"),
        span("m3", 0, "dug_low_m3", "dug_high_m3"),
        span("m2", 0, "catchment_low_m2", "catchment_high_m2"),
        span("m", 1, "wander_m"),
    ]
