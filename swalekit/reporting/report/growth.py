"""Charts of a report on what the water grows, and on how sure the plan is."""

from typing import Any

import plotly.graph_objects as go

from swalekit.design.plan.record import GrowthRecord, ReliabilityRecord
from swalekit.planting.water.measures import PLANTED
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.paper import palette
from swalekit.reporting.report.charts import axis_of, chart_frame


def tree_water_figure(growth: GrowthRecord) -> go.Figure:
    """Rain and harvested water of each month of a mean year, and what the trees want and get."""
    rows = [row for row in growth.planting["water_year"] if row["measure"] == PLANTED]
    months, meta = [name[:3] for name in MONTHS], ["", "mm"]
    edge = {"color": palette.INK, "width": 0.6}
    hatched = {"shape": "/", "fgcolor": palette.WATERCOURSE, "bgcolor": palette.PAPER, "size": 6}

    def bar(name: str, column: str, **marker: Any) -> go.Bar:
        return go.Bar(x=months, y=[row[column] for row in rows], name=name, meta=meta, marker={"line": edge} | marker)

    def line(name: str, column: str, **style: Any) -> go.Scatter:
        values = [row[column] for row in rows]
        return go.Scatter(x=months, y=values, name=name, mode="lines", meta=meta, line={"width": 2.5} | style)

    figure = go.Figure(
        [
            bar("rain on the planted ground", "rain_mm", color=palette.WATER_FACE),
            bar("runoff brought by the swales", "harvested_mm", pattern=hatched, color=palette.WATERCOURSE),
            line("full want of the grown trees", "demand_mm", color=palette.SWALE),
            line("what they get", "transpiration_mm", color=palette.HOLDS, dash="dash"),
        ]
    )
    figure.update_layout(
        **chart_frame(),
        barmode="stack",
        hovermode="x unified",
        xaxis=axis_of("Month"),
        yaxis=axis_of("Water in a mean year [{mm}]") | {"rangemode": "tozero"},
    )
    return figure


def chance_figure(reliability: ReliabilityRecord) -> go.Figure:
    """Chance of each swale to hold the storm that comes."""
    rows = reliability.summary["swales"]
    chance = [round(100.0 * row["chance_to_hold"], 1) for row in rows]
    marker = {"color": palette.HOLDS, "line": {"color": palette.INK, "width": 0.6}}
    figure = go.Figure(go.Bar(x=[row["swale"] for row in rows], y=chance, meta=["", ""], marker=marker, name="chance"))
    figure.update_layout(
        **chart_frame(),
        showlegend=False,
        xaxis=axis_of("Swale"),
        yaxis=axis_of("Chance to hold the storm that comes [%]") | {"range": [0, 100]},
    )
    return figure
