"""The options of a comparison as one chart."""

from collections.abc import Sequence
from typing import Any

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from swalekit.design.option import Option
from swalekit.design.option_ranks import MOST_KEPT
from swalekit.design.options import Comparison
from swalekit.design.settings import storm_of
from swalekit.reporting.comparison_chart import OptionPoint, draw_comparison
from swalekit.reporting.lettering import font, line_height_mm, wrap
from swalekit.reporting.option_words import label_lines, option_sentences
from swalekit.reporting.palette import INK, PRINT_STYLE, QUIET_INK
from swalekit.reporting.shown import number, unit_name

_KEY_MM = 120.0
_KEY_PT = 7.0
_KEY_GAP_MM = 1.4
_WORDS_MM = 64.0
_SENTENCE_PT = 8.0
_CHART_MM = (203.0, 140.0)
_HEAD_MM = 26.0


def comparison_sheet(comparison: Comparison) -> Figure:
    """Soil dug against storm held, one mark an option; of many only those that stand out are named, in a key.

    Parameters
    ----------
    comparison : Comparison
        One or more options of one site.
    """
    brief, names = comparison.site.brief, point_names(comparison)
    keyed = names is not None
    width_mm, height_mm = _CHART_MM[0] + (_KEY_MM if keyed else 0.0), _CHART_MM[1]
    with rc_context(PRINT_STYLE):
        figure = Figure(figsize=(width_mm / 25.4, height_mm / 25.4))
        FigureCanvasAgg(figure)
        box = (20.0, 17.0, _CHART_MM[0] - 28.0, height_mm - 17.0 - _HEAD_MM)
        axes = figure.add_axes(_shares(box, width_mm, height_mm))
        draw_comparison(
            option_points(comparison),
            storm_of(comparison.site).depth_mm,
            axes,
            units=brief.site.units,
            currency=brief.rates.currency,
            names=names,
        )
        if keyed:
            beside = (_CHART_MM[0], 4.0, _KEY_MM - 5.0, height_mm - 4.0 - _HEAD_MM)
            _draw_key(comparison, figure.add_axes(_shares(beside, width_mm, height_mm)), height_mm=beside[3])
        _draw_head(comparison, figure, width_mm, height_mm)
    return figure


def option_points(comparison: Comparison) -> list[OptionPoint]:
    """Every option as the chart marks it."""
    return [_point(option) for option in comparison.options]


def point_names(comparison: Comparison) -> list[str] | None:
    """Lettering of the marks where only options that stand out are named, by their numbers; None for few options."""
    if len(comparison.options) <= MOST_KEPT:
        return None
    return [str(option.number) if option.lines else "" for option in comparison.options]


def _point(option: Option) -> OptionPoint:
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


def _draw_head(comparison: Comparison, figure: Figure, width_mm: float, height_mm: float) -> None:
    """Name of the site and what the comparison says."""
    left, top = 20.0 / width_mm, 1.0 - 4.0 / height_mm
    figure.text(left, top, comparison.site.brief.site.name, va="top", color=INK, **font(11))
    lines = wrap(" ".join(option_sentences(comparison)), width_mm - 28.0, _SENTENCE_PT)
    for place, line in enumerate(lines[:3], start=1):
        y = top - (2.0 + place * line_height_mm(_SENTENCE_PT)) / height_mm
        figure.text(left, y, line, va="top", color=INK, **font(_SENTENCE_PT))


def _draw_key(comparison: Comparison, axes: Axes, *, height_mm: float) -> None:
    """Words and figures of the options that stand out, those that hold the larger storm first."""
    axes.set(xlim=(0, _KEY_MM - 5.0), ylim=(height_mm, 0))
    axes.set_axis_off()
    units, step = comparison.site.brief.site.units, line_height_mm(_KEY_PT)
    heads = ("", "option", unit_name("m3", units=units) + " dug", "cost", unit_name("mm", units=units) + " held")
    _write(axes, 0.0, heads, QUIET_INK, "bold")
    top_mm = step + _KEY_GAP_MM
    for option in sorted(comparison.kept, key=lambda each: -each.amount("held_storm_mm")):
        weight = "bold" if option.cheapest else "normal"
        lines = label_lines(option.label, _WORDS_MM, _KEY_PT, weight)
        cost = option.totals["cost"]
        cells = (
            str(option.number),
            lines[0],
            number(option.amount("dug_m3"), "m3", units=units),
            "–" if cost is None else f"{option.amount('cost'):,.0f}",
            number(option.amount("held_storm_mm"), "mm", units=units, decimals=1),
        )
        _write(axes, top_mm, cells, INK, weight)
        for line in lines[1:]:
            top_mm += step
            _write(axes, top_mm, ("", line, "", "", ""), INK, weight)
        top_mm += step + _KEY_GAP_MM


def _write(axes: Axes, top_mm: float, cells: Sequence[str], color: str, weight: str) -> None:
    rights_mm = (6.0, 8.0, 87.0, 100.0, 114.0)
    for place, (text, x) in enumerate(zip(cells, rights_mm, strict=True)):
        side = "left" if place == 1 else "right"
        axes.text(x, top_mm, text, ha=side, va="top", color=color, **font(_KEY_PT, weight))


def _shares(
    box_mm: tuple[float, float, float, float], width_mm: float, height_mm: float
) -> tuple[float, float, float, float]:
    left, bottom, across, up = box_mm
    return left / width_mm, bottom / height_mm, across / width_mm, up / height_mm
