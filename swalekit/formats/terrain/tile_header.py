"""What a terrain file says about itself, judged before any height is read."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from warnings import catch_warnings, simplefilter

import rasterio
from affine import Affine
from pyproj import CRS
from pyproj.exceptions import CRSError
from rasterio._err import CPLE_BaseError
from rasterio.enums import ColorInterp
from rasterio.errors import NotGeoreferencedWarning, RasterioError, RasterioIOError
from rasterio.io import DatasetReader

from swalekit.errors import TerrainError
from swalekit.formats.local_file import local_file
from swalekit.formats.terrain.reference import earthly, height_unit, settled_crs

_DRIVERS = ("GTiff", "SRTMHGT", "AAIGrid")
"""Formats that hold their heights themselves (a cloud-optimised GeoTIFF is a GeoTIFF)."""

_RASTER_FAULTS = (RasterioError, CPLE_BaseError, UnicodeDecodeError)

_CACHE_BYTES = 64 * 2**20
"""Memory that the raster library may fill with blocks; by default it would hold a large tile whole."""


@dataclass(frozen=True)
class TileHeader:
    """Frame, CRS and units of a terrain file.

    Parameters
    ----------
    name : str
        Path as the user gave it, for messages.
    shape : tuple of int
        Rows and columns.
    transform : Affine
        From column and row of a cell's corner to x and y in ``crs``.
    crs : CRS
        Horizontal CRS.
    metres_per_unit : float
        Length of the unit of the heights [m].
    notes : tuple of str
        What was decided, one sentence each.
    """

    name: str
    shape: tuple[int, int]
    transform: Affine
    crs: CRS
    metres_per_unit: float
    notes: tuple[str, ...]


@contextmanager
def open_tile(path: str | Path) -> Iterator[DatasetReader]:
    """Open a terrain file.

    Only GeoTIFF, ESRI ASCII grid and SRTM HGT are opened, from regular local files: a virtual raster can
    pull in other files.

    Parameters
    ----------
    path : str or Path
        The file.

    Yields
    ------
    DatasetReader
        The open file.

    Raises
    ------
    TerrainError
        If it isn't one of these formats, or is damaged.
    """
    file = local_file(path, what="terrain", error=TerrainError)
    with rasterio.Env(GDAL_CACHEMAX=_CACHE_BYTES):
        with reading(str(path)):
            tile = _first_opened(file, str(path))
        with tile:
            yield tile


@contextmanager
def reading(name: str, *, faults: tuple[type[Exception], ...] = _RASTER_FAULTS) -> Iterator[None]:
    """Whatever goes wrong with a terrain file inside the block becomes one `TerrainError`.

    Parameters
    ----------
    name : str
        Path as the user gave it.
    faults : tuple of type of Exception
        What the library that reads it raises.

    Yields
    ------
    None
        While the file is read.

    Raises
    ------
    TerrainError
        In their place.

    Examples
    --------
    >>> with reading("hill.tif"):
    ...     raise RasterioError
    Traceback (most recent call last):
        ...
    swalekit.errors.TerrainError: terrain 'hill.tif' is damaged or cut short and can't be read; copy or export it again
    """
    with catch_warnings():
        simplefilter("ignore", NotGeoreferencedWarning)
        try:
            yield
        except faults as fault:
            message = f"terrain '{name}' is damaged or cut short and can't be read; copy or export it again"
            raise TerrainError(message) from fault


def _first_opened(file: Path, name: str) -> DatasetReader:
    for driver in _DRIVERS:
        try:
            return rasterio.open(file, driver=driver)
        except RasterioIOError:
            continue
    message = (
        f"terrain '{name}' is not a GeoTIFF, ESRI ASCII grid or SRTM HGT file, or its header is damaged "
        "(virtual rasters are refused, they can pull in other files); export it as a GeoTIFF"
    )
    raise TerrainError(message)


def read_header(tile: DatasetReader, name: str, *, crs: CRS | None, vertical_unit: str | None) -> TileHeader:
    """Check an open terrain file and settle its CRS and units.

    Parameters
    ----------
    tile : DatasetReader
        The open file.
    name : str
        Its path as the user gave it.
    crs : CRS or None
        Taken if the file has none.
    vertical_unit : str or None
        ``m``, ``ft`` or ``us-ft``; goes before what the file says.

    Returns
    -------
    TileHeader
        Frame, CRS and units, with what was decided.

    Raises
    ------
    TerrainError
        If the file has no heights, no position, no CRS, or leaves the unit of its heights open.
    """
    if tile.height < 2 or tile.width < 2:
        message = f"terrain '{name}' has {tile.height} × {tile.width} cells; a tile needs at least 2 × 2"
        raise TerrainError(message)
    if tile.dtypes[0].startswith("complex") or tile.colorinterp[0] in (ColorInterp.red, ColorInterp.palette):
        message = f"terrain '{name}' holds a picture or complex numbers, not heights; name the elevation model instead"
        raise TerrainError(message)
    if tile.transform.is_identity or tile.transform.is_degenerate:
        message = f"terrain '{name}' has no position on the ground; export it again with its georeference"
        raise TerrainError(message)
    notes = [f"used band 1 of {tile.count}"] if tile.count > 1 else []
    beside = f" (or put the file {Path(name).stem}.prj beside it)" if tile.driver == "AAIGrid" else ""
    tile_crs, assumed = settled_crs(name, _own_crs(tile), crs, beside=beside)
    metres_per_unit, told = height_unit(name, tile_crs, declared=(tile.units[0] or "").strip(), given=vertical_unit)
    return TileHeader(name, tile.shape, tile.transform, tile_crs.to_2d(), metres_per_unit, (*notes, *assumed, *told))


def _own_crs(tile: DatasetReader) -> CRS | None:
    """The file's CRS, None if it has none that says where on the earth it is."""
    try:
        return earthly(CRS.from_wkt(tile.crs.to_wkt()) if tile.crs else None)
    except CRSError:
        return None
