"""How sure each swale is, as CSV."""

import csv
from pathlib import Path

from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import RELIABILITY_COLUMNS, reliability_rows


def write_reliability_table(reliability: Reliability, path: str | Path) -> None:
    """Write a row a swale and a last row ``layout``, UTF-8, decimal points, comma separated."""
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, [column.name for column in RELIABILITY_COLUMNS], lineterminator="\n")
        writer.writeheader()
        writer.writerows(reliability_rows(reliability))
