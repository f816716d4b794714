"""The ground that a swale stands on, in plan, and what stands within it."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import KeepOut
from swalekit.contours.quads import Quads
from swalekit.grid import Grid
from swalekit.kernels.section_nodes import CREST_INNER_EDGE, DOWNHILL_TOE, UPHILL_LIP, UPHILL_TOE
from swalekit.section.returns import end_axes, outline_xy, shape_returns
from swalekit.section.shape import ShapedSwale

_SNAP_M = 0.001
_LEAST_SLOPE = 1e-9  # stands in for none where one divides
_SHANK, _ARM = [0, 1, 4, 5], [1, 2, 3, 4]  # corners of both parts of a return's outline: beyond the line, and uphill


class FootprintParts(NamedTuple):
    """Ground that a swale takes, leg by leg of its line, and what a return would take at any of its stations.

    Parameters
    ----------
    works_m : ndarray of float64, shape (legs, 4, 2)
        Ditch, bench and berm between a station and the next: at both the uphill lip, then at both the downhill toe,
        from the next back [m].
    wet_m : ndarray of float64, shape (legs, 4, 2)
        The same with the pond that stands uphill of the ditch when water is at the sill [m].
    returns_m : ndarray of float64, shape (2, n, 2, 4, 2)
        Return of a line that begins, and of one that ends, at each of the n stations: its part beyond the line, then
        the one uphill [m].
    """

    works_m: Quads
    wet_m: Quads
    returns_m: Quads


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
    return _footprint(line, shape, (shape.nodes[0][UPHILL_TOE], shape.nodes[0][DOWNHILL_TOE]), snap_m=_SNAP_M)


def works_footprint(line: LevelLine, shape: ShapedSwale) -> shapely.MultiPolygon:
    """Ground under ditch, bench, berm, returns and crossings, from the ditch's uphill lip to the berm's downhill toe.

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
    reach_m = _with_crossings(line, shape, shape.nodes[0][UPHILL_LIP], shape.nodes[0][DOWNHILL_TOE])
    return _footprint(line, shape, reach_m, snap_m=None)


def crossing_areas(line: LevelLine, shape: ShapedSwale) -> list[shapely.Polygon]:
    """Ground that the roadway of every crossing takes beneath which a swale goes on, from end to end of its ramps.

    Parameters
    ----------
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.

    Returns
    -------
    list of shapely polygon
        One a crossing, its faces left out.

    Examples
    --------
    >>> crossing_areas(design.swales[0].line, design.swales[0].sized.shape)
    []
    """
    areas = []
    for works in shape.crossings:
        half_m, middle_m = works.place.width_m / 2.0, works.place.chainage_m
        along_m = middle_m + np.linspace(-half_m, half_m, 9)
        xy, downhill = (line.at(values.T, along_m).T for values in (line.xy, line.downhill))
        downhill /= np.hypot(*downhill.T)[:, np.newaxis]
        uphill_edge, downhill_edge = (xy + downhill * offset_m for offset_m in works.span_m)
        areas.append(shapely.Polygon(np.vstack([uphill_edge, downhill_edge[::-1]])))
    return areas


def strip_cells(grid: Grid, line: LevelLine, shape: ShapedSwale) -> NDArray[np.int64]:
    """Cells whose water a swale catches below its line and beyond its ends: ditch, bench, inner faces, within returns.

    Parameters
    ----------
    grid : Grid
        The cells.
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.

    Returns
    -------
    ndarray of int64, shape (k,)
        Flat indices, ascending, of the cells whose centre lies between the line and the inner edge of the crest, or
        beyond an end within its return.

    Examples
    --------
    >>> from swalekit.section import Section, Stations
    >>> grid = Grid.from_corner((6, 3), cell_m=1.0, west_m=0.0, north_m=6.0)
    >>> line = LevelLine(10.0, False, np.array([[0.0, 5.0], [3.0, 5.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> np.unique(strip_cells(grid, line, shape) // 3)
    array([1, 2])
    """
    reach_m = shape.nodes[0][CREST_INNER_EDGE]
    offsets = np.arange(0.0, reach_m.max() + grid.cell_m, grid.cell_m)
    places = line.xy[:, np.newaxis] + line.downhill[:, np.newaxis] * offsets[:, np.newaxis]
    cells, centres = _cells_near(grid, places.reshape(-1, 2))
    nearest = cKDTree(line.xy).query(centres)[1]
    away, downhill = centres - line.xy[nearest], line.downhill[nearest]
    across_m = (away * downhill).sum(axis=1)
    caught = (across_m > 0) & (across_m <= reach_m[nearest])
    if not line.closed:
        along_m = away[:, 0] * -downhill[:, 1] + away[:, 1] * downhill[:, 0]
        caught &= ~((nearest == 0) & (along_m < 0)) & ~((nearest == len(line.xy) - 1) & (along_m > 0))
    within = [_cells_within_return(grid, line, shape, end) for end in range(0 if line.closed else 2)]
    return np.unique(np.concatenate([cells[caught], *within]))


