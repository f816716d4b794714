"""Microcatchments for trees as published: negarim squares, semi-circular bunds, and the ground they suit."""

from dataclasses import dataclass
from functools import cache

from swalekit.tables.load import TableRow, named_row, read_table

KINDS = ("negarim", "semi-circular")


@dataclass(frozen=True)
class NegarimRow:
    """A published size of negarim.

    Parameters
    ----------
    side_m : float
        Side of the square [m].
    pit_side_m, pit_depth_m : float
        The square infiltration pit at its lowest corner [m].
    earthwork_m3 : float
        Bund of one unit, 25 cm high, neighbours sharing their walls [m³].
    units_per_ha, earthwork_m3_per_ha : float
        Units, and soil moved, a hectare [1/ha, m³/ha].
    source : str
        Publication.
    """

    side_m: float
    pit_side_m: float
    pit_depth_m: float
    earthwork_m3: float
    units_per_ha: float
    earthwork_m3_per_ha: float
    source: str

    @property
    def pit_m3(self) -> float:
        """Soil that the pit gives [m³]."""
        return self.pit_side_m**2 * self.pit_depth_m


@dataclass(frozen=True)
class SemiCircularRow:
    """A published size of semi-circular bund.

    Parameters
    ----------
    radius_m : float
        Radius [m].
    greatest_slope_percent : float
        Steepest ground that it is published for [%].
    length_m, area_m2 : float
        Length of the bund, and ground that it encloses [m, m²].
    earthwork_m3 : float
        Soil in one bund [m³].
    bunds_per_ha, earthwork_m3_per_ha : float
        Bunds, and soil moved, a hectare [1/ha, m³/ha].
    catchment_ratio : float
        Catchment over enclosed ground [-].
    source : str
        Publication.
    """

    radius_m: float
    greatest_slope_percent: float
    length_m: float
    area_m2: float
    earthwork_m3: float
    bunds_per_ha: float
    earthwork_m3_per_ha: float
    catchment_ratio: float
    source: str


@cache
def negarim_sizes() -> tuple[NegarimRow, ...]:
    """The published sizes of negarim.

    Returns
    -------
    tuple of NegarimRow
        From the smallest.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, ch. 5; from memory.

    Examples
    --------
    >>> [row.side_m for row in negarim_sizes()]
    [3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0]
    """
    return tuple(NegarimRow(**_numbers(row), source=row["source"]) for row in read_table("negarim"))


@cache
def semi_circular_sizes() -> tuple[SemiCircularRow, ...]:
    """The published sizes of semi-circular bunds.

    Returns
    -------
    tuple of SemiCircularRow
        From the smallest.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, ch. 5; from memory.

    Examples
    --------
    >>> [(row.radius_m, row.greatest_slope_percent) for row in semi_circular_sizes()]
    [(6.0, 1.0), (10.0, 4.0), (20.0, 2.0)]
    """
    rows = read_table("semi_circular_bunds")
    return tuple(SemiCircularRow(**_numbers(row), source=row["source"]) for row in rows)


def microcatchment_rule(name: str) -> TableRow:
    """A published limit or measure of microcatchments.

    Parameters
    ----------
    name : str
        Row of the table, as ``negarim greatest slope``.

    Returns
    -------
    TableRow
        Number and source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Examples
    --------
    >>> microcatchment_rule("negarim greatest slope").value
    5.0
    """
    return named_row("microcatchment_rules", name=name)


def _numbers(row: dict[str, str]) -> dict[str, float]:
    return {name: float(value) for name, value in row.items() if name != "source"}
