"""The long profile of a piece of a swale: ground, floor, crest and sill along the ditch."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.patches import Polygon
from numpy.typing import NDArray

from swalekit.reporting.map.furniture import multiples, round_length
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import halo
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


def exaggeration(piece: Piece, height_mm: float) -> int:
    """How much larger heights are drawn than lengths: the most, up to 20, that fits.

    Parameters
    ----------
    piece : Piece
        The piece.
    height_mm : float
        Height of the profile on paper, chainages included [mm].

    Returns
    -------
    int
        20, 10, 5, 2 or 1; 1 also where even that doesn't fit.

    Examples
    --------
    >>> exaggeration(piece, 40.0), exaggeration(piece, 20.0)
    (20, 10)
    """
    low, high = _range_m(piece)
    room_mm = height_mm - _FOOT_MM - 2 * _CLEAR_MM
    flat_mm = (high - low) * 1000 / piece.scale
    return next((times for times in _EXAGGERATIONS if times * flat_mm <= room_mm), 1)


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

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> panel = Panel.on(blank_sheet("A4"), (10.0, 10.0, 277.0, 60.0))
    >>> draw_profile(piece, panel, top_mm=0.0, height_mm=40.0, units="metric")
    >>> [text.get_text() for text in panel.axes.texts][-4:]
    ['crest 108.22', 'sill 108.07', 'ground', 'floor 107.65']
    """
    mm_per_m, (low, high) = 1000 / piece.scale, _range_m(piece)
    left = AXIS_MM + max((panel.width_mm - AXIS_MM - NAMES_MM - piece.length_m * mm_per_m) / 2.0, 0.0)
    foot, middle = top_mm + height_mm - _FOOT_MM, top_mm + (height_mm - _FOOT_MM) / 2.0
    paper = _Paper(
        piece, panel, units, (left, middle, (low + high) / 2.0), mm_per_m, mm_per_m * exaggeration(piece, height_mm)
    )
    for level_m in multiples(paper.round_m(_HEIGHT_TICK_MM / paper.up), low, high):
        paper.line([piece.start_m, piece.stop_m], level_m, color=palette.CONTOUR, linewidth=0.35, zorder=1)
        ((x, y),) = paper.places([piece.start_m], level_m)
        style = {"ha": "right", "va": "center_baseline", "color": palette.QUIET_INK}
        panel.letter(x - 1.5, y, level_shown(level_m, units=units), _SIZE_PT, **style)
    _draw_chainages(paper, foot)
    levels = _levels(piece)
    dug = np.vstack([paper.places(*levels["ground"]), paper.places(*levels["floor"])[::-1]])
    panel.axes.add_patch(Polygon(dug, closed=True, facecolor=palette.WATER_FACE, alpha=0.5, linewidth=0, zorder=0.5))
    _draw_crossings(paper)
    for name, line in levels.items():
        paper.line(*line, zorder=3, **_LINES[name])
    _name_lines(paper, levels)


@dataclass(frozen=True, eq=False)
class _Paper:
    """From chainage and level to millimetres of a panel: where the profile starts, at which level, mm for a metre."""

    piece: Piece
    panel: Panel
    units: str
    start: tuple[float, float, float]
    across: float
    up: float

    def round_m(self, length_m: float) -> float:
        """A length that is round in the reader's unit, no longer than given [m]."""
        return self.unit_m * round_length(length_m / self.unit_m)

    @property
    def unit_m(self) -> float:
        """The reader's unit [m]."""
        return METRES_PER_FOOT if self.units == "us" else 1.0

    def places(self, chainage_m: Any, level_m: Any) -> NDArray[np.float64]:
        """Points of the profile on paper, shape (n, 2) [mm]."""
        x, y = np.broadcast_arrays(np.asarray(chainage_m, np.float64), np.asarray(level_m, np.float64))
        left, middle, middle_m = self.start
        return np.column_stack([left + (x - self.piece.start_m) * self.across, middle - (y - middle_m) * self.up])

    def line(self, chainage_m: Any, level_m: Any, **style: Any) -> None:
        """A line through points of the profile."""
        self.panel.line(self.places(chainage_m, level_m), **style)


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
    inside = [min(max(edge, piece.start_m), piece.stop_m) for edge in (first, last)]
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
    tops = [works.top_m for works in piece.swale.shape.crossings]
    return float(levels.min()), max([float(levels.max()), *tops])


