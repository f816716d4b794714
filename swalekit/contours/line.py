"""The level line, stretches of contour that are none, and what a line must satisfy to be dug."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_not_negative, check_ordered, check_positive
from swalekit._one_line import one_line
from swalekit.contours.polyline import Polyline, chainages, path_of, right_hand
from swalekit.errors import InputError
from swalekit.frozen import Frozen, locked_property


@one_line("name", "closed", "level_m", "length_m", "cross_slope")
@dataclass(frozen=True, eq=False)
class LevelLine(Frozen):
    """A line of one level with stations at even chainage; walking them in order, downhill is on the right.

    Parameters
    ----------
    level_m : float
        Height of the line [m].
    closed : bool
        Whether the last station is joined to the first.
    xy : ndarray of float64, shape (n, 2)
        Easting and northing of the stations [m]; a closed line does not repeat its first station.
    ground_m : ndarray of float64, shape (n,)
        Ground height at the stations [m].
    cross_slope : ndarray of float64, shape (n,)
        Fall of the ground across the line, left to right [m/m].
    name : str
        Lasting name of a line that the designer knows, which its parts keep; '' for a new one.

    Raises
    ------
    InputError
        If there are too few stations, lengths differ, or a cross slope is not positive.

    Examples
    --------
    >>> xy = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
    >>> line = LevelLine(10.0, False, xy, np.full(3, 10.0), np.full(3, 0.05))
    >>> line.length_m, line.width_m.tolist(), line.downhill[0].tolist()
    (4.0, [1.0, 2.0, 1.0], [0.0, -1.0])
    >>> line.position_sigma_m(0.1)
    2.0
    """

    level_m: float
    closed: bool
    xy: NDArray[np.float64]
    ground_m: NDArray[np.float64]
    cross_slope: NDArray[np.float64]
    name: str = ""

    def __post_init__(self) -> None:
        count, least = len(self.xy), 3 if self.closed else 2
        if count < least or self.ground_m.shape != (count,) or self.cross_slope.shape != (count,):
            message = (
                f"line at {self.level_m:.2f} m has {count} stations, {len(self.ground_m)} ground heights and "
                f"{len(self.cross_slope)} cross slopes; it needs {least} or more stations and one of each a station"
            )
            raise InputError(message)
        if not (self.cross_slope > 0.0).all():
            message = (
                f"line at {self.level_m:.2f} m has a cross slope of {np.min(self.cross_slope):g}; "
                "every one must be greater than zero, downhill on the right"
            )
            raise InputError(message)
        super().__post_init__()

    @locked_property
    def path(self) -> Polyline:
        """Stations as a path: a closed line comes back to its first [m]."""
        return path_of(self.xy, closed=self.closed)

    @locked_property
    def chainage_m(self) -> NDArray[np.float64]:
        """Distance along the line from the first station to each station [m]."""
        return chainages(self.xy)

    @cached_property
    def length_m(self) -> float:
        """Length of the line, a closed one's last leg included [m]."""
        return float(chainages(self.path)[-1])

    @property
    def spacing_m(self) -> float:
        """Mean distance between stations [m]."""
        return self.length_m / (len(self.xy) - (not self.closed))

    @locked_property
    def width_m(self) -> NDArray[np.float64]:
        """Length of line that each station stands for, half-way to its neighbours [m]; the sum is the length."""
        legs = np.diff(chainages(self.path))
        before, after = (np.roll(legs, 1), legs) if self.closed else (np.append(0.0, legs), np.append(legs, 0.0))
        width: NDArray[np.float64] = 0.5 * (before + after)
        return width

    @locked_property
    def downhill(self) -> NDArray[np.float64]:
        """Unit vectors across the line at the stations, pointing downhill, shape (n, 2)."""
        return right_hand(self.path, closed=self.closed)[: len(self.xy)]

    def at(self, station_values: NDArray[np.float64], chainage_m: ArrayLike) -> NDArray[np.float64]:
        """Values between stations, in proportion to the distance from them.

        Parameters
        ----------
        station_values : ndarray of float64, shape (..., n)
            A value a station.
        chainage_m : array_like, shape (k,)
            Distances along the line; those of a ring may lie beyond its joint, and what lies beyond the ends of an open
            line counts as the ends [m].

        Returns
        -------
        ndarray of float64, shape (..., k)

        Examples
        --------
        >>> xy = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
        >>> line = LevelLine(10.0, False, xy, np.array([10.0, 10.1, 9.9]), np.full(3, 0.1))
        >>> line.at(line.ground_m, [1.0, 3.0]).round(3)
        array([10.05, 10.  ])
        """
        walked, length_m = chainages(self.path), self.length_m
        values = np.concatenate([station_values, station_values[..., :1]], axis=-1) if self.closed else station_values
        chainage = np.mod(chainage_m, length_m) if self.closed else np.clip(chainage_m, 0.0, length_m)
        before = np.clip(np.searchsorted(walked, chainage, side="right") - 1, 0, len(walked) - 2)
        share = (chainage - walked[before]) / (walked[before + 1] - walked[before])
        return np.asarray(values[..., before] + share * (values[..., before + 1] - values[..., before]))

    @property
    def mean_slope(self) -> float:
        """Mean cross slope along the line [m/m]."""
        return float(self.cross_slope @ self.width_m / self.length_m)

    def position_sigma_m(self, vertical_sigma_m: float | NDArray[np.float64]) -> float:
        """Standard error of the line's place across the slope.

        Parameters
        ----------
        vertical_sigma_m : float or ndarray of float64, shape (n,)
            Standard error of the terrain's heights [m], that of every station where they differ.

        Returns
        -------
        float
            Standard error, the root mean square along the line [m].

        Raises
        ------
        InputError
            If the standard error of the heights is negative.

        Notes
        -----
        σ_h = σ_z / s with s the mean cross slope: a height error moves a contour that far up or down the hill. Holds
        while the ground is about straight over that distance.

        Examples
        --------
        >>> line = LevelLine(5.0, False, np.array([[0.0, 0.0], [2.0, 0.0]]), np.full(2, 5.0), np.full(2, 0.1))
        >>> round(line.position_sigma_m(0.05), 3)
        0.5
        """
        check_not_negative(vertical_sigma_m=float(np.min(vertical_sigma_m)))
        if np.ndim(vertical_sigma_m) == 0:
            return float(vertical_sigma_m) / self.mean_slope
        return float(np.sqrt(vertical_sigma_m**2 @ self.width_m / self.length_m)) / self.mean_slope


