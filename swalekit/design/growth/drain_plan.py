"""Where the basins of a branched drain lie: at planned trees below its first split."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.design.growth.greywater import CleanedWater, Greywater
from swalekit.design.growth.growth import SwaleGrowth
from swalekit.design.plan.design import Design
from swalekit.greywater.branched_drain import BranchedDrain, basin_need, branched_drain, drain_practice
from swalekit.terrain.sample import sample_heights

_NO_TREE = (
    "no planned tree lies below the first split, clear of wells and watercourses, that a branched drain could water: "
    "take a reed bed, or raise the outlet"
)


def with_drain(design: Design, found: Greywater, swales: Sequence[SwaleGrowth], clearances: BaseGeometry) -> Greywater:
    """Give the greywater a branched drain from its first place that reaches a tree.

    Parameters
    ----------
    design : Design
        Ground, soil and brief.
    found : Greywater
        Outlets and places.
    swales : sequence of SwaleGrowth
        The planned trees.
    clearances : shapely geometry
        Ground by wells, springs and watercourses on which there is no basin.

    Returns
    -------
    Greywater
        With the drain and the trees of its basins, the place that it starts from first; without any place, and with the
        reason, where no tree is reached.

    Examples
    --------
    >>> drained = with_drain(design, growth.greywater, growth.swales, shapely.Polygon())
    >>> drained.drain.count == len(drained.basin_trees)
    True
    """
    xy, names = _trees(swales, clearances)
    for rank, place in enumerate(found.places):
        laid = _laid(design, found, place, xy)
        if laid is not None:
            drain, which = laid
            others = (*found.places[:rank], *found.places[rank + 1 :])
            trees = tuple(names[k] for k in which.tolist())
            return replace(found, drain=drain, basin_trees=trees, places=(place, *others), left_m3_d=found.flow_m3_d)
    return replace(found, places=(), reason=_NO_TREE, led=())


def _trees(swales: Sequence[SwaleGrowth], clearances: BaseGeometry) -> tuple[NDArray[np.float64], list[str]]:
    """Places of the planned trees, and of pioneers where there is no tree, with swale and species."""
    for role in ("fruit", "pioneer"):
        listed = [
            ((float(xy[0]), float(xy[1])), f"{swale.swale} {species.name}")
            for swale in swales
            for xy, species in zip(swale.planting.xy, swale.planting.species, strict=True)
            if species.role == role and not clearances.contains(shapely.Point(xy))
        ]
        if listed:
            return np.array([xy for xy, _ in listed]), [name for _, name in listed]
    return np.empty((0, 2)), []


def _laid(
    design: Design, found: Greywater, place: CleanedWater, trees: NDArray[np.float64]
) -> tuple[BranchedDrain, NDArray[np.intp]] | None:
    """A drain to the nearest trees that its pipes come down to, and which they are; None where there is none."""
    part, terrain = design.site.brief.greywater, design.ground.terrain
    if not len(trees):
        return None
    start, level_m = place.place.xy, place.place.outlet_level_m
    ground = sample_heights(terrain, *trees.T)
    distance = np.hypot(*(trees - np.array(start)).T)
    floor_m = drain_practice("basin depth")
    falls = part.grade * drain_practice("fall allowance") * distance
    reached = np.flatnonzero((ground - floor_m <= level_m - falls) & (distance > 0.0))
    reached = reached[np.argsort(distance[reached], kind="stable")]
    soil = design.ground.soil
    texture = design.site.brief.planting.texture or design.site.brief.soil.texture or ""
    while reached.size:
        most = reached.size if part.basins is None else min(part.basins, reached.size)
        need = basin_need(found.flow_m3_d, texture, soil.design_intake_mm_h, most=most)
        if part.basins is not None:
            need = replace(need, count=2 ** int(np.log2(most)))
        which = reached[: need.count]
        drain = branched_drain(need, start, level_m, trees[which], ground[which], grade=part.grade)
        deep = drain.ground_m - drain.arrival_m > floor_m + 1e-9
        if not deep.any():
            return drain, which
        reached = reached[~np.isin(reached, which[deep])]
    return None
