"""The table of planned sites as CSV."""

import csv
from collections.abc import Iterable, Mapping
from pathlib import Path

from swalekit.design.columns import TOTAL_COLUMNS, Column
from swalekit.design.table import Figure
from swalekit.formats.result_folder import whole_file
from swalekit.formats.spreadsheet_text import shielded_row

BATCH_COLUMNS: tuple[Column, ...] = (
    Column("site", "", "name of the site, and of the folder with its plan"),
    *TOTAL_COLUMNS,
    Column("error", "", "why the site has no plan; empty where it has one"),
)


def batch_row(site: str, totals: Mapping[str, Figure], *, error: str = "") -> dict[str, Figure]:
    """Figures of a site by the names of `BATCH_COLUMNS`, those not given empty."""
    figures = {column.name: totals.get(column.name) for column in TOTAL_COLUMNS}
    return {"site": site} | figures | {"error": error}


def write_batch(rows: Iterable[Mapping[str, Figure]], path: str | Path) -> None:
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
