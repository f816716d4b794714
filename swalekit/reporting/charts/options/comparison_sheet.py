"""The options of a comparison on one sheet: soil against storm, a key, and what keeping more of the water costs."""

from matplotlib.figure import Figure

from swalekit.design.brief.settings import storm_of
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import Option
from swalekit.reporting.charts.options.comparison_chart import OptionPoint, draw_comparison
from swalekit.reporting.charts.options.option_key import KEY_MM, draw_option_key
from swalekit.reporting.charts.options.option_points import numbers_of, option_points, point_of
from swalekit.reporting.charts.options.trade_off_chart import joined_words, plot_trade_off
from swalekit.reporting.paper.lettering import font, line_height_mm, wrap
from swalekit.reporting.paper.palette import INK
from swalekit.reporting.words.option_words import option_sentences

_WIDTH_MM, _HEIGHT_MM = 322.0, 170.0
_HEAD_MM = 26.0
_LEFT_MM, _KEY_LEFT_MM = 20.0, 203.0
_FOOT_MM = 17.0
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
    figure = Figure(figsize=(_WIDTH_MM / 25.4, _HEIGHT_MM / 25.4))
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
    key = figure.add_axes(_shares(_KEY_LEFT_MM, _HEIGHT_MM - _HEAD_MM - key_mm, KEY_MM, key_mm))
    draw_option_key(_in_key(comparison), key, height_mm=key_mm, units=brief.site.units)
    below = figure.add_axes(_shares(_KEY_LEFT_MM + 16.0, _FOOT_MM, KEY_MM - 20.0, _TRADE_OFF_MM))
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


def _in_key(comparison: Comparison) -> list[tuple[int, OptionPoint]]:
    """Options that stand out: the cheapest that holds, others within limits, the rest; each part by rising price."""

    def order(option: Option) -> tuple[bool, bool, float]:
        price = option.price(by_volume=comparison.by_volume)
        return not option.cheapest, not option.holds or bool(option.beyond), price

    return [(option.number, point_of(option)) for option in sorted(comparison.kept, key=order)]


def _shares(left: float, bottom: float, across: float, up: float) -> tuple[float, float, float, float]:
    return left / _WIDTH_MM, bottom / _HEIGHT_MM, across / _WIDTH_MM, up / _HEIGHT_MM
