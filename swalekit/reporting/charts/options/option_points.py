"""The options of a comparison as its charts mark them."""

from typing import Any

from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import Option
from swalekit.reporting.charts.options.comparison_chart import OptionPoint


def option_points(comparison: Comparison) -> list[OptionPoint]:
    """Every option as the chart marks it."""
    return [point_of(option) for option in comparison.options]


def numbers_of(comparison: Comparison) -> list[str]:
    """Numbers beside the marks of the options whose lines are kept, '' beside the others."""
    return [str(option.number) if option.lines else "" for option in comparison.options]


def point_of(option: Option) -> OptionPoint:
    """An option as the chart marks it."""
    figures: dict[str, Any] = dict(option.totals)
    return OptionPoint(
        option.label,
        dug_m3=figures["dug_m3"],
        held_storm_mm=figures["held_storm_mm"],
        cost=figures["cost"],
        kept_share=figures["kept_share"],
        meets=option.holds,
        cheapest=option.cheapest,
        dominated=not option.non_dominated,
    )
