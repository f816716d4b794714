"""Ground given by a formula, and tiles of it in any projection and unit."""

import numpy as np
import rasterio
from affine import Affine
from pyproj import Transformer

UTM = "EPSG:32630"
WEST_M, NORTH_M = 700_000.0, 4_000_000.0
"""A place 220 km east of the meridian of UTM zone 30, where the grid of zone 31 stands aslant by 3°."""


def plane(x, y):
    """A slope of 9 %."""
    return 100.0 + 0.08 * (x - WEST_M) - 0.05 * (y - NORTH_M)


def hills(x, y):
    """Hills 3 m high on that slope, bent by at most 2.7 mm over a square metre."""
    return plane(x, y) + 3.0 * np.sin((x - WEST_M) / 40.0) * np.cos((y - NORTH_M) / 50.0)


def place(east_m, south_m, crs):
    """Coordinates in a CRS of a point by its distance from the place above."""
    return Transformer.from_crs(UTM, crs, always_xy=True).transform(WEST_M + east_m, NORTH_M - south_m)


def write_tile(path, ground, shape=(60, 60), *, east_m=0.0, south_m=0.0, cell=1.0, crs=UTM, change=None, **profile):
    """A tile of the ground whose north-western corner lies so far from the place above; heights are changed last."""
    west, north = place(east_m, south_m, crs)
    transform = Affine(cell, 0.0, west, 0.0, -cell, north)
    row, column = np.indices(shape) + 0.5
    x, y = Transformer.from_crs(crs, UTM, always_xy=True).transform(west + cell * column, north - cell * row)
    heights = ground(x, y) if change is None else change(ground(x, y))
    unit, profile = profile.pop("unit", None), {"dtype": "float32", **profile}
    with rasterio.open(
        path, "w", "GTiff", width=shape[1], height=shape[0], count=1, crs=crs, transform=transform, **profile
    ) as file:
        file.write(heights.astype(profile["dtype"]), 1)
        if unit:
            file.units = (unit,)


def error(terrain, ground):
    """Height of a terrain less that of the ground [m]."""
    x, y = terrain.grid.centres(*np.indices(terrain.grid.shape))
    return np.where(terrain.valid, terrain.heights - ground(x, y), np.nan)
