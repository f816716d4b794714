"""Points measured on bare ground, which say how good a terrain tile is."""

import re
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Transformer

from swalekit._checks import check_one_of
from swalekit.formats.table import TextRow, named, read_rows
from swalekit.formats.terrain.metric_crs import parse_crs
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.units import METRES_PER

_SPELLINGS = {
    "easting": ("easting", "east", "e", "x", "longitude", "long", "lon"),
    "northing": ("northing", "north", "n", "y", "latitude", "lat"),
    "height": ("height", "elevation", "elev", "z", "h", "level"),
    "name": ("name", "point name", "id", "point", "point id", "point number", "number"),
}
"""What each column may be called, besides its unit."""
_NEEDED = ("easting", "northing", "height")
_COLUMN_OF = {spelling: column for column, spellings in _SPELLINGS.items() for spelling in spellings}
_DEGREES = ("longitude", "long", "lon", "latitude", "lat")
_UNITS = {"m": "m", "metre": "m", "metres": "m", "meters": "m", "ft": "ft", "feet": "ft", "us ft": "us-ft"} | {
    "usft": "us-ft",
    "ftus": "us-ft",
}
_HEAD = re.compile(r"(.*?)\s*(?:\b(" + "|".join(_UNITS) + r")\b\s*)?")
_LOWEST_M, _HIGHEST_M = -12_000.0, 9_000.0
_LONGEST_NAME = 40
_SAME_PLACE_M = 0.01
_UNIT_PRECISION = 1e-7
"""The two feet differ by 6e-7 m."""
_SHOWN = 12


def read_measured_points(
    path: str | Path, to_crs: CRS, *, crs: str | None = None, unit: str | None = None
) -> tuple[SurveyPoints, tuple[str, ...]]:
    r"""Read points measured by level or satellite receiver.

    Parameters
    ----------
    path : str or Path
        Delimited text whose first row names its columns: ``easting_m``, ``northing_m`` and ``height_m``, and ``name``
        where there is one. Usual other spellings are known (east, e, x; north, n, y; elevation, z; id, point; longitude
        and latitude), a unit may stand behind them, and further columns may be there.
    to_crs : CRS
        CRS in which the points are wanted, that of the terrain.
    crs : str, optional
        CRS of the file, as an EPSG code or WKT; ``to_crs`` unless given. Heights stay as they are.
    unit : {"m", "ft", "us-ft"}, optional
        Unit of the heights where their column names none; metres unless given.

    Returns
    -------
    points : SurveyPoints
        In ``to_crs``, heights in metres, the name as description; where there is none the number of the point.
    notes : tuple of str
        Points and names that are there more than once.

    Raises
    ------
    InputError
        If the file can't be read or lacks a column, if two units are named, or if a row holds no number or lies where
        the CRS has no place (with its line).

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "points.csv"
    ...     _ = path.write_text("name;E;N;Z (ft)\ngate;500010,5;3999990;328,0\n")
    ...     points, _ = read_measured_points(path, CRS("EPSG:32630"))
    >>> points.description, points.height_m.round(2)
    (('gate',), array([99.97]))
    """
    head, *rows = read_rows(path, what="measured points")
    columns, degrees, units = _columns(head)
    own_unit = units.get("height", "")
    if not rows:
        head.refuse("no point stands below it; add a row a point")
    with named(head.file):
        source = to_crs if crs is None else parse_crs(crs)
        if unit is not None:
            check_one_of(tuple(METRES_PER), points_unit=unit)
    if degrees and not source.is_geographic:
        head.refuse('its columns are in degrees; name their CRS by points_crs, as "EPSG:4326"')
    for axis, column in zip(source.axis_info, ("easting", "northing"), strict=False):
        of = METRES_PER[units.get(column) or "m"]
        if column in units and not degrees and abs(of - axis.unit_conversion_factor) > _UNIT_PRECISION:
            head.refuse(
                f"the {column} is in {units[column]} there, but {source.name} is in units of a {axis.unit_name}; "
                "name the CRS of the points by points_crs"
            )
    if own_unit and unit and own_unit != unit:
        head.refuse(f'the heights are in {own_unit} there, but points_unit is "{unit}"; leave points_unit out')
    values = np.array([[_number(row, columns[column], column) for column in _NEEDED] for row in rows])
    height_m = METRES_PER[own_unit or unit or "m"] * values[:, 2]
    easting_m, northing_m = Transformer.from_crs(source, to_crs, always_xy=True).transform(*values[:, :2].T)
    for row, place, height in zip(rows, np.column_stack([easting_m, northing_m]), height_m.tolist(), strict=True):
        if not np.isfinite(place).all():
            row.refuse(f"the point lies where {to_crs.name} has no place; name the CRS of the points by points_crs")
        if not _LOWEST_M <= height <= _HIGHEST_M:
            row.refuse(f"a height of {height:g} m is none on earth; check the column and points_unit")
    names = [_name(row, columns.get("name"), number) for number, row in enumerate(rows, 1)]
    again = _said_before(easting_m, northing_m, height_m)
    kept = np.setdiff1d(np.arange(len(rows)), again)
    points = SurveyPoints(
        number=kept + 1,
        easting_m=easting_m[kept],
        northing_m=northing_m[kept],
        height_m=height_m[kept],
        description=tuple(names[place] for place in kept),
    )
    lines = [str(rows[place].line) for place in again]
    notes = [f"{head.file}: lines that say again what one before says are left out: {_few(lines)}"] if lines else []
    return points, (*notes, *(f"{head.file}: {note}" for note in _twice(points)))


