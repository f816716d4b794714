"""The greatest rain of every year of a record, and the distributions fitted to it, over the return period."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import FixedFormatter, FixedLocator, NullLocator
from numpy.typing import ArrayLike, NDArray

from swalekit.design.brief.site import Site
from swalekit.errors import InputError
from swalekit.hydrology.storm.fit import GEV, GUMBEL, HEAVY_TAIL, LOG_PEARSON_3, plotting_positions
from swalekit.hydrology.storm.frequency import DEFAULT_CONFIDENCE, FrequencyAnalysis
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, dress, legend_above, note, scale, title

ABOVE_LEGEND_PT = 22.0
"""From the chart to a title that stands above its legend."""
_CHART_MM, _MARGINS_MM = 95.0, (17.0, 13.0, 6.0, 15.0)
_LABEL_PT = 8.0
_USUAL_RETURN_PERIOD_Y = 10.0
_MARGIN = 0.3  # room beyond the outermost points, in the reduced variate
_TICKS_Y = (1.1, 1.5, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
_DASHES: dict[str, Any] = {
    GUMBEL: (0, (6, 2)),
    GEV: (0, (1.2, 1.6)),
    HEAVY_TAIL: (0, (3, 1.5)),
    LOG_PEARSON_3: (0, (6, 2, 1.2, 2)),
}


def draw_frequency(
    analysis: FrequencyAnalysis, return_period_y: float, ax: Axes | None = None, *, units: str = "metric"
) -> Axes:
    """Draw annual maxima at their plotting positions, every fit, and the band of the chosen one.

    Parameters
    ----------
    analysis : FrequencyAnalysis
        The fits and their record.
    return_period_y : float
        Return period to mark [years].
    ax : Axes, optional
        Where to draw; new axes unless given.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes. Across them runs the reduced variate −ln(−ln(1 − 1/T)), on which a Gumbel fit is straight.

    Raises
    ------
    InputError
        If the units are unknown or the return period isn't greater than one year.

    Examples
    --------
    >>> from swalekit.hydrology.storm.annual_maxima import AnnualMaxima
    >>> from swalekit.hydrology.storm.frequency import analyse_frequency
    >>> depth_mm = np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0])
    >>> analysis = analyse_frequency(AnnualMaxima(np.arange(2001, 2008), depth_mm), seed=1)
    >>> draw_frequency(analysis, 25.0).get_ylabel()
    'Greatest depth of the year [mm]'
    """
    axes, (per_mm, unit) = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), scale("mm", units=units)
    marked = np.stack([analysis.depth_mm(return_period_y), *analysis.band_mm(return_period_y)]) * per_mm
    seen_y = 1.0 / plotting_positions(len(analysis.maxima.depth_mm), analysis.plotting_rule)
    first, last = _reduced([seen_y[-1], max(return_period_y, seen_y[0])])
    across = np.linspace(first - _MARGIN, last + _MARGIN, 200)
    years = _return_period(across)
    low, high = analysis.band_mm(years)
    axes.fill_between(
        across, low * per_mm, high * per_mm, color=palette.CATCHMENT_TINTS[0], alpha=0.45, linewidth=0, zorder=1,
        label=f"{100 * DEFAULT_CONFIDENCE:g} % confidence",
    )  # fmt: skip
    for name, fit in analysis.fits.items():
        style = _line_style(name, chosen=fit is analysis.chosen)
        axes.plot(across, fit.quantile_mm(years) * per_mm, label=_name(analysis, name), **style)
    axes.plot(
        _reduced(seen_y), np.sort(analysis.maxima.depth_mm)[::-1] * per_mm, "o", zorder=4, markersize=4.5,
        markerfacecolor=palette.PAPER, markeredgecolor=palette.INK, markeredgewidth=1.0, label="annual maxima",
    )  # fmt: skip
    axes.set_xlim(across[0], across[-1])
    axes.set_ylim(bottom=0)
    _mark(return_period_y, marked, unit, axes)
    _frame(unit, axes)
    return axes


def draw_rain_record(site: Site, ax: Axes | None = None) -> Axes:
    """Draw the greatest rain of every year of a record, and the depth that comes once in so many years.

    Parameters
    ----------
    site : Site
        A site whose brief names a daily record.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If its brief names no record.
    """
    if not isinstance(site.rain, FrequencyAnalysis):
        message = f"the brief of '{site.brief.site.name}' names no record of rain; give [storm] record"
        raise InputError(message)
    years = site.brief.storm.return_period_y or _USUAL_RETURN_PERIOD_Y
    axes = draw_frequency(site.rain, years, ax, units=site.brief.site.units)
    return title(axes, "Greatest rain of the year", above_pt=ABOVE_LEGEND_PT)


def _reduced(return_period_y: ArrayLike) -> NDArray[np.float64]:
    """Reduced variate of the Gumbel distribution at a return period."""
    return np.asarray(-np.log(-np.log1p(-1.0 / np.asarray(return_period_y, np.float64))))


def _return_period(reduced: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return period at a reduced variate [years]."""
    return np.asarray(-1.0 / np.expm1(-np.exp(-reduced)))


def _line_style(name: str, *, chosen: bool) -> dict[str, Any]:
    """Full and strong for the chosen fit, thin and dashed for the others."""
    if chosen:
        return {"color": palette.SWALE, "linewidth": 1.8, "zorder": 3}
    return {"color": palette.QUIET_INK, "linewidth": 1.0, "linestyle": _DASHES[name], "zorder": 2}


def _name(analysis: FrequencyAnalysis, name: str) -> str:
    """Name of a fit as the legend has it."""
    return f"{name}, chosen" if analysis.fits[name] is analysis.chosen else name


def _mark(return_period_y: float, depths: NDArray[np.float64], unit: str, axes: Axes) -> None:
    """Mark a return period and letter its depth and the limits of its band."""
    at = float(_reduced(return_period_y))
    depth, low, high = depths
    digits = 2 if unit == "in" else 1
    left, bottom = axes.get_xlim()[0], axes.get_ylim()[0]
    axes.plot(
        [at, at, left], [bottom, depth, depth], color=palette.INK, linewidth=0.8, linestyle=(0, (3, 2)), zorder=2.5
    )
    axes.errorbar(
        [at], [depth], yerr=[[max(depth - low, 0.0)], [max(high - depth, 0.0)]], fmt="D", color=palette.SWALE,
        markersize=5, elinewidth=1.2, capsize=3, zorder=5,
    )  # fmt: skip
    middle, least, most = (f"{figure:.{digits}f}" for figure in depths)
    words = f"{return_period_y:g} years: {middle} {unit}\n({least} to {most})"
    note(axes, words, (left, depth), (8, 5), _LABEL_PT, weight="bold", zorder=6)


def _frame(unit: str, axes: Axes) -> None:
    """Ticks at round return periods, axis names and legend."""
    axes.xaxis.set_major_locator(FixedLocator(_reduced(_TICKS_Y).tolist()))
    axes.xaxis.set_major_formatter(FixedFormatter([f"{years:g}" for years in _TICKS_Y]))
    axes.xaxis.set_minor_locator(NullLocator())
    dress(axes, "Return period [years]", f"Greatest depth of the year [{unit}]")
    axes.grid(color=palette.PANEL_STRIPE, linewidth=0.8, zorder=0)
    axes.set_axisbelow(True)
    legend_above(axes, side="right", ncols=6, columnspacing=1.0, handlelength=2.0)
