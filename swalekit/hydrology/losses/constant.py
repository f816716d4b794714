"""An initial loss, then loss at one rate."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative
from swalekit.errors import InputError
from swalekit.hydrology.losses.loss import KeyFigure, Loss


@dataclass(frozen=True)
class ConstantLoss(Loss):
    """An initial loss, then loss at one rate.

    Parameters
    ----------
    initial_mm : float
        Rain kept before any runs off [mm].
    rate_mm_h : float
        Rain kept from then on while it rains [mm/h].

    Raises
    ------
    InputError
        If a value is negative.

    Notes
    -----
    Excess i − r from the moment that the initial loss is filled, wherever in a step that is, and 0 while i < r.

    References
    ----------
    .. [1] Chow, Maidment & Mays (1988). Applied Hydrology, section 5.2: the φ-index is the rate without initial loss.

    Examples
    --------
    >>> ConstantLoss(initial_mm=10.0, rate_mm_h=5.0).excess_mm([0.0, 1.0, 2.0], [0.0, 20.0, 24.0])
    array([0. , 7.5, 7.5])
    """

    initial_mm: float
    rate_mm_h: float
    method = "constant loss"
    in_words = "a constant loss"
    told = "an initial loss of {initial_mm:mm} and a constant loss of {rate_mm_h:mm/h}"
    figure = KeyFigure("Loss rate", "rate_mm_h", "mm/h")
    keys = ("initial_loss_mm", "loss_rate_mm_h")
    ways = ("loss_rate_mm_h",)
    infiltrates = True

    def __str__(self) -> str:
        return f"loss of {self.initial_mm:.3g} mm, then {self.rate_mm_h:.3g} mm/h"

    def __post_init__(self) -> None:
        check_not_negative(initial_mm=self.initial_mm, rate_mm_h=self.rate_mm_h)

    @classmethod
    def from_keys(cls, keys: Mapping[str, Any]) -> Self:
        """The loss of the rate that a brief's soil, or a soil zone, gives, after an initial loss where one is given.

        Parameters
        ----------
        keys : mapping
            With ``loss_rate_mm_h`` [mm/h], and ``initial_loss_mm`` [mm] unless that is zero.

        Returns
        -------
        ConstantLoss
            The loss.

        Raises
        ------
        InputError
            If the rate is missing or a value is negative.

        Examples
        --------
        >>> ConstantLoss.from_keys({"loss_rate_mm_h": 10.0})
        ConstantLoss(initial_mm=0.0, rate_mm_h=10.0)
        """
        if "loss_rate_mm_h" not in keys:
            message = f"initial_loss_mm is {keys['initial_loss_mm']:g} but the rate is missing; give loss_rate_mm_h too"
            raise InputError(message)
        return cls(keys.get("initial_loss_mm", 0.0), keys["loss_rate_mm_h"])

    def keeping(self, factor: float) -> Self:
        """The loss with both of its figures multiplied.

        Parameters
        ----------
        factor : float
            What initial loss and rate are multiplied by, above zero [-].

        Returns
        -------
        ConstantLoss
            The loss.

        Examples
        --------
        >>> ConstantLoss(5.0, 10.0).keeping(2.0)
        ConstantLoss(initial_mm=10.0, rate_mm_h=20.0)
        """
        return replace(self, initial_mm=factor * self.initial_mm, rate_mm_h=factor * self.rate_mm_h)

    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        rain_mm = np.diff(cumulative_mm, axis=1)
        kept_mm = self.rate_mm_h * np.diff(time_h)
        over = np.divide(rain_mm - kept_mm, rain_mm, out=np.zeros_like(rain_mm), where=rain_mm > kept_mm)
        late_mm = np.clip(cumulative_mm[:, 1:] - self.initial_mm, 0.0, rain_mm)
        return np.insert(np.cumsum(late_mm * over, axis=1), 0, 0.0, axis=1)
