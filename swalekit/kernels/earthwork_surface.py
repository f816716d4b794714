"""The ground beside a line as ditch, berm, returns and sill leave it."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel
from swalekit.kernels.section_crossing import Roadways, with_roadway

Floats = NDArray[np.float64]

GROUND, DITCH, BENCH, BERM, OUTER_FACE, SILL, CROSSING = 0, 1, 2, 3, 4, 5, 6
"""Parts of a swale: untouched ground; the ditch; the ground between it and the berm; the berm's inner face and crest;
its outer face; the sill with its apron; the bank, ford and ramps of a crossing."""

_HIGHEST_FACE = 3.0  # of a crossing, far beyond any


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
    middle and its length; the farthest distance uphill, negative, and downhill at which earth is moved [m]; returns and
    crossings.
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
    ways: Roadways


@part_of_kernel
def seen(x: float, y: float, xy: Floats, near: int, legs_off: int, closed: bool) -> tuple[int, float, float, bool]:
    """Where a point lies beside a line.

    Parameters
    ----------
    x, y : float
        The point [m].
    xy : ndarray of float64, shape (k, 2)
        Stations [m].
    near, legs_off : int
        A station near the point, and how many legs on either side of it the nearest one is looked for.
    closed : bool
        Whether the last station is joined to the first.

    Returns
    -------
    before, share, offset, beside : int, float, float, bool
        Station before the point, share of the leg behind it, distance, positive on the right [m], and whether it lies
        beside the line, not beyond its ends.
    """
    count = xy.shape[0]
    legs = count if closed else count - 1
    best, before, place, side = np.inf, 0, 0.0, 0.0
    for step in range(-legs_off, legs_off):
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
def _on_returns(x: float, y: float, crest: float, uphill: float, downhill: float, ends: Ends) -> tuple[float, bool]:
    """Level of the faces of the returns at a point, minus infinity where there are none, and whether it's an outer one.

    Berm and return meet in an L: on its outside the lower of their faces counts, on its inside the higher.
    """
    level, outer = -np.inf, False
    for end in range(ends.place.shape[0]):
        rising, falling, inside = -np.inf, np.inf, True
        for axis in range(2):
            across = _along_axis(x, y, ends, end, axis)
            inside &= ends.least[end, axis] < across < ends.greatest[end, axis]
            rising = max(rising, (across - ends.inner[end, axis]) / uphill)
            falling = min(falling, (ends.outer[end, axis] - across) / downhill)
        if inside and crest + min(rising, falling) > level:
            level, outer = crest + min(rising, falling), falling < min(rising, 0.0)
    return level, outer


@part_of_kernel
def near_return(x: float, y: float, margin: float, ends: Ends) -> bool:
    """Whether a point lies within the bounds of a return, or a margin of them.

    Parameters
    ----------
    x, y : float
        The point [m].
    margin : float
        How far beyond the bounds it may lie [m].
    ends : Ends
        The returns.

    Returns
    -------
    bool
        True near any of them.
    """
    for end in range(ends.place.shape[0]):
        inside = True
        for axis in range(2):
            across = _along_axis(x, y, ends, end, axis)
            inside &= ends.least[end, axis] - margin < across < ends.greatest[end, axis] + margin
        if inside:
            return True
    return False


@part_of_kernel
def _along(before: int, share: float, place: float, works: Works) -> float:
    """Distance along the line from a place on it to a point so far along a leg."""
    after = (before + 1) % works.xy.shape[0]
    leg_end = works.chainage[after] if after > 0 else works.length
    away = abs(works.chainage[before] + share * (leg_end - works.chainage[before]) - place)
    if works.closed:
        away = min(away, works.length - away)
    return float(away)


@part_of_kernel
def _in_sill(before: int, share: float, works: Works) -> bool:
    """Whether a point so far along a leg lies within the sill's length."""
    return bool(_along(before, share, works.sill_at, works) < works.sill_length / 2.0)


@part_of_kernel
def near_crossing(before: int, share: float, offset: float, margin: float, works: Works) -> bool:
    """Whether a point beside a line lies within the bounds of a crossing, or a margin of them.

    Parameters
    ----------
    before, share, offset : int, float, float
        Station before the point, share of the leg behind it, and distance from the line [m].
    margin : float
        How far beyond the bounds it may lie [m].
    works : Works
        The works.

    Returns
    -------
    bool
        True near any of them.
    """
    ways = works.ways
    for way in range(ways.at.size):
        face = ways.half[way] + ways.wider[way] + ways.side[way] * _HIGHEST_FACE
        if (
            ways.least[way] - margin < offset < ways.greatest[way] + margin
            and _along(before, share, ways.at[way], works) < face + margin
        ):
            return True
    return False


@part_of_kernel
def _finished(ground: float, x: float, y: float, near: int, legs_off: int, works: Works) -> tuple[float, int]:
    """Finished height at a point, and the part of the swale that stands there."""
    before, share, offset, beside = seen(x, y, works.xy, near, legs_off, works.closed)
    level, part = _swale(ground, x, y, before, share, offset, beside, works)
    for way in range(works.ways.at.size if beside else 0):
        away = _along(before, share, works.ways.at[way], works)
        crossed = with_roadway(ground, level, offset, away, works.ways, way)
        if crossed != level or (part == DITCH and away < works.ways.half[way]):
            level, part = crossed, CROSSING
    return level, part


