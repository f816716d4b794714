"""The part of the brief that says what the slopes above a ditch send it in silt."""

from typing import Annotated

from pydantic import Field

from swalekit.design.brief.part import Part, Positive
from swalekit.tables.load import named_row

ASSUMED_KEYS = ("rain_year_mm", "erodibility", "cover_factor", "density_t_m3", "clean_at_share")
"""Keys that a row of the ``silt`` table stands in for."""


class SiltPart(Part):
    """What erodes the slopes above, and when a ditch is cleaned; what is not given is assumed, and told so."""

    rain_year_mm: Annotated[Positive, Field(le=20_000)] | None = Field(
        None, description="rain of a mean year [mm]; 300 assumed when not given"
    )
    erosivity: Annotated[Positive, Field(le=50_000)] | None = Field(
        None, description="R of the rain [MJ mm/(ha h yr)]; from the rain of a year when not given"
    )
    erodibility: Annotated[Positive, Field(le=0.1)] | None = Field(
        None, description="K of the soil [t ha h/(ha MJ mm)]; 0.04 assumed when not given"
    )
    cover_factor: Annotated[float, Field(ge=0, le=1)] | None = Field(
        None, description="C of the cover above, 0.45 bare range to 0.04 well covered; 0.2 assumed when not given"
    )
    density_t_m3: Annotated[float, Field(ge=0.5, le=2)] | None = Field(
        None, description="dry density of settled silt [t/m³]; 1.3 assumed when not given"
    )
    clean_at_share: Annotated[float, Field(gt=0, le=1)] | None = Field(
        None, description="share of the storage that silt may take before it is cleaned; 0.1 assumed when not given"
    )

    @property
    def assumed(self) -> tuple[str, ...]:
        """Keys that are not given and matter."""
        needless = {"rain_year_mm"} if self.erosivity is not None else set()
        return tuple(key for key in ASSUMED_KEYS if getattr(self, key) is None and key not in needless)

    def value(self, key: str) -> float:
        """Value of a key, given or assumed.

        Parameters
        ----------
        key : str
            One of `ASSUMED_KEYS`.

        Returns
        -------
        float
            In the unit of the key.

        Examples
        --------
        >>> SiltPart(erodibility=0.05).value("erodibility"), SiltPart().value("erodibility")
        (0.05, 0.04)
        """
        given: float | None = getattr(self, key)
        return named_row("silt", name=key).value if given is None else given
