"""The layers of a map, each drawn on axes that already show the ground."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch, PathPatch
from matplotlib.patheffects import withStroke

from swalekit.contours.obstacles import CROSSING
from swalekit.contours.polyline import Polyline
from swalekit.reporting.map.content import Geometry, MapContent
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import halo
from swalekit.reporting.paper.outlines import area_path, lines_of, middle_of, points_of
from swalekit.reporting.paper.save import hatched

_ARROW_MM = 6.0
_CROSS_SPACING_MM = 9.0


@dataclass(frozen=True)
class _Stroke:
    """How a kind of line is drawn on a map and shown in its legend.

    Parameters
    ----------
    color : str
        Colour.
    width : float
        Width [pt].
    dash : str or tuple
        Line style of matplotlib.
    """

    color: str
    width: float
    dash: Any = "solid"

    def draw(self, paths: Iterable[Polyline], axes: Axes, **style: Any) -> None:
        """Draw lines; other style is a collection's."""
        strokes: dict[str, Any] = {"colors": self.color, "linewidths": self.width, "linestyles": [self.dash]}
        axes.add_collection(LineCollection(list(paths), **strokes, **style), autolim=False)

    def outline(self, area: Geometry | None, axes: Axes, *, zorder: float) -> None:
        """Draw the outline of an area."""
        axes.add_patch(
            PathPatch(
                area_path(area), fill=False, edgecolor=self.color, linewidth=self.width, linestyle=self.dash,
                zorder=zorder,
            )
        )  # fmt: skip

    @property
    def sample(self) -> Line2D:
        """A piece of it for a legend."""
        return Line2D([], [], color=self.color, linewidth=self.width, linestyle=self.dash)


SWALE = _Stroke(palette.SWALE, palette.SWALE_WIDTH)
SPILL = _Stroke(palette.SPILL, palette.SPILL_WIDTH, palette.SPILL_DASH)
NEW = _Stroke(palette.SWALE, palette.NEW_WIDTH), _Stroke(palette.HALO, palette.NEW_CORE_WIDTH)
"""Drawn one over the other."""
UNCHANGED = _Stroke(palette.UNCHANGED, palette.UNCHANGED_WIDTH)
FORMER = _Stroke(palette.FORMER, palette.FORMER_WIDTH, palette.FORMER_DASH)
REFUSED = _Stroke(palette.REFUSED, palette.REFUSED_WIDTH, palette.REFUSED_DASH)
WATERCOURSE = _Stroke(palette.WATERCOURSE, 0.9)
BOUNDARY = _Stroke(palette.BOUNDARY, 1.1, palette.BOUNDARY_DASH)
SETBACK = _Stroke(palette.SETBACK, 0.6, palette.SETBACK_DASH)
APRON: dict[str, Any] = {
    "facecolor": palette.APRON, "edgecolor": palette.APRON_EDGE, "linewidth": palette.APRON_EDGE_WIDTH,
}  # fmt: skip
BANK: dict[str, Any] = {
    "facecolor": palette.BANK, "edgecolor": palette.KEEP_OUT, "linewidth": palette.ROADWAY_EDGE_WIDTH,
}  # fmt: skip
FORD: dict[str, Any] = BANK | {"facecolor": palette.FORD, "hatch": palette.FORD_HATCH}
POND: dict[str, Any] = {"facecolor": "none", "edgecolor": palette.POND, "hatch": palette.POND_HATCH, "linewidth": 0.8}


def keep_out_area(kind: str) -> dict[str, Any]:
    """How a keep-out that is an area is drawn: hatched by its kind, a crossing clear.

    Parameters
    ----------
    kind : str
        Kind of the keep-out, as ``building``.

    Returns
    -------
    dict
        Style of a patch of matplotlib.

    Examples
    --------
    >>> keep_out_area("building")["hatch"] == keep_out_area("road")["hatch"]
    False
    """
    hatch, _, _ = palette.KEEP_OUT_SYMBOLS[kind]
    face = palette.HALO if kind == CROSSING else palette.KEEP_OUT_FACE
    return {"facecolor": face, "edgecolor": palette.KEEP_OUT, "hatch": hatch, "linewidth": 0.8}


