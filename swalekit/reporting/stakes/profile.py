"""The long profile of a piece of a swale: ground, floor, crest and sill along the ditch."""

from typing import Any

import numpy as np
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from numpy.typing import NDArray

from swalekit.reporting.map.furniture import multiples, round_length
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import font, halo
from swalekit.reporting.paper.paper import Panel
from swalekit.reporting.stakes.pieces import Piece, stretch_points
from swalekit.reporting.words.shown import unit_name
from swalekit.reporting.words.spread import spread
from swalekit.reporting.words.stake_words import level_shown
from swalekit.units import METRES_PER_FOOT

AXIS_MM, NAMES_MM = 15.0, 27.0
"""Room for the heights left, and for the names of the lines right of the profile."""

_SIZE_PT = 7.0
_FOOT_MM = 4.5  # chainages below
_CLEAR_MM = 1.5
_EXAGGERATIONS = (20, 10, 5, 2, 1)
_TICK_MM = 21.0
_HEIGHT_TICK_MM = 5.0
_APART_MM = 3.1

_LINES: dict[str, dict[str, Any]] = {
    "crest": {"color": palette.INK, "linewidth": 1.3},
    "sill": {"color": palette.SPILL, "linewidth": 0.9, "linestyle": palette.BOUNDARY_DASH},
    "ground": {"color": palette.INK, "linewidth": 0.8, "linestyle": palette.SETBACK_DASH},
    "floor": {"color": palette.SWALE, "linewidth": 1.6},
}


def profile_words(piece: Piece, height_mm: float) -> str:
    """Heading of a profile drawn that high, with both scales."""
    up = exaggeration(piece, height_mm)
    return f"LONG PROFILE, along 1 : {piece.scale}, heights 1 : {piece.scale / up:g} (× {up})"


def exaggeration(piece: Piece, height_mm: float) -> int:
    """How much larger heights are drawn than lengths: the most, up to 20, that fits a height [mm]."""
    low, high = _range_m(piece)
    room_mm = height_mm - _FOOT_MM - 2 * _CLEAR_MM
    flat_mm = (high - low) * 1000 / piece.scale
    return next((each for each in _EXAGGERATIONS if each * flat_mm <= room_mm), 1)


def draw_profile(piece: Piece, panel: Panel, *, top_mm: float, height_mm: float, units: str) -> None:
    """Draw the profile on a panel, chainage at the scale of the plan.

    Parameters
    ----------
    piece : Piece
        The piece.
    panel : Panel
        Where to draw.
    top_mm, height_mm : float
        Upper edge and height [mm].
    units : str
        ``metric`` or ``us``.
    """
    across = 1000 / piece.scale
    up = across * exaggeration(piece, height_mm)
    low, high = _range_m(piece)
    left = AXIS_MM + max((panel.width_mm - AXIS_MM - NAMES_MM - piece.length_m * across) / 2.0, 0.0)
    foot = top_mm + height_mm - _FOOT_MM
    middle = top_mm + (height_mm - _FOOT_MM) / 2.0

    def on_paper(chainage_m: Any, level_m: Any) -> NDArray[np.float64]:
        x, y = np.broadcast_arrays(np.asarray(chainage_m, np.float64), np.asarray(level_m, np.float64))
        return np.column_stack([left + (x - piece.start_m) * across, middle - (y - (low + high) / 2.0) * up])

    unit_m = METRES_PER_FOOT if units == "us" else 1.0
    fine: dict[str, Any] = {"color": palette.CONTOUR, "linewidth": 0.35, "zorder": 1}
    step_m = unit_m * round_length(_HEIGHT_TICK_MM / up / unit_m)
    for level_m in multiples(step_m, low, high):
        (start, stop) = on_paper([piece.start_m, piece.stop_m], level_m)
        panel.axes.add_line(Line2D([start[0], stop[0]], [start[1]] * 2, **fine))
        lettering = {"ha": "right", "va": "center_baseline", "color": palette.QUIET_INK, **font(_SIZE_PT)}
        panel.axes.text(start[0] - 1.5, start[1], level_shown(level_m, units=units), **lettering)
    _draw_chainages(piece, panel, on_paper, foot, unit_m, across, units)
    levels = _levels(piece)
    _fill_ditch(panel, on_paper, levels)
    for name, (chainage_m, level_m) in levels.items():
        panel.axes.add_line(Line2D(*on_paper(chainage_m, level_m).T, zorder=3, **_LINES[name]))
    _name_lines(piece, panel, on_paper, levels, units)


