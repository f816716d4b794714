"""L-moments of a sample."""

import numpy as np
from numpy.typing import NDArray
from scipy.special import comb

from swalekit.errors import InputError


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
