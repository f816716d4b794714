"""The ground as built, on the raster: the second, independent route to the volumes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.earthwork.line_offsets import line_offsets
from swalekit.grid import Grid
from swalekit.section.profile import profile
from swalekit.section.returns import BermReturns, end_axes
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_SUBCELLS = 4  # a side of a cell
_CHUNK_CELLS = 16_384
_MARGIN = 1.5  # on the plane section's reach, for ground that isn't plane


@dataclass(frozen=True, eq=False)
class DesignSurface:
    """Heights as built, and the volumes between them and the ground.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Finished height, the mean over each cell; NaN where the terrain is void [m].
    cut_m3, fill_m3 : ndarray of float64, shape (swales,)
        Cut and fill of each swale [m³].
    """

    heights: NDArray[np.float32]
    cut_m3: NDArray[np.float64]
    fill_m3: NDArray[np.float64]


def build_design_surface(
    terrain: Terrain,
    lines: Sequence[LevelLine],
    shapes: Sequence[ShapedSwale],
    *,
    sills: Sequence[tuple[float, float]] | None = None,
) -> DesignSurface:
    """Carve ditches into the terrain and set berms on it.

    Parameters
    ----------
    terrain : Terrain
        Natural ground.
    lines : sequence of LevelLine
        Lines with downhill on the right.
    shapes : sequence of ShapedSwale
        The swale on each line, of the same stations.
    sills : sequence of (float, float), optional
        Chainage of the middle of each line's sill, and its length [m]: there the berm is built to the sill's level.

    Returns
    -------
    DesignSurface
        Heights as built, with cut and fill a swale.

    Notes
    -----
    Each cell near a line is seen through 4 × 4 points. At each, the ground (bilinear between cell centres) is cut to
    the planes of the ditch where they lie lower, and raised to the planes of the berm where they lie higher, by the
    point's distance from the line. Neither the areas of the sections nor their plane ground are used, so that it
    checks them: on smooth ground both routes agree within 3 %. An open line's ditch ends with its end stations, as its
    end areas do; beyond them the ground is raised to the planes of the returns. They follow the ground half as far
    again as a plane would need, for ground that isn't plane, but no farther than the pond reaches.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> ground = Terrain.from_heights(np.zeros((4, 4)), Grid.from_corner((4, 4), cell_m=1.0))
    >>> build_design_surface(ground, [], []).heights.shape
    (4, 4)
    """
    heights = terrain.heights.copy()
    cut = np.zeros(len(lines))
    fill = np.zeros(len(lines))
    places = [(0.0, 0.0)] * len(lines) if sills is None else sills
    for index, (line, shape, sill) in enumerate(zip(lines, shapes, places, strict=True)):
        planes = np.vstack([_station_planes(shape), line.chainage_m])
        near = np.union1d(_cells_beside(terrain.grid, line, shape), _cells_at_ends(terrain.grid, line, shape))
        for start in range(0, near.size, _CHUNK_CELLS):
            cells = near[start : start + _CHUNK_CELLS]
            lowered, raised = _cut_and_fill_m(terrain, line, shape, planes, cells, sill)
            heights.ravel()[cells] += (raised - lowered).astype(np.float32)
            cut[index] += lowered.sum() * terrain.grid.cell_area_m2
            fill[index] += raised.sum() * terrain.grid.cell_area_m2
    return DesignSurface(heights, cut, fill)


def _offset_range_m(shape: ShapedSwale) -> tuple[float, float]:
    """Farthest uphill (negative) and downhill distance from the line at which earth is moved."""
    x, _ = profile(shape.section, shape.station_depth_m, shape.station_crest_m, shape.stations.slope, reach_m=0.0)
    return _MARGIN * float(x.min()), _MARGIN * float(x.max())


def _station_planes(shape: ShapedSwale) -> NDArray[np.float64]:
    """Floor level, distance and level of the berm's uphill toe, distance of the crest's outer edge, shape (4, n)."""
    stations = shape.stations
    x, _ = profile(shape.section, shape.station_depth_m, shape.station_crest_m, stations.slope, reach_m=0.0)
    toe = x[4] + shape.section.bench_m
    floor_level = stations.ground_m - shape.station_depth_m
    return np.stack([floor_level, toe, stations.ground_m - stations.slope * toe, x[7]])


def _cells_beside(grid: Grid, line: LevelLine, shape: ShapedSwale) -> NDArray[np.int64]:
    """Flat indices of the cells where a line's ditch and berm may lie."""
    uphill_m, downhill_m = _offset_range_m(shape)
    rows, columns = grid.rows_columns(line.xy[:, 0], line.xy[:, 1])
    radius = int(np.ceil((max(-uphill_m, downhill_m) + line.spacing_m / 2.0) / grid.cell_m)) + 1
    window = np.arange(-radius, radius + 1)
    row = np.rint(rows).astype(np.int64)[:, np.newaxis, np.newaxis] + window[:, np.newaxis]
    column = np.rint(columns).astype(np.int64)[:, np.newaxis, np.newaxis] + window
    row, column = np.broadcast_arrays(row, column)
    inside = (row >= 0) & (row < grid.shape[0]) & (column >= 0) & (column < grid.shape[1])
    cells = np.unique(row[inside] * grid.shape[1] + column[inside])
    centres = np.column_stack(grid.centres(cells // grid.shape[1], cells % grid.shape[1]))
    offset = line_offsets(line.xy, centres, closed=line.closed).offset_m
    return np.asarray(cells[(offset > uphill_m - grid.cell_m) & (offset < downhill_m + grid.cell_m)])


def _cells_at_ends(grid: Grid, line: LevelLine, shape: ShapedSwale) -> NDArray[np.int64]:
    """Flat indices of the cells where a line's returns may lie."""
    found = [np.empty(0, np.int64)]
    for end, axes in enumerate(end_axes(line)):
        beyond, downhill = np.transpose(_return_bounds_m(shape.returns, end))
        corners = np.array([[along, across] for along in beyond for across in downhill])
        rows, columns = grid.rows_columns(*(line.xy[-end] + corners @ axes).T)
        row = np.arange(max(np.floor(rows.min()), 0), min(np.ceil(rows.max()) + 1, grid.shape[0]), dtype=np.int64)
        column = np.arange(
            max(np.floor(columns.min()), 0), min(np.ceil(columns.max()) + 1, grid.shape[1]), dtype=np.int64
        )
        found.append((row[:, np.newaxis] * grid.shape[1] + column).ravel())
    return np.concatenate(found)


def _cut_and_fill_m(
    terrain: Terrain,
    line: LevelLine,
    shape: ShapedSwale,
    planes: NDArray[np.float64],
    cells: NDArray[np.int64],
    sill: tuple[float, float],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean depth of cut and mean height of fill in every cell."""
    within = (np.arange(_SUBCELLS) + 0.5) / _SUBCELLS - 0.5
    row = (cells // terrain.grid.shape[1])[:, np.newaxis, np.newaxis] + within[:, np.newaxis]
    column = (cells % terrain.grid.shape[1])[:, np.newaxis, np.newaxis] + within
    x, y = (part.ravel() for part in terrain.grid.centres(*np.broadcast_arrays(row, column)))
    ground = sample_heights(terrain, x, y)
    points = np.column_stack([x, y])
    seen = line_offsets(line.xy, points, closed=line.closed)
    floor, toe, toe_level, outer_edge, chainage = seen.along(planes)
    farthest_m, _ = _offset_range_m(shape)
    ditch = np.where(
        seen.beside & (seen.offset_m > farthest_m) & (seen.offset_m < toe),
        floor + _ditch_rise_m(shape.section, seen.offset_m),
        np.inf,
    )
    berm = np.where(
        seen.beside & (seen.offset_m > 0),
        np.minimum(
            toe_level + (seen.offset_m - toe) / shape.section.berm_uphill_side_slope,
            shape.crest_level_m - (seen.offset_m - outer_edge) / shape.section.berm_downhill_side_slope,
        ),
        -np.inf,
    )
    middle_m, length_m = sill
    at_sill = seen.beside & (np.abs(chainage - middle_m) < length_m / 2.0)
    top = np.where(at_sill, shape.sill_level_m, shape.crest_level_m)
    fill = np.minimum(np.maximum(berm, _returns_level_m(line, shape, points)), top)
    known = np.isfinite(ground)
    lowered = np.where(known, np.maximum(ground - ditch, 0.0), 0.0)
    raised = np.where(known, np.maximum(fill - ground, 0.0), 0.0)
    shape_of_cells = (cells.size, _SUBCELLS**2)
    return lowered.reshape(shape_of_cells).mean(axis=1), raised.reshape(shape_of_cells).mean(axis=1)


def _ditch_rise_m(section: Section, offset_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Height of the ditch's planes above its floor."""
    half = section.bottom_width_m / 2.0
    uphill = (-half - offset_m) / section.uphill_side_slope
    downhill = (offset_m - half) / section.downhill_side_slope
    return np.maximum(np.maximum(uphill, downhill), 0.0)


def _returns_level_m(line: LevelLine, shape: ShapedSwale, points_xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """Level of the faces of the returns, minus infinity where there are none.

    Berm and return meet in an L: on its outside the lower of their faces counts, on its inside the higher.
    """
    level = np.full(len(points_xy), -np.inf)
    returns, section = shape.returns, shape.section
    for end, axes in enumerate(end_axes(line)):
        place = (points_xy - line.xy[-end]) @ axes.T  # the first station is 0, the last -1
        lowest, highest = _return_bounds_m(returns, end)
        near = np.flatnonzero(((place > lowest) & (place < highest)).all(axis=1))
        rising = (place[near] - returns.inner_corner_m[end]) / section.berm_uphill_side_slope
        falling = (returns.outer_corner_m[end] - place[near]) / section.berm_downhill_side_slope
        faces = shape.crest_level_m + np.minimum(rising.max(axis=1), falling.min(axis=1))
        level[near] = np.maximum(level[near], faces)
    return level


def _return_bounds_m(returns: BermReturns, end: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Least and greatest distance beyond an end station, and downhill of it, at which its return raises the ground."""
    turn, outline = returns.inner_corner_m[end], returns.outline_m[end]
    lowest, highest = (turn + _MARGIN * (corner - turn) for corner in (outline.min(axis=0), outline.max(axis=0)))
    return np.maximum(lowest, [0.0, -returns.reach_m[end]]), highest
