"""Survey point files: number, northing, easting, elevation and description, in the orders PNEZD and PENZD."""

import csv
import math
from pathlib import Path
from typing import Literal

import numpy as np

from swalekit._checks import check_one_of
from swalekit.formats.table import TextRow, read_rows, shielded, unshielded
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.units import METRES_PER

Order = Literal["PNEZD", "PENZD"]
Unit = Literal["m", "ft", "us-ft"]

ORDERS: tuple[Order, ...] = ("PNEZD", "PENZD")
_HEADING = {"P": "point", "N": "northing", "E": "easting", "Z": "elevation", "D": "description"}
_LETTERS = {"n": "N", "y": "N", "e": "E", "x": "E"}  # what a heading begins with -> the column
_DIGITS = 9  # of a point number, more than any instrument takes


def write_points(
    points: SurveyPoints, path: str | Path, *, order: Order = "PNEZD", unit: Unit = "m", header: bool = True
) -> None:
    """Write a row a point.

    Parameters
    ----------
    points : SurveyPoints
        The points.
    path : str or Path
        File to write: UTF-8 without a byte order mark, which many instruments take for a character; comma separated,
        three decimals; an unknown height stays empty.
    order : {"PNEZD", "PENZD"}
        Whether northing or easting comes first.
    unit : {"m", "ft", "us-ft"}
        Metres, international feet, or US survey feet.
    header : bool
        Whether the first row names the columns.

    Raises
    ------
    InputError
        If there is no such order or unit.

    Examples
    --------
    >>> import tempfile
    >>> points = SurveyPoints(number=np.array([7]), easting_m=np.array([10.0]), northing_m=np.array([20.0]),
    ...     height_m=np.array([101.5]), description=("S1 floor",))
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_points(points, Path(folder) / "points.csv", header=False)
    ...     print((Path(folder) / "points.csv").read_text().strip())
    7,20.000,10.000,101.500,S1 floor
    """
    check_one_of(ORDERS, order=order)
    check_one_of(list(METRES_PER), unit=unit)
    columns = {"N": points.northing_m, "E": points.easting_m, "Z": points.height_m}
    cells = ([_cell(value) for value in (columns[letter] / METRES_PER[unit]).tolist()] for letter in order[1:4])
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        if header:
            writer.writerow([_HEADING[letter] for letter in order])
        writer.writerows(zip(points.number.tolist(), *cells, map(shielded, points.description), strict=True))


def read_points(path: str | Path, *, order: Order = "PNEZD", unit: Unit = "m") -> SurveyPoints:
    """Read a point file.

    Parameters
    ----------
    path : str or Path
        File on this machine, with or without a heading. Cells are parted by commas, semicolons or tabs; beside the
        latter two a decimal comma is understood. What stands behind the fifth column belongs to the description.
    order : {"PNEZD", "PENZD"}
        Whether northing or easting comes first.
    unit : {"m", "ft", "us-ft"}
        Metres, international feet, or US survey feet.

    Returns
    -------
    SurveyPoints
        Points in the order of the file; the height is NaN where its cell is empty.

    Raises
    ------
    InputError
        If the file can't be read, a heading contradicts the order, a cell that should hold a number doesn't, or a point
        number comes twice; the message names file and line.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "points.csv"
    ...     _ = path.write_text("7,20.0,10.0,101.5,S1 floor")
    ...     read_points(path).northing_m
    array([20.])
    """
    check_one_of(ORDERS, order=order)
    check_one_of(list(METRES_PER), unit=unit)
    rows = read_rows(path, what="survey points")
    if rows[0].is_heading and not _is_number(rows[0].pointed(1)):
        _check_heading(rows[0], order)
        rows = rows[1:]
    numbers = [_number(row) for row in rows]
    _check_unique(rows, numbers)
    metres = METRES_PER[unit] * np.array([_place(row) for row in rows], np.float64).reshape(-1, 3)
    northing, easting = (order.index(letter) - 1 for letter in "NE")
    return SurveyPoints(
        number=np.array(numbers, np.int64),
        easting_m=metres[:, easting],
        northing_m=metres[:, northing],
        height_m=metres[:, 2],
        description=tuple(unshielded(", ".join(row.cells[4:])) for row in rows),
    )


def _cell(value: float) -> str:
    """A length with three decimals, empty where it isn't known."""
    return "" if np.isnan(value) else f"{value:.3f}"


def _is_number(cell: str) -> bool:
    """Whether a cell holds a number."""
    try:
        return math.isfinite(float(cell))
    except ValueError:
        return False


def _check_heading(row: TextRow, order: Order) -> None:
    """Check that a heading which names northing and easting names them in the order asked for."""
    named = "".join(_LETTERS.get(cell[:1].lower(), "?") for cell in row.cells[1:3])
    if named in {"NE", "EN"} and named != order[1:3]:
        row.refuse(f"'{row.cells[1]}' comes before '{row.cells[2]}', which is P{named}ZD and not {order} as asked for")


def _number(row: TextRow) -> int:
    """Point number in the first cell."""
    cell = row.cells[0]
    if not (cell.isascii() and cell.isdigit() and len(cell) <= _DIGITS):
        row.refuse(f"'{cell[:40]}' is no point number; it must be a whole number of at most {_DIGITS} digits")
    return int(cell)


def _place(row: TextRow) -> tuple[float, float, float]:
    """Two coordinates and the height, NaN where there is none."""
    height = row.number(3) if len(row.cells) > 3 and row.cells[3] else np.nan
    return row.number(1), row.number(2), height


def _check_unique(rows: list[TextRow], numbers: list[int]) -> None:
    """Check that no point number comes twice."""
    seen: dict[int, int] = {}
    for row, number in zip(rows, numbers, strict=True):
        if number in seen:
            row.refuse(f"point {number} stands in line {seen[number]} already; give one of them another number")
        seen[number] = row.line
