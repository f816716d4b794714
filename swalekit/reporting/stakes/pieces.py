"""Swales cut into pieces, each small enough for one sheet at a round scale."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.frozen import Frozen
from swalekit.section.laid_swale import LaidSwale
from swalekit.staking.stake import Stake

SCALES = {"metric": (250, 500, 1000, 2000, 5000), "us": (240, 480, 960, 1920, 4800)}
"""Denominators; of the US ones the first two are 20 and 40 feet to the inch."""
_OVERLAP_MM = 12.0
"""Line that a sheet shows beyond the mark where it continues on another."""

_CUT_SHARE = 0.5
"""A line is cut between stakes that stand at least this share of the greatest distance apart."""

Room = Callable[[int], tuple[float, float] | None]
"""Width and height on paper [mm] for a piece with so many stakes, None if they are too many for a sheet."""


@dataclass(frozen=True, eq=False)
class Piece(Frozen):
    """A stretch of a swale on one sheet, turned so that chainage runs to the right and downhill is down the page.

    Parameters
    ----------
    swale : LaidSwale
        The swale.
    stakes : tuple of Stake
        Its stakes on this stretch, each on one piece alone.
    start_m, stop_m : float
        Chainages at which it begins and ends; a ring's first piece may begin before its first station [m].
    continues : tuple of bool
        Whether the line goes on before the start and after the stop.
    scale : int
        Denominator.
    middle : ndarray of float64, shape (2,)
        Easting and northing of the middle of the sheet's plan [m].
    turn : float
        Direction of the sheet's right hand, anticlockwise from east [rad].
    """

    swale: LaidSwale
    stakes: tuple[Stake, ...]
    start_m: float
    stop_m: float
    continues: tuple[bool, bool]
    scale: int
    middle: NDArray[np.float64]
    turn: float

    @property
    def length_m(self) -> float:
        """Length along the line [m]."""
        return self.stop_m - self.start_m

    def to_sheet(self, xy: NDArray[np.float64]) -> NDArray[np.float64]:
        """Metres right of and above the plan's middle, from easting and northing, shape (n, 2).

        Parameters
        ----------
        xy : ndarray of float64, shape (n, 2) or (n, 3)
            Easting and northing, heights left out of account [m].

        Returns
        -------
        ndarray of float64, shape (n, 2)
            Metres right of and above the plan's middle.

        Examples
        --------
        >>> piece.to_sheet(piece.middle + [[3.0, -2.0]]).round(3)
        array([[ 3., -2.]])
        """
        return np.asarray((np.asarray(xy, np.float64)[..., :2] - self.middle) @ self._axes.T)

    def to_ground(self, right_up: NDArray[np.float64]) -> NDArray[np.float64]:
        """Easting and northing, from metres right of and above the plan's middle, shape (n, 2).

        Parameters
        ----------
        right_up : ndarray of float64, shape (n, 2)
            Metres right of and above the plan's middle.

        Returns
        -------
        ndarray of float64, shape (n, 2)
            Easting and northing [m].

        Examples
        --------
        >>> bool(np.all(piece.to_ground(np.zeros((1, 2))) == piece.middle))
        True
        """
        return np.asarray(np.asarray(right_up, np.float64) @ self._axes + self.middle)

    @property
    def _axes(self) -> NDArray[np.float64]:
        return _axes(self.turn)


def cut_to_pieces(swale: LaidSwale, stakes: Sequence[Stake], *, room: Room, scales: Sequence[int]) -> list[Piece]:
    """Cut a swale into pieces of about equal length.

    Parameters
    ----------
    swale : LaidSwale
        The swale.
    stakes : sequence of Stake
        Its stakes.
    room : callable
        What a sheet holds.
    scales : sequence of int
        Denominators to choose from, the largest scale first.

    Returns
    -------
    list of Piece
        One at the first scale if the whole swale fits a sheet; else as few as can be at the second, or at the first
        smaller scale at which each of its stakes fits a sheet.

    Notes
    -----
    Cuts lie half-way between two stakes that stand well apart, so never in a sill. Whether a piece fits is judged by
    the smallest turned rectangle round its line and stakes, and by its length along the line, in which the profile
    below the plan is drawn.

    Examples
    --------
    >>> stakes = [stake for stake in stakeout.stakes if stake.swale == "S1"]
    >>> pieces = cut_to_pieces(stakeout.swales[0], stakes, room=lambda count: (120.0, 60.0), scales=(500, 500))
    >>> [(cut.start_m, cut.stop_m, cut.continues) for cut in pieces]
    [(0.0, 45.0, (False, True)), (45.0, 88.0, (True, False))]
    """
    whole = _pieces(swale, stakes, 1, scales[0])
    if _fit(whole, room):
        return whole
    for scale in scales[1:]:
        for count in range(1, len(stakes) + 1):
            pieces = _pieces(swale, stakes, count, scale)
            if _fit(pieces, room):
                return pieces
    return _pieces(swale, stakes, len(stakes), scales[-1])


def stake_xy(stakes: Sequence[Stake]) -> NDArray[np.float64]:
    """Eastings and northings of stakes and then of their offset stakes.

    Parameters
    ----------
    stakes : sequence of Stake
        The stakes.

    Returns
    -------
    ndarray of float64, shape (n, 2)
        The places [m].

    Examples
    --------
    >>> len(piece.stakes), len(stake_xy(piece.stakes))
    (13, 39)
    """
    offsets = [(offset.x_m, offset.y_m) for stake in stakes for _, offset in stake.offsets]
    return np.reshape([(stake.x_m, stake.y_m) for stake in stakes] + offsets, (-1, 2))


def stretch_points(swale: LaidSwale, start_m: float, stop_m: float) -> NDArray[np.float64]:
    """Chainages of the stations between two chainages and of both ends; a ring's are counted on over its joint.

    Parameters
    ----------
    swale : LaidSwale
        The swale.
    start_m, stop_m : float
        Chainages of the ends [m].

    Returns
    -------
    ndarray of float64, shape (n,)
        Chainages, rising [m].

    Examples
    --------
    >>> stretch_points(stakeout.swales[0], 3.0, 8.5)
    array([3. , 4. , 6. , 8. , 8.5])
    """
    chainage = swale.line.chainage_m
    if swale.line.closed:
        chainage = np.concatenate([chainage + round_m for round_m in swale.line.length_m * np.arange(-1, 2)])
    inner = chainage[(chainage > start_m + 1e-6) & (chainage < stop_m - 1e-6)]
    return np.concatenate([[start_m], inner, [stop_m]])


def _pieces(swale: LaidSwale, stakes: Sequence[Stake], count: int, scale: int) -> list[Piece]:
    """So many pieces, or fewer where two cuts fall between the same stakes."""
    line = swale.line
    chainage = np.array([stake.chainage_m for stake in stakes])
    if line.closed:
        before = (chainage[0] + chainage[-1] - line.length_m) / 2.0
        between = np.append((chainage[1:] + chainage[:-1]) / 2.0, before + line.length_m)
        first_m, last_m = (before, before + line.length_m) if count > 1 else (0.0, line.length_m)
    else:
        between = np.append((chainage[1:] + chainage[:-1]) / 2.0, line.length_m)
        first_m, last_m = 0.0, line.length_m
    apart, places = np.diff(chainage), between[:-1]
    places = places[apart >= _CUT_SHARE * apart.max(initial=0.0)]
    wanted = first_m + (last_m - first_m) * np.arange(1, count) / count
    cuts = sorted({float(places[np.argmin(np.abs(places - place))]) for place in wanted})
    ends = [first_m, *cuts, last_m]
    joined = line.closed and count > 1
    return [
        _piece(swale, stakes, start, stop, (joined or start > first_m, joined or stop < last_m), scale)
        for start, stop in pairwise(ends)
    ]


def _piece(
    swale: LaidSwale, stakes: Sequence[Stake], start_m: float, stop_m: float, continues: tuple[bool, bool], scale: int
) -> Piece:
    """A piece framed on its line and stakes."""
    own = tuple(stake for stake in stakes if start_m <= stake.chainage_m <= stop_m)
    points = _points(swale, own, start_m, stop_m, [_OVERLAP_MM / 1000 * scale * goes_on for goes_on in continues])
    turn = 0.0 if swale.line.closed and not any(continues) else _direction(points, swale, start_m, stop_m)
    low, high = (extreme(points @ _axes(turn).T, axis=0) for extreme in (np.min, np.max))
    return Piece(swale, own, start_m, stop_m, continues, scale, (low + high) / 2.0 @ _axes(turn), turn)


def _points(
    swale: LaidSwale, stakes: Sequence[Stake], start_m: float, stop_m: float, beyond_m: Sequence[float]
) -> NDArray[np.float64]:
    """What must be on the sheet: the line with its overlaps, the stakes and their offset stakes."""
    chainage = stretch_points(swale, start_m - beyond_m[0], stop_m + beyond_m[1])
    return np.vstack([swale.line.at(swale.line.xy.T, chainage).T, stake_xy(stakes)])


def _direction(points: NDArray[np.float64], swale: LaidSwale, start_m: float, stop_m: float) -> float:
    """Direction of the longer side of the smallest rectangle round points, the way the line is walked [rad]."""
    corners = shapely.get_coordinates(shapely.oriented_envelope(shapely.MultiPoint(points)))
    first, last = swale.line.at(swale.line.xy.T, np.array([start_m, stop_m])).T
    walked = last - first
    if len(corners) >= 4:
        sides = np.diff(corners[:3], axis=0)
        long = sides[int(np.argmax(np.hypot(*sides.T)))]
    else:
        long = walked
    east, north = long if long @ walked >= 0.0 else -long
    return math.atan2(north, east)


def _fit(pieces: Sequence[Piece], room: Room) -> bool:
    """Whether every piece fits a sheet."""
    for piece in pieces:
        free_mm = room(len(piece.stakes))
        if free_mm is None:
            return False
        beyond_m = [_OVERLAP_MM / 1000 * piece.scale * goes_on for goes_on in piece.continues]
        across_m, up_m = np.ptp(
            piece.to_sheet(_points(piece.swale, piece.stakes, piece.start_m, piece.stop_m, beyond_m)), axis=0
        )
        mm_per_m = 1000 / piece.scale
        if max(across_m, piece.length_m) * mm_per_m > free_mm[0] or up_m * mm_per_m > free_mm[1]:
            return False
    return True


def _axes(turn: float) -> NDArray[np.float64]:
    """Unit vectors to the right and up the page, as rows."""
    return np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
