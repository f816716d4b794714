"""What is said on the terminal of many sites."""

from pathlib import Path
from typing import Any

from rich.table import Table

from swalekit.cli.say import result_console
from swalekit.reporting.words.shown import number, unit_name
from swalekit.results.batch.run import Batch

_COLUMNS = (
    ("length", "length_m", "m", 0),
    ("stores", "storage_m3", "m3", 0),
    ("holds", "held_storm_mm", "mm", 1),
    ("asked", "design_storm_mm", "mm", 1),
    ("dug", "dug_m3", "m3", 0),
)
"""Head, name of the figure, its unit, decimals."""
_ROWS_SHOWN = 40


def print_batch(batch: Batch, folder: Path) -> None:
    """Print the totals of each site in SI, since briefs may differ in units, and why the others have none."""
    console = result_console()
    planned, failed = ([row for row in batch.rows if bool(row["error"]) is wrong] for wrong in (False, True))
    table = Table(box=None, pad_edge=False)
    table.add_column("site")
    table.add_column("swales", justify="right")
    for head, _, unit, _ in _COLUMNS:
        table.add_column(f"{head}\n{unit_name(unit, units='metric')}", justify="right")
    table.add_column("cost", justify="right")
    table.add_column("")
    for row in planned[:_ROWS_SHOWN]:
        figures: dict[str, Any] = row
        cells = (number(figures[name], unit, units="metric", decimals=digits) for _, name, unit, digits in _COLUMNS)
        cost = "–" if figures["cost"] is None else f"{figures['cost']:,} {figures['currency']}".rstrip()
        verdict = ["" if figures["holds"] == "yes" else "falls short", "cautions" if figures["cautions"] else ""]
        table.add_row(figures["site"], str(figures["swales"]), *cells, cost, ", ".join(filter(None, verdict)))
    if planned:
        console.print(table)
    if any(row["cautions"] for row in planned):
        console.print("cautions: named in batch.csv, in full in summary.json of each site")
    for rows, what in ((planned, "sites"), (failed, "failed sites")):
        if len(rows) > _ROWS_SHOWN:
            console.print(f"{len(rows) - _ROWS_SHOWN} more {what} in batch.csv")
    for row in failed[:_ROWS_SHOWN]:
        console.print(f"{row['site']}: {row['error']}", soft_wrap=True)
    console.print(f"{len(planned)} of {len(batch.rows)} sites planned; results in {folder}", soft_wrap=True)