def _columns(head: TextRow) -> tuple[dict[str, int], bool, dict[str, str]]:
    """Place of each column by its name, whether places are in degrees, and units by column where they are named."""
    columns, units, degrees = dict[str, int](), dict[str, str](), False
    for place, cell in enumerate(head.cells):
        spelling, of = _spelling(cell)
        column = _COLUMN_OF.get(spelling)
        if column is None:
            continue
        if column in columns:
            head.refuse(f"'{head.cells[columns[column]]}' and '{cell}' both name the {column}; rename or delete one")
        columns[column] = place
        degrees |= spelling in _DEGREES
        if of:
            units[column] = of
    for column in _NEEDED:
        if column not in columns:
            near = get_close_matches(column, [cell.lower() for cell in head.cells], n=1)
            hint = f"is it '{near[0]}'?" if near else "the first row names the columns"
            head.refuse(f"there is no column {column}_m; {hint} Needed are easting_m, northing_m and height_m")
    return columns, degrees, units


def _spelling(cell: str) -> tuple[str, str]:
    """Name of a column in small letters without its unit, and that unit, '' if there is none."""
    plain = " ".join(re.sub(r"[^\w]|_", " ", cell.lower()).split())
    found = _HEAD.fullmatch(plain)
    name, unit = (found[1], found[2] or "") if found else (plain, "")
    return (name, _UNITS[unit]) if name and unit else (plain, "")


def _number(row: TextRow, place: int, column: str) -> float:
    return row.number(place, instead=f"write the {column} as a number, or take the row out")


def _name(row: TextRow, place: int | None, number: int) -> str:
    """Name of a point, its number where it has none."""
    given = "" if place is None or place >= len(row.cells) else row.cells[place]
    return given[:_LONGEST_NAME] or str(number)


def _said_before(*values: NDArray[np.float64]) -> list[int]:
    """Rows that repeat an earlier one."""
    seen: set[tuple[float, ...]] = set()
    again = []
    for place, row in enumerate(zip(*(column.tolist() for column in values), strict=True)):
        if row in seen:
            again.append(place)
        seen.add(row)
    return again


def _twice(points: SurveyPoints) -> list[str]:
    """What is there for several points: a place, a name."""
    notes, places, names = [], dict[tuple[int, int], int](), dict[str, int]()
    cells = np.rint(np.column_stack([points.easting_m, points.northing_m]) / _SAME_PLACE_M).astype(np.int64).tolist()
    for index, (east, north) in enumerate(cells):
        first = places.setdefault((east, north), index)
        if first != index:
            apart_m = abs(points.height_m[index] - points.height_m[first])
            notes.append(
                f"'{points.description[first]}' and '{points.description[index]}' lie at one place with heights "
                f"{apart_m:.3f} m apart; both count"
            )
    for name in points.description:
        names[name] = names.get(name, 0) + 1
    several = [f"'{name}'" for name, count in names.items() if count > 1]
    return [*notes[:_SHOWN], *([f"names that several points have: {_few(several)}"] if several else [])]


def _few(words: Sequence[str]) -> str:
    more = f" and {len(words) - _SHOWN} more" if len(words) > _SHOWN else ""
    return ", ".join(words[:_SHOWN]) + more
