"""The part of the brief that says what the ground does with water, and the soil under a machine."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from swalekit.design.brief.part import NotNegative, Part, Positive
from swalekit.errors import InputError
from swalekit.hydrology.losses.coefficient import RunoffCoefficient
from swalekit.hydrology.losses.constant import ConstantLoss
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.green_ampt import GreenAmptLoss
from swalekit.hydrology.losses.loss import Loss
from swalekit.tables.values import soil_intake

LOSS_METHODS: tuple[type[Loss], ...] = (CurveNumberLoss, GreenAmptLoss, ConstantLoss, RunoffCoefficient)
"""Every method of losses that a brief may ask for; its keys are fields of `SoilPart`."""
LOSS_KEYS = tuple(dict.fromkeys(key for method in LOSS_METHODS for key in (*method.keys, *method.shared_keys)))
"""Keys that say how much of the rain runs off; a soil zone may carry any of them."""
LOSS_WAYS = f"give {', or '.join(way for method in LOSS_METHODS for way in method.ways)}"
"""What may be given, for messages."""

STANDING_LIMIT_H = 72.0
"""Hours after which standing water breeds mosquitoes: UC IPM (2004), after Metzger (2003)."""


class SoilPart(Part):
    """How much of the rain runs off, how fast water soaks, how soil swells and settles."""

    curve_number: Annotated[float, Field(ge=30, le=100)] | None = Field(
        None, description="NRCS curve number, 30 to 100: how much of the rain runs off"
    )
    cover: str | None = Field(None, description="cover of the published curve-number table")
    condition: str = Field(
        "poor", description="hydrologic condition of the cover: poor, fair, good, or any where it has only one"
    )
    group: Literal["A", "B", "C", "D"] | None = Field(None, description="hydrologic soil group")
    initial_abstraction_ratio: Annotated[float, Field(ge=0, le=0.4)] = Field(
        0.2, description="Ia/S; a cover's published curve number, which stands for 0.2, is converted to 0.05"
    )
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
    bring_soil: bool = Field(
        False, description="whether soil that a berm lacks on uneven ground is brought; its crest is lower otherwise"
    )

    @property
    def loss_keys(self) -> dict[str, Any]:
        """The keys given that say how much of the rain runs off."""
        return {name: getattr(self, name) for name in LOSS_KEYS if getattr(self, name) is not None}

    @property
    def loss_is_tested(self) -> bool:
        """Whether the method takes from the ring test what it isn't given."""
        method = _method_asked(self.loss_keys)
        return method is not None and method.tested_key is not None and method.tested_key not in self.loss_keys

    @model_validator(mode="after")
    def _one_source_of_runoff(self) -> Self:
        loss = soil_loss(
            self.loss_keys,
            tested_mm_h=None if self.infiltration_test is None else 1.0,  # the file is read later
        )
        if self.texture is not None:
            soil_intake(self.texture)
        if self.travel == "lag" and not isinstance(loss, CurveNumberLoss):
            message = f"travel 'lag' needs a curve number, but the soil's method is {loss.method}; take 'velocity'"
            raise ValueError(message)
        if self.infiltration_test is not None and self.intake_mm_h is not None and not self.loss_is_tested:
            message = f"intake_mm_h is {self.intake_mm_h:g} and infiltration_test gives it too; give one"
            raise ValueError(message)
        return self


def _method_asked(keys: Mapping[str, Any]) -> type[Loss] | None:
    """The method that keys ask for, None where they ask for none.

    Raises
    ------
    InputError
        If they ask for two.

    Examples
    --------
    >>> _method_asked({"texture": "sandy loam", "initial_saturation": 0.3}).method
    'Green-Ampt'
    """
    asked = {method: key for method in LOSS_METHODS for key in reversed(method.keys) if key in keys}
    if len(asked) > 1:
        first, second = (f"{key} ({method.method})" for method, key in list(asked.items())[:2])
        message = f"{first} and {second} both say how much runs off; give one of the methods"
        raise InputError(message)
    return next(iter(asked), None)


def keys_of_zone(zone: Mapping[str, Any], brief: Mapping[str, Any]) -> dict[str, Any]:
    """Keys of a zone, with what they leave out of their method taken from the brief's keys.

    A group alone takes the brief's cover, a texture alone the brief's wetness before the storm, and so on; without a
    key that asks for a method, keys that the brief's method reads follow it.

    Parameters
    ----------
    zone, brief : mapping
        Values by key, of the zone and of the brief's own soil.

    Returns
    -------
    dict of str to object
        Values by key.

    Examples
    --------
    >>> keys_of_zone({"group": "D"}, {"cover": "meadow", "condition": "any", "group": "B"})
    {'condition': 'any', 'cover': 'meadow', 'group': 'D'}
    """
    method, usual = _method_asked(zone), _method_asked(brief)
    lent: tuple[str, ...] = _WITH_DEFAULT
    if usual is not None and (method is usual or (method is None and any(key in zone for key in usual.shared_keys))):
        lent += usual.lent_keys(zone)
    return {key: brief[key] for key in lent if key in brief} | dict(zone)


def soil_loss(keys: Mapping[str, Any], *, tested_mm_h: float | None = None) -> Loss:
    """The loss that keys ask for.

    Parameters
    ----------
    keys : mapping
        Values of `LOSS_KEYS` in SI, as far as they are given.
    tested_mm_h : float, optional
        Conductivity by a test in the field, for methods that take one and aren't given it [mm/h].

    Returns
    -------
    Loss
        By the method that the keys ask for.

    Raises
    ------
    InputError
        If nothing says how much runs off, or two keys do, or a value is missing or outside its range.

    Examples
    --------
    >>> print(soil_loss({"cover": "meadow", "condition": "any", "group": "B"}))
    curve number 58
    >>> print(soil_loss({"texture": "loam", "initial_saturation": 0.5}))
    Green-Ampt with K 3.4 mm/h, suction 88.9 mm, moisture deficit 0.22
    """
    method = _method_asked(keys)
    if method is None:
        given = " and ".join(f"{key} '{keys[key]}'" for key in LOSS_KEYS if key in keys and key not in _WITH_DEFAULT)
        message = f"{f'{given} alone does not say' if given else 'no key says'} how much runs off; {LOSS_WAYS}"
        raise InputError(message)
    tested = {} if method.tested_key is None or tested_mm_h is None else {method.tested_key: tested_mm_h}
    return method.from_keys(tested | dict(keys))


_WITH_DEFAULT = tuple(key for key in LOSS_KEYS if SoilPart.model_fields[key].default is not None)
"""Keys that a brief always holds."""
