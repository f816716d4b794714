"""Daily rain of a gauge."""

from pathlib import Path

import numpy as np

from swalekit.errors import InputError
from swalekit.formats.inputs.depth_rows import MM_PER, read_depth_rows, refuse_fault
from swalekit.formats.table import TextRow, named
from swalekit.hydrology.storm.daily_record import DailyRecord, record_fault

_INSTEAD = "write 0 for no rain or a trace, nothing where no reading was taken"


def read_daily_record(path: str | Path, *, unit: str = "mm") -> DailyRecord:
    r"""Read a record of one row a day: its date and its rain.

    Parameters
    ----------
    path : str or Path
        Delimited text with two columns, with or without a header row; dates are written year-month-day. A day with
        an empty depth, or without a row, is missing.
    unit : str
        Unit of the depths: ``mm`` or ``in``.

    Returns
    -------
    DailyRecord
        The record, in millimetres.

    Raises
    ------
    InputError
        If a row can't be read or can't be right (with its line), or the record holds no rain.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "rain.csv"
    ...     _ = path.write_text("date,in\n2001-01-01,0\n2001-01-02,1\n")
    ...     read_daily_record(path, unit="in").depth_mm
    array([ 0. , 25.4])
    """
    rows = read_depth_rows(path, what="daily rain", unit=unit)
    days = [(row, row.moment(0).date()) for row in rows]
    read = [(row, day) for row, day in days if _has_depth(row)]
    if not read:
        message = f"daily rain '{path}' holds no row with a date and a depth; look whether it is the right file"
        raise InputError(message)
    dates = np.array([day for _, day in read], "datetime64[D]")
    depth_mm = np.array([row.number(1, instead=_INSTEAD) * MM_PER[unit] for row, _ in read])
    refuse_fault([row for row, _ in read], record_fault(dates, depth_mm))
    with named(rows[0].file):
        return DailyRecord(dates, depth_mm)


def _has_depth(row: TextRow) -> bool:
    """Whether a row gives the depth of its day; more than two cells are refused, not guessed at."""
    if len(row.cells) > 2:
        row.refuse(
            f"{len(row.cells)} cells where a date and a depth are expected; keep these two columns, and part them by "
            "semicolons if commas are decimal"
        )
    return len(row.cells) == 2
