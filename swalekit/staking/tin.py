"""The ground as built near the works as triangles, for machine control."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import Delaunay

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import chainages
from swalekit.earthwork.built_ground import BuiltGround
from swalekit.earthwork.works import finish_ground
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.kernels.earthwork_surface import GROUND
from swalekit.kernels.section_nodes import DOWNHILL_TOE, UPHILL_LIP
from swalekit.section.footprint import works_footprint
from swalekit.section.laid_swale import LaidSwale
from swalekit.section.returns import end_axes
from swalekit.terrain.terrain import Terrain

Points = NDArray[np.float64]

_ROW_M = 1.0  # greatest distance between rows across a line
_RETURN_ROW_M = 0.15
_ACROSS_M = 0.025  # at which rows are looked at
_FLAT_M = 0.005  # by which what is left out of a row may lie off it
_FACE_M = 0.01  # in plan, for an upright face
_FACE_STEPS = 4  # from point to point along one, at most
_BEYOND = 1.5  # times the reach of the works on plane ground
_SAME_ROW_M = 0.05
_ROOM_M = 0.25  # between edges of the works and points of the ground


@one_line("xyz", "faces")
@dataclass(frozen=True, eq=False)
class Tin(Frozen):
    """A surface of triangles.

    Parameters
    ----------
    xyz : ndarray of float64, shape (n, 3)
        Easting, northing and height of the points [m].
    faces : ndarray of int64, shape (m, 3)
        Points of each triangle, counted from 0, anticlockwise seen from above.
    """

    xyz: NDArray[np.float64]
    faces: NDArray[np.int64]


def triangulate(
    terrain: Terrain, built: BuiltGround, swales: Sequence[LaidSwale], *, margin_m: float = 2.0, ground_m: float = 1.0
) -> Tin:
    """Join the edges of the works, and the ground round them, to triangles.

    Parameters
    ----------
    terrain : Terrain
        Natural ground.
    built : BuiltGround
        The ground as built: where works of another swale stand, those of this one aren't drawn.
    swales : sequence of LaidSwale
        The swales that were built, in the same order.
    margin_m : float
        Width of the strip of untouched ground round the works [m].
    ground_m : float
        Least distance between points of untouched ground [m].

    Returns
    -------
    Tin
        Points that belong to a triangle, and the triangles.

    Raises
    ------
    InputError
        If no ground near the works is known.

    Notes
    -----
    Rows across the line stand at its stations and at most 1 m apart, at both sides of the sill's ends, at both sides of
    the ends of the line, and closer on the faces of crossings; others lie across the returns. A row follows the
    finished ground from daylight to daylight and keeps the points that it needs to stay within 5 mm of it. Edges that
    run along the works are closer from row to row than to the next edge beside them, so that Delaunay's triangles don't
    cross them.

    Examples
    --------
    >>> from swalekit.design.survey import stake_design
    >>> tin = triangulate(terrain, design.surface, stake_design(design).swales)
    >>> tin.xyz.shape[1], tin.faces.shape[1]
    (3, 3)
    """
    bands = [works_footprint(swale.line, swale.shape).buffer(margin_m) for swale in swales]
    points = [_ground(terrain, built, bands, ground_m)]
    for number, swale in enumerate(swales, start=1):
        drawn = np.concatenate(
            [
                _drawn(terrain, swale, _rows(swale), beside=True),
                *(_drawn(terrain, swale, rows, beside=False) for rows in _return_rows(swale)),
            ]
        )
        owner = _owner(built, drawn[:, :2])
        points.append(drawn[(owner == number) | (owner <= 0)])
    xyz = np.concatenate(points)
    if len(xyz) < 3:
        message = f"no ground within {margin_m:g} m of the works is known, so there is no surface to write"
        raise InputError(message)
    corner = xyz[:, :2].min(axis=0)
    faces = Delaunay(xyz[:, :2] - corner).simplices
    first, second, third = np.moveaxis(xyz[faces, :2], 1, 0)
    double_m2 = np.linalg.det(np.stack([second - first, third - first], axis=1))
    faces = np.where(double_m2[:, np.newaxis] > 0.0, faces, faces[:, ::-1])
    near = shapely.union_all(bands)
    shapely.prepare(near)
    middle = (first + second + third) / 3.0
    known = np.isfinite(terrain.heights[_cell(terrain, middle)])
    faces = faces[(np.abs(double_m2) > 1e-9) & known & shapely.contains_xy(near, *middle.T)]
    used, faces = np.unique(faces, return_inverse=True)
    return Tin(xyz[used], faces.reshape(-1, 3))


def _cell(terrain: Terrain, xy: Points) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Row and column of the cells that points lie in, of the outermost ones beyond the tile."""
    row, column = (np.rint(place).astype(np.intp) for place in terrain.grid.rows_columns(*xy.T))
    return row.clip(0, terrain.grid.shape[0] - 1), column.clip(0, terrain.grid.shape[1] - 1)


