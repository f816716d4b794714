"""Tables as text: written so that every spreadsheet shows what is meant, read from whatever a spreadsheet saves."""

import csv
import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import NoReturn

from swalekit.design.plan.columns import Column, Entry
from swalekit.errors import InputError
from swalekit.formats.local_file import local_file

_MARKED = "utf-8-sig"
"""UTF-8 with a byte order mark, without which spreadsheets garble names in other scripts; read with or without it."""
_RUN = re.compile(r"'*[=+\-@\t\r]")  # what a spreadsheet takes for a formula, apostrophes in front or not
_SHIELDED = re.compile(r"'+[=+\-@\t\r]")
_DELIMITERS = (";", "\t", ",")
_GREATEST = 1e12  # what is larger measures nothing on earth
_SHOWN = 40  # characters of a faulty cell that a message repeats


def write_table(rows: Iterable[Mapping[str, Entry]], columns: Sequence[Column], path: str | Path) -> None:
    """Write rows under the names of their columns: every table that leaves the program, but for points of field gear.

    Parameters
    ----------
    rows : iterable of mapping
        Entries by the names of columns, rounded as they are written; one that a row lacks is left empty.
    columns : sequence of Column
        What they are; no row has another.
    path : str or Path
        File to write: UTF-8 with a byte order mark, decimal points, comma separated. Text that a spreadsheet would run
        as a formula gets an apostrophe in front.

    Examples
    --------
    >>> import tempfile
    >>> columns = [Column("swale", "", "its number"), Column("dug_m3", "m3", "soil cut")]
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "table.csv"
    ...     write_table([{"swale": "S1", "dug_m3": 12.5}], columns, path)
    ...     read_table(path, columns)
    [{'swale': 'S1', 'dug_m3': '12.5'}]
    """
    with Path(path).open("w", encoding=_MARKED, newline="") as file:
        writer = csv.DictWriter(file, [column.name for column in columns], lineterminator="\n")
        writer.writeheader()
        for row in rows:
            writer.writerow({name: shielded(entry) if isinstance(entry, str) else entry for name, entry in row.items()})


def read_table(path: str | Path, columns: Sequence[Column]) -> list[dict[str, str]]:
    """Read what `write_table` wrote: entries as text by the names of their columns.

    Parameters
    ----------
    path : str or Path
        What was written.
    columns : sequence of Column
        Its columns, in their order.

    Returns
    -------
    list of dict of str to str
        A row each, entries as text by the names of columns.

    Raises
    ------
    InputError
        If it can't be read or has other columns.
    """
    names = [column.name for column in columns]
    try:
        with Path(path).open(encoding=_MARKED, newline="") as file:
            header, *rows = csv.reader(file, strict=True)
        if header == names:
            return [dict(zip(names, map(unshielded, row), strict=True)) for row in rows]
        fault = "its columns are others"
    except (OSError, ValueError, csv.Error) as error:
        fault = str(error)
    message = f"'{path}' is not the table that was written there ({fault}); run the command that wrote it again"
    raise InputError(message)


def shielded(text: str) -> str:
    """Text with an apostrophe in front if a spreadsheet would take it for a formula.

    Parameters
    ----------
    text : str
        Text of a cell.

    Returns
    -------
    str
        The text, as it is safe to open.

    Examples
    --------
    >>> shielded("=1+1"), shielded("gate post")
    ("'=1+1", 'gate post')
    """
    return f"'{text}" if _RUN.match(text) else text


def unshielded(text: str) -> str:
    """Text as it was before `shielded`.

    Parameters
    ----------
    text : str
        Text of a cell as it was written.

    Returns
    -------
    str
        The text without the apostrophe that `shielded` put there.

    Examples
    --------
    >>> unshielded("'=1+1"), unshielded("'tis")
    ('=1+1', "'tis")
    """
    return text[1:] if _SHIELDED.match(text) else text


