"""Cloud-optimised GeoTIFF, the raster that comes out."""

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import rasterio
import rasterio.shutil
from numpy.typing import NDArray
from rasterio._err import CPLE_BaseError
from rasterio.crs import CRS
from rasterio.errors import RasterioError
from rasterio.windows import Window

from swalekit.errors import OutputError
from swalekit.grid import Grid

_CACHE_BYTES = 16 * 2**20
"""Memory that the raster library may fill; by default it would hold a large tile whole."""

_STRIP_ROWS = 512

_CLOUD_OPTIMISED = {
    "compress": "DEFLATE",
    "predictor": "YES",
    "overview_resampling": "AVERAGE",
    "num_threads": "1",
}


def write_terrain(
    path: str | Path, heights: NDArray[np.floating], grid: Grid, *, above: NDArray[np.floating] | None = None
) -> None:
    """Write heights as a cloud-optimised GeoTIFF; the same heights give the same bytes.

    Parameters
    ----------
    path : str or Path
        File to write.
    heights : ndarray of float, shape (rows, columns)
        Heights [m], NaN where void; stored as float32.
    grid : Grid
        Where the cells lie.
    above : ndarray of float, shape (rows, columns), optional
        Ground above which the heights are counted [m].

    Raises
    ------
    OutputError
        If the file can't be written.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "ground.tif"
    ...     write_terrain(path, np.full((2, 3), 101.5), Grid.from_corner((2, 3), cell_m=1.0))
    ...     with rasterio.open(path) as tile:
    ...         print(tile.read(1)[0])
    [101.5 101.5 101.5]
    """
    profile = {
        "height": grid.shape[0],
        "width": grid.shape[1],
        "count": 1,
        "dtype": "float32",
        "crs": CRS.from_wkt(grid.crs.to_wkt()),
        "transform": grid.transform,
        "nodata": np.nan,
    }
    path = Path(path)
    try:
        with rasterio.Env(GDAL_CACHEMAX=_CACHE_BYTES), TemporaryDirectory(dir=path.parent) as folder:
            plain = Path(folder) / "heights.tif"
            with rasterio.open(plain, "w", driver="GTiff", tiled=True, bigtiff="IF_SAFER", **profile) as tile:
                for first in range(0, grid.shape[0], _STRIP_ROWS):
                    rows = slice(first, first + _STRIP_ROWS)
                    strip = (heights[rows] if above is None else heights[rows] - above[rows]).astype(np.float32)
                    tile.write(strip, 1, window=Window(0, first, grid.shape[1], strip.shape[0]))
                tile.units = ("m",)
            rasterio.shutil.copy(plain, path, driver="COG", **_CLOUD_OPTIMISED)
    except (RasterioError, CPLE_BaseError, OSError) as fault:
        message = f"terrain can't be written to '{path}': {fault}"
        raise OutputError(message) from fault
