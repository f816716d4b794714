"""Maps in a notebook's cell that need outlines of areas besides: the ground, a design, a planting."""

from matplotlib.axes import Axes

from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.plan.design import Design
from swalekit.reporting.map.cell import draw_content
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.plan_map import keep_outs_of, plan_content
from swalekit.reporting.paper.outlines import polygons_of
from swalekit.reporting.words.shown import shown
from swalekit.results.plan.layers import pond_outlines
from swalekit.results.plan.record import plan_record


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

    Examples
    --------
    >>> draw_ground(ground, site).get_title(loc="left")
    'Where water runs and stands'
    """
    ponds = pond_outlines(ground.terrain.grid, ground.ponds)
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

    Examples
    --------
    >>> draw_design(design).get_title(loc="left")
    'Unnamed site'
    """
    return draw_content(plan_content(plan_record(design)), ax)
