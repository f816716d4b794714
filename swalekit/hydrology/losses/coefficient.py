"""A fixed share of the rain runs off."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between
from swalekit.hydrology.losses.loss import KeyFigure, Loss


@dataclass(frozen=True)
class RunoffCoefficient(Loss):
    """A fixed share of the rain runs off.

    Parameters
    ----------
    coefficient : float
        Runoff over rain, 0 to 1 [-].

    Raises
    ------
    InputError
        If the coefficient lies outside its range.

    Notes
    -----
    Right for the season or the kind of storm that the coefficient was measured in, and for no other: in truth the
    share grows with the storm.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, section 3.4.

    Examples
    --------
    >>> RunoffCoefficient(0.25).runoff_mm([20.0, 60.0])
    array([ 5., 15.])
    """

    coefficient: float
    method = "runoff coefficient"
    in_words = "a runoff coefficient"
    told = in_words
    figure = KeyFigure("Runoff coefficient", "coefficient")
    keys = ("runoff_coefficient",)
    ways = keys
    follows_course = False

    def __str__(self) -> str:
        return f"runoff coefficient {self.coefficient:g}"

    def __post_init__(self) -> None:
        check_between(0.0, 1.0, coefficient=self.coefficient)

    @classmethod
    def from_keys(cls, keys: Mapping[str, Any]) -> Self:
        """The loss of the coefficient that a brief's soil, or a soil zone, gives.

        Parameters
        ----------
        keys : mapping
            With ``runoff_coefficient`` [-].

        Returns
        -------
        RunoffCoefficient
            The loss.

        Raises
        ------
        InputError
            If the coefficient lies outside 0 to 1.

        Examples
        --------
        >>> RunoffCoefficient.from_keys({"runoff_coefficient": 0.3})
        RunoffCoefficient(coefficient=0.3)
        """
        check_between(0.0, 1.0, runoff_coefficient=keys["runoff_coefficient"])
        return cls(keys["runoff_coefficient"])

    def keeping(self, factor: float) -> Self:
        """The loss with the odds of rain staying multiplied.

        Parameters
        ----------
        factor : float
            What (1 − C) / C is multiplied by, above zero [-].

        Returns
        -------
        RunoffCoefficient
            The loss, its coefficient between 0 and 1 whatever the factor.

        Examples
        --------
        >>> RunoffCoefficient(0.5).keeping(3.0)
        RunoffCoefficient(coefficient=0.25)
        """
        share = self.coefficient
        return replace(self, coefficient=share / (share + factor * (1.0 - share)))

    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        return self.coefficient * cumulative_mm
