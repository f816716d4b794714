"""What the parts of a brief share: how a value is checked, and how far it may reach."""

from typing import Annotated, Any

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

    def only_one(self, *keys: str) -> str:
        """The one of several keys that is given.

        Raises
        ------
        ValueError
            If none is, or more than one.
        """
        given = [name for name in keys if getattr(self, name) is not None]
        if len(given) != 1:
            message = f"give exactly one of {', '.join(keys)}; found {' and '.join(given) or 'none'}"
            raise ValueError(message)
        return given[0]


def key(default: Any, meaning: str, **bounds: Any) -> Any:
    """A key of a part: its value where none is given, what it means, and bounds by the names of `pydantic.Field`."""
    return Field(default, description=meaning, **bounds)
