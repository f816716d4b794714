"""Terrain from point clouds: LAS and LAZ files, gridded to ground heights."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from affine import Affine
from numpy.typing import NDArray
from pyproj import CRS, Transformer

from swalekit.errors import TerrainError
from swalekit.formats.terrain.footprint import Footprint, filled_squares, plain_cell_m
from swalekit.formats.terrain.las_file import CloudHeader, open_cloud, points_of, read_cloud_header
from swalekit.formats.terrain.memory import arrays_for
from swalekit.formats.terrain.point_grid import Placed, low_heights, mean_heights, share_of_gaps
from swalekit.formats.terrain.target_grid import Target, choose_target
from swalekit.formats.terrain.tile_header import TileHeader

_SQUARE_M, _METRES_A_DEGREE = 0.25, 111_320.0


@dataclass(frozen=True, eq=False)
class Survey:
    """What a first look at all points found.

    Parameters
    ----------
    name : str
        File or folder as the user gave it.
    clouds : tuple of CloudHeader
        Its files.
    ground : Footprint
        Of the points classed as ground, or of all that may be where none is.
    classed : bool
        Whether points are classed as ground.
    """

    name: str
    clouds: tuple[CloudHeader, ...]
    ground: Footprint
    classed: bool


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
    survey = _surveyed(name, _headers(files, crs=crs, vertical_unit=vertical_unit))
    target, spacing_m = _chosen_grid(survey, crs=crs, cell_m=cell_m)
    allocate = arrays_for(target.grid.n_cells, target.grid.cell_m, name=name, memory_bytes=memory_bytes)
    grid = replace(target.grid, allocate=allocate)
    gridded = mean_heights if survey.classed else low_heights
    heights, count = gridded(_placed(survey, grid.crs), grid)
    notes = (*_told(survey, spacing_m), *_told_grid(survey, target, cell_m, share_of_gaps(count)))
    header = TileHeader(name, grid.shape, grid.transform, grid.crs, 1.0, notes)
    return header, Target(grid, 1, spacing_m, ""), heights


def _headers(files: Sequence[str], *, crs: CRS | None, vertical_unit: str | None) -> tuple[CloudHeader, ...]:
    """What the files say about themselves, which has to go together."""
    headers = []
    for file in files:
        with open_cloud(file) as reader:
            headers.append(read_cloud_header(reader, file, crs=crs, vertical_unit=vertical_unit))
    first = headers[0]
    for header in headers[1:]:
        if not header.crs.equals(first.crs, ignore_axis_order=True):
            message = (
                f"terrain '{header.name}' is in {header.crs.name}, '{first.name}' in {first.crs.name}; point clouds of "
                "one folder must share their CRS: bring them to one first"
            )
            raise TerrainError(message)
    return tuple(headers)


def _surveyed(name: str, clouds: tuple[CloudHeader, ...]) -> Survey:
    """Where the points of all files lie, and whether some are classed as ground."""
    crs = clouds[0].crs
    unit_m = crs.axis_info[0].unit_conversion_factor if crs.is_projected else _METRES_A_DEGREE
    ground = rest = Footprint(_SQUARE_M / unit_m)
    unclassed = []
    for cloud in clouds:
        n_ground, never_classed = ground.n_points, True
        with open_cloud(cloud.name) as reader:
            for points in points_of(reader, cloud):
                ground = ground.with_points(points.x[points.ground], points.y[points.ground])
                never_classed &= bool(points.never_classed.all())
                if not ground.n_points:
                    rest = rest.with_points(points.x, points.y)
        if ground.n_points == n_ground and never_classed:
            unclassed.append(cloud)
    if ground.n_points and unclassed:
        message = (
            f"terrain '{unclassed[0].name}' is not classified, and other files of '{name}' are: classify its ground "
            "(class 2) too, or leave it out"
        )
        raise TerrainError(message)
    if not ground.n_points and not rest.n_points:
        message = (
            f"terrain '{name}' holds no usable point: all {_total(clouds):,} are noise, withheld or at no possible "
            "height; check its classes and vertical_unit"
        )
        raise TerrainError(message)
    return Survey(name, clouds, filled_squares(ground if ground.n_points else rest), ground.n_points > 0)


def _total(clouds: Sequence[CloudHeader]) -> int:
    return sum(cloud.n_points for cloud in clouds)


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
    n_used, n_points, density = survey.ground.n_points, _total(survey.clouds), f"{spacing_m**-2:.3g} a m²"
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
