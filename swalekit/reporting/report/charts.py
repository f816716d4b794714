"""The charts of a report; axes and values are SI, the page turns them into the reader's units.

Each trace says in its ``meta`` what its values are, ``[unit of x, unit of y]``; a title names a unit in braces.
"""

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
import plotly.graph_objects as go

from swalekit.design.plan.record import GrowthRecord, PlanRecord, ReliabilityRecord, SiteWater
from swalekit.hydrology.routing.outcome import StormOutcome
from swalekit.planting.water.measures import PLANTED
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.charts.storm.balance import BALANCE_FACES, BALANCE_STORMS
from swalekit.reporting.paper import palette
from swalekit.reporting.words.account_words import balance_parts
from swalekit.reporting.words.plan_words import shown_options

_MOST_STEPS = 600
_RAIN_STEP_MIN = 15.0


def storm_figure(record: PlanRecord) -> go.Figure:
    """Rain above, and below it the water of the site: held, soaked away, gone, under all that came.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    go.Figure
        Rain as bars, and the parts of the water stacked; without swales and hollows the rain alone.

    Examples
    --------
    >>> [trace.name for trace in storm_figure(record).data][:3]
    ['rain', 'left over sills and spill points', 'soaked away']
    """
    course = record.course
    step_h = min(_RAIN_STEP_MIN / 60.0, course.duration_h)
    rate_mm_h = course.increments_mm(60.0 * step_h) / step_h
    middle_h = (np.arange(rate_mm_h.size) + 0.5) * step_h
    rain = go.Bar(
        x=_listed(middle_h), y=_listed(rate_mm_h), width=step_h, yaxis="y2", name="rain", meta=["", "mm/h"],
        marker={"color": palette.WATERCOURSE, "line": {"width": 0}},
    )  # fmt: skip
    return _chart(
        [rain, *([] if record.water is None else _water_traces(record.water))],
        _axis("Time since the start of the storm [h]", range=[0, 1.5 * float(course.duration_h)], anchor="y"),
        _axis("Water [{m3}]", domain=[0, 0.68], rangemode="tozero"),
        yaxis2=_axis("Rain [{mm/h}]", domain=[0.76, 1], rangemode="tozero"),
        hovermode="x unified",
        bargap=0,
    )


def _water_traces(water: SiteWater | StormOutcome) -> Iterator[go.Scatter]:
    """Left, soaked away and held, one upon the other, and the line of all that came."""
    kept = np.unique(np.linspace(0, water.time_h.size - 1, _MOST_STEPS).astype(int))
    parts = (
        ("left over sills and spill points", water.left_m3, palette.FAILS, "/"),
        ("soaked away", water.soaked_total_m3, palette.HOLDS, ""),
        ("standing in ditches and hollows", water.held_m3 + water.under_way_m3, palette.POND, "-"),
    )
    time: dict[str, Any] = {"x": _listed(water.time_h[kept]), "mode": "lines", "meta": ["", "m3"]}
    for name, values, color, shape in parts:
        pattern = {"shape": shape, "fgcolor": color, "bgcolor": palette.PAPER, "fgopacity": 0.8, "size": 5}
        fill = {"fillpattern": pattern} if shape else {"fillcolor": f"{color}80"}
        line = {"color": color, "width": 1}
        yield go.Scatter(y=_listed(values[kept]), name=name, stackgroup="water", line=line, **time, **fill)
    line = {"color": palette.INK, "width": 2}
    yield go.Scatter(y=_listed(water.brought_m3[kept]), name="brought by the storm", line=line, **time)


def balance_figure(account: dict[str, Any]) -> go.Figure:
    """The rain of design and check storm as bars of what became of it.

    Parameters
    ----------
    account : dict
        The water account of a summary.

    Returns
    -------
    go.Figure
        A bar a storm, in parts that bear their volume where it finds room.

    Examples
    --------
    >>> [trace.name for trace in balance_figure(record.account).data]
    ['soaked in', 'held in swales', 'standing in hollows', 'gone from the tile']
    """
    storms = [words for words, _ in BALANCE_STORMS]
    parts = zip(*(balance_parts(account[name]) for _, name in BALANCE_STORMS), BALANCE_FACES, strict=True)
    traces = [
        go.Bar(
            x=[volume_m3 for _, volume_m3, _ in by_storm], y=storms, name=by_storm[0][0], orientation="h",
            meta=["m3", ""], texttemplate="%{x:,.0f}", textposition="inside", insidetextanchor="middle", textangle=0,
            insidetextfont={"color": ink}, hovertemplate="%{x:,.0f}", marker={"color": face},
        )
        for *by_storm, (face, ink) in parts
    ]  # fmt: skip
    across = _axis("Rain on the tile [{m3}]", tickformat=",d")
    up = _axis("", autorange="reversed", automargin=True, showgrid=False, ticks="")
    figure = _chart(traces, across, up, barmode="stack", bargap=0.3, uniformtext={"mode": "hide", "minsize": 11})
    return figure.update_layout(legend_traceorder="normal")


