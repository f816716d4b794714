"""The parts of the brief that ask for annual beds, and say what tank of rain waters them."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from swalekit.beds.bed import BedRules, bed_practice
from swalekit.design.brief.part import Dimension, NotNegative, Part, Positive
from swalekit.tables.load import named_row

Month = Annotated[int, Field(ge=1, le=12)]
_RULES = BedRules()


class BedsPart(Part):
    """Annual beds on contour; without an area there are none."""

    area: str | None = Field(None, description="polygons of the ground for annual beds; no beds when not given")
    kind: str | None = Field(
        None, description="only those polygons of the file whose property kind or name says this; all when not given"
    )
    width_m: Annotated[Dimension, Field(ge=0.2, le=5)] = Field(
        _RULES.width_m, description="width of a bed: 1.2 reached from both sides, 0.6 from one [m]"
    )
    path_m: Annotated[NotNegative, Field(le=10)] = Field(
        _RULES.path_m, description="least width of the path between two beds [m]"
    )
    cross_path_m: Annotated[NotNegative, Field(le=10)] = Field(
        _RULES.cross_path_m, description="width of a path across the beds [m]"
    )
    longest_m: Annotated[Positive, Field(le=200)] = Field(
        _RULES.longest_m, description="length of bed after which a path crosses [m]"
    )
    shortest_m: Annotated[Dimension, Field(ge=0.5)] = Field(
        _RULES.shortest_m, description="shorter beds are left out [m]"
    )
    tolerance_m: Annotated[Dimension, Field(le=0.5)] = Field(
        _RULES.tolerance_m, description="greatest departure of the ground from the level along a bed's middle [m]"
    )
    greatest_fall_m: Annotated[NotNegative, Field(le=2)] = Field(
        _RULES.greatest_fall_m, description="fall across a bed from which it is levelled between low walls [m]"
    )
    greatest_slope: Annotated[float, Field(gt=0, le=0.6)] = Field(
        _RULES.greatest_slope, description="steeper ground is left out [m/m]"
    )
    coefficient: Annotated[Positive, Field(le=2)] = Field(
        bed_practice("vegetable coefficient"), description="crop coefficient of what grows there, well watered [-]"
    )
    months: Annotated[tuple[Month, ...], Field(strict=False, min_length=1)] | None = Field(
        None, description="months in which the beds are planted; all when not given"
    )
    wicking: bool = Field(False, description="whether they are watered from below, which needs about half as much")
    shade: Annotated[float, Field(ge=0, le=0.8)] = Field(
        0.0, description="share of the sun that is kept off in the hot months, and of the want with it; assumed [-]"
    )
    compost_m: Annotated[NotNegative, Field(le=0.5)] = Field(
        bed_practice("compost"), description="depth of compost worked in when a bed is made [m]"
    )

    @model_validator(mode="after")
    def _lengths_are_in_order(self) -> Self:
        if self.shortest_m > self.longest_m:
            message = (
                f"shortest_m is {self.shortest_m:g} and longest_m {self.longest_m:g}; the shortest must not exceed the "
                "longest"
            )
            raise ValueError(message)
        if self.greatest_slope <= _RULES.least_slope:
            message = f"greatest_slope is {self.greatest_slope:g}; give more than {_RULES.least_slope:g}"
            raise ValueError(message)
        return self

    @property
    def rules(self) -> BedRules:
        """Widths, lengths and slopes."""
        return BedRules(
            self.width_m,
            self.path_m,
            self.cross_path_m,
            self.longest_m,
            self.shortest_m,
            self.tolerance_m,
            self.greatest_fall_m,
            greatest_slope=self.greatest_slope,
        )


class TankPart(Part):
    """A tank that gathers a roof's rain for the beds; without a volume there is none."""

    volume_m3: Annotated[Positive, Field(le=100_000)] | None = Field(None, description="what the tank holds [m³]")
    roof_m2: Annotated[Positive, Field(le=1_000_000)] | None = Field(
        None, description="roof in plan that drains to it [m²]; the house's outline when not given"
    )
    roof_runoff: Annotated[float, Field(gt=0, le=1)] = Field(
        named_row("rain_tank", practice="roof runoff").value, description="share of the rain that reaches it [-]"
    )
    first_flush_mm: Annotated[NotNegative, Field(le=20)] = Field(
        named_row("rain_tank", practice="first flush").value, description="rain of a day that washes the roof [mm]"
    )
