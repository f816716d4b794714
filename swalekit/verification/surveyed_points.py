"""Points that a crew surveyed, and those that could not be used."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape


@dataclass(frozen=True, eq=False)
class SurveyedPoints:
    """Points on what was built.

    Parameters
    ----------
    number : ndarray of int64, shape (n,)
        Point numbers.
    easting_m, northing_m : ndarray of float64, shape (n,)
        Where they lie, in the CRS of the design [m].
    height_m : ndarray of float64, shape (n,)
        Their height in the datum of the design, NaN where there is none [m].
    code : tuple of str
        What each is: words for the part and, where the crew gave it, the swale.

    Raises
    ------
    InputError
        If the parts differ in length.
    """

    number: NDArray[np.int64]
    easting_m: NDArray[np.float64]
    northing_m: NDArray[np.float64]
    height_m: NDArray[np.float64]
    code: tuple[str, ...]

    def __post_init__(self) -> None:
        check_same_shape(
            number=self.number,
            easting_m=self.easting_m,
            northing_m=self.northing_m,
            height_m=self.height_m,
            code=np.empty(len(self.code)),
        )


@dataclass(frozen=True)
class UnmatchedPoint:
    """A point that was not used.

    Parameters
    ----------
    number : int
        Its number.
    easting_m, northing_m, height_m : float
        Where it lies [m].
    code : str
        What the crew called it.
    reason : str
        Why it was not used.
    """

    number: int
    easting_m: float
    northing_m: float
    height_m: float
    code: str
    reason: str
