"""Terrain from point clouds: LAS and LAZ files, gridded to ground heights."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from affine import Affine
from numpy.typing import NDArray
from pyproj import CRS, Transformer

from swalekit.errors import TerrainError
from swalekit.formats.terrain.cloud_survey import Survey, survey_clouds
from swalekit.formats.terrain.footprint import plain_cell_m
from swalekit.formats.terrain.las_file import open_cloud
from swalekit.formats.terrain.las_points import points_of
from swalekit.formats.terrain.memory import arrays_for
from swalekit.formats.terrain.point_grid import Placed, low_heights, mean_heights, share_of_gaps
from swalekit.formats.terrain.target_grid import Target, choose_target
from swalekit.formats.terrain.tile_header import TileHeader


def read_point_cloud(
    name: str,
    files: Sequence[str],
    *,
    crs: CRS | None,
    vertical_unit: str | None,
    cell_m: float | None,
    memory_bytes: int | None,
) -> tuple[TileHeader, Target, NDArray[np.float32]]:
    """Ground heights from point clouds, on the metric grid that suits them.

    Parameters
    ----------
    name : str
        File or folder as the user gave it.
    files : sequence of str
        Its LAS or LAZ files.
    crs : CRS or None
        Taken for files that name none; otherwise the metric CRS that the points are brought to.
    vertical_unit : str or None
        ``m``, ``ft`` or ``us-ft``; goes before what a file says.
    cell_m : float or None
        Side of the cells [m]; without it the least of 0.25, 0.5, 1, 2, 5 and so on with which four points or more
        fall in a cell on average.
    memory_bytes : int or None
        Memory the plan may use; by default what is free on this machine.

    Returns
    -------
    header : TileHeader
        The frame, and what was decided on the way.
    target : Target
        The grid; its native cell is the distance between points.
    heights : ndarray of float32, shape (rows, columns)
        Heights [m]: mean of the points classed as ground, or where the survey has none a low one of all; NaN in cells
        without a point.

    Raises
    ------
    TerrainError
        If a file can't be read or has no usable point, the files don't go together, or the grid is too large.

    Notes
    -----
    Every file is read twice, first for where the points lie and then for their heights, chunk by chunk: in memory are
    the grid and a chunk. Points are brought to the metric CRS before they are gridded. A CRS that stands behind the
    points, in an extended record, isn't read.

    References
    ----------
    .. [1] ASPRS (2019). LAS specification 1.4, R15.

    Examples
    --------
    >>> import laspy
    >>> from tempfile import TemporaryDirectory
    >>> cloud = laspy.LasData(laspy.LasHeader(version="1.4", point_format=6))
    >>> cloud.x, cloud.y = 500_000.5 + np.arange(64) % 8, 4_000_000.5 + np.arange(64) // 8
    >>> cloud.z, cloud.classification = np.full(64, 101.5), np.full(64, 2)
    >>> with TemporaryDirectory() as folder:
    ...     cloud.write(f"{folder}/hill.laz")
    ...     reference = {"crs": CRS("EPSG:32630"), "vertical_unit": "m"}
    ...     _, target, heights = read_point_cloud(
    ...         "hill", [f"{folder}/hill.laz"], **reference, cell_m=None, memory_bytes=None
    ...     )
    >>> target.grid
    Grid(shape 4 × 4, cell 2 m, WGS 84 / UTM zone 30N)
    >>> print(heights[0])
    [101.5 101.5 101.5 101.5]
    """
    survey = survey_clouds(name, files, crs=crs, vertical_unit=vertical_unit)
    target, spacing_m = _chosen_grid(survey, crs=crs, cell_m=cell_m)
    allocate = arrays_for(target.grid.n_cells, target.grid.cell_m, name=name, memory_bytes=memory_bytes)
    grid = replace(target.grid, allocate=allocate)
    gridded = mean_heights if survey.classed else low_heights
    heights, count = gridded(_placed(survey, grid.crs), grid)
    notes = (*_told(survey, spacing_m), *_told_grid(survey, target, cell_m, share_of_gaps(count)))
    header = TileHeader(name, grid.shape, grid.transform, grid.crs, 1.0, notes)
    return header, Target(grid, 1, spacing_m, ""), heights


def _chosen_grid(survey: Survey, *, crs: CRS | None, cell_m: float | None) -> tuple[Target, float]:
    """The grid for a survey, and the distance between its points [m]."""
    by_squares = choose_target(_frame(survey, survey.ground.square), crs=crs, cell_m=None)
    m_per_unit = by_squares.native_cell_m / survey.ground.square if by_squares.warp_reason else 1.0
    spacing_m = m_per_unit * math.sqrt(survey.ground.area / survey.ground.n_points)
    cell = cell_m or plain_cell_m(spacing_m**-2)
    if cell < 0.9 * spacing_m:
        message = (
            f"cell_m = {cell:g} is finer than the points of terrain '{survey.name}' are apart ({spacing_m:.3g} m); "
            "leave it out or give a larger one"
        )
        raise TerrainError(message)
    breadth_m = m_per_unit * survey.ground.breadth
    if breadth_m < 2.0 * cell:
        message = (
            f"terrain '{survey.name}' has its points within a strip {breadth_m:.3g} m broad, less than two cells of "
            f"{cell:g} m; {'give a smaller cell_m' if cell_m else 'a terrain needs an area with points all over it'}"
        )
        raise TerrainError(message)
    return choose_target(_frame(survey, cell / m_per_unit), crs=crs, cell_m=cell), spacing_m


def _frame(survey: Survey, cell: float) -> TileHeader:
    """Frame of whole cells around the points, in the CRS of the files and its unit."""
    west, south, east, north = (edge / cell for edge in survey.ground.bounds)
    left, top = math.floor(west), math.ceil(north)
    shape = (max(1, top - math.floor(south)), max(1, math.ceil(east) - left))
    return TileHeader(
        survey.name, shape, Affine(cell, 0.0, left * cell, 0.0, -cell, top * cell), survey.clouds[0].crs, 1.0, ()
    )


def _placed(survey: Survey, crs: CRS) -> Placed:
    """Points that count, in the metric CRS."""
    own = survey.clouds[0].crs
    to_grid = None if crs is own else Transformer.from_crs(own, crs, always_xy=True)
    for cloud in survey.clouds:
        with open_cloud(cloud.name) as reader:
            for points in points_of(reader, cloud):
                used = points.ground if survey.classed else slice(None)
                x, y = points.x[used], points.y[used]
                yield (*(to_grid.transform(x, y) if to_grid else (x, y)), points.height_m[used])


def _told(survey: Survey, spacing_m: float) -> Iterator[str]:
    """Sentences on the points."""
    yield from dict.fromkeys(note for cloud in survey.clouds for note in cloud.notes)
    if len(survey.clouds) > 1:
        yield f"{len(survey.clouds)} point clouds joined"
    n_used, n_points, density = survey.ground.n_points, survey.n_points, f"{spacing_m**-2:.3g} a m²"
    if survey.classed:
        yield f"{n_used:,} points of {n_points:,} taken, those classed as ground (class 2): {density}"
    else:
        yield f"{n_used:,} points of {n_points:,} taken: {density}; none is classed as ground"
        yield "plants and roofs stay in the heights unless denoise_radius_m takes them off"


def _told_grid(survey: Survey, target: Target, wanted_cell_m: float | None, gaps: float) -> Iterator[str]:
    """Sentences on how the points became heights."""
    statistic = "mean" if survey.classed else "lowest (of eight or more the second lowest)"
    chosen = "" if wanted_cell_m else ", the least plain width with four points or more on average"
    yield f"height of a cell: {statistic} of its points; cells of {target.grid.cell_m:g} m{chosen}"
    yield f"{100 * gaps:.2g} % of the cells within the survey's outline have no point"
    if target.warp_reason:
        yield f"points brought from {survey.clouds[0].crs.name} to {target.grid.crs.name}: {target.warp_reason}"