def _levels(piece: Piece) -> dict[str, tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Chainage and level of each line; the crest drops to the sill's level along the sill."""
    swale, shape = piece.swale, piece.swale.shape
    chainage = stretch_points(swale, piece.start_m, piece.stop_m)
    ground = swale.line.at(swale.line.ground_m, chainage)
    floor = ground - swale.line.at(shape.station_depth_m, chainage)
    ends = np.array([piece.start_m, piece.stop_m])
    edges = [piece.start_m, piece.stop_m]
    crest = [shape.crest_level_m, shape.crest_level_m]
    first, last = swale.sill_span_m
    inside = [min(max(each, piece.start_m), piece.stop_m) for each in (first, last)]
    if inside[1] > inside[0]:
        edges = [piece.start_m, inside[0], inside[0], inside[1], inside[1], piece.stop_m]
        crest = [crest[0]] * 2 + [shape.sill_level_m] * 2 + [crest[0]] * 2
    return {
        "crest": (np.array(edges), np.array(crest)),
        "sill": (ends, np.full(2, shape.sill_level_m)),
        "ground": (chainage, ground),
        "floor": (chainage, floor),
    }


def _range_m(piece: Piece) -> tuple[float, float]:
    """Lowest and highest of all lines [m]."""
    levels = np.concatenate([level for _, level in _levels(piece).values()])
    return float(levels.min()), float(levels.max())


def _draw_chainages(
    piece: Piece, panel: Panel, on_paper: Any, foot_mm: float, unit_m: float, across: float, units: str
) -> None:
    """Round chainages below, and a hair line at each stake."""
    low, high = _range_m(piece)
    step_m = unit_m * round_length(_TICK_MM / across / unit_m)
    for chainage_m in multiples(step_m, piece.start_m, piece.stop_m):
        ((x, _),) = on_paper([chainage_m], low)
        panel.axes.add_line(Line2D([x, x], [foot_mm - 1.2, foot_mm], color=palette.INK, linewidth=0.6))
        words = f"{chainage_m / unit_m:.0f}"
        lettering = {"ha": "center", "va": "baseline", "color": palette.INK, **font(_SIZE_PT)}
        panel.axes.text(x, foot_mm + 3.2, words, **lettering)
    start, stop = on_paper([piece.start_m, piece.stop_m], low)
    panel.axes.add_line(Line2D([start[0], stop[0]], [foot_mm, foot_mm], color=palette.INK, linewidth=0.6))
    words = f"chainage {unit_name('m', units=units)}"
    panel.axes.text(stop[0] + 4.0, foot_mm + 3.2, words, va="baseline", color=palette.QUIET_INK, **font(_SIZE_PT))
    for stake in piece.stakes:
        (bottom, top) = on_paper([stake.chainage_m] * 2, [low, high])
        panel.axes.add_line(Line2D(*np.array([bottom, top]).T, color=palette.QUIET_INK, linewidth=0.35, zorder=2))


def _fill_ditch(panel: Panel, on_paper: Any, levels: Any) -> None:
    """What is dug, between ground and floor."""
    ground, floor = (on_paper(*levels[name]) for name in ("ground", "floor"))
    dug = np.vstack([ground, floor[::-1]])
    panel.axes.add_patch(Polygon(dug, closed=True, facecolor=palette.WATER_FACE, alpha=0.5, linewidth=0, zorder=0.5))


def _name_lines(piece: Piece, panel: Panel, on_paper: Any, levels: Any, units: str) -> None:
    """What each line is, right of its end; names that would overlap are moved apart and led to."""
    ends = sorted((float(on_paper(*(each[-1:] for each in levels[name]))[0, 1]), name) for name in levels)
    rows = spread([y for y, _ in ends], _APART_MM)
    ((x, _),) = on_paper([piece.stop_m], 0.0)
    shape = piece.swale.shape
    level = {"crest": shape.crest_level_m, "sill": shape.sill_level_m, "floor": shape.floor_level_m}
    for (y, name), row in zip(ends, rows, strict=True):
        lead = {**_LINES[name], "linestyle": "solid", "linewidth": 0.4}
        panel.axes.add_line(Line2D([x, x + 2.0, x + 3.0], [y, row, row], zorder=3, **lead))
        words = f"{name} {level_shown(level[name], units=units)}" if name in level else name
        lettering = {"va": "center_baseline", "color": _LINES[name]["color"], "path_effects": halo()}
        panel.axes.text(x + 3.6, row, words, **lettering, **font(_SIZE_PT, "bold"))
