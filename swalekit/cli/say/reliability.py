"""What is said of how sure a layout is."""

from pathlib import Path
from typing import Any

from swalekit.cli.say.console import ROWS_SHOWN, print_lines, print_table, result_console
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import matters_most, reliability_cautions, reliability_rows
from swalekit.reporting.words.shown import number, unit_name


def print_reliability(reliability: Reliability, folder: Path) -> None:
    """Print the chance of each swale and of the layout to hold the storm, ranges, and what matters most.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_reliability(reliability, Path("reliability"))  # doctest: +ELLIPSIS
             chance      holds      dug  wanders by
    swale   to hold         mm       m³  m, 9 in 10
    S1         45 %  26.2–95.9   49–100         0.8
    S2         40 %  31.2–71.2    52–85         0.8
    layout     35 %  26.2–71.2  116–167         0.8
    matters most to holding the storm: runoff, soil dug: ditch floor, standing time: infiltration
    caution: a chance counts the named inputs alone, as they are taken to spread: no berm that fails, no blocked...
    ranges hold 90 % of 20 draws; results in reliability
    """
    console, units = result_console(), reliability.layout.site.brief.site.units
    *swales, layout = reliability_rows(reliability)
    volume, rain, length = (unit_name(unit, units=units) for unit in ("m3", "mm", "m"))
    heads = ("swale", "chance\nto hold", f"holds\n{rain}", f"dug\n{volume}", f"wanders by\n{length}, 9 in 10")
    rows = [_cells(figures, units) for figures in (*swales[:ROWS_SHOWN], layout)]
    print_table(console, heads, rows, most=len(rows))
    if len(swales) > ROWS_SHOWN:
        console.print(f"{len(swales) - ROWS_SHOWN} more swales in reliability.csv")
    if layout["cost"] is not None:
        currency = reliability.layout.site.brief.rates.currency
        console.print(f"cost {layout['cost_low']:,} to {layout['cost_high']:,} {currency}".rstrip())
    most = ((outcome, matters_most(reliability, outcome)) for outcome in reliability.influence)
    console.print("matters most to " + ", ".join(f"{outcome}: {name}" for outcome, name in most if name))
    print_lines(console, *(f"caution: {caution}" for caution in reliability_cautions(reliability)))
    print_lines(console, f"ranges hold 90 % of {reliability.storm_mm.size} draws; results in {folder}")


def _cells(figures: dict[str, Any], units: str) -> list[str]:
    def span(unit: str, decimals: int, *ends: str) -> str:
        return "–".join(number(figures[end], unit, units=units, decimals=decimals) for end in ends)

    return [
        figures["swale"],
        f"{100 * figures['chance_to_hold']:.0f} %",
        span("mm", 1, "held_low_mm", "held_high_mm"),
        span("m3", 0, "dug_low_m3", "dug_high_m3"),
        span("m", 1, "wander_m"),
    ]
