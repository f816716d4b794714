"""One feature of a file of lines: its shape, its name and state, its own settings, and whether it was edited."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from re import fullmatch
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_between, check_finite, check_one_of
from swalekit.design.brief.decided_lines import DRAWN, LAPSED, LINE_STATES, PROPOSED, DecidedLine, OwnSettings
from swalekit.errors import GeometryError, InputError
from swalekit.formats.exchange.line_mark import LineMark
from swalekit.formats.exchange.lines_layer import LINE_COLUMNS
from swalekit.formats.inputs.layer_file import check_degrees, plain_value
from swalekit.formats.inputs.polygons import property_number

_MOST_VERTICES = 100_000
_LONGEST_NAME, _LONGEST_NOTE = 40, 1000
_LEAST_IN_RING = 4
"""Vertices of a closed line, its first and last counted both."""
_SHORTENED = 10
"""Characters that a shapefile leaves of a column's name."""
_YES, _NO = ("true", "yes", "y", "t", "1", "1.0"), ("false", "no", "n", "f", "0", "0.0")
_NUMBERS = (
    *("bottom_width_m", "uphill_side_slope", "downhill_side_slope", "depth_m", "crest_width_m", "freeboard_m"),
    *("sill_length_m", "sill_at_m"),
)
_MOST_NUMBER = 10**9 - 1
_STAND_IN = "S1"
"""Name under which a line without one is checked until it gets its number."""


@dataclass(frozen=True)
class LineFeature:
    """A feature as it is taken.

    Parameters
    ----------
    number : int
        In the file, from 1.
    name : str
        As the file has it; '' for none.
    line : DecidedLine
        Under that name, or any where it has none.
    stated : bool
        Whether the file says its state.
    marked : bool
        Whether the file says what its shape was when it was laid.
    edited : bool
        Whether that was another.
    last_number : int
        Highest number that any line of the project was given, as the file says it; 0 where it doesn't.
    """

    number: int
    name: str
    line: DecidedLine
    stated: bool
    marked: bool
    edited: bool
    last_number: int = 0

    @property
    def length(self) -> float:
        """Length in the unit of the CRS."""
        return float(shapely.LineString(self.line.xy).length)


def columns_read(given: Iterable[str]) -> dict[str, str]:
    """Which columns of a file are which of a file of lines.

    Parameters
    ----------
    given : iterable of str
        Names in the file, in any case; a shapefile's may be shortened.

    Returns
    -------
    dict of str to str
        Name in `LINE_COLUMNS` -> name in the file.

    Examples
    --------
    >>> columns_read(["Name", "sill_lengt", "colour"])
    {'name': 'Name', 'sill_length_m': 'sill_lengt'}
    """
    plain = {name.strip().lower(): name for name in reversed(list(given))}
    found = ((column.name, plain.get(column.name, plain.get(column.name[:_SHORTENED]))) for column in LINE_COLUMNS)
    return {ours: theirs for ours, theirs in found if theirs is not None}


def line_feature(
    number: int, geometry: BaseGeometry, entries: Mapping[str, Any], *, crs: CRS, file: str
) -> LineFeature:
    """Take a feature.

    Parameters
    ----------
    number : int
        In the file, from 1.
    geometry : shapely geometry
        A line, or a multi-line of one part; heights are dropped.
    entries : mapping
        Values by the names of `LINE_COLUMNS`, of which any may be missing or None.
    crs : CRS
        Of the geometry.
    file : str
        What the file is, for messages.

    Returns
    -------
    LineFeature
        A line without a state is drawn, unless it is marked and as it was laid; one that was proposed, and is another
        shape now, is drawn.

    Raises
    ------
    GeometryError
        If it is no line, or a value breaks a rule; in one line that names the feature.

    Examples
    --------
    >>> stroke, utm = shapely.LineString([(562_000.0, 4_132_000.0), (562_030.0, 4_132_001.0)]), CRS.from_epsg(32630)
    >>> line_feature(3, stroke, {"name": "s7", "state": " Held "}, crs=utm, file="lines 'site.gpkg'").line
    DecidedLine(S7, held, OwnSettings())
    """
    values = {name: _filled(plain_value(value)) for name, value in entries.items()}
    name = _name(values.get("name"))
    where = f"{file}, feature {number}" + (f" ({name[:_LONGEST_NAME]})" if name else "")
    try:
        xy, closed = _vertices(geometry)
        check_degrees(geometry, crs, where)
        if len(name) > _LONGEST_NAME:
            message = f"name has {len(name)} characters; {_LONGEST_NAME} are the most"
            raise InputError(message)
        own, level_m = _own(values), _number("level_m", values.get("level_m"))
        mark = LineMark.from_text(values.get("as_laid"))
        edited = mark is not None and not mark.is_of(LineMark.of(xy, closed=closed, crs=crs))
        stated = _state(values.get("state"))
        state = stated or (PROPOSED if mark is not None else DRAWN)
        if edited and state in (PROPOSED, LAPSED):
            state = DRAWN
        line = DecidedLine(name or _STAND_IN, state, xy, closed, level_m, own)
        last_number = _whole("last_number", values.get("last_number"), least=0) or 0
        check_between(0, _MOST_NUMBER, last_number=last_number)
    except GeometryError:
        raise
    except InputError as error:
        message = f"{where}: {error}"
        raise GeometryError(message) from error
    return LineFeature(number, name, line, stated != "", mark is not None, edited, last_number)


