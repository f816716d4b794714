"""The part of the brief that says what is kept in hand for the years after the works are built."""

from typing import Annotated

from pydantic import Field

from swalekit.design.brief.part import NotNegative, Part


class AllowancesPart(Part):
    """What is built higher or dug deeper because soil settles and silt comes."""

    settlement: Annotated[float, Field(ge=0, le=0.3)] = Field(
        0.05,
        description=(
            "share of its height that a berm is built higher, because it settles: 0.05 where a machine rolls it in "
            "layers, 0.1 to 0.25 where it is left loose"
        ),
    )
    silt_depth_m: Annotated[NotNegative, Field(le=1)] = Field(
        0.0, description="silt above the ditch floor with which a swale must still hold the design storm [m]"
    )
