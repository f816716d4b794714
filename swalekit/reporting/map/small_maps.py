"""Small maps of one site side by side, all at one scale, each with its words above."""

from collections.abc import Sequence
from math import ceil

from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from numpy.typing import ArrayLike
from shapely.geometry.base import BaseGeometry

from swalekit.reporting.map.relief import draw_relief, terrain_in_view
from swalekit.reporting.map.view import MapView, frame_axes
from swalekit.reporting.paper.lettering import font, line_height_mm, shorten
from swalekit.reporting.paper.outlines import area_path
from swalekit.reporting.paper.palette import BOUNDARY, HALO, INK
from swalekit.reporting.paper.paper import axes_on
from swalekit.terrain.terrain import Terrain

SMALL_MAP_MM = 68.0
"""Width of a small map."""
WORDS_PT = 7.0
"""Size of the words above it."""

_COLUMNS = 4
_GAP_MM = 5.0
_HEAD_MM = 14.0
_RELIEF_SIDE = 400
_LEAST_ASPECT, _GREATEST_ASPECT = 0.5, 1.6

Caption = tuple[str, str, str]
"""Text, colour and weight of a line above a map."""


def small_maps(
    title: str, terrain: Terrain, boundary: BaseGeometry | None, captions: Sequence[Sequence[Caption]]
) -> tuple[Figure, list[Axes]]:
    """A sheet of small maps with relief, boundary and words, on which lines are drawn then.

    Parameters
    ----------
    title : str
        Head of the sheet.
    terrain : Terrain
        The ground.
    boundary : shapely geometry or None
        The site, on which the maps are framed; the whole tile where there is none.
    captions : sequence of sequence of (str, str, str)
        Text, colour and weight of each line above each map; one map or more.

    Returns
    -------
    Figure
        The sheet.
    list of Axes
        A map for each caption.

    Examples
    --------
    >>> sheet, maps = small_maps("Two", terrain, None, [[("first", "black", "bold")], [("second", "black", "bold")]])
    >>> [axes.texts[0].get_text() for axes in maps]
    ['first', 'second']
    """
    bounds = terrain.grid.bounds if boundary is None else boundary.bounds
    west, south, east, north = bounds
    map_mm = SMALL_MAP_MM * min(max((north - south) / (east - west), _LEAST_ASPECT), _GREATEST_ASPECT)
    words_mm = max(map(len, captions)) * line_height_mm(WORDS_PT) + 1.5
    columns = min(_COLUMNS, len(captions))
    step_mm = map_mm + words_mm + _GAP_MM
    width_mm = columns * (SMALL_MAP_MM + _GAP_MM) + _GAP_MM
    height_mm = _HEAD_MM + ceil(len(captions) / columns) * step_mm
    figure = Figure(figsize=(width_mm / 25.4, height_mm / 25.4))
    head = shorten(title, width_mm - 2 * _GAP_MM, 11)
    figure.text(_GAP_MM / width_mm, 1 - 4.0 / height_mm, head, va="top", color=INK, **font(11))
    maps = []
    for place, words in enumerate(captions):
        row, column = divmod(place, columns)
        left_mm, top_mm = _GAP_MM + column * (SMALL_MAP_MM + _GAP_MM), _HEAD_MM + row * step_mm + words_mm
        axes = axes_on(figure, (left_mm, height_mm - top_mm - map_mm, SMALL_MAP_MM, map_mm))
        frame_axes(axes, bounds)
        _draw_ground(terrain, boundary, axes)
        _letter(words, axes, height_mm=map_mm)
        maps.append(axes)
    return figure, maps


def draw_small_lines(
    paths: Sequence[ArrayLike], axes: Axes, *, color: str, width: float = 1.1, dashed: bool = False
) -> None:
    """Draw lines on a small map, light around them so that they stand out from the relief.

    Parameters
    ----------
    paths : sequence of ndarray of float64, shape (k, 2)
        Vertices of the lines [m].
    axes : Axes
        The map.
    color : str
        Colour of the lines.
    width : float
        Their width [pt].
    dashed : bool
        Whether they are dashed.

    Examples
    --------
    >>> _, (axes,) = small_maps("One", terrain, None, [[("only", "black", "bold")]])
    >>> draw_small_lines([line.path for line in layout.lines], axes, color="black")
    >>> [len(drawn.get_paths()) for drawn in axes.collections[-2:]]
    [2, 2]
    """
    style = {"linestyles": (0, (3, 2))} if dashed else {}
    for colour, thick, order, kind in ((HALO, 2 * width, 8.0, {}), (color, width, 8.1, style)):
        lines = LineCollection(paths, colors=colour, linewidths=thick, zorder=order, **kind)
        axes.add_collection(lines, autolim=False)


def _draw_ground(terrain: Terrain, boundary: BaseGeometry | None, axes: Axes) -> None:
    view = MapView.of_axes(axes)
    ground = terrain_in_view(terrain, view, greatest_side=_RELIEF_SIDE)
    if ground is not None:
        draw_relief(ground, axes)
    if boundary is not None:
        outline = {"fill": False, "edgecolor": BOUNDARY, "linewidth": 0.6}
        axes.add_patch(PathPatch(area_path(boundary), zorder=4, **outline))
    axes.set(xlim=(view.west_m, view.east_m), ylim=(view.south_m, view.north_m), xticks=[], yticks=[])
    for spine in axes.spines.values():
        spine.set(linewidth=0.5, edgecolor=INK, zorder=20)


def _letter(captions: Sequence[Caption], axes: Axes, *, height_mm: float) -> None:
    """Write captions above a map."""
    step = line_height_mm(WORDS_PT) / height_mm
    for place, (text, color, weight) in enumerate(reversed(captions)):
        y = 1 + (place + 0.35) * step
        short = shorten(text, SMALL_MAP_MM, WORDS_PT, weight)
        axes.text(0, y, short, transform=axes.transAxes, va="baseline", color=color, **font(WORDS_PT, weight))
