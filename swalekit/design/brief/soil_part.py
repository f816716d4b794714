"""The part of the brief that says what the ground does with water, and the soil under a machine."""

from dataclasses import fields
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from swalekit.design.brief.part import NotNegative, Part, Positive
from swalekit.design.brief.soil_keys import SoilKeys, soil_loss
from swalekit.hydrology.losses.losses import CurveNumberLoss, GreenAmptLoss
from swalekit.tables.values import soil_intake

STANDING_LIMIT_H = 72.0
"""Hours after which standing water breeds mosquitoes: UC IPM (2004), after Metzger (2003)."""


class SoilPart(Part):
    """How much of the rain runs off, how fast water soaks, how soil swells and settles."""

    curve_number: Annotated[float, Field(ge=30, le=100)] | None = Field(
        None, description="how much runs off, by one of four methods: NRCS curve number, 30 to 100"
    )
    cover: str | None = Field(None, description="cover of the published curve-number table")
    condition: str = Field(
        "poor", description="hydrologic condition of the cover: poor, fair, good, or any where it has only one"
    )
    group: Literal["A", "B", "C", "D"] | None = Field(None, description="hydrologic soil group")
    initial_abstraction_ratio: Annotated[float, Field(ge=0, le=0.4)] = Field(0.2, description="Ia/S")
    conductivity_mm_h: Positive | None = Field(None, description="Green-Ampt: conductivity K of the wetted soil [mm/h]")
    suction_mm: NotNegative | None = Field(None, description="Green-Ampt: suction at the wetting front [mm]")
    moisture_deficit: Annotated[float, Field(ge=0, le=0.6)] | None = Field(
        None, description="Green-Ampt: water that a volume of soil can still take up before the storm"
    )
    initial_saturation: Annotated[float, Field(ge=0, le=1)] | None = Field(
        None,
        description=(
            "Green-Ampt by texture: effective saturation before the storm, 0 as dry as it gets, 1 full; the "
            "texture then gives what is not given of the three above"
        ),
    )
    initial_loss_mm: NotNegative | None = Field(
        None, description="constant loss: rain kept before any runs off [mm]; 0 when not given"
    )
    loss_rate_mm_h: NotNegative | None = Field(None, description="constant loss: rain kept from then on [mm/h]")
    runoff_coefficient: Annotated[float, Field(gt=0, le=1)] | None = Field(
        None, description="share of the rain that runs off"
    )
    zones: str | None = Field(
        None, description="polygon file whose features carry any of the keys above or a texture; elsewhere these count"
    )
    infiltration_test: str | None = Field(
        None,
        description=(
            "CSV of a ring test: minutes since the start, depth soaked in; gives conductivity_mm_h to "
            "Green-Ampt and intake_mm_h, where they are not given"
        ),
    )
    infiltration_test_unit: Literal["mm", "in"] = Field("mm", description="unit of the test's depths")
    travel: Literal["velocity", "lag"] = Field(
        "velocity",
        description=(
            "time the runoff takes to a ditch: velocity of shallow flow down the longest path, or the NRCS "
            "lag formula, which needs curve numbers"
        ),
    )
    surface: str = Field("nearly bare", description="surface that runoff flows over, of the overland-velocity table")
    intake_mm_h: Positive | None = Field(
        None, description="rate at which standing water soaks in [mm/h], for the standing time"
    )
    texture: str | None = Field(
        None, description="USDA texture; gives intake_mm_h from the published table where there is no test"
    )
    empty_within_h: Annotated[Positive, Field(le=1000)] = Field(
        STANDING_LIMIT_H, description="hours from the end of the design storm in which a ditch should be dry [h]"
    )
    material: str = Field("earth", description="material of the swell table")
    swell: NotNegative | None = Field(None, description="bank to loose, as 0.25; from the material when not given")
    fill_factor: Annotated[float, Field(gt=0.3, le=1.2)] = Field(
        0.9, description="compacted berm volume per bank volume"
    )

    @property
    def loss_keys(self) -> SoilKeys:
        """The keys that say how much of the rain runs off."""
        return SoilKeys(**{field.name: getattr(self, field.name) for field in fields(SoilKeys)})

    @model_validator(mode="after")
    def _one_source_of_runoff(self) -> Self:
        loss = soil_loss(
            self.loss_keys,
            initial_abstraction_ratio=self.initial_abstraction_ratio,
            tested_mm_h=None if self.infiltration_test is None else 1.0,  # the file is read later
        )
        if self.texture is not None:
            soil_intake(self.texture)
        if self.travel == "lag" and not isinstance(loss, CurveNumberLoss):
            message = f"travel 'lag' needs a curve number, but the soil's method is {loss.method}; take 'velocity'"
            raise ValueError(message)
        needs_conductivity = isinstance(loss, GreenAmptLoss) and self.conductivity_mm_h is None
        if self.infiltration_test is not None and self.intake_mm_h is not None and not needs_conductivity:
            message = f"intake_mm_h is {self.intake_mm_h:g} and infiltration_test gives it too; give one"
            raise ValueError(message)
        return self
