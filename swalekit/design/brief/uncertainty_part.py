"""The part of the brief that says how uncertain each input is."""

from typing import Annotated

from pydantic import Field

from swalekit.design.brief.part import NotNegative, Part, key

Variation = Annotated[NotNegative, Field(le=3)]
"""Coefficient of variation: standard deviation over mean."""
Tolerance = Annotated[NotNegative, Field(le=0.5)]


class UncertaintyPart(Part):
    """What `swalekit reliability` draws, from which distribution; defaults without a source are common practice."""

    draws: int = key(200, "layouts drawn", ge=20, le=100_000)
    seed: int = key(1, "start of the random numbers", ge=0, lt=2**63)
    terrain_sigma_m: NotNegative | None = key(
        None,
        "standard error of a height, normal [m]; that of the terrain when not given, 0 where every line is "
        "levelled on site",
        le=100,
    )
    correlation_m: float = key(
        20.0, "distance over which the correlation of height errors falls to 1/e [m]", ge=0.01, le=10_000
    )
    curve_number_spread: NotNegative = key(
        1.0, "lognormal retention S: 1 puts antecedent conditions I and III at 10 and 90 % of storms, 0 none", le=3
    )
    loss_variation: Variation = key(0.5, "coefficient of variation of what other methods keep of the rain, lognormal")
    storm_variation: Variation | None = key(
        None, "that of the storm's depth, lognormal; by the band of the record when not given, without one 0.15"
    )
    intake_variation: Variation = key(0.5, "that of the ditch's intake, lognormal")
    crest_sigma_m: Tolerance = key(0.03, "standard deviation of a built crest and its sill, normal [m]")
    floor_sigma_m: Tolerance = key(0.05, "that of a dug floor, normal [m]")
