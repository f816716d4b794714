"""Errors of the terrain's heights, as they could be."""

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_positive

_WAVES = 256
"""Waves in a field: its covariance is right on the average of many fields, whatever their number."""


def height_errors(
    xy: NDArray[np.float64],
    *,
    sigma_m: float | NDArray[np.float64],
    correlation_m: float,
    random: np.random.Generator,
) -> NDArray[np.float64]:
    """Draw errors of the heights at points, alike where points lie close.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        Points [m]; those of one draw belong in one call.
    sigma_m : float or ndarray of float64, shape (n,)
        Standard error of a height [m], that of every point where they differ.
    correlation_m : float
        Distance over which the correlation falls to 1/e [m].
    random : numpy.random.Generator
        Source of random numbers; the same count is taken whatever the number of points.

    Returns
    -------
    ndarray of float64, shape (n,)
        Errors [m].

    Raises
    ------
    InputError
        If the standard error is negative or the correlation length isn't positive.

    Notes
    -----
    The covariance is σ² exp(−d / L), common practice for errors of terrain models. The field is a sum of plane waves,
    √(2/m) σ Σ cos(k·x + φ), with wave vectors drawn from the spectrum that belongs to that covariance in the plane,
    1 − (1 + k²L²)^−½ being the share of waves no shorter than 2π/k. It has no bias and takes time in step with the
    number of points; errors of a single point are normal as nearly as a sum of 256 terms is.

    References
    ----------
    .. [1] Shinozuka & Deodatis (1996). Appl. Mech. Rev. 49(1), on fields as sums of waves.

    Examples
    --------
    >>> points = np.array([[0.0, 0.0], [0.1, 0.0], [500.0, 0.0]])
    >>> errors = height_errors(points, sigma_m=0.1, correlation_m=20.0, random=np.random.default_rng(1))
    >>> bool(abs(errors[1] - errors[0]) < abs(errors[2] - errors[0]))
    True
    """
    check_not_negative(sigma_m=float(np.min(sigma_m)))
    check_positive(correlation_m=correlation_m)
    longer, turn, phase = random.random((3, _WAVES))
    wave_number = np.sqrt((1.0 - longer) ** -2 - 1.0) / correlation_m
    angle = 2.0 * np.pi * turn
    vectors = wave_number * np.stack([np.cos(angle), np.sin(angle)])
    waves = np.cos((xy - xy[:1]) @ vectors + 2.0 * np.pi * phase)
    return np.asarray(sigma_m * np.sqrt(2.0 / _WAVES) * waves.sum(axis=1))
