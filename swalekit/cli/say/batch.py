"""What is said of many sites."""

from pathlib import Path
from typing import Any

from swalekit.cli.say.console import ROWS_SHOWN, print_lines, print_table, result_console
from swalekit.reporting.words.shown import ShownColumn, table_of
from swalekit.results.batch.run import Batch

_COLUMNS: tuple[ShownColumn, ...] = (
    ("site", "site", "", 0),
    ("swales", "swales", "", 0),
    ("length", "length_m", "m", 0),
    ("stores", "storage_m3", "m3", 0),
    ("holds", "held_storm_mm", "mm", 1),
    ("asked", "design_storm_mm", "mm", 1),
    ("dug", "dug_m3", "m3", 0),
    ("cost", "cost", "", 0),
    ("", "verdict", "", 0),
)


def print_batch(batch: Batch, folder: Path) -> None:
    """Print the totals of each site in SI, since briefs may differ in units, and why the others have none."""
    console = result_console()
    planned, failed = ([row for row in batch.rows if bool(row["error"]) is wrong] for wrong in (False, True))
    table = table_of((_worded(row) for row in planned), _COLUMNS, units="metric")
    print_table(console, *table, left=(0, len(_COLUMNS) - 1))
    if any(row["cautions"] for row in planned):
        console.print("cautions: named in batch.csv, in full in summary.json of each site")
    for rows, what in ((planned, "sites"), (failed, "failed sites")):
        if len(rows) > ROWS_SHOWN:
            console.print(f"{len(rows) - ROWS_SHOWN} more {what} in batch.csv")
    print_lines(console, *(f"{row['site']}: {row['error']}" for row in failed[:ROWS_SHOWN]))
    print_lines(console, f"{len(planned)} of {len(batch.rows)} sites planned; results in {folder}")


def _worded(row: dict[str, Any]) -> dict[str, Any]:
    cost = None if row["cost"] is None else f"{row['cost']:,} {row['currency']}".rstrip()
    verdict = ["" if row["holds"] == "yes" else "falls short", "cautions" if row["cautions"] else ""]
    return row | {"swales": str(row["swales"]), "cost": cost, "verdict": ", ".join(filter(None, verdict))}
