"""Lettering on the map."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes

from swalekit.contours.polyline import Polyline
from swalekit.reporting.map.content import Geometry, MapContent
from swalekit.reporting.map.relief import ReferenceContour
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.label_placement import Label, place_labels, spots_along, spots_around
from swalekit.reporting.paper.lettering import LEAST_SIZE_PT, font, halo, shorten, text_width_mm
from swalekit.reporting.paper.outlines import lines_of, middle_of
from swalekit.units import METRES_PER_FOOT

_POINTS_PER_MM = 72 / 25.4
_MANY_LINES = 25
_NAME_PT, _CROWDED_NAME_PT, _PLACE_PT = 7.5, 6.5, 6.5
_LONGEST_MM = 32.0
_CLEARANCE_PT = 5.0
_MOST_BLOCKS = 40
_MARK_PT = 3.0  # half the width of a point drawn as a mark


@dataclass(frozen=True, eq=False)
class _Wording:
    """Words, how they look, and the line they follow or else the geometry they stand beside [pt]."""

    text: str
    size_pt: float
    color: str
    place: Geometry
    weight: str = "normal"
    optional: bool = False

    @property
    def label(self) -> Label:
        """The words measured and given their spots."""
        width = text_width_mm(self.text, self.size_pt, self.weight) * _POINTS_PER_MM + 2.0
        height = self.size_pt + 1.0
        spots = spots_along(np.asarray(self.place.coords), width) if self.place.geom_type == "LineString" else []
        return Label(width, height, spots or spots_around(self._box(), width, height), self.optional)

    def _box(self) -> tuple[float, float, float, float]:
        """Edges of an area or a point, or the middle of a line too short to be lettered [pt]."""
        is_line = self.place.geom_type == "LineString"
        west, south, east, north = (self.place.interpolate(0.5, normalized=True) if is_line else self.place).bounds
        return float(west), float(south), float(east), float(north)


def draw_labels(
    content: MapContent,
    contours: list[ReferenceContour],
    view: MapView,
    axes: Axes,
    *,
    least_pt: float = LEAST_SIZE_PT,
    taken: Sequence[Geometry] = (),
) -> Axes:
    """Letter the map: line names first, then ponds, keep-outs and contour heights where room is left.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    contours : list of ReferenceContour
        Contours whose index heights are lettered.
    view : MapView
        What the axes show.
    axes : Axes
        Where to draw.
    least_pt : float
        Smallest lettering [pt].
    taken : sequence of shapely geometry
        Other areas to keep free [pt].

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> from swalekit.reporting.map.view import frame_axes
    >>> axes = frame_axes(Figure().subplots(), content.framed_bounds)
    >>> [text.get_text() for text in draw_labels(content, [], MapView.of_axes(axes), axes).texts]
    ['S1', 'S2', 'House']
    """
    wordings = [
        *_line_names(content, view),
        *_bund_names(content, view),
        *_pond_names(content, view),
        *_keep_out_names(content, view),
        *_contour_heights(contours, content.units, view),
    ]
    paths = [*content.lines.values(), *content.former.values()]
    wordings = [replace(wording, size_pt=max(wording.size_pt, least_pt)) for wording in wordings]
    spots = place_labels(
        [wording.label for wording in wordings],
        _in_points(view.rectangle.buffer(-view.metres(0.8)), view),
        taken=[*_kept_free(content, view), *taken],
        crossed=[line for line in (_visible(path, view) for path in paths) if line is not None],
    )
    for wording, spot in zip(wordings, spots, strict=True):
        if spot is not None:
            x, y = view.to_ground(np.array([spot.x_pt, spot.y_pt]))
            axes.text(
                x, y, wording.text, ha="center", va="center_baseline", rotation=spot.angle_deg, rotation_mode="anchor",
                color=wording.color, path_effects=halo(), zorder=10, clip_on=True,
                **font(wording.size_pt, wording.weight),
            )  # fmt: skip
    return axes


def _line_names(content: MapContent, view: MapView) -> list[_Wording]:
    """Names of the level lines with their stages, and of those gone, on their line where that is long enough."""
    size = _NAME_PT if len(content.lines) <= _MANY_LINES else _CROWDED_NAME_PT
    gone = {name: path for name, path in content.former.items() if name not in content.lines}
    named = [
        *((_staged(name, content), path, palette.SWALE, "bold") for name, path in content.lines.items()),
        *((name, path, palette.FORMER, "normal") for name, path in gone.items()),
    ]
    visible = [(name, _visible(path, view), color, weight) for name, path, color, weight in named]
    return [
        _Wording(shorten(name, _LONGEST_MM, size, weight), size, color, place, weight=weight)
        for name, place, color, weight in visible
        if place is not None
    ]


def _bund_names(content: MapContent, view: MapView) -> list[_Wording]:
    """Names of the larger blocks of microcatchments, beside a unit in their middle."""
    blocks = () if content.bunds is None else content.bunds.names[:_MOST_BLOCKS]
    places = [(name, shapely.Point(place)) for name, place in blocks]
    return [
        _Wording(name, _NAME_PT, palette.BUND, _marked_box(place, view), weight="bold", optional=True)
        for name, place in places
        if place.intersects(view.rectangle)
    ]


def _staged(name: str, content: MapContent) -> str:
    """A line's name with the season of building, if there are seasons."""
    return f"{name} ({content.stages[name]})" if name in content.stages else name


