"""Sites and terrains of known shape for the tests of whole designs."""

from pathlib import Path
from typing import Any

import numpy as np
import rasterio
import shapely
from numpy.typing import NDArray
from rasterio.transform import from_origin
from scipy.ndimage import gaussian_filter

from swalekit.design.brief.site import Site
from swalekit.design.brief.values import check_brief
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

WEST, NORTH = 500_000.0, 4_000_000.0


def brief_values(**parts: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """A brief for the tests; parts given replace those named."""
    values: dict[str, dict[str, Any]] = {
        "terrain": {"file": "tile.tif", "vertical_sigma_m": 0.05},
        "storm": {"depth_mm": 50.0},
        "soil": {"curve_number": 80.0},
        "levels": {"interval_m": 2.0},
    }
    return values | parts


def make_site(boundary: shapely.Geometry | None = None, crs: object = None, **parts: dict[str, Any]) -> Site:
    """A site with its boundary in the CRS of the terrain."""
    brief = check_brief(brief_values(**parts))
    return Site(brief, boundary, crs=Grid.from_corner((1, 1), cell_m=1.0).crs if crs is None else crs)


def plane(
    slope: float = 0.1, *, shape: tuple[int, int] = (120, 100), cell_m: float = 1.0, foot_m: float = 100.0
) -> Terrain:
    """Ground that falls evenly southward to ``foot_m`` at its southern edge."""
    rows = shape[0] - 0.5 - np.arange(shape[0])
    heights = np.repeat((foot_m + slope * cell_m * rows)[:, np.newaxis], shape[1], axis=1)
    return Terrain.from_heights(
        heights, Grid.from_corner(shape, cell_m=cell_m, west_m=WEST, north_m=NORTH), vertical_sigma_m=0.05
    )


def hills(seed: int = 7, *, side: int = 96, cell_m: float = 1.0) -> Terrain:
    """Smooth, generic, tie-free ground with a general fall to the south-east, and hollows."""
    noise = np.random.default_rng(seed).standard_normal((side, side))
    bumps = gaussian_filter(noise, 6.0, mode="reflect")
    row, column = np.mgrid[0:side, 0:side] * cell_m
    heights = 200.0 + 2.5 * bumps / bumps.std() - 0.08 * row - 0.05 * column
    return Terrain.from_heights(
        heights, Grid.from_corner((side, side), cell_m=cell_m, west_m=WEST, north_m=NORTH), vertical_sigma_m=0.05
    )


def write_tile(
    path: Path, heights: NDArray[np.floating], *, crs: str | None = "EPSG:32630", cell_m: float = 1.0, **profile: Any
) -> Path:
    """A GeoTIFF of heights."""
    settings = {
        "driver": "GTiff",
        "count": 1,
        "dtype": "float32",
        "crs": crs,
        "transform": from_origin(WEST, NORTH, cell_m, cell_m),
    } | profile
    with rasterio.open(path, "w", height=heights.shape[0], width=heights.shape[1], **settings) as tile:
        tile.write(heights.astype(settings["dtype"]), 1)
    return path
