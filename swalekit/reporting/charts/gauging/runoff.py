"""Rain against runoff: readings, the curve that the plan was sized by, and the one that fits them."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.design.brief.settings import storm_of
from swalekit.design.gauging.gauging import (
    AT_LEAST,
    AT_MOST,
    FROM_ABOVE,
    TOO_MUCH,
    USED,
    GaugeReading,
    Gauging,
    brief_runoff_mm,
)
from swalekit.hydrology.losses.curve_number import runoff_mm
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, dress, legend_above, note, scale, title

_CHART_MM, _MARGINS_MM = 95.0, (17.0, 13.0, 6.0, 24.0)
_ABOVE_LEGEND_PT = 46.0  # above three rows of it
_LABEL_PT = 8.0
_ROOM, _STEPS = 1.08, 200
_MARKS = {
    USED: ("o", palette.SWALE, "runoff known in full"),
    AT_LEAST: ("^", palette.PAPER, "that or more: at the sill"),
    AT_MOST: ("v", palette.PAPER, "that or less: no water to read"),
    FROM_ABOVE: ("x", palette.QUIET_INK, "not counted: fed from above"),
    TOO_MUCH: ("x", palette.FAILS, "not counted: more than fell"),
}
"""Mark, face and words by the state of a reading."""


def draw_gauging(gauging: Gauging, ax: Axes | None = None) -> Axes:
    """Draw runoff against rain: every reading, the brief's curve, and the fitted one with its interval.

    Parameters
    ----------
    gauging : Gauging
        Notes read back.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes; an upright line is the storm to hold.

    Examples
    --------
    >>> from swalekit.design.gauging import GaugeNote, gauge
    >>> draw_gauging(gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, depth_m=0.2)])).get_title(loc="left")
    'Rain and the runoff that the gauges tell'
    """
    axes = axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM)
    site = gauging.design.site
    per_mm, unit = scale("mm", units=site.brief.site.units)
    storm_mm = storm_of(site).depth_mm
    most_mm = _ROOM * max([storm_mm, *(reading.note.rain_mm for reading in gauging.readings)])
    rain = np.linspace(0.0, most_mm, _STEPS)
    by_brief = brief_runoff_mm(gauging.design, rain)
    axes.plot(per_mm * rain, per_mm * by_brief, color=palette.INK, lw=1.2, ls=(0, (5, 2)), label="as the brief has it")
    fitted = gauging.fitted
    if fitted is not None:
        ends = [number for number in (fitted.low, fitted.high) if number is not None]
        low, curve, high = (
            runoff_mm(rain, number, initial_abstraction_ratio=gauging.ratio)
            for number in (min(ends, default=fitted.curve_number), fitted.curve_number, max([*ends, 0.0]) or 100.0)
        )
        label = f"curve number {fitted.curve_number:.1f}, fitted"
        axes.plot(per_mm * rain, per_mm * curve, color=palette.SPILL, lw=1.6, label=label)
        if ends:
            axes.fill_between(per_mm * rain, per_mm * low, per_mm * high, color=palette.WATER_FACE, lw=0, zorder=0.5)
    for state, (marker, face, words) in _MARKS.items():
        told = [reading for reading in gauging.readings if reading.state == state]
        if told:
            axes.plot(
                [per_mm * reading.note.rain_mm for reading in told],
                [per_mm * _runoff_mm(reading) for reading in told],
                ls="", marker=marker, markersize=5.5, markerfacecolor=face, markeredgewidth=0.9, zorder=4, label=words,
                markeredgecolor=palette.SWALE if marker != "x" else face,
            )  # fmt: skip
    axes.axvline(per_mm * storm_mm, color=palette.QUIET_INK, lw=0.7, zorder=0.6)
    note(axes, "storm to hold", (per_mm * storm_mm, 0.97), (-3, 0), _LABEL_PT, color=palette.QUIET_INK,
         xycoords=("data", "axes fraction"))  # fmt: skip
    axes.set_xlim(0.0, per_mm * most_mm)
    axes.set_ylim(bottom=0.0)
    dress(axes, f"Rain [{unit}]", f"Runoff [{unit}]")
    legend_above(axes, side="left", ncols=2, columnspacing=1.4, handlelength=2.2)
    return title(axes, "Rain and the runoff that the gauges tell", above_pt=_ABOVE_LEGEND_PT)


def _runoff_mm(reading: GaugeReading) -> float:
    """Where a reading is drawn: at all of the rain where it tells more [mm]."""
    return reading.note.rain_mm if reading.runoff_mm is None else reading.runoff_mm


def gauge_chart(gauging: Gauging) -> Figure:
    """The chart on a sheet of its own.

    Parameters
    ----------
    gauging : Gauging
        Notes read back.

    Returns
    -------
    Figure
        One chart, named for the site.

    Examples
    --------
    >>> from swalekit.design.gauging import GaugeNote, gauge
    >>> len(gauge_chart(gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, depth_m=0.2)])).axes)
    1
    """
    figure = Figure(figsize=(7.2, 5.6))
    axes = draw_gauging(gauging, figure.add_axes((0.1, 0.1, 0.86, 0.71)))
    name = gauging.design.site.brief.site.name
    title(axes, f"{name}: rain, and the runoff that the gauges tell", above_pt=_ABOVE_LEGEND_PT)
    return figure
