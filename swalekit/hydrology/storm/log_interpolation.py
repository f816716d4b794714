"""Straight lines between points on paper ruled in logarithms both ways."""

import numpy as np
from numpy.typing import NDArray


def log_interpolated(at: float, known: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values at a place between known ones, or beyond them along the outermost line.

    Parameters
    ----------
    at : float
        Where; greater than zero.
    known : ndarray of float64, shape (n,)
        Where values are known, rising, greater than zero; at least two.
    values : ndarray of float64, shape (n, ...)
        Values there, greater than zero.

    Returns
    -------
    ndarray of float64, shape (...)
        Values at ``at``, in the unit of ``values``.

    Notes
    -----
    ln v is linear in ln x. Beyond the known points the result is a guess; whoever calls says when that is allowed.

    Examples
    --------
    >>> float(log_interpolated(4.0, np.array([1.0, 16.0]), np.array([10.0, 40.0])).round(9))
    20.0
    """
    left = int(np.clip(np.searchsorted(known, at, side="right") - 1, 0, len(known) - 2))
    share = np.log(at / known[left]) / np.log(known[left + 1] / known[left])
    between: NDArray[np.float64] = values[left] * (values[left + 1] / values[left]) ** share
    return between