def _draw_chainages(paper: _Paper, foot_mm: float) -> None:
    """Round chainages below, and a hair line at each stake."""
    piece, panel = paper.piece, paper.panel
    for chainage_m in multiples(paper.round_m(_TICK_MM / paper.across), piece.start_m, piece.stop_m):
        ((x, _),) = paper.places([chainage_m], 0.0)
        panel.line([(x, foot_mm - 1.2), (x, foot_mm)], color=palette.INK, linewidth=0.6)
        panel.letter(x, foot_mm + 3.2, f"{chainage_m / paper.unit_m:.0f}", _SIZE_PT, ha="center")
    (start, _), (stop, _) = paper.places([piece.start_m, piece.stop_m], 0.0)
    panel.line([(start, foot_mm), (stop, foot_mm)], color=palette.INK, linewidth=0.6)
    words = f"chainage {unit_name('m', units=paper.units)}"
    panel.letter(stop + 4.0, foot_mm + 3.2, words, _SIZE_PT, color=palette.QUIET_INK)
    for stake in piece.stakes:
        paper.line([stake.chainage_m] * 2, _range_m(piece), color=palette.QUIET_INK, linewidth=0.35, zorder=2)


def _draw_crossings(paper: _Paper) -> None:
    """What stands in the ditch under a roadway: a bank with its pipe, or the ground beneath a ford."""
    piece, shape = paper.piece, paper.piece.swale.shape
    for works in shape.crossings:
        middle_m, half_m = works.place.chainage_m, works.place.width_m / 2.0
        if not piece.start_m < middle_m < piece.stop_m:
            continue
        top_m = works.floor_m if works.is_ford else works.top_m
        foot_m = half_m + float(works.ways.side[0]) * (top_m - shape.floor_level_m)
        outline = np.array([-foot_m, -half_m, half_m, foot_m]) + middle_m
        bank = paper.places(outline, [shape.floor_level_m, top_m, top_m, shape.floor_level_m])
        style = {"facecolor": palette.BANK, "edgecolor": palette.INK, "linewidth": 0.5, "zorder": 2.5}
        paper.panel.axes.add_patch(Polygon(bank, closed=True, **style))
        if not works.is_ford:
            ends = middle_m + works.pipe_length_m * np.array([-0.5, 0.5])
            paper.line(ends, shape.floor_level_m, color=palette.INK, linewidth=palette.PIPE_WIDTH, zorder=3.5)


def _name_lines(paper: _Paper, levels: Mapping[str, tuple[NDArray[np.float64], NDArray[np.float64]]]) -> None:
    """What each line is, right of its end; names that would overlap are moved apart and led to."""
    ends = sorted((float(paper.places(*line)[-1, 1]), name) for name, line in levels.items())
    rows = spread([y for y, _ in ends], _APART_MM)
    ((x, _),) = paper.places([paper.piece.stop_m], 0.0)
    shape = paper.piece.swale.shape
    level = {"crest": shape.crest_level_m, "sill": shape.sill_level_m, "floor": shape.floor_level_m}
    for (y, name), row in zip(ends, rows, strict=True):
        lead = {**_LINES[name], "linestyle": "solid", "linewidth": 0.4}
        paper.panel.line([(x, y), (x + 2.0, row), (x + 3.0, row)], zorder=3, **lead)
        words = f"{name} {level_shown(level[name], units=paper.units)}" if name in level else name
        style = {"va": "center_baseline", "color": _LINES[name]["color"], "path_effects": halo()}
        paper.panel.letter(x + 3.6, row, words, _SIZE_PT, weight="bold", **style)
