"""Returns: the berm of an open line turned uphill at both ends, so that its pond can't run round them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.frozen import Frozen
from swalekit.kernels.section_nodes import (
    CREST_INNER_EDGE,
    CREST_OUTER_EDGE,
    DOWNHILL_LIP,
    DOWNHILL_TOE,
    UPHILL_TOE,
)
from swalekit.kernels.section_returns import measure_returns
from swalekit.section.profile import at_stations, profile
from swalekit.section.section import Section

Rows = NDArray[np.float64]  # a row a corner, a column an end

BEYOND_PLANE = 1.5
"""Works are followed so far, as a share of their reach on plane ground, on ground that isn't plane."""


@one_line("length_m", "volume_m3")
@dataclass(frozen=True, eq=False)
class BermReturns(Frozen):
    """What closes the ends of a line; none of them for a closed one.

    Parameters
    ----------
    inner_corner_m, outer_corner_m : ndarray of float64, shape (ends, 2)
        Where the edges of the berm's crest turn: beyond the end station, and downhill of it [m].
    reach_m : ndarray of float64, shape (ends,)
        How far uphill of the end station the return may go [m].
    length_m : ndarray of float64, shape (ends,)
        Length of the return, uphill from the middle of the berm's crest [m].
    volume_m3 : ndarray of float64, shape (ends,)
        Soil in the return and in the berm that leads to it from the end station, compacted [m³].
    outline_m : ndarray of float64, shape (ends, 6, 2)
        Corners of the ground under both, likewise [m].
    """

    inner_corner_m: NDArray[np.float64]
    outer_corner_m: NDArray[np.float64]
    reach_m: NDArray[np.float64]
    length_m: NDArray[np.float64]
    volume_m3: NDArray[np.float64]
    outline_m: NDArray[np.float64]

    @property
    def ground_m2(self) -> NDArray[np.float64]:
        """Plan area of the ground under them, shape (ends,) [m²]."""
        return _area_m2(self.outline_m)

    @property
    def caught_m2(self) -> NDArray[np.float64]:
        """The part of it that sheds rain into the ditch, up to the middle of the crest, shape (ends,) [m²]."""
        corners, middle = self.outline_m.copy(), (self.inner_corner_m + self.outer_corner_m) / 2.0
        corners[:, 3, 0], corners[:, 4], corners[:, 5, 1] = middle[:, 0], middle, middle[:, 1]
        return _area_m2(corners)


