"""What the parts of a brief share: how a value is checked, and how far it may reach."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

_GREATEST = 1e9
"""No length, area, rate or price of a site is larger; what is, is a slip."""

Positive = Annotated[float, Field(gt=0, le=_GREATEST, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, le=_GREATEST, allow_inf_nan=False)]
Level = Annotated[float, Field(ge=-12_000, le=9_000, allow_inf_nan=False)]
"""Between the deepest sea floor and the highest summit."""
Dimension = Annotated[float, Field(ge=0.01, le=100, allow_inf_nan=False)]
"""A dimension of the works: from what a crew can set out to what no machine digs."""


class Part(BaseModel):
    """A part of the brief: frozen; a key it does not know, or a text in place of a number, is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)
