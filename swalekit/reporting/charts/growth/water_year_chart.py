"""The year's water of the planted ground: what comes, what the trees want, and what they get."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import PercentFormatter

from swalekit.planting.water.measures import PLANTED
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import FONT_FAMILY, font, halo
from swalekit.reporting.paper.save import hatched
from swalekit.units import to_us

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
def draw_water_year(rows: Rows, axes: Axes, *, units: str = "metric") -> Axes:
    """Rain and harvested water of each month as bars, the trees' full want as a line.

    Parameters
    ----------
    rows : sequence of mapping
        Months of a mean year by measure, by the names of `MONTH_COLUMNS`.
    axes : Axes
        Where to draw.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes.
    """
    factor, unit = to_us(1.0, "mm") if units == "us" else (1.0, "mm")
    planned = _of(PLANTED, rows)
    month = np.arange(12)
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
    axes.set_ylabel(f"Water in a mean year [{unit}]", **font(_SIZE_PT))
    _dress(axes)
    axes.legend(loc="upper center", ncols=2, frameon=False, fontsize=_SIZE_PT - 1)
    return axes


def draw_measures(rows: Rows, axes: Axes, *, least_ratio: float) -> Axes:
    """Share of the trees' want that each measure meets, month by month.

    Parameters
    ----------
    rows : sequence of mapping
        Months of a mean year by measure, by the names of `MONTH_COLUMNS`.
    axes : Axes
        Where to draw.
    least_ratio : float
        Share below which trees suffer [-].

    Returns
    -------
    Axes
        The same axes.
    """
    month = np.arange(12)
    for name, style in _STYLES.items():
        of = _of(name, rows)
        year = sum(row["transpiration_mm"] for row in of) / max(sum(row["demand_mm"] for row in of), 1e-9)
        label = f"{_WORDS[name]}: {100 * year:.0f} % of the year's want"
        axes.plot(month, [row["share"] for row in of], linewidth=1.4, markersize=5.0, label=label, **style)
    axes.axhline(least_ratio, color=palette.INK, linewidth=0.8)
    axes.annotate(
        f"least share over a year: {least_ratio:g}", (0.0, least_ratio), (0, 3), textcoords="offset points", ha="left",
        va="bottom", path_effects=halo(), **font(_SIZE_PT - 1.5),
    )  # fmt: skip
    axes.set_ylim(0, 1.3)
    axes.set_yticks(np.linspace(0.0, 1.0, 6))
    axes.yaxis.set_major_formatter(PercentFormatter(1.0, decimals=0, symbol=" %"))
    axes.set_ylabel("Want of the trees that is met", **font(_SIZE_PT))
    _dress(axes)
    axes.legend(loc="upper center", ncols=2, frameon=False, fontsize=_SIZE_PT - 1)
    return axes


def water_year_sheet(rows: Rows, *, title: str, least_ratio: float, units: str) -> Figure:
    """Both charts on one page, with the site's name."""
    figure = Figure(figsize=(8.0, 8.6))
    above, below = figure.add_axes((0.1, 0.555, 0.87, 0.39)), figure.add_axes((0.1, 0.055, 0.87, 0.41))
    draw_water_year(rows, above, units=units).set_title(
        f"{title}: water of the planted ground", loc="left", fontsize=11
    )
    draw_measures(rows, below, least_ratio=least_ratio).set_title(
        "With and without swales and mulch", loc="left", fontsize=11
    )
    return figure


def _of(measure: str, rows: Rows) -> list[Mapping[str, Any]]:
    return [row for row in rows if row["measure"] == measure]


def _dress(axes: Axes) -> None:
    axes.set_xlim(-0.6, 11.6)
    axes.set_xticks(range(12), [name[:3] for name in MONTHS])
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=_SIZE_PT - 1, labelfontfamily=FONT_FAMILY)
