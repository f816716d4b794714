"""The key of a chart of options: number, words and figures of each."""

from collections.abc import Iterable, Sequence

from matplotlib.axes import Axes

from swalekit.reporting.charts.options.comparison_chart import OptionPoint
from swalekit.reporting.paper.lettering import font, line_height_mm, text_width_mm, wrap
from swalekit.reporting.paper.palette import INK, QUIET_INK
from swalekit.reporting.words.shown import number, unit_name

KEY_MM = 115.0
"""Width of a key."""

_SIZE_PT = 7.0
_GAP_MM = 1.0
_WORDS_MM = 58.0
_PLACES_MM = (6.0, 8.0, 78.0, 90.0, 104.0, 114.0)


def draw_option_key(options: Iterable[tuple[int, OptionPoint]], axes: Axes, *, height_mm: float, units: str) -> Axes:
    """Write a row an option on axes of the key's width.

    Parameters
    ----------
    options : iterable of (int, OptionPoint)
        Number and figures of each, in the order of the rows.
    axes : Axes
        Where to write; they will count in millimetres of paper, downward.
    height_mm : float
        Their height [mm].
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes.
    """
    axes.set(xlim=(0, KEY_MM), ylim=(height_mm, 0))
    axes.set_axis_off()
    step = line_height_mm(_SIZE_PT)
    volume, rain = (unit_name(unit, units=units) for unit in ("m3", "mm"))
    _write(axes, 0.0, ("", "option", f"dug {volume}", "cost", f"held {rain}", "kept"), QUIET_INK, "bold")
    top_mm = step + _GAP_MM
    for place, option in options:
        weight = "bold" if option.cheapest else "normal"
        first, *more = label_lines(option.label, _WORDS_MM, _SIZE_PT)
        cells = (
            str(place),
            first,
            number(option.dug_m3, "m3", units=units),
            "–" if option.cost is None else f"{option.cost:,.0f}",
            number(option.held_storm_mm, "mm", units=units, decimals=1),
            f"{100 * option.kept_share:.0f} %",
        )
        _write(axes, top_mm, cells, INK, weight)
        for line in more:
            top_mm += step
            _write(axes, top_mm, ("", line, "", "", "", ""), INK, weight)
        top_mm += step + _GAP_MM
    return axes


def _write(axes: Axes, top_mm: float, cells: Sequence[str], color: str, weight: str) -> None:
    for place, (text, x) in enumerate(zip(cells, _PLACES_MM, strict=True)):
        side = "left" if place == 1 else "right"
        axes.text(x, top_mm, text, ha=side, va="top", color=color, **font(_SIZE_PT, weight))


def label_lines(label: str, width_mm: float, size_pt: float, weight: str = "normal") -> list[str]:
    """An option's words in lines that fit a width, broken between values where that can be.

    Examples
    --------
    >>> label_lines("spacing 35 m, bottom 0.8 m, depth to 1.2 m", 45.0, 7.0)
    ['spacing 35 m, bottom 0.8 m,', 'depth to 1.2 m']
    """
    lines = [""]
    *listed, last = label.split(", ")
    for part in (*(f"{each}," for each in listed), last):
        longer = f"{lines[-1]} {part}".strip()
        if text_width_mm(longer, size_pt, weight) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(part)
    return [short for line in lines if line for short in wrap(line, width_mm, size_pt, weight)] or [""]
