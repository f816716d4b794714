"""What points measured on bare ground say of a terrain tile."""

from dataclasses import dataclass
from functools import cached_property
from math import atan2, degrees, hypot
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaincinv, stdtrit

from swalekit._checks import check_same_shape
from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.terrain.error_surface import ErrorSurface, Kind
from swalekit.terrain.survey_points import SurveyPoints

Doubt = Literal["", "datum", "tile in feet", "points in feet"]

_TAIL = 0.025
"""Chance beyond either end of an interval."""

Interval = tuple[float, float]


@one_line("used", "bias_m", "rmse_m", "chosen.kind")
@dataclass(frozen=True, eq=False)
class TerrainControl(Frozen):
    """A tile beside points: its errors there, what is odd, and surfaces that would take the errors out.

    Parameters
    ----------
    points : SurveyPoints
        The points in the CRS of the tile, their names as descriptions.
    tile_m : ndarray of float64, shape (n,)
        Height of the tile at each, NaN beyond it, beside a void, and where it was drawn across [m].
    outlier : ndarray of bool, shape (n,)
        Points that are left out because nothing smooth explains their error.
    surfaces : tuple of ErrorSurface
        What the points can bear, from the simplest.
    chosen : ErrorSurface
        The simplest of them whose mean squared leave-one-out error is within one standard error of the least.
    lacking : tuple of (str, str)
        Surfaces that the points can't bear, and why.
    outside_share : float
        Share of the tile's ground beyond the points' convex hull.
    doubt : str
        What the errors look like, if not like those of a terrain model: another vertical ``datum``, ``tile in feet`` or
        ``points in feet``.
    taken_out : ErrorSurface, optional
        What the heights were lowered by since.
    """

    points: SurveyPoints
    tile_m: NDArray[np.float64]
    outlier: NDArray[np.bool_]
    surfaces: tuple[ErrorSurface, ...]
    chosen: ErrorSurface
    lacking: tuple[tuple[Kind, str], ...]
    outside_share: float
    doubt: Doubt = ""
    taken_out: ErrorSurface | None = None

    def __post_init__(self) -> None:
        check_same_shape(height_m=self.points.height_m, tile_m=self.tile_m, outlier=self.outlier)
        super().__post_init__()

    @property
    def error_m(self) -> NDArray[np.float64]:
        """What the tile is too high by at each point, NaN where it has no height [m]."""
        return np.asarray(self.tile_m - self.points.height_m)

    @property
    def left_m(self) -> NDArray[np.float64]:
        """Errors at the points after what was taken out [m]."""
        if self.taken_out is None:
            return self.error_m
        return np.asarray(self.error_m - self.taken_out.at(self.points.easting_m, self.points.northing_m))

    @property
    def judged(self) -> NDArray[np.bool_]:
        """Points on the tile that are no outliers."""
        return np.isfinite(self.tile_m) & ~self.outlier

    @property
    def used(self) -> int:
        """Number of those points."""
        return int(np.count_nonzero(self.judged))

    @property
    def bias_m(self) -> float:
        """Mean error [m]."""
        return float(self.error_m[self.judged].mean())

    @cached_property
    def bias_interval_m(self) -> Interval:
        """Interval of 95 % for the mean error by Student's t; unbounded for one point [m]."""
        if self.used < 2:
            return -np.inf, np.inf
        half_m = float(stdtrit(self.used - 1, 1.0 - _TAIL)) * self.spread_m / self.used**0.5
        return self.bias_m - half_m, self.bias_m + half_m

    @property
    def spread_m(self) -> float:
        """Standard deviation of the errors, NaN for one point [m]."""
        return float(self.error_m[self.judged].std(ddof=1)) if self.used > 1 else float("nan")

    @property
    def rmse_m(self) -> float:
        """Root mean square error, the bias in it [m]."""
        return float(np.sqrt(np.mean(self.error_m[self.judged] ** 2)))

    @cached_property
    def rmse_interval_m(self) -> Interval:
        """Interval of 95 % for the root mean square error [m].

        Notes
        -----
        The sum of n squared errors of one standard deviation σ and a bias b is taken for a multiple of chi-square with
        the degrees of freedom that give it its variance, n (1 + λ)² / (1 + 2 λ) where λ = b² / σ² [1]_; without a bias
        they are n. Neighbouring errors of a tile are alike, which widens the true interval.

        References
        ----------
        .. [1] Patnaik, P. B. (1949). The non-central chi-square and F-distributions and their applications. Biometrika
           36(1/2), 202-232 (from memory).
        """
        if self.used < 2:
            return 0.0, np.inf
        variance_m2 = self.spread_m**2
        excess_m2 = max(self.bias_m**2 - variance_m2 / self.used, 0.0)
        ratio = excess_m2 / variance_m2 if variance_m2 > 0 else np.inf
        if not np.isfinite(ratio):
            return self.rmse_m, self.rmse_m
        freedom = self.used * (1.0 + ratio) ** 2 / (1.0 + 2.0 * ratio)
        low, high = (2.0 * float(gammaincinv(freedom / 2.0, share)) for share in (_TAIL, 1.0 - _TAIL))
        return self.rmse_m * (freedom / high) ** 0.5, self.rmse_m * (freedom / low) ** 0.5

    @property
    def tilt(self) -> tuple[float, float] | None:
        """Slope of the plane of errors [m per 100 m], and the azimuth it falls to [°]; None without a plane."""
        plane = self.surface("plane")
        if plane is None:
            return None
        east, north = (float(slope) * 100.0 / plane.scale_m for slope in plane.coefficients_m[1:3])
        return hypot(east, north), degrees(atan2(-east, -north)) % 360.0

    @property
    def bowl_m(self) -> float | None:
        """Height of the bowl over the points [m], negative for a dome; None where none was fitted."""
        bowl = self.surface("bowl")
        if bowl is None:
            return None
        bend = bowl.coefficients_m[3:]
        u = (self.points.easting_m[self.judged] - bowl.centre_m[0]) / bowl.scale_m
        v = (self.points.northing_m[self.judged] - bowl.centre_m[1]) / bowl.scale_m
        height_m = float(np.ptp(bend[0] * u * u + bend[1] * u * v + bend[2] * v * v))
        return height_m if bend[0] + bend[2] >= 0 else -height_m

    def surface(self, kind: Kind) -> ErrorSurface | None:
        """The surface of a kind.

        Parameters
        ----------
        kind : str
            One of `swalekit.terrain.error_surface.KINDS`.

        Returns
        -------
        ErrorSurface or None
            None where the points can't bear it.
        """
        return next((surface for surface in self.surfaces if surface.kind == kind), None)

    def names(self, which: NDArray[np.bool_]) -> tuple[str, ...]:
        """Names of some of the points.

        Parameters
        ----------
        which : ndarray of bool, shape (n,)
            Those that are wanted.

        Returns
        -------
        tuple of str
            In the order of the file.
        """
        return tuple(self.points.description[place] for place in np.flatnonzero(which))
