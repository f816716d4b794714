"""Point clouds of made ground, written as LAS or LAZ."""

import laspy
import numpy as np
from pyproj import CRS

UTM12 = "EPSG:32612"
WEST, SOUTH = 360_000.0, 3_695_920.0
NOISE_M = 0.03
GROUND, UNCLASSED, LOW_VEGETATION = 2, 1, 3


def hill(x, y):
    """Ground rising 5 % east and 2 % north, in gentle waves."""
    east, north = np.asarray(x) - WEST, np.asarray(y) - SOUTH
    return 300.0 + 0.05 * east + 0.02 * north + 0.4 * np.sin(east / 15) * np.cos(north / 11)


def valley(x, y):
    """A hillside with a valley, 15 % steep."""
    east, north = np.asarray(x) - WEST, np.asarray(y) - SOUTH
    return 40.0 + 0.15 * north + 0.03 * np.abs(east - 60.0) + 0.3 * np.sin(east / 17.0)


def places(n, *, width=100.0, height=80.0, seed=0):
    """Points spread at random."""
    rng = np.random.default_rng(seed)
    return WEST + rng.uniform(0, width, n), SOUTH + rng.uniform(0, height, n)


def surveyed(n, *, share_of_plants=0.3, seed=0):
    """A survey of the hill: noisy ground points, and plants up to 6 m high over some of it."""
    x, y = places(n, seed=seed)
    rng = np.random.default_rng(seed + 1)
    plants = rng.uniform(size=n) < share_of_plants
    z = hill(x, y) + rng.normal(0, NOISE_M, n) + np.where(plants, rng.uniform(0.5, 6, n), 0)
    return x, y, z, np.where(plants, LOW_VEGETATION, GROUND)


def write_cloud(
    path, x, y, z, kind=GROUND, *, crs=UTM12, version="1.4", point_format=6, scale=0.001, records=(), **more
):
    """Write a LAS or LAZ file and give its path."""
    header = laspy.LasHeader(version=version, point_format=point_format)
    header.scales, header.offsets = [scale, scale, 0.001], [np.floor(np.min(x)), np.floor(np.min(y)), 0.0]
    if crs:
        header.add_crs(CRS(crs))
    header.vlrs.extend(records)
    cloud = laspy.LasData(header)
    cloud.x, cloud.y, cloud.z = x, y, z
    cloud.classification = np.broadcast_to(kind, np.shape(x))
    for name, value in more.items():
        cloud[name] = value
    cloud.write(path)
    return path
