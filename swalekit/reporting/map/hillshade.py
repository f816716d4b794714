"""Shaded relief."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit.terrain.slope import gradient

LIGHT_AZIMUTH_DEG = 315.0
LIGHT_ALTITUDE_DEG = 45.0


def hillshade(
    heights: NDArray[np.float32],
    cell_m: float,
    *,
    vertical_exaggeration: float = 1.0,
    azimuth_deg: float = LIGHT_AZIMUTH_DEG,
    altitude_deg: float = LIGHT_ALTITUDE_DEG,
) -> NDArray[np.float32]:
    """Brightness of the ground under one distant light.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Ground heights, north up, NaN where void [m].
    cell_m : float
        Side of a cell [m].
    vertical_exaggeration : float
        Factor on heights [-].
    azimuth_deg, altitude_deg : float
        Where the light stands: clockwise from north and above the horizon [°].

    Returns
    -------
    ndarray of float32, shape (rows, columns)
        Cosine of the angle between light and ground normal, 0 where the ground turns away; NaN where void [-].

    Notes
    -----
    (sin a − cos a (p sin A + q cos A)) / √(1 + p² + q²) with p and q the exaggerated slopes eastward and northward:
    the Lambertian surface of Horn (1981). Cast shadows are left out.

    References
    ----------
    .. [1] Horn, B. K. P. (1981). Hill shading and the reflectance map. Proceedings of the IEEE 69(1), 14-47.

    Examples
    --------
    >>> level = hillshade(np.zeros((3, 3), np.float32), 1.0)
    >>> print(level[1, 1].round(4))
    0.7071
    """
    check_positive(vertical_exaggeration=vertical_exaggeration)
    azimuth, altitude = math.radians(azimuth_deg), math.radians(altitude_deg)
    east, north = gradient(heights, cell_m)
    east, north = east * vertical_exaggeration, north * vertical_exaggeration
    toward_light = math.sin(altitude) - math.cos(altitude) * (math.sin(azimuth) * east + math.cos(azimuth) * north)
    return np.asarray(np.maximum(toward_light / np.sqrt(1 + east**2 + north**2), 0), np.float32)
