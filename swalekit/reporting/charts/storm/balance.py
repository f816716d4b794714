"""Where the rain on the tile is once a storm has run: soaked in, held in swales, in hollows, gone."""

from collections.abc import Mapping
from typing import Any

from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, dress, legend_above, scale, size_mm
from swalekit.reporting.paper.lettering import font, text_width_mm
from swalekit.reporting.words.account_words import balance_parts
from swalekit.reporting.words.shown import shown

BALANCE_STORMS = (("design storm", "design"), ("check storm", "check"))
"""Storms of a water account, in words and by name."""
BALANCE_FACES = (
    (palette.EARTH_FACE, palette.INK),
    (palette.POND, palette.PAPER),
    (palette.WATER_FACE, palette.INK),
    (palette.FAILS, palette.PAPER),
)
"""Colour of each part of the rain and of what is written on it: neighbours differ in lightness."""

_CHART_MM, _MARGINS_MM, _SIZE_PT = 34.0, (26.0, 13.0, 6.0, 9.0), 8.0


def draw_balance(account: Mapping[str, Any], ax: Axes | None = None, *, units: str = "metric") -> Axes:
    r"""Draw the rain of design and check storm as bars of what became of it.

    Parameters
    ----------
    account : mapping
        The water account of a summary.
    ax : Axes, optional
        Where to draw; new axes unless given.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes; a part bears its volume where that finds room.

    Raises
    ------
    InputError
        If the units are unknown.

    Examples
    --------
    >>> [label.get_text() for label in draw_balance(record.account).get_yticklabels()]
    ['design storm\n50.0 mm', 'check storm\n75.0 mm']
    """
    axes, (factor, volume) = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), scale("m3", units=units)
    longest = factor * max(account[name]["rain_m3"] for _, name in BALANCE_STORMS) or 1.0
    axes.set_xlim(0.0, longest)
    mm_a_unit = size_mm(axes)[0] / longest
    for row, (_, name) in enumerate(BALANCE_STORMS):
        start = 0.0
        for (words, volume_m3, _), (face, ink) in zip(balance_parts(account[name]), BALANCE_FACES, strict=True):
            width, figure = factor * volume_m3, f"{factor * volume_m3:,.0f}"
            axes.barh(row, width, 0.7, start, color=face, edgecolor=palette.PAPER, linewidth=0.8, label=words)
            if text_width_mm(figure, _SIZE_PT) + 2.0 < width * mm_a_unit:
                axes.text(start + width / 2, row, figure, ha="center", va="center", color=ink, **font(_SIZE_PT))
            start += width
    dress(axes, f"Rain on the tile [{volume}]")
    names = [
        f"{words}\n{shown(account[name]['storm_mm'], 'mm', units=units, decimals=1)}" for words, name in BALANCE_STORMS
    ]
    axes.set_yticks(range(len(names)), names)
    axes.invert_yaxis()
    axes.xaxis.set_major_locator(MaxNLocator(nbins=8, steps=[1, 2, 5, 10]))
    axes.xaxis.set_major_formatter("{x:,.10g}")
    axes.spines["left"].set_visible(False)
    axes.tick_params(axis="y", length=0)
    handles = axes.get_legend_handles_labels()[0][: len(BALANCE_FACES)]
    return legend_above(axes, side="left", handles=handles, ncols=len(BALANCE_FACES))
