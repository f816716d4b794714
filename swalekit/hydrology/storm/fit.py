"""A distribution fitted to annual maxima."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import stats

from swalekit._checks import check_one_of
from swalekit.errors import InputError

GUMBEL = "Gumbel"
GEV = "GEV"
LOG_PEARSON_3 = "log-Pearson III"

_DISTRIBUTIONS: dict[str, Any] = {GUMBEL: stats.gumbel_r, GEV: stats.genextreme, LOG_PEARSON_3: stats.pearson3}


@dataclass(frozen=True)
class Fit:
    """A distribution with its parameters.

    Parameters
    ----------
    name : str
        ``Gumbel``, ``GEV`` or ``log-Pearson III``.
    parameters : tuple of float
        Shape if any, location and scale, as scipy's ``gumbel_r``, ``genextreme`` and ``pearson3`` take them [mm]; of
        log-Pearson III they belong to the decimal logarithm of the depth.

    Raises
    ------
    InputError
        If the name is unknown.

    Examples
    --------
    >>> fit = Fit("Gumbel", (40.0, 12.0))
    >>> round(float(fit.quantile_mm(10.0)), 1), round(float(fit.cdf(67.0)), 3)
    (67.0, 0.9)
    """

    name: str
    parameters: tuple[float, ...]

    def __post_init__(self) -> None:
        check_one_of(tuple(_DISTRIBUTIONS), name=self.name)

    @property
    def _distribution(self) -> Any:
        return _DISTRIBUTIONS[self.name]

    @property
    def _logarithmic(self) -> bool:
        return self.name == LOG_PEARSON_3

    def quantile_mm(self, return_period_y: ArrayLike) -> NDArray[np.float64]:
        """Depth exceeded once in a return period, on average over many [mm].

        Parameters
        ----------
        return_period_y : array_like
            Return period [years], greater than one.

        Raises
        ------
        InputError
            If a return period isn't greater than one year.
        """
        years = np.asarray(return_period_y, np.float64)
        if not (years > 1.0).all():
            message = f"return period is {years.min():g} years; of annual maxima it must be greater than one"
            raise InputError(message)
        values = np.asarray(self._distribution.isf(1.0 / years, *self.parameters))[()]
        return 10.0**values if self._logarithmic else values

    def cdf(self, depth_mm: ArrayLike) -> NDArray[np.float64]:
        """Probability that no day of a year brings more than a depth [-].

        Parameters
        ----------
        depth_mm : array_like
            Depth [mm]; greater than zero for log-Pearson III.
        """
        depth = np.asarray(depth_mm, np.float64)
        values = np.log10(depth) if self._logarithmic else depth
        return np.asarray(self._distribution.cdf(values, *self.parameters))[()]

    def log_likelihood(self, depth_mm: NDArray[np.float64]) -> float:
        """Logarithm of the density of a sample; minus infinity if the fit rules one of its values out.

        Parameters
        ----------
        depth_mm : ndarray of float64
            Sample [mm]; greater than zero for log-Pearson III.
        """
        if self._logarithmic:
            log_density = self._distribution.logpdf(np.log10(depth_mm), *self.parameters)
            return float(np.sum(log_density - np.log(depth_mm * np.log(10.0))))
        return float(np.sum(self._distribution.logpdf(depth_mm, *self.parameters)))
