"""What plants stand: published limits of frost, salt, rain, soil and water, each with its source."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from swalekit._checks import check_one_of
from swalekit._one_line import one_line
from swalekit.tables.load import read_table

KINDS = ("rain", "frost", "salt", "soil depth", "pH", "drought", "wind", "waterlogging")
GRADES = {
    "drought": ("low", "medium", "high", "very high"),
    "wind": ("low", "medium", "high"),
    "waterlogging": ("no", "short", "long"),
}
"""Words of what isn't measured, from the least on. Waterlogged roots rot within days, stand days, or stand weeks."""
UNITS = {"rain": "mm", "frost": "°C", "salt": "dS/m", "soil depth": "m", "pH": ""}


@one_line("kind", "least", "greatest", "word")
@dataclass(frozen=True)
class Tolerance:
    """One limit of a species.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    least, greatest : float or None
        What it stands: rain of a year [mm], cold [°C], electrical conductivity of the soil's saturated paste without
        loss of yield or at all [dS/m], depth of soil [m], pH; None where the source names none.
    slope : float or None
        Of salt, yield lost beyond `greatest` [% per dS/m].
    word : str
        Grade, rating or class of the source.
    counts : bool
        Whether species are judged by it; if not it is merely told, as where sources differ.
    source : str
        Where it is from.

    Raises
    ------
    InputError
        If there is no such kind or grade.
    """

    kind: str
    least: float | None = None
    greatest: float | None = None
    slope: float | None = None
    word: str = ""
    counts: bool = True
    source: str = "given by the user"

    def __post_init__(self) -> None:
        check_one_of(KINDS, kind=self.kind)
        if self.kind in GRADES:
            check_one_of(GRADES[self.kind], **{self.kind: self.word})


@cache
def _by_species() -> dict[str, tuple[Tolerance, ...]]:
    found: dict[str, tuple[Tolerance, ...]] = {}
    for row in read_table("tolerances"):
        least, greatest, slope = (float(row[name]) if row[name] else None for name in ("least", "greatest", "slope"))
        check_one_of(("yes", "no"), counts=row["counts"])
        one = Tolerance(row["kind"], least, greatest, slope, row["word"], row["counts"] == "yes", row["source"])
        found[row["species"]] = (*found.get(row["species"], ()), one)
    return found


def published_tolerances(name: str) -> tuple[Tolerance, ...]:
    """Limits of a species of the table.

    Parameters
    ----------
    name : str
        Its common name.

    Returns
    -------
    tuple of Tolerance
        Those of the table, none where it knows none.

    Notes
    -----
    ECOCROP's optimum is for the best growth and its killing temperatures for plants at rest; its absolute ranges are
    taken, and rows at odds with practice are told without being judged by.

    Examples
    --------
    >>> for limit in published_tolerances("date palm")[1:3]:
    ...     print(limit.kind, limit.least, limit.greatest, limit.source)
    frost -15.0 None FAO ECOCROP database, killing temperature at rest
    frost -9.0 None FAO, Zaid & de Wet, Date palm cultivation ch. IV
    """
    return _by_species().get(name, ())


_OWN = {
    "rain_least_mm": ("rain", "least"),
    "rain_most_mm": ("rain", "greatest"),
    "salt_threshold_ds_m": ("salt", "greatest"),
    "salt_slope_percent": ("salt", "slope"),
    "soil_depth_m": ("soil depth", "least"),
    "ph_least": ("pH", "least"),
    "ph_most": ("pH", "greatest"),
    "drought": ("drought", "word"),
    "wind": ("wind", "word"),
    "waterlogging": ("waterlogging", "word"),
}
OWN_COLUMNS = tuple(_OWN)
"""Columns of a species file of the user's own that name its limits; all may be left out."""


def own_tolerances(row: Mapping[str, str]) -> tuple[Tolerance, ...]:
    """Limits that a row of a species file names.

    Parameters
    ----------
    row : mapping of str to str
        Texts by `OWN_COLUMNS`; others aren't read.

    Returns
    -------
    tuple of Tolerance
        One a kind.

    Raises
    ------
    InputError
        If a grade isn't known.

    Examples
    --------
    >>> own_tolerances({"salt_threshold_ds_m": "2.5", "salt_slope_percent": "10", "wind": ""})
    (Tolerance(salt, greatest 2.5),)
    """
    given: dict[str, dict[str, float | str]] = {}
    for column, (kind, field) in _OWN.items():
        text = (row.get(column) or "").strip()
        if text:
            given.setdefault(kind, {})[field] = text if field == "word" else float(text)
    return tuple(Tolerance(kind, **fields) for kind, fields in given.items())  # type: ignore[arg-type]
