"""The months of every year in which the trees go short."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import ListedColormap
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import year_rows
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, title
from swalekit.reporting.paper.lettering import FONT_FAMILY, font

_YEAR_MM = 5.4
_MARGINS_MM = (17.0, 13.0, 28.0, 20.0)
_ABOVE_MONTHS_PT = 22.0
_SIZE_PT = 9.0
_BOUNDS = (0.5, 1.0)
"""Shares of the want at which a shade changes, above the least share."""


def draw_dry_months(growth: Growth, ax: Axes | None = None) -> Axes:
    """Draw the share of the trees' want that is met, a square a month of every year; a cross where they suffer.

    Parameters
    ----------
    growth : Growth
        A planting with trees.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> [text.get_text() for text in draw_dry_months(growth).texts]
    ['57 %', '47 %', '47 %', '47 %', 'year']
    """
    rows: Sequence[Mapping[str, Any]] = year_rows(growth)
    least_ratio = growth.design.site.brief.planting.least_ratio
    years = sorted({int(row["year"]) for row in rows})
    share = np.full((len(years), 12), np.nan)
    over = {year: [0.0, 0.0] for year in years}
    for row in rows:
        share[years.index(int(row["year"])), int(row["month"]) - 1] = row["share"]
        over[int(row["year"])][0] += row["transpiration_mm"]
        over[int(row["year"])][1] += row["demand_mm"]
    bounds = _bounds(least_ratio)
    axes = axes_in_cell(ax, _YEAR_MM * len(years), margins_mm=_MARGINS_MM)
    axes.pcolormesh(
        np.arange(13) - 0.5, np.arange(len(years) + 1) - 0.5, np.digitize(share, bounds),
        cmap=ListedColormap(palette.WANT_MET_TINTS[: len(bounds) + 1]), vmin=-0.5, vmax=len(bounds) + 0.5,
        edgecolors=palette.PAPER, linewidth=1.0,
    )  # fmt: skip
    place, month = np.nonzero(share < least_ratio)
    axes.plot(month, place, linestyle="", marker="x", markersize=4.0, markeredgewidth=0.9, color=palette.PAPER)
    for row_number, year in enumerate(years):
        of_year = over[year][0] / over[year][1] if over[year][1] else 1.0
        short = of_year < least_ratio
        axes.text(
            12.0, row_number, f"{100 * of_year:.0f} %" + (" short" if short else ""), va="center",
            **(font(_SIZE_PT - 1) | {"fontweight": "bold" if short else "normal"}),
        )  # fmt: skip
    axes.text(12.0, -1.0, "year", va="center", **font(_SIZE_PT - 1))
    _dress(axes, years)
    return _explain(least_ratio, title(axes, "How much of the trees' want was met", above_pt=_ABOVE_MONTHS_PT))


def dry_months_sheet(growth: Growth) -> Figure:
    """The chart on a page, with the site's name.

    Parameters
    ----------
    growth : Growth
        A planting with trees.

    Returns
    -------
    Figure
        The chart, the higher the more years the record has.

    Examples
    --------
    >>> print(dry_months_sheet(growth).get_size_inches().round(2))
    [7.   2.54]
    """
    years = len({row["year"] for row in year_rows(growth)})
    height = 1.7 + 0.21 * years
    figure = Figure(figsize=(7.0, height))
    axes = draw_dry_months(growth, figure.add_axes((0.09, 0.75 / height, 0.76, 1.0 - 1.55 / height)))
    title(axes, f"{growth.design.site.brief.site.name}: how much of the trees' want was met", above_pt=_ABOVE_MONTHS_PT)
    return figure


def _bounds(least_ratio: float) -> tuple[float, ...]:
    return (least_ratio, *(bound for bound in _BOUNDS if bound > least_ratio))


def _explain(least_ratio: float, axes: Axes) -> Axes:
    """Legend below: a patch a shade, from the driest."""
    bounds = (0.0, *_bounds(least_ratio))
    words = [f"below {100 * least_ratio:.0f} % (×)"]
    words += [f"{100 * low:.0f} to {100 * high:.0f} %" for low, high in pairwise(bounds[1:])]
    words.append("all they want")
    shades = [Patch(facecolor=tint, label=word) for tint, word in zip(palette.WANT_MET_TINTS, words, strict=False)]
    axes.legend(
        handles=shades, loc="upper left", bbox_to_anchor=(0.0, -0.02), ncols=4, frameon=False, fontsize=_SIZE_PT - 1,
        handlelength=1.2, columnspacing=1.4,
    )  # fmt: skip
    return axes


def _dress(axes: Axes, years: Sequence[int]) -> None:
    axes.set_xlim(-0.5, 11.5)
    axes.set_ylim(len(years) - 0.5, -0.5)
    axes.set_xticks(range(12), [name[:3] for name in MONTHS])
    axes.xaxis.tick_top()
    axes.set_yticks(range(len(years)), [str(year) for year in years])
    axes.spines[:].set_visible(False)
    axes.tick_params(length=0, labelsize=_SIZE_PT - 1, labelfontfamily=FONT_FAMILY)
