"""Maps in a notebook's cell that need outlines of areas besides: the ground, a design, a planting."""

from typing import Any

from matplotlib.axes import Axes

from swalekit.design.design import Design
from swalekit.design.greywater_plan import bed_outline
from swalekit.design.ground import Ground
from swalekit.design.growth import Growth
from swalekit.design.site import Site
from swalekit.formats.growth_layers import served_polygon
from swalekit.formats.layers import catchment_polygons, outlines_on, pond_polygons
from swalekit.reporting.map_cell import draw_content
from swalekit.reporting.map_content import MapContent
from swalekit.reporting.outlines import polygons_of
from swalekit.reporting.plan_map import keep_outs_of, plan_content
from swalekit.reporting.planting_sheet import planting_content
from swalekit.reporting.shown import shown


def draw_ground(ground: Ground, site: Site | None = None, ax: Axes | None = None) -> Axes:
    """Draw where water runs and stands on the ground before a swale is dug.

    Parameters
    ----------
    ground : Ground
        The ground, from `study_ground`.
    site : Site, optional
        Its boundary and what ditches keep clear of are drawn too.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The map's axes.
    """
    ponds = outlines_on(ground.terrain.grid, ground.ponds.astype("uint8")).values()
    site = None if site is None else site.in_crs(ground.terrain.grid.crs)
    units = "metric" if site is None else site.brief.site.units
    brought = shown(ground.site_runoff_m3, "m3", units=units)
    content = MapContent(
        "Where water runs and stands",
        ground.terrain,
        subtitle=f"the design storm brings {brought} to the site, from uphill and on it",
        boundary=ground.area,
        keep_outs=() if site is None else keep_outs_of(site),
        watercourses=ground.watercourse_lines,
        ponds=tuple(("", pond) for outline in ponds for pond in polygons_of(outline)),
        units=units,
    )
    return draw_content(content, ax)


def draw_design(design: Design, ax: Axes | None = None) -> Axes:
    """Draw the map of a design: level lines, catchments, sills and ways of overflow, what was refused and kept clear.

    Parameters
    ----------
    design : Design
        The design.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The map's axes.
    """
    return draw_content(plan_content(design, catchments=catchment_polygons(design), ponds=pond_polygons(design)), ax)


def draw_planting(growth: Growth, ax: Axes | None = None) -> Axes:
    """Draw the map of a planting: trees, pioneers and ground cover, the reed bed and the ground that it serves.

    Parameters
    ----------
    growth : Growth
        The planting.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The map's axes.
    """
    return draw_content(planting_content(growth, served=served_polygon(growth, 1), bed=_bed(growth)), ax)


def _bed(growth: Growth) -> Any:
    """Outline of the reed bed at its best place; None where there is none."""
    found = growth.greywater
    if found is None or not found.places:
        return None
    return bed_outline(growth.design.ground.terrain, found.places[0], found.bed)
