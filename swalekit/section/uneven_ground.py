"""What a berm takes of soil, and a ditch gives, on the ground as it is beside a line."""

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.kernels.section_nodes import CREST_OUTER_EDGE, DOWNHILL_LIP, DOWNHILL_TOE, UPHILL_LIP
from swalekit.section.returns import BEYOND_PLANE, end_axes, return_bounds_m
from swalekit.section.shape import ShapedSwale
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

Values = NDArray[np.float64]
Depth = Callable[[Values, Values], Values]
"""Depth of earth moved at distances from the line, on ground of given heights."""

_POINTS = 33
SAME_SOIL = 0.005
"""Soil that differs by less is the same."""


def soil_ratio(terrain: Terrain, line: LevelLine, shape: ShapedSwale) -> float:
    """Soil that a berm takes for what its ditch gives, on the real ground over that on the plane of its sections.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.

    Returns
    -------
    float
        Fill a unit of cut, over the same on planes; above 1 where the ground falls away below the line [-].

    Notes
    -----
    Across every station the ground is sampled at 33 points below the line and 33 about the ditch, as far as half again
    beyond the plane section, and at 33 by 33 under each return. The faces of ditch and berm are those that are set out:
    from the floor's edges, and from the berm's uphill toe, whose level is that of the plane. Where the ground is
    unknown the plane counts.

    Examples
    --------
    >>> swale = design.swales[0]
    >>> round(soil_ratio(ground.terrain, swale.line, swale.sized.shape), 2)
    1.0
    """
    x, _ = shape.nodes
    section, toe = shape.section, _uphill_toe_m(shape)
    floor = line.ground_m - shape.station_depth_m

    def berm(at: Values, ground: Values) -> Values:
        return _berm_height_m(line, shape, at, ground)

    def ditch(at: Values, ground: Values) -> Values:
        side = np.where(at < 0.0, section.uphill_side_slope, section.downhill_side_slope)
        bottom = floor + np.maximum(np.abs(at) - section.bottom_width_m / 2.0, 0.0) / side
        return np.asarray(np.maximum(ground - bottom, 0.0))

    fill_m3, plane_fill_m3 = _returns_m3(terrain, line, shape)
    berm_m3, plane_berm_m3 = _beside_m3(terrain, line, shape, berm, toe, BEYOND_PLANE * x[DOWNHILL_TOE])
    cut_m3, plane_cut_m3 = _beside_m3(terrain, line, shape, ditch, *BEYOND_PLANE * x[[UPHILL_LIP, DOWNHILL_LIP]])
    fill_m3, plane_fill_m3 = fill_m3 + berm_m3, plane_fill_m3 + plane_berm_m3
    return fill_m3 / plane_fill_m3 * (plane_cut_m3 / cut_m3) if min(plane_fill_m3, cut_m3) > 0.0 else 1.0


def station_fill_m(terrain: Terrain, line: LevelLine, shape: ShapedSwale) -> tuple[Values, Values]:
    """Greatest height of the berm above the real ground at every station, and of the returns at both ends.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.

    Returns
    -------
    along_m : ndarray of float64, shape (n,)
        Of the berm along the line [m].
    returns_m : ndarray of float64, shape (2,) or (0,)
        Of the return at the first and at the last station; a ring has none [m].

    Notes
    -----
    Sampled as by `soil_ratio`; where the ground is unknown the plane of the section counts.

    Examples
    --------
    >>> swale = design.swales[0]
    >>> along_m, returns_m = station_fill_m(ground.terrain, swale.line, swale.sized.shape)
    >>> bool(abs(along_m[20] - swale.berm_height_m) < 0.02), returns_m.shape
    (True, (2,))
    """
    at = np.linspace(_uphill_toe_m(shape), BEYOND_PLANE * shape.nodes[0][DOWNHILL_TOE], _POINTS)
    plane = line.ground_m - shape.stations.slope * at
    real = _known_m(terrain, line.xy + line.downhill * at[..., np.newaxis], plane)
    returns = [float((face - ground).max()) for face, _, ground, _ in _return_faces(terrain, line, shape)]
    return _berm_height_m(line, shape, at, real).max(axis=0), np.array(returns)


