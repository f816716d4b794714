"""Which swale and which part of it each surveyed point belongs to."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import chainages
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.section.laid_swale import LaidSwale
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.units import METRES_PER_FOOT
from swalekit.verification.as_built import SurveyRules
from swalekit.verification.codes import PART_WORDS, PointCode, code_words, read_code

_NEAR_SITE_M = 100.0  # points this far beyond all lines are still about the site

_READINGS: tuple[tuple[bool, float, str], ...] = (
    (True, 1.0, "with the two swapped; read the file in the other order (PNEZD, PENZD)"),
    (False, METRES_PER_FOOT, "as feet; say that the file is in feet (ft, us-ft)"),
    (False, 1.0 / METRES_PER_FOOT, "as metres; say that the file is in metres (m)"),
    (True, METRES_PER_FOOT, "as feet with the two swapped; say that the file is in feet, in the other order"),
)
"""Axes swapped or not, factor to metres, and what to do: how else points may be meant."""


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


@dataclass(frozen=True, eq=False)
class AssignedPoints(Frozen):
    """Points with their place along a swale.

    Parameters
    ----------
    swale : ndarray of int64, shape (n,)
        Place of each point's swale in the list; −1 where it belongs to none.
    part : ndarray of str, shape (n,)
        ``floor``, ``crest`` or ``sill``; '' where it belongs to none.
    chainage_m : ndarray of float64, shape (n,)
        Distance along the line [m].
    unmatched : tuple of UnmatchedPoint
        Points that belong to none, each with the reason.
    """

    swale: NDArray[np.int64]
    part: NDArray[np.str_]
    chainage_m: NDArray[np.float64]
    unmatched: tuple[UnmatchedPoint, ...]


def assign_points(points: SurveyPoints, swales: Sequence[LaidSwale], *, rules: SurveyRules) -> AssignedPoints:
    """Assign every point to the part that its code names, of the swale that its code names or else the nearest one.

    Parameters
    ----------
    points : SurveyPoints
        What was surveyed.
    swales : sequence of LaidSwale
        What was designed.
    rules : SurveyRules
        How far from a line its points may lie.

    Returns
    -------
    AssignedPoints
        A point is unmatched if it has no place or height, if its code names no part or several, or several swales, or
        if it lies too far from the line.

    Raises
    ------
    InputError
        If there is no swale, two have one name, or the points lie on the site only when they are read in another
        order or unit.
    """
    _check_ids(swales)
    xy = np.column_stack([points.easting_m, points.northing_m])
    placed = np.asarray(np.isfinite(xy).all(axis=1))
    _check_place(xy[placed], swales)
    codes = _codes(points, swales)
    swale, chainage_m, distance_m = _places(xy, placed, codes, swales)
    limit_m = np.array([max(rules.within_m, design.toe_m) for design in swales])
    reasons = [_reason_of_code(code, swales) for code in codes]
    for row in np.flatnonzero(distance_m > limit_m[swale]):
        reasons[row] = reasons[row] or _too_far(distance_m[row], swales[swale[row]].id, limit_m[swale[row]])
    for row in np.flatnonzero(~np.isfinite(points.height_m)):
        reasons[row] = reasons[row] or "it has no height"
    for row in np.flatnonzero(~placed):
        reasons[row] = "it has no place"
    used = np.array([not reason for reason in reasons], np.bool_)
    return AssignedPoints(
        swale=np.where(used, swale, -1),
        part=np.array([code.parts[0] if use else "" for code, use in zip(codes, used, strict=True)], np.str_),
        chainage_m=chainage_m,
        unmatched=tuple(_unmatched(points, row, reasons[row]) for row in np.flatnonzero(~used).tolist()),
    )


def _check_ids(swales: Sequence[LaidSwale]) -> None:
    """Check that there are swales, of different names."""
    names = [code_words(swale.id) for swale in swales]
    if not names:
        message = "there is no swale to check a survey against; plan a layout first"
        raise InputError(message)
    for place, name in enumerate(names):
        if name in names[:place]:
            message = f"two swales are called '{swales[place].id}'; give each a name of its own"
            raise InputError(message)


def _check_place(xy: NDArray[np.float64], swales: Sequence[LaidSwale]) -> None:
    """Check that the points don't lie on the site only when they are read in another order or unit."""
    stations = np.concatenate([swale.line.xy for swale in swales])
    low, high = stations.min(axis=0) - _NEAR_SITE_M, stations.max(axis=0) + _NEAR_SITE_M

    def near(places: NDArray[np.float64]) -> int:
        return int(np.count_nonzero(((places >= low) & (places <= high)).all(axis=1)))

    if near(xy):
        return
    for swapped, factor, words in _READINGS:
        count = near(factor * (xy[:, ::-1] if swapped else xy))
        if count > len(xy) / 2:
            message = (
                f"no surveyed point lies on the site, the first one at easting {xy[0, 0]:.1f} m and northing "
                f"{xy[0, 1]:.1f} m, but {count} of {len(xy)} do {words}"
            )
            raise InputError(message)


