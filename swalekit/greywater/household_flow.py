"""Greywater of a house by people and fixtures, and what to look out for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from swalekit._checks import check_not_negative, check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.tables.load import named_row, read_table


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

    Returns
    -------
    dict of str to SourceRow
        In the order of the table.

    Examples
    --------
    >>> [source.name for source in known_sources().values() if source.by_default]
    ['bathing', 'laundry']
    """
    return {
        row["name"]: SourceRow(row["name"], float(row["value"]), row["by_default"] == "yes", row["source"])
        for row in read_table("greywater_sources")
    }


def _default_sources() -> tuple[str, ...]:
    """Sources that count unless said otherwise."""
    return tuple(source.name for source in known_sources().values() if source.by_default)


@one_line("people", "flow_m3_d")
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
    sources: Sequence[str] = field(default_factory=_default_sources)
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
        """Water of each source a day.

        Returns
        -------
        dict of str to float
            By the name of the source [L/d].

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


def greywater_cautions(household: Household) -> dict[str, str]:
    """Cautions by a short name, each with its reason.

    Parameters
    ----------
    household : Household
        Its people and sources: a large flow and unusual sources raise cautions of their own.

    Returns
    -------
    dict of str to str
        Name and text.

    Examples
    --------
    >>> list(greywater_cautions(Household(4)))
    ['storm ditch', 'codes', 'health', 'storage', 'soap', 'clearances', 'compost toilet']
    >>> list(greywater_cautions(Household(4, ("bathing", "kitchen"))))[-1]
    'kitchen or toilet water'
    """
    cautions = {
        "storm ditch": (
            "never lead greywater into a swale or any ditch that takes storm water: in a storm it spills, and carries "
            "the house's germs to neighbours and streams"
        ),
        "codes": (
            "ask the local authority first: many codes ask for a permit, subsurface outlets, a valve to the sewer and "
            "a licensed plumber, and some forbid greywater"
        ),
        "health": (
            "greywater carries germs even behind a reed bed: let it out under mulch or soil, never by sprinkler, never "
            "on what is eaten raw or touches the ground, and keep children and animals off the bed"
        ),
        "storage": (
            f"don't keep untreated greywater longer than {_practice('storage of untreated greywater'):g} hours: "
            "it turns foul"
        ),
        "soap": "use soap and detergent low in sodium and without boron, and watch clay soils for salt and sealing",
        "clearances": (
            f"stay {_practice('well'):g} m from wells, {_practice('stream or lake'):g} m from streams and "
            f"{_practice('water table'):g} m above the water table, or as the local code says"
        ),
        "compost toilet": (
            f"toilet compost goes to trees only, after {_practice('compost toilet waiting'):g} months of rest unless "
            "it was hot-composted, and as local rules say: eggs of worms live long"
        ),
    }
    greatest = _practice("permit-free flow")
    flow_l_d = 1000.0 * household.flow_m3_d
    if flow_l_d > greatest:
        cautions["large flow"] = (
            f"{flow_l_d:.0f} L a day is above the {greatest:.0f} L that Arizona lets a house use without a permit of "
            "its own; expect an engineered system to be asked for"
        )
    unusual = [name for name in household.sources if not known_sources()[name].by_default]
    if unusual:
        cautions["kitchen or toilet water"] = (
            f"{', '.join(unusual)} water counts as blackwater in most codes: grease and food clog beds, and excreta "
            "carry disease; leave it in the sewer or have a licensed system designed"
        )
    return cautions


def _practice(name: str) -> float:
    return named_row("greywater_practice", practice=name).value
