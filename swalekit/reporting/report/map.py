"""The map of a report: layers to switch, figures on tap."""

from collections.abc import Sequence
from html import escape
from typing import Any

import numpy as np
import plotly.graph_objects as go
import shapely

from swalekit.contours.polyline import Polyline
from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.map.content import Geometry, MapContent
from swalekit.reporting.map.plan_map import flat_lines
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.outlines import lines_of, middle_of, points_of
from swalekit.reporting.report.images import GroundImage, catchment_image, relief_image, shown_bounds

IMAGE_LAYERS = ("relief", "catchments")
"""Layers that are images, in their order on the page; all others are traces that bear the layer's name."""
_MANY, _SLIMMEST = 150, 0.5
"""With more lines than this each is drawn slimmer, down to this share of its width."""
_APART_M = 1e-3
"""Images of just the same place and size would be taken for one."""


def map_figure(record: PlanRecord, content: MapContent) -> go.Figure:
    """The map; trace names are layers, coordinates are metres from the south-west corner of what is shown.

    Parameters
    ----------
    record : PlanRecord
        The plan, for what its features say when they are tapped.
    content : MapContent
        The same plan as the content of a map.
    """
    bounds = shown_bounds(content)
    corner, (width_m, height_m) = np.array(bounds[:2]), np.subtract(bounds[2:], bounds[:2])
    figure = go.Figure(
        [
            *_band_traces(record, corner),
            *_given_traces(content, corner),
            *_water_traces(content, corner),
            *_growth_traces(record, corner),
            *_swale_traces(content, corner),
            *_hollow_traces(record, corner),
            *_option_traces(record, corner),
        ]
    )
    for number, image in enumerate((relief_image(content), catchment_image(content))):
        _lay_under(figure, image, corner - number * _APART_M)
    hidden = {"visible": False, "fixedrange": False}
    figure.update_layout(
        template="none",
        margin={"l": 0, "r": 0, "t": 0, "b": 0},
        xaxis=hidden | {"range": [0, width_m]},
        yaxis=hidden | {"range": [0, height_m], "scaleanchor": "x"},
        plot_bgcolor=palette.VOID,
        paper_bgcolor=palette.PAPER,
        dragmode="pan",
        hovermode="closest",
        showlegend=False,
    )
    return figure


def _lay_under(figure: go.Figure, image: GroundImage, corner: Polyline) -> None:
    west, south, east, north = image.bounds
    side: dict[str, Any] = {"sizex": east - west, "sizey": north - south, "sizing": "stretch"}
    place: dict[str, Any] = {"x": west - corner[0], "y": north - corner[1], "xref": "x", "yref": "y", "layer": "below"}
    figure.add_layout_image(source=image.source, **place, **side)


def _given_traces(content: MapContent, corner: Polyline) -> list[go.Scatter]:
    """Boundary and keep-outs."""
    zones = flat_lines([zone for *_, zone in content.keep_outs])
    traces = [
        _lines("boundary", flat_lines([content.boundary]), corner, _stroke(palette.BOUNDARY, 1.6, "longdashdot")),
        _lines("boundary", flat_lines([content.workable]), corner, _stroke(palette.SETBACK, 1, "dash")),
        _lines("keep-outs", zones, corner, _stroke(palette.SETBACK, 1, "dot")),
    ]
    for kind, name, geometry, _ in content.keep_outs:
        traces += _keep_out(f"{kind}: {name}" if name else kind, kind, geometry, corner)
    return traces


def _keep_out(words: str, kind: str, geometry: Geometry, corner: Polyline) -> list[go.Scatter]:
    area = shapely.MultiPolygon([part for part in _simple(geometry) if part.geom_type == "Polygon"])
    dash = "solid" if kind == "road" else "dash"
    traces = [
        _lines(
            "keep-outs",
            flat_lines([area]),
            corner,
            _stroke(palette.KEEP_OUT, 1.4),
            words=words,
            fill=palette.KEEP_OUT_FACE,
        ),
        _lines("keep-outs", lines_of(geometry), corner, _stroke(palette.KEEP_OUT, 2.5, dash), words=words),
    ]
    places = points_of(geometry) - corner
    marker = {"color": palette.HALO, "size": 11, "line": {"color": palette.KEEP_OUT, "width": 2.5}}
    traces.append(
        go.Scatter(x=places[:, 0], y=places[:, 1], mode="markers", name="keep-outs", marker=marker, **_told(words))
    )
    return [trace for trace in traces if len(trace.x)]


