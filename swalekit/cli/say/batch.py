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
    """Print the totals of each site in SI, since briefs may differ in units, and why the others have none.

    Parameters
    ----------
    batch : Batch
        What became of the sites.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> held = {"held_storm_mm": 54.5, "design_storm_mm": 50.0, "holds": "yes"}
    >>> built = {"swales": 2, "length_m": 176.2, "storage_m3": 186.0, "dug_m3": 141.4, "cost": None, "cautions": ""}
    >>> north = {"site": "north", "error": ""} | held | built
    >>> south = {"site": "south", "error": "brief 'south.toml' does not exist; check the path"}
    >>> print_batch(Batch((north, south), stopped=False), Path("batch"))
                   length  stores  holds  asked  dug
    site   swales       m      m³     mm     mm   m³  cost
    north       2     176     186   54.5   50.0  141     –
    south: brief 'south.toml' does not exist; check the path
    1 of 2 sites planned; results in batch
    """
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
