"""The options of a comparison as one chart."""

from typing import Any

from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from swalekit.design.options import Comparison
from swalekit.design.settings import storm_of
from swalekit.reporting.comparison_chart import OptionPoint, draw_comparison
from swalekit.reporting.palette import PRINT_STYLE


def comparison_sheet(comparison: Comparison) -> Figure:
    """Soil dug against storm held, one mark an option.

    Parameters
    ----------
    comparison : Comparison
        One or more options of one site.
    """
    brief = comparison.site.brief
    points = []
    for option in comparison.options:
        figures: dict[str, Any] = option.totals
        point = OptionPoint(
            option.label,
            dug_m3=figures["dug_m3"],
            held_storm_mm=figures["held_storm_mm"],
            cost=figures["cost"],
            kept_share=figures["kept_share"],
            meets=option.holds,
            cheapest=option.cheapest,
        )
        points.append(point)
    with rc_context(PRINT_STYLE):
        figure = Figure(figsize=(8.0, 5.5))
        FigureCanvasAgg(figure)
        axes = figure.add_axes((0.1, 0.12, 0.86, 0.76))
        storm_mm, currency = storm_of(comparison.site).depth_mm, brief.rates.currency
        draw_comparison(points, storm_mm, axes, units=brief.site.units, currency=currency)
        axes.set_title(brief.site.name, loc="left", fontsize=11)
    return figure
