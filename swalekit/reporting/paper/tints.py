"""Which tint each area takes, so that neighbours differ."""

from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

Geometry = Any


def tint_numbers(areas: Sequence[Geometry], count: int) -> list[int]:
    """Number of the tint of each area: neighbours share none while the tints suffice.

    Parameters
    ----------
    areas : sequence of shapely geometry
        Areas that may touch but don't overlap.
    count : int
        Number of tints there are.

    Returns
    -------
    list of int
        0 to ``count`` − 1 for each area.

    Notes
    -----
    Greedy by saturation: the next area is the one whose neighbours show the most tints, then the one with the most
    neighbours, then the first. It takes the lowest tint that its neighbours lack, or the one that fewest of them have.

    Examples
    --------
    >>> tint_numbers([shapely.box(x, 0, x + 1, 1) for x in range(4)], 3)
    [1, 0, 1, 0]
    """
    neighbours = _neighbours(areas)
    tints: dict[int, int] = {}

    def seen(area: int) -> Counter[int]:
        return Counter(tints[each] for each in neighbours[area] if each in tints)

    while len(tints) < len(areas):
        open_areas = (area for area in range(len(areas)) if area not in tints)
        chosen = max(open_areas, key=lambda area: (len(seen(area)), len(neighbours[area]), -area))
        shown = seen(chosen)
        tints[chosen] = min(range(count), key=lambda tint: (shown[tint], tint))
    return [tints[area] for area in range(len(areas))]


def _neighbours(areas: Sequence[Geometry]) -> list[set[int]]:
    """Areas that touch each area."""
    neighbours: list[set[int]] = [set() for _ in areas]
    shapes = np.array(areas, dtype=object)
    for one, other in shapely.STRtree(shapes).query(shapes, predicate="intersects").T.tolist():
        if one != other:
            neighbours[one].add(other)
    return neighbours
