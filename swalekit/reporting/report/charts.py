"""The charts of a report; axes and values are SI, the page turns them into the reader's units.

Each trace says in its ``meta`` what its values are, ``[unit of x, unit of y]``; a title names a unit in braces.
"""

from typing import Any

import numpy as np
import plotly.graph_objects as go

from swalekit.design.plan.record import PlanRecord, SiteWater
from swalekit.hydrology.routing.storm_outcome import StormOutcome
from swalekit.reporting.paper import palette
from swalekit.reporting.words.plan_words import shown_options

_MOST_STEPS = 600
_RAIN_STEP_MIN = 15.0


def storm_figure(record: PlanRecord) -> go.Figure:
    """Rain above, and below it the water of the site: held, soaked away, gone, under all that came."""
    course, figure = record.course, go.Figure()
    step_h = min(_RAIN_STEP_MIN / 60.0, course.duration_h)
    rate_mm_h = course.increments_mm(60.0 * step_h) / step_h
    middle_h = (np.arange(rate_mm_h.size) + 0.5) * step_h
    figure.add_trace(
        go.Bar(
            x=_listed(middle_h), y=_listed(rate_mm_h), width=step_h, yaxis="y2", name="rain", meta=["", "mm/h"],
            marker={"color": palette.WATERCOURSE, "line": {"width": 0}},
        )
    )  # fmt: skip
    if record.water is not None:
        figure.add_traces(_water_traces(record.water))
    end_h = float(course.duration_h)
    figure.update_layout(
        **chart_frame(),
        xaxis=axis_of("Time since the start of the storm [h]") | {"range": [0, 1.5 * end_h], "anchor": "y"},
        yaxis=axis_of("Water [{m3}]") | {"domain": [0, 0.68], "rangemode": "tozero"},
        yaxis2=axis_of("Rain [{mm/h}]") | {"domain": [0.76, 1], "rangemode": "tozero"},
        hovermode="x unified",
        bargap=0,
    )
    return figure


def _water_traces(water: SiteWater | StormOutcome) -> list[go.Scatter]:
    """Left, soaked away and held, one upon the other, and the line of all that came."""
    kept = np.unique(np.linspace(0, water.time_h.size - 1, _MOST_STEPS).astype(int))
    parts = (
        ("left over sills and spill points", water.left_m3, palette.FAILS, "/"),
        ("soaked away", water.soaked_total_m3, palette.HOLDS, ""),
        ("standing in ditches and hollows", water.held_m3 + water.under_way_m3, palette.POND, "-"),
    )
    time: dict[str, Any] = {"x": _listed(water.time_h[kept]), "mode": "lines", "meta": ["", "m3"]}
    traces = []
    for name, values, color, shape in parts:
        pattern = {"shape": shape, "fgcolor": color, "bgcolor": palette.PAPER, "fgopacity": 0.8, "size": 5}
        fill = {"fillpattern": pattern} if shape else {"fillcolor": _clear(color)}
        line = {"color": color, "width": 1}
        traces.append(go.Scatter(y=_listed(values[kept]), name=name, stackgroup="water", line=line, **time, **fill))
    brought, line = _listed(water.brought_m3[kept]), {"color": palette.INK, "width": 2}
    return [*traces, go.Scatter(y=brought, name="brought by the storm", line=line, **time)]


