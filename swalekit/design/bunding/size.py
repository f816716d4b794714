"""The size of unit that a tree's water asks for."""

from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from swalekit._one_line import one_line
from swalekit.design.brief.microcatchments_part import MicrocatchmentsPart
from swalekit.design.bunding.records import BundRecords
from swalekit.errors import BriefError, InputError
from swalekit.microcatchments.sizing import negarim_size, semi_circular_choices
from swalekit.planting.water.harvest_ratio import LEAST_SEASONS, probable_rain_mm, tree_microcatchment_m2
from swalekit.tables.microcatchments import NegarimRow, SemiCircularRow, negarim_sizes, semi_circular_sizes

Row = TypeVar("Row")

TWO_YEARS_OF_THREE = 67.0
"""Share of years that reach the rain designed for [%]: Critchley & Siegert (1991) ch. 4."""


@one_line("kind", "catchment_m2", "rain_mm", "met_share")
@dataclass(frozen=True)
class UnitSize:
    """A published size, and the tree that it is for.

    Parameters
    ----------
    kind : str
        ``negarim`` or ``semi-circular``.
    negarim : NegarimRow or None
        Of negarim the size.
    bunds : tuple of SemiCircularRow
        Of half moons the sizes, from that for the gentlest ground on.
    catchment_m2 : float or None
        Catchment that the tree needs besides its roots' ground [m²]; None where no rain is known.
    rain_mm : float or None
        Rain that it is designed for [mm].
    mean_mm : float or None
        Rain of a mean year, where a record tells [mm].
    rain_from : str
        Where the rain is from, in words.
    met_share : float
        Catchment that the unit gives over that which the tree needs, 1 at most [-].
    """

    kind: str
    negarim: NegarimRow | None
    bunds: tuple[SemiCircularRow, ...]
    catchment_m2: float | None
    rain_mm: float | None
    mean_mm: float | None
    rain_from: str
    met_share: float = 1.0

    @property
    def sizes_m(self) -> tuple[float, ...]:
        """Side, or radii [m]."""
        return tuple(row.radius_m for row in self.bunds) if self.negarim is None else (self.negarim.side_m,)

    @property
    def year_mm(self) -> float | None:
        """Rain of a year that stands against the published range [mm]: the mean's, else that designed for."""
        return self.rain_mm if self.mean_mm is None else self.mean_mm


def unit_size(part: MicrocatchmentsPart, records: BundRecords) -> UnitSize:
    """Find the smallest published size that waters the tree of a brief, or the size that it names.

    Parameters
    ----------
    part : MicrocatchmentsPart
        What is asked.
    records : BundRecords
        Rain of the years.

    Returns
    -------
    UnitSize
        The size. A tree that needs more than the largest gets the largest, which is told by ``met_share``.

    Raises
    ------
    BriefError
        If neither rain nor a size is known, or the size isn't published.

    Notes
    -----
    MC = RA (WR − DR) / (DR K EFF) with the rain DR that two years in three reach, by P = 100 (m − 0.375) / (N + 0.25).
    A negarim of that catchment holds MC + RA.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, ch. 3 and 4.

    Examples
    --------
    >>> citrus = MicrocatchmentsPart(water_want_mm=1000.0, rain_mm=350.0, runoff_coefficient=0.5)
    >>> found = unit_size(citrus, BundRecords())
    >>> round(found.catchment_m2, 1), found.sizes_m
    (74.3, (10.0,))
    """
    rain_mm, mean_mm, rain_from = _rain(part, records)
    if rain_mm is None and part.size_m is None:
        message = (
            f"the size of a unit follows from the rain that two years in three reach, and {rain_from}; give "
            "[microcatchments] rain_mm, a daily record of ten years as [weather] rain or [storm] record, or size_m"
        )
        raise BriefError(message)
    catchment_m2 = None
    if rain_mm is not None:
        catchment_m2 = tree_microcatchment_m2(
            part.rooted_m2, part.water_want_mm, rain_mm, runoff_coefficient=part.runoff_coefficient,
            efficiency=part.efficiency,
        )  # fmt: skip
    if part.kind == "negarim":
        row = _given_size(part.size_m, negarim_sizes()) if part.size_m else _negarim(catchment_m2 or 0.0, part)
        given_m2 = row.side_m**2 - part.rooted_m2
        return UnitSize("negarim", row, (), catchment_m2, rain_mm, mean_mm, rain_from, _share(given_m2, catchment_m2))
    bunds = (_given_bund(part.size_m),) if part.size_m else _bunds(catchment_m2 or 0.0)
    given_m2 = bunds[0].catchment_ratio * np.pi * bunds[0].radius_m ** 2 / 2.0
    share = _share(given_m2, catchment_m2)
    return UnitSize("semi-circular", None, bunds, catchment_m2, rain_mm, mean_mm, rain_from, share)


def _rain(part: MicrocatchmentsPart, records: BundRecords) -> tuple[float | None, float | None, str]:
    """Rain designed for, that of a mean year, and where they are from or why there is none."""
    years_mm, mean_mm = records.years_mm, float(records.years_mm.mean()) if records.years_mm.size else None
    if part.rain_mm is not None:
        return part.rain_mm, mean_mm, "as the brief gives it"
    if years_mm.size < LEAST_SEASONS:
        why = f"the record has {years_mm.size} whole years" if records.rain_file else "none is known"
        return None, mean_mm, why
    if not years_mm.any():
        return None, mean_mm, "the record has no rain"
    return (
        probable_rain_mm(years_mm, TWO_YEARS_OF_THREE),
        mean_mm,
        f"reached in two years of three of the {years_mm.size} in {records.rain_file}",
    )


def _negarim(catchment_m2: float, part: MicrocatchmentsPart) -> NegarimRow:
    try:
        return negarim_size(catchment_m2, part.rooted_m2)
    except InputError:
        return negarim_sizes()[-1]


def _bunds(catchment_m2: float) -> tuple[SemiCircularRow, ...]:
    try:
        return semi_circular_choices(catchment_m2)
    except InputError:
        return semi_circular_sizes()[-1:]


def _share(given_m2: float, needed_m2: float | None) -> float:
    return 1.0 if not needed_m2 else min(max(given_m2, 0.0) / needed_m2, 1.0)


def _given_size(size_m: float, rows: tuple[NegarimRow, ...]) -> NegarimRow:
    return _published(size_m, {row.side_m: row for row in rows}, "side of a negarim")


def _given_bund(size_m: float) -> SemiCircularRow:
    return _published(size_m, {row.radius_m: row for row in semi_circular_sizes()}, "radius of a semi-circular bund")


def _published(size_m: float, rows: dict[float, Row], what: str) -> Row:
    if size_m not in rows:
        listed = ", ".join(f"{size:g}" for size in rows)
        message = f"[microcatchments] size_m is {size_m:g}; as the {what} one of {listed} is published"
        raise BriefError(message)
    return rows[size_m]
