"""Cloud-optimised GeoTIFF, the raster that comes out."""

from pathlib import Path

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio._err import CPLE_BaseError
from rasterio.crs import CRS
from rasterio.errors import RasterioError

from swalekit.errors import OutputError
from swalekit.grid import Grid


def write_terrain(path: str | Path, heights: NDArray[np.floating], grid: Grid) -> None:
    """Write heights as a cloud-optimised GeoTIFF; the same heights give the same bytes.

    Parameters
    ----------
    path : str or Path
        File to write.
    heights : ndarray of float, shape (rows, columns)
        Heights [m], NaN where void; stored as float32.
    grid : Grid
        Where the cells lie.

    Raises
    ------
    OutputError
        If the file can't be written.
    """
    try:
        with rasterio.open(
            path,
            "w",
            driver="COG",
            height=grid.shape[0],
            width=grid.shape[1],
            count=1,
            dtype="float32",
            crs=CRS.from_wkt(grid.crs.to_wkt()),
            transform=grid.transform,
            nodata=np.nan,
            compress="DEFLATE",
            predictor="YES",
            overview_resampling="AVERAGE",
            num_threads="1",
        ) as tile:
            tile.write(heights.astype(np.float32, copy=False), 1)
            tile.units = ("m",)
    except (RasterioError, CPLE_BaseError, OSError) as fault:
        message = f"terrain can't be written to '{path}': {fault}"
        raise OutputError(message) from fault