def _pond_names(content: MapContent, view: MapView) -> list[_Wording]:
    """Names of ponds, beside them."""
    names = []
    for name, area in content.ponds:
        if name and area.intersects(view.rectangle):
            place = _marked_box(area.intersection(view.rectangle), view)
            names.append(_Wording(shorten(name, _LONGEST_MM, _PLACE_PT), _PLACE_PT, palette.POND, place))
    return names


def _keep_out_names(content: MapContent, view: MapView) -> list[_Wording]:
    """Names of the keep-outs, of one without a name its kind: each once, at its largest."""
    largest: dict[str, Any] = {}
    for kind, name, geometry, _ in content.keep_outs:
        shown = geometry.intersection(view.rectangle)
        if not shown.is_empty and _size(shown) >= _size(largest.get(name or kind)):
            largest[name or kind] = shown
    names = []
    for name, geometry in largest.items():
        lines = lines_of(geometry)
        place = _visible(max(lines, key=len), view) if lines else _marked_box(geometry, view)
        names.append(_Wording(_short_name(name), _PLACE_PT, palette.KEEP_OUT, place, optional=True))
    return names


def _short_name(name: str) -> str:
    """A name that is too long without what follows its first comma or bracket, and cut only if that is still so."""
    fits = text_width_mm(name, _PLACE_PT) <= _LONGEST_MM
    return name if fits else shorten(re.split(r"[,;(]", name)[0].strip() or name, _LONGEST_MM, _PLACE_PT)


def _contour_heights(contours: list[ReferenceContour], units: str, view: MapView) -> list[_Wording]:
    """Heights of index contours, where they fit."""
    unit_m = METRES_PER_FOOT if units == "us" else 1.0
    visible = [(contour.level_m, _visible(contour.xy, view)) for contour in contours if contour.index]
    return [
        _Wording(f"{level_m / unit_m:.10g}", LEAST_SIZE_PT, palette.QUIET_INK, place, optional=True)
        for level_m, place in visible
        if place is not None
    ]


def _size(geometry: Geometry | None) -> tuple[float, float]:
    """Area [m²] and length [m], to compare geometries by."""
    return (-1.0, -1.0) if geometry is None else (float(geometry.area), float(geometry.length))


def _marked_box(geometry: Geometry, view: MapView) -> Geometry:
    """Box round the largest part of an area, or the mark of a point [pt]."""
    part = max(getattr(geometry, "geoms", [geometry]), key=_size)
    west, south, east, north = _in_points(part, view).bounds
    return shapely.box(west - _MARK_PT, south - _MARK_PT, east + _MARK_PT, north + _MARK_PT)


def _visible(path: Polyline, view: MapView) -> Geometry | None:
    """The longest stretch of a line within the view [pt]; None when there is none."""
    if len(path) < 2:
        return None
    pieces = lines_of(shapely.intersection(shapely.LineString(path), view.rectangle))
    lines = [shapely.LineString(view.to_points(piece)) for piece in pieces]
    return max(lines, key=lambda line: float(line.length), default=None)


def _kept_free(content: MapContent, view: MapView) -> list[Geometry]:
    """What lettering must not cover: sills, wells, buildings and ponds [pt]."""
    free = [
        shapely.Point(view.to_points(np.array(middle_of(xy)))).buffer(_CLEARANCE_PT) for xy in content.sills.values()
    ]
    for geometry in (*(place for _, _, place, _ in content.keep_outs), *(area for _, area in content.ponds)):
        if geometry.area > 0 or geometry.geom_type.endswith("Point"):
            free.append(_in_points(geometry, view).simplify(_MARK_PT / 4).buffer(_MARK_PT))
    return free


def _in_points(geometry: Geometry, view: MapView) -> Geometry:
    """A geometry in printer's points."""
    return shapely.transform(geometry, view.to_points)
