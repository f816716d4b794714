"""Curve numbers from rain and runoff that were observed: of one storm, of a site, and how they change with the rain."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize_scalar
from scipy.stats import kendalltau

from swalekit._checks import check_between, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.curve_number import PUBLISHED_RATIO, runoff_mm

INTERVAL = 0.90
"""Share of the drawn fits that an interval holds: our choice."""

_DRAWS, _SEED = 1000, 1
_TRIED = np.round(np.arange(1.0, 100.0 + 1e-9, 0.05), 2)
_LEAST_FOR_TREND = 6
_SURE = 0.10  # chance of so clear a trend by accident
_LEVELLED_OFF = 3.0  # curve numbers between the greatest rain's and the one that it tends to: our choice


def storm_curve_number(
    rain_mm: ArrayLike, runoff_mm: ArrayLike, *, initial_abstraction_ratio: float = PUBLISHED_RATIO
) -> NDArray[np.float64]:
    """Curve number that makes a runoff of a rain, in closed form.

    Parameters
    ----------
    rain_mm, runoff_mm : array_like
        Depths of storms and of the runoff that they made [mm]; broadcast against one another.
    initial_abstraction_ratio : float
        Ia / S, to which the number belongs [-].

    Returns
    -------
    ndarray of float64
        Curve number [-]; of a storm without runoff the greatest at which none runs off.

    Raises
    ------
    InputError
        If a rain isn't above zero, a runoff is negative or more than the rain, or the ratio lies outside 0 to 1.

    Notes
    -----
    Q = (P − λS)² / (P + (1 − λ)S) solved for S: S = (2λP + (1 − λ)Q − ((1 − λ)²Q² + 4λPQ)^½) / (2λ²), which for λ = 0.2
    is the published S = 5 (P + 2Q − (4Q² + 5PQ)^½); then CN = 25400 / (254 + S), S in mm.

    References
    ----------
    .. [1] Hawkins (1973), improved prediction of storm runoff from mountain watersheds; and USDA NRCS, NEH Part 630,
       ch. 5: S from observed P and Q (both from memory).

    Examples
    --------
    >>> storm_curve_number([50.0, 50.0], [13.8, 0.0]).round(1)
    array([80. , 50.4])
    """
    check_between(0.0, 1.0, initial_abstraction_ratio=initial_abstraction_ratio)
    rain, runoff = np.broadcast_arrays(np.asarray(rain_mm, np.float64), np.asarray(runoff_mm, np.float64))
    if not np.all(rain > 0) or not np.all((runoff >= 0) & (runoff <= rain)):
        message = (
            f"rain_mm runs from {rain.min():g} to {rain.max():g} and runoff_mm from {runoff.min():g} to "
            f"{runoff.max():g}; rain must be above zero, and runoff neither negative nor more than the rain"
        )
        raise InputError(message)
    ratio = initial_abstraction_ratio
    if ratio == 0.0:
        with np.errstate(divide="ignore"):
            retention = rain**2 / runoff - rain
    else:
        root = np.sqrt(((1.0 - ratio) * runoff) ** 2 + 4.0 * ratio * rain * runoff)
        retention = (2.0 * ratio * rain + (1.0 - ratio) * runoff - root) / (2.0 * ratio**2)
    return np.asarray(25400.0 / (254.0 + np.maximum(retention, 0.0)))


@one_line("curve_number", "low", "high", "median", "readings")
@dataclass(frozen=True)
class FittedCurveNumber:
    """Curve number that rain and runoff of several storms speak for.

    Parameters
    ----------
    curve_number : float
        That of the least squares [-].
    low, high : float or None
        Ends of the interval that holds 90 % of the fits to storms drawn anew [-]; None of fewer than three storms.
    median : float
        Median of the numbers of the single readings that are known in full [-].
    rms_mm : float
        Root mean square of what these differ from the fitted curve [mm].
    readings, storms : int
        How many were known in full, and storms that they are of.
    initial_abstraction_ratio : float
        Ia / S that all numbers belong to [-].
    """

    curve_number: float
    low: float | None
    high: float | None
    median: float
    rms_mm: float
    readings: int
    storms: int
    initial_abstraction_ratio: float


@one_line("rain_mm", "low_mm", "high_mm", "storm")
@dataclass(frozen=True, eq=False)
class ObservedRunoff(Frozen):
    """Runoff of several storms, each known in full or within bounds.

    Parameters
    ----------
    rain_mm : ndarray of float64, shape (n,)
        Rain [mm].
    low_mm, high_mm : ndarray of float64, shape (n,)
        Least and greatest runoff that the observation allows [mm]: the same where it is known in full; infinite, the
        least negative, where that end isn't known.
    storm : tuple of str
        Which storm each is of: those of one stand or fall together.

    Raises
    ------
    InputError
        If arrays differ in shape.
    """

    rain_mm: NDArray[np.float64]
    low_mm: NDArray[np.float64]
    high_mm: NDArray[np.float64]
    storm: tuple[str, ...]

    def __post_init__(self) -> None:
        check_same_shape(
            rain_mm=self.rain_mm, low_mm=self.low_mm, high_mm=self.high_mm, storm=np.arange(len(self.storm))
        )
        super().__post_init__()

    @property
    def known(self) -> NDArray[np.bool_]:
        """Which are known in full."""
        return np.asarray(self.low_mm == self.high_mm)


def fit_curve_number(
    observed: ObservedRunoff, *, initial_abstraction_ratio: float = PUBLISHED_RATIO
) -> FittedCurveNumber | None:
    """The curve number whose runoff lies nearest to what was observed.

    Parameters
    ----------
    observed : ObservedRunoff
        Rain and runoff.
    initial_abstraction_ratio : float
        Ia / S, to which the number belongs [-].

    Returns
    -------
    FittedCurveNumber or None
        To 0.05; None where no runoff is known in full.

    Notes
    -----
    Least squares of the runoff depth, as for event data in [1]_ (from memory). Where only a bound is known a reading
    counts with what the curve breaks it by. The median of single numbers is the older practice of NEH Part 630, ch. 5
    (from memory). The interval is that of 1000 fits to storms drawn with replacement from a fixed seed: of few storms
    it is rough, and it knows nothing of errors that all share, as of a catchment or a rain gauge.

    References
    ----------
    .. [1] Hawkins, Ward, Woodward & Van Mullem (2009). Curve Number Hydrology: State of the Practice, ASCE.

    Examples
    --------
    >>> rain, runoff = np.array([30.0, 45.0, 60.0]), np.array([3.7, 10.9, 20.3])
    >>> fit_curve_number(ObservedRunoff(rain, runoff, runoff, ("a", "b", "c"))).curve_number
    80.05
    """
    known = observed.known
    if not known.any():
        return None
    modelled = runoff_mm(observed.rain_mm[:, np.newaxis], _TRIED, initial_abstraction_ratio=initial_abstraction_ratio)
    low, high = observed.low_mm[:, np.newaxis], observed.high_mm[:, np.newaxis]
    off_mm = np.where(modelled < low, low - modelled, np.where(modelled > high, modelled - high, 0.0))
    names = list(dict.fromkeys(observed.storm))
    own = np.array([[name == storm for storm in observed.storm] for name in names], np.float64)
    cost = own @ off_mm**2
    best = int(np.argmin(cost.sum(axis=0)))
    single = storm_curve_number(
        observed.rain_mm[known], observed.low_mm[known], initial_abstraction_ratio=initial_abstraction_ratio
    )
    in_full = own @ known > 0
    ends = _interval(cost, in_full) if int(in_full.sum()) >= 3 else (None, None)
    return FittedCurveNumber(
        curve_number=float(_TRIED[best]),
        low=ends[0],
        high=ends[1],
        median=float(np.median(single)),
        rms_mm=float(np.sqrt(np.mean(off_mm[known, best] ** 2))),
        readings=int(known.sum()),
        storms=int(in_full.sum()),
        initial_abstraction_ratio=initial_abstraction_ratio,
    )


def _interval(cost: NDArray[np.float64], in_full: NDArray[np.bool_]) -> tuple[float, float]:
    """Ends of the middle of the fits to storms drawn with replacement, each with one known in full at least."""
    drawn = np.random.default_rng(_SEED).integers(0, len(cost), (_DRAWS, len(cost)))
    drawn = drawn[in_full[drawn].any(axis=1)]
    counts = np.stack([np.bincount(row, minlength=len(cost)) for row in drawn]).astype(np.float64)
    fits = _TRIED[np.argmin(counts @ cost, axis=1)]
    low, high = np.quantile(fits, [(1.0 - INTERVAL) / 2.0, (1.0 + INTERVAL) / 2.0])
    return float(low), float(high)


@one_line("kind", "limit", "at_least_rain", "at_most_rain")
@dataclass(frozen=True)
class CurveNumberTrend:
    """How curve numbers of single storms change with the rain.

    Parameters
    ----------
    kind : str
        ``steady`` (no trend), ``levels off`` (they fall toward a number), ``still falls`` or ``rises``.
    limit : float
        Number that they tend to in great rains [-]; their mean where they are steady, not to be trusted where they
        still fall.
    at_least_rain, at_most_rain : float
        Number on the fitted curve at the least and at the greatest rain [-].
    """

    kind: str
    limit: float
    at_least_rain: float
    at_most_rain: float


def curve_number_trend(
    rain_mm: ArrayLike, runoff_mm: ArrayLike, *, initial_abstraction_ratio: float = PUBLISHED_RATIO
) -> CurveNumberTrend | None:
    """Whether curve numbers fall with the rain, as is common, and what they tend to.

    Parameters
    ----------
    rain_mm, runoff_mm : array_like, shape (n,)
        Rain and runoff of n readings, each known in full [mm].
    initial_abstraction_ratio : float
        Ia / S, to which the numbers belong [-].

    Returns
    -------
    CurveNumberTrend or None
        None of fewer than six readings, which show no trend.

    Notes
    -----
    Both depths are sorted on their own and paired by rank, so that each runoff stands beside the rain of its own return
    period; then CN(P) = CN∞ + (100 − CN∞) e^(−P / k) by least squares. A trend is told where Kendall's test of the
    pairs as they were read gives it a chance of less than 10 % by accident (our choice).

    References
    ----------
    .. [1] Hawkins (1993). Asymptotic determination of runoff curve numbers from data. J. Irrig. Drain. Eng. 119(2),
       334–345 (from memory).

    Examples
    --------
    >>> rain = np.array([15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0])
    >>> falling = 70.0 + 30.0 * np.exp(-rain / 15.0)
    >>> from swalekit.hydrology.losses.curve_number import runoff_mm
    >>> curve_number_trend(rain, runoff_mm(rain, falling))
    CurveNumberTrend(levels off, limit 70, at least rain 81.04, at most rain 70.55)
    """
    rain, runoff = np.asarray(rain_mm, np.float64), np.asarray(runoff_mm, np.float64)
    if rain.size < _LEAST_FOR_TREND or np.ptp(rain) == 0.0:
        return None
    as_read = storm_curve_number(rain, runoff, initial_abstraction_ratio=initial_abstraction_ratio)
    tau, chance = kendalltau(rain, as_read)
    ranked = np.sort(rain)
    number = storm_curve_number(
        ranked, np.minimum(np.sort(runoff), ranked), initial_abstraction_ratio=initial_abstraction_ratio
    )
    if not chance < _SURE:
        mean = float(as_read.mean())
        return CurveNumberTrend("steady", mean, mean, mean)
    if tau > 0:
        first, last = float(number[0]), float(number[-1])
        return CurveNumberTrend("rises", last, first, last)
    limit, length_mm = _asymptote(ranked, number)
    first, last = (limit + (100.0 - limit) * float(np.exp(-depth / length_mm)) for depth in (ranked[0], ranked[-1]))
    kind = "levels off" if last - limit <= _LEVELLED_OFF else "still falls"
    return CurveNumberTrend(kind, limit, first, last)


def _asymptote(rain: NDArray[np.float64], number: NDArray[np.float64]) -> tuple[float, float]:
    """Number that storms tend to, and the rain over which what is above it falls to 1/e [mm]: linear in the first."""

    def at(length_mm: float) -> tuple[float, float]:
        fade = np.exp(-rain / length_mm)
        weight = 1.0 - fade
        limit = float(np.clip(np.sum(weight * (number - 100.0 * fade)) / np.sum(weight**2), 0.0, 100.0))
        return limit, float(np.sum((limit * weight + 100.0 * fade - number) ** 2))

    spans = np.geomspace(0.05 * rain[0], 10.0 * rain[-1], 200)
    place = int(np.argmin([at(float(span))[1] for span in spans]))
    around = (float(spans[max(place - 1, 0)]), float(spans[min(place + 1, spans.size - 1)]))
    length_mm = float(minimize_scalar(lambda span: at(span)[1], bounds=around, method="bounded").x)
    return at(length_mm)[0], length_mm
