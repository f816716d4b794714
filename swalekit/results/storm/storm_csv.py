"""The storm analysis as CSV."""

import csv
from pathlib import Path

from swalekit.design.brief.site import Site
from swalekit.design.plan.storm_table import STORM_COLUMNS, storm_rows


def write_storm_table(site: Site, path: str | Path) -> None:
    """Write depth by return period, UTF-8, decimal points; only the header where the brief gives a depth."""
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, [column.name for column in STORM_COLUMNS], lineterminator="\n")
        writer.writeheader()
        writer.writerows(storm_rows(site))
