"""How sure a layout is: storms held against storms that come, swale by swale, and which input matters."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import FONT_FAMILY, font, halo
from swalekit.units import to_us

_LABEL_PT, _SMALL_PT = 8.0, 6.5
_BINS = 24
_MOST_NAMED = 32
"""Swales that are named one by one."""


def draw_storms(
    held_mm: NDArray[np.float64],
    storm_mm: NDArray[np.float64],
    design_mm: float,
    axes: Axes,
    *,
    units: str = "metric",
) -> Axes:
    """Draw how often each depth is the deepest that the layout holds, and how often it is the storm that comes.

    Parameters
    ----------
    held_mm, storm_mm : ndarray of float64, shape (d,)
        Deepest storm held and storm that comes in each draw [mm].
    design_mm : float
        The design storm, marked [mm].
    axes : Axes
        Where to draw.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes; its legend stands above it.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> draw_storms(np.array([50.0, 70.0]), np.array([60.0, 62.0]), 60.0, Figure().subplots()).get_xlabel()
    'Storm [mm]'
    """
    factor, unit = _in_units(units)
    held, storm = factor * held_mm, factor * storm_mm
    # draws far beyond all others would leave no room for these
    top = min(max(held.max(), storm.max()), 1.5 * max(np.quantile(held, 0.95), np.quantile(storm, 0.95)))
    edges = np.linspace(
        min(held.min(), storm.min(), factor * design_mm), max(top, 1.02 * factor * design_mm), _BINS + 1
    )
    for values, colour, label, filled in (
        (held, palette.HOLDS, "deepest storm that every swale holds", True),
        (storm, palette.SPILL, "storm that comes", False),
    ):
        share = 100.0 * np.histogram(np.minimum(values, edges[-1]), edges)[0] / values.size
        style: dict[str, Any] = {"alpha": 0.45} if filled else {"linewidth": 1.6}
        axes.stairs(share, edges, fill=filled, color=colour, label=label, **style)
    axes.axvline(factor * design_mm, color=palette.INK, linewidth=1.0, linestyle=(0, (4, 2)))
    axes.annotate(
        f"design storm {factor * design_mm:.3g} {unit}", (factor * design_mm, 1.0), (4, -4),
        xycoords=("data", "axes fraction"), textcoords="offset points", ha="left", va="top", color=palette.INK,
        path_effects=halo(), **font(_LABEL_PT, "bold"),
    )  # fmt: skip
    axes.set_xlim(edges[0], edges[-1])
    axes.set_ylim(0, 1.15 * axes.get_ylim()[1])
    axes.yaxis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 5, 10]))
    axes.yaxis.set_major_formatter("{x:g}")
    _named(axes, f"Storm [{unit}]", "Share of draws [%]")
    axes.legend(
        loc="lower left", bbox_to_anchor=(0, 1), ncols=2, frameon=False, borderaxespad=0.2,
        prop={"family": FONT_FAMILY, "size": _LABEL_PT},
    )  # fmt: skip
    return axes


def draw_swales(
    names: Sequence[str],
    held_mm: NDArray[np.float64],
    chance: Sequence[float],
    design_mm: float,
    axes: Axes,
    *,
    units: str = "metric",
) -> Axes:
    """Draw the range of storms that each swale holds, with its chance to hold the one that comes.

    Parameters
    ----------
    names : sequence of str
        Swales.
    held_mm : ndarray of float64, shape (3, n)
        Deepest storm held that 95, 50 and 5 % of draws exceed [mm].
    chance : sequence of float
        Share of draws in which each holds.
    design_mm : float
        The design storm, marked [mm].
    axes : Axes
        Where to draw.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = draw_swales(["S1"], np.array([[40.0], [60.0], [90.0]]), [0.5], 60.0, Figure().subplots())
    >>> axes.get_xticklabels()[0].get_text()
    'S1'
    """
    factor, unit = _in_units(units)
    low, middle, high = factor * held_mm
    at, width = np.arange(len(names)), min(14.0, 300.0 / len(names))
    axes.vlines(at, low, high, color=palette.HOLDS, linewidth=width, alpha=0.45)
    axes.plot(at, middle, linestyle="none", marker="_", markersize=width, markeredgewidth=1.4, color=palette.SWALE)
    axes.axhline(factor * design_mm, color=palette.INK, linewidth=1.0, linestyle=(0, (4, 2)))
    every = -(-len(names) // _MOST_NAMED)
    for place in at[::every]:
        axes.annotate(
            f"{100 * chance[place]:.0f}", (place, high[place]), (0, 2), textcoords="offset points", ha="center",
            va="bottom", color=palette.INK, **font(_SMALL_PT),
        )  # fmt: skip
    axes.set_xticks(at[::every], [names[place] for place in at[::every]])
    axes.set_xlim(-0.7, len(names) - 0.3)
    axes.set_ylim(0, 1.12 * max(high.max(), factor * design_mm))
    _named(axes, "Swale; figures: chance to hold the storm that comes [%]", f"Storm held, 5 to 95 % [{unit}]")
    axes.tick_params(axis="x", labelsize=_SMALL_PT if len(names) > 20 else _LABEL_PT)
    return axes


def draw_influence(by_input: Mapping[str, float], draws: int, axes: Axes, *, named: bool = True) -> Axes:
    """Draw the rank correlation of each input with an outcome as bars.

    Parameters
    ----------
    by_input : mapping of str to float
        Input -> rank correlation.
    draws : int
        Draws that it rests on: within 2/√draws of zero it may be chance, and is shaded.
    axes : Axes
        Where to draw.
    named : bool
        Whether the inputs are named at the side.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> len(draw_influence({"runoff": 0.7, "storm depth": 0.4}, 200, Figure().subplots()).patches)
    3
    """
    names, values = list(by_input), list(by_input.values())
    strongest, chance = max(values), 2.0 / np.sqrt(draws)
    axes.axvspan(-chance, chance, color=palette.PANEL_STRIPE, linewidth=0, zorder=0)
    colours = [palette.SWALE if value == strongest and value > 0 else palette.EARTH_FACE for value in values]
    axes.barh(range(len(names)), values, color=colours, edgecolor=palette.QUIET_INK, linewidth=0.5, height=0.68)
    for place, value in enumerate(values):
        axes.annotate(
            f"{value + 0.0:.2f}".replace("-", "−"), (max(value, 0.0), place), (3, 0), textcoords="offset points",
            va="center", color=palette.INK, **font(_SMALL_PT + 0.5),
        )  # fmt: skip
    axes.set_yticks(range(len(names)), names if named else [])
    axes.invert_yaxis()
    axes.set_xlim(min(-1.2 * chance, *values), 1.22)
    axes.set_xticks([0.0, 0.5, 1.0])
    axes.axvline(0.0, color=palette.QUIET_INK, linewidth=0.6)
    _named(axes, "Rank correlation", "")
    axes.tick_params(axis="y", length=0)
    return axes


def _in_units(units: str) -> tuple[float, str]:
    return to_us(1.0, "mm") if units == "us" else (1.0, "mm")


def _named(axes: Axes, across: str, up: str) -> None:
    axes.set_xlabel(across, **font(_LABEL_PT + 1))
    axes.set_ylabel(up, **font(_LABEL_PT + 1))
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=_LABEL_PT, labelfontfamily=FONT_FAMILY)
