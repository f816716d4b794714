"""The table of compared options as CSV."""

import csv
from pathlib import Path

from swalekit.design.options.comparison import OPTION_COLUMNS, Comparison
from swalekit.formats.spreadsheet_text import shielded_row


def write_options(comparison: Comparison, path: str | Path) -> None:
    """Write a row an option, UTF-8, decimal points, comma separated."""
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, [column.name for column in OPTION_COLUMNS], lineterminator="\n")
        writer.writeheader()
        writer.writerows(shielded_row(option.figures) for option in comparison.options)
