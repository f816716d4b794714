"""How far apart the lines lie that were laid, level by level."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Geometry

from swalekit._one_line import one_line
from swalekit.contours.levels import SPACING_CELL_M
from swalekit.contours.line import LevelLine, RefusedLine
from swalekit.frozen import Frozen
from swalekit.terrain.coarsen import coarsen
from swalekit.terrain.slope import slope
from swalekit.terrain.terrain import Terrain, cells_within

_MOST_CELLS = 1e6
"""Cells of the area that are looked at, about: of a larger area wider ones."""


@one_line("levels_m", "mean_m")
@dataclass(frozen=True, eq=False)
class LaidSpacing(Frozen):
    """Ground between neighbouring levels that have lines, and the length of these lines.

    Parameters
    ----------
    levels_m : ndarray of float64, shape (n,)
        Levels with a line, descending [m].
    area_m2 : ndarray of float64, shape (n − 1,)
        Ground between each level and the next, the mean of what lies by the lines of either [m²].
    length_m : ndarray of float64, shape (n − 1,)
        Mean length of the lines of both [m].
    """

    levels_m: NDArray[np.float64]
    area_m2: NDArray[np.float64]
    length_m: NDArray[np.float64]

    @property
    def spacing_m(self) -> NDArray[np.float64]:
        """Mean horizontal distance from each level to the next, shape (n − 1,) [m]."""
        return self.area_m2 / self.length_m

    @property
    def mean_m(self) -> float | None:
        """Mean horizontal distance over all the ground between lines [m]; None with fewer than two levels."""
        return float(self.area_m2.sum() / self.length_m.sum()) if self.area_m2.size else None


def laid_spacing(
    terrain: Terrain, lines: Sequence[LevelLine], refused: Sequence[RefusedLine], area: Geometry
) -> LaidSpacing:
    """Horizontal distance between neighbouring levels, from the ground between their lines and the lines' length.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    lines : sequence of LevelLine
        Lines that were laid.
    refused : sequence of RefusedLine
        Stretches of the same contours that were not: the ground by these doesn't count.
    area : shapely geometry
        Where lines may run, in the terrain's CRS.

    Returns
    -------
    LaidSpacing
        From the highest level with a line to the lowest; a level that has none is passed over.

    Notes
    -----
    Ground between two levels lies by that stretch of each which is nearest to it. What lies by laid lines of the one
    and of the other, divided by the length of both, is their mean distance. Cells of about 3 m count by the share of
    them that lies between the levels, taken as even ground of the cell's slope.

    Examples
    --------
    >>> from swalekit.design.layout.lines import workable_area
    >>> found = laid_spacing(terrain, layout.lines, layout.refused, workable_area(site, ground))
    >>> found.levels_m, round(found.mean_m)  # 4 m of fall at 10 %
    (array([108., 104.]), 40)
    """
    levels = np.unique([line.level_m for line in lines])[::-1]
    if levels.size < 2:
        return LaidSpacing(levels, np.zeros(0), np.zeros(0))
    width_m = max(SPACING_CELL_M, float(np.sqrt(area.area / _MOST_CELLS)))
    coarse = coarsen(terrain, max(1, round(width_m / terrain.grid.cell_m)))
    inside = cells_within(coarse.grid, area) & coarse.valid
    places = shapely.points(np.column_stack(coarse.grid.centres(*np.nonzero(inside))))
    fall_m = np.maximum(slope(coarse)[inside].astype(np.float64) * coarse.grid.cell_m, 1e-6)
    above = [np.clip(0.5 + (coarse.heights[inside] - level) / fall_m, 0.0, 1.0) for level in levels]
    area_m2, length_m = np.zeros(levels.size - 1), np.zeros(levels.size - 1)
    for number, level in enumerate(levels):
        own = [shapely.LineString(line.path) for line in lines if line.level_m == level]
        others = [shapely.LineString(stretch.xy) for stretch in refused if stretch.level_m == level]
        stretches, own_m = shapely.STRtree([*own, *others]), sum(line.length for line in own)
        for band in {max(number - 1, 0), min(number, levels.size - 2)}:
            share = above[band + 1] - above[band]
            near = np.flatnonzero(share > 0.0)
            by_own = stretches.nearest(places[near]) < len(own)
            area_m2[band] += 0.5 * coarse.grid.cell_area_m2 * share[near][by_own].sum()
            length_m[band] += 0.5 * own_m
    return LaidSpacing(levels, area_m2, length_m)
