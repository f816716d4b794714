"""What a brief's soil part, or a soil zone, says of runoff, as a loss."""

from dataclasses import dataclass, replace

from swalekit._checks import check_between
from swalekit.errors import InputError
from swalekit.hydrology.losses.green_ampt import green_ampt_of_texture
from swalekit.hydrology.losses.losses import ConstantLoss, CurveNumberLoss, GreenAmptLoss, Loss, RunoffCoefficient
from swalekit.tables.curve_numbers import curve_number as published_curve_number

NUMBERS: tuple[str, ...] = (
    "curve_number",
    "conductivity_mm_h",
    "suction_mm",
    "moisture_deficit",
    "initial_saturation",
    "initial_loss_mm",
    "loss_rate_mm_h",
    "runoff_coefficient",
)
"""Keys whose values are numbers."""
WORDS: tuple[str, ...] = ("cover", "condition", "group", "texture")
"""Keys whose values are rows of published tables."""

_TELLING: dict[str, tuple[str, ...]] = {
    CurveNumberLoss.method: ("curve_number", "cover"),
    GreenAmptLoss.method: ("conductivity_mm_h", "suction_mm", "moisture_deficit", "initial_saturation"),
    ConstantLoss.method: ("initial_loss_mm", "loss_rate_mm_h"),
    RunoffCoefficient.method: ("runoff_coefficient",),
}
"""Keys that, once given, ask for a method; a group or a texture alone doesn't say which one."""

_GROUND = ("conductivity_mm_h", "suction_mm", "texture")
_WETNESS = ("moisture_deficit", "initial_saturation")

LOSS_WAYS = (
    "give curve_number, or cover and group, or conductivity_mm_h with suction_mm and moisture_deficit, "
    "or texture with initial_saturation, or loss_rate_mm_h, or runoff_coefficient"
)
"""What may be given, for messages."""


@dataclass(frozen=True)
class SoilKeys:
    """The keys that say how much of the rain runs off; None where nothing is said.

    Parameters
    ----------
    curve_number : float, optional
        NRCS curve number, 30 to 100 [-].
    cover, condition, group : str, optional
        Row and column of the published curve-number table.
    conductivity_mm_h, suction_mm, moisture_deficit : float, optional
        Green and Ampt's values [mm/h, mm, -].
    texture : str, optional
        USDA texture, for those of Green and Ampt's values that are not given.
    initial_saturation : float, optional
        Effective saturation before the storm, for the moisture deficit of the texture [-].
    initial_loss_mm, loss_rate_mm_h : float, optional
        Constant loss [mm, mm/h].
    runoff_coefficient : float, optional
        Share of the rain that runs off [-].
    """

    curve_number: float | None = None
    cover: str | None = None
    condition: str | None = None
    group: str | None = None
    conductivity_mm_h: float | None = None
    suction_mm: float | None = None
    moisture_deficit: float | None = None
    texture: str | None = None
    initial_saturation: float | None = None
    initial_loss_mm: float | None = None
    loss_rate_mm_h: float | None = None
    runoff_coefficient: float | None = None

    @property
    def method(self) -> str | None:
        """Name of the loss method that the keys ask for, None where they ask for none.

        Raises
        ------
        InputError
            If they ask for two.

        Examples
        --------
        >>> SoilKeys(texture="sandy loam", initial_saturation=0.3).method
        'Green-Ampt'
        """
        given = {
            method: [name for name in names if getattr(self, name) is not None] for method, names in _TELLING.items()
        }
        asked = [method for method, names in given.items() if names]
        if len(asked) > 1:
            first, second = (given[method][0] for method in asked[:2])
            message = (
                f"{first} ({asked[0]}) and {second} ({asked[1]}) both say how much runs off; give one of the methods"
            )
            raise InputError(message)
        return asked[0] if asked else None

    def within(self, brief: "SoilKeys") -> "SoilKeys":
        """Keys of a zone, with what they leave out of their method taken from the brief's keys.

        A group alone takes the brief's cover, a texture alone the brief's wetness before the storm, and so on; without
        a key that asks for a method, group or texture follow the brief's.

        Parameters
        ----------
        brief : SoilKeys
            Those of the brief's own soil.

        Examples
        --------
        >>> SoilKeys(group="D").within(SoilKeys(cover="meadow", condition="any", group="B"))
        ... # doctest: +ELLIPSIS
        SoilKeys(curve_number=None, cover='meadow', condition='any', group='D', ...)
        """
        taken: tuple[str, ...] = ("condition",)
        if self.method in (None, brief.method):
            match brief.method:
                case CurveNumberLoss.method if self.curve_number is None and (self.cover or self.group):
                    taken = (*taken, "cover", "group")
                case GreenAmptLoss.method if self.method or self.texture:
                    taken = (*taken, *(() if self.texture else _GROUND), *(() if self._says_wetness else _WETNESS))
                case ConstantLoss.method if self.method:
                    taken = (*taken, *_TELLING[ConstantLoss.method])
        return replace(self, **{name: getattr(brief, name) for name in taken if getattr(self, name) is None})

    @property
    def _says_wetness(self) -> bool:
        return any(getattr(self, name) is not None for name in _WETNESS)


