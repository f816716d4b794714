"""Where the trees of a swale may stand: on free ground, and near enough for their roots to reach its water."""

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.growth.chosen_species import Chosen
from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.design import Design, Swale
from swalekit.planting.plants.plant_positions import Planting, plant_positions
from swalekit.planting.plants.plant_rows import ditch_lip_m, usual_rows

_OVERFLOW_M = 1.5
"""Ground kept free on both sides of an overflow's way at least; common practice."""


def plantable(design: Design) -> BaseGeometry:
    """Ground that may be planted: the site less its own and keep-outs' setbacks, watercourses and ways of overflow."""
    site, ground = design.site, design.ground
    land = ground.area if site.boundary is None else workable_area(site, ground)
    gap_m = site.brief.lines.watercourse_gap_m
    taken: list[Any] = [each.zone for each in site.keep_outs]
    taken += [shapely.LineString(xy).buffer(gap_m) for xy in ground.watercourse_lines if len(xy) > 1]
    taken += [
        shapely.LineString(each.sill.path).buffer(max(0.5 * each.sill.length_m, _OVERFLOW_M))
        for each in design.swales
        if len(each.sill.path) > 1
    ]
    return land.difference(shapely.union_all(taken)) if taken else land


def tree_places(swale: Swale, chosen: Chosen, free: BaseGeometry, *, rows_below: int, latitude_deg: float) -> Planting:
    """Every place along a swale that lies on free ground, with the plant that would stand there."""
    shape = swale.sized.shape
    rows = usual_rows(shape, chosen.pioneers, chosen.sheltered, ground_cover=chosen.ground_cover, rows_below=rows_below)
    return plant_positions(swale.line, rows, latitude_deg=latitude_deg, allowed=free)


def wetted_m(swale: Swale, part: PlantingPart) -> float:
    """How far from its line the ground below a swale is wetted: to the ditch's lip, and as far as water creeps [m]."""
    return float(ditch_lip_m(swale.sized.shape).mean()) + part.seep_m


def within_reach(planting: Planting, swale: Swale, radius_m: float, *, wet_m: float) -> NDArray[np.bool_]:
    """Mark plants whose roots reach ground that the ditch wets; ground cover lives on rain and is marked too."""
    way = shapely.LineString(swale.line.path)
    distance_m = shapely.distance(way, shapely.points(planting.xy))
    return np.asarray(planting.of_roles("ground cover") | (distance_m < wet_m + radius_m))
