"""The part of the brief that says in what state the storms meet the ground and the ditches."""

from typing import Annotated, Literal

from pydantic import Field

from swalekit.design.brief.part import Part, Positive

EMPTY, AS_LEFT, FULL = "empty", "as left", "full"


class ConditionsPart(Part):
    """What the storms find: how wet the ground is, and what stands in the ditches when the check storm comes."""

    moisture: Literal["dry", "average", "wet"] = Field(
        "average",
        description="ground before both storms: antecedent runoff condition I, II or III; curve numbers follow it",
    )
    ditches: Literal["empty", "as left", "full"] = Field(
        "as left",
        description="ditches before the check storm: empty, as the design storm left them, or full to the sill",
    )
    hold_chance: Annotated[float, Field(gt=0, lt=1)] | None = Field(
        None,
        description=(
            "chance with which no swale is to spill in the storm that comes; plan then finds the storm to size for, "
            "and reliability says what that costs"
        ),
    )
    sized_for_mm: Annotated[Positive, Field(le=1000)] | None = Field(
        None,
        description=(
            "storm that the works are sized for in place of the design storm, which still is the one asked for [mm]; "
            "plan finds it for a hold_chance, and it is then kept here"
        ),
    )
    sized_chance: Annotated[float, Field(ge=0, le=1)] | None = Field(
        None, description="chance with which works of that size hold the design storm, as it was found: told, not used"
    )
    hours_between: Annotated[float, Field(ge=0, le=240)] = Field(
        24.0, description="hours from the end of the design storm to the check storm, where it is as left [h]"
    )
