"""Where results are told: summaries for machines, tables and lines for readers."""

import json
import signal
import sys
from collections.abc import Collection, Iterable, Sequence
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from swalekit.results.plan.read import read_summary

ROWS_SHOWN = 40
"""Rows of a table at most."""


def print_json(value: dict[str, Any]) -> None:
    """Print JSON for machines, in ASCII so that any pipe carries it.

    Parameters
    ----------
    value : dict
        What JSON can hold.

    Examples
    --------
    >>> print_json({"swales": 2})
    {
      "swales": 2
    }
    """
    _end_with_the_reader()
    sys.stdout.write(json.dumps(value, indent=2) + "\n")
    sys.stdout.flush()


def print_summary(folder: Path) -> None:
    """Print the summary in a folder of results, for machines.

    Parameters
    ----------
    folder : Path
        A folder with a ``summary.json``.
    """
    print_json(read_summary(folder, ()))


def print_first(words: str) -> None:
    """Print what is said before a result.

    Parameters
    ----------
    words : str
        A line; nothing is printed where it is empty.

    Examples
    --------
    >>> print_first("site.toml is planned anew")
    site.toml is planned anew
    >>> print_first("")
    """
    if words:
        print_lines(result_console(), words)


def result_console() -> Console:
    """Where results are printed: as wide as the terminal, 100 characters in a pipe.

    Returns
    -------
    Console
        Without colours or markup of its own.

    Examples
    --------
    >>> print_lines(result_console(), "results in plan")
    results in plan
    """
    _end_with_the_reader()
    return Console(width=None if sys.stdout.isatty() else 100, highlight=False, markup=False, emoji=False)


def print_table(
    console: Console,
    heads: Iterable[str],
    rows: Sequence[Sequence[str]],
    *,
    left: Collection[int] = (0,),
    most: int = ROWS_SHOWN,
    rest_in: str = "",
) -> None:
    """Print a table if it has rows.

    Parameters
    ----------
    console : Console
        From `result_console`.
    heads, rows : iterable of str, sequence of sequences of str
        Heads of the columns, and cells.
    left : collection of int
        Columns of text, which begin at the left.
    most : int
        Rows at most.
    rest_in : str
        File that holds the rows beyond the first, '' where it isn't told in the table.

    Examples
    --------
    >>> rows = [("S1", "71"), ("S2", "71"), ("S3", "9")]
    >>> print_table(result_console(), ("swale", "dug"), rows, most=2, rest_in="plan.csv")
    swale                 dug
    S1                     71
    S2                     71
    …      1 more in plan.csv
    """
    table = Table(box=None, pad_edge=False)
    for place, head in enumerate(heads):
        table.add_column(head, justify="left" if place in left else "right")
    for row in rows[:most]:
        table.add_row(*row)
    if rest_in and len(rows) > most:
        table.add_row("…", f"{len(rows) - most} more in {rest_in}")
    if table.row_count:
        console.print(table)


def print_lines(console: Console, *lines: str) -> None:
    """Print lines that a pipe gets whole.

    Parameters
    ----------
    console : Console
        From `result_console`.
    *lines : str
        The lines, which a terminal wraps.

    Examples
    --------
    >>> print_lines(result_console(), "note: [levels] interval_m 2", "results in plan")
    note: [levels] interval_m 2
    results in plan
    """
    for line in lines:
        console.print(line, soft_wrap=True)


def _end_with_the_reader() -> None:
    """From here on, with the results written, the command ends as others do when nobody reads what it prints."""
    if hasattr(signal, "SIGPIPE"):
        signal.signal(signal.SIGPIPE, signal.SIG_DFL)
