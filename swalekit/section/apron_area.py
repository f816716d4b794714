"""Where the apron of a sill lies on the ground."""

from itertools import pairwise

import numpy as np
import shapely
import shapely.ops
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.section.apron import Apron

_STRAIGHT_M = 5.0  # a shorter apron over the ground runs straight downhill
_BENDS_M = 1.0  # bends of the way that are smaller are left out


def apron_area(
    apron: Apron, sill_xy: NDArray[np.float64], way_xy: NDArray[np.float64], *, foot_m: float, face_m: float
) -> BaseGeometry:
    """Ground that an apron covers: along the sill, from its edge over the berm's face, then as wide down the way.

    Parameters
    ----------
    apron : Apron
        The apron.
    sill_xy : ndarray of float64, shape (n, 2)
        The stretch of line that is the sill, downhill on its right [m].
    way_xy : ndarray of float64, shape (k, 2)
        Way of the water from the sill [m].
    foot_m : float
        From the line to the foot of the berm [m].
    face_m : float
        Breadth of the berm's face below the sill, in plan [m].

    Returns
    -------
    shapely Polygon or MultiPolygon
        Its outline in plan.

    Examples
    --------
    >>> apron = Apron("stone", 0.4, 0.05, 0.1, 9.0, 4.2, ground_m=6.0)
    >>> sill, way = np.array([[0.0, 0.0], [4.0, 0.0]]), np.array([[2.0, 0.0], [2.0, -20.0]])
    >>> apron_area(apron, sill, way, foot_m=3.0, face_m=1.0).bounds
    (0.0, -9.0, 4.0, -2.0)
    """
    sill = shapely.LineString(sill_xy)
    edge, foot = (_beside(sill, distance_m) for distance_m in (foot_m - face_m - apron.crest_m, foot_m))
    parts: list[BaseGeometry] = [shapely.Polygon(np.vstack([edge, foot[::-1]]))]
    for step in _steps(apron, sill_xy, way_xy, foot_m):
        parts += [shapely.Polygon(np.vstack([legs, legs[::-1] + step])) for legs in pairwise(foot)]
        foot = foot + step
    return shapely.union_all([shapely.make_valid(part) for part in parts]).buffer(0.0)


def _beside(sill: shapely.LineString, distance_m: float) -> NDArray[np.float64]:
    """A line beside another, on its right."""
    return np.asarray(shapely.get_coordinates(shapely.offset_curve(sill, -distance_m, join_style="mitre")))


def _steps(
    apron: Apron, sill_xy: NDArray[np.float64], way_xy: NDArray[np.float64], foot_m: float
) -> NDArray[np.float64]:
    """Legs of the way from the berm's foot to the end of the apron, shape (s, 2)."""
    way = shapely.LineString(way_xy) if len(way_xy) > 1 else shapely.LineString()
    if apron.ground_m > _STRAIGHT_M and way.length > foot_m:
        laid = shapely.ops.substring(way, foot_m, foot_m + apron.ground_m).simplify(_BENDS_M)
        return np.diff(shapely.get_coordinates(laid), axis=0)
    along = sill_xy[-1] - sill_xy[0]
    along /= np.hypot(*along) or 1.0
    return apron.ground_m * np.array([[along[1], -along[0]]])
