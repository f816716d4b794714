"""The map of a report: layers to switch, figures on tap."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from html import escape
from typing import Any

import numpy as np
import plotly.graph_objects as go
import shapely

from swalekit.contours.polyline import Polyline
from swalekit.design.plan.record import Feature, PlanRecord
from swalekit.reporting.map.content import Geometry, MapContent
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.outlines import lines_of, middle_of, points_of, polygons_of
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

    Returns
    -------
    go.Figure
        Two images below the traces of all other layers; it is panned and zoomed, and says what is tapped.

    Examples
    --------
    >>> sorted({trace.name for trace in map_figure(record, content).data} & {"swales", "sills", "bed"})
    ['sills', 'swales']
    """
    bounds = shown_bounds(content)
    corner, (width_m, height_m) = np.array(bounds[:2]), np.subtract(bounds[2:], bounds[:2])
    ground = _Ground(corner)
    figure = go.Figure(
        [
            *_band_traces(record, ground),
            *_given_traces(content, ground),
            *_water_traces(content, ground),
            *_growth_traces(record, ground),
            *_swale_traces(content, ground),
            *_hollow_traces(record, ground),
            *_option_traces(record, ground),
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


@dataclass(frozen=True, eq=False)
class _Ground:
    """Ground that traces lie on, in metres from its corner, shape (2,) [m]."""

    corner: Polyline

    def lines(
        self, layer: str, paths: Iterable[Polyline], color: str, width: float, dash: str = "solid", *,
        words: str = "", fill: str = "", tolerance_m: float = 0.1,
    ) -> go.Scatter:  # fmt: skip
        """Many lines as one trace, each eased by no more than the tolerance and ended by a gap."""
        eased = [shapely.LineString(path).simplify(tolerance_m) for path in paths if len(path) > 1]
        parts = (
            part for line in eased for part in (shapely.get_coordinates(line) - self.corner, np.full((1, 2), np.nan))
        )
        x, y = np.vstack([np.empty((0, 2)), *parts]).astype(np.float32).T
        pattern = {"shape": "/", "fgcolor": color, "bgcolor": fill, "size": 6, "solidity": 0.25}
        filled: dict[str, Any] = {"fill": "toself", "fillpattern": pattern} if fill else {}
        stroke = {"color": color, "width": width, "dash": dash}
        return go.Scatter(x=x, y=y, mode="lines", name=layer, line=stroke, **filled, **_told(words))

    def marks(self, layer: str, places: Any, mode: str = "markers", **style: Any) -> go.Scatter:
        """Marks or words at places."""
        x, y = (np.reshape(places, (-1, 2)) - self.corner).T
        return go.Scatter(x=x, y=y, mode=mode, name=layer, **style)

    def spots(
        self, layer: str, places: Any, words: Iterable[str], *, color: str = "", symbol: str = "square"
    ) -> go.Scatter:
        """Places to tap; without a colour they are not drawn."""
        marker = {"color": palette.HALO, "symbol": symbol, "size": 9, "line": {"color": color, "width": 2}}
        unseen = {"color": palette.HALO, "opacity": 0, "size": 14}
        text = [escape(word) for word in words]
        return self.marks(layer, places, marker=marker if color else unseen, text=text, hoverinfo="text")


def _told(words: str) -> dict[str, Any]:
    return {"hoverinfo": "text", "text": escape(words)} if words else {"hoverinfo": "skip"}


def _given_traces(content: MapContent, ground: _Ground) -> Iterator[go.Scatter]:
    """Boundary and keep-outs."""
    zones = _flat([zone for *_, zone in content.keep_outs])
    yield ground.lines("boundary", _flat([content.boundary]), palette.BOUNDARY, 1.6, "longdashdot")
    yield ground.lines("boundary", _flat([content.workable]), palette.SETBACK, 1, "dash")
    yield ground.lines("keep-outs", zones, palette.SETBACK, 1, "dot")
    marker = {"color": palette.HALO, "size": 11, "line": {"color": palette.KEEP_OUT, "width": 2.5}}
    for kind, name, place, _ in content.keep_outs:
        words, dash = f"{kind}: {name}" if name else kind, "solid" if kind == "road" else "dash"
        rings = _flat(polygons_of(place))
        traces = (
            ground.lines("keep-outs", rings, palette.KEEP_OUT, 1.4, words=words, fill=palette.KEEP_OUT_FACE),
            ground.lines("keep-outs", lines_of(place), palette.KEEP_OUT, 2.5, dash, words=words),
            ground.marks("keep-outs", points_of(place), marker=marker, **_told(words)),
        )
        yield from (trace for trace in traces if len(trace.x))


def _water_traces(content: MapContent, ground: _Ground) -> Iterator[go.Scatter]:
    """Watercourses, the ways of the overflow, and stretches without a line."""
    reasons, refused = [why for why, _ in content.refused], [xy for _, xy in content.refused]
    yield ground.lines("watercourses", content.watercourses, palette.WATERCOURSE, 1.8)
    yield ground.lines("refused", refused, palette.REFUSED, 1.4, "dashdot")
    yield ground.spots("refused", [middle_of(xy) for xy in refused], reasons)
    yield ground.lines("overflow", content.sill_paths, palette.SPILL, 1.6, "dot")


def _swale_traces(content: MapContent, ground: _Ground) -> Iterator[go.Scatter]:
    """Lines on a light casing, those that fail, their sills and numbers."""
    paths, sills = list(content.lines.values()), list(content.sills.values())
    numbers = np.repeat(np.arange(len(paths), dtype=np.int32), [len(path) + 1 for path in paths])
    slim = float(np.clip((_MANY / max(len(paths), 1)) ** 0.5, _SLIMMEST, 1.0))
    chosen = {"color": palette.INK, "width": 12 * slim}
    yield go.Scatter(x=[], y=[], mode="lines", name="chosen", line=chosen, hoverinfo="skip")
    yield ground.lines("swales", paths, palette.HALO, 6.5 * slim)
    for names, width, dash in ((content.overtopped, 11, "2px,7px"), (content.failing, 8, "solid")):
        yield ground.lines("failure", [content.lines[name] for name in names], palette.FAILING, width * slim, dash)
    lines = ground.lines("swales", paths, palette.SWALE, 3.2 * slim, tolerance_m=0.0)
    yield lines.update(customdata=numbers, hoverinfo="none")
    yield ground.lines("sills", sills, palette.SPILL, 6 * slim)
    told = [f"sill of {name}" for name in content.sills]
    yield ground.spots("sills", [middle_of(xy) for xy in sills], told, color=palette.SPILL)
    yield ground.marks(
        "swales",
        [middle_of(path) for path in paths],
        "text",
        text=[f"<b>{escape(name)}</b>" for name in content.lines],
        textposition="top center",
        textfont={"color": palette.SWALE, "size": 13, "shadow": "auto"},
        customdata=np.arange(len(paths)),
        hoverinfo="skip",
    )


def _hollow_traces(record: PlanRecord, ground: _Ground) -> Iterator[go.Scatter]:
    """Hollows at their spill level, and what the storm does to them."""
    hollows = record.layers["hollows"]
    words = [f"hollow {row['hollow']}: {row['fate']}" for _, row in hollows]
    middles = [area.representative_point().coords[0][:2] for area, _ in hollows if not area.is_empty]
    yield ground.lines("hollows", _outlines(hollows), palette.POND, 1.4, fill=palette.WATER_FACE)
    yield ground.lines("hollows", _flat([area for _, area in record.ponds]), palette.POND, 2.2)
    yield ground.spots("hollows", middles, words, color=palette.POND, symbol="circle")


def _band_traces(record: PlanRecord, ground: _Ground) -> Iterator[go.Scatter]:
    """Where the lines wander."""
    if record.reliability is not None:
        bands = _outlines(record.reliability.bands)
        yield ground.lines("bands", bands, palette.BAND, 1.2, fill=palette.EARTH_FACE)


def _growth_traces(record: PlanRecord, ground: _Ground) -> Iterator[go.Scatter]:
    """Ground that the reed bed serves, the bed and its pipe, and trees and pioneers."""
    if record.growth is None:
        return
    layers = record.growth.layers
    best, beds = [served for served in layers["served ground"] if served[1]["rank"] == 1], layers["reed bed"]
    yield ground.lines("served", _outlines(best), palette.SERVED, 1.2, "dash", fill=palette.PAPER)
    yield ground.lines("bed", _outlines(layers["pipe"]), palette.INK, 2, "dash")
    yield ground.lines("bed", _outlines(beds), palette.SERVED, 2, words="reed bed", fill=palette.BED)
    for role, symbol, color in (("pioneer", "triangle-up", palette.PIONEER), ("fruit", "circle", palette.CANOPY)):
        plants = [(place, plant) for place, plant in layers["plants"] if plant["role"] == role]
        words = [f"{plant['species']} ({plant['swale']})" for _, plant in plants]
        spots = ground.spots(
            "plants", [(place.x, place.y) for place, _ in plants], words, color=palette.CANOPY_EDGE, symbol=symbol
        )
        yield spots.update(marker={"color": color, "size": 7, "line": {"width": 1}})
    middles = [(shape.centroid.x, shape.centroid.y) for shape, _ in beds]
    yield ground.spots("bed", middles, ["reed bed"] * len(middles), color=palette.SERVED)


def _option_traces(record: PlanRecord, ground: _Ground) -> Iterator[go.Scatter]:
    """Lines of every option that kept its own, hidden until the reader asks for one."""
    for number, lines in record.option_lines.items():
        yield ground.lines(f"option {number}", lines_of(lines), palette.INK, 2.2, "dash").update(visible=False)


def _outlines(features: Iterable[Feature]) -> list[Polyline]:
    """Lines and outlines of features."""
    return _flat(shape for shape, _ in features)


def _flat(geometries: Iterable[Geometry]) -> list[Polyline]:
    """Coordinates of all lines and outlines of areas, shape (n, 2) each."""
    outlines = (shape.boundary if shapely.get_dimensions(shape) == 2 else shape for shape in geometries)
    return [xy for outline in outlines for xy in lines_of(outline)]
