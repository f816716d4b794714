"""How well a fit follows the sample it was made from."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import ks_1samp

from swalekit.hydrology.storm.fit import Fit
from swalekit.hydrology.storm.plotting_positions import plotting_positions


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
    aic : float
        Akaike's information criterion [-]; lower is better, infinite if the fit rules a value of the sample out.
    """

    kolmogorov_smirnov: float
    error_mm: float
    correlation: float
    aic: float


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
    AIC = 2 k − 2 ln L with every one of the k parameters taken as fitted. As fits by moments don't reach the greatest
    likelihood, it ranks them only roughly; differences below 2 mean little.

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
        kolmogorov_smirnov=float(ks_1samp(depth_mm, fit.cdf).statistic),
        error_mm=float(np.sqrt(np.mean((largest_first - quantiles) ** 2))),
        correlation=float(np.corrcoef(largest_first, quantiles)[0, 1]),
        aic=2.0 * len(fit.parameters) - 2.0 * fit.log_likelihood(depth_mm),
    )
