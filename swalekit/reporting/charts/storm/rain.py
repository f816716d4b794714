"""Rain of a storm over its time, and the sheet of a site's storm."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from swalekit.design.brief.site import Site
from swalekit.design.plan.storm_table import storm_course
from swalekit.hydrology.storm.frequency import FrequencyAnalysis
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.reporting.charts.storm.record import ABOVE_LEGEND_PT, draw_frequency
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import WIDTH_MM, axes_in_cell, dress, note, scale, title
from swalekit.reporting.paper.lettering import FONT_FAMILY, font, halo
from swalekit.reporting.words.shown import shown

_CHART_MM, _MARGINS_MM = 95.0, (17.0, 13.0, 18.0, 9.0)
_NARROW_MM = WIDTH_MM - 12.0  # beside a second scale
_LABEL_PT = 8.0
_STEP_MIN, _SHORT_STEP_MIN, _SHORT_H = 30.0, 5.0, 6.0
"""Width of the bars, and that in a storm no longer than so many hours."""
_HEADROOM = 1.15


def draw_hyetograph(storm: Hyetograph, ax: Axes | None = None, *, units: str = "metric") -> Axes:
    """Draw the intensity of a storm as bars of half an hour, or 5 min in a short one, and the rain fallen as a line.

    Parameters
    ----------
    storm : Hyetograph
        The storm.
    ax : Axes, optional
        Where to draw; new axes unless given. The rain fallen so far gets a scale of its own on the right.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes, those of the intensity.

    Raises
    ------
    InputError
        If the units are unknown.

    Examples
    --------
    >>> from swalekit.hydrology.storm.storm import nrcs_storm
    >>> draw_hyetograph(nrcs_storm(60.0, "II")).get_ylabel()
    'Intensity over 30 min [mm/h]'
    """
    axes = axes_in_cell(ax, _CHART_MM, width_mm=_NARROW_MM, margins_mm=_MARGINS_MM)
    per_mm, unit = scale("mm", units=units)
    step_min = _SHORT_STEP_MIN if storm.duration_h <= _SHORT_H else _STEP_MIN
    increments_mm = storm.increments_mm(step_min)
    edges_h = np.minimum(np.arange(len(increments_mm) + 1) * step_min / 60.0, storm.duration_h)
    intensity = per_mm * increments_mm / np.diff(edges_h)
    axes.stairs(intensity, edges_h, fill=True, facecolor=palette.WATERCOURSE, edgecolor=palette.SPILL, linewidth=0.6)
    axes.set_xlim(0, storm.duration_h)
    axes.xaxis.set_major_locator(MaxNLocator(nbins=9, steps=[1, 2, 3, 6, 10]))
    axes.set_ylim(0, _HEADROOM * intensity.max())
    dress(axes, "Time since the start of the storm [h]", f"Intensity over {step_min:g} min [{unit}/h]")
    axes.yaxis.label.set_color(palette.SPILL)
    fallen = axes.twinx()
    fallen.plot(storm.time_h, per_mm * storm.cumulative_mm, color=palette.SWALE, linewidth=1.6, path_effects=halo(3.0))
    fallen.set_ylim(0, _HEADROOM * per_mm * storm.depth_mm)
    fallen.set_ylabel(f"Rain fallen so far [{unit}]", **font(9), color=palette.SWALE)
    fallen.spines[["top", "left"]].set_visible(False)
    fallen.tick_params(labelsize=_LABEL_PT, labelfontfamily=FONT_FAMILY)
    end = (storm.duration_h, per_mm * storm.depth_mm)
    words = f"{end[1]:.3g} {unit} over {storm.duration_h:.3g} h"
    note(fallen, words, end, (-4, 5), _LABEL_PT, color=palette.SWALE, weight="bold")
    return axes


def draw_rain(site: Site, ax: Axes | None = None) -> Axes:
    """Draw the design storm: how hard it rains, and how much has fallen so far.

    Parameters
    ----------
    site : Site
        The site.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes, those of the intensity.

    Examples
    --------
    >>> draw_rain(site).get_title(loc="left")
    'The storm to hold: 50.0 mm'
    """
    course, units = storm_course(site), site.brief.site.units
    axes = draw_hyetograph(course, ax, units=units)
    return title(axes, f"The storm to hold: {shown(course.depth_mm, 'mm', units=units, decimals=1)}")


def storm_sheet(site: Site) -> Figure:
    """Frequency plot where there is a record, above the course of the design storm.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    Figure
        Twice as high where the rain comes from a record.

    Examples
    --------
    >>> [axes.get_title(loc="left") for axes in storm_sheet(site).axes]
    ['Course of the design storm', '']
    """
    part, rain = site.brief.site, site.rain
    analysed = isinstance(rain, FrequencyAnalysis)
    figure = Figure(figsize=(8.0, 10.0 if analysed else 5.0))
    below = figure.add_axes((0.1, 0.07, 0.8, 0.36) if analysed else (0.1, 0.14, 0.8, 0.72))
    if isinstance(rain, FrequencyAnalysis):
        above, years = figure.add_axes((0.1, 0.56, 0.8, 0.37)), site.brief.storm.return_period_y or 2.0
        draw_frequency(rain, years, above, units=part.units)
        title(above, f"{part.name}: greatest rain of the year", above_pt=ABOVE_LEGEND_PT)
    draw_hyetograph(storm_course(site), below, units=part.units)
    title(below, "Course of the design storm")
    return figure
