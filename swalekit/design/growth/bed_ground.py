"""The ground for annual beds, and the beds laid on it."""

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.beds.bed import BedRules, levelled_from
from swalekit.beds.ground import steepness_m2
from swalekit.beds.lay import lay_beds
from swalekit.design.growth.garden import FLAT, KEPT_CLEAR, STEEP, SWALES, TREES, WATER, GardenBeds
from swalekit.design.growth.growth import SwaleGrowth
from swalekit.design.layout.kept_clear import kept_free
from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.design import Design
from swalekit.errors import GeometryError

_CLEAR_OF_WORKS_M = 1.0
"""Between ditch or berm of a swale and a bed: our choice, as wide as offset stakes stand off."""
_CLEAR_OF_TREES_M = 1.5
"""Between a tree or pioneer and a bed: our choice."""


def lay_garden(design: Design, swales: Sequence[SwaleGrowth], area: BaseGeometry | None) -> GardenBeds | None:
    """Lay the beds that a brief asks for.

    Parameters
    ----------
    design : Design
        The swales; beds keep off their works, the ways of their overflow, keep-outs, watercourses and ponds.
    swales : sequence of SwaleGrowth
        Trees and pioneers, which they keep off too.
    area : shapely polygon or multipolygon or None
        Ground asked for, in the CRS of the terrain; None for no beds.

    Returns
    -------
    GardenBeds or None
        None where none are asked for.

    Raises
    ------
    GeometryError
        If the ground lies off the site, or no bed at all can be laid, with the reason.

    Examples
    --------
    >>> garden = lay_garden(design, growth.swales, ground.area.buffer(-14.0))
    >>> len(garden.beds) > 20, garden.beds[0].levelled
    (True, True)
    """
    if area is None:
        return None
    site, ground, rules = design.site, design.ground, design.site.brief.beds.rules
    asked = area.intersection(ground.area)
    if asked.area == 0.0:
        message = "[beds] area lies wholly outside the site or the tile; check its CRS, or draw it within the boundary"
        raise GeometryError(message)
    gap_m = site.brief.lines.watercourse_gap_m
    works = [swale.works.buffer(_CLEAR_OF_WORKS_M) for swale in design.swales]
    works += [
        shapely.LineString(swale.sill.path).buffer(max(0.5 * swale.sill.length_m, gap_m))
        for swale in design.swales
        if len(swale.sill.path) > 1
    ]
    stems = [
        xy for swale in swales for xy, row in zip(swale.planting.xy, swale.planting.row, strict=True) if row != "berm"
    ]
    taken = {
        KEPT_CLEAR: [
            asked.difference(workable_area(site, ground)),
            *(keep_out.zone for keep_out in kept_free(site, ground)),
        ],
        WATER: [way.buffer(gap_m) for way in ground.watercourse_ways],
        SWALES: works,
        TREES: [shapely.Point(xy).buffer(_CLEAR_OF_TREES_M) for xy in stems],
    }
    left, refused = asked, {}
    for reason, shapes in taken.items():
        fewer = left.difference(shapely.union_all(shapes))
        refused[reason], left = left.area - fewer.area, fewer
    left = _polygons(left)
    if left.is_empty:
        most = max(refused, key=lambda reason: refused[reason])
        message = f"[beds] area holds no open ground: most of it is taken by {most}; draw it elsewhere"
        raise GeometryError(message)
    flat_m2, steep_m2 = steepness_m2(ground.terrain, left, rules)
    beds = lay_beds(ground.terrain, left, rules)
    if not beds:
        raise GeometryError(_why_none(left.area, flat_m2, steep_m2, rules))
    refused |= {FLAT: flat_m2, STEEP: steep_m2}
    spare_m2 = max(left.area - float(sum(bed.area_m2 for bed in beds)), 0.0)
    for reason in (STEEP, FLAT):  # cells at the edge of a bed may be steeper than the bed
        refused[reason] = min(refused[reason], spare_m2)
        spare_m2 -= refused[reason]
    return GardenBeds(beds, asked, {reason: m2 for reason, m2 in refused.items() if m2 > 0.5}, rules)


def _polygons(geometry: BaseGeometry) -> BaseGeometry:
    return shapely.MultiPolygon(
        [part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon" and part.area > 0.0]
    )


def _why_none(open_m2: float, flat_m2: float, steep_m2: float, rules: BedRules) -> str:
    """Why no bed could be laid, and the way out."""
    if steep_m2 >= 0.5 * open_m2:
        return (
            f"[beds] area is too steep: {steep_m2:,.0f} of {open_m2:,.0f} m² of open ground fall more than "
            f"{100 * rules.greatest_slope:g} %, where beds need built terraces; draw it on gentler ground, or raise "
            "greatest_slope after an engineer has looked"
        )
    if flat_m2 >= 0.5 * open_m2:
        return (
            f"[beds] area is too flat: {flat_m2:,.0f} of {open_m2:,.0f} m² fall less than "
            f"{100 * rules.least_slope:g} %, where a tile can't say how a level line runs; lay straight beds by tape"
        )
    return (
        f"[beds] area has no room for a bed of {rules.shortest_m:g} by {rules.width_m:g} m along a level line; give "
        "more ground, narrower beds or a smaller shortest_m"
    )


def bed_width_words(rules: BedRules) -> tuple[float, float]:
    """Slope from which these beds are levelled, and width of bed that lies as it is on the steepest ground allowed.

    Parameters
    ----------
    rules : BedRules
        Widths and slopes.

    Returns
    -------
    tuple of float
        Slope [m/m], width [m].

    Examples
    --------
    >>> tuple(round(value, 3) for value in bed_width_words(BedRules()))
    (0.083, 0.4)
    """
    return levelled_from(rules), float(np.floor(100.0 * rules.greatest_fall_m / rules.greatest_slope) / 100.0)