def soil_loss(keys: SoilKeys, *, initial_abstraction_ratio: float, tested_mm_h: float | None = None) -> Loss:
    """The loss that keys ask for.

    Parameters
    ----------
    keys : SoilKeys
        From a brief or a zone.
    initial_abstraction_ratio : float
        Ia / S of curve numbers [-].
    tested_mm_h : float, optional
        Conductivity by a test in the field, for Green and Ampt where the keys give none [mm/h].

    Returns
    -------
    Loss
        By the one method that the keys ask for.

    Raises
    ------
    InputError
        If the keys ask for no method or for two, leave a value out, say it twice, or name no row of a table.

    Examples
    --------
    >>> print(soil_loss(SoilKeys(cover="meadow", condition="any", group="B"), initial_abstraction_ratio=0.2))
    curve number 58
    >>> print(soil_loss(SoilKeys(texture="loam", initial_saturation=0.5), initial_abstraction_ratio=0.2))
    Green-Ampt with K 3.4 mm/h, suction 88.9 mm, moisture deficit 0.22
    """
    match keys.method:
        case CurveNumberLoss.method:
            return CurveNumberLoss(_curve_number(keys), initial_abstraction_ratio)
        case GreenAmptLoss.method:
            return _green_ampt(keys, tested_mm_h)
        case ConstantLoss.method:
            if keys.loss_rate_mm_h is None:
                message = (
                    f"initial_loss_mm is {keys.initial_loss_mm:g} but the rate is missing; give loss_rate_mm_h too"
                )
                raise InputError(message)
            return ConstantLoss(keys.initial_loss_mm or 0.0, keys.loss_rate_mm_h)
        case RunoffCoefficient.method if keys.runoff_coefficient is not None:
            check_between(0.0, 1.0, runoff_coefficient=keys.runoff_coefficient)
            return RunoffCoefficient(keys.runoff_coefficient)
        case _:
            given = " and ".join(
                f"{name} '{getattr(keys, name)}'" for name in ("group", "texture") if getattr(keys, name)
            )
            message = f"{f'{given} alone does not say' if given else 'no key says'} how much runs off; {LOSS_WAYS}"
            raise InputError(message)


def _curve_number(keys: SoilKeys) -> float:
    if keys.curve_number is not None and keys.cover is not None:
        message = f"curve_number {keys.curve_number:g} and cover '{keys.cover}' both say how much runs off; give one"
        raise InputError(message)
    if keys.curve_number is not None:
        check_between(30.0, 100.0, curve_number=keys.curve_number)
        return keys.curve_number
    missing = [name for name in ("condition", "group") if getattr(keys, name) is None]
    if missing:
        message = f"cover '{keys.cover}' needs {' and '.join(missing)} to find its published curve number"
        raise InputError(message)
    return published_curve_number(keys.cover or "", keys.condition or "", keys.group or "").curve_number


def _green_ampt(keys: SoilKeys, tested_mm_h: float | None) -> GreenAmptLoss:
    """Values given, else tested, else those of the texture."""
    if keys.moisture_deficit is not None and keys.initial_saturation is not None:
        message = (
            f"moisture_deficit {keys.moisture_deficit:g} and initial_saturation {keys.initial_saturation:g} both say "
            "how wet the soil is before the storm; give one"
        )
        raise InputError(message)
    conductivity_mm_h, suction_mm, deficit = _first(keys.conductivity_mm_h, tested_mm_h), keys.suction_mm, None
    if keys.texture is not None:
        published = green_ampt_of_texture(keys.texture, saturation=keys.initial_saturation or 0.0)
        conductivity_mm_h = _first(conductivity_mm_h, published.conductivity_mm_h)
        suction_mm = _first(suction_mm, published.suction_mm)
        deficit = None if keys.initial_saturation is None else published.moisture_deficit
    values = {
        "conductivity_mm_h": conductivity_mm_h,
        "suction_mm": suction_mm,
        "moisture_deficit": _first(keys.moisture_deficit, deficit),
    }
    missing = [name for name, value in values.items() if value is None]
    if missing:
        message = (
            f"Green-Ampt needs {', '.join(missing)}; give "
            f"{'initial_saturation' if keys.texture else 'texture and initial_saturation'} or the values themselves"
        )
        raise InputError(message)
    return GreenAmptLoss(**{name: value for name, value in values.items() if value is not None})


def _first(*values: float | None) -> float | None:
    """The first that is given."""
    return next((value for value in values if value is not None), None)
