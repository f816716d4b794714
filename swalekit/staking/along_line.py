"""Values of a line's stations at any chainage."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import chainages


def along_line(line: LevelLine, station_values: NDArray[np.float64], chainage_m: ArrayLike) -> NDArray[np.float64]:
    """Values between stations, in proportion to the distance from them.

    Parameters
    ----------
    line : LevelLine
        The line.
    station_values : ndarray of float64, shape (..., n)
        A value a station.
    chainage_m : array_like, shape (k,)
        Distances along the line, from 0 to its length; a closed line's last leg counts [m].

    Returns
    -------
    ndarray of float64, shape (..., k)
        Values there.

    Examples
    --------
    >>> xy = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
    >>> line = LevelLine(10.0, False, xy, np.array([10.0, 10.1, 9.9]), np.full(3, 0.1))
    >>> along_line(line, line.ground_m, [1.0, 3.0]).round(3)
    array([10.05, 10.  ])
    """
    walked = chainages(line.path)
    values = np.concatenate([station_values, station_values[..., :1]], axis=-1) if line.closed else station_values
    chainage = np.asarray(chainage_m, np.float64)
    before = np.clip(np.searchsorted(walked, chainage, side="right") - 1, 0, len(walked) - 2)
    share = (chainage - walked[before]) / (walked[before + 1] - walked[before])
    return np.asarray(values[..., before] + share * (values[..., before + 1] - values[..., before]))
