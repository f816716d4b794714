"""The storm of a site as one figure: the record's depths by return period, and the course of the design storm."""

from matplotlib.figure import Figure

from swalekit.design.brief.site import Site
from swalekit.design.plan.storm_table import storm_course
from swalekit.hydrology.storm.frequency import FrequencyAnalysis
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.reporting.charts.storm.frequency_chart import draw_frequency
from swalekit.reporting.charts.storm.hyetograph_chart import draw_hyetograph

_STEP_MIN, _SHORT_STEP_MIN, _SHORT_H = 30.0, 5.0, 6.0
"""Width of the bars, and that in a storm no longer than so many hours."""

_ABOVE_LEGEND = 22.0
"""Points from the axes to a title that stands above a legend."""


def storm_sheet(site: Site) -> Figure:
    """Frequency plot where there is a record, above the course of the design storm.

    Parameters
    ----------
    site : Site
        The site.
    """
    part, analysed = site.brief.storm, isinstance(site.rain, FrequencyAnalysis)
    figure = Figure(figsize=(8.0, 10.0 if analysed else 5.0))
    top, height = (0.07, 0.36) if analysed else (0.14, 0.72)
    below = figure.add_axes((0.1, top, 0.8, height))
    if isinstance(site.rain, FrequencyAnalysis):
        above = figure.add_axes((0.1, 0.56, 0.8, 0.37))
        draw_frequency(site.rain, part.return_period_y or 2.0, above, units=site.brief.site.units)
        title = f"{site.brief.site.name}: greatest rain of the year"
        above.set_title(title, loc="left", fontsize=11, pad=_ABOVE_LEGEND)
    course = storm_course(site)
    draw_hyetograph(course, below, step_min=bar_width_min(course), units=site.brief.site.units)
    below.set_title("Course of the design storm", loc="left", fontsize=11)
    return figure


def bar_width_min(course: Hyetograph) -> float:
    """Width of the bars in which the course of a storm is drawn [min]."""
    return _SHORT_STEP_MIN if course.duration_h <= _SHORT_H else _STEP_MIN
