"""Bends of a line that a row of evenly spaced stakes would cut off."""

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.staking.along_line import along_line


def sharp_bends_m(line: LevelLine, *, bend_degrees: float, support_m: float) -> list[float]:
    """Chainages of the stations where a line turns most.

    Parameters
    ----------
    line : LevelLine
        The line.
    bend_degrees : float
        Least turn that counts [degrees].
    support_m : float
        Length of line over which the turn is measured [m].

    Returns
    -------
    list of float
        Chainages, the sharpest bend first, none within a support length of a sharper one [m].

    Notes
    -----
    The turn at a station is the angle between the chords to it from half a support length before, and from it to half
    a support length after. A chord over an evenly bent support strays from the line by about length × turn / 8. Within
    half a support length of the ends of an open line no turn is measured.

    Examples
    --------
    >>> xy = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0], [4.0, 2.0], [4.0, 4.0]])
    >>> line = LevelLine(10.0, False, xy, np.full(5, 10.0), np.full(5, 0.1))
    >>> sharp_bends_m(line, bend_degrees=30.0, support_m=4.0)
    [4.0]
    """
    half_m, length_m = support_m / 2.0, line.length_m
    if line.closed:
        chainage = line.chainage_m if support_m < length_m else np.empty(0)
    else:
        chainage = line.chainage_m[(line.chainage_m >= half_m) & (line.chainage_m <= length_m - half_m)]
    turn = _turn_degrees(line, chainage, half_m)
    found: list[float] = []
    for each in np.argsort(-turn.round(6), kind="stable"):
        if turn[each] < bend_degrees:
            break
        apart = np.abs(chainage[each] - np.array(found))
        if line.closed:
            apart = np.minimum(apart, length_m - apart)
        if (apart >= support_m).all():
            found.append(float(chainage[each]))
    return found


def _turn_degrees(line: LevelLine, chainage_m: NDArray[np.float64], half_m: float) -> NDArray[np.float64]:
    """Angle between the chords that lead to a point and away from it."""
    places = chainage_m + half_m * np.array([[-1.0], [0.0], [1.0]])
    if line.closed:
        places = np.mod(places, line.length_m)
    before, here, after = np.moveaxis(along_line(line, line.xy.T, places), 0, -1)
    (x_in, y_in), (x_out, y_out) = (here - before).T, (after - here).T
    return np.asarray(np.degrees(np.abs(np.arctan2(x_in * y_out - y_in * x_out, x_in * x_out + y_in * y_out))))
