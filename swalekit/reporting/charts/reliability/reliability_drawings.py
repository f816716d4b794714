"""How sure a layout is, in a notebook's cell."""

import numpy as np
from matplotlib.axes import Axes

from swalekit.design.brief.settings import storm_of
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import HIGH, LOW
from swalekit.reporting.charts.reliability.reliability_chart import draw_storms, draw_swales
from swalekit.reporting.paper.axes import axes_in_cell, title

_CHART_MM = 80.0
_MARGINS_MM = (17.0, 13.0, 6.0, 14.0)
_ABOVE_LEGEND_PT = 20.0


def draw_chances(reliability: Reliability, ax: Axes | None = None) -> Axes:
    """Draw the range of storms that each swale may hold, and its chance to hold the one that comes.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.
    """
    site, names = reliability.layout.site, [swale.id for swale in reliability.layout.swales]
    held_mm = np.quantile(reliability.held_mm, [LOW, 0.5, HIGH], axis=0)
    chance = reliability.holds.mean(axis=0).tolist()
    axes = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM)
    draw_swales(names, held_mm, chance, storm_of(site).depth_mm, axes, units=site.brief.site.units)
    return title(axes, "How sure: swale by swale")


def draw_held_storms(reliability: Reliability, ax: Axes | None = None) -> Axes:
    """Draw how often each storm is the deepest that all swales hold, and how often it is the one that comes.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.
    """
    site, weakest_mm = reliability.layout.site, reliability.held_mm.min(axis=1)
    axes = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM)
    draw_storms(weakest_mm, reliability.storm_mm, storm_of(site).depth_mm, axes, units=site.brief.site.units)
    words = f"All swales hold in {100 * reliability.chance:.0f} % of {reliability.storm_mm.size} draws"
    return title(axes, words, above_pt=_ABOVE_LEGEND_PT)
