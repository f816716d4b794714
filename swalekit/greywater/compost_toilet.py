"""A toilet of two chambers whose contents rest until they are compost for trees."""

from dataclasses import dataclass

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.tables.load import named_row


@one_line("people", "chamber_m3", "compost_m3_yr")
@dataclass(frozen=True)
class CompostToilet:
    """A sized toilet.

    Parameters
    ----------
    people : float
        Mean number of people who use it.
    settled_l : float
        What a person adds in a year, with dry cover, as it settles [L].
    cover_l : float
        Dry cover that a person uses in a year, loose [L].
    rest_months : float
        Time for which a full chamber rests, and the other fills [months].

    Raises
    ------
    InputError
        If a value isn't positive.

    Examples
    --------
    Four people, 24 months in each chamber:

    >>> toilet = CompostToilet(4.0)
    >>> round(toilet.chamber_m3, 2), round(toilet.compost_m3_yr, 2), round(toilet.cover_m3_yr, 2)
    (1.44, 0.3, 0.96)
    """

    people: float
    settled_l: float = named_row("compost_toilet", practice="settled volume").value
    cover_l: float = named_row("compost_toilet", practice="cover").value
    rest_months: float = named_row("greywater_practice", practice="compost toilet waiting").value

    def __post_init__(self) -> None:
        check_positive(people=self.people, settled_l=self.settled_l, cover_l=self.cover_l, rest_months=self.rest_months)

    @property
    def yearly_m3(self) -> float:
        """What comes in a year, settled [m³]."""
        return self.people * self.settled_l / 1000.0

    @property
    def chamber_m3(self) -> float:
        """Volume of each of the two chambers, a fifth of which stays free [m³]."""
        return (
            self.yearly_m3 * self.rest_months / 12.0 * named_row("compost_toilet", practice="chamber freeboard").value
        )

    @property
    def cover_m3_yr(self) -> float:
        """Dry cover to gather each year [m³]."""
        return self.people * self.cover_l / 1000.0

    @property
    def compost_m3_yr(self) -> float:
        """Compost that comes of it a year, in the mean [m³]."""
        return self.yearly_m3 * named_row("compost_toilet", practice="shrinkage").value

    @property
    def spread_m2(self) -> float:
        """Ground below trees on which a year's compost is spread [m²]."""
        return self.compost_m3_yr / named_row("compost_toilet", practice="compost depth").value


def toilet_cautions(toilet: CompostToilet) -> dict[str, str]:
    """What whoever builds and uses it must know.

    Parameters
    ----------
    toilet : CompostToilet
        The toilet.

    Returns
    -------
    dict of str to str
        By a short name.

    Examples
    --------
    >>> list(toilet_cautions(CompostToilet(4.0)))
    ['compost toilet', 'toilet siting']
    """
    well, stream, table = (
        named_row("greywater_practice", practice=name).value for name in ("well", "stream or lake", "water table")
    )
    return {
        "compost toilet": (
            f"toilet compost goes below the mulch of trees only, never to roots, leaves or beds, after "
            f"{toilet.rest_months:g} months in which nothing is added (WHO 2006, volume 4, from memory: one and a half "
            "to two years below 20 °C, one above): eggs of worms live long; gloves, and washed hands after it"
        ),
        "toilet siting": (
            f"chambers are tight against flies and ground water, {well:g} m from wells and springs, {stream:g} m from "
            f"streams, {table:g} m above the water table, and {_house_m():g} m from the house unless they vent above "
            "its roof; what seeps goes to a mulched basin; ask the health authority first: many places want a permit"
        ),
    }


def _house_m() -> float:
    return named_row("compost_toilet", practice="house").value
