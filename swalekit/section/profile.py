"""The finished surface across a swale, as the nodes of a broken line.

x is positive downhill, with its origin at the stake; y is height above natural ground at the stake; natural ground
is y = −slope · x. All functions take arrays over stations and return one row a node.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.errors import InputError
from swalekit.section.section import Section

Nodes = tuple[NDArray[np.float64], NDArray[np.float64]]

_TINY = 1e-12  # stands in for a slope of zero where one divides


def ditch_nodes(section: Section, depth_m: ArrayLike, slope: ArrayLike) -> Nodes:
    """Uphill lip, both ends of the floor, and downhill lip of the ditch.

    Parameters
    ----------
    section : Section
        Shape of the ditch.
    depth_m : array_like, shape (...)
        Dig depth at the stake, zero or more [m].
    slope : array_like, shape (...)
        Slope down across the line, zero or more [m/m].

    Returns
    -------
    x, y : ndarray of float64, shape (4, ...)
        Nodes from uphill to downhill [m].

    Raises
    ------
    InputError
        If the uphill side is too flat to meet the ground.

    Notes
    -----
    Where the depth is less than half the floor's width times the slope, the floor runs out of the hillside before its
    edge: both last nodes lie where it does.

    Examples
    --------
    >>> x, y = ditch_nodes(Section(), 0.5, 0.1)
    >>> x.round(3)
    array([-1.235, -0.3 ,  0.3 ,  0.913])
    """
    depth, gradient = np.broadcast_arrays(np.asarray(depth_m, np.float64), np.asarray(slope, np.float64))
    _check_daylight(gradient, section.uphill_side_slope, "the ditch's uphill side")
    half = section.bottom_width_m / 2.0
    uphill, downhill = section.uphill_side_slope, section.downhill_side_slope
    uphill_lip = -(half + uphill * depth) / (1.0 - uphill * gradient)
    run_out = depth / np.maximum(gradient, _TINY)
    downhill_lip = np.minimum((half + downhill * depth) / (1.0 + downhill * gradient), run_out)
    x = np.stack([uphill_lip, np.full_like(depth, -half), np.minimum(half, downhill_lip), downhill_lip])
    y = np.stack([-gradient * uphill_lip, -depth, -depth, -gradient * downhill_lip])
    return x, y


def berm_nodes(section: Section, crest_m: ArrayLike, downhill_lip_m: ArrayLike, slope: ArrayLike) -> Nodes:
    """Uphill toe, both edges of the crest, and downhill toe of the berm.

    Parameters
    ----------
    section : Section
        Shape of the berm.
    crest_m : array_like, shape (...)
        Height of the crest above natural ground at the stake [m].
    downhill_lip_m : array_like, shape (...)
        Distance of the ditch's downhill lip from the stake [m].
    slope : array_like, shape (...)
        Slope down across the line [m/m].

    Returns
    -------
    x, y : ndarray of float64, shape (4, ...)
        Nodes from uphill to downhill [m].

    Raises
    ------
    InputError
        If the downhill face is too flat to meet the ground.

    Notes
    -----
    A crest lower than the ground at the berm's toe begins where it comes out of the hillside; its outer edge stays one
    crest width from the toe. A crest below the ground even there makes no berm: the nodes fall together.

    Examples
    --------
    >>> x, y = berm_nodes(Section(), 0.4, 0.913, 0.1)
    >>> x.round(3), y.round(3)
    (array([1.213, 2.256, 2.756, 4.445]), array([-0.121,  0.4  ,  0.4  , -0.444]))
    """
    crest, lip, gradient = np.broadcast_arrays(
        np.asarray(crest_m, np.float64), np.asarray(downhill_lip_m, np.float64), np.asarray(slope, np.float64)
    )
    _check_daylight(gradient, section.berm_downhill_side_slope, "the berm's downhill face")
    toe = lip + section.bench_m
    face_width = section.berm_uphill_side_slope * np.maximum(crest + gradient * toe, 0.0)
    outer_edge = toe + face_width + section.crest_width_m
    outer_height = np.maximum(crest + gradient * outer_edge, 0.0)
    inner_edge = outer_edge - np.minimum(section.crest_width_m, outer_height / np.maximum(gradient, _TINY))
    downhill = section.berm_downhill_side_slope
    x = np.stack(
        [
            inner_edge - face_width,
            inner_edge,
            outer_edge,
            outer_edge + downhill * outer_height / (1.0 - downhill * gradient),
        ]
    )
    level = outer_height - gradient * outer_edge
    return x, np.stack([-gradient * x[0], level, level, -gradient * x[3]])


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
    depth, crest, gradient, reach = np.broadcast_arrays(depth_m, crest_m, slope, reach_m)
    x_ditch, y_ditch = ditch_nodes(section, depth, gradient)
    x_berm, y_berm = berm_nodes(section, crest, x_ditch[3], gradient)
    x_end = np.minimum(-reach, x_ditch[:1])
    y_end = -gradient * x_end
    return np.concatenate([x_end, x_ditch, x_berm]), np.concatenate([y_end, y_ditch, y_berm])


def _check_daylight(slope: NDArray[np.float64], side_slope: float, side: str) -> None:
    """Check that a side that falls with the hill, or rises against it, is steeper than the hill."""
    wrong = slope * side_slope >= 1.0
    if np.any(wrong):
        station = int(np.flatnonzero(wrong)[0])
        message = (
            f"{side} at {side_slope:g}:1 never meets the ground at station {station}, where it falls "
            f"{slope.flat[station]:.2f} m a metre; make the side steeper than {1.0 / slope.flat[station]:.2f}:1"
        )
        raise InputError(message)
