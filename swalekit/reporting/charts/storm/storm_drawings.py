"""Rain and what it does, in a notebook's cell: a record's greatest days, the course of the storm, the water held."""

from matplotlib.axes import Axes

from swalekit.design.brief.settings import storm_of
from swalekit.design.brief.site import Site
from swalekit.design.plan.design import Design
from swalekit.design.plan.storm_table import storm_course
from swalekit.errors import InputError
from swalekit.hydrology.storm.frequency import FrequencyAnalysis
from swalekit.reporting.charts.storm.frequency_chart import draw_frequency
from swalekit.reporting.charts.storm.hyetograph_chart import draw_hyetograph
from swalekit.reporting.charts.storm.storm_sheet import bar_width_min
from swalekit.reporting.charts.storm.water_chart import draw_water
from swalekit.reporting.paper.axes import WIDTH_MM, axes_in_cell, title
from swalekit.reporting.words.shown import shown

_CHART_MM = 95.0
_NARROW_MM = WIDTH_MM - 12.0  # beside a second scale
_USUAL_RETURN_PERIOD_Y = 10.0
_ABOVE_LEGEND_PT = 22.0


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
    """
    course, units = storm_course(site), site.brief.site.units
    axes = axes_in_cell(ax, _CHART_MM, width_mm=_NARROW_MM, margins_mm=(17.0, 13.0, 18.0, 9.0))
    draw_hyetograph(course, axes, step_min=bar_width_min(course), units=units)
    return title(axes, f"The storm to hold: {shown(course.depth_mm, 'mm', units=units, decimals=1)}")


def draw_rain_record(site: Site, ax: Axes | None = None) -> Axes:
    """Draw the greatest rain of every year of a record, and the depth that comes once in so many years.

    Parameters
    ----------
    site : Site
        A site whose brief names a daily record.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If its brief names no record.
    """
    if not isinstance(site.rain, FrequencyAnalysis):
        message = f"the brief of '{site.brief.site.name}' names no record of rain; give [storm] record"
        raise InputError(message)
    years = site.brief.storm.return_period_y or _USUAL_RETURN_PERIOD_Y
    axes = draw_frequency(
        site.rain, years, axes_in_cell(ax, _CHART_MM, margins_mm=(17.0, 13.0, 6.0, 15.0)), units=site.brief.site.units
    )
    return title(axes, "Greatest rain of the year", above_pt=_ABOVE_LEGEND_PT)


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
    """
    units, storm = design.site.brief.site.units, storm_of(design.site)
    if design.run is None:
        message = f"the design of '{design.site.brief.site.name}' has neither swale nor hollow to fill"
        raise InputError(message)
    outcome = design.run.check if check else design.run.design
    depth_mm = storm.check_depth_mm if check else storm.depth_mm
    axes = draw_water(outcome, axes_in_cell(ax, _CHART_MM, margins_mm=(19.0, 13.0, 6.0, 9.0)), units=units)
    kind = "check storm" if check else "design storm"
    return title(axes, f"The site's water in the {kind} of {shown(depth_mm, 'mm', units=units, decimals=1)}")
