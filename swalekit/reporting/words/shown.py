"""Figures as a reader sees them, in metric or US units."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from swalekit.design.brief.decided_lines import line_number
from swalekit.units import METRES_PER_FOOT, name_of_unit, with_unit

ShownColumn = tuple[str, str, str, int]
"""Head of a column, name of its figure, its unit, decimals."""


def shown(value: float | None, unit: str, *, units: str, decimals: int = 0) -> str:
    """Number with its unit.

    Parameters
    ----------
    value : float or None
        In SI; None is shown as a dash.
    unit : str
        SI unit of the value, as `swalekit.units.to_us` knows it.
    units : str
        ``metric`` or ``us``.
    decimals : int
        Digits after the point in SI; acres get two more than square metres, inches one more than millimetres.

    Returns
    -------
    str
        Number, with commas between thousands, and unit.

    Examples
    --------
    >>> shown(1234.5, "m3", units="metric"), shown(25.4, "mm", units="us", decimals=1), shown(None, "m", units="us")
    ('1,234 m³', '1.00 in', '–')
    """
    return "–" if value is None else with_unit(value, unit, units=units, decimals=decimals)


def small_area(area_m2: float, *, units: str) -> str:
    """Area of a bed or a row of trees in square metres or square feet.

    Parameters
    ----------
    area_m2 : float
        Area [m²].
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        Number and unit.

    Examples
    --------
    >>> small_area(8.4, units="metric"), small_area(8.4, units="us")
    ('8 m²', '90 ft²')
    """
    return f"{area_m2 / METRES_PER_FOOT**2:,.0f} ft²" if units == "us" else f"{area_m2:,.0f} m²"


def number(value: float | None, unit: str, *, units: str, decimals: int = 0) -> str:
    """Number without its unit, for a table whose header names it.

    Parameters
    ----------
    value : float or None
        In SI; None is shown as a dash.
    unit : str
        SI unit of the value.
    units : str
        ``metric`` or ``us``.
    decimals : int
        Digits after the point, as `shown` takes them.

    Returns
    -------
    str
        The number, with commas between thousands.

    Examples
    --------
    >>> number(1234.5, "m3", units="us")
    '1,615'
    """
    return shown(value, unit, units=units, decimals=decimals).split(" ")[0]


_FIGURE = r"(?<![\w.:/,+])\d[\d,]*(?:\.\d+)?"
_METRIC = re.compile(
    rf"({_FIGURE})(?:( to | or |–| and )({_FIGURE}))? (m3/s|m³/s|m3|m³|m2|m²|mm/h|mm|cm|ha|m)(?![\w³²/])"
)
_SI_OF = {"m³": "m3", "m²": "m2", "m2": "m2", "ha": "m2", "cm": "mm"}
_PER_SI = {"ha": 10_000.0, "cm": 10.0}
_SMALL_M2 = 2000.0
"""Areas below this are told in square feet: half an acre."""


def in_units(text: str, *, units: str) -> str:
    """A sentence with its metric figures as a reader sees them.

    Parameters
    ----------
    text : str
        A sentence of the design, as a caution or a note, whose figures stand before their unit.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        The same for a metric reader; else lengths, depths, areas and volumes in feet, inches, acres or square feet and
        cubic yards, to as many digits after the point as before, inches to one more. Flows stay.

    Examples
    --------
    >>> in_units("its fill stands up to 1.25 m above the ground", units="us")
    'its fill stands up to 4.10 ft above the ground'
    >>> in_units("S67 236 or 515 m2, levels 400.0 to 410.0 m, 30 m³ of a 50.0 mm storm, 0.21 m³/s", units="us")
    'S67 2,540 or 5,543 ft², levels 1,312.3 to 1,345.1 ft, 39 yd³ of a 1.97 in storm, 0.21 m³/s'
    """
    return text if units != "us" else _METRIC.sub(_in_us, text)


def _in_us(found: re.Match[str]) -> str:
    first, between, second, unit = found.groups()
    if unit in ("m3/s", "m³/s"):
        return found[0]
    figures = [figure for figure in (first, second) if figure]
    si = _SI_OF.get(unit, unit)
    values = [float(figure.replace(",", "")) * _PER_SI.get(unit, 1.0) for figure in figures]
    decimals = max(len(figure.partition(".")[2]) for figure in figures)
    if si == "m2" and max(values) < _SMALL_M2:
        told = [f"{value / METRES_PER_FOOT**2:,.0f} ft²" for value in values]
    else:
        told = [with_unit(value, si, units="us", decimals=decimals) for value in values]
    return told[0] if len(told) == 1 else f"{told[0].split(' ')[0]}{between}{told[1]}"


def unit_name(unit: str, *, units: str) -> str:
    """Unit as a header names it.

    Parameters
    ----------
    unit : str
        SI unit, as `swalekit.units.to_us` knows it.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        The reader's unit.

    Examples
    --------
    >>> unit_name("m3", units="us")
    'yd³'
    """
    return name_of_unit(unit, units=units)


def heads(columns: Iterable[ShownColumn], *, units: str) -> tuple[str, ...]:
    r"""Heads of columns with their units below.

    Parameters
    ----------
    columns : iterable of ShownColumn
        The columns.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    tuple of str
        Head, line end and unit of each; the line below is empty where there is no unit.

    Examples
    --------
    >>> heads([("Dug", "dug_m3", "m3", 0)], units="us")
    ('Dug\nyd³',)
    """
    return tuple(f"{head}\n{unit_name(unit, units=units)}" for head, _, unit, _ in columns)


def cells(row: Mapping[str, Any], columns: Iterable[ShownColumn], *, units: str) -> tuple[str, ...]:
    """Figures of a row in columns that name their units, words as they are.

    Parameters
    ----------
    row : mapping
        Figures in SI by their names; None is shown as a dash.
    columns : iterable of ShownColumn
        Those that are asked for.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    tuple of str
        A cell for each column.

    Examples
    --------
    >>> cells({"dug_m3": 1234.5, "cost": None}, [("Dug", "dug_m3", "m3", 0), ("Cost", "cost", "", 0)], units="metric")
    ('1,234', '–')
    """
    return tuple(
        row[name] if isinstance(row[name], str) else number(row[name], unit, units=units, decimals=digits)
        for _, name, unit, digits in columns
    )


def table_of(
    rows: Iterable[Mapping[str, Any]], columns: Iterable[ShownColumn], *, units: str
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    r"""Heads and rows of a table; heads without a unit are no line longer.

    Parameters
    ----------
    rows : iterable of mapping
        Figures in SI by their names.
    columns : iterable of ShownColumn
        The columns.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    tuple of str
        Heads.
    tuple of tuple of str
        Cells of each row.

    Examples
    --------
    >>> columns = [("Swale", "swale", "", 0), ("Dug", "dug_m3", "m3", 0)]
    >>> table_of([{"swale": "S1", "dug_m3": 12.0}], columns, units="metric")
    (('Swale', 'Dug\nm³'), (('S1', '12'),))
    """
    columns = list(columns)
    header = tuple(head.rstrip() for head in heads(columns, units=units))
    return header, tuple(cells(row, columns, units=units) for row in rows)


def area_shown(area_m2: float, *, units: str) -> str:
    """Area in hectares or acres.

    Parameters
    ----------
    area_m2 : float
        Area [m²].
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        Area with its unit, to a hundredth.

    Examples
    --------
    >>> area_shown(12_345.0, units="metric")
    '1.23 ha'
    """
    return shown(area_m2, "m2", units=units) if units == "us" else f"{area_m2 / 10_000:.2f} ha"


def listed(ids: Iterable[str]) -> str:
    """Names of swales in one phrase, runs of numbers joined.

    Parameters
    ----------
    ids : iterable of str
        Numbers, a letter and digits each, or other names, in any order.

    Returns
    -------
    str
        Numbers rising, then other names; three or more numbers that follow one another are joined by a dash.

    Examples
    --------
    >>> listed(["S1", "S2", "by the gate", "S3", "S7"])
    'S1–S3, S7, by the gate'
    """
    runs: list[list[int]] = []
    names = list(ids)
    others = [name for name in names if line_number(name) is None]
    for value in sorted(number for number in map(line_number, names) if number is not None):
        if runs and value == runs[-1][1] + 1:
            runs[-1][1] = value
        else:
            runs.append([value, value])
    numbers = (
        f"S{first}" if first == last else f"S{first}{'–' if last > first + 1 else ', '}S{last}" for first, last in runs
    )
    return ", ".join([*numbers, *others])


def swales_shown(ids: Sequence[str], *, of: int) -> str:
    """Numbers of swales in one phrase; a count where it is most of them.

    Parameters
    ----------
    ids : sequence of str
        Numbers of the swales.
    of : int
        How many swales there are.

    Returns
    -------
    str
        Numbers as `listed` joins them, 'all 5 swales', or how many of how many.

    Examples
    --------
    >>> swales_shown(["S1", "S2", "S3", "S5"], of=5), swales_shown(["S1", "S2"], of=5)
    ('most swales: 4 of 5', 'S1, S2')
    """
    if len(ids) == of > 1:
        return f"all {of} swales"
    return f"most swales: {len(ids)} of {of}" if 2 < of < 2 * len(ids) else listed(ids)