def keep_out_stroke(kind: str) -> dict[str, Any]:
    """How a keep-out that is a line is drawn: a road with two dark edges, others dark and dashed on a light casing.

    Parameters
    ----------
    kind : str
        Kind of the keep-out, as ``road``.

    Returns
    -------
    dict
        Style of a line of matplotlib.

    Examples
    --------
    >>> keep_out_stroke("road")["linestyle"], keep_out_stroke("fence")["linewidth"]
    ('solid', 1.1)
    """
    if kind == "road":
        edges = withStroke(linewidth=2.6, foreground=palette.KEEP_OUT)
        return {"color": palette.HALO, "linewidth": 1.4, "linestyle": "solid", "path_effects": [edges]}
    _, dash, _ = palette.KEEP_OUT_SYMBOLS[kind]
    return {"color": palette.KEEP_OUT, "linewidth": 1.1, "linestyle": dash, "path_effects": halo(2.6)}


def keep_out_mark(kind: str) -> dict[str, Any]:
    """How a keep-out that is a point is drawn: a well as a ring, a tree as a star of branches, others by their mark.

    Parameters
    ----------
    kind : str
        Kind of the keep-out, as ``well``.

    Returns
    -------
    dict
        Style of a line of matplotlib that shows its vertices alone.

    Examples
    --------
    >>> [keep_out_mark(kind)["marker"] for kind in ("well", "tree", "other")]
    ['o', (8, 2, 0), 'D']
    """
    mark: dict[str, Any] = {"linestyle": "none", "markeredgecolor": palette.KEEP_OUT, "markerfacecolor": palette.HALO}
    if kind == "well":
        return mark | {"marker": "o", "markersize": 6.0, "markeredgewidth": 2.2}
    if kind == "tree":
        return mark | {"marker": (8, 2, 0), "markersize": 8.0, "markeredgewidth": 1.1, "path_effects": halo(2.6)}
    _, _, marker = palette.KEEP_OUT_SYMBOLS[kind]
    return mark | {"marker": marker, "markersize": 5.0, "markeredgewidth": 1.4}


def draw_catchments(content: MapContent, axes: Axes) -> Axes:
    """Tint catchments, neighbours apart.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = draw_catchments(content, Figure().subplots())
    >>> len(content.catchments), len(axes.patches)
    (2, 4)
    """
    for geometry, number in zip(content.catchments.values(), content.tint_numbers, strict=True):
        tint = palette.CATCHMENT_TINTS[number]
        path = area_path(geometry)
        axes.add_artist(PathPatch(path, facecolor=tint, alpha=palette.CATCHMENT_ALPHA, linewidth=0, zorder=1))
        axes.add_artist(PathPatch(path, fill=False, edgecolor=palette.CATCHMENT_EDGE, linewidth=0.35, zorder=1.1))
    return axes


def draw_bands(content: MapContent, axes: Axes) -> Axes:
    """Bands in which the lines may lie, with a fine edge.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from matplotlib.figure import Figure
    >>> unsure = replace(content, bands=(shapely.LineString(content.lines["S1"]).buffer(0.5),))
    >>> len(draw_bands(unsure, Figure().subplots()).patches)
    2
    """
    for geometry in content.bands:
        path = area_path(geometry)
        axes.add_artist(PathPatch(path, facecolor=palette.BAND, alpha=palette.BAND_ALPHA, linewidth=0, zorder=7.6))
        axes.add_artist(PathPatch(path, fill=False, edgecolor=palette.SWALE, linewidth=0.3, zorder=7.7))
    return axes


