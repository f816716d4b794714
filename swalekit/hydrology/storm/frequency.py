"""How often a depth of rain is exceeded: distributions compared on one record, and how sure the choice is."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.hydrology.storm.annual_maxima import AnnualMaxima
from swalekit.hydrology.storm.fit import GEV, GUMBEL, HEAVY_TAIL, LOG_PEARSON_3, Fit, Goodness, goodness
from swalekit.hydrology.storm.fitting import fit_gev, fit_gumbel, fit_heavy_tail, fit_log_pearson3, shape_score

_FITTINGS: dict[str, Callable[[NDArray[np.float64]], Fit]] = {
    GUMBEL: fit_gumbel,
    GEV: fit_gev,
    HEAVY_TAIL: fit_heavy_tail,
    LOG_PEARSON_3: fit_log_pearson3,
}

DEFAULT_SAMPLES = 500
DEFAULT_CONFIDENCE = 0.90

_HEAVIER_THAN_CHANCE = 1.645
"""Score of the shape that 5 % of Gumbel records pass."""

_COMPARED_Y = (25.0, 100.0)
"""Return periods for which the notes compare the chosen fit with a heavy tail."""


@one_line("maxima.depth_mm", "chosen.name", "reason")
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
        """Depth of a return period by the chosen fit.

        Parameters
        ----------
        return_period_y : array_like
            Return period, greater than one [years].

        Returns
        -------
        ndarray of float64
            Depth, in the shape of the return period [mm].
        """
        return self.chosen.quantile_mm(return_period_y)

    def band_mm(
        self, return_period_y: ArrayLike, *, confidence: float = DEFAULT_CONFIDENCE
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Confidence band of the chosen fit.

        Parameters
        ----------
        return_period_y : array_like
            Return period, greater than one [years].
        confidence : float
            Share of the resampled fits within the band [-].

        Returns
        -------
        low, high : ndarray of float64
            Lower and upper depth, in the shape of the return period [mm].
        """
        return confidence_band(self.resampled, return_period_y, confidence=confidence)


def analyse_frequency(
    maxima: AnnualMaxima,
    *,
    seed: int,
    distribution: str | None = None,
    plotting_rule: str = "cunnane",
    samples: int = DEFAULT_SAMPLES,
) -> FrequencyAnalysis:
    """Fit distributions to annual maxima, choose one and tell how sure it is.

    Parameters
    ----------
    maxima : AnnualMaxima
        The record.
    seed : int
        Start of the random numbers behind the confidence band.
    distribution : str, optional
        ``Gumbel``, ``GEV``, ``heavy tail`` or ``log-Pearson III``; if not given GEV where its tail is heavier than
        Gumbel's by more than chance, else Gumbel.
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

    Notes
    -----
    Gumbel and GEV are fitted by L-moments, and the choice between them is the test that belongs to such fits
    (`shape_score`, one-sided at 5 %). A shape whose tail is lighter than Gumbel's bounds the rain and is never taken
    unasked, nor is log-Pearson III, whose fit by moments of logarithms can't be ranked with them. A short record
    seldom shows the heavy tail that rain of dry country has, so a note tells what it would give.

    Examples
    --------
    >>> depth_mm = np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0, 29.0, 47.0, 33.0])
    >>> analysis = analyse_frequency(AnnualMaxima(np.arange(2001, 2011), depth_mm), seed=1)
    >>> analysis.reason
    "GEV's shape -0.10 is no heavier tail than chance gives in 10 years: score 0.44 of 1.645"
    >>> round(float(analysis.depth_mm(10.0)), 1)
    55.4
    """
    depth_mm = maxima.depth_mm
    dry = int(np.count_nonzero(depth_mm == 0))
    fits = {name: fitting(depth_mm) for name, fitting in _FITTINGS.items() if not (dry and name == LOG_PEARSON_3)}
    figures = {name: goodness(fit, depth_mm, plotting_rule=plotting_rule) for name, fit in fits.items()}
    if distribution is None:
        distribution, reason = _by_its_tail(fits[GEV].parameters[0], len(depth_mm))
    else:
        check_one_of(tuple(fits), distribution=distribution)
        reason = "given"
    notes = maxima.notes
    if dry:
        notes = (*notes, f"no rain in {dry} of {len(depth_mm)} years: {LOG_PEARSON_3} needs logarithms and is left out")
    notes = (*notes, *_heavy_tail_note(fits[distribution], fits[HEAVY_TAIL]))
    resampled = resampled_fits(_FITTINGS[distribution], depth_mm, seed=seed, samples=samples)
    return FrequencyAnalysis(maxima, fits, figures, fits[distribution], reason, plotting_rule, resampled, notes)


def _by_its_tail(shape: float, years: int) -> tuple[str, str]:
    """The distribution by the test of the shape, and why."""
    score, told = shape_score(shape, years), round(shape, 2) + 0.0
    if score > _HEAVIER_THAN_CHANCE:
        return GEV, f"its shape {told:.2f} is a heavier tail than chance gives in {years} years: score {score:.2f}"
    reason = f"{GEV}'s shape {told:.2f} is no heavier tail than chance gives in {years} years"
    return GUMBEL, f"{reason}: score {score:.2f} of {_HEAVIER_THAN_CHANCE:g}"


def _heavy_tail_note(chosen: Fit, heavy: Fit) -> tuple[str, ...]:
    """What a heavy tail would give, where it gives more."""
    usual, more = chosen.quantile_mm(_COMPARED_Y), heavy.quantile_mm(_COMPARED_Y)
    if not more[-1] > usual[-1]:
        return ()
    depths = " and ".join(
        f"{high:.1f} mm instead of {low:.1f} once in {years:g} years"
        for years, high, low in zip(_COMPARED_Y, more, usual, strict=True)
    )
    return (
        f"a tail as heavy as in long records the world over gives {depths}; a short record of dry country can hide it: "
        f"take distribution '{HEAVY_TAIL}' to be on the safe side",
    )


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

    Examples
    --------
    >>> fits = [Fit("Gumbel", (location_mm, 12.0)) for location_mm in (40.0, 50.0, 60.0)]
    >>> low, high = confidence_band(fits, 10.0, confidence=1.0)
    >>> print(low.round(1), high.round(1))
    67.0 87.0
    """
    check_between(0.0, 1.0, confidence=confidence)
    depths = np.stack([fit.quantile_mm(return_period_y) for fit in fits])
    low, high = np.quantile(depths, [(1.0 - confidence) / 2.0, (1.0 + confidence) / 2.0], axis=0)
    return low, high
