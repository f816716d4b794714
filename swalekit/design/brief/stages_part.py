"""The part of the brief that says over how many seasons, or for how much in each, the swales are built."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from swalekit.design.brief.part import Part, Positive


class StagesPart(Part):
    """Seasons of building; all is built at once where neither is given and no line has a stage of its own."""

    count: Annotated[int, Field(ge=1, le=50)] | None = Field(
        None, description="seasons over which the swales are built, of nearly even cost or soil"
    )
    budget_per_stage: Positive | None = Field(
        None, description="what a season may cost, bringing the machine included; as many seasons as that takes"
    )

    @model_validator(mode="after")
    def _one_of_both(self) -> Self:
        if self.count is not None and self.budget_per_stage is not None:
            message = "count and budget_per_stage are both given; give one: the budget finds the count"
            raise ValueError(message)
        return self

    @property
    def asked(self) -> bool:
        """Whether the brief asks for stages."""
        return self.count is not None or self.budget_per_stage is not None
