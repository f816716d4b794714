"""The coordinate grid on a plan that is turned from north."""

import math
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.markers import MarkerStyle
from matplotlib.transforms import Affine2D

from swalekit.reporting.map.content import Geometry
from swalekit.reporting.map.furniture import grouped, multiples, round_length
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import font
from swalekit.reporting.stakes.pieces import Piece

_GRID_MM = 40.0
_CORNER_MM = 11.0  # where ticks of two edges would meet


def draw_turned_grid(piece: Piece, view: MapView, axes: Axes, *, size_pt: float) -> None:
    """Draw crosses of the coordinate grid, turned with a plan, and its numbers along the lower and the left edge.

    Parameters
    ----------
    piece : Piece
        What the plan shows.
    view : MapView
        The plan, in metres right of and above its middle.
    axes : Axes
        Where to draw.
    size_pt : float
        Size of the lettering [pt].
    """
    step = round_length(view.metres(_GRID_MM))
    corners = piece.to_ground(shapely.get_coordinates(view.rectangle))
    (west, south), (east, north) = corners.min(axis=0), corners.max(axis=0)
    eastings, northings = multiples(step, west, east), multiples(step, south, north)
    cross = MarkerStyle("+", transform=Affine2D().rotate(-piece.turn))
    points = piece.to_sheet(np.stack(np.meshgrid(eastings, northings), axis=-1).reshape(-1, 2))
    axes.scatter(points[:, 0], points[:, 1], s=26, marker=cross, color=palette.QUIET_INK, linewidths=0.5, zorder=3.3)
    upright = abs(math.sin(piece.turn)) < math.sqrt(0.5)  # whether eastings run up the sheet
    for name, values, low, high, up in (
        ("E", eastings, south, north, upright),
        ("N", northings, west, east, not upright),
    ):
        for value in values:
            ends = [(value, low), (value, high)] if name == "E" else [(low, value), (high, value)]
            line = shapely.LineString(piece.to_sheet(np.array(ends))).intersection(view.rectangle)
            _draw_tick(line, f"{name} {grouped(value)}", view, axes, up=up, size_pt=size_pt)
    axes.set(xticks=[], yticks=[])


def _draw_tick(line: Geometry, words: str, view: MapView, axes: Axes, *, up: bool, size_pt: float) -> None:
    """Short ends of a grid line inside the frame, and its number outside, at the lower or at the left edge."""
    if line.is_empty or line.length < view.metres(4.0):
        return
    tick = view.metres(2.0)
    ends = np.array(line.coords)[:, :2]
    for end, other in ((ends[0], ends[-1]), (ends[-1], ends[0])):
        inward = end + (other - end) / line.length * tick
        axes.add_line(Line2D(*np.array([end, inward]).T, color=palette.INK, linewidth=0.6, zorder=19))
        edge, low, high = (view.south_m, view.west_m, view.east_m) if up else (view.west_m, view.south_m, view.north_m)
        across, along = (end[1], end[0]) if up else (end[0], end[1])
        clear = view.metres(_CORNER_MM)
        if abs(across - edge) < 1e-6 and low + clear < along < high - clear:
            x, y = (end[0], edge - view.metres(1.0)) if up else (edge - view.metres(1.0), end[1])
            how: dict[str, Any] = (
                {"va": "top", "ha": "center"} if up else {"va": "center", "ha": "right", "rotation": 90}
            )
            axes.text(x, y, words, color=palette.QUIET_INK, **how, **font(size_pt))
