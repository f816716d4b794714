"""A part of a swale as surveyed: points along the line against their design level, and where it is judged."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._one_line import one_line
from swalekit.frozen import Frozen, locked_property
from swalekit.section.laid_swale import LaidSwale

_SAME_PLACE_M = 0.1  # points in one such step of chainage are one

Stretch = tuple[float, float]
PARTS = ("floor", "crest", "sill")
_SILL_END_M = 0.5  # so near an end of the sill a crest point belongs to the part whose level is nearer


@one_line("count", "chainage_m", "height_m")
@dataclass(frozen=True, eq=False)
class BuiltProfile(Frozen):
    """Surveyed points of the floor, the crest or the sill of one swale, in order of chainage.

    Parameters
    ----------
    chainage_m : ndarray of float64, shape (k,)
        Distance along the line [m].
    height_m : ndarray of float64, shape (k,)
        Height as built [m].
    departure_m : ndarray of float64, shape (k,)
        Height as built above the design level there [m].
    round_m : float or None
        Length after which chainages repeat [m]; None on an open line.
    lowest_counts : bool
        Whether the lowest of several points at one chainage counts, as where water would leave; else their mean.

    Examples
    --------
    >>> profile = BuiltProfile(np.array([0.0, 10.0]), np.array([5.0, 5.2]), np.array([-0.1, 0.1]), None, False)
    >>> profile.mean_departure_m, profile.greatest_from_mean_m
    (0.0, 0.1)
    >>> profile.departure_at([-3.0, 2.5, 5.0])
    array([-0.1 , -0.05,  0.  ])
    """

    chainage_m: NDArray[np.float64]
    height_m: NDArray[np.float64]
    departure_m: NDArray[np.float64]
    round_m: float | None
    lowest_counts: bool

    @property
    def count(self) -> int:
        """Number of points."""
        return self.chainage_m.size

    @property
    def mean_departure_m(self) -> float:
        """Mean of the points above the design level [m]."""
        return float(self.departure_m.mean())

    @property
    def greatest_from_mean_m(self) -> float:
        """Greatest departure of a point from the mean of all, up or down: how far the part is from level [m]."""
        return float(np.abs(self.departure_m - self.departure_m.mean()).max())

    @property
    def lowest(self) -> int:
        """Place of the lowest point; the first along the line where several are as low."""
        return int(np.argmin(self.height_m))

    @locked_property
    def nodes(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Chainage and departure of the points, those closer together than the width of a hand made one [m]."""
        step = np.floor(self.chainage_m / _SAME_PLACE_M).astype(np.int64)
        starts = np.flatnonzero(np.diff(step, prepend=-1))
        counts = np.diff(starts, append=step.size)
        if self.lowest_counts:
            return _mean(self.chainage_m, starts, counts), np.minimum.reduceat(self.departure_m, starts)
        return _mean(self.chainage_m, starts, counts), _mean(self.departure_m, starts, counts)

    def departure_at(self, chainage_m: ArrayLike) -> NDArray[np.float64]:
        """Departure from the design level at any chainage.

        Parameters
        ----------
        chainage_m : array_like, shape (n,)
            Distance along the line [m].

        Returns
        -------
        ndarray of float64, shape (n,)
            Height as built above the design level [m]: straight between points, beyond them that of the outermost one;
            on a ring straight across the first station.

        Examples
        --------
        >>> profile = BuiltProfile(np.array([0.0, 10.0]), np.array([5.0, 5.2]), np.array([-0.1, 0.1]), None, False)
        >>> profile.departure_at([-3.0, 5.0])
        array([-0.1,  0. ])
        """
        return np.asarray(np.interp(np.asarray(chainage_m, np.float64), *self.nodes, period=self.round_m))

    def between(self, start_m: float, stop_m: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Chainage and departure from one chainage to another, all points in between included.

        Parameters
        ----------
        start_m, stop_m : float
            Chainages; on a closed line the second may pass the first station by less than a round [m].

        Returns
        -------
        chainage_m, departure_m : ndarray of float64, shape (k,)
            Both ends and the points between them [m]; a single place where the ends are one.

        Examples
        --------
        >>> profile = BuiltProfile(np.array([0.0, 10.0]), np.array([5.0, 5.2]), np.array([0.0, 0.2]), None, False)
        >>> profile.between(5.0, 12.0)
        (array([ 5., 10., 12.]), array([0.1, 0.2, 0.2]))
        """
        chainage, departure = self.nodes
        if self.round_m is not None:
            chainage, departure = np.append(chainage, chainage + self.round_m), np.append(departure, departure)
        inner = (chainage > start_m) & (chainage < stop_m)
        ends = [start_m] if stop_m == start_m else [start_m, stop_m]
        first, *last = self.departure_at(ends)
        return (
            np.concatenate([ends[:1], chainage[inner], ends[1:]]),
            np.concatenate([[first], departure[inner], last]),
        )


def built_profile(
    chainage_m: NDArray[np.float64],
    height_m: NDArray[np.float64],
    design_m: NDArray[np.float64],
    *,
    round_m: float | None,
    lowest_counts: bool,
) -> BuiltProfile:
    """Put surveyed points in order along the line.

    Parameters
    ----------
    chainage_m, height_m, design_m : ndarray of float64, shape (k,)
        Distance along the line, height as built, and design level of each point [m].
    round_m : float or None
        Length after which chainages repeat [m]; None on an open line.
    lowest_counts : bool
        Whether the lowest of several points at one chainage counts; else their mean.

    Returns
    -------
    BuiltProfile
        The points by chainage, those at one chainage from the lowest up.

    Examples
    --------
    >>> one, two = np.array([10.0, 0.0]), np.array([5.2, 4.9])
    >>> built_profile(one, two, np.full(2, 5.0), round_m=None, lowest_counts=False).departure_m.round(3)
    array([-0.1,  0.2])
    """
    along = chainage_m if round_m is None else chainage_m % round_m
    order = np.lexsort((height_m, along))
    return BuiltProfile(along[order], height_m[order], (height_m - design_m)[order], round_m, lowest_counts)


def unchecked_stretches(
    chainage_m: NDArray[np.float64], *, length_m: float, closed: bool, longest_m: float
) -> list[tuple[float, float]]:
    """Stretches of a line without a point that are longer than may be left unchecked.

    Parameters
    ----------
    chainage_m : ndarray of float64, shape (k,)
        Chainages of one or more points, in any order [m].
    length_m, closed : float, bool
        Length of the line [m], and whether it is a ring.
    longest_m : float
        Longest stretch that may be left unchecked [m].

    Returns
    -------
    list of (float, float)
        Chainages from and to; round a ring's first station the second is the lesser one [m].

    Examples
    --------
    >>> unchecked_stretches(np.array([30.0, 40.0]), length_m=60.0, closed=False, longest_m=20.0)
    [(0.0, 30.0)]
    >>> unchecked_stretches(np.array([30.0, 40.0]), length_m=60.0, closed=True, longest_m=20.0)
    [(40.0, 30.0)]
    """
    along = np.sort(chainage_m).tolist()
    stops = [*along, along[0] + length_m] if closed else [0.0, *along, length_m]
    gaps = [(start, stop) for start, stop in pairwise(stops) if stop - start > longest_m]
    return [(start, stop - length_m if stop > length_m else stop) for start, stop in gaps]


def _mean(values: NDArray[np.float64], starts: NDArray[np.intp], counts: NDArray[np.intp]) -> NDArray[np.float64]:
    """Means of runs of values."""
    return np.asarray(np.add.reduceat(values, starts) / counts)


def part_profiles(
    design: LaidSwale, chainage_m: NDArray[np.float64], height_m: NDArray[np.float64], part: NDArray[np.str_]
) -> dict[str, BuiltProfile]:
    """Points of each part in order along the line, against their design level.

    Parameters
    ----------
    design : LaidSwale
        The swale.
    chainage_m, height_m : ndarray of float64, shape (k,)
        Distance along the line and height of its points [m].
    part : ndarray of str, shape (k,)
        ``floor``, ``crest`` or ``sill``. Along the sill the crest is built to the sill's level, so a crest point there
        is one of the sill.

    Returns
    -------
    dict of str to BuiltProfile
        By ``floor``, ``crest`` and ``sill``, some of them without points.
    """
    crest_m, sill_m = design.shape.crest_level_m, design.shape.sill_level_m
    part = np.where((part == "crest") & _on_sill(design, chainage_m, height_m), "sill", part)
    floor_m = design.line.at(design.floor_m, chainage_m)
    level_m = np.select([part == "crest", part == "sill"], [crest_m, sill_m], floor_m)
    return {
        name: built_profile(
            chainage_m[part == name],
            height_m[part == name],
            level_m[part == name],
            round_m=design.round_m,
            lowest_counts=name != "floor",
        )
        for name in PARTS
    }


def judged_stretches(design: LaidSwale, part: str, profile: BuiltProfile) -> list[Stretch]:
    """Stretches between the outermost points on which a part is judged; for the crest, less the sill.

    Parameters
    ----------
    design : LaidSwale
        The swale.
    part : str
        ``floor``, ``crest`` or ``sill``.
    profile : BuiltProfile
        Its points, one at least.

    Returns
    -------
    list of (float, float)
        Chainages from and to; on a ring the second may pass the first station [m].
    """
    along, departure = profile.nodes
    first_m, last_m, half_m = float(along[0]), float(along[-1]), design.sill_length_m / 2.0
    if profile.round_m is None or first_m == last_m:
        if part != "crest" or first_m == last_m:
            return [(first_m, last_m)]
        sill_m = (design.sill_chainage_m - half_m, design.sill_chainage_m + half_m)
        beside = [(first_m, min(last_m, sill_m[0])), (max(first_m, sill_m[1]), last_m)]
        return [(start, stop) for start, stop in beside if start <= stop]
    if part == "crest":
        start_m, length_m = design.sill_chainage_m + half_m, profile.round_m - design.sill_length_m
    elif part == "sill":
        beyond = (along - design.sill_chainage_m + profile.round_m / 2.0) % profile.round_m - profile.round_m / 2.0
        start_m, length_m = design.sill_chainage_m + float(beyond.min()), float(np.ptp(beyond))
    else:
        start_m, length_m = float(along[np.argmin(np.abs(departure))]), profile.round_m
    return [(start_m % profile.round_m, start_m % profile.round_m + length_m)]


def _on_sill(design: LaidSwale, chainage_m: NDArray[np.float64], height_m: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether points of the crest lie on the sill."""
    inside_m = design.sill_length_m / 2.0 - design.from_sill_m(chainage_m)
    middle_m = (design.shape.crest_level_m + design.shape.sill_level_m) / 2.0
    return np.where(np.abs(inside_m) <= _SILL_END_M, height_m < middle_m, inside_m > 0.0)
