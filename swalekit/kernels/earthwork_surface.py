"""Cells beside a line, and what ditch, berm and returns cut from them and lay on them."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel
from swalekit.kernels.terrain_sample import between_centres

Floats = NDArray[np.float64]


@kernel
def cells_around(row: Floats, column: Floats, radius: int, taken: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Flat indices of the cells within a square of ``radius`` cells round any station, each once.

    Parameters
    ----------
    row, column : ndarray of float64, shape (k,)
        Place of the stations; whole numbers at cell centres.
    radius : int
        Half a side of the square [cells].
    taken : ndarray of bool, shape (rows, columns)
        False everywhere, and again on return.
    """
    rows, columns = taken.shape
    found = np.empty(row.size * (2 * radius + 1) ** 2, np.int64)
    count = 0
    for k in range(row.size):
        i0, j0 = int(round(row[k])), int(round(column[k]))  # noqa: RUF046 - a float while uncompiled
        for i in range(max(i0 - radius, 0), min(i0 + radius + 1, rows)):
            for j in range(max(j0 - radius, 0), min(j0 + radius + 1, columns)):
                if not taken[i, j]:
                    taken[i, j] = True
                    found[count] = i * columns + j
                    count += 1
    for k in range(count):
        taken[found[k] // columns, found[k] % columns] = False
    return found[:count].copy()


@kernel
def _seen(x: float, y: float, xy: Floats, near: int, closed: bool) -> tuple[int, float, float, bool]:
    """Station before a point, share of the leg behind it, offset (positive right), whether it lies beside the line."""
    count = xy.shape[0]
    legs = count if closed else count - 1
    best, before, place, side = np.inf, 0, 0.0, 0.0
    for step in range(-2, 2):
        leg = near + step
        if closed:
            leg %= count
        elif leg < 0 or leg >= legs:
            continue
        after = (leg + 1) % count
        run_x, run_y = xy[after, 0] - xy[leg, 0], xy[after, 1] - xy[leg, 1]
        to_x, to_y = x - xy[leg, 0], y - xy[leg, 1]
        share = (to_x * run_x + to_y * run_y) / (run_x * run_x + run_y * run_y)
        clipped = min(max(share, 0.0), 1.0)
        away = (to_x - clipped * run_x) ** 2 + (to_y - clipped * run_y) ** 2
        if away < best:
            best, before, place, side = away, leg, share, to_x * run_y - to_y * run_x
    beyond = not closed and ((before == 0 and place < 0.0) or (before == count - 2 and place > 1.0))
    return before, min(max(place, 0.0), 1.0), math.copysign(math.sqrt(best), side), not beyond


@kernel
def _along_axis(x: float, y: float, end: Floats, axis: int) -> float:
    """Distance of a point from an end station beyond the line's end (axis 0) or downhill of it (axis 1)."""
    return float((x - end[0]) * end[2 + 2 * axis] + (y - end[1]) * end[3 + 2 * axis])


@kernel
def _return_level(x: float, y: float, crest: float, uphill: float, downhill: float, ends: Floats) -> float:
    """Level of the faces of the returns at a point, minus infinity where there are none.

    Berm and return meet in an L: on its outside the lower of their faces counts, on its inside the higher.
    """
    level = -np.inf
    for end in range(ends.shape[0]):
        rising, falling, inside = -np.inf, np.inf, True
        for axis in range(2):
            across = _along_axis(x, y, ends[end], axis)
            inside &= ends[end, 10 + axis] < across < ends[end, 12 + axis]
            rising = max(rising, (across - ends[end, 6 + axis]) / uphill)
            falling = min(falling, (ends[end, 8 + axis] - across) / downhill)
        if inside:
            level = max(level, crest + min(rising, falling))
    return level


@kernel
def _near_return(x: float, y: float, margin: float, ends: Floats) -> bool:
    """Whether a point lies within the bounds of a return, or a margin of them."""
    for end in range(ends.shape[0]):
        inside = True
        for axis in range(2):
            across = _along_axis(x, y, ends[end], axis)
            inside &= ends[end, 10 + axis] - margin < across < ends[end, 12 + axis] + margin
        if inside:
            return True
    return False


@kernel
def cut_and_fill(
    heights: NDArray[np.float32],
    grid: tuple[float, float, float],
    cells: NDArray[np.int64],
    nearest: NDArray[np.int64],
    xy: Floats,
    planes: Floats,
    closed: bool,
    slopes: tuple[float, float, float, float, float],
    levels: tuple[float, float],
    reach: tuple[float, float],
    sill: tuple[float, float, float],
    ends: Floats,
    subcells: int,
    lowered: Floats,
    raised: Floats,
) -> None:
    """Mean depth of cut and mean height of fill in every cell, seen through ``subcells``² points.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Natural ground [m].
    grid : tuple of float
        West and north edge, side of a cell [m].
    cells, nearest : ndarray of int64, shape (n,)
        Flat indices, and the station next to the centre of each.
    xy : ndarray of float64, shape (k, 2)
        Stations, downhill on the right [m].
    planes : ndarray of float64, shape (5, k)
        At each station floor level, distance and level of the berm's uphill toe, distance of the crest's outer edge,
        chainage [m].
    closed : bool
        Whether the last station is joined to the first.
    slopes : tuple of float
        Half the floor's width [m]; side slopes of ditch and berm, the uphill one first, horizontal : vertical.
    levels : tuple of float
        Level of crest and sill [m].
    reach : tuple of float
        Farthest distance uphill, negative, and downhill at which earth is moved beside the line [m].
    sill : tuple of float
        Chainage of its middle, its length, and the length of the line [m].
    ends : ndarray of float64, shape (e, 14)
        Returns: place; axes beyond the line's end and downhill; along these the crest's inner and outer corner, and
        the least and greatest distance of the faces [m].
    subcells : int
        Points along a side of a cell.
    lowered, raised : ndarray of float64, shape (n,)
        Filled [m].
    """
    columns = heights.shape[1]
    half_floor, ditch_up, ditch_down, berm_up, berm_down = slopes
    crest, sill_level = levels
    for n in range(cells.size):
        x = grid[0] + grid[2] * (cells[n] % columns + 0.5)
        y = grid[1] - grid[2] * (cells[n] // columns + 0.5)
        _, _, offset, _ = _seen(x, y, xy, nearest[n], closed)
        if not (reach[0] - grid[2] < offset < reach[1] + grid[2] or _near_return(x, y, grid[2], ends)):
            continue
        for sub in range(subcells * subcells):
            row = cells[n] // columns + (sub // subcells + 0.5) / subcells - 0.5
            column = cells[n] % columns + (sub % subcells + 0.5) / subcells - 0.5
            ground = between_centres(heights, row, column)
            if math.isnan(ground):
                continue
            x, y = grid[0] + grid[2] * (column + 0.5), grid[1] - grid[2] * (row + 0.5)
            before, share, offset, beside = _seen(x, y, xy, nearest[n], closed)
            after = (before + 1) % xy.shape[0]
            floor = planes[0, before] + share * (planes[0, after] - planes[0, before])
            toe = planes[1, before] + share * (planes[1, after] - planes[1, before])
            toe_level = planes[2, before] + share * (planes[2, after] - planes[2, before])
            edge = planes[3, before] + share * (planes[3, after] - planes[3, before])
            if beside and reach[0] < offset < toe:
                rise = max((-half_floor - offset) / ditch_up, (offset - half_floor) / ditch_down, 0.0)
                lowered[n] += max(ground - floor - rise, 0.0)
            top = _return_level(x, y, crest, berm_up, berm_down, ends)
            limit = crest
            if beside:
                if 0.0 < offset < reach[1]:
                    top = max(top, min(toe_level + (offset - toe) / berm_up, crest - (offset - edge) / berm_down))
                leg_end = planes[4, after] if after > 0 else sill[2]
                from_sill = abs(planes[4, before] + share * (leg_end - planes[4, before]) - sill[0])
                if closed:
                    from_sill = min(from_sill, sill[2] - from_sill)
                if from_sill < sill[1] / 2.0:
                    limit = sill_level
            raised[n] += max(min(top, limit) - ground, 0.0)
        lowered[n] /= subcells * subcells
        raised[n] /= subcells * subcells
