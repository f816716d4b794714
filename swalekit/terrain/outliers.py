"""Points that no surface of error explains: a slipped digit, a bush under the staff, a receiver without a fix."""

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from swalekit.terrain.error_surface import TERMS, Kind, fit_surface

LEAST_OUTLIER_M = 0.05
"""What departs less is no blunder, however small the scatter of the others."""

_CHANCE = 0.01
"""That any good point of a site is taken for one."""

_MOST_SHARE, _MOST = 0.2, 100
"""Share and number of the points among which they are looked for: with more, it is the surface that doesn't fit."""


def outlying(
    kind: Kind, x_m: NDArray[np.float64], y_m: NDArray[np.float64], error_m: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Find the points whose errors no surface of a kind explains.

    Parameters
    ----------
    kind : str
        Kind of surface: the richest that the points can bear, so that no bend of the tile is taken for a blunder.
    x_m, y_m : ndarray of float64, shape (n,)
        Easting and northing of the points [m].
    error_m : ndarray of float64, shape (n,)
        What the tile is too high by there [m].

    Returns
    -------
    ndarray of bool, shape (n,)
        True for outliers.

    Notes
    -----
    The point with the greatest studentised residual is taken out, the surface fitted anew, and so on, up to a fifth of
    the points. Of them all those are outliers up to the last whose residual, when it was taken out, was beyond the
    t limit that n good points pass once in a hundred sites (Bonferroni's), and which lay more than 0.05 m off: going on
    past one that passes keeps several blunders from hiding each other [1]_ [2]_.

    References
    ----------
    .. [1] Rosner, B. (1983). Percentage points for a generalized ESD many-outlier procedure. Technometrics 25(2),
       165-172 (from memory).
    .. [2] Paul, S. R., Fung, K. Y. (1991). A generalized extreme studentized residual multiple-outlier-detection
       procedure in linear regression. Technometrics 33(3), 339-348 (from memory).

    Examples
    --------
    >>> x_m = np.arange(10.0)
    >>> error_m = np.array([0.01, -0.02, 0.0, 0.02, 0.81, -0.01, 0.01, 0.0, -0.01, 0.02])
    >>> np.flatnonzero(outlying("shift", x_m, x_m, error_m))
    array([4])
    """
    kept, taken = np.arange(error_m.size), list[int]()
    sure = 0
    while len(taken) < min(_MOST, int(_MOST_SHARE * error_m.size)) and kept.size > TERMS[kind] + 2:
        surface = fit_surface(kind, x_m[kept], y_m[kept], error_m[kept])
        worst = int(np.argmax(np.nan_to_num(np.abs(surface.studentised), nan=-1.0)))
        taken.append(int(kept[worst]))
        if (
            abs(surface.studentised[worst]) > _limit(kept.size, kept.size - TERMS[kind] - 1)
            and abs(surface.leave_one_out_m[worst]) > LEAST_OUTLIER_M
        ):
            sure = len(taken)
        kept = np.delete(kept, worst)
    outlier = np.zeros(error_m.size, np.bool_)
    outlier[taken[:sure]] = True
    return outlier


def _limit(n: int, freedom: int) -> float:
    """Studentised residual that the greatest of so many good points passes with the chance allowed."""
    return float(stdtrit(freedom, 1.0 - _CHANCE / (2 * n)))
