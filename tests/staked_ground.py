"""Swales on a plane and round a cone whose every figure is known by hand."""

import numpy as np
from sites import NORTH, WEST, plane

from swalekit.contours.line import LevelLine
from swalekit.grid import Grid
from swalekit.section.laid_swale import LaidSwale
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale
from swalekit.section.stations import Stations
from swalekit.terrain.terrain import Terrain

LINE_Y = NORTH - 60.0

# A slope of 0.1, a floor 0.6 m wide 0.5 m below the stake, sides 1.5:1, crest 0.4 m above it, faces 2:1, bench 0.3 m:
UPHILL_LIP = 0.3 + 0.53 / (1 / 1.5 - 0.1)  # 0.5 + 0.1 · 0.3 up, at a side's rise less the ground's
DOWNHILL_LIP = 0.3 + 0.47 / (1 / 1.5 + 0.1)
BERM_TOE = DOWNHILL_LIP + 0.3
CREST_INNER = BERM_TOE + 2.0 * (0.4 + 0.1 * BERM_TOE)
CREST_OUTER = CREST_INNER + 0.5
DOWNHILL_TOE = CREST_OUTER + (0.4 + 0.1 * CREST_OUTER) / (0.5 - 0.1)


def assert_close(actual: object, desired: object, *, atol: float = 1e-6) -> None:
    """Figures agree to a number of metres or degrees: a share of a northing of 4 000 km would say nothing."""
    np.testing.assert_allclose(actual, desired, rtol=0.0, atol=atol)


def sloping_plane() -> Terrain:
    """Ground 160 m by 120 m that falls 0.1 m a metre southward, 106 m high at `LINE_Y`."""
    return plane(0.1, shape=(120, 160))


def staked(line: LevelLine, *, name: str = "S1", number: int = 1, sill: tuple[float, float] = (30.0, 4.0)) -> LaidSwale:
    """A swale dug 0.5 m below a line's level, its crest 0.4 m above it and its sill 0.25 m above it."""
    stations = Stations.of_line(line, np.full(len(line.xy), 10.0))
    shape = ShapedSwale(stations, Section(), 0.5, line.level_m + 0.4)
    return LaidSwale(name, number, line, shape, *sill)


def straight(*, name: str = "S1", number: int = 1, north_m: float = 0.0, ground: np.ndarray | None = None) -> LaidSwale:
    """A line of 100 m eastward across the plane, with the sill from 28 to 32 m."""
    xy = np.column_stack([WEST + 20.0 + np.linspace(0.0, 100.0, 51), np.full(51, LINE_Y + north_m)])
    level = 106.0 + 0.1 * north_m
    heights = np.full(51, level) if ground is None else ground
    return staked(LevelLine(level, False, xy, heights, np.full(51, 0.1)), name=name, number=number)


def cone() -> Terrain:
    """A hill 120 m wide that falls 0.1 m a metre on all sides, 106 m high 30 m from its top."""
    grid = Grid.from_corner((120, 120), cell_m=1.0, west_m=WEST, north_m=NORTH)
    away = np.hypot(*np.meshgrid(np.arange(120) - 59.5, np.arange(120) - 59.5))
    return Terrain.from_heights(109.0 - 0.1 * away, grid, vertical_sigma_m=0.05)


def ring(radius_m: float = 30.0, *, count: int = 96, sill_m: float = 0.0) -> LaidSwale:
    """A ring round the cone, downhill outside."""
    turn = 2.0 * np.pi * np.arange(count) / count
    xy = np.column_stack([WEST + 60.0 + radius_m * np.cos(turn), NORTH - 60.0 + radius_m * np.sin(turn)])
    level = 109.0 - 0.1 * radius_m
    line = LevelLine(level, True, xy, np.full(count, level), np.full(count, 0.1))
    return staked(line, sill=(sill_m or line.length_m / 2.0, 4.0))
