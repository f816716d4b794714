"""Which way ground falls over the width of a unit, and blocks of ground that fall one way."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects, label, uniform_filter

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.microcatchments.open_ground import OpenGround, cropped

_LEAST_CELLS = 5
"""Cells across the square over which the fall is taken, at least."""
_LEAST_SHARE = 0.5
"""Share of that square that must hold ground."""
_STRIP_CELLS = 2_000_000
_BINS = 360
_ALL_ROUND = 2.0 * np.pi


@one_line("grid", "slope")
@dataclass(frozen=True, eq=False)
class Fall(Frozen):
    """Slope and direction of the ground over squares as wide as a unit or two.

    Parameters
    ----------
    grid : Grid
        The cells.
    slope : ndarray of float32, shape (rows, columns)
        Steepest fall of the plane through the heights of the square round each cell [m/m]; NaN where they are too few.
    direction : ndarray of float32, shape (rows, columns)
        Where it falls to, from east, counter-clockwise [rad].
    """

    grid: Grid
    slope: NDArray[np.float32]
    direction: NDArray[np.float32]


def fall_of(ground: OpenGround, *, width_m: float) -> Fall:
    """Fit planes to the heights of squares round each cell of the area.

    Parameters
    ----------
    ground : OpenGround
        The ground.
    width_m : float
        Side of the squares, five cells at least [m].

    Returns
    -------
    Fall
        Over the cells of the ground's window.

    Raises
    ------
    InputError
        If the width isn't positive.

    Notes
    -----
    Least squares; voids and what lies off the tile are left out, so that a plane is read exactly at an edge too.

    Examples
    --------
    >>> import shapely
    >>> open_ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(bool))
    >>> found = fall_of(open_ground, width_m=10.0)
    >>> bool(np.allclose(found.slope, 0.1, atol=1e-4)), round(float(np.degrees(found.direction[0, 0])))
    (True, -90)
    """
    check_positive(width_m=width_m)
    grid, (rows, columns) = ground.terrain.grid, ground.window
    half = max(int(np.ceil((width_m / grid.cell_m - 1.0) / 2.0)), _LEAST_CELLS // 2)
    part = cropped(grid, ground.window)
    slope, direction = np.full(part.shape, np.nan, np.float32), np.zeros(part.shape, np.float32)
    step = max(1, _STRIP_CELLS // max(part.shape[1], 1))
    around = slice(max(columns.start - half, 0), columns.stop + half)
    inner = slice(columns.start - around.start, columns.stop - around.start)
    for first in range(rows.start, rows.stop, step):
        last = min(first + step, rows.stop)
        strip = slice(max(first - half, 0), last + half)
        east, north = _plane(ground.terrain.heights[strip, around], 2 * half + 1, grid.cell_m)
        kept = slice(first - strip.start, last - strip.start), inner
        here = slice(first - rows.start, last - rows.start)
        slope[here] = np.hypot(east[kept], north[kept])
        direction[here] = np.arctan2(-north[kept], -east[kept])
    return Fall(part, slope, direction)


def _plane(heights: NDArray[np.float32], side: int, cell_m: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Rise eastward and northward of the plane through each square of ``side`` cells."""
    known = np.isfinite(heights)
    z = np.where(known, heights - np.float64(np.nanmean(heights) if known.any() else 0.0), 0.0)
    weight = known.astype(np.float64)
    y, x = np.meshgrid(*(np.arange(size) - size / 2.0 for size in heights.shape), indexing="ij")

    def mean(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(uniform_filter(values, side, mode="constant"))

    share = mean(weight)
    with np.errstate(invalid="ignore", divide="ignore"):
        mx, my, mz = (mean(weight * value) / share for value in (x, y, z))
        xx, yy, xy = (mean(weight * value) / share for value in (x * x, y * y, x * y))
        xz, yz = (mean(value * z) / share for value in (x, y))
        xx, yy, xy, xz, yz = xx - mx * mx, yy - my * my, xy - mx * my, xz - mx * mz, yz - my * mz
        spread = xx * yy - xy * xy
        east, south = (xz * yy - yz * xy) / spread, (yz * xx - xz * xy) / spread
    few = ~known | (share < _LEAST_SHARE * _within(share.shape, side)) | ~(spread > 1e-6)
    east[few] = south[few] = np.nan
    return east / cell_m, -south / cell_m


def _within(shape: tuple[int, ...], side: int) -> NDArray[np.float64]:
    """Share of the square round each cell that lies on the tile."""
    return np.asarray(uniform_filter(np.ones(shape), side, mode="constant"))


def fall_blocks(
    fall: Fall, cells: NDArray[np.bool_], *, turn_rad: float, least_m2: float
) -> Iterator[tuple[tuple[slice, slice], NDArray[np.bool_], float]]:
    """Part ground into blocks in which the fall turns by no more than an angle from the block's own.

    Parameters
    ----------
    fall : Fall
        Slope and direction.
    cells : ndarray of bool, shape (rows, columns)
        Cells that may belong to a block.
    turn_rad : float
        Greatest angle [rad].
    least_m2 : float
        Smaller blocks are left out [m²].

    Yields
    ------
    window : tuple of slice
        Rows and columns that hold the block.
    block : ndarray of bool
        Its cells in that window, all connected.
    direction : float
        Mean direction of its fall, from east, counter-clockwise [rad].

    Notes
    -----
    The direction that most of the ground shares comes first, then that which most of the rest shares, and so on: even
    ground is one block, a round hill is parted into sectors.

    Examples
    --------
    >>> import shapely
    >>> open_ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(bool))
    >>> found = fall_of(open_ground, width_m=10.0)
    >>> [round(float(np.degrees(at))) for _, _, at in fall_blocks(found, found.slope > 0, turn_rad=0.2, least_m2=25.0)]
    [-90]
    """
    left = cells & np.isfinite(fall.slope)
    least_cells = max(least_m2 / fall.grid.cell_area_m2, 1.0)
    while np.count_nonzero(left) >= least_cells:
        ahead = _commonest(fall.direction[left], turn_rad)
        sector = left & (np.abs(_turned(fall.direction - np.float32(ahead))) <= turn_rad)
        left &= ~sector
        numbers, _ = label(sector, np.ones((3, 3), int))
        for number, window in enumerate(find_objects(numbers), start=1):
            block = numbers[window] == number
            if np.count_nonzero(block) >= least_cells:
                at = fall.direction[window][block].astype(np.float64)
                yield window, block, float(np.arctan2(np.sin(at).mean(), np.cos(at).mean()))


def _commonest(direction: NDArray[np.float32], turn_rad: float) -> float:
    """The direction, in the middle of a whole degree, that has most cells within an angle either side."""
    degree = np.floor(np.degrees(direction.astype(np.float64)) % 360.0).astype(np.int64) % _BINS
    count = np.bincount(degree, minlength=_BINS)
    reach = max(int(np.degrees(turn_rad)) - 1, 0)
    near = np.sum([np.roll(count, shift) for shift in range(-reach, reach + 1)], axis=0)
    best = near == near.max()
    if best.all():
        return float(np.radians(0.5))
    first = int(np.flatnonzero(best & ~np.roll(best, 1))[0])  # of the first run of equally common ones
    length = int(np.argmin(np.roll(best, -first)))
    return float(np.radians((first + (length - 1) // 2) % _BINS + 0.5))


def _turned(angle: NDArray[np.float32]) -> NDArray[np.float32]:
    """Angles brought between −π and π."""
    return np.asarray((angle + np.pi) % _ALL_ROUND - np.pi, np.float32)
