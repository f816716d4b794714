"""The part of the brief that asks for microcatchments: a basin a tree, where level ditches don't suit."""

from typing import Annotated, Literal

from pydantic import Field

from swalekit.design.brief.part import Dimension, NotNegative, Part, Positive

Share = Annotated[float, Field(gt=0, le=1)]


class MicrocatchmentsPart(Part):
    """Which kind is laid where, and the tree that each is sized for."""

    kind: Literal["negarim", "semi-circular"] = Field(
        "negarim", description="squares on their corner with a pit, or half-moon bunds with their tips on contour"
    )
    area: str | None = Field(None, description="polygons of the ground for them; the whole site when not given")
    swales: Literal["first", "kept", "none"] = Field(
        "first",
        description="first: they keep off swales and the ground that drains to them; kept: off the works alone; none: "
        "no swale is laid",
    )
    rooted_m2: Positive = Field(
        10.0, description="ground that the roots of one tree use [m²]; 10 in the manual's example"
    )
    water_want_mm: Annotated[Positive, Field(le=5000)] = Field(
        400.0, description="water that a tree wants in a year over that ground [mm]; our choice for hardy trees"
    )
    rain_mm: Annotated[Positive, Field(le=5000)] | None = Field(
        None, description="rain that two years in three reach [mm]; that of the record when not given"
    )
    runoff_coefficient: Share = Field(
        0.25, description="share of a season's rain that runs off: 0.1 to 0.5, less than that of a storm"
    )
    efficiency: Share = Field(0.5, description="share of the harvested water that the tree gets: 0.5 to 0.75")
    size_m: Positive | None = Field(
        None, description="published side or radius [m]; the smallest that the tree's water asks for when not given"
    )
    least_slope: Positive = Field(
        0.005, description="flatter ground is left out: a tile can't say where it falls [m/m]"
    )
    greatest_slope: Annotated[float, Field(gt=0, le=0.35)] | None = Field(
        None, description="steeper ground is left out [m/m]; the published 0.05 or 0.04 of the kind when not given"
    )
    block_turn_degrees: Annotated[float, Field(ge=5, le=30)] = Field(
        15.0, description="turn of the fall of the ground at which a block of straight rows ends [°]"
    )
    tip_tolerance_m: Annotated[Dimension, Field(le=0.2)] = Field(
        0.02, description="greatest difference of level between the tips of a half moon [m]"
    )
    freeboard_m: Annotated[NotNegative, Field(le=1)] = Field(
        0.10, description="crest of a negarim bund at its lowest corner above the water counted as held [m]"
    )
    soil_depth_m: Positive | None = Field(None, description="depth of soil that was found [m]; what is wanted is told")
