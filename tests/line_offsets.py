"""Where points lie beside a line of stations."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree


@dataclass(frozen=True, eq=False)
class LineOffsets:
    """Points as seen from a line.

    Parameters
    ----------
    before, after : ndarray of int64, shape (n,)
        Stations between which the nearest point of the line lies.
    fraction : ndarray of float64, shape (n,)
        Where it lies between them, 0 to 1 [-].
    offset_m : ndarray of float64, shape (n,)
        Distance from it, positive on the right-hand side [m].
    beside : ndarray of bool, shape (n,)
        False beyond the ends of an open line.
    """

    before: NDArray[np.int64]
    after: NDArray[np.int64]
    fraction: NDArray[np.float64]
    offset_m: NDArray[np.float64]
    beside: NDArray[np.bool_]

    def along(self, station_values: NDArray[np.float64]) -> NDArray[np.float64]:
        """Values of stations, shape (..., stations), carried to the points, shape (..., n)."""
        start, end = station_values[..., self.before], station_values[..., self.after]
        return np.asarray(start + self.fraction * (end - start))


def line_offsets(stations_xy: NDArray[np.float64], points_xy: NDArray[np.float64], *, closed: bool) -> LineOffsets:
    """Nearest point of a line for every point.

    Parameters
    ----------
    stations_xy : ndarray of float64, shape (k, 2)
        Stations of the line, at least two [m].
    points_xy : ndarray of float64, shape (n, 2)
        Points [m].
    closed : bool
        Whether the last station is joined to the first.

    Returns
    -------
    LineOffsets
        Place along the line and signed distance from it.

    Notes
    -----
    The nearest leg is sought among the two that meet at the nearest station, which is right where stations are evenly
    spaced and the line's bends are wider than the points' distance.

    Examples
    --------
    >>> seen = line_offsets(np.array([[0.0, 0.0], [10.0, 0.0]]), np.array([[2.0, -3.0], [12.0, 1.0]]), closed=False)
    >>> seen.offset_m.round(2), seen.fraction, seen.beside
    (array([ 3.  , -2.24]), array([0.2, 1. ]), array([ True, False]))
    """
    count = len(stations_xy)
    nearest = cKDTree(stations_xy).query(points_xy)[1]
    behind, ahead = (
        (np.mod(nearest - 1, count), nearest)
        if closed
        else (np.maximum(nearest - 1, 0), np.minimum(nearest, count - 2))
    )
    seen_behind = _seen_from_legs(stations_xy, points_xy, behind)
    seen_ahead = _seen_from_legs(stations_xy, points_xy, ahead)
    take_ahead = seen_ahead[1] < seen_behind[1]
    before = np.where(take_ahead, ahead, behind)
    place, distance, side = (np.where(take_ahead, a, b) for a, b in zip(seen_ahead, seen_behind, strict=True))
    beyond = ((before == 0) & (place < 0.0)) | ((before == count - 2) & (place > 1.0))
    return LineOffsets(
        before=before,
        after=np.mod(before + 1, count),
        fraction=np.clip(place, 0.0, 1.0),
        offset_m=np.copysign(distance, side),
        beside=np.full(before.shape, True) if closed else ~beyond,
    )


def _seen_from_legs(
    stations_xy: NDArray[np.float64], points_xy: NDArray[np.float64], leg: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Place along the leg in leg lengths, distance from it, and side (positive right) of every point."""
    start = stations_xy[leg]
    run = stations_xy[np.mod(leg + 1, len(stations_xy))] - start
    to_point = points_xy - start
    place = (to_point * run).sum(axis=1) / (run**2).sum(axis=1)
    away = to_point - np.clip(place, 0.0, 1.0)[:, np.newaxis] * run
    side = to_point[:, 0] * run[:, 1] - to_point[:, 1] * run[:, 0]
    return place, np.hypot(away[:, 0], away[:, 1]), side
