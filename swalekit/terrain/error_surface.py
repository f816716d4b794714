"""Surfaces of error: what a terrain tile is too high by, smoothly over its ground, fitted to points measured on it."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._one_line import one_line
from swalekit.frozen import Frozen, locked_property

Kind = Literal["none", "shift", "plane", "bowl"]

KINDS: tuple[Kind, ...] = ("none", "shift", "plane", "bowl")
"""No error, the same everywhere, a tilt besides, and a curvature besides: each holds those before it."""

TERMS: dict[Kind, int] = {"none": 0, "shift": 1, "plane": 3, "bowl": 6}
"""Coefficients of each."""

_ALL_TERMS = 6


@one_line("kind", "leave_one_out_rmse_m")
@dataclass(frozen=True, eq=False)
class ErrorSurface(Frozen):
    """A polynomial of at most second order, by which heights are too great.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    centre_m : tuple of float
        Easting and northing that its coordinates are counted from [m].
    scale_m : float
        Length that they are counted in [m].
    coefficients_m : ndarray of float64, shape (6,)
        Of 1, u, v, u², u v, v², with u eastward and v northward; 0 beyond its kind [m].
    spread_m : ndarray of float64, shape (6, 6)
        Square root of their covariance: its rows, multiplied, give that of two coefficients [m].
    leave_one_out_m : ndarray of float64, shape (n,)
        Error at each point less that of the surface through all others [m].
    studentised : ndarray of float64, shape (n,)
        The same over its standard error, which is taken from the others too.
    """

    kind: Kind
    centre_m: tuple[float, float]
    scale_m: float
    coefficients_m: NDArray[np.float64]
    spread_m: NDArray[np.float64]
    leave_one_out_m: NDArray[np.float64]
    studentised: NDArray[np.float64]

    @locked_property
    def leave_one_out_rmse_m(self) -> float:
        """Root mean square of what is left at a point that had no say in the surface [m]."""
        return float(np.sqrt(np.mean(self.leave_one_out_m**2)))

    def at(self, x_m: ArrayLike, y_m: ArrayLike) -> NDArray[np.float64]:
        """Error at places.

        Parameters
        ----------
        x_m, y_m : array_like
            Easting and northing, of shapes that go with each other [m].

        Returns
        -------
        ndarray of float64
            What heights there are too great by [m].

        Examples
        --------
        >>> x_m, y_m = np.array([0.0, 10.0, 0.0, 10.0]), np.array([0.0, 0.0, 10.0, 10.0])
        >>> tilt = fit_surface("plane", x_m, y_m, 0.02 * x_m)
        >>> tilt.at([5.0, 20.0], 0.0).round(6)
        array([0.1, 0.4])
        """
        u, v = self._placed(x_m, y_m)
        c = self.coefficients_m
        return np.asarray(c[0] + u * (c[1] + c[3] * u + c[4] * v) + v * (c[2] + c[5] * v))

    def sigma_at(self, x_m: NDArray[np.float64], y_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Standard error of the surface at places: small amid the points, growing fast beyond them.

        Parameters
        ----------
        x_m, y_m : ndarray of float64, shape (n,)
            Easting and northing [m].

        Returns
        -------
        ndarray of float64, shape (n,)
            Standard error [m].

        Examples
        --------
        >>> x_m, y_m = np.array([0.0, 10.0, 0.0, 10.0]), np.array([0.0, 0.0, 10.0, 10.0])
        >>> tilt = fit_surface("plane", x_m, y_m, np.array([0.02, 0.0, 0.0, 0.02]))
        >>> tilt.sigma_at(np.array([5.0, 45.0]), np.array([5.0, 5.0])).round(3)
        array([0.01 , 0.081])
        """
        return np.asarray(np.linalg.norm(_terms("bowl", *self._placed(x_m, y_m)) @ self.spread_m, axis=1))

    def _placed(self, x_m: ArrayLike, y_m: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Coordinates in the surface's own frame."""
        u = (np.asarray(x_m, np.float64) - self.centre_m[0]) / self.scale_m
        v = (np.asarray(y_m, np.float64) - self.centre_m[1]) / self.scale_m
        return u, v


def fit_surface(
    kind: Kind, x_m: NDArray[np.float64], y_m: NDArray[np.float64], error_m: NDArray[np.float64]
) -> ErrorSurface:
    """Fit a surface to errors at points by least squares, and tell how well it foretells a point that it hasn't seen.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    x_m, y_m : ndarray of float64, shape (n,)
        Easting and northing of the points [m].
    error_m : ndarray of float64, shape (n,)
        What the tile is too high by there [m].

    Returns
    -------
    ErrorSurface
        The surface, with the leave-one-out residual of each point.

    Notes
    -----
    Coordinates are counted from the points' middle in half their greatest extent, so that eastings of millions of
    metres cost no digits. With F = Q R the terms at the points, the leverage h of a point is the sum of squares of its
    row of Q, and its residual e by the surface through all others is e / (1 − h) [1]_: no surface is fitted twice.
    The studentised residual is e / (s √(1 − h)), with s² from the others: (Σe² − e² / (1 − h)) / (n − terms − 1) [2]_.
    The coefficients' covariance is s² (Fᵀ F)⁻¹, with s² = Σe² / (n − terms).
    Where a point alone holds a term (h = 1), or too few are left for s, nothing is known of it: it is NaN.

    References
    ----------
    .. [1] Allen, D. M. (1974). The relationship between variable selection and data augmentation and a method for
       prediction. Technometrics 16(1), 125-127 (the sum of squares is known as PRESS; from memory).
    .. [2] Cook, R. D., Weisberg, S. (1982). Residuals and influence in regression, section 2.2 (from memory).

    Examples
    --------
    >>> x_m = np.arange(4.0)
    >>> fit_surface("shift", x_m, x_m, np.array([0.0, 0.0, 0.0, 0.3])).leave_one_out_m.round(3)
    array([-0.1, -0.1, -0.1,  0.3])
    """
    centre_m, scale_m = _frame(x_m, y_m)
    terms = _terms(kind, (x_m - centre_m[0]) / scale_m, (y_m - centre_m[1]) / scale_m)
    q, r = np.linalg.qr(terms)
    seen = q.T @ error_m
    known, freedom = TERMS[kind], error_m.size - TERMS[kind]
    coefficients_m, spread_m = np.zeros(_ALL_TERMS), np.zeros((_ALL_TERMS, _ALL_TERMS))
    coefficients_m[:known] = np.linalg.solve(r, seen)
    left, free = error_m - q @ seen, 1.0 - np.sum(q**2, axis=1)
    unknown = free < np.sqrt(np.finfo(np.float64).eps)
    with np.errstate(divide="ignore", invalid="ignore"):
        spread_m[:known, :known] = np.linalg.inv(r) * np.sqrt(np.sum(left**2) / freedom)
        leave_one_out_m = np.where(unknown, np.nan, left / free)
        rest = (np.sum(left**2) - left * leave_one_out_m) / max(freedom - 1, 0)
        studentised = leave_one_out_m * np.sqrt(free / np.maximum(rest, 0.0))
    return ErrorSurface(kind, centre_m, scale_m, coefficients_m, spread_m, leave_one_out_m, studentised)


def conditioning(kind: Kind, x_m: NDArray[np.float64], y_m: NDArray[np.float64]) -> float:
    """How badly points hold the terms of a surface: ratio of the greatest to the least singular value of the terms.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    x_m, y_m : ndarray of float64, shape (n,)
        Easting and northing of the points [m].

    Returns
    -------
    float
        1 at best; infinite where points along one line leave a term open.

    Examples
    --------
    >>> corners = np.array([0.0, 9.0, 0.0, 9.0]), np.array([0.0, 0.0, 9.0, 9.0])
    >>> round(conditioning("plane", *corners), 2), conditioning("plane", np.arange(4.0), np.arange(4.0)) > 1e12
    (1.0, True)
    """
    centre_m, scale_m = _frame(x_m, y_m)
    terms = _terms(kind, (x_m - centre_m[0]) / scale_m, (y_m - centre_m[1]) / scale_m)
    return float(np.linalg.cond(terms)) if terms.size else 1.0


def _frame(x_m: NDArray[np.float64], y_m: NDArray[np.float64]) -> tuple[tuple[float, float], float]:
    """Middle of points and half their greatest extent [m]."""
    half_m = max(np.ptp(x_m), np.ptp(y_m)) / 2.0
    return (float(x_m.mean()), float(y_m.mean())), float(half_m) or 1.0


def _terms(kind: Kind, u: NDArray[np.float64], v: NDArray[np.float64]) -> NDArray[np.float64]:
    """Terms of a surface at places, shape (n, terms)."""
    return np.stack([np.ones_like(u), u, v, u * u, u * v, v * v], axis=1)[:, : TERMS[kind]]