def _vertices(geometry: BaseGeometry) -> tuple[NDArray[np.float64], bool]:
    """Vertices of a line, each once, and whether it is closed."""
    parts = [part for part in shapely.get_parts(geometry) if not part.is_empty]
    kinds = {part.geom_type for part in parts}
    if not kinds <= {"LineString", "LinearRing"}:
        message = f"it is a {geometry.geom_type}; draw it as a line"
        raise InputError(message)
    if len(parts) > 1:
        message = f"it has {len(parts)} parts; make it a feature a part, or join them"
        raise InputError(message)
    path = shapely.get_coordinates(parts[0])
    if len(path) > _MOST_VERTICES:
        message = f"it has {len(path):,} vertices; simplify it to {_MOST_VERTICES:,} or fewer"
        raise InputError(message)
    if not np.isfinite(path).all():
        message = "it has a vertex that is no finite place; draw it again"
        raise InputError(message)
    path = path[np.append(True, (path[1:] != path[:-1]).any(axis=1))]
    if len(path) < 2:
        message = "it has no length; draw it again or delete it"
        raise InputError(message)
    closed = len(path) >= _LEAST_IN_RING and bool((path[0] == path[-1]).all())
    return path[:-1] if closed else path, closed


def _own(values: Mapping[str, Any]) -> OwnSettings:
    note = " ".join(str(values.get("note") or "").split())
    if len(note) > _LONGEST_NOTE:
        message = f"note has {len(note)} characters; {_LONGEST_NOTE} are the most"
        raise InputError(message)
    numbers = {name: _number(name, values.get(name)) for name in _NUMBERS}
    planting, stage = _yes_no(values.get("planting")), _whole("stage", values.get("stage"), least=1)
    return OwnSettings(**numbers, planting=planting, stage=stage, note=note)


def _filled(value: object) -> object:
    """A value; None for a text of blanks."""
    return None if isinstance(value, str) and not value.strip() else value


def _name(value: object) -> str:
    if value is None:
        return ""
    name = f"{value:g}" if isinstance(value, float) else str(value).strip()
    return name.upper() if fullmatch(r"s[1-9]\d{0,8}", name) else name


def _state(value: object) -> str:
    if value is None:
        return ""
    state = " ".join(str(value).lower().split())
    check_one_of(LINE_STATES, state=state)
    return state


def _number(name: str, value: object) -> float | None:
    if value is None:
        return None
    number = property_number(name, value)
    check_finite(**{name: number})
    return number


def _whole(name: str, value: object, *, least: int) -> int | None:
    number = _number(name, value)
    if number is not None and not number.is_integer():
        message = f"{name} is {number:g}; give a whole number, from {least}"
        raise InputError(message)
    return None if number is None else int(number)


def _yes_no(value: object) -> bool | None:
    if value is None or isinstance(value, bool):
        return value
    word = str(value).strip().lower()
    if word not in (*_YES, *_NO):
        message = f"planting is {value!r}; give true or false"
        raise InputError(message)
    return word in _YES
