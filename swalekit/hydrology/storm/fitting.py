"""Fitting a distribution to annual maxima."""

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import comb, exprel, gamma

from swalekit._checks import check_between, check_one_of, check_positive
from swalekit.errors import InputError
from swalekit.hydrology.storm.fit import GEV, GUMBEL, HEAVY_TAIL, LOG_PEARSON_3, Fit, plotting_positions

GUMBEL_METHODS = ("l-moments", "moments", "finite moments")

HEAVY_SHAPE = -0.114
"""Shape of the GEV distribution of daily rain in long records the world over: Papalexiou & Koutsoyiannis (2013), Water
Resour. Res. 49; from memory."""

_SHAPE_VARIANCE = 0.5633  # of the shape fitted to n years of a Gumbel distribution, times n
_STEEPEST, _FLATTEST = -0.999999, 60.0  # GEV shapes between which the L-skewness of all but freak samples lies
_NO_SHAPE = 1e-7  # GEV shapes nearer to zero than this have the mean of the Gumbel distribution


def fit_gumbel(depth_mm: NDArray[np.float64], *, method: str = "l-moments") -> Fit:
    """Fit the Gumbel (extreme value type I) distribution.

    Parameters
    ----------
    depth_mm : ndarray of float64, shape (n,)
        Annual maxima in any order [mm].
    method : str
        ``l-moments``; ``moments``, which takes mean and standard deviation as those of endless years; or
        ``finite moments``, which takes them as those of n plotting positions, as the frequency factors printed for
        n years do.

    Returns
    -------
    Fit
        With parameters ξ and α [mm].

    Raises
    ------
    InputError
        If the method is unknown, or there are fewer than three values or all are the same.

    Notes
    -----
    F(x) = exp(−exp(−(x − ξ) / α)). L-moments: α = λ2 / ln 2, ξ = λ1 − γ α. Moments: α = √6 s / π, ξ = x̄ − γ α.
    Finite moments: α = s / S_n, ξ = x̄ − ȳ_n α, with mean ȳ_n and population standard deviation S_n of
    y_m = −ln(−ln(1 − m / (n + 1))); rare depths come out higher than with endless years.

    References
    ----------
    .. [1] Hosking (1990). J. R. Statist. Soc. B 52(1): L-moments.
    .. [2] Chow, Maidment & Mays (1988). Applied Hydrology, section 12.2.
    .. [3] FHWA (2002). Highway Hydrology, HDS-2, eq. 4.26 and Table 4.12.

    Examples
    --------
    >>> sample = np.array([2.0, 3.0, 4.0, 2.4, 5.5, 1.2, 5.4, 2.2, 7.1, 1.3, 1.5])
    >>> [round(value, 6) for value in fit_gumbel(sample).parameters]
    [2.285519, 1.647295]
    """
    check_one_of(GUMBEL_METHODS, method=method)
    _check_sample(depth_mm)
    if method == "l-moments":
        mean, scale = l_moments(depth_mm, 2)
        return Fit(GUMBEL, _from_moments(mean, scale, np.euler_gamma, np.log(2.0)))
    mean, deviation = float(np.mean(depth_mm)), float(np.std(depth_mm, ddof=1))
    if method == "moments":
        return Fit(GUMBEL, _from_moments(mean, deviation, np.euler_gamma, np.pi / np.sqrt(6.0)))
    reduced = -np.log(-np.log1p(-plotting_positions(len(depth_mm), "weibull")))
    return Fit(GUMBEL, _from_moments(mean, deviation, float(np.mean(reduced)), float(np.std(reduced))))


