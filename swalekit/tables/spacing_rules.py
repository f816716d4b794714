"""Published rules for the vertical interval between terraces, contour bunds and ditches."""

from dataclasses import dataclass
from difflib import get_close_matches

from swalekit.errors import InputError
from swalekit.tables.load import read_table
from swalekit.units import METRES_PER_FOOT

_METRES = {"m": 1.0, "ft": METRES_PER_FOOT}


@dataclass(frozen=True)
class SpacingRule:
    """A rule VI = x S + y, with S the slope of the ground in percent.

    Parameters
    ----------
    name : str
        Name of the rule.
    x, y : float
        Interval for each percent of slope, and what is added at any slope, both in ``unit``.
    unit : str
        ``m`` or ``ft``.
    region, rain, ground : str
        Where it was drawn up and what it is meant for; '' where that isn't said.
    least_slope, greatest_slope : float or None
        Slopes it is meant for [m/m]; None where no limit is said.
    status : str
        ``verified`` where the coefficients were read in print, ``from memory`` where they must be confirmed.
    source : str
        Publication.

    Examples
    --------
    >>> print(spacing_rule("ramser"))
    ramser: VI = 0.1 S + 0.6 m, slopes up to 6 % (verified)
    """

    name: str
    x: float
    y: float
    unit: str
    region: str
    rain: str
    ground: str
    least_slope: float | None
    greatest_slope: float | None
    status: str
    source: str

    def __str__(self) -> str:
        return f"{self.name}: VI = {self.x:g} S + {self.y:g} {self.unit}, {self.slope_words} ({self.status})"

    @property
    def x_m(self) -> float:
        """Interval for each m/m of slope [m]."""
        return 100.0 * self.x * _METRES[self.unit]

    @property
    def y_m(self) -> float:
        """Interval that is added at any slope [m]."""
        return self.y * _METRES[self.unit]

    @property
    def applies(self) -> str:
        """Where it applies, in words: region, rain, ground, as far as they are said."""
        return "; ".join(part for part in (self.region, self.rain, self.ground) if part)

    @property
    def slope_words(self) -> str:
        """Slopes it is meant for, in words."""
        if self.greatest_slope is None:
            return "any slope" if self.least_slope is None else f"slopes from {100.0 * self.least_slope:g} %"
        least = "up" if self.least_slope is None else f"from {100.0 * self.least_slope:g}"
        return f"slopes {least} to {100.0 * self.greatest_slope:g} %"


def spacing_rules() -> tuple[SpacingRule, ...]:
    """Every rule of the table, in its order.

    Returns
    -------
    tuple of SpacingRule
        Verified ones and those from memory.

    Examples
    --------
    >>> [rule.name for rule in spacing_rules() if rule.status == "verified"]
    ['ramser', 'cox scanty poor', 'cox moderate mixed']
    """
    return tuple(_rule(row) for row in read_table("spacing_rules"))


def spacing_rule(name: str) -> SpacingRule:
    """The rule of a name.

    Parameters
    ----------
    name : str
        One of those in `spacing_rules`, in capitals or not.

    Returns
    -------
    SpacingRule
        The rule with where it applies and its source.

    Raises
    ------
    InputError
        If there is no such rule; names near it are listed, all where none is near.

    Notes
    -----
    Cox's rule is printed in metres with 0.3 or 0.305 before the bracket; the table keeps it as the rule in feet that it
    was.

    References
    ----------
    .. [1] Sheng, T. C. FAO Soils Bulletin 64 and FAO Conservation Guide 13, for the rules of several countries.
    .. [2] ASABE S268, Design, Layout, Construction, and Maintenance of Terrace Systems.

    Examples
    --------
    >>> spacing_rule("Cox scanty poor").y_m
    0.3048
    """
    rules, wanted = {rule.name: rule for rule in spacing_rules()}, name.casefold()
    if wanted not in rules:
        near = [known for known in rules if wanted and wanted in known] or get_close_matches(wanted, rules, n=5)
        words = "near it are" if near else "there are"
        message = f"spacing rule '{name}' is unknown; {words} {', '.join(near or rules)}"
        raise InputError(message)
    return rules[wanted]


def _rule(row: dict[str, str]) -> SpacingRule:
    least, greatest = (
        float(row[key]) / 100.0 if row[key] else None for key in ("least_slope_percent", "greatest_slope_percent")
    )
    return SpacingRule(
        name=row["name"],
        x=float(row["x"]),
        y=float(row["y"]),
        unit=row["unit"],
        region=row["region"],
        rain=row["rain"],
        ground=row["ground"],
        least_slope=least,
        greatest_slope=greatest,
        status=row["status"],
        source=row["source"],
    )