def options_figure(record: PlanRecord) -> go.Figure:
    """Soil dug against storm held, one mark an option, the listed ones numbered; the design storm as a line."""
    figure, asked_mm = go.Figure(), record.values_used["storm_depth_mm"]
    dug = [float(option["dug_m3"] or 0.0) for option in record.options]
    named = shown_options(record)
    for option in record.options:
        figures: dict[str, Any] = option
        holds = figures["holds"] == "yes"
        color = palette.HOLDS if holds else palette.FAILS
        marker = {
            "size": 18 if figures["cheapest"] else 12,
            "symbol": "star" if figures["cheapest"] else "circle" if holds else "circle-open",
            "color": palette.SWALE if figures["cheapest"] else color,
            "line": {"color": color, "width": 2},
        }
        figure.add_trace(
            go.Scatter(
                x=[figures["dug_m3"]], y=[figures["held_storm_mm"]], meta=["m3", "mm"], mode="markers+text",
                text=[str(figures["number"]) if option in named else ""], textposition="top center",
                marker=marker, hoverinfo="skip", showlegend=False, cliponaxis=False,
            )
        )  # fmt: skip
    figure.add_trace(
        go.Scatter(
            x=[min(dug), max(dug)], y=[asked_mm, asked_mm], mode="lines", name="design storm",
            line={"color": palette.INK, "width": 1.5, "dash": "dash"}, meta=["m3", "mm"], hoverinfo="skip",
        )
    )  # fmt: skip
    figure.update_layout(**chart_frame(), xaxis=axis_of("Soil dug [{m3}]"), yaxis=axis_of("Storm held [{mm}]"))
    return figure


def section_figure() -> go.Figure:
    """Axes for a cross-section, at one scale both ways; the page fills in the swale that is chosen."""
    ground = {"color": palette.QUIET_INK, "width": 1.2, "dash": "dash"}
    water, earth = palette.WATER_FACE, palette.EARTH_FACE
    figure = go.Figure(
        [
            _empty("water at the sill", {"color": palette.POND, "width": 1}, fill="toself", fillcolor=water),
            _empty("berm", {"color": palette.INK, "width": 1}, fill="toself", fillcolor=earth),
            _empty("ground before", ground),
            _empty("as built", {"color": palette.INK, "width": 2.2}),
        ]
    )  # fmt: skip
    figure.update_layout(
        **chart_frame(),
        xaxis=axis_of("Downhill of the stake [{m}]"),
        yaxis=axis_of("Height [{m}]") | {"scaleanchor": "x"},
    )
    return figure


def profile_figure() -> go.Figure:
    """Axes for a profile along a line; the page fills in the swale that is chosen."""
    figure = go.Figure(
        [
            _empty("crest", {"color": palette.SWALE, "width": 2}),
            _empty("ground before", {"color": palette.QUIET_INK, "width": 1.2, "dash": "dash"}),
            _empty("sill", {"color": palette.SPILL, "width": 5}),
            _empty("full ditch", {"color": palette.POND, "width": 1.4, "dash": "dot"}),
            _empty("floor", {"color": palette.INK, "width": 2.2}),
        ]
    )
    figure.update_layout(
        **chart_frame(), xaxis=axis_of("Along the line [{m}]"), yaxis=axis_of("Level [{m}]") | {"tickformat": ",.2~f"}
    )
    return figure


def _empty(name: str, line: dict[str, Any], **style: Any) -> go.Scatter:
    return go.Scatter(x=[], y=[], name=name, mode="lines", line=line, meta=["m", "m"], hoverinfo="y", **style)


def chart_frame() -> dict[str, Any]:
    """Layout that all charts share."""
    return {
        "template": "none",
        "margin": {"l": 74, "r": 12, "t": 12, "b": 96},
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": palette.PAPER,
        "font": {"color": palette.INK, "size": 13},
        "legend": {"orientation": "h", "x": 0, "y": -0.2, "yanchor": "top", "xanchor": "left"},
        "dragmode": False,
    }


def axis_of(title: str) -> dict[str, Any]:
    """Layout of an axis with a title."""
    grid = {"gridcolor": palette.PANEL_STRIPE, "linecolor": palette.QUIET_INK, "zeroline": False, "showline": True}
    return {
        "title": {"text": title, "standoff": 8, "font": {"size": 13}},
        "ticks": "outside",
        "automargin": False,
        **grid,
    }


def _clear(color: str) -> str:
    """The colour, half clear."""
    return f"{color}80"


def _listed(values: Any) -> list[float]:
    return [float(f"{value:.6g}") for value in np.asarray(values, np.float64).tolist()]
