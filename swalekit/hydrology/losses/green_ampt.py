"""Green and Ampt's soil: its values by texture, when it ponds, and what it takes in under a pond."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_not_negative, check_one_of, check_positive
from swalekit.errors import InputError
from swalekit.hydrology.losses.losses import GreenAmptLoss
from swalekit.kernels.green_ampt import ponded_gains
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


def time_of_ponding_h(rain_mm_h: float, soil: GreenAmptLoss) -> float:
    """Time after which even rain begins to run off.

    Parameters
    ----------
    rain_mm_h : float
        Intensity [mm/h].
    soil : GreenAmptLoss
        The soil.

    Returns
    -------
    float
        Time [h]; infinite where the soil takes in all rain for good. The depth that has soaked in is the rain until
        then.

    Raises
    ------
    InputError
        If the intensity isn't positive.

    Notes
    -----
    t = K ψΔθ / [i (i − K)] for i > K.

    References
    ----------
    .. [1] Mein & Larson (1973). Water Resour. Res. 9(2).
    .. [2] Chow, Maidment & Mays (1988). Applied Hydrology, eq. 4.4.2.

    Examples
    --------
    >>> round(time_of_ponding_h(50.0, GreenAmptLoss(6.5, 167.0, 0.34)), 2)
    0.17
    """
    check_positive(rain_mm_h=rain_mm_h)
    above = rain_mm_h - soil.conductivity_mm_h
    if above <= 0:
        return math.inf
    return soil.conductivity_mm_h * soil.suction_mm * soil.moisture_deficit / (rain_mm_h * above)


def ponded_infiltration_mm(time_h: ArrayLike, soil: GreenAmptLoss, *, pond_mm: float = 0.0) -> NDArray[np.float64]:
    """Depth that a soil has taken in, ponded from the start.

    Parameters
    ----------
    time_h : array_like
        Time since the pond came [h].
    soil : GreenAmptLoss
        The soil.
    pond_mm : float
        Depth of the pond, held steady [mm].

    Returns
    -------
    ndarray of float64
        Depth soaked in, in the shape of the time [mm].

    Raises
    ------
    InputError
        If a time or the pond's depth is negative.

    Notes
    -----
    F − ψΔθ ln(1 + F / ψΔθ) = K t, with the pond's depth added to ψ. Water moves straight down.

    References
    ----------
    .. [1] Chow, Maidment & Mays (1988). Applied Hydrology, eq. 4.3.6.

    Examples
    --------
    >>> ponded_infiltration_mm([0.5, 1.0, 2.0], GreenAmptLoss(6.5, 167.0, 0.34)).round(1)
    array([21.4, 31.7, 47.5])
    """
    check_not_negative(pond_mm=pond_mm)
    time = np.asarray(time_h, np.float64)
    if not np.all(time >= 0):
        message = f"time_h is {np.min(time):g}; it must be zero or greater"
        raise InputError(message)
    head_deficit_mm = (soil.suction_mm + pond_mm) * soil.moisture_deficit
    return ponded_gains(time.ravel(), soil.conductivity_mm_h, head_deficit_mm).reshape(time.shape)


def infiltration_capacity_mm_h(
    infiltrated_mm: ArrayLike, soil: GreenAmptLoss, *, pond_mm: float = 0.0
) -> NDArray[np.float64]:
    """Rate at which a ponded soil takes in water.

    Parameters
    ----------
    infiltrated_mm : array_like
        Depth that it has taken in already [mm].
    soil : GreenAmptLoss
        The soil.
    pond_mm : float
        Depth of the pond [mm].

    Returns
    -------
    ndarray of float64
        Rate, in the shape of the depth [mm/h].

    Raises
    ------
    InputError
        If a depth soaked in isn't positive or the pond's depth is negative.

    Notes
    -----
    f = K (1 + ψΔθ / F), with the pond's depth added to ψ; K after long ponding, without limit at the start.

    References
    ----------
    .. [1] Chow, Maidment & Mays (1988). Applied Hydrology, eq. 4.3.7.

    Examples
    --------
    >>> infiltration_capacity_mm_h([10.0, 100.0], GreenAmptLoss(6.5, 167.0, 0.34)).round(1)
    array([43.4, 10.2])
    """
    check_not_negative(pond_mm=pond_mm)
    infiltrated = np.asarray(infiltrated_mm, np.float64)
    if not np.all(infiltrated > 0):
        message = f"infiltrated_mm is {np.min(infiltrated):g}; it must be greater than zero"
        raise InputError(message)
    head_deficit_mm = (soil.suction_mm + pond_mm) * soil.moisture_deficit
    return soil.conductivity_mm_h * (1.0 + head_deficit_mm / infiltrated)
