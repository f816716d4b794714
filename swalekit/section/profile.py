"""The finished surface across a swale, as the nodes of a broken line.

x is positive downhill, with its origin at the stake; y is height above natural ground at the stake; natural ground
is y = −slope · x. All functions take arrays over stations and return one row a node.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.errors import InputError
from swalekit.kernels.section_nodes import profile_rows
from swalekit.section.section import Section

Nodes = tuple[NDArray[np.float64], NDArray[np.float64]]


def profile(section: Section, depth_m: ArrayLike, crest_m: ArrayLike, slope: ArrayLike, *, reach_m: ArrayLike) -> Nodes:
    """The whole finished surface, from the end of the pond's reach to the berm's downhill toe.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm.
    depth_m : array_like, shape (...)
        Dig depth at the stake [m].
    crest_m : array_like, shape (...)
        Height of the crest above natural ground at the stake [m].
    slope : array_like, shape (...)
        Slope down across the line [m/m].
    reach_m : array_like, shape (...)
        How far uphill of the stake a pond may stand [m]; the ditch itself always counts.

    Returns
    -------
    x, y : ndarray of float64, shape (9, ...)
        End of reach, four nodes of the ditch, four nodes of the berm [m].

    Raises
    ------
    InputError
        If a side is too flat to meet the ground.

    Examples
    --------
    >>> x, y = profile(Section(), 0.5, 0.4, 0.1, reach_m=20.0)
    >>> x.round(1)
    array([-20. ,  -1.2,  -0.3,   0.3,   0.9,   1.2,   2.3,   2.8,   4.4])
    """
    (depth, crest, gradient, reach), shape = at_stations(depth_m, crest_m, slope, reach_m)
    check_meets_ground(section, gradient)
    return _shaped(profile_rows(section.dimensions, depth, crest, gradient, reach), shape)


def at_stations(*values: ArrayLike) -> tuple[list[NDArray[np.float64]], tuple[int, ...]]:
    """Values at all stations in one row each.

    Parameters
    ----------
    *values : array_like
        Figures that can be broadcast to one shape.

    Returns
    -------
    rows : list of ndarray of float64, shape (n,)
        Each figure at every station.
    shape : tuple of int
        The shape that they have together, of n places.

    Examples
    --------
    >>> at_stations([0.4, 0.5], 0.1)
    ([array([0.4, 0.5]), array([0.1, 0.1])], (2,))
    """
    arrays = np.broadcast_arrays(*values)
    return [np.array(figure, np.float64).ravel() for figure in arrays], arrays[0].shape


def check_ditch_meets_ground(section: Section, slope: NDArray[np.float64]) -> None:
    """Check that the ditch's uphill side rises out of the hill.

    Parameters
    ----------
    section : Section
        Shape of the ditch.
    slope : ndarray of float64, shape (n,)
        Slope down across the line at the stations [m/m].

    Raises
    ------
    InputError
        If the side's rise over its run is no more than the slope; the first such station is named.

    Examples
    --------
    >>> check_ditch_meets_ground(Section(uphill_side_slope=2.0), np.array([0.1, 0.5]))
    Traceback (most recent call last):
    swalekit.errors.InputError: the ditch's uphill side at 2:1 never meets the ground at station 1, where it falls
    0.50 m a metre; make the side steeper than 2.00:1
    """
    _check_daylight(slope, section.uphill_side_slope, "the ditch's uphill side")


def check_meets_ground(section: Section, slope: NDArray[np.float64]) -> None:
    """Check that the ditch's uphill side and the berm's downhill face meet the hill.

    Parameters
    ----------
    section : Section
        Shape of ditch and berm.
    slope : ndarray of float64, shape (n,)
        Slope down across the line at the stations [m/m].

    Raises
    ------
    InputError
        If a side's rise over its run is no more than the slope; the first such station is named.

    Examples
    --------
    >>> check_meets_ground(Section(berm_downhill_side_slope=3.0), np.array([0.1, 0.4]))
    Traceback (most recent call last):
    swalekit.errors.InputError: the berm's downhill face at 3:1 never meets the ground at station 1, where it falls
    0.40 m a metre; make the side steeper than 2.50:1
    """
    check_ditch_meets_ground(section, slope)
    _check_berm_meets_ground(section, slope)


def _check_berm_meets_ground(section: Section, slope: NDArray[np.float64]) -> None:
    """Check that the berm's downhill face comes down to the hill."""
    _check_daylight(slope, section.berm_downhill_side_slope, "the berm's downhill face")


def _shaped(nodes: Nodes, shape: tuple[int, ...]) -> Nodes:
    """Rows of nodes over stations of a shape."""
    x, y = nodes
    return x.reshape(len(x), *shape), y.reshape(len(y), *shape)


def _check_daylight(slope: NDArray[np.float64], side_slope: float, side: str) -> None:
    """Check that a side that falls with the hill, or rises against it, is steeper than the hill."""
    wrong = slope * side_slope >= 1.0
    if wrong.any():
        station = int(np.argmax(wrong))
        message = (
            f"{side} at {side_slope:g}:1 never meets the ground at station {station}, where it falls "
            f"{slope[station]:.2f} m a metre; make the side steeper than {1.0 / slope[station]:.2f}:1"
        )
        raise InputError(message)
