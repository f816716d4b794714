"""One figure of every option against another: the trade-off between them."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import OPTION_COLUMNS
from swalekit.errors import InputError
from swalekit.reporting.charts.options.marks import explain_marks, letter_marks, mark_of
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import ABOVE_LEGEND_PT, axes_in_cell, dress, scale, title
from swalekit.reporting.words.shown import unit_name

_CHART_MM, _MARGINS_MM = 110.0, (19.0, 13.0, 6.0, 15.0)
_BENEATH: dict[str, Any] = {"zorder": 2.5, "markersize": 4.5, "markeredgewidth": 1.1}
"""How options that break a limit differ, so that they hide none that keeps all."""
_SHARE = "kept_share"
_MORE_IS_BETTER = ("held_m3", "held_storm_mm", _SHARE)
_NOT_DRAWN = ("number", "interval_m", "spacing_m", "start_m")


def draw_trade_off(
    comparison: Comparison,
    across: str = "cost",
    up: str = "kept_share",
    ax: Axes | None = None,
    *,
    explained: bool = True,
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
    explained : bool
        Whether a legend above says what the marks mean.

    Returns
    -------
    Axes
        The same axes. Joined are those that keep all limits, where there are any; of many
        options those alone are numbered whose lines are kept.

    Raises
    ------
    InputError
        If there is no such figure, or an option has none.

    Examples
    --------
    >>> axes = draw_trade_off(comparison, "dug_m3", "held_storm_mm")
    >>> axes.get_title(loc="left"), axes.get_xlabel()
    ('Joined: of those that keep all limits, none is better in both', 'Bank volume cut [m³]')
    """
    axes, options = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), comparison.options
    at = np.column_stack([_values(comparison, name) for name in (across, up)])
    best = np.array(_within(comparison), np.bool_)
    best |= not best.any()
    best[best] = _unbeaten(at[best] * [-1.0 if name in _MORE_IS_BETTER else 1.0 for name in (across, up)])
    axes.plot(*at[best][np.argsort(at[best, 0], kind="stable")].T, color=palette.CONTOUR, linewidth=0.9, zorder=1)
    for option, (x, y), unbeaten in zip(options, at, best, strict=True):
        mark = mark_of(option.keeps_all, option.recommended, option.keeps_all and not unbeaten)
        axes.plot([x], [y], linestyle="none", **mark | ({} if option.keeps_all else _BENEATH))
    dress(axes, _named(comparison, across), _named(comparison, up))
    axes.margins(0.08)
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 5, 10]))
        axis.set_major_formatter("{x:,.10g}")
    numbers = [
        str(option.number) if shown and option.lines else "" for option, shown in zip(options, best, strict=True)
    ]
    letter_marks([(number, "normal") for number in numbers], at, axes, optional=True)
    if explained:
        explain_marks(((option.keeps_all, option.recommended, False) for option in options), axes)
    return title(axes, joined_words(comparison), above_pt=ABOVE_LEGEND_PT)


def joined_words(comparison: Comparison) -> str:
    """What the joined marks have in common.

    Parameters
    ----------
    comparison : Comparison
        The options.

    Returns
    -------
    str
        A phrase without a full stop.
    """
    these = "of those that keep all limits, none" if any(_within(comparison)) else "none"
    return f"Joined: {these} is better in both"


def _within(comparison: Comparison) -> list[bool]:
    """Whether each option keeps all limits."""
    return [option.keeps_all for option in comparison.options]


def _unbeaten(less_is_better: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether no other row is as small in both columns and smaller in one."""
    one, other = less_is_better[:, np.newaxis], less_is_better[np.newaxis]
    beaten = np.all(other <= one, axis=-1) & np.any(other < one, axis=-1)
    return np.asarray(~np.any(beaten, axis=1))


def _values(comparison: Comparison, name: str) -> NDArray[np.float64]:
    """A figure of every option, in the reader's units."""
    columns = {column.name: column for column in OPTION_COLUMNS if column.name not in _NOT_DRAWN}
    figures = [option.figures.get(name) for option in comparison.options]
    if name not in columns or any(isinstance(figure, str) or figure is None for figure in figures):
        known = [key for key in columns if isinstance(comparison.options[0].figures[key], int | float)]
        message = f"options can't be drawn by '{name}'; give one of {', '.join(known)}"
        raise InputError(message)
    factor = 100.0 if name == _SHARE else scale(columns[name].unit, units=comparison.site.brief.site.units)[0]
    return factor * np.array(figures, np.float64)


def _named(comparison: Comparison, name: str) -> str:
    """What an axis shows, with its unit."""
    column = next(column for column in OPTION_COLUMNS if column.name == name)
    brief = comparison.site.brief
    if name == "cost":
        return f"Cost [{brief.rates.currency}]" if brief.rates.currency else "Cost"
    if name == _SHARE:
        return "Water kept on the site [%]"
    unit = unit_name(column.unit, units=brief.site.units)
    words = column.meaning.split(";")[0]
    return f"{words[:1].upper()}{words[1:]}{f' [{unit}]' if unit else ''}"
