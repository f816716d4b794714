"""Curve numbers by cover, condition and hydrologic soil group."""

from dataclasses import dataclass

from swalekit._checks import check_one_of
from swalekit.errors import InputError
from swalekit.tables.load import read_table

GROUPS = ("A", "B", "C", "D")


@dataclass(frozen=True)
class CurveNumberRow:
    """A curve number for average antecedent runoff condition and an initial abstraction of 0.2 S.

    Parameters
    ----------
    cover : str
        Land cover and treatment.
    condition : str
        Hydrologic condition: ``poor``, ``fair``, ``good``, or ``any`` where the cover has only one.
    group : str
        Hydrologic soil group, A to D.
    curve_number : float
        Curve number [-].
    source : str
        Publication and table.
    """

    cover: str
    condition: str
    group: str
    curve_number: float
    source: str

    def __str__(self) -> str:
        return f"{self.cover}, {self.condition}, group {self.group}: CN {self.curve_number:g} ({self.source})"


def covers() -> tuple[str, ...]:
    """Name every cover of the table, in its order.

    Returns
    -------
    tuple of str
        What `curve_number` takes.

    Examples
    --------
    >>> "desert shrub" in covers()
    True
    """
    return tuple(dict.fromkeys(row["cover"] for row in read_table("curve_numbers")))


def curve_number(cover: str, condition: str, group: str) -> CurveNumberRow:
    """Curve number of a cover in a condition on a soil group.

    Parameters
    ----------
    cover : str
        One of `covers`.
    condition : str
        ``poor``, ``fair``, ``good``, or ``any`` where the cover has only one.
    group : str
        Hydrologic soil group, A to D.

    Returns
    -------
    CurveNumberRow
        The number with its source.

    Raises
    ------
    InputError
        If the cover is unknown (the nearest is offered), has no such condition, or was not published for the group.

    Notes
    -----
    On rangeland *poor* means less than 30 % of the ground covered, *good* more than 70 %; on pasture and brush
    the limits are 50 and 75 %.

    References
    ----------
    .. [1] USDA NRCS (2004). National Engineering Handbook Part 630, ch. 9, Tables 9-1 and 9-2.
    .. [2] USDA SCS (1986). Urban Hydrology for Small Watersheds, TR-55, Tables 2-2c and 2-2d.

    Examples
    --------
    >>> curve_number("pasture", "good", "C").curve_number
    74.0
    """
    check_one_of(covers(), cover=cover)
    check_one_of(GROUPS, group=group)
    conditions = {row["condition"]: row for row in read_table("curve_numbers") if row["cover"] == cover}
    if condition not in conditions:
        message = f"cover '{cover}' has no condition '{condition}'; it has {', '.join(conditions)}"
        raise InputError(message)
    row = conditions[condition]
    printed = row[group.lower()]
    if printed == "-":
        message = f"no curve number is published for cover '{cover}', {condition}, group {group}; take another group"
        raise InputError(message)
    return CurveNumberRow(cover, condition, group, float(printed), row["source"])
