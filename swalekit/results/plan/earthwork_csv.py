"""The table of swales and its totals as CSV."""

import csv
from pathlib import Path

from swalekit.design.plan.design import Design
from swalekit.design.plan.table import SWALE_COLUMNS, TOTAL_COLUMNS, swale_row, totals
from swalekit.formats.spreadsheet_text import shielded_row


def write_earthwork(design: Design, path: str | Path) -> None:
    """Write a row a swale, one for mobilisation where there are prices, and a last row ``total``.

    A column without a total stays empty there.

    Parameters
    ----------
    design : Design
        The design.
    path : str or Path
        File to write, UTF-8, decimal points, comma separated.
    """
    names = [column.name for column in SWALE_COLUMNS]
    total_names = {column.name for column in TOTAL_COLUMNS}
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names, lineterminator="\n")
        writer.writeheader()
        writer.writerows(shielded_row(swale_row(swale, design.rates)) for swale in design.swales)
        if design.cost is not None:
            writer.writerow({"swale": "mobilisation", "cost": round(design.site.brief.rates.mobilisation)})
        summed = {name: value for name, value in totals(design).items() if name in total_names & set(names)}
        writer.writerow({"swale": "total"} | summed)
