"""The water of the site through a storm: what comes, what the ditches hold, what soaks away, what leaves."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.design.brief.settings import storm_of
from swalekit.design.plan.design import Design
from swalekit.design.plan.record import SiteWater
from swalekit.errors import InputError
from swalekit.hydrology.routing.outcome import StormOutcome
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, scale, title
from swalekit.reporting.paper.lettering import font
from swalekit.reporting.paper.save import hatched
from swalekit.reporting.words.shown import shown

_CHART_MM, _MARGINS_MM = 95.0, (19.0, 13.0, 6.0, 9.0)
_SIZE_PT = 9.0


@hatched
def draw_water(outcome: StormOutcome | SiteWater, ax: Axes | None = None, *, units: str = "metric") -> Axes:
    """Stack water held, soaked away and gone over time, under the line of all that came.

    Parameters
    ----------
    outcome : StormOutcome or SiteWater
        A routed storm.
    ax : Axes, optional
        Where to draw; new axes unless given.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If the units are unknown.

    Examples
    --------
    >>> draw_water(design.run.design).get_ylabel()
    'Water [m³]'
    """
    axes, (factor, volume) = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), scale("m3", units=units)
    held = factor * (outcome.held_m3 + outcome.under_way_m3)
    soaked, left = factor * outcome.soaked_total_m3, factor * outcome.left_m3
    lower = np.zeros_like(held)
    parts = (
        (left, "left over sills and spill points", palette.FAILS, "//"),
        (soaked, "soaked away", palette.HOLDS, ""),
        (held, "standing in ditches and hollows", palette.POND, "--"),
    )
    for values, label, colour, hatch in parts:
        axes.fill_between(
            outcome.time_h, lower, lower + values, color=colour, alpha=0.45, hatch=hatch, lw=0, label=label
        )
        lower = lower + values
    axes.plot(
        outcome.time_h, factor * outcome.brought_m3, color=palette.INK, linewidth=1.6, label="brought by the storm"
    )
    axes.set_xlim(0, float(outcome.time_h[-1]) if outcome.time_h.size else 1.0)
    axes.set_ylim(0, None)
    axes.set_xlabel("Time since the start of the storm [h]", **font(_SIZE_PT))
    axes.set_ylabel(f"Water [{volume}]", **font(_SIZE_PT))
    axes.spines[["top", "right"]].set_visible(False)
    axes.legend(loc="lower right", frameon=True, fontsize=_SIZE_PT - 1)
    return axes


def draw_storm(design: Design, ax: Axes | None = None, *, check: bool = False) -> Axes:
    """Draw the water of the whole site through a storm: what comes, stands in the ditches, soaks away and leaves.

    Parameters
    ----------
    design : Design
        The design.
    ax : Axes, optional
        Where to draw; new axes unless given.
    check : bool
        Whether it is the larger storm that sills are sized for.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If the design has neither swale nor hollow.

    Examples
    --------
    >>> draw_storm(design).get_title(loc="left")
    "The site's water in the design storm of 50.0 mm"
    """
    units, storm = design.site.brief.site.units, storm_of(design.site)
    if design.run is None:
        message = f"the design of '{design.site.brief.site.name}' has neither swale nor hollow to fill"
        raise InputError(message)
    outcome = design.run.check if check else design.run.design
    depth_mm = storm.check_depth_mm if check else storm.depth_mm
    kind = "check storm" if check else "design storm"
    words = f"The site's water in the {kind} of {shown(depth_mm, 'mm', units=units, decimals=1)}"
    return title(draw_water(outcome, ax, units=units), words)


def water_sheet(design: Design) -> Figure:
    """Draw the site's water in the design storm as a figure of its own, with the site's name.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    Figure
        The chart of `draw_storm`.

    Raises
    ------
    InputError
        If the design has neither swale nor hollow.

    Examples
    --------
    >>> water_sheet(design).axes[0].get_title(loc="left")
    'Unnamed site: water of the site in the design storm'
    """
    figure = Figure(figsize=(8.0, 5.0))
    axes = draw_storm(design, figure.add_axes((0.1, 0.12, 0.86, 0.78)))
    title(axes, f"{design.site.brief.site.name}: water of the site in the design storm")
    return figure
