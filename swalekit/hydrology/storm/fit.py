"""A distribution fitted to annual maxima, and how well it follows them."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import stats

from swalekit._checks import check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.tables.load import named_row

GUMBEL = "Gumbel"
GEV = "GEV"
HEAVY_TAIL = "heavy tail"
LOG_PEARSON_3 = "log-Pearson III"

_DISTRIBUTIONS: dict[str, Any] = {
    GUMBEL: stats.gumbel_r,
    GEV: stats.genextreme,
    HEAVY_TAIL: stats.genextreme,
    LOG_PEARSON_3: stats.pearson3,
}


@one_line("name", "parameters")
@dataclass(frozen=True)
class Fit:
    """A distribution with its parameters.

    Parameters
    ----------
    name : str
        ``Gumbel``, ``GEV``, ``heavy tail`` (a GEV of a given shape) or ``log-Pearson III``.
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
        """Depth exceeded once in a return period, on average over many.

        Parameters
        ----------
        return_period_y : array_like
            Return period [years], greater than one.

        Returns
        -------
        ndarray of float64
            Depth, in the shape of the return period [mm].

        Raises
        ------
        InputError
            If a return period isn't greater than one year.

        Examples
        --------
        >>> Fit("Gumbel", (40.0, 12.0)).quantile_mm([2.0, 10.0]).round(1)
        array([44.4, 67. ])
        """
        years = np.asarray(return_period_y, np.float64)
        if not (years > 1.0).all():
            message = f"return period is {years.min():g} years; of annual maxima it must be greater than one"
            raise InputError(message)
        values = np.asarray(self._distribution.isf(1.0 / years, *self.parameters))[()]
        return 10.0**values if self._logarithmic else values

    def cdf(self, depth_mm: ArrayLike) -> NDArray[np.float64]:
        """Probability that no day of a year brings more than a depth.

        Parameters
        ----------
        depth_mm : array_like
            Depth [mm]; greater than zero for log-Pearson III.

        Returns
        -------
        ndarray of float64
            Probability, in the shape of the depth [-].

        Examples
        --------
        A Gumbel's location has the probability 1 / e:

        >>> round(float(Fit("Gumbel", (40.0, 12.0)).cdf(40.0)), 4)
        0.3679
        """
        depth = np.asarray(depth_mm, np.float64)
        values = np.log10(depth) if self._logarithmic else depth
        return np.asarray(self._distribution.cdf(values, *self.parameters))[()]


@dataclass(frozen=True)
class Goodness:
    """Figures that compare fits to one sample.

    Parameters
    ----------
    kolmogorov_smirnov : float
        Greatest distance between the fit's cumulative probability and the sample's steps [-].
    error_mm : float
        Root mean square difference between the sample and the fit's quantiles at its plotting positions [mm].
    correlation : float
        Correlation between the two, the probability plot correlation coefficient [-].
    """

    kolmogorov_smirnov: float
    error_mm: float
    correlation: float


def goodness(fit: Fit, depth_mm: NDArray[np.float64], *, plotting_rule: str) -> Goodness:
    """Compare a fit with the sample it was made from.

    Parameters
    ----------
    fit : Fit
        The fit.
    depth_mm : ndarray of float64, shape (n,)
        Annual maxima in any order [mm].
    plotting_rule : str
        Rule of the plotting positions, as in `plotting_positions`.

    Returns
    -------
    Goodness
        The figures.

    Raises
    ------
    InputError
        If the rule is unknown.

    Notes
    -----
    They tell how a fit follows the years that there are, not which one to trust beyond them: of two fits the one with
    more parameters follows closer. `analyse_frequency` therefore chooses by a test of the shape.

    Examples
    --------
    >>> from swalekit.hydrology.storm.fitting import fit_gumbel
    >>> sample = np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0])
    >>> round(goodness(fit_gumbel(sample), sample, plotting_rule="gringorten").correlation, 3)
    0.998
    """
    largest_first = np.sort(depth_mm)[::-1]
    quantiles = fit.quantile_mm(1.0 / plotting_positions(len(depth_mm), plotting_rule))
    return Goodness(
        kolmogorov_smirnov=float(stats.ks_1samp(depth_mm, fit.cdf).statistic),
        error_mm=float(np.sqrt(np.mean((largest_first - quantiles) ** 2))),
        correlation=float(np.corrcoef(largest_first, quantiles)[0, 1]),
    )


def plotting_positions(count: int, rule: str) -> NDArray[np.float64]:
    """Probability that a year exceeds each value of a sample, the largest value first.

    Parameters
    ----------
    count : int
        Values in the sample.
    rule : str
        ``weibull``, ``hazen``, ``gringorten``, ``cunnane`` or ``blom`` (the rule of FAO's water harvesting manual).

    Returns
    -------
    ndarray of float64, shape (count,)
        Exceedance probability [-], rising.

    Raises
    ------
    InputError
        If the rule is unknown or the sample empty.

    Notes
    -----
    p = (m − a) / (n + 1 − 2a) for rank m of n, with a by the rule.

    References
    ----------
    .. [1] FHWA (2002). Highway Hydrology, HDS-2, section 4.3.
    .. [2] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91.

    Examples
    --------
    >>> plotting_positions(4, "weibull")
    array([0.2, 0.4, 0.6, 0.8])
    """
    check_positive(count=count)
    offset = named_row("plotting_positions", rule=rule).value
    return np.asarray((np.arange(1, count + 1) - offset) / (count + 1 - 2 * offset), np.float64)
