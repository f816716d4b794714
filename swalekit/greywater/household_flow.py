"""Greywater of a house by people and fixtures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from swalekit._checks import check_not_negative, check_one_of, check_positive
from swalekit.errors import InputError
from swalekit.tables.load import read_table


@dataclass(frozen=True)
class SourceRow:
    """Water of one kind of fixture.

    Parameters
    ----------
    name : str
        Where the water comes from.
    litres : float
        What a person uses a day [L].
    by_default : bool
        Whether it counts as greywater unless said otherwise.
    source : str
        Publication, or 'common practice'.
    """

    name: str
    litres: float
    by_default: bool
    source: str

    def __str__(self) -> str:
        return f"{self.name}: {self.litres:g} L/person/d ({self.source})"


def known_sources() -> dict[str, SourceRow]:
    """Sources of the table by name; those of kitchen and toilet don't count by default.

    Examples
    --------
    >>> [each.name for each in known_sources().values() if each.by_default]
    ['bathing', 'laundry']
    """
    return {
        row["name"]: SourceRow(row["name"], float(row["value"]), row["by_default"] == "yes", row["source"])
        for row in read_table("greywater_sources")
    }


def default_sources() -> tuple[str, ...]:
    """Sources that count unless said otherwise."""
    return tuple(each.name for each in known_sources().values() if each.by_default)


@dataclass(frozen=True)
class Household:
    """People and the fixtures whose water is gathered.

    Parameters
    ----------
    people : float
        Mean number of people in the house.
    sources : sequence of str
        Fixtures that drain to the reed bed.
    litres : mapping of str to float
        Measured use a person a day that goes before the table's, by source [L].

    Raises
    ------
    InputError
        If no one lives there, a source is unknown or given twice, or a use is negative.
    """

    people: float
    sources: Sequence[str] = field(default_factory=default_sources)
    litres: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        check_positive(people=self.people)
        for name in (*self.sources, *self.litres):
            check_one_of(tuple(known_sources()), source=name)
        check_not_negative(**dict(self.litres))
        if not self.sources or len(set(self.sources)) < len(self.sources):
            message = f"greywater sources are {list(self.sources)}; give one or more, each once"
            raise InputError(message)

    def flow_l_d(self) -> dict[str, float]:
        """Water of each source a day [L/d].

        Examples
        --------
        >>> Household(4).flow_l_d()
        {'bathing': 380.0, 'laundry': 228.0}
        """
        known = known_sources()
        return {name: self.people * self.litres.get(name, known[name].litres) for name in self.sources}

    @property
    def flow_m3_d(self) -> float:
        """Water of all sources a day [m³/d]."""
        return sum(self.flow_l_d().values()) / 1000.0


def occupants(bedrooms: int) -> int:
    """People to design for by bedrooms: two in the first, one in each other.

    References
    ----------
    .. [1] California Plumbing Code, greywater estimate; unconfirmed.

    Examples
    --------
    >>> occupants(3)
    4
    """
    check_positive(bedrooms=bedrooms)
    return 2 + (bedrooms - 1)
