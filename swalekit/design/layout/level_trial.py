"""The lines of one level on trial: what they hold, and what the design storm brings them."""

from dataclasses import dataclass, replace
from math import inf

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.contours.barrier import barrier_labels
from swalekit.contours.lay import lay_lines
from swalekit.contours.line import LevelLine
from swalekit.design.brief.settings import line_rules_of, section_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.flow.catchments import first_met
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.cascade import local_runoff_m3, pass_down
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.sizing import section_fault
from swalekit.section.stations import Stations, pond_reach_m


@dataclass(frozen=True, eq=False)
class LevelTrial(Frozen):
    """Lines on one level, all dug to one depth.

    Parameters
    ----------
    level_m : float
        The level [m].
    lines : tuple of LevelLine
        n lines that can be dug there.
    storage_m3, need_m3 : ndarray of float64, shape (n,)
        What each holds, and what the design storm brings it [m³].
    """

    level_m: float
    lines: tuple[LevelLine, ...]
    storage_m3: NDArray[np.float64]
    need_m3: NDArray[np.float64]

    @property
    def fullness(self) -> float:
        """Share of the level's storage that the storm fills, above 1 where it can't hold all; 0 without a line [-]."""
        need, storage = float(self.need_m3.sum()), float(self.storage_m3.sum())
        return need / storage if storage > 0 else (inf if need > 0 else 0.0)


def try_level(
    site: Site,
    ground: Ground,
    area: BaseGeometry,
    level_m: float,
    *,
    depth_m: float,
    above: tuple[LevelLine, ...] = (),
) -> LevelTrial:
    """Lay, shape and fill the lines of a level below lines that stand already.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    area : shapely polygon or multipolygon
        Where lines may run.
    level_m : float
        The level [m].
    depth_m : float
        Dig depth of every line [m].
    above : tuple of LevelLine
        Lines that stand above it and hold all that reaches them.

    Returns
    -------
    LevelTrial
        The lines that can be dug, what they hold, and what they get from ground that no line above drains, with what
        the hollows on it can't keep.
    """
    section, fill_factor, grid = section_of(site), site.brief.soil.fill_factor, ground.terrain.grid
    laid, _ = lay_lines(
        ground.terrain,
        [level_m],
        area=area,
        keep_outs=site.keep_outs,
        blocked=ground.watercourses,
        ponds=ground.ponds,
        rules=line_rules_of(site, ground.terrain),
    )
    lines = tuple(line for line in laid if not section_fault(line, section, depth_m=depth_m, fill_factor=fill_factor))
    if not lines:
        return LevelTrial(level_m, (), np.zeros(0), np.zeros(0))
    every = (*above, *lines)
    labels = first_met(ground.network, barrier_labels(grid, every), n_stops=len(every))
    shapes = []
    for number, line in enumerate(lines, start=len(above) + 1):
        stations = Stations.of_line(line, pond_reach_m(line, labels, number, grid))
        shapes.append(shape_swale(stations, depth_m, section, fill_factor=fill_factor))
    need = _received_m3(site, ground, labels, shapes, n_above=len(above))
    return LevelTrial(level_m, lines, np.array([shape.storage_m3 for shape in shapes]), need)


def _received_m3(
    site: Site, ground: Ground, labels: NDArray[np.int32], shapes: list[ShapedSwale], *, n_above: int
) -> NDArray[np.float64]:
    """What the design storm brings to the lines of a level, with what hollows between can't keep [m³]."""
    n_lines, hollow_m3 = n_above + len(shapes), ground.network.hollows.volume_m3
    strips = np.zeros(n_lines + hollow_m3.size)
    strips[n_above:n_lines] = [shape.catch_m2 for shape in shapes]
    stores = ground.stores(labels, ground.downstream(labels, np.zeros(n_lines, np.int32)))
    local = local_runoff_m3(replace(stores, strip_area_m2=strips), storm_of(site).depth_mm, ground.soil)
    capacity = np.concatenate([np.zeros(n_lines), hollow_m3])
    return pass_down(stores, local, capacity).received_m3[n_above:n_lines]
