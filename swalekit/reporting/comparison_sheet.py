"""The options of a comparison on one sheet: soil against storm, a key, and what keeping more of the water costs."""

from collections.abc import Sequence

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from swalekit.design.option import Option
from swalekit.design.options import Comparison
from swalekit.design.settings import storm_of
from swalekit.reporting.comparison_chart import draw_comparison
from swalekit.reporting.lettering import font, line_height_mm, wrap
from swalekit.reporting.option_points import numbers_of, option_points
from swalekit.reporting.option_words import label_lines, option_sentences
from swalekit.reporting.palette import INK, PRINT_STYLE, QUIET_INK
from swalekit.reporting.shown import number, unit_name
from swalekit.reporting.trade_off_chart import joined_words, plot_trade_off

_WIDTH_MM, _HEIGHT_MM = 322.0, 170.0
_HEAD_MM = 26.0
_LEFT_MM, _KEY_LEFT_MM, _KEY_MM = 20.0, 203.0, 115.0
_FOOT_MM = 17.0
_KEY_PT = 7.0
_KEY_GAP_MM = 1.0
_WORDS_MM = 58.0
_TRADE_OFF_MM = 50.0
_SENTENCE_PT = 8.0
_MOST_SENTENCE_LINES = 3


def comparison_sheet(comparison: Comparison) -> Figure:
    """Soil dug against storm held, one mark an option, those that stand out with their numbers; a key; the trade-off.

    Parameters
    ----------
    comparison : Comparison
        One or more options of one site.
    """
    brief, priced = comparison.site.brief, all(option.totals["cost"] is not None for option in comparison.options)
    with rc_context(PRINT_STYLE):
        figure = Figure(figsize=(_WIDTH_MM / 25.4, _HEIGHT_MM / 25.4))
        FigureCanvasAgg(figure)
        room_mm = _HEIGHT_MM - _FOOT_MM - _HEAD_MM
        axes = figure.add_axes(_shares(_LEFT_MM, _FOOT_MM, _KEY_LEFT_MM - _LEFT_MM - 8.0, room_mm))
        draw_comparison(
            option_points(comparison),
            storm_of(comparison.site).depth_mm,
            axes,
            units=brief.site.units,
            currency=brief.rates.currency,
            names=numbers_of(comparison),
        )
        key_mm = room_mm - _TRADE_OFF_MM - _FOOT_MM + 4.0
        key = figure.add_axes(_shares(_KEY_LEFT_MM, _HEIGHT_MM - _HEAD_MM - key_mm, _KEY_MM, key_mm))
        _draw_key(comparison, key, height_mm=key_mm)
        below = figure.add_axes(_shares(_KEY_LEFT_MM + 16.0, _FOOT_MM, _KEY_MM - 20.0, _TRADE_OFF_MM))
        plot_trade_off(comparison, "cost" if priced else "dug_m3", "kept_share", below)
        below.set_title(joined_words(comparison), loc="left", color=INK, **font(_SENTENCE_PT + 1))
        _draw_head(comparison, figure)
    return figure


def _draw_head(comparison: Comparison, figure: Figure) -> None:
    """Name of the site and what the comparison says."""
    left, top = _LEFT_MM / _WIDTH_MM, 1.0 - 4.0 / _HEIGHT_MM
    figure.text(left, top, comparison.site.brief.site.name, va="top", color=INK, **font(11))
    lines = wrap(" ".join(option_sentences(comparison)), _WIDTH_MM - 28.0, _SENTENCE_PT)
    for place, line in enumerate(lines[:_MOST_SENTENCE_LINES], start=1):
        y = top - (2.0 + place * line_height_mm(_SENTENCE_PT)) / _HEIGHT_MM
        figure.text(left, y, line, va="top", color=INK, **font(_SENTENCE_PT))


def _draw_key(comparison: Comparison, axes: Axes, *, height_mm: float) -> None:
    """Words and figures of the options that stand out: the cheapest that holds, the others within all limits, the rest.

    Each part by rising price.
    """
    axes.set(xlim=(0, _KEY_MM), ylim=(height_mm, 0))
    axes.set_axis_off()
    units, step = comparison.site.brief.site.units, line_height_mm(_KEY_PT)
    volume, rain = (unit_name(unit, units=units) for unit in ("m3", "mm"))
    heads = ("", "option", f"dug {volume}", "cost", f"held {rain}", "kept")
    _write(axes, 0.0, heads, QUIET_INK, "bold")
    top_mm = step + _KEY_GAP_MM

    def order(option: Option) -> tuple[bool, bool, float]:
        price = option.price(by_volume=comparison.by_volume)
        return not option.cheapest, not option.holds or bool(option.beyond), price

    for option in sorted(comparison.kept, key=order):
        weight = "bold" if option.cheapest else "normal"
        lines = label_lines(option.label, _WORDS_MM, _KEY_PT)
        cost = option.totals["cost"]
        cells = (
            str(option.number),
            lines[0],
            number(option.amount("dug_m3"), "m3", units=units),
            "–" if cost is None else f"{option.amount('cost'):,.0f}",
            number(option.amount("held_storm_mm"), "mm", units=units, decimals=1),
            f"{100 * option.amount('kept_share'):.0f} %",
        )
        _write(axes, top_mm, cells, INK, weight)
        for line in lines[1:]:
            top_mm += step
            _write(axes, top_mm, ("", line, "", "", "", ""), INK, weight)
        top_mm += step + _KEY_GAP_MM


def _write(axes: Axes, top_mm: float, cells: Sequence[str], color: str, weight: str) -> None:
    places_mm = (6.0, 8.0, 78.0, 90.0, 104.0, 114.0)
    for place, (text, x) in enumerate(zip(cells, places_mm, strict=True)):
        side = "left" if place == 1 else "right"
        axes.text(x, top_mm, text, ha=side, va="top", color=color, **font(_KEY_PT, weight))


def _shares(left: float, bottom: float, across: float, up: float) -> tuple[float, float, float, float]:
    return left / _WIDTH_MM, bottom / _HEIGHT_MM, across / _WIDTH_MM, up / _HEIGHT_MM