def options_figure(record: PlanRecord) -> go.Figure:
    """Soil dug against storm held, one mark an option, the listed ones numbered; the design storm as a line.

    Parameters
    ----------
    record : PlanRecord
        A plan with compared options.

    Returns
    -------
    go.Figure
        A star for the recommended one, full dots for others that keep all limits, open ones for those that don't.

    Examples
    --------
    >>> from dataclasses import replace
    >>> compared = replace(record, options=tuple(option.figures for option in comparison.options))
    >>> [trace.text for trace in options_figure(compared).data]
    [('1',), ('2',), None]
    """
    asked_mm, named = record.values_used["storm_depth_mm"], shown_options(record)
    dug = [float(option["dug_m3"] or 0.0) for option in record.options]
    traces = [_option_mark(option, named=option in named) for option in record.options]
    asked = go.Scatter(
        x=[min(dug), max(dug)], y=[asked_mm, asked_mm], mode="lines", name="design storm",
        line={"color": palette.INK, "width": 1.5, "dash": "dash"}, meta=["m3", "mm"], hoverinfo="skip",
    )  # fmt: skip
    return _chart([*traces, asked], _axis("Soil dug [{m3}]"), _axis("Storm held [{mm}]"))


def _option_mark(option: dict[str, Any], *, named: bool) -> go.Scatter:
    """A star for the recommended one, a full dot for what keeps all limits, an open one for what doesn't."""
    keeps, recommended = option["holds"] == "yes" and not option["beyond"], option["recommended"]
    color = palette.HOLDS if keeps else palette.FAILS
    marker = {
        "size": 18 if recommended else 12,
        "symbol": "star" if recommended else "circle" if keeps else "circle-open",
        "color": palette.SWALE if recommended else color,
        "line": {"color": color, "width": 2},
    }
    return go.Scatter(
        x=[option["dug_m3"]], y=[option["held_storm_mm"]], meta=["m3", "mm"], mode="markers+text",
        text=[str(option["number"]) if named else ""], textposition="top center",
        marker=marker, hoverinfo="skip", showlegend=False, cliponaxis=False,
    )  # fmt: skip


def section_figure() -> go.Figure:
    """Axes for a cross-section, at one scale both ways; the page fills in the swale that is chosen.

    Returns
    -------
    go.Figure
        Named lines without points.

    Examples
    --------
    >>> [trace.name for trace in section_figure().data]
    ['water at the sill', 'berm', 'ground before', 'as built']
    """
    traces = [
        _empty("water at the sill", palette.POND, 1, fill="toself", fillcolor=palette.WATER_FACE),
        _empty("berm", palette.INK, 1, fill="toself", fillcolor=palette.EARTH_FACE),
        _empty("ground before", palette.QUIET_INK, 1.2, "dash"),
        _empty("as built", palette.INK, 2.2),
    ]
    return _chart(traces, _axis("Downhill of the stake [{m}]"), _axis("Height [{m}]", scaleanchor="x"))


def profile_figure() -> go.Figure:
    """Axes for a profile along a line; the page fills in the swale that is chosen.

    Returns
    -------
    go.Figure
        Named lines without points.

    Examples
    --------
    >>> [trace.name for trace in profile_figure().data]
    ['crest', 'ground before', 'sill', 'full ditch', 'floor']
    """
    traces = [
        _empty("crest", palette.SWALE, 2),
        _empty("ground before", palette.QUIET_INK, 1.2, "dash"),
        _empty("sill", palette.SPILL, 5),
        _empty("full ditch", palette.POND, 1.4, "dot"),
        _empty("floor", palette.INK, 2.2),
    ]
    return _chart(traces, _axis("Along the line [{m}]"), _axis("Level [{m}]", tickformat=",.2~f"))


