"""Options of a comparison in a notebook's cell: soil against storm, and the lines of one."""

from typing import Any

from matplotlib.axes import Axes

from swalekit.design.brief.settings import storm_of
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import Option
from swalekit.errors import InputError
from swalekit.reporting.charts.options.comparison_chart import draw_comparison
from swalekit.reporting.charts.options.option_points import numbers_of, option_points
from swalekit.reporting.map.cell import draw_content
from swalekit.reporting.map.content import MapContent, MapLine
from swalekit.reporting.map.plan_map import keep_outs_of
from swalekit.reporting.paper.axes import axes_in_cell, title
from swalekit.reporting.paper.lettering import shorten
from swalekit.reporting.words.option_words import figures_words, price_words

_CHART_MM = 110.0
_ABOVE_LEGEND_PT = 20.0
_TITLE_MM = 175.0
_MOST_NAMED = 6
"""Options at most whose words stand beside their marks."""


def draw_options(comparison: Comparison, ax: Axes | None = None) -> Axes:
    """Draw the soil that each option digs against the storm that it holds.

    Parameters
    ----------
    comparison : Comparison
        The options.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes. Of many options only those that stand out are named, by their numbers.
    """
    brief = comparison.site.brief
    axes = axes_in_cell(ax, _CHART_MM, margins_mm=(19.0, 13.0, 6.0, 15.0))
    style: dict[str, Any] = {"units": brief.site.units, "currency": brief.rates.currency}
    design_mm = storm_of(comparison.site).depth_mm
    draw_comparison(option_points(comparison), design_mm, axes, names=_names(comparison), **style)
    return title(axes, "Soil dug against storm held", above_pt=_ABOVE_LEGEND_PT)


def draw_option(comparison: Comparison, number: int | None = None, ax: Axes | None = None) -> Axes:
    """Draw where the swales of one option run.

    Parameters
    ----------
    comparison : Comparison
        The options.
    number : int, optional
        Its number; the recommended one unless given.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The map's axes.

    Raises
    ------
    InputError
        If there is no such option, or its lines were let go because others beat it.
    """
    option, site = _option(comparison, number), comparison.site
    lines = [MapLine(each.swale, each.xy, each.level_m) for each in option.lines]
    words = shorten(f"Option {option.number}: {option.label}", _TITLE_MM, 11.0)
    content = MapContent(
        words,
        comparison.terrain,
        subtitle=figures_words(comparison, option),
        boundary=site.boundary,
        lines=tuple(lines),
        keep_outs=keep_outs_of(site),
        units=site.brief.site.units,
    )
    return draw_content(content, ax)


def _names(comparison: Comparison) -> list[str]:
    """Words and cost of each option, or of many the numbers of those that stand out."""
    costs = (price_words(option, comparison) for option in comparison.options)
    full = [f"{option.label} · {cost}" for option, cost in zip(comparison.options, costs, strict=True)]
    return full if len(full) <= _MOST_NAMED else numbers_of(comparison)


def _option(comparison: Comparison, number: int | None) -> Option:
    """An option that has its lines."""
    kept = ", ".join(str(option.number) for option in comparison.kept)
    if number is None:
        found = comparison.recommended
        if found is None:
            message = f"no option is recommended; give the number of one: {kept or 'none has its lines'}"
            raise InputError(message)
        return found
    found = next((option for option in comparison.kept if option.number == number), None)
    if found is None:
        message = f"option {number} is not among those whose lines are kept; give one of {kept or 'none'}"
        raise InputError(message)
    return found
