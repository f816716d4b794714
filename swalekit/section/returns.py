"""Returns: the berm of an open line turned uphill at both ends, so that its pond can't run round them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.contours.line import LevelLine
from swalekit.section.areas import berm_area_m2
from swalekit.section.profile import profile
from swalekit.section.section import Section

_DOWNHILL_LIP, _UPHILL_TOE, _CREST_INNER_EDGE, _CREST_OUTER_EDGE, _DOWNHILL_TOE = 4, 5, 6, 7, 8  # nodes of `profile`


@dataclass(frozen=True, eq=False)
class Returns:
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
        beyond, downhill = np.moveaxis(self.outline_m, -1, 0)
        twice = beyond * np.roll(downhill, -1, axis=1) - downhill * np.roll(beyond, -1, axis=1)
        return np.asarray(np.abs(twice.sum(axis=1)) / 2.0)


def shape_returns(
    section: Section,
    depth_m: NDArray[np.float64],
    crest_m: NDArray[np.float64],
    slope: NDArray[np.float64],
    *,
    reach_m: ArrayLike,
) -> Returns:
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
    Returns
        Place, length, volume and ground of each.

    Notes
    -----
    Common practice. The ditch ends at the end station; the berm goes on and turns at right angles, so that the return
    is as far beyond the ditch's end as the berm is below the ditch's downhill lip. The corner is mitred: a strip of the
    berm a distance x below the lip goes on for x beyond the end station, V = ∫ h x dx, and the return is counted from
    the middle of the berm's crest, so that nothing counts twice. That is exact where the berm's faces are alike and the
    ground falls little over their width.

    Examples
    --------
    >>> ends = shape_returns(Section(), *np.array([[0.5], [0.2], [0.1]]), reach_m=np.array([20.0]))
    >>> ends.length_m.round(2), ends.volume_m3.round(2)
    (array([4.11]), array([1.65]))
    """
    x, _ = profile(section, depth_m, crest_m, slope, reach_m=reach_m)
    lip, inner_edge, outer_edge = x[_DOWNHILL_LIP], x[_CREST_INNER_EDGE], x[_CREST_OUTER_EDGE]
    middle = (inner_edge + outer_edge) / 2.0
    height = np.maximum(crest_m + slope * middle, 0.0)
    length = return_length_m(height, slope, reach_m=middle - x[0])
    area, weighted = (
        berm_area_m2(section, crest_m, depth_m, slope, curvature_per_m=weight_per_m) for weight_per_m in (0.0, 1.0)
    )
    mitred_berm = weighted - (1.0 + lip) * area
    return Returns(
        inner_corner_m=np.stack([inner_edge - lip, inner_edge], axis=-1),
        outer_corner_m=np.stack([outer_edge - lip, outer_edge], axis=-1),
        reach_m=-x[0],
        length_m=length,
        volume_m3=mitred_berm + return_volume_m3(section, height, slope, length_m=length),
        outline_m=_outline_m(section, x, crest_m, slope, upper_end_m=middle - length),
    )


def end_axes(line: LevelLine) -> NDArray[np.float64]:
    """Directions at the first and the last station in which `Returns` are laid out.

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


def outline_xy(line: LevelLine, returns: Returns) -> NDArray[np.float64]:
    """Corners of the ground under a line's returns, shape (ends, 6, 2) [m]."""
    axes = end_axes(line)
    return np.asarray(line.xy[[0, -1]][: len(axes), np.newaxis] + returns.outline_m @ axes)


def return_length_m(height_m: ArrayLike, slope: ArrayLike, *, reach_m: ArrayLike) -> NDArray[np.float64]:
    """How far a level crest runs straight uphill until the ground meets it.

    Parameters
    ----------
    height_m : array_like, shape (...)
        Height of the crest above the ground where it begins, zero or more [m].
    slope : array_like, shape (...)
        Slope of the ground along it, zero or more [m/m].
    reach_m : array_like, shape (...)
        It ends there at the latest [m].

    Returns
    -------
    ndarray of float64, shape (...)
        Length [m].

    Examples
    --------
    >>> return_length_m(0.4, [0.1, 0.01, 0.0], reach_m=30.0)
    array([ 4., 30., 30.])
    """
    height, gradient, reach = np.broadcast_arrays(np.asarray(height_m, np.float64), slope, reach_m)
    meets = height < gradient * reach
    return np.asarray(np.divide(height, gradient, out=reach.astype(np.float64), where=meets))


def return_volume_m3(
    section: Section, height_m: ArrayLike, slope: ArrayLike, *, length_m: ArrayLike
) -> NDArray[np.float64]:
    """Volume of an embankment with the berm's crest and faces that runs straight uphill.

    Parameters
    ----------
    section : Section
        Shape of the berm.
    height_m : array_like, shape (...)
        Height of the level crest above the ground where it begins [m].
    slope : array_like, shape (...)
        Slope of the ground along it [m/m].
    length_m : array_like, shape (...)
        Length, at most to where the ground meets the crest [m].

    Returns
    -------
    ndarray of float64, shape (...)
        Volume [m³].

    Notes
    -----
    The ground is level across, so the section is A(h) = t h + (nu + nd) h² / 2 with t the crest's width and n the
    faces. With the height falling evenly from H to h0 = H − s L,

        V = ∫ A dx = [t h² / 2 + (nu + nd) h³ / 6] / s, between h0 and H.

    A is a quadratic along the run, for which the prismoidal rule V = L (A(H) + 4 A((H + h0) / 2) + A(h0)) / 6 gives
    the same without a division by the slope: it holds on level ground too.

    Examples
    --------
    >>> round(float(return_volume_m3(Section(), 0.4, 0.1, length_m=4.0)), 4)
    0.8267
    """
    first, run = np.asarray(height_m, np.float64), np.asarray(length_m, np.float64)
    fall = run * np.asarray(slope, np.float64)
    faces = section.berm_uphill_side_slope + section.berm_downhill_side_slope
    first_area, middle_area, last_area = (
        section.crest_width_m * height + faces * height**2 / 2.0 for height in (first, first - fall / 2.0, first - fall)
    )
    return np.asarray(run * (first_area + 4.0 * middle_area + last_area) / 6.0)


def _outline_m(
    section: Section,
    x: NDArray[np.float64],
    crest_m: NDArray[np.float64],
    slope: NDArray[np.float64],
    *,
    upper_end_m: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Corners of the ground under berm and return, from the berm's uphill toe at the end station."""
    downhill = np.stack([x[_UPHILL_TOE], x[_UPHILL_TOE], upper_end_m, upper_end_m, x[_DOWNHILL_TOE], x[_DOWNHILL_TOE]])
    height = np.maximum(crest_m + slope * downhill[1:5], 0.0)
    inner_toe = x[_CREST_INNER_EDGE] - section.berm_uphill_side_slope * height[:2]
    outer_toe = x[_CREST_OUTER_EDGE] + section.berm_downhill_side_slope * height[2:]
    lip = x[_DOWNHILL_LIP]
    beyond = np.stack([lip, *inner_toe, *outer_toe, lip]) - lip
    return np.stack([beyond.T, downhill.T], axis=-1)