def _area_m2(corners_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Area within corners, shape (ends, corners, 2)."""
    x, y = np.moveaxis(corners_m, -1, 0)
    twice = x * np.roll(y, -1, axis=1) - y * np.roll(x, -1, axis=1)
    return np.asarray(np.abs(twice.sum(axis=1)) / 2.0)


def shape_returns(
    section: Section,
    depth_m: NDArray[np.float64],
    crest_m: NDArray[np.float64],
    slope: NDArray[np.float64],
    *,
    reach_m: ArrayLike,
) -> BermReturns:
    """Turn a berm uphill at end stations, up to where the ground reaches its crest.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm; the return has the berm's crest and faces.
    depth_m : ndarray of float64, shape (ends,)
        Dig depth at the stake [m].
    crest_m : ndarray of float64, shape (ends,)
        Height of the crest above natural ground at the stake [m].
    slope : ndarray of float64, shape (ends,)
        Slope down across the line [m/m].
    reach_m : array_like, shape (ends,)
        How far uphill of the stake the pond may stand [m]: the return ends there at the latest.

    Returns
    -------
    BermReturns
        Place, length, volume and ground of each.

    Notes
    -----
    Common practice. The ditch ends at the end station; the berm goes on and turns at right angles, so that the return
    is as far beyond the ditch's end as the berm is below the ditch's downhill lip. Berm and return are one embankment,
    an L, of which everything beyond the end station counts, once. A height h below the crest it covers in plan

        a(h) = (bo + nd h) (xo + nd h − g) − (bi − nu h) (xi − nu h − g)

    with the outer and inner edge of the crest b beyond the end station and x downhill of it, the faces n, and the
    ground reaching that height at g, linear in h on a plane. V = ∫ a dh, by Simpson's rule in slices between the
    corners of the outline, which is exact. Of the straight part of the return it is, between the heights h of its ends,

        ∫ (t h + (nu + nd) h² / 2) dx = [t h² / 2 + (nu + nd) h³ / 6] / s

    with t the width of the crest and s the slope. The ground is taken as level along the line.

    Examples
    --------
    >>> ends = shape_returns(Section(), *np.array([[0.5], [0.2], [0.1]]), reach_m=np.array([20.0]))
    >>> ends.length_m.round(2), ends.volume_m3.round(2)
    (array([4.11]), array([1.69]))
    """
    x, _ = profile(section, depth_m, crest_m, slope, reach_m=reach_m)
    rows, _ = at_stations(depth_m, crest_m, slope, reach_m)
    length, upper_end, volume = measure_returns(section.dimensions, *rows)
    inner, outer = (np.stack([x[edge] - x[DOWNHILL_LIP], x[edge]]) for edge in (CREST_INNER_EDGE, CREST_OUTER_EDGE))
    toes = np.stack([upper_end, x[UPHILL_TOE], x[DOWNHILL_TOE]])
    height = np.maximum(crest_m + slope * toes, 0.0)
    return BermReturns(
        inner_corner_m=inner.T,
        outer_corner_m=outer.T,
        reach_m=-x[0],
        length_m=length,
        volume_m3=volume,
        outline_m=_outline_m(section, inner, outer, toes, height),
    )


def end_axes(line: LevelLine) -> NDArray[np.float64]:
    """Directions at the first and the last station in which `BermReturns` are laid out.

    Parameters
    ----------
    line : LevelLine
        The line.

    Returns
    -------
    ndarray of float64, shape (2, 2, 2)
        At both stations the unit vectors that point beyond the line's end and downhill; none, shape (0, 2, 2), for a
        closed line.

    Examples
    --------
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [2.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> end_axes(line).tolist()
    [[[-1.0, -0.0], [0.0, -1.0]], [[1.0, 0.0], [0.0, -1.0]]]
    """
    if line.closed:
        return np.empty((0, 2, 2))
    downhill = line.downhill[[0, -1]]
    onward = np.column_stack([-downhill[:, 1], downhill[:, 0]])
    return np.stack([onward * [[-1.0], [1.0]], downhill], axis=1)


def return_bounds_m(returns: BermReturns, end: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How far from its end station a return is followed on ground that isn't plane.

    Parameters
    ----------
    returns : BermReturns
        Returns of a line.
    end : int
        Which of them, 0 at the first station and 1 at the last.

    Returns
    -------
    least, greatest : ndarray of float64, shape (2,)
        Distance beyond the station, and downhill of it [m]: half as far again as on plane ground, no farther uphill
        than the pond reaches.

    Examples
    --------
    >>> ends = shape_returns(Section(), *np.array([[0.5], [0.2], [0.1]]), reach_m=np.array([20.0]))
    >>> [corner.round(2).tolist() for corner in return_bounds_m(ends, 0)]
    [[0.0, -3.93], [3.33, 4.24]]
    """
    turn, outline = returns.inner_corner_m[end], returns.outline_m[end]
    lowest, highest = (turn + BEYOND_PLANE * (corner - turn) for corner in (outline.min(axis=0), outline.max(axis=0)))
    return np.maximum(lowest, [0.0, -returns.reach_m[end]]), highest


def outline_xy(line: LevelLine, returns: BermReturns) -> NDArray[np.float64]:
    """Corners of the ground under a line's returns.

    Parameters
    ----------
    line : LevelLine
        The line.
    returns : BermReturns
        Its returns.

    Returns
    -------
    ndarray of float64, shape (ends, 6, 2)
        Easting and northing of the corners [m], at the first and the last station; none of a closed line.
    """
    axes = end_axes(line)
    return np.asarray(line.xy[[0, -1]][: len(axes), np.newaxis] + returns.outline_m @ axes)


def _outline_m(section: Section, inner: Rows, outer: Rows, toes: Rows, height: Rows) -> NDArray[np.float64]:
    """Corners of the ground under the L, from the berm's uphill toe at the end station."""
    inner_toe = inner[0] - section.berm_uphill_side_slope * height[[1, 0]]
    outer_toe = outer[0] + section.berm_downhill_side_slope * height[[0, 2]]
    station = np.zeros_like(inner[:1])
    beyond = np.concatenate([station, inner_toe, outer_toe, station])
    return np.stack([beyond.T, toes[[1, 1, 0, 0, 2, 2]].T], axis=-1)
