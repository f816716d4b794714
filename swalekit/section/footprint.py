"""The ground that a swale stands on, in plan, and what stands within it."""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import KeepOut
from swalekit.kernels.section_nodes import DOWNHILL_TOE, UPHILL_LIP, UPHILL_TOE
from swalekit.section.returns import outline_xy
from swalekit.section.shape import ShapedSwale

_SNAP_M = 0.001


def berm_footprint(line: LevelLine, shape: ShapedSwale) -> shapely.MultiPolygon:
    """Ground under the berm and its returns, from toe to toe.

    Parameters
    ----------
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.

    Returns
    -------
    shapely multipolygon
        The ground, in the CRS of the line.

    Examples
    --------
    >>> from swalekit.section import Section, Stations
    >>> xy = np.array([[0.0, 0.0], [10.0, 0.0], [20.0, 0.0]])
    >>> line = LevelLine(10.0, False, xy, np.full(3, 10.0), np.full(3, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(3, 10.0)), Section(), 0.5, 10.4)
    >>> in_the_ditch, on_the_berm = shapely.Point(10.0, 0.0), shapely.Point(10.0, -3.0)
    >>> berm_footprint(line, shape).covers(in_the_ditch), berm_footprint(line, shape).covers(on_the_berm)
    (False, True)
    """
    return _footprint(line, shape, UPHILL_TOE, snap_m=_SNAP_M)


def works_footprint(line: LevelLine, shape: ShapedSwale) -> shapely.MultiPolygon:
    """Ground under ditch, bench, berm and returns, from the ditch's uphill lip to the berm's downhill toe.

    Parameters
    ----------
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.

    Returns
    -------
    shapely multipolygon
        The ground, in the CRS of the line.

    Examples
    --------
    >>> from swalekit.section import Section, Stations
    >>> xy = np.array([[0.0, 0.0], [10.0, 0.0], [20.0, 0.0]])
    >>> line = LevelLine(10.0, False, xy, np.full(3, 10.0), np.full(3, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(3, 10.0)), Section(), 0.5, 10.4)
    >>> works_footprint(line, shape).covers(shapely.Point(10.0, 0.0))
    True
    """
    return _footprint(line, shape, UPHILL_LIP, snap_m=None)


def _footprint(line: LevelLine, shape: ShapedSwale, first_node: int, *, snap_m: float | None) -> shapely.MultiPolygon:
    x, _ = shape.nodes
    inner, outer = _edge(line, x[first_node]), _edge(line, x[DOWNHILL_TOE])
    strips = shapely.polygons(np.stack([inner[:-1], inner[1:], outer[1:], outer[:-1], inner[:-1]], axis=1))
    returns = shapely.polygons(outline_xy(line, shape.returns))
    whole = shapely.union_all(shapely.make_valid([*strips, *returns]), grid_size=snap_m)
    return shapely.MultiPolygon([part for part in shapely.get_parts(whole) if isinstance(part, shapely.Polygon)])


def _edge(line: LevelLine, offset_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Points beside the stations, downhill positive; those of a ring come back to the first."""
    edge = line.xy + line.downhill * offset_m[:, np.newaxis]
    return np.vstack([edge, edge[:1]]) if line.closed else edge


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
    reached = [keep_out.title for keep_out in keep_outs if shapely.intersects(works, keep_out.geometry)]
    if boundary is not None and not shapely.covers(boundary, works):
        reached.append("property line")
    return tuple(reached)
