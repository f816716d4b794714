"""How often a depth of rain is exceeded: three distributions compared on one record."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_not_negative, check_one_of
from swalekit.errors import InputError
from swalekit.hydrology.storm.annual_maxima import AnnualMaxima
from swalekit.hydrology.storm.fit import GEV, GUMBEL, LOG_PEARSON_3, Fit
from swalekit.hydrology.storm.fitting import fit_gev, fit_gumbel, fit_log_pearson3
from swalekit.hydrology.storm.goodness import Goodness, goodness
from swalekit.hydrology.storm.resampling import DEFAULT_CONFIDENCE, DEFAULT_SAMPLES, confidence_band, resampled_fits

_FITTINGS: dict[str, Callable[[NDArray[np.float64]], Fit]] = {
    GUMBEL: fit_gumbel,
    GEV: fit_gev,
    LOG_PEARSON_3: fit_log_pearson3,
}


@dataclass(frozen=True, eq=False)
class FrequencyAnalysis:
    """The fits to a record, how well each follows it, and the one chosen.

    Parameters
    ----------
    maxima : AnnualMaxima
        The record.
    fits : dict of str to Fit
        Each fit by its name.
    goodness : dict of str to Goodness
        Its figures, by the same names.
    chosen : Fit
        The one to use.
    reason : str
        Why it was chosen.
    plotting_rule : str
        Rule of the plotting positions behind the figures.
    resampled : tuple of Fit
        The chosen distribution fitted to records drawn from it.
    notes : tuple of str
        What a reader must know, one sentence each.
    """

    maxima: AnnualMaxima
    fits: dict[str, Fit]
    goodness: dict[str, Goodness]
    chosen: Fit
    reason: str
    plotting_rule: str
    resampled: tuple[Fit, ...]
    notes: tuple[str, ...]

    def depth_mm(self, return_period_y: ArrayLike) -> NDArray[np.float64]:
        """Depth of a return period by the chosen fit [mm]."""
        return self.chosen.quantile_mm(return_period_y)

    def band_mm(
        self, return_period_y: ArrayLike, *, confidence: float = DEFAULT_CONFIDENCE
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lower and upper depth of the chosen fit's confidence band [mm]."""
        return confidence_band(self.resampled, return_period_y, confidence=confidence)


def analyse_frequency(
    maxima: AnnualMaxima,
    *,
    seed: int,
    distribution: str | None = None,
    plotting_rule: str = "cunnane",
    samples: int = DEFAULT_SAMPLES,
) -> FrequencyAnalysis:
    """Fit three distributions to annual maxima, choose one and tell how sure it is.

    Parameters
    ----------
    maxima : AnnualMaxima
        The record.
    seed : int
        Start of the random numbers behind the confidence band.
    distribution : str, optional
        ``Gumbel``, ``GEV`` or ``log-Pearson III``; the one of the lowest AIC if not given.
    plotting_rule : str
        Rule of the plotting positions, as in `plotting_positions`.
    samples : int
        Records drawn for the confidence band.

    Returns
    -------
    FrequencyAnalysis
        Fits, figures and choice. A record with a year without rain has no logarithms and so no log-Pearson III.

    Raises
    ------
    InputError
        If the distribution can't be fitted or is unknown, or the rule is unknown.

    Examples
    --------
    >>> depth_mm = np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0, 29.0, 47.0, 33.0])
    >>> analysis = analyse_frequency(AnnualMaxima(np.arange(2001, 2011), depth_mm), seed=1)
    >>> analysis.reason
    'lowest AIC: Gumbel 78.2, log-Pearson III 79.6, GEV 79.8'
    >>> round(float(analysis.depth_mm(10.0)), 1)
    55.4
    """
    depth_mm = maxima.depth_mm
    dry = int(np.count_nonzero(depth_mm == 0))
    fits = {name: fitting(depth_mm) for name, fitting in _FITTINGS.items() if not (dry and name == LOG_PEARSON_3)}
    figures = {name: goodness(fit, depth_mm, plotting_rule=plotting_rule) for name, fit in fits.items()}
    if distribution is None:
        ranked = sorted(fits, key=lambda name: figures[name].aic)
        reason = "lowest AIC: " + ", ".join(f"{name} {figures[name].aic:.1f}" for name in ranked)
        distribution = ranked[0]
    else:
        check_one_of(tuple(fits), distribution=distribution)
        reason = "given"
    notes = maxima.notes
    if dry:
        notes = (*notes, f"no rain in {dry} of {len(depth_mm)} years: {LOG_PEARSON_3} needs logarithms and is left out")
    resampled = resampled_fits(_FITTINGS[distribution], depth_mm, seed=seed, samples=samples)
    return FrequencyAnalysis(maxima, fits, figures, fits[distribution], reason, plotting_rule, resampled, notes)


def risk(return_period_y: float, years: float) -> float:
    """Chance that a storm of a return period is exceeded at least once in some years.

    Parameters
    ----------
    return_period_y : float
        Return period [years], at least one.
    years : float
        Years that the works must last.

    Returns
    -------
    float
        Probability [-].

    Raises
    ------
    InputError
        If the return period is shorter than one year or the years are negative.

    Notes
    -----
    R = 1 − (1 − 1/T)^n, years being independent of one another.

    Examples
    --------
    >>> round(risk(25.0, 10.0), 3)
    0.335
    """
    check_not_negative(years=years)
    if not return_period_y >= 1.0:
        message = f"return_period_y is {return_period_y:g}; of annual maxima it must be one year or more"
        raise InputError(message)
    return float(1.0 - (1.0 - 1.0 / return_period_y) ** years)
