"""Water for trees in a notebook's cell: the planted ground's year, and what swales and mulch do for it."""

from matplotlib.axes import Axes

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import Row, month_rows
from swalekit.errors import InputError
from swalekit.reporting.charts.growth.water_year_chart import draw_measures, draw_water_year
from swalekit.reporting.paper.axes import axes_in_cell, title

_CHART_MM = 95.0
_MARGINS_MM = (17.0, 9.0, 6.0, 9.0)


def draw_tree_water(growth: Growth, ax: Axes | None = None) -> Axes:
    """Draw the water of a mean year month by month: rain, what the swales bring, what the trees want and get.

    Parameters
    ----------
    growth : Growth
        The planting.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If no tree is planted.
    """
    rows, units = _months(growth), growth.design.site.brief.site.units
    axes = draw_water_year(rows, axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), units=units)
    return title(axes, "Water of the planted ground in a mean year")


def draw_want_met(growth: Growth, ax: Axes | None = None) -> Axes:
    """Draw how much of the trees' want is met month by month, with and without swales and mulch.

    Parameters
    ----------
    growth : Growth
        The planting.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If no tree is planted.
    """
    least = growth.design.site.brief.planting.least_ratio
    axes = draw_measures(_months(growth), axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), least_ratio=least)
    return title(axes, "With and without swales and mulch")


def _months(growth: Growth) -> list[Row]:
    """Months of a mean year by measure."""
    rows = month_rows(growth)
    if not rows:
        message = f"no tree is planted on '{growth.design.site.brief.site.name}'; the notes of the planting say why"
        raise InputError(message)
    return rows
