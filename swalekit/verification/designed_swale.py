"""What the check of a survey needs to know: a swale as designed, how exactly it must be built and be surveyed."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.kernels.section_nodes import DOWNHILL_TOE
from swalekit.section.shape import ShapedSwale

_FARTHEST_M = 1000.0


@one_line("id", "line.level_m", "line.length_m", "shape.depth_m")
@dataclass(frozen=True, eq=False)
class DesignedSwale:
    """A swale as it should have been built.

    Parameters
    ----------
    id : str
        Its name, as on the map and in the codes of the crew.
    line : LevelLine
        The line that was staked.
    shape : ShapedSwale
        Ditch and berm along it, of the same stations; levels of floor, crest and sill, cut and storage are its own.
    sill_chainage_m, sill_length_m : float
        Chainage of the middle of the overflow sill, and its length along the line [m].

    Raises
    ------
    InputError
        If line and shape differ in stations, or the sill doesn't lie on the line.
    """

    id: str
    line: LevelLine
    shape: ShapedSwale
    sill_chainage_m: float
    sill_length_m: float

    def __post_init__(self) -> None:
        check_same_shape(line=self.line.ground_m, shape=self.shape.stations.ground_m)
        check_positive(sill_length_m=self.sill_length_m)
        check_between(0.0, self.line.length_m, sill_chainage_m=self.sill_chainage_m)

    @property
    def round_m(self) -> float | None:
        """Length after which chainages repeat [m]; None on an open line."""
        return self.line.length_m if self.line.closed else None

    @property
    def floor_m(self) -> NDArray[np.float64]:
        """Level of the floor at the stations: the ground's where that lies lower and nothing is dug, shape (n,) [m]."""
        return self.line.ground_m - self.shape.station_depth_m

    @property
    def toe_m(self) -> float:
        """Greatest distance of the berm's downhill toe from the line [m]."""
        return float(self.shape.nodes[0][DOWNHILL_TOE].max())

    def at(self, station_values: NDArray[np.float64], chainage_m: ArrayLike) -> NDArray[np.float64]:
        """Values between stations, in proportion to the distance from them, at given chainages [m]."""
        chainage = np.asarray(chainage_m, np.float64)
        return np.asarray(np.interp(chainage, self.line.chainage_m, station_values, period=self.round_m))

    def from_sill_m(self, chainage_m: ArrayLike) -> NDArray[np.float64]:
        """Distance along the line from the middle of the sill, the shorter way round a closed line [m]."""
        away = np.abs(np.asarray(chainage_m, np.float64) - self.sill_chainage_m)
        return away if self.round_m is None else np.minimum(away, self.round_m - away)


@dataclass(frozen=True)
class SurveyRules:
    """Tolerances and distances of the as-built check; the defaults are common practice.

    Parameters
    ----------
    sill_tolerance_m, floor_tolerance_m, crest_tolerance_m : float
        Greatest departure from the design level, up or down [m].
    within_m : float
        Greatest distance of a point from the line that it is taken to belong to; as far as the berm's toe always counts
        [m].
    unchecked_m : float
        Longest stretch without a point that is still taken as surveyed [m].

    Raises
    ------
    InputError
        If a value isn't positive, or above a kilometre.

    Examples
    --------
    >>> SurveyRules(sill_tolerance_m=0.02).crest_tolerance_m
    0.05
    """

    sill_tolerance_m: float = 0.03
    floor_tolerance_m: float = 0.05
    crest_tolerance_m: float = 0.05
    within_m: float = 5.0
    unchecked_m: float = 20.0

    def __post_init__(self) -> None:
        check_positive(**vars(self))
        check_between(0.0, _FARTHEST_M, **vars(self))

    def tolerance_m(self, part: str) -> float:
        """Tolerance of the floor, the crest or the sill [m]."""
        return {"floor": self.floor_tolerance_m, "crest": self.crest_tolerance_m, "sill": self.sill_tolerance_m}[part]
