"""What sizing needs to know of a level line."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_finite, check_same_shape
from swalekit.errors import InputError


@dataclass(frozen=True, eq=False)
class Stations:
    """Stations of a level line.

    Parameters
    ----------
    level_m : float
        Level of the line [m].
    ground_m : ndarray of float64, shape (n,)
        Ground height at the stations [m].
    slope : ndarray of float64, shape (n,)
        Slope down across the line, zero or more [m/m].
    width_m : ndarray of float64, shape (n,)
        Length of line that each station stands for [m].
    reach_m : ndarray of float64, shape (n,)
        How far uphill of the line its pond may stand [m].

    Raises
    ------
    InputError
        If arrays differ in shape or are empty, or a value is negative or not finite.
    """

    level_m: float
    ground_m: NDArray[np.float64]
    slope: NDArray[np.float64]
    width_m: NDArray[np.float64]
    reach_m: NDArray[np.float64]

    def __post_init__(self) -> None:
        check_finite(level_m=self.level_m)
        arrays = {field.name: getattr(self, field.name) for field in fields(self)[1:]}
        check_same_shape(**arrays)
        for name, values in arrays.items():
            wrong = ~np.isfinite(values) if name == "ground_m" else ~(np.isfinite(values) & (values >= 0))
            if values.size == 0 or wrong.any():
                station = int(np.argmax(wrong)) if values.size else 0
                found = f"{values[station]:g}" if values.size else "missing"
                rule = "a finite number" if name == "ground_m" else "zero or greater"
                message = (
                    f"{name} at station {station} of the line at {self.level_m:.2f} m is {found}; it must be {rule}"
                )
                raise InputError(message)

    @property
    def length_m(self) -> float:
        """Length of the line [m]."""
        return float(self.width_m.sum())

    @property
    def rise_m(self) -> NDArray[np.float64]:
        """Ground at the stations above the level of the line [m]."""
        return self.ground_m - self.level_m
