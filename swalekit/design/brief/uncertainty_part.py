"""The part of the brief that says how uncertain each input is."""

from typing import Annotated

from pydantic import Field

from swalekit.design.brief.part import NotNegative, Part

Variation = Annotated[NotNegative, Field(le=3)]
"""Coefficient of variation: standard deviation over mean."""
Tolerance = Annotated[NotNegative, Field(le=0.5)]


class UncertaintyPart(Part):
    """What `swalekit reliability` draws, from which distribution; defaults without a source are common practice."""

    draws: Annotated[int, Field(ge=20, le=100_000)] = Field(200, description="layouts drawn")
    seed: Annotated[int, Field(ge=0, lt=2**63)] = Field(1, description="start of the random numbers")
    terrain_sigma_m: Annotated[NotNegative, Field(le=100)] | None = Field(
        None,
        description=(
            "standard error of a height, normal [m]; that of the terrain when not given, 0 where every line is "
            "levelled on site"
        ),
    )
    correlation_m: Annotated[float, Field(ge=0.01, le=10_000)] = Field(
        20.0, description="distance over which the correlation of height errors falls to 1/e [m]"
    )
    curve_number_spread: Annotated[NotNegative, Field(le=3)] = Field(
        1.0,
        description="lognormal retention S: 1 puts antecedent conditions I and III at 10 and 90 % of storms, 0 none",
    )
    curve_number_sigma: Annotated[NotNegative, Field(le=30)] = Field(
        5.0,
        description=(
            "standard error of the curve number itself for this ground, besides its moisture; never more than half of "
            "what it lacks to 100; assumed"
        ),
    )
    drain_anew: bool = Field(
        True,
        description="whether each draw of the heights is drained anew; if not, catchments stay as they are designed",
    )
    loss_variation: Variation = Field(
        0.5, description="coefficient of variation of what other methods keep of the rain, lognormal"
    )
    storm_variation: Variation | None = Field(
        None,
        description="that of the storm's depth, lognormal; by the band of the record when not given, without one 0.15",
    )
    intake_variation: Variation = Field(0.5, description="that of the ditch's intake, lognormal")
    crest_sigma_m: Tolerance = Field(0.03, description="standard deviation of a built crest and its sill, normal [m]")
    floor_sigma_m: Tolerance = Field(0.05, description="that of a dug floor, normal [m]")