@one_line("name", "reason", "level_m", "length_m", "detail")
@dataclass(frozen=True, eq=False)
class RefusedLine(Frozen):
    """A stretch of contour that was not made a level line.

    Parameters
    ----------
    level_m : float
        Height of the contour [m].
    xy : ndarray of float64, shape (n, 2)
        Easting and northing of its vertices [m]; a ring repeats its first vertex.
    reason : str
        Why, in a word or two: a keep-out's kind, ``watercourse``, ``pond``, ``void``, ``unknown ground``, ``bend``,
        ``too flat``, ``too steep``, ``short``, ``small ring``, ``section does not fit`` or ``too close``; of lines
        that the designer gave ``not level``, ``crosses`` or ``outside``, and beside them ``held``, ``drawn`` or
        ``dropped``.
    detail : str
        The rule and its figures.
    name : str
        The designer's line that it is, or was a part of; '' of one that the brief asks for.
    """

    level_m: float
    xy: NDArray[np.float64]
    reason: str
    detail: str
    name: str = ""

    @property
    def length_m(self) -> float:
        """Length of the stretch [m]."""
        return float(chainages(self.xy)[-1])


@one_line("tolerance_m", "bend_radius_m", "least_length_m", "least_slope", "greatest_slope")
@dataclass(frozen=True)
class LineRules:
    """Limits for level lines; the defaults are common practice for small machines.

    Parameters
    ----------
    tolerance_m : float
        Greatest difference between the ground at a vertex and the line's level [m].
    bend_radius_m : float
        Least radius of a bend [m].
    least_length_m : float
        Least length of an open line [m].
    least_ring_m : float
        Least length of a closed line [m].
    least_slope, greatest_slope : float
        Window for the slope across the line [m/m].
    station_m : float
        Greatest distance between stations, at most 2 [m].
    slope_support_m : float
        Width over which the slope across the line is measured [m].
    watercourse_gap_m : float
        Length left free along the line on either side of a watercourse [m].

    Raises
    ------
    InputError
        If a value is out of range.

    Examples
    --------
    >>> LineRules(bend_radius_m=6.0).least_length_m
    15.0
    """

    tolerance_m: float = 0.10
    bend_radius_m: float = 4.0
    least_length_m: float = 15.0
    least_ring_m: float = 60.0
    least_slope: float = 0.01
    greatest_slope: float = 0.25
    station_m: float = 2.0
    slope_support_m: float = 6.0
    watercourse_gap_m: float = 2.0

    def __post_init__(self) -> None:
        check_positive(
            tolerance_m=self.tolerance_m,
            bend_radius_m=self.bend_radius_m,
            least_slope=self.least_slope,
            station_m=self.station_m,
            slope_support_m=self.slope_support_m,
        )
        check_not_negative(
            least_length_m=self.least_length_m,
            least_ring_m=self.least_ring_m,
            watercourse_gap_m=self.watercourse_gap_m,
        )
        check_between(0.0, 2.0, station_m=self.station_m)
        check_ordered("least_slope", self.least_slope, "greatest_slope", self.greatest_slope)


DEFAULT_RULES = LineRules()
