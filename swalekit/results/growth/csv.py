"""The tables of a planting as CSV."""

import csv
from collections.abc import Sequence
from pathlib import Path

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.plant_table import (
    BILL_COLUMNS,
    CALENDAR_COLUMNS,
    NURSERY_COLUMNS,
    SCHEDULE_COLUMNS,
    SPECIES_COLUMNS,
    bill_rows,
    calendar_rows,
    nursery_rows,
    schedule_rows,
    species_rows,
)
from swalekit.design.growth.table import (
    GROW_COLUMNS,
    MONTH_COLUMNS,
    STAND_COLUMNS,
    YEAR_COLUMNS,
    Row,
    grow_row,
    month_rows,
    stand_rows,
    year_rows,
)
from swalekit.design.plan.columns import Column
from swalekit.formats.spreadsheet_text import shielded_row
from swalekit.results.growth.layers import TREE_COLUMNS, tree_rows


def write_growth_tables(growth: Growth, folder: str | Path) -> None:
    """Write the tables of a planting to a folder.

    Parameters
    ----------
    growth : Growth
        The planting.
    folder : str or Path
        Folder that is there. It gets ``planting.csv`` (a row a swale), ``trees.csv`` (a row a plant),
        ``water_year.csv``, ``years.csv`` (every month of the record), ``stand.csv`` (what the stand of each year wants
        and gets), ``species.csv``, ``schedule.csv``, ``nursery.csv``, ``calendar.csv`` and ``bill.csv``: UTF-8 with a
        byte order mark, decimal points, comma separated. Names that a spreadsheet would run as a formula get an
        apostrophe in front.
    """
    tables: tuple[tuple[str, Sequence[Row], tuple[Column, ...]], ...] = (
        ("planting", [grow_row(each) for each in growth.swales], GROW_COLUMNS),
        ("trees", tree_rows(growth), TREE_COLUMNS),
        ("water_year", month_rows(growth), MONTH_COLUMNS),
        ("years", year_rows(growth), YEAR_COLUMNS),
        ("stand", stand_rows(growth), STAND_COLUMNS),
        ("species", species_rows(growth), SPECIES_COLUMNS),
        ("schedule", schedule_rows(growth), SCHEDULE_COLUMNS),
        ("nursery", nursery_rows(growth), NURSERY_COLUMNS),
        ("calendar", calendar_rows(growth), CALENDAR_COLUMNS),
        ("bill", bill_rows(growth), BILL_COLUMNS),
    )
    for name, rows, columns in tables:
        with (Path(folder) / f"{name}.csv").open("w", encoding="utf-8-sig", newline="") as file:
            writer = csv.DictWriter(file, [column.name for column in columns], lineterminator="\n")
            writer.writeheader()
            writer.writerows(map(shielded_row, rows))
