"""Numbered points on the ground, as total stations and satellite receivers hold them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit._one_line import one_line
from swalekit.frozen import Frozen


@one_line("easting_m", "northing_m", "height_m")
@dataclass(frozen=True, eq=False)
class SurveyPoints(Frozen):
    """Points with a number and a description.

    Parameters
    ----------
    number : ndarray of int64, shape (n,)
        Point numbers.
    easting_m, northing_m : ndarray of float64, shape (n,)
        Where they lie, in the CRS of the design [m].
    height_m : ndarray of float64, shape (n,)
        Their height in the datum of the design, NaN where there is none [m].
    description : tuple of str
        What each is, in the crew's words.

    Raises
    ------
    InputError
        If the parts differ in length.
    """

    number: NDArray[np.int64]
    easting_m: NDArray[np.float64]
    northing_m: NDArray[np.float64]
    height_m: NDArray[np.float64]
    description: tuple[str, ...]

    def __post_init__(self) -> None:
        check_same_shape(
            number=self.number,
            easting_m=self.easting_m,
            northing_m=self.northing_m,
            height_m=self.height_m,
            description=np.empty(len(self.description)),
        )
        super().__post_init__()

    def __len__(self) -> int:
        return len(self.number)
