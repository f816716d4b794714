"""Gauge notes: rows of a date, a swale, the rain, and how deep the water stood."""

from difflib import get_close_matches
from pathlib import Path
from re import fullmatch

from swalekit.design.gauging.notes import GaugeNote
from swalekit.errors import InputError
from swalekit.formats.table import TextRow, read_rows
from swalekit.units import METRES_PER, MM_PER_INCH

_PER_MM = {"mm": 1.0, "cm": 10.0, "in": MM_PER_INCH}
_PER_M = {"m": 1.0, "cm": 0.01, "mm": 0.001, "ft": METRES_PER["ft"], "in": MM_PER_INCH / 1000.0}
_FIGURES = {
    "rain": ("rain_mm", _PER_MM),
    "depth": ("depth_m", _PER_M),
    "level": ("level_m", {unit: _PER_M[unit] for unit in ("m", "ft")}),
    "before": ("before_m", _PER_M),
    "after": ("after_h", {"h": 1.0, "min": 1.0 / 60.0}),
    "rain_lasted": ("rain_h", {"h": 1.0, "min": 1.0 / 60.0}),
}
"""First part of a column's name -> the field of a note, and the units that may stand behind it."""
_HEADS = {f"{name}_{unit}": (field, per) for name, (field, units) in _FIGURES.items() for unit, per in units.items()}
_NEEDED = "date, swale, rain_mm and depth_m (or level_m)"


def read_gauge_notes(path: str | Path) -> tuple[GaugeNote, ...]:
    r"""Read the notes that were taken at gauge posts.

    Parameters
    ----------
    path : str or Path
        Delimited text whose first row names its columns: ``date``, ``swale``, ``rain_mm`` (or ``rain_cm``,
        ``rain_in``), ``depth_m`` above the floor (or ``_cm``, ``_mm``, ``_ft``, ``_in``) or ``level_m`` (or ``_ft``);
        where there are some ``after_h`` (hours from the end of the rain, or ``_min``), ``rain_lasted_h`` and
        ``before_m``, the water above the floor before the rain. Other columns are left alone; an empty cell is not
        given.

    Returns
    -------
    tuple of GaugeNote
        A note a row.

    Raises
    ------
    InputError
        If the file can't be read, lacks a column, or holds a row that can't be right (with its line).

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "notes.csv"
    ...     _ = path.write_text("date,swale,rain_mm,depth_cm,after_h\n2026-11-03,S2,34,18,3\n")
    ...     read_gauge_notes(path)
    (GaugeNote(2026-11-03, S2, rain 34 mm, depth 0.18 m, after 3 h),)
    """
    head, *rows = read_rows(path, what="gauge notes")
    places = _places(head)
    if not rows:
        head.refuse("no reading stands below it; add a row a reading")
    return tuple(_note(row, places) for row in rows)


def _places(head: TextRow) -> dict[str, tuple[int, float]]:
    """Field of a note -> its column, and what it is multiplied by."""
    places: dict[str, tuple[int, float]] = {}
    for place, cell in enumerate(head.cells):
        name = cell.lower().strip().replace(" ", "_")
        field, per = (name, 1.0) if name in ("date", "swale") else _HEADS.get(name, ("", 1.0))
        if field in places:
            head.refuse(f"'{head.cells[places[field][0]]}' and '{cell}' both give the {field}; delete one")
        if field:
            places[field] = (place, per)
    lacking = [name for name in ("date", "swale", "rain_mm") if name not in places]
    if not {"depth_m", "level_m"} & set(places):
        lacking.append("depth_m")
    if lacking:
        near = get_close_matches(lacking[0], [cell.lower() for cell in head.cells], n=1)
        hint = f"is it '{near[0]}'?" if near else "the first row names the columns, each with its unit."
        head.refuse(f"there is no column {lacking[0]}; {hint} Needed are {_NEEDED}")
    return places


def _note(row: TextRow, places: dict[str, tuple[int, float]]) -> GaugeNote:
    swale_at = places["swale"][0]
    swale = row.cells[swale_at] if swale_at < len(row.cells) else ""
    if not swale:
        row.refuse("no swale is named; write its number, as S3")
    swale = swale.upper() if fullmatch(r"s[1-9]\d{0,8}", swale) else swale
    figures = {
        field: per * row.number(place)
        for field, (place, per) in places.items()
        if field not in ("date", "swale") and row.pointed(place)
    }
    if "rain_mm" not in figures:
        row.refuse("no rain is given; write how much fell")
    date = row.moment(places["date"][0]).date().isoformat()
    try:
        return GaugeNote(date, swale, **figures)
    except InputError as error:
        row.refuse(str(error))
