"""Options side by side: soil dug against storm held, a key to those that stand out, and the sheet of both."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import StrMethodFormatter
from numpy.typing import NDArray

from swalekit.design.brief.settings import storm_of
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.limits import FILL, STANDING
from swalekit.design.options.option import Option
from swalekit.reporting.charts.options.marks import explain_marks, label_lines, letter_marks, mark_of
from swalekit.reporting.charts.options.trade_off import draw_trade_off, joined_words
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import ABOVE_LEGEND_PT, axes_in_cell, dress, scale, title
from swalekit.reporting.paper.lettering import font, line_height_mm, wrap
from swalekit.reporting.paper.paper import Panel, axes_on
from swalekit.reporting.words.option_words import option_sentences, price_words
from swalekit.reporting.words.shown import number, shown, unit_name

KEY_MM = 115.0
"""Width of a key."""
_KEY_PT = 7.0
_GAP_MM = 1.0
_WORDS_MM = 58.0
_PLACES_MM = (6.0, 8.0, 78.0, 90.0, 104.0, 114.0)
_BELOW_MM = (8.0, 26.0, 42.0, 114.0)
"""Places of an option's second row: how long water stands, fill, other limits broken, cautions."""
_CHART_MM, _MARGINS_MM = 110.0, (19.0, 13.0, 6.0, 15.0)
_MARGIN = 0.14
"""Room around the marks, as a share of their spread."""
_MOST_NAMED = 6
"""Options at most whose words stand beside their marks."""
_WIDTH_MM, _HEIGHT_MM = 322.0, 212.0  # of the sheet
_HEAD_MM, _FOOT_MM, _TRADE_OFF_MM = 34.0, 17.0, 50.0
_LEFT_MM, _KEY_LEFT_MM = 20.0, 203.0
_SENTENCE_PT = 8.0
_MOST_SENTENCE_LINES = 5

Rows = Sequence[Mapping[str, Any]]
"""Figures of options by the names of `OPTION_COLUMNS`."""


def draw_comparison(
    rows: Rows, design_storm_mm: float, ax: Axes | None = None, *, names: Sequence[str], units: str = "metric"
) -> Axes:
    """Draw soil dug against storm held, with the design storm as a line.

    Parameters
    ----------
    rows : sequence of mapping
        Figures of the options by the names of `OPTION_COLUMNS`.
    design_storm_mm : float
        Storm that a layout should hold [mm].
    ax : Axes, optional
        Where to draw; new axes unless given. Give the figure its size first, labels are placed for it.
    names : sequence of str
        Lettering beside each mark, '' for none.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes, framed on the options and the design storm.

    Raises
    ------
    InputError
        If the units are unknown.

    Examples
    --------
    >>> marked = {"holds": "yes", "beyond": "", "recommended": "yes", "non_dominated": "yes"}
    >>> draw_comparison([{"dug_m3": 900.0, "held_storm_mm": 71.0} | marked], 60.0, names=["fall 1.5 m"]).get_xlabel()
    'Soil dug [m³]'
    """
    axes = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM)
    (per_m3, volume), (per_mm, depth) = (scale(unit, units=units) for unit in ("m3", "mm"))
    at = np.array([(per_m3 * row["dug_m3"], per_mm * row["held_storm_mm"]) for row in rows], np.float64).reshape(-1, 2)
    design = per_mm * design_storm_mm
    axes.set_xlim(*_framed(at[:, 0]))
    axes.set_ylim(*_framed(np.append(at[:, 1], design)))
    axes.axhspan(axes.get_ylim()[0], design, color=palette.PANEL_STRIPE, zorder=0)
    axes.axhline(design, color=palette.INK, linewidth=1.0, linestyle=(0, (5, 2)), zorder=1)
    kinds = [(_keeps_all(row), row["recommended"] == "yes", row["non_dominated"] != "yes") for row in rows]
    for (x, y), kind in zip(at, kinds, strict=True):
        axes.plot([x], [y], linestyle="none", **mark_of(*kind))
    dress(axes, f"Soil dug [{volume}]", f"Deepest storm held without spilling [{depth}]")
    axes.xaxis.set_major_formatter(StrMethodFormatter("{x:,.10g}"))
    explain_marks(kinds, axes)
    lettered = [(name, "bold" if best else "normal") for name, (_, best, _) in zip(names, kinds, strict=True)]
    letter_marks(lettered, at, axes, level=(design, f"design storm {design:.3g} {depth}"))
    return axes