def _water_traces(content: MapContent, corner: Polyline) -> list[go.Scatter]:
    """Watercourses, the ways of the overflow, and stretches without a line."""
    refused = [
        _lines("refused", [xy for _, xy in content.refused], corner, _stroke(palette.REFUSED, 1.4, "dashdot")),
        _spots("refused", [middle_of(xy) for _, xy in content.refused], [why for why, _ in content.refused], corner),
    ]
    return [
        _lines("watercourses", content.watercourses, corner, _stroke(palette.WATERCOURSE, 1.8)),
        *refused,
        _lines("overflow", content.sill_paths, corner, _stroke(palette.SPILL, 1.6, "dot")),
    ]


def _swale_traces(content: MapContent, corner: Polyline) -> list[go.Scatter]:
    """Lines on a light casing, those that fail, their sills and numbers."""
    names, paths = list(content.lines), list(content.lines.values())
    numbers = np.repeat(np.arange(len(paths), dtype=np.int32), [len(path) + 1 for path in paths])
    slim = float(np.clip((_MANY / max(len(paths), 1)) ** 0.5, _SLIMMEST, 1.0))
    lines = _lines("swales", paths, corner, _stroke(palette.SWALE, 3.2 * slim), tolerance_m=0.0)
    lines.update(customdata=numbers, hoverinfo="none")
    topped = [content.lines[name] for name in content.overtopped]
    failed = [content.lines[name] for name in content.failing]
    sills = list(content.sills.values())
    return [
        go.Scatter(
            x=[], y=[], mode="lines", name="chosen", line={"color": palette.INK, "width": 12 * slim}, hoverinfo="skip"
        ),
        _lines("swales", paths, corner, _stroke(palette.HALO, 6.5 * slim)),
        _lines("failure", topped, corner, _stroke(palette.FAILING, 11 * slim, "2px,7px")),
        _lines("failure", failed, corner, _stroke(palette.FAILING, 8 * slim)),
        lines,
        _lines("sills", sills, corner, _stroke(palette.SPILL, 6 * slim)),
        _spots(
            "sills",
            [*map(middle_of, sills)],
            [f"sill of {name}" for name in content.sills],
            corner,
            color=palette.SPILL,
        ),
        _labels(names, [middle_of(path) for path in paths], corner),
    ]


def _labels(names: Sequence[str], places: Sequence[tuple[float, float]], corner: Polyline) -> go.Scatter:
    at = np.reshape(places, (-1, 2)) - corner
    return go.Scatter(
        x=at[:, 0],
        y=at[:, 1],
        mode="text",
        text=[f"<b>{escape(name)}</b>" for name in names],
        textposition="top center",
        textfont={"color": palette.SWALE, "size": 13, "shadow": "auto"},
        customdata=np.arange(len(names)),
        name="swales",
        hoverinfo="skip",
    )


def _hollow_traces(record: PlanRecord, corner: Polyline) -> list[go.Scatter]:
    """Hollows at their spill level, and what the storm does to them."""
    features = record.layers["hollows"]
    outlines = flat_lines([geometry for geometry, _ in features])
    words = [f"hollow {each['hollow']}: {each['fate']}" for _, each in features]
    middles = [geometry.representative_point().coords[0][:2] for geometry, _ in features if not geometry.is_empty]
    ponds = flat_lines([area for _, area in record.ponds])
    return [
        _lines("hollows", outlines, corner, _stroke(palette.POND, 1.4), fill=palette.WATER_FACE),
        _lines("hollows", ponds, corner, _stroke(palette.POND, 2.2)),
        _spots("hollows", middles, words, corner, color=palette.POND, symbol="circle"),
    ]


def _band_traces(record: PlanRecord, corner: Polyline) -> list[go.Scatter]:
    """Where the lines wander."""
    if record.reliability is None:
        return []
    outlines = flat_lines([geometry for geometry, _ in record.reliability.bands])
    return [_lines("bands", outlines, corner, _stroke(palette.BAND, 1.2), fill=palette.EARTH_FACE)]


