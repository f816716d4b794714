"""The water of the site through a storm: what comes, what the ditches hold, what soaks away, what leaves."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.design.plan.record import SiteWater
from swalekit.hydrology.routing.storm_outcome import StormOutcome
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import font
from swalekit.reporting.paper.save import hatched
from swalekit.units import to_us

_SIZE_PT = 9.0


@hatched
def draw_water(outcome: StormOutcome | SiteWater, axes: Axes, *, units: str = "metric") -> Axes:
    """Stack water held, soaked away and gone over time, under the line of all that came.

    Parameters
    ----------
    outcome : StormOutcome or SiteWater
        A routed storm.
    axes : Axes
        Where to draw.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes.
    """
    factor, volume = (to_us(1.0, "m3")[0], "yd³") if units == "us" else (1.0, "m³")
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


def water_sheet(outcome: StormOutcome, *, title: str, units: str) -> Figure:
    """`draw_water` as a figure of its own, with the site's name."""
    figure = Figure(figsize=(8.0, 5.0))
    axes = figure.add_axes((0.1, 0.12, 0.86, 0.78))
    draw_water(outcome, axes, units=units).set_title(title, loc="left", fontsize=11)
    return figure
