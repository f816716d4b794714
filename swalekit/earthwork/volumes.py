"""Volumes from areas at stations."""

import numpy as np
from numpy.typing import ArrayLike

from swalekit._checks import check_positive, check_same_shape
from swalekit.errors import InputError


def end_area_volume_m3(area_m2: ArrayLike, chainage_m: ArrayLike, *, closed_length_m: float | None = None) -> float:
    """Volume by average end areas.

    Parameters
    ----------
    area_m2 : array_like, shape (n,)
        Area of the cross-section at the stations [m²].
    chainage_m : array_like, shape (n,)
        Distance of the stations along the line, rising [m].
    closed_length_m : float, optional
        Whole length of a closed line [m]: its last station is joined to the first. An open line ends with upright
        faces at its first and last station.

    Returns
    -------
    float
        Volume [m³].

    Raises
    ------
    InputError
        If the arrays differ in shape, or the chainage doesn't rise, to its end and to the closed length.

    Notes
    -----
    V = Σ L (A1 + A2) / 2. An open ditch's end faces are in truth as flat as its sides: the wedge beyond each end
    station, about a third of the end area times depth times side slope, is left out, as is its share of the storage.
    The rule is for straight lines: earth a distance x outside a bend of radius R is x / R more than it says, unless the
    areas are weighted for it, as those of `swalekit.section.areas` can be.

    Examples
    --------
    >>> end_area_volume_m3([4.0, 9.0], [0.0, 10.0])
    65.0
    """
    area, chainage = np.asarray(area_m2, np.float64), np.asarray(chainage_m, np.float64)
    check_same_shape(area_m2=area, chainage_m=chainage)
    if closed_length_m is not None:
        area, chainage = np.append(area, area[:1]), np.append(chainage, closed_length_m)
    legs = np.diff(chainage)
    if np.any(legs <= 0):
        after = int(np.argmax(legs <= 0))
        message = (
            f"chainage_m goes from {chainage[after]:g} to {chainage[after + 1]:g}; it must rise from station to station"
        )
        raise InputError(message)
    return float(legs @ (area[1:] + area[:-1]) / 2.0)


def prismoidal_volume_m3(area_m2: ArrayLike, spacing_m: float) -> float:
    """Volume by the prismoidal rule, which is exact where areas change as the square of the distance.

    Parameters
    ----------
    area_m2 : array_like, shape (n,)
        Area of the cross-section at evenly spaced stations, an odd number of them [m²].
    spacing_m : float
        Distance between stations [m].

    Returns
    -------
    float
        Volume [m³].

    Raises
    ------
    InputError
        If the number of stations is even or below three, or the spacing isn't positive.

    Notes
    -----
    V = (h / 3) (A0 + An + 4 Σ A_odd + 2 Σ A_even). A check on average end areas, which give too much where areas
    change fast.

    References
    ----------
    .. [1] Basak, N. N. Surveying and Levelling, ch. 8.

    Examples
    --------
    >>> round(prismoidal_volume_m3([4.0, 6.25, 9.0], 5.0), 3)
    63.333
    """
    check_positive(spacing_m=spacing_m)
    area = np.asarray(area_m2, np.float64)
    if area.size < 3 or area.size % 2 == 0:
        message = f"area_m2 has {area.size} stations; the prismoidal rule needs an odd number of at least three"
        raise InputError(message)
    return float(spacing_m / 3.0 * (area[0] + area[-1] + 4.0 * area[1::2].sum() + 2.0 * area[2:-1:2].sum()))


def prismoidal_correction_m3(length_m: float, height_m: tuple[float, float], width_m: tuple[float, float]) -> float:
    """What average end areas give too much between two triangular or two-level sections.

    Parameters
    ----------
    length_m : float
        Distance between the sections [m].
    height_m : tuple of float
        Centre height of both sections [m].
    width_m : tuple of float
        Whole width between the slope stakes of both sections [m].

    Returns
    -------
    float
        Correction, to be taken off the volume by average end areas [m³].

    Notes
    -----
    Cp = (L / 12) (h1 − h2) (w1 − w2).

    References
    ----------
    .. [1] Basak, N. N. Surveying and Levelling, ch. 8, problem 8.

    Examples
    --------
    >>> round(prismoidal_correction_m3(50.0, (1.0, 1.5), (12.75, 12.85)), 3)
    0.208
    """
    return length_m / 12.0 * (height_m[0] - height_m[1]) * (width_m[0] - width_m[1])
