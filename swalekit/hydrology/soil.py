"""The soil value: how much of a storm the ground keeps."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_positive
from swalekit.errors import InputError
from swalekit.hydrology.curve_number import retention_mm, runoff_mm


@dataclass(frozen=True)
class Soil:
    """The soil classes of a site.

    Parameters
    ----------
    curve_number : tuple of float
        Curve number of each soil class [-].
    initial_abstraction_ratio : float
        Ia / S that belongs to the curve numbers [-].
    intake_mm_h : float, optional
        Steady intake of the ditch floor [mm/h].

    Raises
    ------
    InputError
        If there is no class or a value lies outside its range.

    Examples
    --------
    >>> Soil((80.0, 90.0)).runoff_mm(50.0).round(1)
    array([13.8, 27.1])
    """

    curve_number: tuple[float, ...]
    initial_abstraction_ratio: float = 0.2
    intake_mm_h: float | None = None

    def __post_init__(self) -> None:
        if not self.curve_number:
            message = "the soil has no curve number; give at least one"
            raise InputError(message)
        retention_mm(self.curve_number)
        check_between(0.0, 1.0, initial_abstraction_ratio=self.initial_abstraction_ratio)
        if self.intake_mm_h is not None:
            check_positive(intake_mm_h=self.intake_mm_h)

    def runoff_mm(self, rain_mm: ArrayLike) -> NDArray[np.float64]:
        """Runoff of every class from a storm: the loss method of the site.

        Parameters
        ----------
        rain_mm : array_like, shape (...)
            Storm depth [mm].

        Returns
        -------
        ndarray of float64, shape (..., classes)
            Runoff [mm].
        """
        rain = np.asarray(rain_mm, np.float64)[..., np.newaxis]
        return runoff_mm(rain, self.curve_number, initial_abstraction_ratio=self.initial_abstraction_ratio)
