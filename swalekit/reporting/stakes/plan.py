"""A piece of a swale in plan: works, stakes and offset stakes with their numbers on the ground around."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch
from numpy.typing import NDArray

from swalekit.contours.polyline import Polyline
from swalekit.kernels.section_nodes import DOWNHILL_TOE, UPHILL_LIP
from swalekit.reporting.map import layers as map_layers
from swalekit.reporting.map.content import Geometry, MapContent
from swalekit.reporting.map.furniture import rule_frame
from swalekit.reporting.map.labels import draw_labels
from swalekit.reporting.map.relief import ReferenceContour, draw_contours, reference_contours
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.outlines import area_path
from swalekit.reporting.paper.save import hatched
from swalekit.reporting.stakes.lettering import Sign, draw_turned_grid, letter_stakes, sign_below, write_signs
from swalekit.reporting.stakes.pieces import Piece, stake_xy
from swalekit.reporting.words.shown import number, unit_name
from swalekit.reporting.words.stake_words import level_shown
from swalekit.section.footprint import berm_footprint, crossing_areas, works_footprint
from swalekit.staking.breaklines import Breakline, breaklines
from swalekit.staking.stake import Stake

SIZE_PT = 7.0
_LEAST_SEEN_MM = 18.0  # of a neighbouring line that is named
_EDGE_MM = 4.0  # in which no name of a neighbour stands
_MARK_M = 2.0  # a match mark reaches this far beyond the works
_FAINT, _FINE = 0.35, 0.55

STAKE_MARK: dict[str, Any] = {"marker": "o", "markersize": 4.2, "markeredgecolor": palette.INK, "markeredgewidth": 0.8}
OFFSET_MARK: dict[str, Any] = {
    "marker": "x",
    "markersize": 4.0,
    "markeredgecolor": palette.INK,
    "markeredgewidth": 0.9,
    "linestyle": "none",
}
_DITCH_FACE: dict[str, Any] = {"facecolor": palette.WATER_FACE, "alpha": 0.5}  # lighter than the berm in grey too
OFFSET_DASH = (0, (6, 2, 1, 2))
_MATCH_DASH = (0, (8, 2, 2, 2, 2, 2))


def draw_plan(
    piece: Piece, content: MapContent, stakes: Sequence[Stake], axes: Axes, *, beside: tuple[str, str]
) -> Axes:
    """Draw a piece of a swale on axes in their final size.

    Parameters
    ----------
    piece : Piece
        The piece.
    content : MapContent
        The site, in the terrain's CRS.
    stakes : sequence of Stake
        All stakes of the swale; those of other pieces are drawn open and without their numbers.
    axes : Axes
        Where to draw; the limits are set here, to the piece's scale.
    beside : tuple of str
        What is written at the marks where the line goes on before and after.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure(figsize=(9.0, 4.0)).add_axes((0.0, 0.0, 1.0, 1.0))
    >>> axes = draw_plan(piece, content, piece.stakes, axes, beside=("", ""))
    >>> round(float(np.ptp(axes.get_xlim())), 1), piece.scale * 9.0 * 0.0254
    (114.3, 114.3)
    """
    box = axes.get_window_extent()
    half = np.array([box.width, box.height]) / axes.figure.dpi * 0.0254 * piece.scale / 2.0
    axes.set(xlim=(-half[0], half[0]), ylim=(-half[1], half[1]), facecolor=palette.PAPER)
    view = MapView.of_axes(axes)
    contours = _draw_ground(piece, content, view, axes)
    _draw_works(piece, axes)
    _draw_stakes(piece, stakes, axes)
    signs = [
        *_sill_sign(piece, content.units, view),
        *_crossing_signs(piece, content.units, view),
        *_draw_match_marks(piece, view, axes, beside),
    ]
    taken = [_works_and_stakes(piece, stakes, view)]
    taken += letter_stakes(piece, view, axes)
    taken += write_signs(signs, view, axes, taken)
    draw_labels(_turned(piece, content, view), contours, view, axes, least_pt=SIZE_PT, taken=taken)
    draw_turned_grid(piece, view, axes, size_pt=SIZE_PT)
    return rule_frame(axes)


def _draw_ground(piece: Piece, content: MapContent, view: MapView, axes: Axes) -> list[ReferenceContour]:
    """Contours and what else lies around, turned with the piece."""
    corners = piece.to_ground(shapely.get_coordinates(view.rectangle))
    (west, south), (east, north) = corners.min(axis=0), corners.max(axis=0)
    ground = MapView(west, south, east, north, view.points_per_m)
    _, contours = reference_contours(content.terrain, ground, units=content.units)
    turned = [ReferenceContour(piece.to_sheet(contour.xy), contour.level_m, contour.index) for contour in contours]
    around = _turned(piece, content)
    draw_contours(turned, axes)
    map_layers.draw_boundary(around, view, axes)
    map_layers.draw_water(around, axes)
    map_layers.draw_keep_outs(around, axes)
    map_layers.draw_lines(around, axes)
    return turned


def _turned(piece: Piece, content: MapContent, lettered: MapView | None = None) -> MapContent:
    """What surrounds a piece, in metres right of and above the plan's middle; the swale itself is left out.

    For lettering a view is given: lines that only touch it are left out too.
    """

    def turn(geometry: Geometry) -> Geometry:
        return None if geometry is None else shapely.transform(geometry, piece.to_sheet)

    return MapContent(
        title=content.title,
        terrain=content.terrain,
        boundary=turn(content.boundary),
        workable=turn(content.workable),
        lines={
            name: path
            for name, path in ((name, piece.to_sheet(path)) for name, path in content.lines.items())
            if name != piece.swale.id and (lettered is None or _is_seen(path, lettered))
        },
        keep_outs=tuple((kind, name, turn(place), turn(zone)) for kind, name, place, zone in content.keep_outs),
        watercourses=tuple(piece.to_sheet(path) for path in content.watercourses),
        units=content.units,
    )


def _is_seen(path: Polyline, view: MapView) -> bool:
    """Whether so much of a line lies well within a view that its name would not stand at the edge."""
    seen = shapely.LineString(path).intersection(view.rectangle.buffer(-view.metres(_EDGE_MM)))
    return bool(seen.length > view.metres(_LEAST_SEEN_MM))


@hatched
def _draw_works(piece: Piece, axes: Axes) -> None:
    """Ditch and berm with their edges, the level line, the sill, crossings with their pipes."""
    swale = piece.swale
    edges = breaklines(swale)
    ditch_edges = [_path(edge, piece) for edge in edges if edge.kind == "ditch edge"]
    ring = [shapely.Polygon(edge) for edge in ditch_edges]
    ditch = ring[0].symmetric_difference(ring[1]) if swale.line.closed else _strip(*ditch_edges)
    berm = shapely.transform(berm_footprint(swale.line, swale.shape), piece.to_sheet)
    axes.add_patch(PathPatch(area_path(ditch), linewidth=0, zorder=8.2, **_DITCH_FACE))
    axes.add_patch(PathPatch(area_path(berm), linewidth=0, zorder=8.2, facecolor=palette.EARTH_FACE))
    for works, area in zip(swale.shape.crossings, crossing_areas(swale.line, swale.shape), strict=True):
        style = map_layers.FORD if works.is_ford else map_layers.BANK
        axes.add_artist(PathPatch(area_path(shapely.transform(area, piece.to_sheet)), zorder=8.25, **style))
    styles: dict[str, dict[str, Any]] = {
        "ditch edge": {"color": palette.INK, "linewidth": _FINE},
        "berm crest": {"color": palette.INK, "linewidth": _FINE},
        "berm toe": {"color": palette.INK, "linewidth": _FINE, "linestyle": palette.SETBACK_DASH},
        "berm return": {"color": palette.INK, "linewidth": _FAINT},
        "ditch centre": {"color": palette.SWALE, "linewidth": palette.SWALE_WIDTH},
        "crossing edge": {"color": palette.INK, "linewidth": palette.ROADWAY_EDGE_WIDTH},
        "pipe": {"color": palette.INK, "linewidth": palette.PIPE_WIDTH, "linestyle": palette.PIPE_DASH},
        "sill": {"color": palette.SPILL, "linewidth": palette.SILL_WIDTH, "solid_capstyle": "butt"},
    }
    for rank, (kind, style) in enumerate(styles.items()):
        for edge in edges:
            if edge.kind == kind:
                axes.add_line(Line2D(*_path(edge, piece).T, zorder=8.3 + 0.01 * rank, **style))


def _path(edge: Breakline, piece: Piece) -> NDArray[np.float64]:
    """Vertices of an edge on the sheet; a closed one comes back to its first."""
    path = piece.to_sheet(edge.xyz)
    return np.vstack([path, path[:1]]) if edge.closed else path


def _strip(one: NDArray[np.float64], other: NDArray[np.float64]) -> Geometry:
    """The strip between two open edges."""
    quads = np.stack([one[:-1], one[1:], other[1:], other[:-1], one[:-1]], axis=1)
    return shapely.union_all(shapely.make_valid(shapely.polygons(quads)), grid_size=0.001)


def _draw_stakes(piece: Piece, stakes: Sequence[Stake], axes: Axes) -> None:
    """Stakes, offset stakes, the lines across from one to the other, and the rows along."""
    own = {stake.number for stake in piece.stakes}
    fine: dict[str, Any] = {"colors": palette.INK, "linewidths": _FAINT, "zorder": 8.5}
    across = [
        [(place.x_m, place.y_m) for place in (stake.uphill, stake, stake.downhill) if place is not None]
        for stake in stakes
    ]
    axes.add_collection(LineCollection([piece.to_sheet(np.array(path)) for path in across], **fine), autolim=False)
    for side in ("uphill", "downhill"):
        row = [(offset.x_m, offset.y_m) for stake in stakes if (offset := getattr(stake, side)) is not None]
        places = piece.to_sheet(np.reshape(row, (-1, 2)))
        joined = np.vstack([places, places[:1]]) if piece.swale.line.closed else places
        axes.add_line(Line2D(*joined.T, color=palette.INK, linewidth=_FAINT, linestyle=OFFSET_DASH, zorder=8.5))
        axes.add_line(Line2D(*places.T, zorder=9.2, **OFFSET_MARK))
    for shown, face in ((True, palette.INK), (False, palette.PAPER)):
        points = piece.to_sheet(
            np.reshape([(stake.x_m, stake.y_m) for stake in stakes if (stake.number in own) == shown], (-1, 2))
        )
        axes.add_line(Line2D(*points.T, linestyle="none", markerfacecolor=face, zorder=9.3, **STAKE_MARK))


def _draw_match_marks(piece: Piece, view: MapView, axes: Axes, beside: tuple[str, str]) -> list[Sign]:
    """Bars across the works where the line goes on on other sheets; returns the words that belong below them."""
    signs = []
    for chainage_m, goes_on, words, aside in zip(
        (piece.start_m, piece.stop_m), piece.continues, beside, (1.0, -1.0), strict=True
    ):
        if goes_on:
            bar = _across(piece, chainage_m)
            axes.add_line(Line2D(*bar.T, color=palette.INK, linewidth=1.5, linestyle=_MATCH_DASH, zorder=9.4))
            signs.append(sign_below(words, view.to_points(bar), palette.INK, aside=aside))
    return signs


def _across(piece: Piece, chainage_m: float) -> NDArray[np.float64]:
    """Ends of a bar across the works, from uphill to downhill."""
    swale, shape, at = piece.swale, piece.swale.shape, np.array([chainage_m])
    x, _ = shape.nodes
    lip, toe = swale.line.at(x[[UPHILL_LIP, DOWNHILL_TOE]], at)[:, 0]
    downhill = swale.line.at(swale.line.downhill.T, at)[:, 0]
    place = swale.line.at(swale.line.xy.T, at)[:, 0]
    reach = np.array([[lip - _MARK_M], [toe + _MARK_M]])
    return piece.to_sheet(place + reach * downhill / np.hypot(*downhill))


def _sill_sign(piece: Piece, units: str, view: MapView) -> list[Sign]:
    """Level and length of the sill, on the piece that holds its middle."""
    swale, unit = piece.swale, unit_name("m", units=units)
    if not any("sill" in stake.mark.split("+") for stake in piece.stakes):
        return []
    words = (
        f"SILL {level_shown(swale.shape.sill_level_m, units=units)} {unit}, "
        f"{number(swale.sill_length_m, 'm', units=units, decimals=1)} {unit} long"
    )
    return [sign_below(words, view.to_points(_across(piece, swale.sill_chainage_m)), palette.SPILL)]


def _crossing_signs(piece: Piece, units: str, view: MapView) -> list[Sign]:
    """What crosses, with the level of the pipes or of a ford's floor, on the piece that holds its middle."""
    signs, unit = [], unit_name("m", units=units)
    for works in piece.swale.shape.crossings:
        if piece.start_m <= works.place.chainage_m < piece.stop_m:
            what = "FORD floor" if works.is_ford else "PIPE invert"
            floor, top = (level_shown(level_m, units=units) for level_m in (works.floor_m, works.top_m))
            words = f"{what} {floor}, top {top} {unit}"
            signs.append(sign_below(words, view.to_points(_across(piece, works.place.chainage_m)), palette.KEEP_OUT))
    return signs


def _works_and_stakes(piece: Piece, stakes: Sequence[Stake], view: MapView) -> Geometry:
    """What no lettering should cover: ditch, berm and the rows of offset stakes [pt]."""

    def on_paper(xy: NDArray[np.float64]) -> NDArray[np.float64]:
        return view.to_points(piece.to_sheet(xy))

    works = shapely.transform(works_footprint(piece.swale.line, piece.swale.shape), on_paper)
    marks = shapely.MultiPoint(on_paper(stake_xy(stakes))).buffer(3.0)
    return shapely.union_all([works, marks])
