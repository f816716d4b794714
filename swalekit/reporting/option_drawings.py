"""Options of a comparison in a notebook's cell: soil against storm, one figure against another, the lines of one."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from matplotlib import rc_context
from matplotlib.axes import Axes
from numpy.typing import NDArray

from swalekit.design.option import OPTION_COLUMNS, Option
from swalekit.design.options import Comparison
from swalekit.design.settings import storm_of
from swalekit.errors import InputError
from swalekit.reporting import palette
from swalekit.reporting.cell import axes_in_cell, size_mm, title
from swalekit.reporting.comparison_chart import draw_comparison, explain_marks, mark_of
from swalekit.reporting.comparison_sheet import option_points, point_names
from swalekit.reporting.label_placement import Label, place_labels, spots_around
from swalekit.reporting.lettering import FONT_FAMILY, font, halo, shorten, text_width_mm
from swalekit.reporting.map_cell import draw_content
from swalekit.reporting.map_content import MapContent, MapLine
from swalekit.reporting.option_words import figures_words, price_words
from swalekit.reporting.palette import PRINT_STYLE
from swalekit.reporting.plan_map import keep_outs_of
from swalekit.reporting.shown import unit_name
from swalekit.units import to_us

_CHART_MM = 110.0
_ABOVE_LEGEND_PT = 20.0
_SIZE_PT, _MARK_PT = 8.0, 7.0
_TITLE_MM = 175.0
_MORE_IS_BETTER = ("held_m3", "held_storm_mm", "kept_share")
_NOT_DRAWN = ("number", "interval_m", "spacing_m", "start_m")


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
    with rc_context(PRINT_STYLE):
        axes = axes_in_cell(ax, _CHART_MM, margins_mm=(19.0, 13.0, 6.0, 15.0))
        style: dict[str, Any] = {"units": brief.site.units, "currency": brief.rates.currency}
        design_mm = storm_of(comparison.site).depth_mm
        draw_comparison(option_points(comparison), design_mm, axes, names=_names(comparison), **style)
        return title(axes, "Soil dug against storm held", above_pt=_ABOVE_LEGEND_PT)


def draw_trade_off(
    comparison: Comparison, across: str = "cost", up: str = "kept_share", ax: Axes | None = None
) -> Axes:
    """Draw one figure of every option against another; those that no other beats in both are numbered and joined.

    Parameters
    ----------
    comparison : Comparison
        The options.
    across, up : str
        Names of `OPTION_COLUMNS` that hold numbers, as ``cost``, ``dug_m3``, ``length_m`` or ``held_storm_mm``.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If there is no such figure, or an option has none.
    """
    units = comparison.site.brief.site.units
    at = np.column_stack([_values(comparison, name, units) for name in (across, up)])
    axes = axes_in_cell(ax, _CHART_MM, margins_mm=(19.0, 13.0, 6.0, 15.0))
    best = _unbeaten(at * [-1.0 if name in _MORE_IS_BETTER else 1.0 for name in (across, up)])
    joined = at[best][np.argsort(at[best, 0], kind="stable")]
    axes.plot(*joined.T, color=palette.CONTOUR, linewidth=0.9, zorder=1)
    for option, (x, y), unbeaten in zip(comparison.options, at, best, strict=True):
        axes.plot([x], [y], linestyle="none", **mark_of(option.holds, option.cheapest, not unbeaten))
    axes.set_xlabel(_named(comparison, across), **font(_SIZE_PT + 1))
    axes.set_ylabel(_named(comparison, up), **font(_SIZE_PT + 1))
    axes.margins(0.08)
    axes.xaxis.set_major_formatter("{x:,.10g}")
    axes.yaxis.set_major_formatter("{x:,.10g}")
    explain_marks({(option.holds, option.cheapest, False) for option in comparison.options}, axes)
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=_SIZE_PT, labelfontfamily=FONT_FAMILY)
    lettered = [str(option.number) for option, unbeaten in zip(comparison.options, best, strict=True) if unbeaten]
    _letter(lettered, at[best], at, axes)
    return title(axes, "Joined: no other option is better in both", above_pt=_ABOVE_LEGEND_PT)


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
    return point_names(comparison) or full


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


def _unbeaten(less_is_better: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether no other row is as small in both columns and smaller in one."""
    one, other = less_is_better[:, np.newaxis], less_is_better[np.newaxis]
    beaten = np.all(other <= one, axis=-1) & np.any(other < one, axis=-1)
    return np.asarray(~np.any(beaten, axis=1))


def _letter(names: Sequence[str], places: NDArray[np.float64], marks: NDArray[np.float64], axes: Axes) -> None:
    """Name places on axes, clear of all marks and of each other; what has no room is left out."""
    width, height = (72.0 / 25.4 * each for each in size_mm(axes))
    (left, right), (bottom, top) = axes.get_xlim(), axes.get_ylim()
    pt_per_unit = np.array([width, height]) / (right - left, top - bottom)
    at_pt, marks_pt = ((each - (left, bottom)) * pt_per_unit for each in (places, marks))
    sizes = [(text_width_mm(name, _SIZE_PT) * 72.0 / 25.4 + 2.0, _SIZE_PT + 1.0) for name in names]
    labels = [
        Label(*size, spots_around((x, y, x, y), *size, gap_pt=1.3 * _MARK_PT), optional=True)
        for size, (x, y) in zip(sizes, at_pt, strict=True)
    ]
    taken = [shapely.Point(x, y).buffer(0.6 * _MARK_PT) for x, y in marks_pt]
    spots = place_labels(labels, shapely.box(0, 0, width, height), taken=taken)
    for name, spot in zip(names, spots, strict=True):
        if spot is not None:
            x, y = np.array([spot.x_pt, spot.y_pt]) / pt_per_unit + (left, bottom)
            lettering: dict[str, Any] = {"ha": "center", "va": "center_baseline", "color": palette.INK, "zorder": 5}
            axes.text(x, y, name, path_effects=halo(), **lettering, **font(_SIZE_PT))


def _values(comparison: Comparison, name: str, units: str) -> Any:
    """A figure of every option, in the reader's units."""
    columns = {column.name: column for column in OPTION_COLUMNS if column.name not in _NOT_DRAWN}
    figures = [option.figures.get(name) for option in comparison.options]
    if name not in columns or any(isinstance(figure, str) or figure is None for figure in figures):
        known = [each for each in columns if isinstance(comparison.options[0].figures[each], int | float)]
        message = f"options can't be drawn by '{name}'; give one of {', '.join(known)}"
        raise InputError(message)
    unit = columns[name].unit
    return np.array(figures, np.float64) * (to_us(1.0, unit)[0] if units == "us" else 1.0)


def _named(comparison: Comparison, name: str) -> str:
    """What an axis shows, with its unit."""
    column = next(each for each in OPTION_COLUMNS if each.name == name)
    brief = comparison.site.brief
    if name == "cost":
        return f"Cost [{brief.rates.currency}]" if brief.rates.currency else "Cost"
    unit = unit_name(column.unit, units=brief.site.units)
    words = column.meaning.split(";")[0]
    return f"{words[:1].upper()}{words[1:]}{f' [{unit}]' if unit else ''}"
