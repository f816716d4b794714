"""What the works of a swale reach: setbacks are measured from its line, but ditch and berm have a width."""

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.contours.keep_outs import KeepOut


def reached_by_works(
    works: BaseGeometry, *, keep_outs: Sequence[KeepOut], boundary: BaseGeometry | None
) -> tuple[str, ...]:
    """Things that stand within the works, whatever their setback, and the property line where the works cross it.

    Parameters
    ----------
    works : shapely geometry
        Ground under ditch and berm.
    keep_outs : sequence of KeepOut
        In the same CRS.
    boundary : shapely geometry or None
        The land that may be worked.

    Returns
    -------
    tuple of str
        Kind and name of each, in the order given.

    Examples
    --------
    >>> pipe = KeepOut("buried utility", shapely.LineString([(0, 5), (9, 5)]), 0.5, "pipe")
    >>> reached_by_works(shapely.box(2, 2, 6, 6), keep_outs=[pipe], boundary=shapely.box(0, 0, 5, 9))
    ("buried utility 'pipe'", 'property line')
    """
    reached = [each.title for each in keep_outs if shapely.intersects(works, each.geometry)]
    if boundary is not None and not shapely.covers(boundary, works):
        reached.append("property line")
    return tuple(reached)