def draw_boundary(content: MapContent, view: MapView, axes: Axes) -> Axes:
    """Outline the site and the setback within it, and pale what lies outside.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    view : MapView
        What the axes show.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes; untouched without a boundary.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().subplots()
    >>> len(draw_boundary(content, MapView.of_axes(axes), axes).patches)
    3
    """
    if content.boundary is None:
        return axes
    outside = view.rectangle.buffer(view.metres(2.0)).difference(content.boundary)
    wash: dict[str, Any] = {"facecolor": palette.PAPER, "alpha": palette.WASH_ALPHA, "linewidth": 0}
    axes.add_patch(PathPatch(area_path(outside), zorder=3.2, **wash))
    BOUNDARY.outline(content.boundary, axes, zorder=7)
    SETBACK.outline(content.workable, axes, zorder=5.5)
    return axes


@hatched
def draw_water(content: MapContent, axes: Axes) -> Axes:
    """Watercourses as lines, ponds as hatched areas.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from matplotlib.figure import Figure
    >>> wet = replace(content, ponds=(("P1", shapely.box(500020.0, 3999930.0, 500030.0, 3999940.0)),))
    >>> draw_water(wet, Figure().subplots()).patches[0].get_hatch() == POND["hatch"]
    True
    """
    WATERCOURSE.draw(content.watercourses, axes, zorder=4, capstyle="round")
    for _, geometry in content.ponds:
        axes.add_artist(PathPatch(area_path(geometry), zorder=5, **POND))
    return axes


@hatched
def draw_keep_outs(content: MapContent, axes: Axes) -> Axes:
    """Keep-outs hatched, dashed or marked by kind; setbacks dashed round them.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = draw_keep_outs(content, Figure().subplots())
    >>> [kind for kind, *_ in content.keep_outs], axes.patches[-1].get_hatch() == keep_out_area("building")["hatch"]
    (['building'], True)
    """
    for kind in dict.fromkeys(kind for kind, _, _, _ in content.keep_outs):  # a thousand trees are drawn as one
        of_kind = [(geometry, setback) for other, _, geometry, setback in content.keep_outs if other == kind]
        geometry = shapely.GeometryCollection([geometry for geometry, _ in of_kind])
        setbacks = shapely.GeometryCollection([setback for _, setback in of_kind if setback is not None])
        SETBACK.outline(setbacks, axes, zorder=5.5)
        axes.add_patch(PathPatch(area_path(geometry), **keep_out_area(kind) | {"linewidth": 0.9}, zorder=6))
        stroke = LineCollection(lines_of(geometry), zorder=6, **keep_out_stroke(kind))
        axes.add_collection(stroke, autolim=False)
        axes.add_line(Line2D(*points_of(geometry).T, zorder=6.1, **keep_out_mark(kind)))
    return axes


def draw_refused(content: MapContent, axes: Axes) -> Axes:
    """Stretches where no line may run, thin and dashed.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.
    """
    REFUSED.draw([xy for _, xy in content.refused], axes, zorder=7.5)
    return axes


def draw_lines(content: MapContent, axes: Axes) -> Axes:
    """Level lines, dark on a light casing; beside an earlier plan new ones double, the same ones fine, former dashed.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> casing, lines = draw_lines(content, Figure().subplots()).collections
    >>> len(content.lines), len(lines.get_segments())
    (2, 2)
    """
    casing = _Stroke(palette.HALO, 2.4 * palette.SWALE_WIDTH)
    if content.former:
        casing.draw(content.former.values(), axes, zorder=7.8, capstyle="butt")
        FORMER.draw(content.former.values(), axes, zorder=7.9, capstyle="butt")
    casing.draw(content.lines.values(), axes, zorder=8.0, capstyle="round")
    special = {*content.new, *content.unchanged}
    plain = [path for name, path in content.lines.items() if name not in special]
    SWALE.draw(plain, axes, zorder=8.1, capstyle="round")
    strokes = [(UNCHANGED, content.unchanged), *((stroke, content.new) for stroke in NEW)]
    for stroke, names in strokes:
        if names:
            stroke.draw([content.lines[name] for name in names], axes, zorder=8.1, capstyle="round")
    return axes


