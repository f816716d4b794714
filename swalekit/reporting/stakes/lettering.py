"""Lettering on the plan of a piece: numbers of stakes, signs below the works, and the turned coordinate grid."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.markers import MarkerStyle
from matplotlib.transforms import Affine2D
from numpy.typing import NDArray

from swalekit.contours.polyline import chainages
from swalekit.frozen import Frozen
from swalekit.reporting.map.content import Geometry
from swalekit.reporting.map.furniture import grouped, multiples, round_length
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.label_placement import Label, Spot, label_box, place_labels
from swalekit.reporting.paper.lettering import font, halo, text_width_mm
from swalekit.reporting.stakes.pieces import Piece
from swalekit.reporting.words.spread import spread

_SIZE_PT = 7.5
_PT_PER_MM = 72 / 25.4
_APART_PT = 9.0  # numbers of neighbouring stakes
_CLEAR_PT = 4.0  # from an offset stake to its number
_LEADER_PT = 0.35
_GRID_MM = 40.0
_CORNER_MM = 11.0  # where ticks of two edges would meet
_ROWS = 6  # in which a sign may stand below the works


def letter_stakes(piece: Piece, view: MapView, axes: Axes) -> list[Geometry]:
    """Write the numbers of stakes beyond their uphill offset stakes, along the line across, in the order of the stakes.

    Parameters
    ----------
    piece : Piece
        The piece, whose stakes are numbered.
    view : MapView
        What the axes show.
    axes : Axes
        Where to write.

    Returns
    -------
    list of shapely geometry
        What the numbers cover [pt].

    Notes
    -----
    Where stakes are close their numbers are moved apart along the row of offset stakes, and led to with a thin line.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().add_subplot(xlim=(-50.0, 50.0), ylim=(-40.0, 40.0))
    >>> boxes = letter_stakes(piece, MapView.of_axes(axes), axes)
    >>> len(boxes), axes.texts[0].get_text()
    (13, '1001')
    """
    line = piece.swale.line
    if not piece.stakes:
        return []
    feet_m = np.array([((stake.uphill or stake).x_m, (stake.uphill or stake).y_m) for stake in piece.stakes])
    chainage_m = np.array([stake.chainage_m for stake in piece.stakes])
    downhill = piece.to_sheet(piece.middle + piece.swale.line.at(line.downhill.T, chainage_m).T)
    uphill = -downhill / np.hypot(*downhill.T)[:, np.newaxis]
    onward = np.column_stack([uphill[:, 1], -uphill[:, 0]])
    feet = view.to_points(piece.to_sheet(feet_m)) + _CLEAR_PT * uphill
    walked = chainages(feet)
    moved = np.array(spread(walked.tolist(), _APART_PT)) - walked
    boxes = []
    for stake, foot, up, on, shift in zip(piece.stakes, feet, uphill, onward, moved.tolist(), strict=True):
        width = text_width_mm(str(stake.number), _SIZE_PT, "bold") * _PT_PER_MM + 1.5
        lead = min(abs(shift), 1.0) * (_CLEAR_PT + 0.25 * abs(shift))
        centre = foot + up * (lead + 0.5 * width) + on * shift
        angle = (math.degrees(math.atan2(up[1], up[0])) + 89.0) % 180.0 - 89.0
        x, y = view.to_ground(centre)
        axes.text(
            x, y, str(stake.number), ha="center", va="center_baseline", rotation=angle, rotation_mode="anchor",
            color=palette.INK, path_effects=halo(), zorder=10, clip_on=True, **font(_SIZE_PT, "bold"),
        )  # fmt: skip
        if abs(shift) > 1.0:
            leader = view.to_ground(np.array([foot, centre - up * 0.5 * width]))
            axes.add_line(Line2D(*leader.T, color=palette.INK, linewidth=_LEADER_PT, zorder=9.1))
        boxes.append(label_box(Label(width, _SIZE_PT, ()), Spot(float(centre[0]), float(centre[1]), angle)))
    return boxes


@dataclass(frozen=True, eq=False)
class Sign(Frozen):
    """Words below the works, their colour, the place they are led from [pt], and where they could stand."""

    words: str
    color: str
    foot: NDArray[np.float64]
    label: Label


def sign_below(words: str, bar_pt: NDArray[np.float64], color: str, *, aside: float = 0.0) -> Sign:
    """Words beyond the downhill end of a bar across the works.

    Parameters
    ----------
    words : str
        Lettering.
    bar_pt : ndarray of float64, shape (2, 2)
        Uphill and downhill end of the bar [pt].
    color : str
        Colour of lettering and leader.
    aside : float
        Best right of the bar (1), left of it (-1), or straight below it (0).

    Returns
    -------
    Sign
        With the places where the words may stand, the best of them with the least cost.

    Examples
    --------
    >>> sign = sign_below("SILL 108.08 m", np.array([[100.0, 90.0], [100.0, 60.0]]), palette.SPILL)
    >>> min(sign.label.spots, key=lambda spot: spot.cost)
    Spot(x_pt=100.0, y_pt=54.0, angle_deg=0.0, cost=0.0)
    """
    width = text_width_mm(words, _SIZE_PT, "bold") * _PT_PER_MM + 2.0
    up, down = bar_pt
    away = (down - up) / max(float(np.hypot(*(down - up))), 1e-9)
    spots = []
    for row in range(_ROWS):
        for rank, shift in enumerate((aside, 0.0, -aside) if aside else (0.0, 0.5, -0.5, 1.0, -1.0)):
            centre = down + away * (6.0 + 9.0 * row) + np.array([shift * (width / 2.0 + 3.0), 0.0])
            spots.append(Spot(float(centre[0]), float(centre[1]), 0.0, 6.0 * row + 3.0 * rank))
    return Sign(words, color, down, Label(width, _SIZE_PT + 1.0, spots))


def write_signs(signs: Sequence[Sign], view: MapView, axes: Axes, taken: Sequence[Geometry]) -> list[Geometry]:
    """Write signs where there is room, each with a thin leader; one without room is left out.

    Parameters
    ----------
    signs : sequence of Sign
        The signs.
    view : MapView
        What the axes show.
    axes : Axes
        Where to write.
    taken : sequence of shapely geometry
        What they must not cover [pt].

    Returns
    -------
    list of shapely geometry
        What they cover [pt].

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().subplots()
    >>> sign = sign_below("SILL", np.array([[100.0, 90.0], [100.0, 60.0]]), palette.SPILL)
    >>> [box] = write_signs([sign], MapView.of_axes(axes), axes, [])
    >>> round(box.centroid.x, 3), round(box.centroid.y, 3)
    (100.0, 54.0)
    """
    room = shapely.transform(view.rectangle, view.to_points).buffer(-2.0)
    boxes = []
    for sign, spot in zip(signs, place_labels([sign.label for sign in signs], room, taken=taken), strict=True):
        if spot is None:
            continue
        box = label_box(sign.label, spot)
        end = shapely.get_coordinates(shapely.shortest_line(shapely.Point(sign.foot), box))[-1]
        leader = view.to_ground(np.array([sign.foot, end]))
        axes.add_line(Line2D(*leader.T, color=sign.color, linewidth=0.6, zorder=9.0))
        x, y = view.to_ground(np.array([spot.x_pt, spot.y_pt]))
        axes.text(
            x, y, sign.words, ha="center", va="center_baseline", color=sign.color, path_effects=halo(), zorder=10,
            **font(_SIZE_PT, "bold"),
        )  # fmt: skip
        boxes.append(box)
    return boxes


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

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().add_subplot(xlim=(-50.0, 50.0), ylim=(-40.0, 40.0))
    >>> draw_turned_grid(piece, MapView.of_axes(axes), axes, size_pt=7.0)
    >>> [text.get_text()[0] for text in axes.texts]
    ['E', 'E', 'E', 'E', 'N', 'N', 'N']
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
