"""The ground of a site that is asked for microcatchments, and what of it is open to them."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.ndimage import label
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.design.brief.site import Site
from swalekit.design.bunding.size import UnitSize
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.kept_clear import kept_free
from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.design import Design
from swalekit.errors import GeometryError
from swalekit.frozen import Frozen
from swalekit.microcatchments import negarim, semicircle
from swalekit.microcatchments.fall import fall_of
from swalekit.microcatchments.open_ground import OpenGround
from swalekit.section.footprint import works_footprint
from swalekit.tables.microcatchments import microcatchment_rule
from swalekit.terrain.terrain import cells_within

UNKNOWN, KEPT_CLEAR, WATER, SWALES = "unknown", "kept clear", "watercourse or pond", "swales and their water"
FLAT, STEEP, BETWEEN, LAID = "too flat", "too steep", "between units and at edges", "laid"
"""What becomes of ground, in the order in which it is told."""
_WIDTHS = 2.0
"""Width over which slopes are told, in sides or radii: our choice."""
_POND_SHARE = 0.25
"""Hollows that pond over less than this share of a unit are levelled when it is built: our choice."""
_CLEAR_OF_WORKS_M = 1.0
"""Between ditch or berm of a swale and the foot of a bund: our choice, as wide as offset stakes stand off."""


@one_line("open", "refused_m2")
@dataclass(frozen=True, eq=False)
class AskedGround(Frozen):
    """Ground asked for.

    Parameters
    ----------
    asked : shapely geometry
        The polygons of the brief within the site, or the site.
    open : OpenGround
        What of it is open.
    refused_m2 : mapping of str to float
        Area that isn't, by reason, each cell under the first that holds [m²].
    """

    asked: BaseGeometry
    open: OpenGround
    refused_m2: Mapping[str, float]


def asked_slope(site: Site) -> float:
    """Steepest ground that units are asked for.

    Parameters
    ----------
    site : Site
        What is asked.

    Returns
    -------
    float
        As the brief says, else as published for the kind [m/m].

    Examples
    --------
    >>> asked_slope(site)
    0.05
    """
    part = site.brief.microcatchments
    if part.greatest_slope is not None:
        return part.greatest_slope
    return microcatchment_rule(f"{part.kind} greatest slope").value / 100.0


def greatest_slope(site: Site, size: UnitSize) -> float:
    """Steepest ground that units are laid on: no steeper than asked, nor than their bund may be high.

    Parameters
    ----------
    site : Site
        What is asked.
    size : UnitSize
        The size.

    Returns
    -------
    float
        Slope [m/m].

    Examples
    --------
    >>> round(greatest_slope(site.with_values({"microcatchments.greatest_slope": 0.2}), bunding.size), 3)
    0.141
    """
    if size.negarim is not None:
        return min(asked_slope(site), negarim.steepest_slope(size.negarim.side_m))
    return min(asked_slope(site), semicircle.steepest_slope(size.bunds[0]))


def asked_ground(
    site: Site, ground: Ground, design: Design | None, area: BaseGeometry | None, *, size: UnitSize
) -> AskedGround:
    """Find the ground that is open to microcatchments.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    design : Design or None
        The swales that they keep off; None for none.
    area : shapely polygon or multipolygon or None
        Ground asked for, in that CRS; the site when None.
    size : UnitSize
        Size of the units.

    Returns
    -------
    AskedGround
        The ground.

    Raises
    ------
    GeometryError
        If the area lies off the site.
    InputError
        If the least slope of the brief exceeds the greatest.

    Examples
    --------
    >>> steep = site.with_values({"microcatchments.greatest_slope": 0.15})
    >>> found = asked_ground(steep, ground, design, None, size=bunding.size)
    >>> sorted(found.refused_m2)[:2], found.open.area.area < ground.area.area
    (['kept clear', 'swales and their water'], True)
    """
    part, terrain, gap_m = site.brief.microcatchments, ground.terrain, site.brief.lines.watercourse_gap_m
    asked = ground.area if area is None else area.intersection(ground.area)
    if asked.area == 0.0:
        message = "[microcatchments] area lies wholly outside the site; check its CRS, or draw it within the boundary"
        raise GeometryError(message)
    clear = workable_area(site, ground).intersection(asked)
    clear = clear.difference(shapely.union_all([keep_out.zone for keep_out in kept_free(site, ground)]))
    water = ground.watercourses | _large_ponds(ground, size)
    dry = clear.difference(shapely.union_all([way.buffer(gap_m) for way in ground.watercourse_ways]))
    works = shapely.Polygon() if design is None else _kept_for_swales(design, gap_m)
    caught = np.zeros((), bool) if design is None or part.swales != "first" else design.catchments > 0
    open_ground = OpenGround(
        terrain, _areas(dry.difference(works)), water | caught, part.least_slope, greatest_slope(site, size)
    )
    cells = {
        UNKNOWN: ~terrain.valid,
        KEPT_CLEAR: ~cells_within(terrain.grid, clear),
        WATER: water | ~cells_within(terrain.grid, dry),
        SWALES: caught | cells_within(terrain.grid, works),
    }
    slope = np.full(terrain.grid.shape, np.nan, np.float32)
    whole = replace(open_ground, area=asked)
    if 0 not in (part.stop - part.start for part in whole.window):
        slope[whole.window] = fall_of(whole, width_m=_WIDTHS * min(size.sizes_m)).slope
    with np.errstate(invalid="ignore"):
        cells |= {FLAT: slope < open_ground.least_slope, STEEP: slope > open_ground.greatest_slope}
    inside = cells_within(terrain.grid, asked)
    return AskedGround(asked, open_ground, _areas_m2(cells, inside, terrain.grid.cell_area_m2))


def _large_ponds(ground: Ground, size: UnitSize) -> NDArray[np.bool_]:
    """Ponds too large to be levelled within a unit."""
    least_m2 = _POND_SHARE * min(length**2 for length in size.sizes_m)
    numbers, _ = label(ground.ponds, np.ones((3, 3), int))
    area_m2 = np.bincount(numbers.ravel()) * ground.terrain.grid.cell_area_m2
    area_m2[0] = 0.0
    return np.asarray((area_m2 >= least_m2)[numbers])


def _kept_for_swales(design: Design, gap_m: float) -> BaseGeometry:
    """Works of the swales with a metre round them, and the ways of their overflow."""
    works = [works_footprint(swale.line, swale.sized.shape).buffer(_CLEAR_OF_WORKS_M) for swale in design.swales]
    ways = [shapely.LineString(swale.sill.path).buffer(gap_m) for swale in design.swales if len(swale.sill.path) > 1]
    return shapely.union_all([*works, *ways])


def _areas(geometry: BaseGeometry) -> BaseGeometry:
    """The polygons of a geometry."""
    parts = [part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon" and part.area > 0]
    return shapely.MultiPolygon(parts)


def _areas_m2(cells: Mapping[str, NDArray[np.bool_]], inside: NDArray[np.bool_], cell_m2: float) -> dict[str, float]:
    """Area of each reason, of which each cell has but the first."""
    left, areas = inside.copy(), {}
    for reason, where in cells.items():
        areas[reason] = float(np.count_nonzero(left & where)) * cell_m2
        left &= ~where
    return {reason: area for reason, area in areas.items() if area}
