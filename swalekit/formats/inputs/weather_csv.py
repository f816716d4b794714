"""Weather of a station: days, or monthly normals."""

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from swalekit.formats.table import TextRow, named, read_rows
from swalekit.planting.weather.made_year import MonthlyNormals, check_normals
from swalekit.planting.weather.weather import Place, Readings, Weather
from swalekit.units import MM_PER_INCH

Values = NDArray[np.float64]

_NEEDED = ("tmax_c", "tmin_c", "rain_mm")
_MONTHLY_NEEDED = (*_NEEDED, "rain_days")
_DAILY = (*_NEEDED, "rh_max_percent", "rh_min_percent", "rh_mean_percent", "wind_m_s", "sunshine_h", "solar_mj_m2")
_MONTHLY = (*_MONTHLY_NEEDED, "rh_mean_percent", "wind_m_s", "sunshine_h")
_US: dict[str, tuple[str, float, float]] = {
    "tmax_f": ("tmax_c", 5.0 / 9.0, -32.0),
    "tmin_f": ("tmin_c", 5.0 / 9.0, -32.0),
    "rain_in": ("rain_mm", MM_PER_INCH, 0.0),
    "wind_mph": ("wind_m_s", 0.44704, 0.0),
}
"""Column in US units -> its column in SI, the factor, and what is added before."""
_INSTEAD = "write a number, or nothing where no reading was taken"


def read_weather(path: str | Path, place: Place) -> tuple[Weather | MonthlyNormals, tuple[str, ...]]:
    r"""Read daily weather, or monthly normals of twelve rows.

    Parameters
    ----------
    path : str or Path
        Delimited text whose header names its columns: ``date`` (year-month-day) or ``month`` (1 to 12), ``tmax_c``,
        ``tmin_c`` and ``rain_mm``; of months ``rain_days`` too. Others may follow: ``rh_max_percent``,
        ``rh_min_percent``, ``rh_mean_percent``, ``wind_m_s``, ``sunshine_h``, ``solar_mj_m2``; of months
        ``rh_mean_percent``, ``wind_m_s``, ``sunshine_h``. ``tmax_f``, ``tmin_f``, ``rain_in`` and ``wind_mph`` are
        converted.
    place : Place
        Where the station stands.

    Returns
    -------
    Weather or MonthlyNormals
        What the file holds.
    tuple of str
        What a reader must know: readings that are missing.

    Raises
    ------
    InputError
        If a cell can't be read or a needed one is empty (with its line), or a reading can't be right (with its day and
        row, or its month).

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "weather.csv"
    ...     _ = path.write_text("date,tmax_f,tmin_c,rain_mm\n2001-01-01,50,2,0\n2001-01-02,59,3,4\n")
    ...     read_weather(path, Place(36.0, 105.0))[0].tmax_c
    array([10., 15.])
    """
    head, *rows = read_rows(path, what="weather")
    time = head.cells[0].lower()
    if time not in ("date", "month") or not rows:
        head.refuse(
            f"'{head.cells[0][:40]}' heads the first column of {len(rows)} rows; give a header that begins with date "
            "for days, or with month for monthly normals, and a row for each"
        )
    monthly = time == "month"
    columns = _columns(head, _MONTHLY if monthly else _DAILY, needed=_MONTHLY_NEEDED if monthly else _NEEDED)
    for row in rows:
        if len(row.cells) > len(head.cells):
            row.refuse(f"{len(row.cells)} cells under {len(head.cells)} heads; mend the row")
    if monthly:
        _check_months(rows)
    values = {name: _values(rows, column, name, scale) for name, (column, scale) in columns.items()}
    _check_whole(rows, values, _MONTHLY if monthly else _NEEDED)
    with named(head.file):
        if monthly:
            normals = MonthlyNormals(**values)
            check_normals(normals, place)
            return normals, ()
        dates = np.array([row.moment(0).date() for row in rows], "datetime64[D]")
        readings = Readings(**{name: column for name, column in values.items() if name not in _NEEDED})
        tmax_c, tmin_c, rain_mm = (values[name] for name in _NEEDED)
        return Weather(place, dates, tmax_c, tmin_c, rain_mm, readings), _gap_notes(values)


def _columns(
    head: TextRow, known: Sequence[str], *, needed: Sequence[str]
) -> dict[str, tuple[int, tuple[float, float]]]:
    """Place of each column, by its name in SI, with the factor and what is added before."""
    found: dict[str, tuple[int, tuple[float, float]]] = {}
    for place, cell in enumerate(head.cells[1:], 1):
        name, factor, added = _US.get(cell.lower(), (cell.lower(), 1.0, 0.0))
        if name not in known:
            near = get_close_matches(name, [*known, *_US], n=1)
            hint = f"did you mean '{near[0]}'?" if near else f"known are {', '.join(known)}"
            head.refuse(f"no column is called '{cell[:40]}'; {hint}")
        if name in found:
            head.refuse(f"{name} is given twice; keep one column of it")
        found[name] = (place, (factor, added))
    missing = [name for name in needed if name not in found]
    if missing:
        head.refuse(f"column {missing[0]} is missing; needed are {', '.join(needed)}")
    return found


def _values(rows: Sequence[TextRow], column: int, name: str, scale: tuple[float, float]) -> Values:
    """Readings of a column in SI, NaN where a cell is empty."""
    factor, added = scale
    read = [
        row.number(column, instead=_INSTEAD) if column < len(row.cells) and row.cells[column] else np.nan
        for row in rows
    ]
    return np.asarray((np.array(read, np.float64) + added) * factor)


def _check_months(rows: Sequence[TextRow]) -> None:
    """Check that a row stands for each month, January to December."""
    for number, row in enumerate(rows, 1):
        if number > 12 or row.number(0) != number:
            row.refuse(f"'{row.cells[0]}' where month {min(number, 12)} is expected; give months 1 to 12 in order")
    if len(rows) < 12:
        rows[-1].refuse(f"the last of {len(rows)} months; give twelve, 1 to 12")


def _check_whole(rows: Sequence[TextRow], values: Mapping[str, Values], needed: Sequence[str]) -> None:
    """Check that needed readings are all there; refuse the first gap with their number."""
    for name in needed:
        gaps = np.flatnonzero(np.isnan(values[name])) if name in values else np.zeros(0, np.intp)
        if gaps.size:
            more = f" (the first of {gaps.size})" if gaps.size > 1 else ""
            rows[gaps[0]].refuse(f"{name} is missing{more}; fill it from a station near by, or cut the record there")


def _gap_notes(values: Mapping[str, Values]) -> tuple[str, ...]:
    """How many readings of each kind are missing and filled."""
    counts = {name: int(np.count_nonzero(np.isnan(column))) for name, column in values.items()}
    gaps = [f"{name} on {count:,} of {values[name].size:,} days" for name, count in counts.items() if count]
    return (f"weather: no reading of {', '.join(gaps)}; filled the published way",) if gaps else ()
