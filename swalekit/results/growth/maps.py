"""The map of a planting in a notebook's cell."""

from typing import Any

from matplotlib.axes import Axes

from swalekit.design.growth.greywater_plan import bed_outline
from swalekit.design.growth.growth import Growth
from swalekit.reporting.charts.growth.planting_sheet import planting_content
from swalekit.reporting.map.cell import draw_content
from swalekit.results.growth.layers import served_polygon
from swalekit.results.plan.record import plan_record


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
    return draw_content(
        planting_content(growth, plan_record(growth.design), served=served_polygon(growth, 1), bed=_bed(growth)), ax
    )


def _bed(growth: Growth) -> Any:
    """Outline of the reed bed at its best place; None where there is none."""
    found = growth.greywater
    if found is None or not found.places:
        return None
    return bed_outline(growth.design.ground.terrain, found.places[0], found.bed)