@hatched
def draw_roadways(content: MapContent, axes: Axes) -> Axes:
    """Crossings beneath which swales go on: the bank over a pipe plain, a ford with its stones.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes; untouched without such crossings.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> len(draw_roadways(content, Figure().subplots()).patches)
    0
    """
    for areas, style in ((content.banks, BANK), (content.fords, FORD)):
        for area in areas:
            axes.add_artist(PathPatch(area_path(area), zorder=8.2, **style))
    return axes


def failing_mark() -> dict[str, Any]:
    """How a berm that fails is marked: crosses on the line.

    Returns
    -------
    dict
        Style of a line of matplotlib that shows its vertices alone.

    Examples
    --------
    >>> failing_mark()["marker"]
    'X'
    """
    mark: dict[str, Any] = {"linestyle": "none", "marker": "X", "markersize": palette.FAILING_SIZE}
    return mark | {"markerfacecolor": palette.FAILING, "markeredgecolor": palette.HALO, "markeredgewidth": 0.7}


def draw_failure(content: MapContent, view: MapView, axes: Axes) -> Axes:
    """Berms that fail crossed out, those that water then goes over struck across.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    view : MapView
        What the axes show, for the distance of the crosses on paper.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from matplotlib.figure import Figure
    >>> broken = replace(content, failing=("S1",), overtopped=("S2",))
    >>> view = MapView(500000.0, 3999880.0, 500100.0, 4000000.0, points_per_m=2.835)
    >>> len(draw_failure(broken, view, Figure().subplots()).lines[0].get_xdata())
    10
    """
    across = _Stroke(palette.FAILING, palette.OVERTOPPED_WIDTH, palette.OVERTOPPED_DASH)
    across.draw([content.lines[name] for name in content.overtopped], axes, zorder=7.9, capstyle="butt")
    for name in content.failing:
        line = shapely.LineString(content.lines[name])
        count = max(round(line.length / view.metres(_CROSS_SPACING_MM)), 1)
        marks = line.interpolate((np.arange(count) + 0.5) / count, normalized=True)
        axes.add_line(Line2D(*shapely.get_coordinates(marks).T, zorder=8.3, **failing_mark()))
    return axes


def draw_sills(content: MapContent, view: MapView, axes: Axes) -> Axes:
    """Sills with their aprons: a thick line and a mark on its middle; an arrow down the way of the water, then dots.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    view : MapView
        What the axes show, for the length of the arrows on paper.
    axes : Axes
        Where to draw.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().subplots()
    >>> marks = draw_sills(content, MapView.of_axes(axes), axes).collections[-1]
    >>> len(content.sills), len(marks.get_offsets())
    (2, 2)
    """
    for area in content.aprons:
        axes.add_patch(PathPatch(area_path(area), zorder=8.4, **APRON))
    SPILL.draw(content.sill_paths, axes, zorder=8.5)
    for path in content.sill_paths:
        head = _first_stretch(path, view.metres(_ARROW_MM))
        if head is not None:
            arrow: dict[str, Any] = {"arrowstyle": "-|>", "mutation_scale": 7, "linewidth": 1.1, "color": palette.SPILL}
            axes.add_patch(FancyArrowPatch(*head, shrinkA=0, shrinkB=0, zorder=9, **arrow))
    _Stroke(palette.SPILL, palette.SILL_WIDTH).draw(content.sills.values(), axes, zorder=9, capstyle="butt")
    at = np.array([middle_of(xy) for xy in content.sills.values()], np.float64).reshape(-1, 2)
    marker: dict[str, Any] = {"marker": "s", "linewidths": 1.1, "facecolors": palette.HALO, "edgecolors": palette.SPILL}
    axes.scatter(at[:, 0], at[:, 1], s=18, zorder=9.1, **marker)
    return axes


def _first_stretch(path: Polyline, length_m: float) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Start of a path and the point a given length on, or its end; None where it leads nowhere."""
    line = shapely.LineString(path) if len(path) > 1 else None
    if line is None or line.length == 0:
        return None
    tip = line.interpolate(min(length_m, line.length))
    return (float(path[0][0]), float(path[0][1])), (float(tip.x), float(tip.y))
