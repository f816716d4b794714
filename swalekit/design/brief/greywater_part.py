"""The part of the brief that says what water the house gives, and where it may be cleaned."""

from collections import Counter
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from swalekit._checks import check_one_of
from swalekit.design.brief.part import Level, NotNegative, Part, Positive
from swalekit.greywater.bed_places import PlaceRules
from swalekit.greywater.household_flow import Household, known_sources

_RULES = PlaceRules()


class OutletPart(Part):
    """One of several outlets of a house, and what drains to it."""

    name: Annotated[str, Field(min_length=1, max_length=40)] = Field(description="what it is called")
    sources: Annotated[tuple[str, ...], Field(strict=False, min_length=1)] | None = Field(
        None, description="fixtures that drain to it; one that several outlets name is shared evenly"
    )
    litres_d: Annotated[Positive, Field(le=100_000)] | None = Field(
        None, description="its water a day in place of sources, as of a hand basin alone [L]"
    )
    level_m: Level | None = Field(None, description="level of the pipe where it leaves the house [m]")
    height_m: Annotated[float, Field(ge=-5, le=10)] | None = Field(
        None, description="or its height above the lowest ground at the house, negative below it [m]"
    )
    xy: Annotated[tuple[float, float], Field(strict=False)] | None = Field(
        None, description="easting and northing of the outlet in the tile's CRS; that of the house when not given [m]"
    )

    @model_validator(mode="after")
    def _says_what_and_where(self) -> Self:
        if (self.sources is None) == (self.litres_d is None):
            message = f"outlet '{self.name}' needs either sources or litres_d; give one of them"
            raise ValueError(message)
        if (self.level_m is None) == (self.height_m is None):
            message = f"outlet '{self.name}' needs either level_m or height_m; give one of them"
            raise ValueError(message)
        for name in self.sources or ():
            check_one_of(tuple(known_sources()), source=name)
        return self


class GreywaterPart(Part):
    """The house's greywater; without people there is no proposal."""

    people: Annotated[float, Field(ge=0.5, le=1000)] | None = Field(
        None, description="mean number of people in the house"
    )
    kind: Literal["reed bed", "branched drain"] = Field(
        "reed bed",
        description="reed bed: cleaned for beds and trees below it; branched drain: split by halves to basins of "
        "mulch, each with a tree",
    )
    basins: Literal[2, 4, 8, 16] | None = Field(
        None, description="basins of a branched drain; by flow and soil when not given"
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
    outlets: Annotated[tuple[OutletPart, ...], Field(strict=False, min_length=1)] | None = Field(
        None, description="several outlets of the house, of which a higher one may reach higher ground"
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
        if self.basins is not None and self.kind == "reed bed":
            message = f'basins is {self.basins} and kind is "reed bed"; basins go with kind = "branched drain"'
            raise ValueError(message)
        if self.kind == "branched drain" and self.wicking_beds:
            message = 'wicking_beds is true and kind is "branched drain", which waters trees alone; take one out'
            raise ValueError(message)
        names = [outlet.name for outlet in self.outlets or ()]
        if len(set(names)) < len(names):
            message = f"outlets are named {', '.join(names)}; give each a name of its own"
            raise ValueError(message)
        if self.outlets and self.outlet_level_m is not None:
            message = "outlet_level_m goes with a single outlet, and outlets are listed; give each its own level_m"
            raise ValueError(message)
        for outlet in self.outlets or ():
            other = [source for source in outlet.sources or () if self.sources and source not in self.sources]
            if other:
                message = f"outlet '{outlet.name}' drains {', '.join(other)}, which sources doesn't name; add it there"
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
        drained = tuple(dict.fromkeys(source for outlet in self.outlets or () for source in outlet.sources or ()))
        sources = self.sources or drained
        return Household(people, sources, self.litres) if sources else Household(people, litres=self.litres)

    def outlet_flow_m3_d(self, people: float) -> dict[str, float]:
        """Water that leaves each outlet a day, by its name; a source that several name is shared evenly.

        Parameters
        ----------
        people : float
            Mean number of people in the house.

        Returns
        -------
        dict of str to float
            Flow [m³/d]; of one outlet named '' where none are listed.

        Examples
        --------
        >>> GreywaterPart().outlet_flow_m3_d(4.0)
        {'': 0.608}
        """
        household = self.household(people)
        if not self.outlets:
            return {"": household.flow_m3_d}
        litres = household.flow_l_d()
        shares = Counter(source for outlet in self.outlets or () for source in outlet.sources or ())
        return {
            outlet.name: (outlet.litres_d or sum(litres[name] / shares[name] for name in outlet.sources or ())) / 1000.0
            for outlet in self.outlets
        }
