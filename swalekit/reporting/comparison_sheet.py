"""The options of a comparison as one chart."""

from collections.abc import Sequence

from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from swalekit.design.options import Option
from swalekit.reporting.comparison_chart import OptionPoint, draw_comparison
from swalekit.reporting.palette import PRINT_STYLE


def comparison_sheet(options: Sequence[Option]) -> Figure:
    """Soil dug against storm held, one mark an option.

    Parameters
    ----------
    options : sequence of Option
        One or more options of one site.
    """
    brief = options[0].design.site.brief
    points = [
        OptionPoint(
            option.label,
            sum(each.quantities.dug_m3 for each in option.design.swales),
            option.design.held_storm_mm,
            option.design.cost,
            meets=option.holds,
            cheapest=option.cheapest,
        )
        for option in options
    ]
    with rc_context(PRINT_STYLE):
        figure = Figure(figsize=(8.0, 5.5))
        FigureCanvasAgg(figure)
        axes = figure.add_axes((0.1, 0.12, 0.86, 0.76))
        draw_comparison(points, brief.storm.depth_mm, axes, units=brief.site.units)
        axes.set_title(brief.site.name, loc="left", fontsize=11)
    return figure
