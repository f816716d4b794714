"""A line that was walked or drawn round an area, closed where its ends are near each other."""

from typing import NamedTuple

import numpy as np
import shapely
from pyproj import CRS, Geod, Transformer
from shapely.geometry.base import BaseGeometry

GREATEST_GAP_M = 25.0
"""Ends that lie farther apart are never joined: our choice, well beyond the error of a phone's receiver."""
GREATEST_GAP_SHARE = 0.1
"""Nor are those farther apart than this share of the line's length: our choice."""

CLOSING_RULE = (
    f"a line is closed where its ends are within {GREATEST_GAP_M:g} m and a tenth of its length of each other"
)
"""The rule in words."""

_GLOBE = Geod(ellps="WGS84")
_LEAST_POINTS = 3


class Closing(NamedTuple):
    """What comes of joining the ends of a line.

    Parameters
    ----------
    area : shapely Polygon or None
        The polygon, in the CRS of the line; None where the ends are too far apart.
    length_m, gap_m : float
        Length of the line, and distance between its ends, over the ellipsoid [m].
    """

    area: shapely.Polygon | None
    length_m: float
    gap_m: float


def closed_line(line: BaseGeometry, crs: CRS) -> Closing:
    """Join the ends of a line that was walked or drawn round an area.

    Parameters
    ----------
    line : shapely LineString
        The line.
    crs : CRS
        Its CRS; easting or longitude comes first.

    Returns
    -------
    Closing
        With a polygon where the ends are no more than 25 m, and no more than a tenth of the line's length, apart.

    Examples
    --------
    >>> walked = shapely.LineString([(0, 0), (100, 0), (100, 100), (0, 100), (0, 4)])
    >>> found = closed_line(walked, CRS.from_epsg(32630))
    >>> round(found.gap_m), found.area.area
    (4, 10000.0)
    >>> closed_line(shapely.LineString([(0, 0), (100, 0), (100, 100)]), CRS.from_epsg(32630)).area is None
    True
    """
    xy = shapely.get_coordinates(line)
    to_globe = Transformer.from_crs(crs, CRS.from_epsg(4326), always_xy=True)
    longitude, latitude = to_globe.transform(xy[:, 0], xy[:, 1])
    length_m = float(_GLOBE.line_length(longitude, latitude))
    gap_m = float(_GLOBE.inv(longitude[0], latitude[0], longitude[-1], latitude[-1])[2])
    joins = gap_m <= min(GREATEST_GAP_M, GREATEST_GAP_SHARE * length_m)
    if not joins or len(np.unique(xy, axis=0)) < _LEAST_POINTS:
        return Closing(None, length_m, gap_m)
    return Closing(shapely.Polygon(xy), length_m, gap_m)