@dataclass(frozen=True)
class TextRow:
    """One line of a file, with all it takes to say where a fault is.

    Parameters
    ----------
    file : str
        What the file is and its path, to open a message.
    line : int
        Line in the file, from 1.
    cells : tuple of str
        Its cells without blanks round them or empty ones at the end.
    decimal_comma : bool
        Whether a comma in a number is decimal, as it may be where no comma parts the cells.

    Examples
    --------
    >>> TextRow("rain 'a.csv'", 7, ("2001-02-03", "4.5")).number(1)
    4.5
    """

    file: str
    line: int
    cells: tuple[str, ...]
    decimal_comma: bool = False

    @property
    def is_heading(self) -> bool:
        """Whether its first cell, where a date or a time is expected, holds no digit."""
        return not any(character.isdigit() for character in self.cells[0])

    def number(self, column: int, *, instead: str = "write one, like 12.5") -> float:
        """Number in a cell; an absent cell is an empty one.

        Parameters
        ----------
        column : int
            Place of the cell, from 0.
        instead : str
            What the error says to write instead.

        Returns
        -------
        float
            The number.

        Raises
        ------
        InputError
            If it isn't one, with file, line and column.

        Examples
        --------
        >>> TextRow("rain 'a.csv'", 7, ("2001-02-03", "4,5"), decimal_comma=True).number(1)
        4.5
        """
        cell = self.pointed(column)
        try:
            value = math.nan if "_" in cell else float(cell)  # Python reads 1_0 as ten
        except ValueError:
            value = math.nan
        if not abs(value) < _GREATEST:
            fault = "not a number" if math.isnan(value) else "too large a number"
            self.refuse(f"'{cell[:_SHOWN]}' in column {column + 1} is {fault}; {instead}")
        return value

    def pointed(self, column: int) -> str:
        """A cell that should hold a number, with a decimal point; an absent cell is an empty one.

        Parameters
        ----------
        column : int
            Place of the cell, from 0.

        Returns
        -------
        str
            The cell, '' where it is absent.

        Examples
        --------
        >>> TextRow("rain 'a.csv'", 7, ("4,5",), decimal_comma=True).pointed(0)
        '4.5'
        """
        cell = self.cells[column] if column < len(self.cells) else ""
        return cell.replace(",", ".") if self.decimal_comma else cell

    def moment(self, column: int) -> datetime:
        """Date, or date and time, in a cell.

        Parameters
        ----------
        column : int
            Place of the cell, from 0.

        Returns
        -------
        datetime
            Date and time, with a zone if the cell names one.

        Raises
        ------
        InputError
            If it is no date of the calendar, with file and line.

        Examples
        --------
        >>> TextRow("rain 'a.csv'", 7, ("2001-02-03", "4.5")).moment(0).date()
        datetime.date(2001, 2, 3)
        """
        try:
            return datetime.fromisoformat(self.cells[column])
        except ValueError:
            self.refuse(
                f"'{self.cells[column][:_SHOWN]}' is not a date; write one of the calendar, like 2001-12-31 or "
                "2001-12-31T18:30"
            )

    def refuse(self, fault: str) -> NoReturn:
        """Raise an `InputError` that names file and line.

        Parameters
        ----------
        fault : str
            What is wrong, and the way out.

        Raises
        ------
        InputError
            Always.
        """
        message = f"{self.file}, line {self.line}: {fault}"
        raise InputError(message)


@contextmanager
def named(file: str) -> Iterator[None]:
    """Put a file's name in front of what is wrong with the values that were read from it.

    Parameters
    ----------
    file : str
        What the file is and its path.

    Yields
    ------
    None
        While the values are worked on.

    Raises
    ------
    InputError
        What was raised meanwhile, under the file's name.

    Examples
    --------
    >>> with named("rain 'a.csv'"):
    ...     raise InputError("no rain")
    Traceback (most recent call last):
        ...
    swalekit.errors.InputError: rain 'a.csv': no rain
    """
    try:
        yield
    except InputError as error:
        message = f"{file}: {error}"
        raise InputError(message) from error


def read_rows(path: str | Path, *, what: str) -> list[TextRow]:
    r"""Read the lines of a delimited text file that hold anything.

    Parameters
    ----------
    path : str or Path
        File on this machine, UTF-8 with or without a byte order mark. Cells are parted by what stands in most lines:
        a semicolon, a tab or a comma. Where it is no comma, a comma in a number is taken as decimal.
    what : str
        What the file holds, for messages.

    Returns
    -------
    list of TextRow
        Rows in order; empty lines and those that start with ``#`` are left out.

    Raises
    ------
    InputError
        If the file can't be read, is no text, or holds no rows.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "storm.csv"
    ...     _ = path.write_text("min;mm\n5;0,4\n")
    ...     read_rows(path, what="storm")[1].number(1)
    0.4
    """
    name = f"{what} '{path}'"
    try:
        text = local_file(path, what=what, error=InputError).read_text(encoding=_MARKED)
    except UnicodeDecodeError as fault:
        message = f"{name} is not plain text in UTF-8 ({fault.reason}); save it again as CSV in UTF-8"
        raise InputError(message) from fault
    except OSError as fault:
        message = f"{name} can't be read ({fault.strerror}); check its permissions"
        raise InputError(message) from fault
    if "\0" in text:
        message = f"{name} is not plain text (it holds NUL characters); save it again as CSV in UTF-8"
        raise InputError(message)
    lines = text.splitlines()
    delimiter = max(_DELIMITERS, key=lambda mark: sum(mark in line for line in lines))
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    try:
        rows = [TextRow(name, reader.line_num, _cells(row), delimiter != ",") for row in reader]
    except csv.Error as fault:
        message = (
            f"{name}, up to line {reader.line_num}: {fault}; look for a quotation mark without its partner, or for a "
            "line that is no row of cells"
        )
        raise InputError(message) from fault
    held = [row for row in rows if row.cells and not row.cells[0].startswith("#")]
    if not held:
        message = f"{name} holds no rows; save it again"
        raise InputError(message)
    return held


def _cells(row: list[str]) -> tuple[str, ...]:
    """Cells of a row up to the last that isn't empty."""
    cells = [" ".join(cell.split()) for cell in row]
    while cells and not cells[-1]:
        cells.pop()
    return tuple(cells)
