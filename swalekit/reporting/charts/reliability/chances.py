"""How sure a layout is: storms held against storms that come, swale by swale, and which input matters."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from swalekit.design.brief.settings import storm_of
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import HIGH, LOW
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import ABOVE_LEGEND_PT, axes_in_cell, dress, legend_above, note, scale, title
from swalekit.reporting.paper.lettering import font

_CHART_MM, _MARGINS_MM = 80.0, (17.0, 13.0, 6.0, 14.0)
_TITLE_PT = 10.0  # of the lower charts on a sheet
_LABEL_PT, _SMALL_PT = 8.0, 6.5
_BINS = 24
_MOST_NAMED = 32
"""Swales that are named one by one."""


def draw_held_storms(reliability: Reliability, ax: Axes | None = None) -> Axes:
    """Draw how often each storm is the deepest that all swales hold, and how often it is the one that comes.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes; its legend stands above it.

    Examples
    --------
    >>> draw_held_storms(reliability).get_title(loc="left")
    'All swales hold in 35 % of 20 draws'
    """
    axes, (factor, unit) = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), _scale(reliability)
    held, storm = factor * reliability.held_mm.min(axis=1), factor * reliability.storm_mm
    design = factor * storm_of(reliability.layout.site).depth_mm
    # draws far beyond all others would leave no room for these
    top = min(max(held.max(), storm.max()), 1.5 * max(np.quantile(held, 0.95), np.quantile(storm, 0.95)))
    edges = np.linspace(min(held.min(), storm.min(), design), max(top, 1.02 * design), _BINS + 1)
    for values, colour, label, filled in (
        (held, palette.HOLDS, "deepest storm that every swale holds", True),
        (storm, palette.SPILL, "storm that comes", False),
    ):
        share = 100.0 * np.histogram(np.minimum(values, edges[-1]), edges)[0] / values.size
        style: dict[str, Any] = {"alpha": 0.45} if filled else {"linewidth": 1.6}
        axes.stairs(share, edges, fill=filled, color=colour, label=label, **style)
    axes.axvline(design, color=palette.INK, linewidth=1.0, linestyle=(0, (4, 2)))
    at_top: dict[str, Any] = {"xycoords": ("data", "axes fraction"), "weight": "bold"}
    note(axes, f"design storm {design:.3g} {unit}", (design, 1.0), (4, -4), _LABEL_PT, **at_top)
    axes.set_xlim(edges[0], edges[-1])
    axes.set_ylim(0, 1.15 * axes.get_ylim()[1])
    axes.yaxis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 5, 10]))
    axes.yaxis.set_major_formatter("{x:g}")
    dress(axes, f"Storm [{unit}]", "Share of draws [%]")
    legend_above(axes, side="left", ncols=2)
    return title(axes, f"All{_chance_words(reliability)}", above_pt=ABOVE_LEGEND_PT)


def draw_chances(reliability: Reliability, ax: Axes | None = None) -> Axes:
    """Draw the range of storms that each swale may hold, and its chance to hold the one that comes.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> [label.get_text() for label in draw_chances(reliability).get_xticklabels()]
    ['S1', 'S2']
    """
    axes, (factor, unit) = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), _scale(reliability)
    names = [swale.id for swale in reliability.layout.swales]
    low, middle, high = factor * np.quantile(reliability.held_mm, [LOW, 0.5, HIGH], axis=0)
    design = factor * storm_of(reliability.layout.site).depth_mm
    chance = 100 * reliability.holds.mean(axis=0)
    at, width = np.arange(len(names)), min(14.0, 300.0 / len(names))
    axes.vlines(at, low, high, color=palette.HOLDS, linewidth=width, alpha=0.45)
    axes.plot(at, middle, linestyle="none", marker="_", markersize=width, markeredgewidth=1.4, color=palette.SWALE)
    axes.axhline(design, color=palette.INK, linewidth=1.0, linestyle=(0, (4, 2)))
    named = at[:: -(-len(names) // _MOST_NAMED)]
    for place in named:
        note(axes, f"{chance[place]:.0f}", (place, high[place]), (0, 2), _SMALL_PT, path_effects=[])
    axes.set_xticks(named, [names[place] for place in named])
    axes.set_xlim(-0.7, len(names) - 0.3)
    axes.set_ylim(0, 1.12 * max(high.max(), design))
    dress(axes, "Swale; figures: chance to hold the storm that comes [%]", f"Storm held, 5 to 95 % [{unit}]")
    axes.tick_params(axis="x", labelsize=_SMALL_PT if len(names) > 20 else _LABEL_PT)
    return title(axes, "How sure: swale by swale")


def draw_influence(reliability: Reliability, outcome: str, ax: Axes | None = None, *, named: bool = True) -> Axes:
    """Draw the rank correlation of each input with an outcome as bars; those in the shade may be chance.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    outcome : str
        A key of `Reliability.influence`.
    ax : Axes, optional
        Where to draw; new axes unless given.
    named : bool
        Whether the inputs are named at the side.

    Returns
    -------
    Axes
        The same axes, shaded within 2/√draws of zero.

    Examples
    --------
    >>> axes = draw_influence(reliability, "holding the storm")
    >>> [label.get_text() for label in axes.get_yticklabels()]
    ['terrain height', 'catchment', 'runoff', 'storm depth', 'infiltration', 'berm crest', 'ditch floor']
    """
    axes, by_input = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), reliability.influence[outcome]
    names, values = list(by_input), list(by_input.values())
    strongest, chance = max(values), 2.0 / np.sqrt(reliability.storm_mm.size)
    axes.axvspan(-chance, chance, color=palette.PANEL_STRIPE, linewidth=0, zorder=0)
    colours = [palette.SWALE if value == strongest and value > 0 else palette.EARTH_FACE for value in values]
    axes.barh(range(len(names)), values, color=colours, edgecolor=palette.QUIET_INK, linewidth=0.5, height=0.68)
    for place, value in enumerate(values):
        words = f"{value + 0.0:.2f}".replace("-", "−")
        note(axes, words, (max(value, 0.0), place), (3, 0), _SMALL_PT + 0.5, path_effects=[])
    axes.set_yticks(range(len(names)), names if named else [])
    axes.invert_yaxis()
    axes.set_xlim(min(-1.2 * chance, *values), 1.22)
    axes.set_xticks([0.0, 0.5, 1.0])
    axes.axvline(0.0, color=palette.QUIET_INK, linewidth=0.6)
    dress(axes, "Rank correlation")
    axes.tick_params(axis="y", length=0)
    return title(axes, outcome.capitalize(), size_pt=_TITLE_PT - 1)


def reliability_sheet(reliability: Reliability) -> Figure:
    """Storms held and to come, swale by swale, above what matters most.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.

    Returns
    -------
    Figure
        Storms held and to come, the swales one by one, and below them the influences on each outcome.

    Examples
    --------
    >>> len(reliability_sheet(reliability).axes) - 2 == len(reliability.influence)
    True
    """
    figure = Figure(figsize=(8.0, 9.6))
    above = draw_held_storms(reliability, figure.add_axes((0.1, 0.7, 0.86, 0.24)))
    name = reliability.layout.site.brief.site.name
    title(above, f"{name}: all{_chance_words(reliability)}", above_pt=ABOVE_LEGEND_PT)
    middle = draw_chances(reliability, figure.add_axes((0.1, 0.37, 0.86, 0.25)))
    title(middle, "Swale by swale", size_pt=_TITLE_PT)
    words = "What matters: rank correlation with each input; in the shade it may be luck"
    figure.text(0.1, 0.295, words, ha="left", va="bottom", **font(_TITLE_PT))
    for column, outcome in enumerate(reliability.influence):
        below = figure.add_axes((0.17 + 0.275 * column, 0.06, 0.235, 0.2))
        draw_influence(reliability, outcome, below, named=column == 0)
    return figure


def _chance_words(reliability: Reliability) -> str:
    return f" swales hold in {100 * reliability.chance:.0f} % of {reliability.storm_mm.size} draws"


def _scale(reliability: Reliability) -> tuple[float, str]:
    return scale("mm", units=reliability.layout.site.brief.site.units)