def _owner(built: BuiltGround, xy: Points) -> NDArray[np.int32]:
    """Number of the swale whose works stand in the fine cell of each point, 0 for none, -1 where none is cut up."""
    place = np.stack(built.grid.rows_columns(*xy.T)) + 0.5
    row, column = (part.astype(np.intp).clip(0, size - 1) for part, size in zip(place, built.grid.shape, strict=True))
    fine_row, fine_column = ((place - [row, column]) * built.k).astype(np.intp).clip(0, built.k - 1)
    block = built.block[row, column].astype(np.int64)
    node = built.grid.n_cells + (block * built.k + fine_row) * built.k + fine_column
    return np.where(block < 0, -1, built.swale[np.where(block < 0, 0, node)])


def _ground(terrain: Terrain, built: BuiltGround, bands: Sequence[shapely.Geometry], ground_m: float) -> Points:
    """Centres of cells in the bands, and the next ones round them, but not in the works; with heights, shape (n, 3)."""
    grid, step = terrain.grid, max(1, round(ground_m / terrain.grid.cell_m))
    found = [np.empty((0, 3))]
    for band in (band.buffer(step * grid.cell_m) for band in bands):
        west, south, east, north = band.bounds
        (top, bottom), (left, right) = grid.rows_columns([west, east], [north, south])
        rows = np.arange(max(int(top), 0) // step * step, min(int(bottom) + 2, grid.shape[0]), step)
        columns = np.arange(max(int(left), 0) // step * step, min(int(right) + 2, grid.shape[1]), step)
        row, column = (part.ravel() for part in np.meshgrid(rows, columns, indexing="ij"))
        x, y = grid.centres(row, column)
        shapely.prepare(band)
        taken = shapely.contains_xy(band, x, y) & np.isfinite(terrain.heights[row, column])
        found.append(np.column_stack([x, y, terrain.heights[row, column]])[taken])
    points = np.unique(np.concatenate(found), axis=0)
    beside = [[0.0, 0.0], [_ROOM_M, 0.0], [-_ROOM_M, 0.0], [0.0, _ROOM_M], [0.0, -_ROOM_M]]
    free = np.all([_owner(built, points[:, :2] + shift) <= 0 for shift in beside], axis=0)
    return points[free]


class _Rows(NamedTuple):
    """Rows of points: where each begins and its direction, shape (n, 2), and distances along all of them [m].

    From ``first_face`` on they stand at upright faces, where rows on both sides need points at the same distances; so
    do those of each crossing.
    """

    origin: Points
    across: Points
    along_m: Points
    first_face: int
    crossings: tuple[NDArray[np.intp], ...] = ()


def _rows(swale: LaidSwale) -> _Rows:
    """Rows across the line, those just beyond its ends last."""
    line, shape, (x, _) = swale.line, swale.shape, swale.shape.nodes
    walked = chainages(line.path)
    legs = np.maximum(np.ceil(np.diff(walked) / _ROW_M).astype(int), 1)
    even = np.interp(np.arange(legs.sum() + 1), np.append(0, np.cumsum(legs)), walked)[: -1 if line.closed else None]
    for works in shape.crossings:
        middle_m, edge_m, face_m = works.place.chainage_m, works.place.width_m / 2.0, works.half_length_m
        places = np.append(np.arange(edge_m, face_m, _RETURN_ROW_M), face_m)
        breaks = middle_m + np.concatenate([-places[::-1], places])
        breaks = np.mod(breaks, line.length_m) if line.closed else breaks
        even = np.union1d(even[np.abs(np.subtract.outer(even, breaks)).min(axis=1) > _SAME_ROW_M], breaks)
    sill_ends = swale.sill_chainage_m + swale.sill_length_m * np.array([-0.5, 0.5])
    stops = np.add.outer(sill_ends, [-_FACE_M, _FACE_M]).ravel()
    ends = [] if line.closed else [_FACE_M, line.length_m - _FACE_M]
    stops = np.append(stops % line.length_m if line.closed else stops[(stops > 0.0) & (stops < line.length_m)], ends)
    even = even[np.abs(np.subtract.outer(even, stops)).min(axis=1) > _ROOM_M]
    legs_xy = np.diff(line.path, axis=0)[np.searchsorted(walked, stops) - 1]
    beyond, downhill = end_axes(line)[:, 0], end_axes(line)[:, 1]
    origin = line.at(line.xy.T, np.append(even, stops)).T
    origin = np.vstack([origin, line.xy[[0, -1]][: len(beyond)] + _FACE_M * beyond])
    across = np.vstack([line.at(line.downhill.T, even).T, legs_xy[:, ::-1] * [1.0, -1.0], downhill])
    across /= np.hypot(*across.T)[:, np.newaxis]
    half_m = shape.section.bottom_width_m / 2.0
    spans = [works.span_m for works in shape.crossings]
    least_m = min([float(x[UPHILL_LIP].min()), *(least for least, _ in spans)])
    greatest_m = max([float(x[DOWNHILL_TOE].max()), *(greatest for _, greatest in spans)])
    reach_m = np.arange(_BEYOND * least_m, _BEYOND * greatest_m, _ACROSS_M)
    crossings = tuple(
        np.flatnonzero(_away_m(line, even, works.place.chainage_m) <= works.half_length_m + _SAME_ROW_M)
        for works in shape.crossings
    )
    return _Rows(origin, across, np.unique(np.append(reach_m, [-half_m, half_m])), len(even), crossings)


def _away_m(line: LevelLine, chainage_m: Points, place_m: float) -> Points:
    """Distance of places along a line from one of them."""
    away_m = np.abs(chainage_m - place_m)
    return np.minimum(away_m, line.length_m - away_m) if line.closed else away_m


def _return_rows(swale: LaidSwale) -> list[_Rows]:
    """Rows across the returns."""
    line, returns, rows = swale.line, swale.shape.returns, []
    for end, (beyond, downhill) in enumerate(end_axes(line)):
        outline, edges = (
            _BEYOND * returns.outline_m[end],
            (returns.inner_corner_m[end, 1], returns.outer_corner_m[end, 1]),
        )
        at = np.unique(np.append(np.arange(outline[:, 1].min(), outline[:, 1].max(), _RETURN_ROW_M), edges))
        origin = line.xy[-end] + at[:, np.newaxis] * downhill
        along_m = np.arange(_ROOM_M, outline[:, 0].max(), _ACROSS_M)
        rows.append(_Rows(origin, np.broadcast_to(beyond, origin.shape), along_m, len(origin)))
    return rows


def _drawn(terrain: Terrain, swale: LaidSwale, rows: _Rows, *, beside: bool) -> Points:
    """Points that rows need to follow the works, shape (n, 3); those beside the line only where no other is nearer."""
    shape = len(rows.origin), rows.along_m.size
    xy = rows.origin[:, np.newaxis] + rows.across[:, np.newaxis] * rows.along_m[:, np.newaxis]
    sill = (swale.sill_chainage_m, swale.sill_length_m)
    found = finish_ground(terrain, swale.line, swale.shape, xy.reshape(-1, 2), sill=sill)
    heights, works = found.heights.reshape(shape), (found.part != GROUND).reshape(shape)
    taken = np.isfinite(heights)
    if beside:
        if not swale.line.closed:
            works[-2:] |= works[-4:-2]
        seen_m = found.offset_m.reshape(shape) * np.sign(rows.along_m)
        taken &= seen_m > 0.9 * np.abs(rows.along_m) - _ACROSS_M
    works &= taken
    taken &= np.logical_or.accumulate(works, axis=1) & np.logical_or.accumulate(works[:, ::-1], axis=1)[:, ::-1]
    taken &= (taken.sum(axis=1) > 1)[:, np.newaxis]
    row, step = np.nonzero(taken)
    drawn = np.unique(row)
    lines = shapely.linestrings(
        np.column_stack([step * _ACROSS_M, heights[taken]]), indices=np.searchsorted(drawn, row)
    )
    simple = shapely.simplify(lines, _FLAT_M, preserve_topology=False)
    kept, line = shapely.get_coordinates(simple, return_index=True)
    needed = np.zeros(shape, bool)
    needed[drawn[line], np.rint(kept[:, 0] / _ACROSS_M).astype(int)] = True
    faces = needed[rows.first_face :]
    faces |= faces.any(axis=0) | (np.arange(shape[1]) % _FACE_STEPS == 0)
    for crossed in rows.crossings:
        needed[crossed] = needed[crossed].any(axis=0)
    needed &= taken
    return np.column_stack([xy[needed], heights[needed]])
