"""How much of a month's rain a watered crop uses."""

import numpy as np
from numpy.typing import ArrayLike, NDArray


def effective_rain_mm(month_mm: ArrayLike) -> NDArray[np.float64]:
    """Effective rain of a month, as the USDA Soil Conservation Service reckons it for irrigated crops.

    Parameters
    ----------
    month_mm : array_like
        Rain of a month [mm].

    Returns
    -------
    ndarray of float64
        What of it the crop uses [mm].

    Notes
    -----
    P (125 − 0.2 P) / 125 up to 250 mm, 125 + 0.1 P above: the form of FAO's CROPWAT, as transcribed in the R package
    FAO56. Not for hard storms on bare slopes, whose water runs off.

    Examples
    --------
    >>> effective_rain_mm([0.0, 100.0, 250.0, 300.0]).tolist()
    [0.0, 84.0, 150.0, 155.0]
    """
    rain = np.asarray(month_mm, np.float64)
    return np.asarray(np.where(rain <= 250.0, rain * (125.0 - 0.2 * rain) / 125.0, 125.0 + 0.1 * rain))
