"""The year's water of the planted ground: what comes, what the trees want, and what they get."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import PercentFormatter

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import Row, month_rows
from swalekit.errors import InputError
from swalekit.planting.water.measures import PLANTED
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, dress, note, scale, title
from swalekit.reporting.paper.lettering import halo
from swalekit.reporting.paper.save import hatched

_CHART_MM, _MARGINS_MM = 95.0, (17.0, 9.0, 6.0, 9.0)
_SIZE_PT = 9.0
_BARS = 0.72
_STYLES: dict[str, dict[str, Any]] = {
    "bare": {"color": palette.QUIET_INK, "linestyle": (0, (1, 1.5)), "marker": "o", "markerfacecolor": palette.PAPER},
    "mulch": {"color": palette.FAILS, "linestyle": (0, (4, 2)), "marker": "s", "markerfacecolor": palette.PAPER},
    "swale": {"color": palette.SPILL, "linestyle": (0, (6, 1.5, 1, 1.5)), "marker": "D"},
    PLANTED: {"color": palette.HOLDS, "linestyle": "solid", "marker": "^"},
}
_WORDS = {
    "bare": "no swale, no mulch",
    "mulch": "mulch alone",
    "swale": "swale alone",
    PLANTED: PLANTED,
}

Rows = Sequence[Mapping[str, Any]]


@hatched
def draw_water_year(rows: Rows, ax: Axes | None = None, *, units: str = "metric") -> Axes:
    """Rain and harvested water of each month as bars, the trees' full want as a line.

    Parameters
    ----------
    rows : sequence of mapping
        Months of a mean year by measure, by the names of `MONTH_COLUMNS`.
    ax : Axes, optional
        Where to draw; new axes unless given.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If the units are unknown.

    Examples
    --------
    >>> draw_water_year(month_rows(growth), units="us").get_ylabel()
    'Water in a mean year [in]'
    """
    axes, (factor, unit) = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), scale("mm", units=units)
    planned, month = _of(PLANTED, rows), np.arange(12)
    rain, harvested, want, taken = (
        factor * np.array([row[f"{name}_mm"] for row in planned])
        for name in ("rain", "harvested", "demand", "transpiration")
    )
    edge: dict[str, Any] = {"edgecolor": palette.INK, "linewidth": 0.5}
    axes.bar(month, rain, _BARS, color=palette.WATER_FACE, label="rain on the planted ground", **edge)
    axes.bar(
        month, harvested, _BARS, bottom=rain, color=palette.WATERCOURSE, hatch="//",
        label="runoff brought by the swales", **edge,
    )  # fmt: skip
    axes.plot(
        month, want, color=palette.SWALE, linewidth=1.8, path_effects=halo(3.2), label="full want of the grown trees"
    )
    axes.plot(
        month, taken, color=palette.HOLDS, linewidth=1.8, linestyle=(0, (4, 1.5)), path_effects=halo(3.2),
        label="what they get",
    )  # fmt: skip
    axes.set_ylim(0, 1.3 * max(float((rain + harvested).max()), float(want.max()), 1e-9))
    return _dress(axes, f"Water in a mean year [{unit}]")


def draw_measures(rows: Rows, ax: Axes | None = None, *, least_ratio: float) -> Axes:
    """Share of the trees' want that each measure meets, month by month.

    Parameters
    ----------
    rows : sequence of mapping
        Months of a mean year by measure, by the names of `MONTH_COLUMNS`.
    ax : Axes, optional
        Where to draw; new axes unless given.
    least_ratio : float
        Share below which trees suffer [-].

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> axes = draw_measures(month_rows(growth), least_ratio=0.5)
    >>> axes.get_legend().get_texts()[0].get_text()
    "no swale, no mulch: 31 % of the year's want"
    """
    axes, month = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), np.arange(12)
    for name, style in _STYLES.items():
        of = _of(name, rows)
        year = sum(row["transpiration_mm"] for row in of) / max(sum(row["demand_mm"] for row in of), 1e-9)
        label = f"{_WORDS[name]}: {100 * year:.0f} % of the year's want"
        axes.plot(month, [row["share"] for row in of], linewidth=1.4, markersize=5.0, label=label, **style)
    axes.axhline(least_ratio, color=palette.INK, linewidth=0.8)
    words = f"least share over a year: {least_ratio:g}"
    note(axes, words, (0.0, least_ratio), (0, 3), _SIZE_PT - 1.5, ha="left", color="black")
    axes.set_ylim(0, 1.3)
    axes.set_yticks(np.linspace(0.0, 1.0, 6))
    axes.yaxis.set_major_formatter(PercentFormatter(1.0, decimals=0, symbol=" %"))
    return _dress(axes, "Want of the trees that is met")


def draw_tree_water(growth: Growth, ax: Axes | None = None) -> Axes:
    """Draw the water of a mean year month by month: rain, what the swales bring, what the trees want and get.

    Parameters
    ----------
    growth : Growth
        The planting.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If no tree is planted.

    Examples
    --------
    >>> draw_tree_water(growth).get_title(loc="left")
    'Water of the planted ground in a mean year'
    """
    axes = draw_water_year(_months(growth), ax, units=growth.design.site.brief.site.units)
    return title(axes, "Water of the planted ground in a mean year")


def draw_want_met(growth: Growth, ax: Axes | None = None) -> Axes:
    """Draw how much of the trees' want is met month by month, with and without swales and mulch.

    Parameters
    ----------
    growth : Growth
        The planting.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If no tree is planted.

    Examples
    --------
    >>> draw_want_met(growth).get_title(loc="left")
    'With and without swales and mulch'
    """
    axes = draw_measures(_months(growth), ax, least_ratio=growth.design.site.brief.planting.least_ratio)
    return title(axes, "With and without swales and mulch")


def _months(growth: Growth) -> list[Row]:
    """Months of a mean year by measure."""
    rows = month_rows(growth)
    if not rows:
        message = f"no tree is planted on '{growth.design.site.brief.site.name}'; the notes of the planting say why"
        raise InputError(message)
    return rows


def water_year_sheet(growth: Growth) -> Figure:
    """Both charts on one page, with the site's name.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    Figure
        Water of a mean year above, how much of the want is met below.

    Raises
    ------
    InputError
        If no tree is planted.

    Examples
    --------
    >>> [axes.get_title(loc="left") for axes in water_year_sheet(growth).axes]
    ['Unnamed site: water of the planted ground', 'With and without swales and mulch']
    """
    figure = Figure(figsize=(8.0, 8.6))
    above = draw_tree_water(growth, figure.add_axes((0.1, 0.555, 0.87, 0.39)))
    title(above, f"{growth.design.site.brief.site.name}: water of the planted ground")
    draw_want_met(growth, figure.add_axes((0.1, 0.055, 0.87, 0.41)))
    return figure


def _of(measure: str, rows: Rows) -> list[Mapping[str, Any]]:
    return [row for row in rows if row["measure"] == measure]


def _dress(axes: Axes, up: str) -> Axes:
    axes.set_xlim(-0.6, 11.6)
    axes.set_xticks(range(12), [name[:3] for name in MONTHS])
    axes.legend(loc="upper center", ncols=2, frameon=False, fontsize=_SIZE_PT - 1)
    return dress(axes, up=up)