def _growth_traces(record: PlanRecord, corner: Polyline) -> list[go.Scatter]:
    """Ground that the reed bed serves, the bed and its pipe, and trees and pioneers."""
    if record.growth is None:
        return []
    layers = record.growth.layers
    best = [geometry for geometry, each in layers["served ground"] if each["rank"] == 1]
    bed = flat_lines([geometry for geometry, _ in layers["reed bed"]])
    pipes = flat_lines([geometry for geometry, _ in layers["pipe"]])
    traces = [
        _lines("served", flat_lines(best), corner, _stroke(palette.SERVED, 1.2, "dash"), fill=palette.PAPER),
        _lines("bed", pipes, corner, _stroke(palette.INK, 2, "dash")),
        _lines("bed", bed, corner, _stroke(palette.SERVED, 2), words="reed bed", fill=palette.BED),
    ]
    for role, symbol, color in (("pioneer", "triangle-up", palette.PIONEER), ("fruit", "circle", palette.CANOPY)):
        plants = [(shape, each) for shape, each in layers["plants"] if each["role"] == role]
        words = [f"{each['species']} ({each['swale']})" for _, each in plants]
        at = [(shape.x, shape.y) for shape, _ in plants]
        spots = _spots("plants", at, words, corner, color=palette.CANOPY_EDGE, symbol=symbol)
        traces.append(spots.update(marker={"color": color, "size": 7, "line": {"width": 1}}))
    middles = [(shape.centroid.x, shape.centroid.y) for shape, _ in layers["reed bed"]]
    traces.append(_spots("bed", middles, ["reed bed"] * len(middles), corner, color=palette.SERVED))
    return traces


def _option_traces(record: PlanRecord, corner: Polyline) -> list[go.Scatter]:
    """Lines of every option that kept its own, hidden until the reader asks for one."""
    traces = []
    for number, lines in record.option_lines.items():
        trace = _lines(f"option {number}", lines_of(lines), corner, _stroke(palette.INK, 2.2, "dash"))
        traces.append(trace.update(visible=False))
    return traces


def _stroke(color: str, width: float, dash: str = "solid") -> dict[str, Any]:
    return {"color": color, "width": width, "dash": dash}


def _lines(
    layer: str,
    paths: Sequence[Polyline],
    corner: Polyline,
    stroke: dict[str, Any],
    *,
    words: str = "",
    fill: str = "",
    tolerance_m: float = 0.1,
) -> go.Scatter:
    """Many lines as one trace, each eased by no more than the tolerance and ended by a gap."""
    gap = np.full((1, 2), np.nan)
    paths = [shapely.get_coordinates(shapely.LineString(path).simplify(tolerance_m)) for path in paths if len(path) > 1]
    xy = np.vstack([np.empty((0, 2)), *(part for path in paths for part in (path - corner, gap))]).astype(np.float32)
    pattern = {"shape": "/", "fgcolor": stroke["color"], "bgcolor": fill, "size": 6, "solidity": 0.25}
    filled: dict[str, Any] = {"fill": "toself", "fillpattern": pattern} if fill else {}
    return go.Scatter(x=xy[:, 0], y=xy[:, 1], mode="lines", name=layer, line=stroke, **filled, **_told(words))


def _spots(
    layer: str,
    places: Sequence[tuple[float, float]],
    words: Sequence[str],
    corner: Polyline,
    *,
    color: str = "",
    symbol: str = "square",
) -> go.Scatter:
    """Places to tap; without a colour they are not drawn."""
    at = np.reshape(places, (-1, 2)) - corner
    marker = {"color": palette.HALO, "symbol": symbol, "size": 9, "line": {"color": color, "width": 2}}
    unseen = {"color": palette.HALO, "opacity": 0, "size": 14}
    text = [escape(each) for each in words]
    return go.Scatter(
        x=at[:, 0], y=at[:, 1], mode="markers", name=layer, marker=marker if color else unseen, text=text,
        hoverinfo="text",
    )  # fmt: skip


def _told(words: str) -> dict[str, Any]:
    return {"hoverinfo": "text", "text": escape(words)} if words else {"hoverinfo": "skip"}


def _simple(geometry: Geometry) -> list[Geometry]:
    return [part for outer in shapely.get_parts([geometry]) for part in shapely.get_parts([outer])]
