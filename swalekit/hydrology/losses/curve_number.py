"""The NRCS curve number: runoff of whole storms, and the loss that applies it to the rain so far."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between
from swalekit.errors import InputError
from swalekit.hydrology.losses.antecedent import antecedent_curve_number
from swalekit.hydrology.losses.loss import KeyFigure, Loss
from swalekit.tables.curve_numbers import curve_number as published_curve_number

PUBLISHED_RATIO, CONVERTED_RATIO = 0.2, 0.05
"""Ia / S that published curve numbers stand for, and the one that they can be converted to."""

_RATIO_FACTOR, _RATIO_POWER = 1.879, 1.15


def retention_mm(curve_number: ArrayLike) -> NDArray[np.float64]:
    """Potential retention S of the ground after runoff begins.

    Parameters
    ----------
    curve_number : array_like
        Curve number, above 0 and at most 100 [-].

    Returns
    -------
    ndarray of float64
        Retention [mm].

    Raises
    ------
    InputError
        If a curve number lies outside its range.

    Notes
    -----
    S = 25400 / CN − 254.

    References
    ----------
    .. [1] USDA NRCS (2004). NEH Part 630, ch. 10, eq. 10-12.

    Examples
    --------
    >>> round(float(retention_mm(74)), 1)
    89.2
    """
    number = np.asarray(curve_number, np.float64)
    if not np.all((number > 0) & (number <= 100)):
        wrong = number[~((number > 0) & (number <= 100))].flat[0]
        message = f"curve_number is {wrong:g}; it must be above 0 and at most 100"
        raise InputError(message)
    return np.asarray(25400.0 / number - 254.0)


def runoff_mm(
    rain_mm: ArrayLike, curve_number: ArrayLike, *, initial_abstraction_ratio: float = 0.2
) -> NDArray[np.float64]:
    """Depth of runoff from a storm.

    Parameters
    ----------
    rain_mm : array_like
        Storm depth [mm]; broadcast against the curve number.
    curve_number : array_like
        Curve number that belongs to the initial abstraction ratio [-].
    initial_abstraction_ratio : float
        Part of the retention filled before runoff begins, Ia / S [-].

    Returns
    -------
    ndarray of float64
        Runoff [mm].

    Raises
    ------
    InputError
        If rain is negative, or a curve number or the ratio lies outside its range.

    Notes
    -----
    Q = (P − λS)² / (P + (1 − λ)S) for P > λS, else 0. Published curve numbers stand for λ = 0.2. The method is for
    whole storms, and is weak where runoff is a small part of the rain: another is wanted where CN is below 40.

    References
    ----------
    .. [1] USDA SCS (1986). TR-55, eq. 2-1 to 2-4.
    .. [2] USDA NRCS (2004). NEH Part 630, ch. 10.

    Examples
    --------
    >>> runoff_mm([25.0, 50.0, 100.0], 80).round(1)
    array([ 2. , 13.8, 50.5])
    """
    check_between(0.0, 1.0, initial_abstraction_ratio=initial_abstraction_ratio)
    rain = np.asarray(rain_mm, np.float64)
    if not np.all(rain >= 0):
        message = f"rain_mm is {np.min(rain):g}; it must be zero or greater"
        raise InputError(message)
    retention = retention_mm(curve_number)
    effective = np.maximum(rain - initial_abstraction_ratio * retention, 0.0)
    total = effective + retention
    runoff = np.divide(effective**2, total, out=np.zeros_like(total), where=total > 0)
    return np.asarray(np.minimum(runoff, effective))  # rounding may lift it above


def curve_number_at_5_percent(curve_number: ArrayLike) -> NDArray[np.float64]:
    """Curve number for an initial abstraction of 0.05 S, of a published one, which stands for 0.2 S.

    Parameters
    ----------
    curve_number : array_like
        Curve number for Ia / S = 0.2, above 0 and at most 100 [-].

    Returns
    -------
    ndarray of float64
        Curve number for Ia / S = 0.05 [-].

    Raises
    ------
    InputError
        If a curve number lies outside its range.

    Notes
    -----
    S_0.05 = 0.819 S_0.2^1.15 in mm (1.33 S_0.2^1.15 in inches), so CN_0.05 = 100 / (1 + 1.879 (100 / CN − 1)^1.15).
    With it small storms run off earlier and great ones much as before.

    References
    ----------
    .. [1] Hawkins, Jiang, Woodward, Hjelmfelt & Van Mullem (2002). Runoff curve number method: examination of the
       initial abstraction ratio, eq. 8.

    Examples
    --------
    >>> curve_number_at_5_percent([60, 77, 95]).round(1)
    array([45.9, 68.1, 94. ])
    """
    retention_mm(curve_number)
    return np.asarray(
        100.0 / (1.0 + _RATIO_FACTOR * (100.0 / np.asarray(curve_number, np.float64) - 1.0) ** _RATIO_POWER)
    )


def curve_number_at_20_percent(curve_number: ArrayLike) -> NDArray[np.float64]:
    """Curve number for an initial abstraction of 0.2 S, of one for 0.05 S: the inverse of `curve_number_at_5_percent`.

    Parameters
    ----------
    curve_number : array_like
        Curve number for Ia / S = 0.05, above 0 and at most 100 [-].

    Returns
    -------
    ndarray of float64
        Curve number for Ia / S = 0.2 [-].

    Raises
    ------
    InputError
        If a curve number lies outside its range.

    Examples
    --------
    >>> curve_number_at_20_percent(curve_number_at_5_percent([60, 95])).round(9)
    array([60., 95.])
    """
    retention_mm(curve_number)
    parts = (100.0 / np.asarray(curve_number, np.float64) - 1.0) / _RATIO_FACTOR
    return np.asarray(100.0 / (1.0 + parts ** (1.0 / _RATIO_POWER)))


def area_weighted_curve_number(curve_number: ArrayLike, area_m2: ArrayLike) -> float:
    """Mean of curve numbers by area.

    Parameters
    ----------
    curve_number : array_like, shape (n,)
        Curve numbers [-].
    area_m2 : array_like, shape (n,)
        Area of each [m²].

    Returns
    -------
    float
        Weighted curve number [-].

    Raises
    ------
    InputError
        If an area is negative or all are zero.

    Notes
    -----
    Runoff isn't linear in the curve number: where the numbers differ much, the runoff of each part weighted by area
    is exact and this mean gives too little.

    References
    ----------
    .. [1] USDA NRCS (2004). NEH Part 630, ch. 10, examples 10-3 and 10-4.

    Examples
    --------
    >>> round(area_weighted_curve_number([75, 69], [400, 230]), 1)
    72.8
    """
    area = np.asarray(area_m2, np.float64)
    if not np.all(area >= 0) or area.sum() <= 0:
        message = f"area_m2 runs from {area.min():g} to {area.max():g}; none may be negative and one must be above zero"
        raise InputError(message)
    return float(np.average(np.asarray(curve_number, np.float64), weights=area))


@dataclass(frozen=True)
class CurveNumberLoss(Loss):
    """NRCS curve number, applied to the rain fallen so far.

    Parameters
    ----------
    curve_number : float
        Curve number that belongs to the ratio, above 0 and at most 100 [-].
    initial_abstraction_ratio : float
        Ia / S [-].

    Raises
    ------
    InputError
        If a value lies outside its range.

    Notes
    -----
    Made for whole storms: within one it knows the rain so far but not how hard it falls. `with_condition` follows
    Table 10-1 of [1]_, printed for Ia / S = 0.2; a number for 0.05 goes there and back.

    References
    ----------
    .. [1] USDA NRCS (2004). NEH Part 630, ch. 10, eq. 10-11 and example 10-6.

    Examples
    --------
    >>> CurveNumberLoss(80.0).excess_mm([0.0, 1.0, 2.0], [0.0, 25.0, 50.0]).round(1)
    array([ 0. ,  2. , 13.8])
    """

    curve_number: float
    initial_abstraction_ratio: float = 0.2
    method = "curve number"
    in_words = "the NRCS curve number"
    told = in_words
    figure = KeyFigure("Curve number", "curve_number")
    sources = (("Curve numbers on dry and wet ground", "antecedent"),)
    keys = ("curve_number", "cover")
    shared_keys = ("condition", "group", "initial_abstraction_ratio")
    names = ("cover", "condition", "group")
    ways = ("curve_number", "cover and group")
    follows_course = False
    follows_condition = True

    def __str__(self) -> str:
        return f"curve number {self.curve_number:g}"

    def __post_init__(self) -> None:
        retention_mm(self.curve_number)
        check_between(0.0, 1.0, initial_abstraction_ratio=self.initial_abstraction_ratio)

    @property
    def usual_curve_number(self) -> float:
        """The number for Ia / S = 0.2 of one for 0.05, as other published relations need it; else the number itself."""
        if self.initial_abstraction_ratio == CONVERTED_RATIO:
            return float(curve_number_at_20_percent(self.curve_number))
        return self.curve_number

    def with_condition(self, condition: str) -> Self:
        """The loss with the curve number for an antecedent runoff condition.

        Parameters
        ----------
        condition : str
            ``dry``, ``average`` or ``wet``, conditions I, II and III.

        Returns
        -------
        CurveNumberLoss
            The loss.

        Raises
        ------
        InputError
            If the condition is unknown.

        Examples
        --------
        >>> CurveNumberLoss(80.0).with_condition("wet").curve_number
        91.0
        """
        number = antecedent_curve_number(self.usual_curve_number, condition)
        if self.initial_abstraction_ratio == CONVERTED_RATIO:
            number = curve_number_at_5_percent(number)
        return replace(self, curve_number=float(number))

    @classmethod
    def from_keys(cls, keys: Mapping[str, Any]) -> Self:
        """The loss of the number that a brief's soil, or a soil zone, gives, or of the published one of its cover.

        Parameters
        ----------
        keys : mapping
            ``curve_number``, or ``cover``, ``condition`` and ``group``; ``initial_abstraction_ratio``, else 0.2. A
            published number is converted where the ratio is 0.05.

        Returns
        -------
        CurveNumberLoss
            The loss.

        Raises
        ------
        InputError
            If number and cover are both given, condition or group is missing, no number is published for them, it is
            asked for with a ratio that it can't be converted to, or the number lies outside 30 to 100.

        Examples
        --------
        >>> print(CurveNumberLoss.from_keys({"curve_number": 80.0}))
        curve number 80
        """
        number, cover = keys.get("curve_number"), keys.get("cover", "")
        if number is not None and cover:
            message = f"curve_number {number:g} and cover '{cover}' both say how much runs off; give one"
            raise InputError(message)
        ratio = keys.get("initial_abstraction_ratio", PUBLISHED_RATIO)
        if number is None:
            missing = [name for name in ("condition", "group") if name not in keys]
            if missing:
                message = f"cover '{cover}' needs {' and '.join(missing)} to find its published curve number"
                raise InputError(message)
            published = published_curve_number(cover, keys["condition"], keys["group"]).curve_number
            number = _of_published(published, ratio)
        else:
            check_between(30.0, 100.0, curve_number=number)
        return cls(number, ratio)

    @classmethod
    def lent_keys(cls, zone: Mapping[str, Any]) -> tuple[str, ...]:
        """Keys that a zone takes from the brief: cover and group, unless the zone gives a number.

        Parameters
        ----------
        zone : mapping
            What the zone says itself, by key.

        Returns
        -------
        tuple of str
            The keys.

        Examples
        --------
        >>> CurveNumberLoss.lent_keys({"condition": "poor"}), CurveNumberLoss.lent_keys({"curve_number": 90.0})
        (('cover', 'group'), ())
        """
        return () if "curve_number" in zone else ("cover", "group")

    def keeping(self, factor: float) -> Self:
        """The loss with its retention S multiplied.

        Parameters
        ----------
        factor : float
            What S is multiplied by, above zero [-].

        Returns
        -------
        CurveNumberLoss
            The loss with the curve number 25400 / (254 + S), S in mm; its ratio Ia / S stays.

        Examples
        --------
        >>> print(CurveNumberLoss(80.0).keeping(2.0))
        curve number 66.6667
        """
        retention = factor * float(retention_mm(self.curve_number))
        return replace(self, curve_number=25400.0 / (254.0 + retention))

    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        ratio = self.initial_abstraction_ratio
        return runoff_mm(cumulative_mm, self.curve_number, initial_abstraction_ratio=ratio)


def _of_published(curve_number: float, ratio: float) -> float:
    """Curve number for a ratio Ia / S, of a published one."""
    if ratio == CONVERTED_RATIO:
        return float(curve_number_at_5_percent(curve_number))
    if ratio != PUBLISHED_RATIO:
        message = (
            f"published curve numbers stand for initial_abstraction_ratio {PUBLISHED_RATIO:g} and can be converted to "
            f"{CONVERTED_RATIO:g}, not to {ratio:g}; take one of the two, or give curve_number for that ratio"
        )
        raise InputError(message)
    return curve_number
