"""The part of the brief that says what water the house gives, and where it may be cleaned."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from swalekit.design.brief.part import Level, NotNegative, Part, Positive
from swalekit.greywater.bed_places import PlaceRules
from swalekit.greywater.household_flow import Household

_RULES = PlaceRules()


class GreywaterPart(Part):
    """The house's greywater; without people there is no proposal."""

    people: Annotated[float, Field(ge=0.5, le=1000)] | None = Field(
        None, description="mean number of people in the house"
    )
    sources: Annotated[tuple[str, ...], Field(strict=False)] | None = Field(
        None, description="fixtures that drain to the reed bed; bathing and laundry when not given"
    )
    litres: dict[str, Annotated[NotNegative, Field(le=1000)]] = Field(
        default_factory=dict, description="measured use a person a day by source [L], in place of the table's"
    )
    house: str | None = Field(
        None, description="name of the keep-out of kind building that is the house; the first building when not given"
    )
    house_xy: Annotated[tuple[float, float], Field(strict=False)] | None = Field(
        None, description="easting and northing of the house's outlet in the tile's CRS, in place of a building [m]"
    )
    outlet_level_m: Level | None = Field(
        None, description="level of the house's outlet pipe [m]; by outlet_depth_m when not given"
    )
    outlet_depth_m: Annotated[NotNegative, Field(le=5)] = Field(
        0.3, description="depth of that pipe below the lowest ground at the house [m]"
    )
    grade: Annotated[float, Field(ge=0.001, le=0.2)] = Field(_RULES.grade, description="fall of the pipes [m/m]")
    least_distance_m: NotNegative = Field(
        _RULES.least_distance_m, description="least distance of the reed bed from the house's outlet [m]"
    )
    greatest_distance_m: Positive = Field(_RULES.greatest_distance_m, description="greatest distance [m]")
    wicking_beds: bool = Field(
        False, description="whether the water goes to wicking beds, which need about half as much"
    )

    @model_validator(mode="after")
    def _household_is_sound(self) -> Self:
        if not self.household(1.0 if self.people is None else self.people).flow_m3_d:
            message = "sources and litres give no greywater at all; name a source that runs, or leave out people"
            raise ValueError(message)
        if self.house is not None and self.house_xy is not None:
            message = "house and house_xy both say where the house is; give one"
            raise ValueError(message)
        if self.least_distance_m > self.greatest_distance_m:
            message = (
                f"least_distance_m is {self.least_distance_m:g} and greatest_distance_m {self.greatest_distance_m:g}; "
                "the least must not exceed the greatest"
            )
            raise ValueError(message)
        return self

    def household(self, people: float) -> Household:
        """Give people the fixtures whose water is gathered.

        Parameters
        ----------
        people : float
            Mean number of people in the house.

        Returns
        -------
        Household
            People, sources and use.

        Examples
        --------
        >>> GreywaterPart().household(3.0).people
        3.0
        """
        return (
            Household(people, litres=self.litres)
            if self.sources is None
            else Household(people, self.sources, self.litres)
        )