def fit_gev(depth_mm: NDArray[np.float64]) -> Fit:
    """Fit the generalised extreme value distribution by L-moments.

    Parameters
    ----------
    depth_mm : ndarray of float64, shape (n,)
        Annual maxima in any order [mm].

    Returns
    -------
    Fit
        With shape k [-], ξ and α [mm]; a negative k has the heavy upper tail.

    Raises
    ------
    InputError
        If there are fewer than three values or all are the same.

    Notes
    -----
    F(x) = exp(−(1 − k (x − ξ) / α)^(1/k)). The shape solves τ3 = 2 (1 − 3^−k) / (1 − 2^−k) − 3; then
    α = λ2 k / ((1 − 2^−k) Γ(1 + k)) and ξ = λ1 − α (1 − Γ(1 + k)) / k. With k = 0 this is Gumbel's distribution. The
    shape of a short record is uncertain: twenty years say little about it.

    References
    ----------
    .. [1] Hosking (1990). J. R. Statist. Soc. B 52(1): L-moments.

    Examples
    --------
    >>> sample = np.array([2.0, 3.0, 4.0, 2.4, 5.5, 1.2, 5.4, 2.2, 7.1, 1.3, 1.5])
    >>> [round(value, 6) for value in fit_gev(sample).parameters]
    [-0.155561, 2.179288, 1.39564]
    """
    _check_sample(depth_mm)
    mean, scale, third = l_moments(depth_mm, 3)
    skewness = np.clip(third / scale, _gev_l_skewness(_FLATTEST), _gev_l_skewness(_STEEPEST))
    shape = float(brentq(lambda k: _gev_l_skewness(k) - skewness, _STEEPEST, _FLATTEST))
    return Fit(GEV, _gev_of_shape(shape, mean, scale))


def fit_heavy_tail(depth_mm: NDArray[np.float64], *, shape: float = HEAVY_SHAPE) -> Fit:
    """Fit a generalised extreme value distribution of a given shape by L-moments.

    Parameters
    ----------
    depth_mm : ndarray of float64, shape (n,)
        Annual maxima in any order [mm].
    shape : float
        Shape k [-], above −1; a negative one has the heavy upper tail.

    Returns
    -------
    Fit
        With shape k [-], ξ and α [mm].

    Raises
    ------
    InputError
        If there are fewer than three values or all are the same, or the shape is −1 or less.

    Notes
    -----
    As `fit_gev`, but only ξ and α are taken from the sample: a short record says little about the shape, which is much
    the same in long records of many climates.

    References
    ----------
    .. [1] Papalexiou & Koutsoyiannis (2013). Water Resour. Res. 49: Battle of extreme value distributions.

    Examples
    --------
    >>> sample = np.array([2.0, 3.0, 4.0, 2.4, 5.5, 1.2, 5.4, 2.2, 7.1, 1.3, 1.5])
    >>> [round(value, 4) for value in fit_heavy_tail(sample, shape=-0.155561).parameters]
    [-0.1556, 2.1793, 1.3956]
    """
    _check_sample(depth_mm)
    check_between(_STEEPEST, _FLATTEST, shape=shape)
    mean, scale = l_moments(depth_mm, 2)
    return Fit(HEAVY_TAIL, _gev_of_shape(shape, mean, scale))


def shape_score(shape: float, years: int) -> float:
    """How many standard errors the shape of a GEV fit lies below that of a Gumbel distribution.

    Parameters
    ----------
    shape : float
        Shape k fitted by L-moments [-].
    years : int
        Years of the record.

    Returns
    -------
    float
        Score [-]; of Gumbel records 5 % lie above 1.645.

    Raises
    ------
    InputError
        If there is no year.

    Notes
    -----
    Z = −k (n / 0.5633)^(1/2): fitted to n years of a Gumbel distribution, k is about normal, of mean zero and variance
    0.5633 / n. From some 25 years on the test keeps its level well.

    References
    ----------
    .. [1] Hosking, Wallis & Wood (1985). Technometrics 27(3): 251-261.

    Examples
    --------
    >>> round(shape_score(-0.2, 25), 2)
    1.33
    """
    check_positive(years=years)
    return -shape * float(np.sqrt(years / _SHAPE_VARIANCE))


def _gev_of_shape(shape: float, mean: float, scale: float) -> tuple[float, float, float]:
    """Shape, location and scale of the GEV distribution with a mean and an L-scale."""
    unit_mean = np.euler_gamma if abs(shape) < _NO_SHAPE else (1.0 - gamma(1.0 + shape)) / shape
    unit_scale = np.log(2.0) * exprel(-shape * np.log(2.0)) * gamma(1.0 + shape)
    return shape, *_from_moments(mean, scale, unit_mean, unit_scale)


