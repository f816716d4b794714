"""Cells beside a line, and what ditch, berm and returns cut from them and lay on them."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel
from swalekit.kernels.terrain_sample import between_centres

Floats = NDArray[np.float64]


class Corner(NamedTuple):
    """Where the cells of a grid lie: its west and north edge, and the side of a cell [m]."""

    west: float
    north: float
    cell: float


class Ends(NamedTuple):
    """Returns at the ends of a line, shape (e, 2) each, axes (e, 2, 2).

    Place of the end station; axes beyond the line's end and downhill; along these the inner and outer corner of the
    crest, and the least and greatest distance of the faces [m].
    """

    place: Floats
    axes: Floats
    inner: Floats
    outer: Floats
    least: Floats
    greatest: Floats


class Works(NamedTuple):
    """Ditch and berm along k stations, downhill on their right.

    At each station its place, the level of the floor, distance and level of the berm's uphill toe, distance of the
    crest's outer edge, and chainage [m]. Then whether the last station is joined to the first; the length of the line;
    half the floor's width [m]; side slopes, horizontal : vertical; levels of crest and sill; chainage of the sill's
    middle and its length; the farthest distance uphill, negative, and downhill at which earth is moved [m].
    """

    xy: Floats
    floor: Floats
    toe: Floats
    toe_level: Floats
    crest_edge: Floats
    chainage: Floats
    closed: bool
    length: float
    half_floor: float
    ditch_uphill: float
    ditch_downhill: float
    berm_uphill: float
    berm_downhill: float
    crest: float
    sill: float
    sill_at: float
    sill_length: float
    farthest_up: float
    farthest_down: float
    ends: Ends


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

    Returns
    -------
    ndarray of int64
        Flat indices, in the order in which they are found.
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


@part_of_kernel
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


@part_of_kernel
def _along_axis(x: float, y: float, ends: Ends, end: int, axis: int) -> float:
    """Distance of a point from an end station beyond the line's end (axis 0) or downhill of it (axis 1)."""
    place, axes = ends.place, ends.axes
    return float((x - place[end, 0]) * axes[end, axis, 0] + (y - place[end, 1]) * axes[end, axis, 1])


@part_of_kernel
def _return_level(x: float, y: float, crest: float, uphill: float, downhill: float, ends: Ends) -> float:
    """Level of the faces of the returns at a point, minus infinity where there are none.

    Berm and return meet in an L: on its outside the lower of their faces counts, on its inside the higher.
    """
    level = -np.inf
    for end in range(ends.place.shape[0]):
        rising, falling, inside = -np.inf, np.inf, True
        for axis in range(2):
            across = _along_axis(x, y, ends, end, axis)
            inside &= ends.least[end, axis] < across < ends.greatest[end, axis]
            rising = max(rising, (across - ends.inner[end, axis]) / uphill)
            falling = min(falling, (ends.outer[end, axis] - across) / downhill)
        if inside:
            level = max(level, crest + min(rising, falling))
    return level


@part_of_kernel
def _near_return(x: float, y: float, margin: float, ends: Ends) -> bool:
    """Whether a point lies within the bounds of a return, or a margin of them."""
    for end in range(ends.place.shape[0]):
        inside = True
        for axis in range(2):
            across = _along_axis(x, y, ends, end, axis)
            inside &= ends.least[end, axis] - margin < across < ends.greatest[end, axis] + margin
        if inside:
            return True
    return False


@kernel
def cut_and_fill(
    heights: NDArray[np.float32],
    corner: Corner,
    cells: NDArray[np.int64],
    nearest: NDArray[np.int64],
    works: Works,
    subcells: int,
    lowered: Floats,
    raised: Floats,
) -> None:
    """Mean depth of cut and mean height of fill in every cell, seen through ``subcells``² points.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Natural ground [m].
    corner : Corner
        Where its cells lie.
    cells, nearest : ndarray of int64, shape (n,)
        Flat indices, and the station next to the centre of each.
    works : Works
        Ditch and berm.
    subcells : int
        Points along a side of a cell.
    lowered, raised : ndarray of float64, shape (n,)
        Filled [m].
    """
    columns, xy, cell = heights.shape[1], works.xy, corner.cell
    for n in range(cells.size):
        x = corner.west + cell * (cells[n] % columns + 0.5)
        y = corner.north - cell * (cells[n] // columns + 0.5)
        _, _, offset, _ = _seen(x, y, xy, nearest[n], works.closed)
        if not (works.farthest_up - cell < offset < works.farthest_down + cell or _near_return(x, y, cell, works.ends)):
            continue
        for sub in range(subcells * subcells):
            row = cells[n] // columns + (sub // subcells + 0.5) / subcells - 0.5
            column = cells[n] % columns + (sub % subcells + 0.5) / subcells - 0.5
            ground = between_centres(heights, row, column)
            if math.isnan(ground):
                continue
            x, y = corner.west + cell * (column + 0.5), corner.north - cell * (row + 0.5)
            before, share, offset, beside = _seen(x, y, xy, nearest[n], works.closed)
            after = (before + 1) % xy.shape[0]
            floor = works.floor[before] + share * (works.floor[after] - works.floor[before])
            toe = works.toe[before] + share * (works.toe[after] - works.toe[before])
            toe_level = works.toe_level[before] + share * (works.toe_level[after] - works.toe_level[before])
            edge = works.crest_edge[before] + share * (works.crest_edge[after] - works.crest_edge[before])
            if beside and works.farthest_up < offset < toe:
                uphill, downhill = -works.half_floor - offset, offset - works.half_floor
                rise = max(uphill / works.ditch_uphill, downhill / works.ditch_downhill, 0.0)
                lowered[n] += max(ground - floor - rise, 0.0)
            top = _return_level(x, y, works.crest, works.berm_uphill, works.berm_downhill, works.ends)
            limit = works.crest
            if beside:
                if 0.0 < offset < works.farthest_down:
                    inner = toe_level + (offset - toe) / works.berm_uphill
                    top = max(top, min(inner, works.crest - (offset - edge) / works.berm_downhill))
                leg_end = works.chainage[after] if after > 0 else works.length
                from_sill = abs(works.chainage[before] + share * (leg_end - works.chainage[before]) - works.sill_at)
                if works.closed:
                    from_sill = min(from_sill, works.length - from_sill)
                if from_sill < works.sill_length / 2.0:
                    limit = works.sill
            raised[n] += max(min(top, limit) - ground, 0.0)
        lowered[n] /= subcells * subcells
        raised[n] /= subcells * subcells