def _codes(points: SurveyPoints, swales: Sequence[LaidSwale]) -> list[PointCode]:
    """What the code of each point says; each different code is read once."""
    ids = [code_words(swale.id) for swale in swales]
    known = {code: read_code(code, ids) for code in set(points.description)}
    return [known[code] for code in points.description]


def _places(
    xy: NDArray[np.float64], placed: NDArray[np.bool_], codes: list[PointCode], swales: Sequence[LaidSwale]
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """Swale by code or else by nearness, chainage along it and distance from it."""
    named = np.array([code.swales[0] if code.swales else -1 for code in codes], np.int64)
    swale = named.copy()
    chainage_m, distance_m = np.full((2, len(xy)), np.nan)
    lines = [swale.line for swale in swales]
    for place in np.unique(named[placed]):
        rows = np.flatnonzero(placed & (named == place))
        among = lines if place < 0 else [lines[place]]
        nearest, chainage_m[rows], distance_m[rows] = nearest_place(among, xy[rows])
        swale[rows] = nearest if place < 0 else place
    return swale, chainage_m, distance_m


def _reason_of_code(code: PointCode, swales: Sequence[LaidSwale]) -> str:
    """Why a code can't be followed; '' if it can."""
    if len(code.parts) > 1:
        return f"its code names {' and '.join(code.parts)}"
    if not code.parts:
        return f"its code names none of {', '.join(PART_WORDS)}"
    if len(code.swales) > 1:
        return f"its code names {' and '.join(swales[place].id for place in code.swales)}"
    return ""


def _too_far(distance_m: float, name: str, limit_m: float) -> str:
    return f"it lies {distance_m:.1f} m from {name}, farther than {limit_m:.1f} m"


def _unmatched(points: SurveyPoints, row: int, reason: str) -> UnmatchedPoint:
    return UnmatchedPoint(
        number=int(points.number[row]),
        easting_m=float(points.easting_m[row]),
        northing_m=float(points.northing_m[row]),
        height_m=float(points.height_m[row]),
        code=points.description[row],
        reason=reason,
    )


def nearest_place(
    lines: Sequence[LevelLine], xy: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """Nearest of some lines to each of many points, chainage of the nearest place on it, and the distance to it.

    Parameters
    ----------
    lines : sequence of LevelLine
        The lines; a closed one's last leg counts.
    xy : ndarray of float64, shape (k, 2)
        Points [m].

    Returns
    -------
    line : ndarray of int64, shape (k,)
        Place in the list.
    chainage_m, distance_m : ndarray of float64, shape (k,)
        Beyond the end of an open line the chainage is that of the end [m].

    Examples
    --------
    >>> stations = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
    >>> line = LevelLine(10.0, False, stations, np.full(3, 10.0), np.full(3, 0.05))
    >>> [found.tolist() for found in nearest_place([line], np.array([[2.5, 1.0], [7.0, 4.0]]))]
    [[0, 0], [2.5, 4.0], [1.0, 5.0]]
    """
    paths = [line.path for line in lines]
    starts, stops = np.concatenate([path[:-1] for path in paths]), np.concatenate([path[1:] for path in paths])
    walked_m = np.concatenate([chainages(path)[:-1] for path in paths])
    owner = np.repeat(np.arange(len(paths)), [len(path) - 1 for path in paths])
    tree = shapely.STRtree(shapely.linestrings(np.stack([starts, stops], axis=1)))
    leg = tree.query_nearest(shapely.points(xy), all_matches=False)[1]
    start, step = starts[leg], (stops - starts)[leg]
    length_m = np.hypot(*step.T)
    along_m = np.clip(((xy - start) * step).sum(axis=1) / length_m, 0.0, length_m)
    foot = start + step * (along_m / length_m)[:, np.newaxis]
    return owner[leg], walked_m[leg] + along_m, np.hypot(*(xy - foot).T)
