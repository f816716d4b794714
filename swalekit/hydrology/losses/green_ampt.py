"""Infiltration behind a sharp wetting front, and a soil's values by texture."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_not_negative, check_one_of
from swalekit.errors import InputError
from swalekit.hydrology.losses.loss import KeyFigure, Loss
from swalekit.kernels.green_ampt import rain_excess
from swalekit.tables.load import read_table

_MM_PER_CM = 10.0
_COLUMNS = {
    "rawls": ("green_ampt", "effective_porosity", "suction_cm", "conductivity_cm_h"),
    "ogden-saghafian": (
        "ogden_saghafian", "effective_porosity", "capillary_drive_cm", "saturated_conductivity_cm_h",
    ),
}  # fmt: skip
PARAMETER_SETS = tuple(_COLUMNS)
"""Published sets of values by texture."""


@dataclass(frozen=True)
class GreenAmptLoss(Loss):
    """Infiltration behind a sharp wetting front, by Green and Ampt, with the time of ponding by Mein and Larson.

    Parameters
    ----------
    conductivity_mm_h : float
        Conductivity of the wetted soil [mm/h].
    suction_mm : float
        Suction at the wetting front, as a head [mm].
    moisture_deficit : float
        Water that a volume of soil can still take up before the storm, 0 to 1 [-].

    Raises
    ------
    InputError
        If a value is negative or the deficit exceeds 1.

    Notes
    -----
    The ground can take in f = K (1 + ψΔθ / F). Rain of intensity i ponds at F = K ψΔθ / (i − K); from then on
    F₂ − F₁ − ψΔθ ln[(ψΔθ + F₂) / (ψΔθ + F₁)] = K Δt, solved exactly in every step of even rain. What can't soak in
    runs off at once: no water stands on the surface. Between two bursts the front doesn't redistribute and the deficit
    doesn't recover, so that runoff after a long dry spell within the storm is overstated. One deep even soil; no crust,
    no water table, no cracks.

    References
    ----------
    .. [1] Green & Ampt (1911). J. Agric. Sci. 4(1).
    .. [2] Mein & Larson (1973). Water Resour. Res. 9(2).
    .. [3] Chow, Maidment & Mays (1988). Applied Hydrology, sections 4.3, 4.4 and 5.4.

    Examples
    --------
    >>> silt_loam = GreenAmptLoss(conductivity_mm_h=6.5, suction_mm=167.0, moisture_deficit=0.34)
    >>> silt_loam.excess_mm([0.0, 0.1, 0.5, 1.0], [0.0, 5.0, 25.0, 26.0]).round(1)
    array([0. , 0. , 5.6, 5.6])
    """

    conductivity_mm_h: float
    suction_mm: float
    moisture_deficit: float
    method = "Green-Ampt"
    in_words = "Green and Ampt's infiltration"
    told = in_words + ": K {conductivity_mm_h:mm/h}, suction {suction_mm:mm}, moisture deficit {moisture_deficit:.2g}"
    figure = KeyFigure("Green-Ampt K", "conductivity_mm_h", "mm/h")
    sources = (("Suction and porosity by texture", "green_ampt"),)
    keys = ("conductivity_mm_h", "suction_mm", "moisture_deficit", "initial_saturation")
    shared_keys = ("texture",)
    names = ("texture",)
    ways = (
        "conductivity_mm_h with suction_mm and moisture_deficit",
        "texture with initial_saturation",
    )
    tested_key = "conductivity_mm_h"
    infiltrates = True

    def __str__(self) -> str:
        return (
            f"Green-Ampt with K {self.conductivity_mm_h:.3g} mm/h, suction {self.suction_mm:.3g} mm, "
            f"moisture deficit {self.moisture_deficit:.2g}"
        )

    def __post_init__(self) -> None:
        check_not_negative(conductivity_mm_h=self.conductivity_mm_h, suction_mm=self.suction_mm)
        check_between(0.0, 1.0, moisture_deficit=self.moisture_deficit)

    @classmethod
    def from_keys(cls, keys: Mapping[str, Any]) -> Self:
        """The loss of the values that a brief's soil, or a soil zone, gives, and of its texture's for those not given.

        Parameters
        ----------
        keys : mapping
            ``conductivity_mm_h`` [mm/h], ``suction_mm`` [mm], ``moisture_deficit`` [-], or for what is missing
            ``texture`` and ``initial_saturation`` [-].

        Returns
        -------
        GreenAmptLoss
            The loss.

        Raises
        ------
        InputError
            If the wetness before the storm is given twice, a value is missing or outside its range, or there is no such
            texture.

        Examples
        --------
        >>> print(GreenAmptLoss.from_keys({"texture": "loam", "initial_saturation": 0.5}))
        Green-Ampt with K 3.4 mm/h, suction 88.9 mm, moisture deficit 0.22
        """
        if "moisture_deficit" in keys and "initial_saturation" in keys:
            message = (
                f"moisture_deficit {keys['moisture_deficit']:g} and initial_saturation {keys['initial_saturation']:g} "
                "both say how wet the soil is before the storm; give one"
            )
            raise InputError(message)
        values: dict[str, float] = {}
        if "texture" in keys:
            values |= vars(green_ampt_of_texture(keys["texture"], saturation=keys.get("initial_saturation", 0.0)))
            if "initial_saturation" not in keys:
                del values["moisture_deficit"]
        names = [field.name for field in fields(cls)]
        values |= {name: keys[name] for name in names if name in keys}
        missing = [name for name in names if name not in values]
        if missing:
            more = "initial_saturation" if "texture" in keys else "texture and initial_saturation"
            message = f"Green-Ampt needs {', '.join(missing)}; give {more} or the values themselves"
            raise InputError(message)
        return cls(**values)

    @classmethod
    def lent_keys(cls, zone: Mapping[str, Any]) -> tuple[str, ...]:
        """Keys that a zone takes from the brief: the ground's if it names no texture, the wetness if it says none.

        Parameters
        ----------
        zone : mapping
            What the zone says itself, by key.

        Returns
        -------
        tuple of str
            The keys.

        Examples
        --------
        >>> GreenAmptLoss.lent_keys({"texture": "loam"})
        ('moisture_deficit', 'initial_saturation')
        """
        ground = () if "texture" in zone else ("conductivity_mm_h", "suction_mm", "texture")
        wetness = ("moisture_deficit", "initial_saturation")
        return (*ground, *(() if any(name in zone for name in wetness) else wetness))

    def keeping(self, factor: float) -> Self:
        """The loss with its conductivity multiplied.

        Parameters
        ----------
        factor : float
            What the conductivity is multiplied by, above zero [-].

        Returns
        -------
        GreenAmptLoss
            The loss; suction and moisture deficit stay.

        Examples
        --------
        >>> GreenAmptLoss(6.5, 167.0, 0.34).keeping(2.0).conductivity_mm_h
        13.0
        """
        return replace(self, conductivity_mm_h=factor * self.conductivity_mm_h)

    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        rain_mm = np.diff(cumulative_mm, axis=1)
        excess = rain_excess(np.diff(time_h), rain_mm, self.conductivity_mm_h, self.suction_mm * self.moisture_deficit)
        return np.insert(excess, 0, 0.0, axis=1)


def green_ampt_of_texture(texture: str, *, saturation: float, parameter_set: str = "rawls") -> GreenAmptLoss:
    """Loss of a soil of which only the texture is known.

    Parameters
    ----------
    texture : str
        USDA texture.
    saturation : float
        Effective saturation before the storm: 0 as dry as it gets, 1 full [-].
    parameter_set : str
        ``rawls`` or ``ogden-saghafian``.

    Returns
    -------
    GreenAmptLoss
        With the moisture deficit (1 − saturation) θe.

    Raises
    ------
    InputError
        If texture or set is unknown, the choices then listed, or the saturation isn't between 0 and 1.

    Notes
    -----
    Means of many samples: conductivity within a texture spreads by a factor of ten either way, and a crust or a
    trodden surface governs it more than the texture does. A field test is worth more (`fit_infiltration_test`).

    Three cautions. For clay loam [1]_ prints θe = 0.309, while the middle of its own range and [2]_ have 0.390. Loam is
    printed as less conductive than silt loam in [1]_, the other way round in [2]_: the pair may be transposed, so try
    both values. And [2]_ gives saturated conductivity and the whole capillary drive, each about twice the conductivity
    and the suction of [1]_: it makes much less runoff, and values of the two sets must not be mixed.

    References
    ----------
    .. [1] Rawls, Brakensiek & Miller (1983). J. Hydraul. Eng. 109(1), Table 2.
    .. [2] Ogden & Saghafian (1997). J. Irrig. Drain. Eng. 123, Table 1.

    Examples
    --------
    >>> green_ampt_of_texture("sandy loam", saturation=0.5)
    GreenAmptLoss(conductivity_mm_h=10.9, suction_mm=110.1, moisture_deficit=0.206)
    """
    check_one_of(PARAMETER_SETS, parameter_set=parameter_set)
    check_between(0.0, 1.0, saturation=saturation)
    table, *columns = _COLUMNS[parameter_set]
    rows = {row["texture"]: row for row in read_table(table)}
    check_one_of(tuple(rows), texture=texture)
    porosity, suction_cm, conductivity_cm_h = (float(rows[texture][column]) for column in columns)
    return GreenAmptLoss(
        conductivity_mm_h=_MM_PER_CM * conductivity_cm_h,
        suction_mm=_MM_PER_CM * suction_cm,
        moisture_deficit=(1.0 - saturation) * porosity,
    )
