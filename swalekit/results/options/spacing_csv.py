"""The table of spacing rules as CSV."""

import csv
from pathlib import Path

from swalekit.design.options.spacing_table import SPACING_COLUMNS, SpacingTable
from swalekit.formats.spreadsheet_text import shielded_row


def write_spacing(table: SpacingTable, path: str | Path) -> None:
    """Write a row a rule, UTF-8, decimal points, comma separated."""
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, [column.name for column in SPACING_COLUMNS], lineterminator="\n")
        writer.writeheader()
        writer.writerows(shielded_row(table.figures(row)) for row in table.rows)
