"""Made ground with a tile that is off it by a known surface, and points measured on it."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from sites import NORTH, WEST

from swalekit.grid import Grid
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.terrain.terrain import Terrain

SIDE_M, CELL_M = 400.0, 4.0
GRID = Grid.from_corner((100, 100), cell_m=CELL_M, west_m=WEST, north_m=NORTH)
SOUTH, EAST = NORTH - SIDE_M, WEST + SIDE_M

Surface = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]


def truth_m(x_m, y_m):
    """Height of the ground: a hillside with waves, which a bilinear height follows to a millimetre."""
    u, v = (x_m - WEST) / SIDE_M, (y_m - SOUTH) / SIDE_M
    return 100.0 + 12.0 * u + 30.0 * v + 0.5 * np.sin(5.0 * u) * np.cos(4.0 * v)


def tilt_and_bowl(x_m, y_m, *, tilt_m=0.12, bowl_m=0.20):
    """Error that rises by ``tilt_m`` from west to east, and by ``bowl_m`` from the middle to the corners."""
    u, v = 2.0 * (x_m - WEST) / SIDE_M - 1.0, 2.0 * (y_m - SOUTH) / SIDE_M - 1.0
    return tilt_m * u / 2.0 + bowl_m * (u * u + v * v) / 2.0


def ground(error: Surface = lambda x, y: 0.0 * x) -> Terrain:
    """The ground as a tile that is off it by a surface."""
    x_m, y_m = GRID.centres(*np.mgrid[0:100, 0:100])
    return Terrain.from_heights(truth_m(x_m, y_m) + error(x_m, y_m), GRID)


def measured(count: int, seed: int, *, noise_m: float = 0.02, side: float = 1.0) -> SurveyPoints:
    """Points spread over the middle part of the ground, a point a square as near as may be."""
    random = np.random.default_rng(seed)
    squares = int(np.ceil(np.sqrt(count)))
    place = random.permutation(squares**2)[:count]
    cells = np.stack([place % squares, place // squares]) + random.uniform(0.0, 1.0, (2, count))
    spread = 0.5 + side * (cells / squares - 0.5)
    x_m, y_m = WEST + 1.0 + spread[0] * (SIDE_M - 2.0), SOUTH + 1.0 + spread[1] * (SIDE_M - 2.0)
    return points_at(x_m, y_m, truth_m(x_m, y_m) + random.normal(0.0, noise_m, count))


def points_at(x_m, y_m, height_m) -> SurveyPoints:
    """Points P1, P2 and so on."""
    names = tuple(f"P{number}" for number in range(1, np.size(x_m) + 1))
    return SurveyPoints(
        np.arange(1, np.size(x_m) + 1), *(np.asarray(part, float) for part in (x_m, y_m, height_m)), names
    )
