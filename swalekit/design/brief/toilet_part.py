"""The part of the brief that asks for a compost toilet."""

from typing import Annotated

from pydantic import Field

from swalekit.design.brief.part import Part, Positive
from swalekit.greywater.compost_toilet import CompostToilet

_USUAL = CompostToilet(1.0)


class ToiletPart(Part):
    """A compost toilet of two chambers; without people there is none."""

    people: Annotated[float, Field(ge=0.5, le=1000)] | None = Field(
        None, description="mean number of people who use it"
    )
    settled_l: Annotated[Positive, Field(le=2000)] = Field(
        _USUAL.settled_l, description="what a person adds in a year with dry cover, as it settles [L]"
    )
    cover_l: Annotated[Positive, Field(le=5000)] = Field(
        _USUAL.cover_l, description="dry cover that a person uses in a year, loose [L]"
    )
    rest_months: Annotated[float, Field(ge=6, le=60)] = Field(
        _USUAL.rest_months, description="time for which a full chamber rests [months]"
    )
    xy: Annotated[tuple[float, float], Field(strict=False)] | None = Field(
        None, description="easting and northing of it in the tile's CRS, to be held against wells, water and house [m]"
    )

    def toilet(self) -> CompostToilet | None:
        """Size the toilet that is asked for.

        Returns
        -------
        CompostToilet or None
            None without people.

        Examples
        --------
        >>> ToiletPart().toilet() is None, ToiletPart(people=4.0).toilet().people
        (True, 4.0)
        """
        return (
            None if self.people is None else CompostToilet(self.people, self.settled_l, self.cover_l, self.rest_months)
        )
