"""The ground below which the roots of each swale's plants may spread."""

from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.design.plan.design import Design

_APART_M = 4.0
"""Distance of the points on a line by which ground is given to the nearest one."""


def root_grounds(design: Design) -> tuple[BaseGeometry, ...]:
    """Share the site out among its swales: to each the ground that lies nearer to its line than to any other.

    Parameters
    ----------
    design : Design
        The swales.

    Returns
    -------
    tuple of shapely geometry
        One a swale; without what stands on the site, whose ground stays dry. No two overlap.

    Examples
    --------
    >>> upper, lower = root_grounds(design)
    >>> upper.intersection(lower).area < 1e-6, upper.area > 0.0
    (True, True)
    """
    site = design.site
    land: BaseGeometry = design.ground.area
    land = land if site.boundary is None else land.intersection(site.boundary)
    standing: list[Any] = [keep_out.geometry for keep_out in site.keep_outs]
    land = land.difference(shapely.union_all(standing)) if standing else land
    ways = [shapely.LineString(swale.line.path) for swale in design.swales]
    if len(ways) < 2:
        return (land,) * len(ways)
    points = [shapely.line_interpolate_point(way, np.arange(0.0, way.length, _APART_M)) for way in ways]
    owner = np.repeat(np.arange(len(ways)), [len(of_way) for of_way in points])
    cells = shapely.voronoi_polygons(shapely.MultiPoint(np.concatenate(points)), extend_to=land, ordered=True)
    near = np.array(list(cells.geoms), dtype=object)
    return tuple(shapely.intersection(shapely.union_all(near[owner == number]), land) for number in range(len(ways)))
