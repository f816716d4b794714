"""How far a fit could have come out otherwise, had other years been on record."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_positive
from swalekit.hydrology.storm.fit import Fit

DEFAULT_SAMPLES = 500
DEFAULT_CONFIDENCE = 0.90


def resampled_fits(
    fitting: Callable[[NDArray[np.float64]], Fit],
    depth_mm: NDArray[np.float64],
    *,
    seed: int,
    samples: int = DEFAULT_SAMPLES,
) -> tuple[Fit, ...]:
    """Fit many records drawn from the fit of a record: a parametric bootstrap.

    Parameters
    ----------
    fitting : callable
        Makes a fit of a sample, such as `fit_gumbel`.
    depth_mm : ndarray of float64, shape (n,)
        Annual maxima in any order [mm].
    seed : int
        Start of the random numbers; the same seed gives the same fits.
    samples : int
        Records drawn, each as long as the sample.

    Returns
    -------
    tuple of Fit
        One fit a record drawn.

    Raises
    ------
    InputError
        If the sample can't be fitted or no record is to be drawn.

    Examples
    --------
    >>> from swalekit.hydrology.storm.fitting import fit_gumbel
    >>> sample = np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0])
    >>> fits = resampled_fits(fit_gumbel, sample, seed=1)
    >>> low, high = confidence_band(fits, 25.0)
    >>> bool(low < fit_gumbel(sample).quantile_mm(25.0) < high)
    True
    """
    check_positive(samples=samples)
    fit = fitting(depth_mm)
    exceeded = 1.0 - np.random.default_rng(seed).random((samples, len(depth_mm)))
    drawn = fit.quantile_mm(1.0 / np.minimum(exceeded, 1.0 - np.finfo(float).eps))
    return tuple(fitting(record) for record in drawn)


def confidence_band(
    fits: Sequence[Fit], return_period_y: ArrayLike, *, confidence: float = DEFAULT_CONFIDENCE
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Depths between which most of the resampled fits lie.

    Parameters
    ----------
    fits : sequence of Fit
        Fits from `resampled_fits`.
    return_period_y : array_like
        Return period [years].
    confidence : float
        Share of the fits within the band [-].

    Returns
    -------
    low, high : ndarray of float64
        Lower and upper depth, in the shape of the return period [mm].

    Raises
    ------
    InputError
        If the share isn't between 0 and 1 or a return period isn't greater than one year.

    Notes
    -----
    The band tells how much a record of this length can say if the distribution is the right one; it does not tell
    whether it is, and the climate is taken as steady.
    """
    check_between(0.0, 1.0, confidence=confidence)
    depths = np.stack([fit.quantile_mm(return_period_y) for fit in fits])
    low, high = np.quantile(depths, [(1.0 - confidence) / 2.0, (1.0 + confidence) / 2.0], axis=0)
    return low, high
