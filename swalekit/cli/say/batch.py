"""What is said of many sites."""

from pathlib import Path
from typing import Any

from swalekit.cli.say.console import (
    ROWS_SHOWN,
    Heading,
    figure_cells,
    figure_heads,
    print_lines,
    print_table,
    result_console,
)
from swalekit.results.batch.run import Batch

_COLUMNS: tuple[Heading, ...] = (
    ("length", "length_m", "m", 0),
    ("stores", "storage_m3", "m3", 0),
    ("holds", "held_storm_mm", "mm", 1),
    ("asked", "design_storm_mm", "mm", 1),
    ("dug", "dug_m3", "m3", 0),
)


def print_batch(batch: Batch, folder: Path) -> None:
    """Print the totals of each site in SI, since briefs may differ in units, and why the others have none."""
    console = result_console()
    planned, failed = ([row for row in batch.rows if bool(row["error"]) is wrong] for wrong in (False, True))
    heads = ("site", "swales", *figure_heads(_COLUMNS, "metric"), "cost", "")
    print_table(console, heads, [_cells(row) for row in planned], left=(0, len(heads) - 1))
    if any(row["cautions"] for row in planned):
        console.print("cautions: named in batch.csv, in full in summary.json of each site")
    for rows, what in ((planned, "sites"), (failed, "failed sites")):
        if len(rows) > ROWS_SHOWN:
            console.print(f"{len(rows) - ROWS_SHOWN} more {what} in batch.csv")
    print_lines(console, *(f"{row['site']}: {row['error']}" for row in failed[:ROWS_SHOWN]))
    print_lines(console, f"{len(planned)} of {len(batch.rows)} sites planned; results in {folder}")


def _cells(figures: dict[str, Any]) -> list[str]:
    cost = "–" if figures["cost"] is None else f"{figures['cost']:,} {figures['currency']}".rstrip()
    verdict = ["" if figures["holds"] == "yes" else "falls short", "cautions" if figures["cautions"] else ""]
    cells = figure_cells(figures, _COLUMNS, "metric")
    return [figures["site"], str(figures["swales"]), *cells, cost, ", ".join(filter(None, verdict))]