def _keeps_all(row: Mapping[str, Any]) -> bool:
    return row["holds"] == "yes" and not row["beyond"]


def _framed(values: NDArray[np.float64]) -> tuple[float, float]:
    """Limits that leave room round values; about a tenth of the value round a single one."""
    if not values.size:
        return 0.0, 1.0
    low, high = float(values.min()), float(values.max())
    room = max(_MARGIN * (high - low), 0.02 * high, 1e-9)
    return low - room if low > room else 0.0, high + room


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

    Examples
    --------
    >>> [text.get_text() for text in draw_options(comparison).texts]
    ['design storm 50 mm', 'interval 3 m · 174 m³ dug', 'interval 4 m · 142 m³ dug']
    """
    names = [f"{option.label} · {price_words(option, comparison)}" for option in comparison.options]
    axes = _draw(comparison, ax, names if len(names) <= _MOST_NAMED else _numbers(comparison))
    return title(axes, "Soil dug against storm held", above_pt=ABOVE_LEGEND_PT)


def _draw(comparison: Comparison, ax: Axes | None, names: Sequence[str]) -> Axes:
    rows, units = [option.figures for option in comparison.options], comparison.site.brief.site.units
    return draw_comparison(rows, storm_of(comparison.site).depth_mm, ax, names=names, units=units)


def _numbers(comparison: Comparison) -> list[str]:
    """Numbers of the options whose lines are kept, '' for the others."""
    return [str(option.number) if option.lines else "" for option in comparison.options]


def draw_option_key(rows: Iterable[Mapping[str, Any]], panel: Panel, *, units: str) -> None:
    """Write number, words and figures of options, two rows each, on a panel of the key's width.

    Parameters
    ----------
    rows : iterable of mapping
        Figures of the options by the names of `OPTION_COLUMNS`, in the order of the rows.
    panel : Panel
        Where to write.
    units : str
        ``metric`` or ``us``.

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> panel = Panel.on(blank_sheet("A4"), (10.0, 10.0, KEY_MM, 60.0))
    >>> draw_option_key([option.figures for option in comparison.kept], panel, units="us")
    >>> [text.get_text() for text in panel.axes.texts][:6]
    ['', 'option', 'dug yd³', 'cost', 'held in', 'kept']

    Below stand the longest time until a ditch is dry, the greatest fill, what other limits are broken, and the numbers
    of cautions; what breaks a limit is red.
    """
    step = line_height_mm(_KEY_PT)
    volume, rain = (unit_name(unit, units=units) for unit in ("m3", "mm"))
    _write(panel, 0.0, ("", "option", f"dug {volume}", "cost", f"held {rain}", "kept"), palette.QUIET_INK, "bold")
    heads = ("stands", "fill", "other limits broken", "cautions to cure + of place")
    _write_below(panel, step, [(head, False) for head in heads], "bold")
    top_mm = 2.0 * step + _GAP_MM
    for row in rows:
        weight = "bold" if "yes" in (row["recommended"], row["nearest"]) else "normal"
        first, *more = label_lines(row["option"], _WORDS_MM, _KEY_PT)
        cells = (
            str(row["number"]),
            first,
            number(row["dug_m3"], "m3", units=units),
            "–" if row["cost"] is None else f"{row['cost']:,.0f}",
            number(row["held_storm_mm"], "mm", units=units, decimals=1),
            f"{100 * row['kept_share']:.0f} %",
        )
        _write(panel, top_mm, cells, palette.INK, weight)
        for line in more:
            top_mm += step
            _write(panel, top_mm, ("", line, "", "", "", ""), palette.INK, weight)
        _write_below(panel, top_mm + step, _limits_cells(row, units), "normal")
        top_mm += 2.0 * step + _GAP_MM


def _limits_cells(row: Mapping[str, Any], units: str) -> list[tuple[str, bool]]:
    """What an option keeps and breaks besides the design storm, each with whether it breaks a limit."""
    beyond = [name for name in str(row["beyond"]).split(", ") if name]
    stands = "–" if row["standing_h"] is None else f"{row['standing_h']} h"
    if row["standing_h"] is None and STANDING in beyond:
        stands = "over 200 h"
    others = [name for name in beyond if name not in (STANDING, FILL)]
    fill = shown(row["fill_m"], "m", units=units, decimals=2)
    return [
        (stands, STANDING in beyond),
        (fill, FILL in beyond),
        (", ".join(others), True),
        (f"{row['to_cure']} + {row['of_place']}", False),
    ]


def _write_below(panel: Panel, top_mm: float, cells: Sequence[tuple[str, bool]], weight: str) -> None:
    for place, ((text, broken), x) in enumerate(zip(cells, _BELOW_MM, strict=True)):
        color, side = palette.FAILS if broken else palette.QUIET_INK, "right" if place == len(cells) - 1 else "left"
        panel.letter(x, top_mm, text, _KEY_PT, color=color, weight=weight, ha=side, va="top")


def _write(panel: Panel, top_mm: float, cells: Sequence[str], color: str, weight: str) -> None:
    for place, (text, x) in enumerate(zip(cells, _PLACES_MM, strict=True)):
        side = "left" if place == 1 else "right"
        panel.letter(x, top_mm, text, _KEY_PT, color=color, weight=weight, ha=side, va="top")


def comparison_sheet(comparison: Comparison) -> Figure:
    """Soil dug against storm held, one mark an option, those that stand out with their numbers; a key; the trade-off.

    Parameters
    ----------
    comparison : Comparison
        One or more options of one site.

    Returns
    -------
    Figure
        The chart left, the key and the trade-off right of it.

    Examples
    --------
    >>> [axes.get_xlabel() for axes in comparison_sheet(comparison).axes]
    ['Soil dug [m³]', '', 'Bank volume cut [m³]']
    """
    priced = all(option.totals["cost"] is not None for option in comparison.options)
    figure = Figure(figsize=(_WIDTH_MM / 25.4, _HEIGHT_MM / 25.4))
    room_mm = _HEIGHT_MM - _FOOT_MM - _HEAD_MM
    chart = axes_on(figure, (_LEFT_MM, _FOOT_MM, _KEY_LEFT_MM - _LEFT_MM - 8.0, room_mm))
    _draw(comparison, chart, _numbers(comparison))
    key_mm = room_mm - _TRADE_OFF_MM - _FOOT_MM + 4.0
    key = Panel.on(figure, (_KEY_LEFT_MM, _HEIGHT_MM - _HEAD_MM - key_mm, KEY_MM, key_mm))
    listed = sorted(comparison.kept, key=lambda option: _by_merit(option, by_volume=comparison.by_volume))
    rows = [option.figures for option in listed]
    draw_option_key(rows, key, units=comparison.site.brief.site.units)
    below = axes_on(figure, (_KEY_LEFT_MM + 16.0, _FOOT_MM, KEY_MM - 20.0, _TRADE_OFF_MM))
    draw_trade_off(comparison, "cost" if priced else "dug_m3", "kept_share", below, explained=False)
    below.set_title(joined_words(comparison), loc="left", color=palette.INK, **font(_SENTENCE_PT + 1))
    _draw_head(comparison, figure)
    return figure


def _draw_head(comparison: Comparison, figure: Figure) -> None:
    """Name of the site and what the comparison says."""
    left, top = _LEFT_MM / _WIDTH_MM, 1.0 - 4.0 / _HEIGHT_MM
    figure.text(left, top, comparison.site.brief.site.name, va="top", color=palette.INK, **font(11))
    lines = wrap(" ".join(option_sentences(comparison)), _WIDTH_MM - 28.0, _SENTENCE_PT)
    for place, line in enumerate(lines[:_MOST_SENTENCE_LINES], start=1):
        y = top - (2.0 + place * line_height_mm(_SENTENCE_PT)) / _HEIGHT_MM
        figure.text(left, y, line, va="top", color=palette.INK, **font(_SENTENCE_PT))


def _by_merit(option: Option, *, by_volume: bool) -> tuple[bool, bool, float]:
    """The recommended or nearest, others that keep all limits, the rest; each part by rising price."""
    return not (option.recommended or option.nearest), not option.keeps_all, option.price(by_volume=by_volume)