def fit_log_pearson3(depth_mm: NDArray[np.float64], *, skew: float | None = None) -> Fit:
    """Fit the log-Pearson III distribution by the moments of the logarithms.

    Parameters
    ----------
    depth_mm : ndarray of float64, shape (n,)
        Annual maxima in any order, greater than zero [mm].
    skew : float, optional
        Skew of the decimal logarithms [-], such as one weighted with that of the region; the sample's if not given.

    Returns
    -------
    Fit
        With skew [-], mean and standard deviation of the decimal logarithms.

    Raises
    ------
    InputError
        If there are fewer than three values, all are the same, or one isn't greater than zero.

    Notes
    -----
    log Q = Ȳ + K(G, p) S_y; the sample's skew is G = n Σ(y − Ȳ)³ / ((n − 1)(n − 2) S_y³).

    References
    ----------
    .. [1] FHWA (2002). Highway Hydrology, HDS-2, section 4.3.

    Examples
    --------
    >>> round(float(fit_log_pearson3(np.array([10.0, 100.0, 1000.0])).quantile_mm(2.0)), 9)
    100.0
    """
    _check_sample(depth_mm)
    check_positive(least_depth_mm=float(np.min(depth_mm)))
    logs = np.log10(depth_mm)
    size, mean, deviation = len(logs), float(np.mean(logs)), float(np.std(logs, ddof=1))
    if skew is None:
        skew = size * float(np.sum(((logs - mean) / deviation) ** 3)) / ((size - 1) * (size - 2))
    return Fit(LOG_PEARSON_3, (skew, mean, deviation))


def _from_moments(mean: float, spread: float, unit_mean: float, unit_spread: float) -> tuple[float, float]:
    """Location and scale that give a distribution a mean and a spread, from those it has at location 0 and scale 1."""
    scale = spread / unit_spread
    return float(mean - unit_mean * scale), float(scale)


def _gev_l_skewness(shape: float) -> float:
    """L-skewness of the GEV distribution; exprel(x) = (exp(x) − 1) / x is smooth through zero."""
    thirds, halves = (np.log(base) * exprel(-shape * np.log(base)) for base in (3.0, 2.0))
    return float(2.0 * thirds / halves - 3.0)


def _check_sample(depth_mm: NDArray[np.float64]) -> None:
    """A sample can be fitted: one row of finite values that differ."""
    if depth_mm.ndim != 1 or len(depth_mm) < 3 or not np.isfinite(depth_mm).all() or np.ptp(depth_mm) == 0:
        message = f"sample of shape {depth_mm.shape} can't be fitted; it needs three or more finite values that differ"
        raise InputError(message)


def l_moments(sample: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """First L-moments of a sample.

    Parameters
    ----------
    sample : ndarray of float64, shape (n,)
        Values in any order.
    count : int
        How many L-moments, at most n.

    Returns
    -------
    ndarray of float64, shape (count,)
        λ1, λ2, λ3, … in the unit of the sample; λ1 is the mean, λ3 / λ2 the L-skewness.

    Raises
    ------
    InputError
        If the sample has fewer values than L-moments are asked for.

    Notes
    -----
    λ(r+1) = Σ (−1)^(r−k) C(r,k) C(r+k,k) b_k over k = 0 … r, with the unbiased probability-weighted moments
    b_k = mean of C(i−1,k) / C(n−1,k) x_i over the sample in rising order.

    References
    ----------
    .. [1] Hosking (1990). J. R. Statist. Soc. B 52(1): L-moments.

    Examples
    --------
    >>> l_moments(np.array([4.0, 1.0, 2.0, 3.0, 5.0]), 3).round(12) + 0.0
    array([3., 1., 0.])
    """
    size = len(sample)
    if size < count:
        message = f"a sample of {size} values has no {count} L-moments; it needs at least {count} values"
        raise InputError(message)
    order = np.arange(count)
    weights = comb(np.arange(size), order[:, np.newaxis]) / comb(size - 1, order)[:, np.newaxis]
    weighted_moments = weights @ np.sort(sample) / size
    row, column = order[:, np.newaxis], order
    legendre = (-1.0) ** (row - column) * comb(row, column) * comb(row + column, column)
    found: NDArray[np.float64] = legendre @ weighted_moments
    return found