def _uphill_toe_m(shape: ShapedSwale) -> Values:
    """Distance of the berm's uphill toe from the stake at every station."""
    return np.asarray(shape.nodes[0][DOWNHILL_LIP] + shape.section.bench_m)


def _berm_height_m(line: LevelLine, shape: ShapedSwale, at: Values, ground: Values) -> Values:
    """Height of the berm above ground of given heights at distances from the line; none beyond it."""
    section, toe = shape.section, _uphill_toe_m(shape)
    inner = line.ground_m - shape.stations.slope * toe + (at - toe) / section.berm_uphill_side_slope
    outer = shape.crest_level_m - (at - shape.nodes[0][CREST_OUTER_EDGE]) / section.berm_downhill_side_slope
    return np.asarray(np.maximum(np.minimum(np.minimum(inner, shape.crest_level_m), outer) - ground, 0.0))


def soil_short(ratio: float) -> float:
    """How many times the soil of its ditch a berm takes, 1 where that is enough.

    Parameters
    ----------
    ratio : float
        As `soil_ratio` gives it [-].

    Returns
    -------
    float
        1 or more [-].

    Examples
    --------
    >>> soil_short(0.9), soil_short(1.2)
    (1.0, 1.2)
    """
    return ratio if ratio > 1.0 + SAME_SOIL else 1.0


def _beside_m3(
    terrain: Terrain, line: LevelLine, shape: ShapedSwale, depth_m: Depth, first_m: Values, last_m: Values
) -> tuple[float, float]:
    """Earth moved between two distances from the line, on the real ground and on the plane of each station."""
    at = np.linspace(first_m, last_m, _POINTS)
    plane = line.ground_m - shape.stations.slope * at
    real = _known_m(terrain, line.xy + line.downhill * at[..., np.newaxis], plane)
    step_m2 = (last_m - first_m) / _POINTS * line.width_m
    real_m3, plane_m3 = (float((depth_m(at, ground) * step_m2).sum()) for ground in (real, plane))
    return real_m3, plane_m3


def _returns_m3(terrain: Terrain, line: LevelLine, shape: ShapedSwale) -> tuple[float, float]:
    """Soil in the returns, on the real ground and on planes that are level along the line."""
    real_m3, plane_m3 = 0.0, 0.0
    for face, plane, real, step_m2 in _return_faces(terrain, line, shape):
        real_m3 += step_m2 * float(np.maximum(face - real, 0.0).sum())
        plane_m3 += step_m2 * float(np.maximum(face - plane, 0.0).sum())
    return real_m3, plane_m3


def _return_faces(
    terrain: Terrain, line: LevelLine, shape: ShapedSwale
) -> Iterator[tuple[Values, Values, Values, float]]:
    """Heights of each return's face, of the plane and of the real ground at points, and the area of a point."""
    returns, section = shape.returns, shape.section
    for end, axes in enumerate(end_axes(line)):
        least, greatest = return_bounds_m(returns, end)
        at = np.stack(np.meshgrid(*np.linspace(least, greatest, _POINTS).T), axis=-1)
        rising = ((at - returns.inner_corner_m[end]) / section.berm_uphill_side_slope).max(axis=-1)
        falling = ((returns.outer_corner_m[end] - at) / section.berm_downhill_side_slope).min(axis=-1)
        face = shape.crest_level_m + np.minimum(np.minimum(rising, falling), 0.0)
        plane = line.ground_m[-end] - shape.stations.slope[-end] * at[..., 1]
        real = _known_m(terrain, line.xy[-end] + at @ axes, plane)
        yield face, plane, real, float(np.prod((greatest - least) / _POINTS))


def _known_m(terrain: Terrain, points: Values, plane: Values) -> Values:
    """Height of the ground at points, shape (..., 2); that of the plane where it isn't known [m]."""
    real = sample_heights(terrain, points[..., 0].ravel(), points[..., 1].ravel()).reshape(plane.shape)
    return np.asarray(np.where(np.isnan(real), plane, real), np.float64)
