"""What a higher price buys: the chance to hold of layouts of several sizes against what they cost."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from swalekit.design.reliability.sizes import Sizes
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, dress, note, scale, title

_CHART_MM, _MARGINS_MM = 80.0, (17.0, 13.0, 6.0, 14.0)
_LABEL_PT, _SMALL_PT = 8.0, 6.5
_ONE_SPOT, _ONE_LENGTH = 0.03, 0.01
"""Shares of a chart's range within which points are lettered as one, and within which lengths are one."""


def draw_sizes(sizes: Sizes, ax: Axes | None = None) -> Axes:
    """Draw the chance that no swale spills against the cost of each size, or its soil where there is no price.

    Parameters
    ----------
    sizes : Sizes
        By factor.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes; beside each size the storm that it is sized for, and the length of its lines where that differs;
        as bars the standard error of a chance from so many draws.

    Examples
    --------
    >>> from swalekit.design.reliability.sizes import Size
    >>> draw_sizes(Sizes((Size(1.0, reliability),))).get_title(loc="left")
    'What a larger size buys'
    """
    axes = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM)
    brief = sizes.sizes[0].reliability.asked.brief
    priced = all(size.cost is not None for size in sizes.sizes)
    (soil, volume), (rain, unit), (length, run) = (scale(each, units=brief.site.units) for each in ("m3", "mm", "m"))
    across = np.array([size.cost if priced else soil * size.dug_m3 for size in sizes.sizes], np.float64)
    chance = 100.0 * np.array([size.chance for size in sizes.sizes])
    error = 100.0 * np.array([size.reliability.chance_sigma for size in sizes.sizes])
    axes.errorbar(
        across, chance, yerr=error, color=palette.SWALE, ecolor=palette.QUIET_INK, elinewidth=0.8, linestyle="none",
        marker="o", markersize=5.0,
    )  # fmt: skip
    lengths = np.array([length * size.length_m for size in sizes.sizes])
    for turn, group in enumerate(_together(across, chance)):
        ends = [f"{rain * sizes.sizes[place].sized_for_mm:.3g}" for place in (group[0], group[-1])]
        words = f"{'–'.join(dict.fromkeys(ends))} {unit}"
        if np.ptp(lengths) > _ONE_LENGTH * lengths.max():
            words += f", {lengths[group[0]]:,.0f} {run} of line"
        named = (sizes.sure_enough or sizes.designed) in [sizes.sizes[place] for place in group]
        at, offset = (float(across[group[0]]), float(chance[group[0]])), (5, -4) if turn % 2 == 0 else (-5, 4)
        note(axes, words, at, offset, _SMALL_PT + 0.5, weight="bold" if named else "normal")
    if sizes.target is not None:
        axes.axhline(100.0 * sizes.target, color=palette.INK, linewidth=1.0, linestyle=(0, (4, 2)))
        told = f"asked for: {100.0 * sizes.target:.3g} %"
        note(axes, told, (0.0, 100.0 * sizes.target), (4, 3), _SMALL_PT, xycoords=("axes fraction", "data"))
    room = 0.3 * max(float(np.ptp(across)), 0.05 * float(across.max()))
    axes.set_xlim(across.min() - room, across.max() + room)
    low, high = float((chance - error).min()), float((chance + error).max())
    high = high if sizes.target is None else max(high, 100.0 * sizes.target)
    axes.set_ylim(max(0.0, low - 8.0), min(100.0, high + 8.0))
    axes.xaxis.set_major_formatter("{x:,.0f}")
    cost = f"Cost [{brief.rates.currency}]" if brief.rates.currency else "Cost"
    dress(axes, cost if priced else f"Soil dug [{volume}]", "Chance that no swale spills [%]")
    axes.tick_params(labelsize=_LABEL_PT)
    return title(axes, "What a larger size buys")


def _together(across: NDArray[np.float64], chance: NDArray[np.float64]) -> list[list[int]]:
    """Places of points, those that follow each other and lie on one spot of the chart as one."""
    groups = [[0]]
    for place in range(1, across.size):
        first = groups[-1][0]
        near = abs(across[place] - across[first]) <= _ONE_SPOT * np.ptp(across)
        if near and abs(chance[place] - chance[first]) <= _ONE_SPOT * np.ptp(chance):
            groups[-1].append(place)
        else:
            groups.append([place])
    return groups


def sizes_sheet(sizes: Sizes) -> Figure:
    """The chart of the sizes on a sheet of its own.

    Parameters
    ----------
    sizes : Sizes
        By factor.

    Returns
    -------
    Figure
        One chart, named for the site.

    Examples
    --------
    >>> from swalekit.design.reliability.sizes import Size
    >>> len(sizes_sheet(Sizes((Size(1.0, reliability),))).axes)
    1
    """
    figure = Figure(figsize=(6.4, 4.4))
    axes = draw_sizes(sizes, figure.add_axes((0.12, 0.14, 0.83, 0.72)))
    title(axes, f"{sizes.sizes[0].reliability.asked.brief.site.name}: sized for other storms")
    return figure
