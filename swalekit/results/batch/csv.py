"""The table of planned sites as CSV."""

import csv
from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from swalekit.design.plan.columns import Column, Entry
from swalekit.design.plan.table import TOTAL_COLUMNS
from swalekit.formats.spreadsheet_text import shielded_row
from swalekit.results.folder.folder import whole_file

BATCH_COLUMNS: tuple[Column, ...] = (
    Column("site", "", "name of the site, and of the folder with its plan"),
    Column("design_storm_mm", "mm", "storm that every swale should hold"),
    Column("holds", "", "whether every swale holds it"),
    *TOTAL_COLUMNS,
    Column("currency", "", "currency of the cost"),
    Column("cautions", "", "cautions of the plan, each with its number of swales; read them in its summary"),
    Column("error", "", "why the site has no plan; empty where it has one"),
)


def batch_row(site: str, summary: Mapping[str, Any]) -> dict[str, Entry]:
    """Figures of a planned site by the names of `BATCH_COLUMNS`.

    Parameters
    ----------
    site : str
        Its name.
    summary : mapping
        The summary of its plan.
    """
    figures, design_mm = summary["totals"], summary["values_used"]["storm_depth_mm"]
    counts = Counter(each["caution"] for each in summary["cautions"])
    known = figures | {
        "site": site,
        "design_storm_mm": round(design_mm, 1),
        "holds": "yes" if figures["swales"] and figures["held_storm_mm"] >= round(design_mm, 1) else "no",
        "currency": summary["brief"]["rates"]["currency"],
        "cautions": "; ".join(f"{name}: {count}" for name, count in counts.items()),
        "error": "",
    }
    return {column.name: known[column.name] for column in BATCH_COLUMNS}


def failed_row(site: str, error: str) -> dict[str, Entry]:
    """A site without a plan, and why, by the names of `BATCH_COLUMNS`."""
    return dict.fromkeys((column.name for column in BATCH_COLUMNS), None) | {"site": site, "error": error}


def write_batch(rows: Iterable[Mapping[str, Entry]], path: str | Path) -> None:
    """Write a row a site, UTF-8, decimal points, comma separated, in place of an older table.

    Raises
    ------
    OutputError
        If it can't be written.
    """
    with whole_file(path) as working, working.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, [column.name for column in BATCH_COLUMNS], lineterminator="\n")
        writer.writeheader()
        writer.writerows(shielded_row(row) for row in rows)


def is_batch_table(path: str | Path) -> bool:
    """Whether a file is a table that `write_batch` wrote: any other of its name is the user's."""
    try:
        with Path(path).open(encoding="utf-8", newline="") as file:
            return next(csv.reader(file), []) == [column.name for column in BATCH_COLUMNS]
    except (OSError, ValueError, csv.Error):
        return False
