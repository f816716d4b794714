"""Where trees stand in a unit, and the pit of a negarim."""

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.microcatchments.negarim import bund_half_base_m
from swalekit.microcatchments.semicircle import half_base_m
from swalekit.microcatchments.units import HIGHEST, LEFT, LOWEST, RIGHT, Units

_RINGS = (0.8, 0.55, 0.3)
"""Bows on which trees stand behind a half moon, from its foot inward, over the radius that is left: our choice."""

Values = NDArray[np.float64]


def pit_middles(units: Units) -> Values:
    """Middles of the pits of negarim, which lie against the foot of both walls.

    Parameters
    ----------
    units : Units
        Negarim.

    Returns
    -------
    ndarray of float64, shape (n, 2)
        Easting and northing [m].

    Examples
    --------
    >>> pit_middles(Units.none("negarim")).shape
    (0, 2)
    """
    foot, up = units.pegs_m[:, LOWEST], units.pegs_m[:, HIGHEST] - units.pegs_m[:, LOWEST]
    half_base = np.array([bund_half_base_m(height) for height in units.bund_height_m.tolist()])
    share = (half_base + pit_sides_m(units) / 2.0) / units.size_m  # along a wall, and so along the diagonal
    return np.asarray(foot + share[:, np.newaxis] * up)


def pit_sides_m(units: Units) -> Values:
    """Sides of the square pits of negarim.

    Parameters
    ----------
    units : Units
        Negarim.

    Returns
    -------
    ndarray of float64, shape (n,)
        Side of each [m].

    Examples
    --------
    >>> pit_sides_m(Units.none("negarim")).size
    0
    """
    return np.sqrt(units.pit_m3 / _PIT_DEPTH_M)


def pit_outlines(units: Units) -> NDArray[np.object_]:
    """Pits of negarim as squares along the walls.

    Parameters
    ----------
    units : Units
        Negarim.

    Returns
    -------
    ndarray of shapely polygon, shape (n,)

    Examples
    --------
    >>> pit_outlines(Units.none("negarim")).size
    0
    """
    pegs = units.pegs_m - units.pegs_m.mean(axis=1, keepdims=True)
    scale = (pit_sides_m(units) / units.size_m)[:, np.newaxis, np.newaxis]
    return np.asarray(shapely.polygons(pit_middles(units)[:, np.newaxis] + scale * pegs))


def tree_places(units: Units) -> tuple[Values, NDArray[np.int64]]:
    """Places of all trees, and the unit of each.

    Parameters
    ----------
    units : Units
        The units.

    Returns
    -------
    xy : ndarray of float64, shape (m, 2)
        Easting and northing [m]: in the pit of a negarim; behind the bow of a half moon, the first at its foot.
    unit : ndarray of int64, shape (m,)
        Place of its unit, from 0.

    Examples
    --------
    >>> tree_places(Units.none("semi-circular"))[1].size
    0
    """
    if units.kind == "negarim" or not len(units):
        return (pit_middles(units) if units.kind == "negarim" else np.empty((0, 2))), np.arange(len(units))
    places, owners = [], []
    for number, pegs in enumerate(units.pegs_m):
        radius_m = float(units.size_m[number])
        free = (radius_m - half_base_m(float(units.bund_height_m[number]))) / radius_m
        angle, share = _half_moon(int(units.trees[number]))
        across, down = (pegs[RIGHT] - pegs[LEFT]) / 2.0, pegs[LOWEST] - pegs[HIGHEST]
        at = free * share[:, np.newaxis] * (np.cos(angle)[:, np.newaxis] * across + np.sin(angle)[:, np.newaxis] * down)
        places.append(pegs[HIGHEST] + at)
        owners.append(np.full(len(at), number))
    return np.concatenate(places), np.concatenate(owners).astype(np.int64)


def _half_moon(count: int) -> tuple[Values, Values]:
    """Angles and shares of the radius of so many places, spread over three bows by their length."""
    if count <= len(_RINGS) * 2:
        shares = np.full(count, _RINGS[0])
        return np.pi * (np.arange(count) + 0.5) / max(count, 1), shares
    length = np.array(_RINGS) / sum(_RINGS) * count
    on = np.floor(length).astype(int)
    on[0] += count - on.sum()
    angles = np.concatenate([np.pi * (np.arange(trees) + 0.5) / trees for trees in on.tolist() if trees])
    return angles, np.repeat(_RINGS, on)


_PIT_DEPTH_M = 0.40
"""Of every published pit: Critchley & Siegert (1991), table of earthworks for negarim; from memory."""
