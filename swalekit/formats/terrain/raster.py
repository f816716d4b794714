"""Terrain from a file."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS

from swalekit._checks import check_one_of, check_positive
from swalekit.errors import TerrainError
from swalekit.formats.terrain.mapped_arrays import MappedArrays
from swalekit.formats.terrain.memory import arrays_for
from swalekit.formats.terrain.metric_crs import parse_crs
from swalekit.formats.terrain.point_cloud import read_point_cloud
from swalekit.formats.terrain.target_grid import Target, choose_target
from swalekit.formats.terrain.tile_files import are_clouds, open_tiles, tile_files
from swalekit.formats.terrain.tile_header import TileHeader
from swalekit.formats.terrain.tile_heights import BlockMean, read_heights, warp_heights
from swalekit.formats.terrain.usual_error import usual_error
from swalekit.terrain.bare_ground import bare_ground
from swalekit.terrain.block_mean import block_low_mean, block_mean
from swalekit.terrain.fitness import height_step_m, height_step_words
from swalekit.terrain.terrain import Terrain
from swalekit.terrain.voids import cells_with_height, fill_small_voids
from swalekit.units import METRES_PER


def read_terrain(
    path: str | Path,
    *,
    crs: str | None = None,
    vertical_unit: str | None = None,
    cell_m: float | None = None,
    vertical_sigma_m: float | None = None,
    fill_voids_m2: float = 25.0,
    denoise_radius_m: float = 0.0,
    memory_bytes: int | None = None,
) -> Terrain:
    """Read a terrain tile, or a folder of tiles as one, and bring it to a metric, north-up grid of square cells.

    Parameters
    ----------
    path : str or Path
        GeoTIFF (cloud-optimised or not), ESRI ASCII grid or SRTM HGT file on this machine, or a folder of such files:
        those that don't share the cells of the finest are resampled to them, and where tiles overlap the one goes over
        into the other; band 1 is used. Or a LAS or LAZ point cloud, or a folder of them that share their CRS:
        points classed as ground are taken, where there are none the lowest of all.
    crs : str, optional
        CRS of a file that names none; otherwise the metric CRS the tile is brought to. Without it a tile in
        degrees, feet, or metres that are more than 1 % off is brought to the UTM zone of its centre.
    vertical_unit : str, optional
        ``m``, ``ft`` or ``us-ft``; by default what the file says.
    cell_m : float, optional
        Side of the cells wanted [m]; blocks of cells are averaged on the way in. Without it those of the file, or about
        0.25 m where they are finer; of a point cloud the least plain width with four points or more a cell on average.
    vertical_sigma_m : float, optional
        Standard error of a height [m]; by default assumed from the size of the file's cells, of a point
        cloud from the distance between its points.
    fill_voids_m2 : float
        Greatest enclosed void that is filled [m²]; 0 leaves all.
    denoise_radius_m : float
        Half the width of the widest canopy or roof taken off a drone's surface [m]; 0 takes off none. Of a surface
        blocks are averaged without what stands out of them (`block_low_mean`).
    memory_bytes : int, optional
        Memory the plan may use; by default what is free on this machine. Where the terrain is larger, its arrays and
        those of the plan lie on disk.

    Returns
    -------
    Terrain
        The ground, with a note of every step.

    Raises
    ------
    TerrainError
        If the file can't be read, is no terrain, leaves its CRS or the unit of its heights open, or is too large; or if
        a tile of a folder stands more than 1 m above another where they meet.

    Examples
    --------
    >>> import tempfile
    >>> import numpy as np
    >>> from swalekit.formats.terrain.cog import write_terrain
    >>> from swalekit.grid import Grid
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "ground.tif"
    ...     write_terrain(path, np.full((4, 4), 101.5), Grid.from_corner((4, 4), cell_m=1.0))
    ...     read_terrain(path, cell_m=2.0).grid
    Grid(shape 2 × 2, cell 2 m, WGS 84 / UTM zone 30N)
    """
    if vertical_unit is not None:
        check_one_of(tuple(METRES_PER), vertical_unit=vertical_unit)
    if cell_m is not None:
        check_positive(cell_m=cell_m)
    wanted = None if crs is None else parse_crs(crs)
    files = tile_files(path)
    clouds = are_clouds(files)
    mean = block_low_mean if denoise_radius_m else block_mean
    read = read_point_cloud if clouds else partial(_read_tiles, mean=mean)
    header, target, heights = read(
        str(path), files, crs=wanted, vertical_unit=vertical_unit, cell_m=cell_m, memory_bytes=memory_bytes
    )
    step_m = height_step_m(heights)
    if target.warp_reason:
        heights = warp_heights(heights, header, target)
    valid = cells_with_height(target.grid, heights)
    if not valid.any():
        message = f"terrain '{path}' holds no ground: every cell is void; check its nodata value"
        raise TerrainError(message)
    notes = [*header.notes, *_told(header, target, cell_m)]
    on_disk = isinstance(target.grid.allocate, MappedArrays)
    if on_disk:
        notes.append("the terrain is larger than memory: it was worked on from disk")
    if vertical_sigma_m is None:
        vertical_sigma_m, assumed = _assumed_sigma_m(target.native_cell_m, clouds=clouds)
        notes.append(assumed)
    if step_m:
        notes.append(f"heights come in steps of {height_step_words(step_m)}: a line may lie half a step off its level")
    terrain = Terrain(target.grid, heights, valid, vertical_sigma_m, tuple(notes), height_step_m=step_m)
    if fill_voids_m2:
        terrain = fill_small_voids(terrain, greatest_m2=fill_voids_m2)
    return bare_ground(terrain, radius_m=denoise_radius_m) if denoise_radius_m else terrain


def _read_tiles(
    name: str,
    files: Sequence[str],
    *,
    crs: CRS | None,
    vertical_unit: str | None,
    cell_m: float | None,
    memory_bytes: int | None,
    mean: BlockMean,
) -> tuple[TileHeader, Target, NDArray[np.float32]]:
    """Frame of raster files, the grid that suits it, and their heights, averaged but not yet resampled [m]."""
    with open_tiles(name, files, crs=crs, vertical_unit=vertical_unit) as (header, parts):
        target = choose_target(header, crs=crs, cell_m=cell_m)
        allocate = arrays_for(target.grid.n_cells, target.grid.cell_m, name=header.name, memory_bytes=memory_bytes)
        target = replace(target, grid=replace(target.grid, allocate=allocate))
        heights = read_heights(header, parts, target.factor, allocate=allocate, mean=mean)
    return header, target, heights


def _told(header: TileHeader, target: Target, wanted_cell_m: float | None) -> list[str]:
    """Sentences on how the file's cells became the grid's."""
    notes = []
    if wanted_cell_m is not None and wanted_cell_m != target.grid.cell_m:
        notes.append(f"cell_m = {wanted_cell_m:g} taken as {target.grid.cell_m:g}, a whole number of the file's cells")
    if target.factor > 1:
        why = (
            "" if wanted_cell_m else f" to {target.grid.cell_m:.3g} m, as fine as ditches need; cell_m keeps finer ones"
        )
        notes.append(f"averaged blocks of {target.factor} × {target.factor} cells of {target.native_cell_m:.4g} m{why}")
    if target.warp_reason:
        crs, cell_m = target.grid.crs, target.grid.cell_m
        moved = "" if crs is header.crs else f" from {header.crs.name} to {crs.name}"
        notes.append(f"resampled{moved} with cells of {cell_m:g} m: {target.warp_reason}")
    return notes


def _assumed_sigma_m(spacing_m: float, *, clouds: bool) -> tuple[float, str]:
    """Standard error of a height that is usual for cells or points so far apart [m], and a note that it is assumed."""
    kind, row = usual_error(spacing_m, clouds=clouds)
    spaced = f"points {spacing_m:.3g} m apart" if clouds else f"cells of {spacing_m:.3g} m"
    return row.value, f"vertical error assumed: {row.value:g} m for {spaced}, as of {kind} ({row.source})"
