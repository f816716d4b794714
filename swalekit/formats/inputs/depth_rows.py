"""Rows of a time and a depth of water, as gauges and ring tests are noted down."""

from pathlib import Path

from swalekit._checks import check_one_of
from swalekit.formats.table import TextRow, read_rows
from swalekit.units import MM_PER_INCH

MM_PER: dict[str, float] = {"mm": 1.0, "in": MM_PER_INCH}
"""Millimetres in each unit that a depth may be given in."""


def read_depth_rows(path: str | Path, *, what: str, unit: str) -> list[TextRow]:
    r"""Read the rows under the heading of a file of depths, or all where it has none.

    Parameters
    ----------
    path : str or Path
        Delimited text, the time in the first column.
    what : str
        What the file holds, for messages.
    unit : str
        Unit of the depths, of `MM_PER`.

    Returns
    -------
    list of TextRow
        Rows in order; none where the heading is all there is.

    Raises
    ------
    InputError
        If there is no such unit, or the file can't be read.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "storm.csv"
    ...     _ = path.write_text("time,rain\n5,0.2\n10,0.4\n")
    ...     [row.number(1) for row in read_depth_rows(path, what="storm", unit="in")]
    [0.2, 0.4]
    """
    check_one_of(tuple(MM_PER), unit=unit)
    rows = read_rows(path, what=what)
    return rows[1:] if rows[0].is_heading else rows


def check_pairs(rows: list[TextRow], pair: str) -> None:
    """Check that every row has two cells.

    Parameters
    ----------
    rows : list of TextRow
        The rows.
    pair : str
        What the two are, for the message.

    Raises
    ------
    InputError
        If one has more or fewer, with its line.

    Examples
    --------
    >>> check_pairs([TextRow("storm 'a.csv'", 3, ("5", "0.2", "dry"))], "a time and a depth")
    Traceback (most recent call last):
        ...
    swalekit.errors.InputError: storm 'a.csv', line 3: 3 cells where a time and a depth are expected; keep these two \
columns
    """
    for row in rows:
        if len(row.cells) != 2:
            row.refuse(f"{len(row.cells)} cells where {pair} are expected; keep these two columns")


def refuse_fault(rows: list[TextRow], fault: tuple[int, str] | None) -> None:
    """Refuse the row in which something can't be right.

    Parameters
    ----------
    rows : list of TextRow
        The rows.
    fault : tuple of (int, str), optional
        Place of the row among them, and what is wrong with it; None where all is right.

    Raises
    ------
    InputError
        If there is a fault, with the line.

    Examples
    --------
    >>> refuse_fault([], None)
    """
    if fault is not None:
        rows[fault[0]].refuse(fault[1])
