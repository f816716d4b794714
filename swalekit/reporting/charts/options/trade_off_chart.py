"""One figure of every option against another: the trade-off between them."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import OPTION_COLUMNS
from swalekit.errors import InputError
from swalekit.reporting.charts.options.comparison_chart import explain_marks, mark_of
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, size_mm, title
from swalekit.reporting.paper.label_placement import Label, place_labels, spots_around
from swalekit.reporting.paper.lettering import FONT_FAMILY, font, halo, text_width_mm
from swalekit.reporting.words.shown import unit_name
from swalekit.units import to_us

_CHART_MM = 110.0
_ABOVE_LEGEND_PT = 20.0
_SIZE_PT, _MARK_PT = 8.0, 7.0
_BENEATH: dict[str, Any] = {"zorder": 2.5, "markersize": 4.5, "markeredgewidth": 1.1}
"""How options that don't hold differ, so that they hide none that does."""
_SHARE = "kept_share"
_MORE_IS_BETTER = ("held_m3", "held_storm_mm", _SHARE)
_NOT_DRAWN = ("number", "interval_m", "spacing_m", "start_m")


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
        The same axes. Joined are those that hold the design storm within all limits, where there are any; of many
        options those alone are numbered whose lines are kept.

    Raises
    ------
    InputError
        If there is no such figure, or an option has none.
    """
    axes = plot_trade_off(comparison, across, up, axes_in_cell(ax, _CHART_MM, margins_mm=(19.0, 13.0, 6.0, 15.0)))
    explain_marks({(option.holds, option.cheapest, False) for option in comparison.options}, axes)
    return title(axes, joined_words(comparison), above_pt=_ABOVE_LEGEND_PT)


def joined_words(comparison: Comparison) -> str:
    """What the joined marks have in common."""
    these = "of those that hold, none" if any(_within(comparison)) else "none"
    return f"Joined: {these} is better in both"


def plot_trade_off(comparison: Comparison, across: str, up: str, axes: Axes) -> Axes:
    """Draw the marks alone, as `draw_trade_off` does; the same axes come back."""
    units, within = comparison.site.brief.site.units, np.array(_within(comparison), np.bool_)
    at = np.column_stack([_values(comparison, name, units) for name in (across, up)])
    best = within if within.any() else np.ones(len(at), np.bool_)
    best[best] = _unbeaten(at[best] * [-1.0 if name in _MORE_IS_BETTER else 1.0 for name in (across, up)])
    axes.plot(*at[best][np.argsort(at[best, 0], kind="stable")].T, color=palette.CONTOUR, linewidth=0.9, zorder=1)
    for option, (x, y), unbeaten in zip(comparison.options, at, best, strict=True):
        mark = mark_of(option.holds, option.cheapest, option.holds and not unbeaten)
        axes.plot([x], [y], linestyle="none", **mark | ({} if option.holds else _BENEATH))
    axes.set_xlabel(_named(comparison, across), **font(_SIZE_PT + 1))
    axes.set_ylabel(_named(comparison, up), **font(_SIZE_PT + 1))
    axes.margins(0.08)
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 5, 10]))
        axis.set_major_formatter("{x:,.10g}")
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=_SIZE_PT, labelfontfamily=FONT_FAMILY)
    shown = best & [bool(option.lines) for option in comparison.options]
    lettered = [str(option.number) for option, each in zip(comparison.options, shown, strict=True) if each]
    _letter(lettered, at[shown], at, axes)
    return axes


def _within(comparison: Comparison) -> list[bool]:
    """Whether each option holds the design storm within all limits."""
    return [option.holds and not option.beyond for option in comparison.options]


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
    factor = 100.0 if name == _SHARE else to_us(1.0, unit)[0] if units == "us" else 1.0
    return factor * np.array(figures, np.float64)


def _named(comparison: Comparison, name: str) -> str:
    """What an axis shows, with its unit."""
    column = next(each for each in OPTION_COLUMNS if each.name == name)
    brief = comparison.site.brief
    if name == "cost":
        return f"Cost [{brief.rates.currency}]" if brief.rates.currency else "Cost"
    if name == _SHARE:
        return "Water kept on the site [%]"
    unit = unit_name(column.unit, units=brief.site.units)
    words = column.meaning.split(";")[0]
    return f"{words[:1].upper()}{words[1:]}{f' [{unit}]' if unit else ''}"
