"""The storm of a site as one figure: the record's depths by return period, and the course of the design storm."""

from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from swalekit.design.site import Site
from swalekit.design.storm_table import storm_course
from swalekit.hydrology.frequency import FrequencyAnalysis
from swalekit.reporting.frequency_chart import draw_frequency
from swalekit.reporting.hyetograph_chart import draw_hyetograph
from swalekit.reporting.palette import PRINT_STYLE

_STEP_MIN = 30.0


def storm_sheet(site: Site) -> Figure:
    """Frequency plot where there is a record, above the course of the design storm.

    Parameters
    ----------
    site : Site
        The site.
    """
    part, analysed = site.brief.storm, isinstance(site.rain, FrequencyAnalysis)
    with rc_context(PRINT_STYLE):
        figure = Figure(figsize=(8.0, 10.0 if analysed else 5.0))
        FigureCanvasAgg(figure)
        top, height = (0.07, 0.36) if analysed else (0.14, 0.72)
        below = figure.add_axes((0.1, top, 0.8, height))
        if isinstance(site.rain, FrequencyAnalysis):
            above = figure.add_axes((0.1, 0.56, 0.8, 0.37))
            draw_frequency(site.rain, part.return_period_y or 2.0, above, units=site.brief.site.units)
            above.set_title(f"{site.brief.site.name}: greatest rain of the year", loc="left", fontsize=11)
        draw_hyetograph(storm_course(site), below, step_min=_STEP_MIN, units=site.brief.site.units)
        below.set_title("Course of the design storm", loc="left", fontsize=11)
    return figure
