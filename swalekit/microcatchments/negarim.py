"""Measures of a negarim: a square of ground on its corner, banked all round, with a pit at the lowest corner."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_positive
from swalekit.tables.microcatchments import microcatchment_rule

_STATIONS = 33
"""Places along a wall at which its section is taken."""
_ROUNDING = 1e-6
"""Share of a step by which a height may exceed it, so that a fall of just 30 cm is not made 35."""


def bund_height_m(side_m: ArrayLike, slope: ArrayLike) -> NDArray[np.float64]:
    """Height of the bund at the lowest corner.

    Parameters
    ----------
    side_m : array_like
        Side of the unit [m].
    slope : array_like
        Fall of the ground along its diagonal [m/m].

    Returns
    -------
    ndarray of float64
        Height [m].

    Notes
    -----
    The fall along the diagonal, side · √2 · slope, at least 25 cm, rounded up to 5 cm: so its crest is level with the
    ground at the highest corner. The printed table follows the same rule but rounds three of its figures down (56.6 cm
    to 55, 56.6 to 55, 50.9 to 50); here every one is rounded up.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, bund heights of negarim; from memory.

    Examples
    --------
    >>> bund_height_m(5.0, [0.02, 0.04, 0.05]).tolist()
    [0.25, 0.3, 0.4]
    """
    least_m, step_m = (microcatchment_rule(f"negarim {name}").value for name in ("least bund", "bund step"))
    fall_m = np.sqrt(2.0) * np.asarray(side_m, np.float64) * np.asarray(slope, np.float64)
    return np.asarray(np.round(step_m * np.ceil(np.maximum(fall_m, least_m) / step_m - _ROUNDING), 6))


def steepest_slope(side_m: float) -> float:
    """Steepest ground on which the bund is no higher than the highest published.

    Parameters
    ----------
    side_m : float
        Side of the unit [m].

    Returns
    -------
    float
        Fall along the diagonal [m/m].

    Raises
    ------
    InputError
        If the side isn't positive.

    Examples
    --------
    >>> round(steepest_slope(10.0), 4), round(float(bund_height_m(10.0, steepest_slope(10.0))), 2)
    (0.0424, 0.6)
    """
    check_positive(side_m=side_m)
    return float(_rule("greatest bund") / (np.sqrt(2.0) * side_m))


def bund_section_m2(height_m: ArrayLike) -> NDArray[np.float64]:
    """Area of the bund's section.

    Parameters
    ----------
    height_m : array_like
        Height above the ground [m].

    Returns
    -------
    ndarray of float64
        Area [m²].

    Notes
    -----
    A top of 25 cm and sides of 1 : 1.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, section of the bund; from memory.

    Examples
    --------
    >>> float(bund_section_m2(0.25))
    0.125
    """
    height = np.asarray(height_m, np.float64)
    return np.asarray(height * (_rule("bund top") + _rule("bund side slope") * height))


def bund_half_base_m(height_m: float) -> float:
    """Half the width of the bund at the ground.

    Parameters
    ----------
    height_m : float
        Height above the ground [m].

    Returns
    -------
    float
        From its middle line to its toe [m].

    Examples
    --------
    >>> bund_half_base_m(0.25)
    0.375
    """
    return _rule("bund top") / 2.0 + _rule("bund side slope") * height_m


def wall_m3(side_m: float, height_m: ArrayLike, start_rise_m: ArrayLike, end_rise_m: ArrayLike) -> NDArray[np.float64]:
    """Soil in one wall, whose crest is level from the lowest corner on, but nowhere less than 25 cm above the ground.

    Parameters
    ----------
    side_m : float
        Length of the wall [m].
    height_m : array_like, shape (n,)
        Height of the bund at the lowest corner of the unit [m].
    start_rise_m, end_rise_m : array_like, shape (n,)
        Ground at both ends of the wall above that at the lowest corner [m]; it rises evenly between.

    Returns
    -------
    ndarray of float64, shape (n,)
        Volume [m³].

    Notes
    -----
    The manual says that soil moved is the same on all slopes; a bund that is higher than 25 cm takes more, which is
    counted here. Where two walls meet, the soil of the corner counts for both, as in its table.

    Examples
    --------
    >>> float(wall_m3(5.0, 0.25, 0.0, 0.1))  # half of the 1.25 m³ that the table gives a unit of 5 m
    0.625
    """
    given = (height_m, start_rise_m, end_rise_m)
    height, start, end = (np.asarray(value, np.float64)[..., np.newaxis] for value in given)
    share = np.linspace(0.0, 1.0, _STATIONS)
    above = np.maximum(height - (start + share * (end - start)), _rule("least bund"))
    section = bund_section_m2(above)
    return side_m * np.asarray((section[..., 1:] + section[..., :-1]).mean(axis=-1) / 2.0)


def corner_water_m3(depth_m: ArrayLike, side_m: float, slope: ArrayLike) -> NDArray[np.float64]:
    """Water that stands in a unit on an even slope.

    Parameters
    ----------
    depth_m : array_like
        Depth at the lowest corner [m].
    side_m : float
        Side of the unit [m].
    slope : array_like
        Fall of the ground along its diagonal [m/m].

    Returns
    -------
    ndarray of float64
        Volume above the ground, without that of the pit [m³].

    Raises
    ------
    InputError
        If the side isn't positive.

    Notes
    -----
    V = h³ / (3 s²) while the water's edge is short of the corners at the sides, h ≤ s a / √2; beyond them less by
    (2/3) s (h/s − a/√2)³, and a² (h − s a / √2) once it covers the whole unit. Geometry.

    Examples
    --------
    >>> round(float(corner_water_m3(0.05, 5.0, 0.02)), 4)
    0.1042
    >>> round(float(corner_water_m3(0.25, 5.0, 0.0)), 4)
    6.25
    """
    check_positive(side_m=side_m)
    depth = np.maximum(np.asarray(depth_m, np.float64), 0.0)
    fall = np.asarray(slope, np.float64)
    half_m, gentle = side_m / np.sqrt(2.0), np.maximum(fall, 1e-9)
    reach = np.minimum(depth / gentle, 2.0 * half_m)
    part = gentle * (reach**3 / 3.0 - 2.0 / 3.0 * np.maximum(reach - half_m, 0.0) ** 3)
    whole = side_m**2 * (depth - fall * half_m)
    return np.asarray(np.where(depth >= 2.0 * half_m * fall, whole, part))


def _rule(name: str) -> float:
    return microcatchment_rule(f"negarim {name}").value