@part_of_kernel
def _swale(
    ground: float, x: float, y: float, before: int, share: float, offset: float, beside: bool, works: Works
) -> tuple[float, int]:
    """Height at a point of a swale without its crossings, and the part that stands there.

    The ditch is cut where it lies lower than the ground, the berm raised where it stands higher, but never in the
    ditch. Within the sill's length nothing from ditch to daylight stands higher than the sill.
    """
    after = (before + 1) % works.xy.shape[0]
    toe = works.toe[before] + share * (works.toe[after] - works.toe[before])
    if beside and works.farthest_up < offset < toe:
        floor = works.floor[before] + share * (works.floor[after] - works.floor[before])
        uphill, downhill = -works.half_floor - offset, offset - works.half_floor
        dug = floor + max(uphill / works.ditch_uphill, downhill / works.ditch_downhill, 0.0)
        if dug < ground or abs(offset) <= works.half_floor:
            if offset > 0.0 and dug > works.sill and _in_sill(before, share, works):
                return min(ground, works.sill), SILL
            return min(ground, dug), DITCH
    top, outside = _on_returns(x, y, works.crest, works.berm_uphill, works.berm_downhill, works.ends)
    below = beside and 0.0 < offset < works.farthest_down
    if below:
        toe_level = works.toe_level[before] + share * (works.toe_level[after] - works.toe_level[before])
        edge = works.crest_edge[before] + share * (works.crest_edge[after] - works.crest_edge[before])
        rising = toe_level + (offset - toe) / works.berm_uphill
        falling = works.crest - (offset - edge) / works.berm_downhill
        if min(rising, falling) > top:
            top, outside = min(rising, falling), falling < min(rising, works.crest)
    level, part = ground, GROUND
    if min(top, works.crest) > ground:
        level, part = min(top, works.crest), OUTER_FACE if outside else BERM
    elif below and offset < toe:
        part = BENCH
    high = level > works.sill or part in (BENCH, BERM)
    if below and high and _in_sill(before, share, works):
        return min(level, works.sill), SILL
    return level, part


@part_of_kernel
def _stands(level: float, part: int, level_there: float, part_there: int) -> bool:
    """Whether a swale's part stands where another's was: ditches and sills stay open, and what lies highest stays."""
    rank, there = (0, 4, 1, 2, 2, 3, 2)[part], (0, 4, 1, 2, 2, 3, 2)[part_there]
    if rank == there:
        return level < level_there if part in (DITCH, SILL) else level > level_there
    return rank > there


@kernel
def lay_works(
    corner: Corner,
    columns: int,
    k: int,
    cells: NDArray[np.int64],
    blocks: NDArray[np.int64],
    nearest: NDArray[np.int64],
    legs_off: NDArray[np.int64],
    works: Works,
    number: int,
    natural: NDArray[np.float32],
    heights: NDArray[np.float32],
    swale: NDArray[np.int32],
    part: NDArray[np.uint8],
    shared: Floats,
) -> tuple[float, float, float]:
    """Cut a swale into the k × k nodes of cells and raise its berm on them, or only measure what it moves.

    Parameters
    ----------
    corner : Corner
        Where the cells lie.
    columns : int
        Cells in a row.
    k : int
        Nodes along a side of a cell.
    cells, blocks, nearest, legs_off : ndarray of int64, shape (n,)
        Flat indices, the block of nodes of each, the station next to its centre, and how many legs from there the
        nearest leg may lie.
    works : Works
        Ditch, berm and sill.
    number : int
        Number of the swale, from 1; 0 to measure only.
    natural : ndarray of float32, shape (b k²,)
        Natural ground at the nodes [m].
    heights, swale, part : ndarray of float32, int32, uint8, shape (b k²,)
        Finished height [m], number of the swale and its part at the nodes: changed.
    shared : ndarray of float64, shape (s,)
        Nodes that each swale has in common with others: raised.

    Returns
    -------
    lowered, raised, highest : float
        Depths of cut and heights of fill, added up over the nodes, and the greatest fill [m].
    """
    lowered = raised = highest = 0.0
    for n in range(cells.size):
        row, column = cells[n] // columns, cells[n] % columns
        for sub in range(k * k):
            node = blocks[n] * k * k + sub
            ground = float(natural[node])
            x = corner.west + corner.cell * (column + (sub % k + 0.5) / k)
            y = corner.north - corner.cell * (row + (sub // k + 0.5) / k)
            level, here = _finished(ground, x, y, nearest[n], legs_off[n], works)
            lowered += max(ground - level, 0.0)
            raised += max(level - ground, 0.0)
            highest = max(highest, level - ground)
            if number == 0 or here == GROUND:
                continue
            if swale[node] > 0:
                shared[swale[node] - 1] += 1.0
                shared[number - 1] += 1.0
                if not _stands(level, here, float(heights[node]), int(part[node])):
                    continue
            heights[node], swale[node], part[node] = level, number, here
    return lowered, raised, highest


@kernel
def finish_points(
    ground: Floats,
    x: Floats,
    y: Floats,
    nearest: NDArray[np.int64],
    legs_off: NDArray[np.int64],
    works: Works,
    part: NDArray[np.uint8],
    offset: Floats,
) -> Floats:
    """Finished heights at n points anywhere.

    Parameters
    ----------
    ground, x, y : ndarray of float64, shape (n,)
        Natural height and place of each [m].
    nearest, legs_off : ndarray of int64, shape (n,)
        The station next to each, and how many legs from there its nearest leg may lie.
    works : Works
        Ditch, berm and sill.
    part : ndarray of uint8, shape (n,)
        Filled with the part of the swale that stands there.
    offset : ndarray of float64, shape (n,)
        Filled with the distance from the line, positive downhill [m].

    Returns
    -------
    ndarray of float64, shape (n,)
        Heights [m].
    """
    heights = np.empty(x.size, np.float64)
    for n in range(x.size):
        heights[n], part[n] = _finished(ground[n], x[n], y[n], nearest[n], legs_off[n], works)
        _, _, offset[n], _ = seen(x[n], y[n], works.xy, nearest[n], legs_off[n], works.closed)
    return heights