def _cells_within_return(grid: Grid, line: LevelLine, shape: ShapedSwale, end: int) -> NDArray[np.int64]:
    """Cells beyond the end of a line that its return closes in, as far uphill as it goes."""
    beyond_m, downhill_m = shape.returns.inner_corner_m[end]
    axes, uphill_m = end_axes(line)[end], max(float(shape.returns.length_m[end]) - downhill_m, 0.0)
    steps = [
        np.arange(first, last + grid.cell_m, grid.cell_m) for first, last in ((0, beyond_m), (-uphill_m, downhill_m))
    ]
    corner = line.xy[-end]
    cells, centres = _cells_near(grid, corner + np.stack(np.meshgrid(*steps), axis=-1).reshape(-1, 2) @ axes)
    along_m, across_m = ((centres - corner) @ axes.T).T
    inside = (along_m > 0) & (along_m <= beyond_m) & (across_m >= -uphill_m) & (across_m <= downhill_m)
    return np.asarray(cells[inside], np.int64)


def _cells_near(grid: Grid, places: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Flat indices, ascending, and centres of the cells at points and of those around."""
    around = np.stack(np.meshgrid((-1.0, 0.0, 1.0), (-1.0, 0.0, 1.0)), axis=-1).reshape(-1, 2)
    at = np.rint(np.column_stack(grid.rows_columns(*places.T)))[:, np.newaxis] + around
    row, column = np.moveaxis(at, -1, 0).reshape(2, -1).astype(np.int64)
    inside = (row >= 0) & (row < grid.shape[0]) & (column >= 0) & (column < grid.shape[1])
    cells = np.unique(row[inside] * grid.shape[1] + column[inside])
    return cells, np.column_stack(grid.centres(*np.divmod(cells, grid.shape[1])))


def footprint_parts(line: LevelLine, shape: ShapedSwale) -> FootprintParts:
    """Ground that a swale takes, leg by leg.

    Parameters
    ----------
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it, of the same stations.

    Returns
    -------
    FootprintParts
        Works and pond of every leg, and the returns were the line to begin or end at any station.

    Notes
    -----
    The pond's edge lies where the sill's level meets the slope of the ground, no farther uphill than the line's own
    catchment.

    Examples
    --------
    >>> from swalekit.section import Section, Stations
    >>> xy = np.array([[0.0, 0.0], [10.0, 0.0], [20.0, 0.0]])
    >>> line = LevelLine(10.0, False, xy, np.full(3, 10.0), np.full(3, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(3, 10.0)), Section(), 0.5, 10.4)
    >>> parts = footprint_parts(line, shape)
    >>> parts.works_m[0, :, 1].round(1), parts.wet_m[0, :, 1].round(1)
    (array([ 1.2,  1.2, -4.4, -4.4]), array([ 2.5,  2.5, -4.4, -4.4]))
    """
    (x, _), stations, section = shape.nodes, shape.stations, shape.section
    sill_m = np.maximum(shape.station_crest_m - section.freeboard_m, 0.0)
    pond_m = np.minimum(sill_m / np.maximum(stations.slope, _LEAST_SLOPE), stations.reach_m)
    at_stations = shape.station_depth_m, shape.station_crest_m, stations.slope
    outline = shape_returns(section, *at_stations, reach_m=stations.half_way_reach_m).outline_m
    onward = np.column_stack([-line.downhill[:, 1], line.downhill[:, 0]])
    axes = np.stack([np.stack([sign * onward, line.downhill], axis=1) for sign in (-1.0, 1.0)])
    corners = line.xy[:, np.newaxis] + outline @ axes
    lip, toe = _with_crossings(line, shape, x[UPHILL_LIP], x[DOWNHILL_TOE])
    return FootprintParts(
        _strips(line, lip, toe),
        _strips(line, np.minimum(lip, -pond_m), toe),
        np.stack([corners[:, :, _SHANK], corners[:, :, _ARM]], axis=2),
    )


def _footprint(
    line: LevelLine,
    shape: ShapedSwale,
    reach_m: tuple[NDArray[np.float64], NDArray[np.float64]],
    *,
    snap_m: float | None,
) -> shapely.MultiPolygon:
    strips = shapely.polygons(_strips(line, *reach_m))
    returns = shapely.polygons(outline_xy(line, shape.returns))
    whole = shapely.union_all(shapely.make_valid([*strips, *returns]), grid_size=snap_m)
    return shapely.MultiPolygon([part for part in shapely.get_parts(whole) if isinstance(part, shapely.Polygon)])


def _with_crossings(
    line: LevelLine, shape: ShapedSwale, inner_m: NDArray[np.float64], outer_m: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Distances downhill of the stations at which the works begin and end, with the ramps of crossings."""
    inner, outer = inner_m.copy(), outer_m.copy()
    for works in shape.crossings:
        away_m = np.abs(line.chainage_m - works.place.chainage_m)
        if line.closed:
            away_m = np.minimum(away_m, line.length_m - away_m)
        beneath = away_m <= works.half_length_m + line.spacing_m
        least, greatest = works.span_m
        inner[beneath], outer[beneath] = np.minimum(inner[beneath], least), np.maximum(outer[beneath], greatest)
    return inner, outer


def _strips(line: LevelLine, inner_m: NDArray[np.float64], outer_m: NDArray[np.float64]) -> Quads:
    """Ground between two distances downhill of a line, leg by leg."""
    inner, outer = _edge(line, inner_m), _edge(line, outer_m)
    return np.stack([inner[:-1], inner[1:], outer[1:], outer[:-1]], axis=1)


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
