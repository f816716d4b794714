"""The tables of published numbers: read once, every row with its unit and source."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from swalekit._checks import check_one_of


@dataclass(frozen=True)
class TableRow:
    """One published number.

    Parameters
    ----------
    name : str
        What it belongs to.
    value : float
        The number, in ``unit``.
    unit : str
        Unit of the value.
    source : str
        Publication and table, or 'common practice'.

    Examples
    --------
    >>> print(TableRow("sand", 12.0, "%", "a handbook"))
    sand: 12 % (a handbook)
    """

    name: str
    value: float
    unit: str
    source: str

    def __str__(self) -> str:
        return f"{self.name}: {self.value:g} {self.unit} ({self.source})"


@cache
def read_table(table: str) -> tuple[dict[str, str], ...]:
    """Read the rows of ``tables/<table>.csv`` as printed.

    Parameters
    ----------
    table : str
        Name of the table, without ending.

    Returns
    -------
    tuple of dict
        One a row, texts by the names of the columns.

    Examples
    --------
    >>> read_table("swell")[0]["unit"]
    '%'
    """
    text = files("swalekit.tables").joinpath(f"{table}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


@cache
def named_rows(table: str) -> dict[str, TableRow]:
    """Read a table that has one number a name.

    Parameters
    ----------
    table : str
        Name of the table, without ending.

    Returns
    -------
    dict of str to TableRow
        Rows by name, in the order of the table.

    Examples
    --------
    >>> print(named_rows("swell")["earth"].value)
    25.0
    """
    return {
        row["name"]: TableRow(row["name"], float(row["value"]), row["unit"], row["source"]) for row in read_table(table)
    }


def named_row(table: str, **wanted: str) -> TableRow:
    """The row of ``table`` that bears the name given as the one keyword argument.

    Parameters
    ----------
    table : str
        Name of the table, without ending.
    **wanted : str
        One keyword: what is looked up (it opens the error) and its name.

    Returns
    -------
    TableRow
        Its value, unit and source.

    Raises
    ------
    InputError
        If the table has no row of that name; the nearest one is offered.

    Examples
    --------
    >>> named_row("soil_intake", texture="sandy loam").value
    10.9
    """
    rows = named_rows(table)
    check_one_of(tuple(rows), **wanted)
    (name,) = wanted.values()
    return rows[name]
