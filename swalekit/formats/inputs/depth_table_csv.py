"""Rainfall atlas tables: depth or intensity by duration and return period."""

import re
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_one_of
from swalekit.errors import InputError
from swalekit.formats.inputs.depth_rows import MM_PER, refuse_fault
from swalekit.formats.table import TextRow, read_rows
from swalekit.hydrology.storm.depth_table import DepthTable, return_period_fault, table_fault

DEPTH_UNITS = ("mm", "in", "mm/h", "in/h")

_HOURS = {
    name: hours
    for hours, names in (
        (1.0 / 60.0, ("min", "mins", "minute", "minutes")),
        (1.0, ("h", "hr", "hrs", "hour", "hours")),
        (24.0, ("d", "day", "days")),
    )
    for name in names
}
_DURATION = re.compile(r"(\d+(?:\.\d+)?)[\s-]*([a-z]*)\.?\s*:?", re.IGNORECASE)
_RETURN_PERIOD = re.compile(r"(?:1/)?(\d+(?:\.\d+)?)[\s-]*(?:y|yr|yrs|year|years)?\.?", re.IGNORECASE)


def read_depth_table(path: str | Path, *, unit: str) -> DepthTable:
    r"""Read a table of rain by duration and return period.

    Parameters
    ----------
    path : str or Path
        Delimited text. After any preamble comes a header row with the return periods in years (``1``, ``2 yr``, or as
        a yearly probability ``1/10``), then a row a duration: first its length (``5-min``, ``1 h``, ``24-hr``,
        ``2-day``, or a bare number where the header's first cell names minutes, hours or days), then the values.
    unit : str
        What the values are: depths in ``mm`` or ``in``, intensities in ``mm/h`` or ``in/h``.

    Returns
    -------
    DepthTable
        The table, in millimetres.

    Raises
    ------
    InputError
        If the unit is unknown, no table is found, a cell can't be read (with its line), or the depths are out of order.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "atlas.csv"
    ...     _ = path.write_text("duration,2 yr,10 yr\n1 h,20,30\n24-hr,50,80\n")
    ...     read_depth_table(path, unit="mm").depth_mm_at(24.0, 10.0)
    80.0
    """
    check_one_of(DEPTH_UNITS, unit=unit)
    rows = read_rows(path, what="depth table")
    header, rows = _split_at_header(rows)
    return_periods_y = _return_periods_y(header)
    usual, columns = _unit_named(header.cells[0]), range(1, len(header.cells))
    held, durations_h, depth_mm = [], [], []
    for row in rows:
        duration_h = _duration_h(row.pointed(0), usual)
        if duration_h is None and len(row.cells) == 1:
            continue  # a remark below the table
        if duration_h is None:
            row.refuse(f"'{row.cells[0]}' is no duration, like 30-min, 6 h or 2-day; a file holds one table only")
        if len(row.cells) > len(header.cells):
            row.refuse(f"{len(row.cells) - 1} values for {len(columns)} return periods; give one for each")
        held.append(row)
        durations_h.append(duration_h)
        depth_mm.append([_depth_mm(row.number(column), duration_h, unit) for column in columns])
    table = np.array(durations_h), return_periods_y, np.array(depth_mm)
    refuse_fault(held, table_fault(*table))
    return DepthTable(*table)


def _split_at_header(rows: list[TextRow]) -> tuple[TextRow, list[TextRow]]:
    """Header of the table, which is the row before its first duration, and all rows after it."""
    for at, (header, row) in enumerate(pairwise(rows), start=1):
        durations = _duration_h(row.pointed(0), _unit_named(header.cells[0]))
        if durations is not None and len(header.cells) > 1 and len(row.cells) > 1:
            if _duration_h(header.pointed(0), None) is not None:
                header.refuse(f"'{header.cells[0]}' is a duration where the return periods should be; add a header row")
            return header, rows[at:]
    message = (
        f"{rows[0].file} holds no table: after a header row with return periods in years, each row must start with a "
        "duration, like 30-min, 6 h or 2-day"
    )
    raise InputError(message)


def _return_periods_y(header: TextRow) -> NDArray[np.float64]:
    """Return periods of the header."""
    years = [_return_period_y(header.pointed(column)) for column in range(1, len(header.cells))]
    if None in years:
        header.refuse(f"return periods {', '.join(header.cells[1:])} are not all numbers of years, like 2, 10")
    return_periods_y = np.array(years, np.float64)
    fault = return_period_fault(return_periods_y)
    if fault is not None:
        header.refuse(fault)
    return return_periods_y


def _duration_h(cell: str, usual: str | None) -> float | None:
    """Duration that a cell gives, in hours; None if it gives none."""
    match = _DURATION.fullmatch(cell)
    if match is None:
        return None
    hours = _HOURS.get(match[2].lower() or usual or "")
    return None if hours is None else float(match[1]) * hours


def _return_period_y(cell: str) -> float | None:
    """Return period that a cell gives, in years; None if it gives none."""
    match = _RETURN_PERIOD.fullmatch(cell)
    return None if match is None else float(match[1])


def _unit_named(cell: str) -> str | None:
    """Unit of time that a heading names; None if it names none."""
    return next((word for word in re.findall(r"[a-z]+", cell.lower()) if word in _HOURS), None)


def _depth_mm(value: float, duration_h: float, unit: str) -> float:
    """Depth that a value of the table means [mm]."""
    length, _, per_hour = unit.partition("/")
    return value * MM_PER[length] * (duration_h if per_hour else 1.0)
