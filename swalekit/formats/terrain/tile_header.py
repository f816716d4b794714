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
from swalekit.units import METRES_PER

_DRIVERS = ("GTiff", "SRTMHGT", "AAIGrid")
"""Formats that hold their heights themselves (a cloud-optimised GeoTIFF is a GeoTIFF)."""

_CACHE_BYTES = 64 * 2**20
"""Memory that the raster library may fill with blocks; by default it would hold a large tile whole."""

_SPELLINGS = {
    "m": ("m", "metre", "metres", "meter", "meters"),
    "ft": ("ft", "foot", "feet", "international foot", "international feet"),
    "us-ft": ("us-ft", "us_ft", "ftus", "us survey foot", "us survey feet", "foot_us", "us_survey_foot"),
}


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
def reading(name: str) -> Iterator[None]:
    """Whatever goes wrong with a terrain file inside the block becomes one `TerrainError`.

    Parameters
    ----------
    name : str
        Path as the user gave it.

    Yields
    ------
    None
        While the file is read.

    Raises
    ------
    TerrainError
        In place of what the raster library raises.

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
        except (RasterioError, CPLE_BaseError, UnicodeDecodeError) as fault:
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
    own_crs = _own_crs(tile)
    tile_crs = own_crs or crs
    if tile_crs is None:
        beside = f" (or put the file {Path(name).stem}.prj beside it)" if tile.driver == "AAIGrid" else ""
        message = (
            f"terrain '{name}' has no coordinate reference system; give one: "
            f'crs = "EPSG:32612" under [terrain] in the brief, or --crs EPSG:32612{beside}'
        )
        raise TerrainError(message)
    if own_crs is None:
        notes.append(f"the file names no CRS; taken as {tile_crs.name}, as given")
    metres_per_unit, told = _vertical_unit(tile, name, tile_crs, vertical_unit)
    return TileHeader(name, tile.shape, tile.transform, tile_crs.to_2d(), metres_per_unit, (*notes, *told))


def _own_crs(tile: DatasetReader) -> CRS | None:
    """The file's CRS, None if it has none that says where on the earth it is."""
    try:
        crs = CRS.from_wkt(tile.crs.to_wkt()) if tile.crs else None
    except CRSError:
        return None
    return crs if crs and (crs.is_projected or crs.is_geographic) else None


def _vertical_unit(tile: DatasetReader, name: str, crs: CRS, given: str | None) -> tuple[float, list[str]]:
    """Metres per unit of the heights, and a note if it isn't one."""
    declared = (tile.units[0] or "").strip().lower()
    unit = given or next((unit for unit, spelled in _SPELLINGS.items() if declared in spelled), None)
    if unit is not None:
        factor = METRES_PER[unit]
    elif declared:
        message = (
            f"terrain '{name}' gives its heights in '{tile.units[0]}'; name the unit: vertical_unit = m, ft or us-ft"
        )
        raise TerrainError(message)
    elif crs.is_compound:
        factor = float(crs.sub_crs_list[1].axis_info[0].unit_conversion_factor)
    elif crs.is_projected and crs.axis_info[0].unit_conversion_factor != 1.0:
        message = (
            f"terrain '{name}' has a map in {crs.axis_info[0].unit_name} and leaves the unit of its heights open; "
            "name it: vertical_unit = m, ft or us-ft"
        )
        raise TerrainError(message)
    else:
        factor = 1.0
    return factor, [] if factor == 1.0 else [f"heights converted to metres, {factor:.7g} m a unit"]
