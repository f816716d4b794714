"""The cross-section of ditch and berm, and the depths it may be dug to."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_ordered, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.kernels.section_nodes import Dimensions


@one_line("bottom_width_m", "uphill_side_slope", "downhill_side_slope", "crest_width_m", "freeboard_m")
@dataclass(frozen=True)
class Section:
    """A ditch on the level line and, downhill of it, a berm of its spoil.

    Side slopes are horizontal : vertical. The ditch's floor is centred on the staked line.

    Parameters
    ----------
    bottom_width_m : float
        Width of the ditch's floor [m].
    uphill_side_slope, downhill_side_slope : float
        Sides of the ditch [H:V].
    bench_m : float
        Undisturbed ground between ditch and berm [m].
    berm_uphill_side_slope, berm_downhill_side_slope : float
        Faces of the berm [H:V].
    crest_width_m : float
        Width of the berm's level crest [m].
    freeboard_m : float
        Height of the crest above the sill [m].

    Raises
    ------
    InputError
        If a width or side slope isn't positive, or bench or freeboard is negative.

    Examples
    --------
    >>> Section(bottom_width_m=1.0).crest_width_m
    0.5
    """

    bottom_width_m: float = 0.6
    uphill_side_slope: float = 1.5
    downhill_side_slope: float = 1.5
    bench_m: float = 0.3
    berm_uphill_side_slope: float = 2.0
    berm_downhill_side_slope: float = 2.0
    crest_width_m: float = 0.5
    freeboard_m: float = 0.15

    def __post_init__(self) -> None:
        check_positive(
            bottom_width_m=self.bottom_width_m,
            uphill_side_slope=self.uphill_side_slope,
            downhill_side_slope=self.downhill_side_slope,
            berm_uphill_side_slope=self.berm_uphill_side_slope,
            berm_downhill_side_slope=self.berm_downhill_side_slope,
            crest_width_m=self.crest_width_m,
        )
        check_not_negative(bench_m=self.bench_m, freeboard_m=self.freeboard_m)

    @cached_property
    def dimensions(self) -> Dimensions:
        """What the kernels need to know of it."""
        return Dimensions(*(float(getattr(self, name)) for name in Dimensions._fields))


@dataclass(frozen=True)
class DepthRules:
    """Dig depths that may be tried.

    Parameters
    ----------
    least_m, greatest_m, step_m : float
        Shallowest and deepest dig depth, and the step between trials [m].

    Raises
    ------
    InputError
        If a value isn't positive or the least exceeds the greatest.

    Examples
    --------
    >>> DepthRules(0.3, 0.5, 0.1).depths_m
    array([0.3, 0.4, 0.5])
    """

    least_m: float = 0.3
    greatest_m: float = 1.0
    step_m: float = 0.05

    def __post_init__(self) -> None:
        check_positive(least_m=self.least_m, greatest_m=self.greatest_m, step_m=self.step_m)
        check_ordered("least_m", self.least_m, "greatest_m", self.greatest_m)

    @property
    def depths_m(self) -> NDArray[np.float64]:
        """Every depth to try, shallow to deep; the greatest is always among them [m]."""
        steps = int(np.ceil((self.greatest_m - self.least_m) / self.step_m - 1e-9))
        depths = (self.least_m + self.step_m * np.arange(steps + 1)).round(6)
        return np.asarray(np.minimum(depths, self.greatest_m))


@one_line("widest_floor_m", "most_water_m", "most_fill_m")
@dataclass(frozen=True)
class SizeLimits:
    """What a swale must keep besides holding its water, and how far its floor may be widened for it.

    Parameters
    ----------
    widest_floor_m : float
        Widest floor that may be dug; no wider than the section's if this is less [m].
    floor_step_m : float
        Step between trials, as what a bucket adds [m].
    most_water_m : float
        Greatest depth above the floor of the water that it must hold [m].
    most_fill_m : float
        Greatest height of the crest above the ground beneath it [m].

    Raises
    ------
    InputError
        If a value isn't positive.

    Examples
    --------
    >>> SizeLimits(widest_floor_m=1.0).floors_m(0.6).tolist()
    [0.6, 0.8, 1.0]
    """

    widest_floor_m: float = 0.0
    floor_step_m: float = 0.2
    most_water_m: float = float("inf")
    most_fill_m: float = float("inf")

    def __post_init__(self) -> None:
        check_not_negative(widest_floor_m=self.widest_floor_m)
        check_positive(floor_step_m=self.floor_step_m)
        for name, value in (("most_water_m", self.most_water_m), ("most_fill_m", self.most_fill_m)):
            if not value > 0:
                message = f"{name} is {value:g}; it must be greater than zero"
                raise InputError(message)

    def floors_m(self, narrowest_m: float) -> NDArray[np.float64]:
        """Every floor to try, narrow to wide; the widest is among them.

        Parameters
        ----------
        narrowest_m : float
            Floor of the section [m].

        Returns
        -------
        ndarray of float64
            Widths [m].

        Examples
        --------
        >>> SizeLimits().floors_m(0.6).tolist()
        [0.6]
        """
        steps = max(int(np.ceil((self.widest_floor_m - narrowest_m) / self.floor_step_m - 1e-9)), 0)
        floors = (narrowest_m + self.floor_step_m * np.arange(steps + 1)).round(6)
        return np.asarray(np.minimum(floors, max(self.widest_floor_m, narrowest_m)))