def tree_water_figure(growth: GrowthRecord) -> go.Figure:
    """Rain and harvested water of each month of a mean year, and what the trees want and get.

    Parameters
    ----------
    growth : GrowthRecord
        A planting with the months of its water year.

    Returns
    -------
    go.Figure
        Water that comes as stacked bars, want and use as lines.

    Examples
    --------
    >>> from swalekit.design.growth.table import month_rows
    >>> figure = tree_water_figure(GrowthRecord({"water_year": month_rows(growth)}, {}))
    >>> [trace.name for trace in figure.data][2:]
    ['full want of the grown trees', 'what they get']
    """
    rows = [row for row in growth.planting["water_year"] if row["measure"] == PLANTED]
    months, meta, edge = [name[:3] for name in MONTHS], ["", "mm"], {"color": palette.INK, "width": 0.6}
    hatched = {"shape": "/", "fgcolor": palette.WATERCOURSE, "bgcolor": palette.PAPER, "size": 6}

    def bar(name: str, column: str, **marker: Any) -> go.Bar:
        return go.Bar(x=months, y=[row[column] for row in rows], name=name, meta=meta, marker={"line": edge} | marker)

    def line(name: str, column: str, **style: Any) -> go.Scatter:
        values = [row[column] for row in rows]
        return go.Scatter(x=months, y=values, name=name, mode="lines", meta=meta, line={"width": 2.5} | style)

    traces = [
        bar("rain on the planted ground", "rain_mm", color=palette.WATER_FACE),
        bar("runoff brought by the swales", "harvested_mm", pattern=hatched, color=palette.WATERCOURSE),
        line("full want of the grown trees", "demand_mm", color=palette.SWALE),
        line("what they get", "transpiration_mm", color=palette.HOLDS, dash="dash"),
    ]
    up = _axis("Water in a mean year [{mm}]", rangemode="tozero")
    return _chart(traces, _axis("Month"), up, barmode="stack", hovermode="x unified")


def chance_figure(reliability: ReliabilityRecord) -> go.Figure:
    """Chance of each swale to hold the storm that comes.

    Parameters
    ----------
    reliability : ReliabilityRecord
        What the draws say.

    Returns
    -------
    go.Figure
        A bar a swale, in per cent.

    Examples
    --------
    >>> rows = [{"swale": "S1", "chance_to_hold": 0.75}, {"swale": "S2", "chance_to_hold": 0.5}]
    >>> chance_figure(ReliabilityRecord({"swales": rows}, ())).data[0].y
    (75.0, 50.0)
    """
    rows = reliability.summary["swales"]
    chance = [round(100.0 * row["chance_to_hold"], 1) for row in rows]
    marker = {"color": palette.HOLDS, "line": {"color": palette.INK, "width": 0.6}}
    bars = go.Bar(x=[row["swale"] for row in rows], y=chance, meta=["", ""], marker=marker, name="chance")
    up = _axis("Chance to hold the storm that comes [%]", range=[0, 100])
    return _chart([bars], _axis("Swale"), up, showlegend=False)


def _empty(name: str, color: str, width: float, dash: str | None = None, **style: Any) -> go.Scatter:
    """A line that the page fills in."""
    line = {"color": color, "width": width} | ({} if dash is None else {"dash": dash})
    return go.Scatter(x=[], y=[], name=name, mode="lines", line=line, meta=["m", "m"], hoverinfo="y", **style)


def _chart(traces: Iterable[Any], across: dict[str, Any], up: dict[str, Any], **layout: Any) -> go.Figure:
    """Traces in the frame that all charts share."""
    frame = {
        "template": "none",
        "margin": {"l": 74, "r": 12, "t": 12, "b": 96},
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": palette.PAPER,
        "font": {"color": palette.INK, "size": 13},
        "legend": {"orientation": "h", "x": 0, "y": -0.2, "yanchor": "top", "xanchor": "left"},
        "dragmode": False,
    }
    return go.Figure(list(traces)).update_layout(**frame, xaxis=across, yaxis=up, **layout)


def _axis(title: str, **style: Any) -> dict[str, Any]:
    """Layout of an axis with a title."""
    grid = {"gridcolor": palette.PANEL_STRIPE, "linecolor": palette.QUIET_INK, "zeroline": False, "showline": True}
    heading = {"text": title, "standoff": 8, "font": {"size": 13}}
    return {"title": heading, "ticks": "outside", "automargin": False, **grid, **style}


def _listed(values: Any) -> list[float]:
    return [float(f"{value:.6g}") for value in np.asarray(values, np.float64).tolist()]
