"""The sun of a winter noon on sloping ground."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between

OBLIQUITY_DEG = 23.44
"""Declination of the sun at a solstice."""


def noon_sun(dz_dx: NDArray[np.float32], dz_dy: NDArray[np.float32], *, latitude_deg: float) -> NDArray[np.float32]:
    """Strength of the direct sun at noon of the shortest day, over that on level ground.

    Parameters
    ----------
    dz_dx, dz_dy : ndarray of float32
        Rise of the ground eastward and northward [m/m]; NaN where void.
    latitude_deg : float
        Latitude, south negative.

    Returns
    -------
    ndarray of float32
        cos i / cos z, with i the angle between the sun and the ground's normal and z that between the sun and the
        zenith: 1 on level ground, 0 in its own shadow; NaN where void.

    Raises
    ------
    InputError
        If the sun doesn't rise at that noon, or there is no such latitude.

    Notes
    -----
    At noon the sun stands on the meridian at the altitude 90° − |φ − δ|, δ being −23.44° in the northern winter and
    23.44° in the southern. Neighbouring ground casts no shadow here, and grid north counts as north.

    References
    ----------
    .. [1] Duffie, J. A., Beckman, W. A. Solar Engineering of Thermal Processes, ch. 1 (angle of incidence).

    Examples
    --------
    Ground of 20 % at 40° north: it rises northward, so it faces the sun; level; it rises southward.

    >>> rise = np.array([0.2, 0.0, -0.2], np.float32)
    >>> noon_sun(np.zeros(3, np.float32), rise, latitude_deg=40.0).round(2)
    array([1.37, 1.  , 0.59], dtype=float32)
    """
    check_between(-66.0, 66.0, latitude_deg=latitude_deg)
    declination_deg = -math.copysign(OBLIQUITY_DEG, latitude_deg)
    zenith = math.radians(latitude_deg - declination_deg)  # positive: the sun stands in the south
    northward = -math.sin(zenith)
    facing = math.cos(zenith) - northward * dz_dy
    strength = np.maximum(facing / np.sqrt(1.0 + dz_dx**2 + dz_dy**2), 0.0) / math.cos(zenith)
    return np.asarray(strength, np.float32)
