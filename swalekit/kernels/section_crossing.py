"""The roadway of a crossing across ditch and berm, and what it changes of a swale's earth and water."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel
from swalekit.kernels.section_nodes import CREST_INNER_EDGE, DOWNHILL_LIP, Dimensions, profile_nodes

Floats = NDArray[np.float64]

_SAME_M = 1e-6


class Roadways(NamedTuple):
    """Crossings of a swale, c of them.

    Of each the chainage of its middle and half the width of its roadway along the line; how much farther fill goes on
    at full height than cut; its faces, horizontal : vertical. Across the line four nodes, downhill positive, and their
    levels; the rise of the roadway uphill of the first and its fall downhill of the last, a metre. Whether it dips:
    then it lies where its nodes are, else never below the ground. The least and the greatest distance from the line at
    which it moves earth [m].
    """

    at: Floats
    half: Floats
    wider: Floats
    side: Floats
    x: Floats
    level: Floats
    uphill: Floats
    downhill: Floats
    dips: NDArray[np.bool_]
    least: Floats
    greatest: Floats


@part_of_kernel
def _roadway(ground: float, offset: float, ways: Roadways, way: int) -> float:
    """Level of the middle of a roadway at a distance from the line, where the ground lies at a level."""
    x, level = ways.x[way], ways.level[way]
    if offset > x[3]:
        return max(ground, float(level[3] - ways.downhill[way] * (offset - x[3])))
    if offset < x[0]:
        there = float(level[0] + ways.uphill[way] * (x[0] - offset))
        return min(ground, there) if ways.dips[way] else max(ground, there)
    node = 0
    while node < 2 and offset > x[node + 1]:
        node += 1
    run = x[node + 1] - x[node]
    share = (offset - x[node]) / run if run > 0.0 else 0.0
    there = float(level[node] + share * (level[node + 1] - level[node]))
    return there if ways.dips[way] else max(ground, there)


@part_of_kernel
def with_roadway(ground: float, level: float, offset: float, away: float, ways: Roadways, way: int) -> float:
    """Finished level at a point of a swale that a crossing may raise or cut.

    Parameters
    ----------
    ground, level : float
        Level of the ground, and of the swale without the crossing [m].
    offset : float
        Distance from the line, positive downhill [m].
    away : float
        Distance along the line from the middle of the crossing [m].
    ways : Roadways
        The crossings.
    way : int
        Which of them.

    Returns
    -------
    float
        Level: the roadway's within its width, and beyond it no lower and, of one that dips, no higher than its faces.
    """
    if not ways.least[way] < offset < ways.greatest[way]:
        return level
    beyond = max(away - float(ways.half[way]), 0.0)
    road = _roadway(ground, offset, ways, way)
    raised = max(level, float(road - max(beyond - ways.wider[way], 0.0) / ways.side[way]))
    return min(raised, float(road + beyond / ways.side[way])) if ways.dips[way] else raised


@kernel
def measure_crossing(
    section: Dimensions,
    depth: float,
    crest: float,
    slope: float,
    reach: float,
    curvature: float,
    ways: Roadways,
    step: float,
    water: Floats,
) -> tuple[float, float, float, Floats, Floats]:
    """What the first of some crossings changes on the plane ground of one station.

    Parameters
    ----------
    section : Dimensions
        The cross-section.
    depth, crest, slope, reach, curvature : float
        Dig depth and height of the crest above the ground [m], slope across [m/m], reach of the pond [m] and curvature
        [1/m] of the station.
    ways : Roadways
        Its roadway, levels above the ground at the stake.
    step : float
        Sides of the columns that are added up [m].
    water : ndarray of float64, shape (k,)
        Levels of the water above the ground at the stake [m].

    Returns
    -------
    cut, fill, half_length : float
        Change of cut and of fill [m³], and half the length of line on which anything changes [m].
    lost, area : ndarray of float64, shape (k,)
        Storage [m³] and plan area [m²] of the pond that it takes.
    """
    nodes_x, nodes_y = profile_nodes(section, depth, crest, slope, 0.0)
    first = ways.least[0]
    count = int(np.ceil((ways.greatest[0] - first) / step))
    base, weight = np.empty(count, np.float64), np.empty(count, np.float64)
    node = 0
    for n in range(count):
        x = first + (n + 0.5) * step
        weight[n] = step * max(1.0 + curvature * x, 0.0)
        while node < 7 and x > nodes_x[node + 1]:
            node += 1
        if x <= nodes_x[0] or x >= nodes_x[8]:
            base[n] = -slope * x
        else:
            run = nodes_x[node + 1] - nodes_x[node]
            base[n] = nodes_y[node] + (x - nodes_x[node]) / run * (nodes_y[node + 1] - nodes_y[node])
    lip, lip_level = nodes_x[DOWNHILL_LIP], nodes_y[DOWNHILL_LIP]
    inner, edge = nodes_x[CREST_INNER_EDGE], max(nodes_x[CREST_INNER_EDGE], ways.x[0, 2])
    cut = fill = beyond = 0.0
    lost, area = np.zeros(water.size, np.float64), np.zeros(water.size, np.float64)
    row, changed = 0, True
    while changed and row < 4000:
        away = 0.0 if row == 0 else ways.half[0] + (row - 0.5) * step
        length = 2.0 * ways.half[0] if row == 0 else 2.0 * step
        changed, closed = False, False
        for n in range(count):
            x, before = first + (n + 0.5) * step, base[n]
            ground = -slope * x
            after = with_roadway(ground, before, x, away, ways, 0)
            closed |= x > lip and after >= crest - _SAME_M
            if abs(after - before) > _SAME_M:
                changed = True
                cut += length * weight[n] * (max(ground - after, 0.0) - max(ground - before, 0.0))
                fill += length * weight[n] * (max(after - ground, 0.0) - max(before - ground, 0.0))
            if x < -reach or (after == before and x <= inner):
                continue
            for k in range(water.size):
                if x > lip and water[k] <= lip_level:
                    continue
                stood = max(water[k] - before, 0.0) if x <= inner else 0.0
                stands = 0.0 if closed or x > edge else max(water[k] - after, 0.0)
                lost[k] += length * weight[n] * (stood - stands)
                area[k] += length * weight[n] * ((1.0 if stood > 0.0 else 0.0) - (1.0 if stands > 0.0 else 0.0))
        if changed and row > 0:
            beyond = row * step
        row += 1
    return cut, fill, ways.half[0] + beyond, lost, area
