"""What a site costs: by kind of thing with its range, and year by year."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.design.budget.site_budget import SiteBudget
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, dress, title
from swalekit.reporting.paper.lettering import font, wrap
from swalekit.reporting.words.budget_words import headline, money, year_name

_CHART_MM, _MARGINS_MM = 90.0, (32.0, 13.0, 24.0, 9.0)
_LABEL_PT, _SMALL_PT = 8.5, 8.0
_ROOM = 1.22
"""Of the longest bar, so that sums stand beside it."""


def draw_budget(found: SiteBudget, ax: Axes | None = None) -> Axes:
    """Draw what each kind of thing costs, with its range.

    Parameters
    ----------
    found : SiteBudget
        The budget.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> draw_budget(budget).get_title(loc="left")
    'What it costs, and how far that may come out otherwise'
    """
    axes = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM)
    headings = found.budget.headings
    names = [heading.heading for heading in headings]
    cost = np.array([heading.cost for heading in headings])
    ends = np.array([[heading.cost - heading.low, heading.high - heading.cost] for heading in headings]).T
    if found.budget.contingency:
        names, cost = [*names, "for the unseen"], np.append(cost, found.budget.contingency)
        ends = np.column_stack([ends, [0.0, 0.0]])
    place = np.arange(cost.size)
    axes.barh(place, cost, 0.62, color=palette.CATCHMENT_TINTS[0], edgecolor=palette.INK, linewidth=0.6)
    axes.errorbar(cost, place, xerr=ends, color=palette.INK, linestyle="none", elinewidth=1.0, capsize=3.0)
    right = cost + ends[1]
    for spot, sum_, end in zip(place.tolist(), cost.tolist(), right.tolist(), strict=True):
        axes.annotate(
            money(found, sum_), (end, spot), xytext=(6, 0), textcoords="offset points", va="center", **font(_LABEL_PT)
        )
    axes.set_yticks(place, names)
    axes.invert_yaxis()
    axes.set_xlim(0.0, _ROOM * float(right.max()))
    axes.xaxis.set_major_formatter("{x:,.0f}")
    dress(axes, f"Cost [{found.currency}]" if found.currency else "Cost", "")
    axes.tick_params(labelsize=_LABEL_PT)
    return title(axes, "What it costs, and how far that may come out otherwise")


def draw_budget_years(found: SiteBudget, ax: Axes | None = None) -> Axes:
    """Draw what falls due in each year, with its share of what is kept.

    Parameters
    ----------
    found : SiteBudget
        The budget.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> [label.get_text() for label in draw_budget_years(budget).get_xticklabels()]
    ['2030', '2032']
    """
    axes = axes_in_cell(ax, 60.0, margins_mm=_MARGINS_MM)
    by_year = found.budget.by_year
    years, sums = list(by_year), np.array(list(by_year.values()))
    axes.bar(years, sums, 0.62, color=palette.CATCHMENT_TINTS[1], edgecolor=palette.INK, linewidth=0.6)
    for year, sum_ in by_year.items():
        axes.annotate(
            f"{sum_:,.0f}", (year, sum_), xytext=(0, 3), textcoords="offset points", ha="center", **font(_SMALL_PT)
        )
    axes.set_xticks(years, [year_name(found, year).replace("year ", "") for year in years])
    axes.set_ylim(0.0, 1.18 * float(sums.max()))
    axes.set_xlim(min(years) - 0.7, max(*years, min(years) + 4) + 0.7)
    axes.yaxis.set_major_formatter("{x:,.0f}")
    dress(axes, "Year" if found.first_year == 1 else "", found.currency or "Cost")
    axes.tick_params(labelsize=_LABEL_PT)
    return title(axes, "When it falls due")


def budget_sheet(found: SiteBudget) -> Figure:
    """The sum, the kinds of things and the years on one sheet.

    Parameters
    ----------
    found : SiteBudget
        The budget.

    Returns
    -------
    Figure
        An A4 sheet, upright.

    Examples
    --------
    >>> len(budget_sheet(budget).axes)
    2
    """
    figure = Figure(figsize=(8.27, 11.69), facecolor=palette.PAPER)
    figure.text(0.09, 0.955, f"{found.site}: budget", **font(16.0, weight="bold"))
    figure.text(0.09, 0.935, "\n".join(wrap(headline(found), 172.0, 10.5)), va="top", linespacing=1.4, **font(10.5))
    draw_budget(found, figure.add_axes((0.2, 0.5, 0.74, 0.34)))
    draw_budget_years(found, figure.add_axes((0.12, 0.1, 0.82, 0.28)))
    return figure
