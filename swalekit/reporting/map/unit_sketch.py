"""One unit of microcatchments in plan and along its fall, as a crew builds it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from matplotlib.patches import FancyArrowPatch, PathPatch
from numpy.typing import NDArray

from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import LEAST_SIZE_PT, halo, text_width_mm
from swalekit.reporting.paper.outlines import area_path
from swalekit.reporting.paper.paper import Panel
from swalekit.reporting.words.shown import number, shown

HEIGHT_MM = 30.0
"""Height that the drawing takes [mm]."""
_PLAN_MM = 46.0  # width of the plan
_HALF_MM = 11.5  # from the middle of the plan to a corner or tip
_UP_MM = 17.0  # greatest height of the section, without its lettering
_TIMES = (10, 8, 6, 5, 4, 3, 2, 1)
_BEYOND = 0.16  # ground shown beyond the bund, in lengths of the unit

Places = NDArray[np.float64]


@dataclass(frozen=True)
class UnitShape:
    """A unit as it is drawn.

    Parameters
    ----------
    kind : str
        ``negarim`` or ``semi-circular``.
    size_m : float
        Side, or radius [m].
    slope : float
        Fall of its ground [m/m].
    height_m, top_m : float
        Height of the bund at the lowest place, and its width on top; its sides are 1 : 1 [m].
    pit_m : float
        Side of the pit, 0 for none [m].
    units : str
        ``metric`` or ``us``.
    """

    kind: str
    size_m: float
    slope: float
    height_m: float
    top_m: float
    pit_m: float
    units: str = "metric"

    @property
    def length_m(self) -> float:
        """From the highest place to the bund, along the fall [m]."""
        return self.size_m * (float(np.sqrt(2.0)) if self.kind == "negarim" else 1.0)


def draw_unit(shape: UnitShape, panel: Panel, *, top_mm: float) -> None:
    """Draw a unit in plan, downhill below, and beside it the section along its fall.

    Parameters
    ----------
    shape : UnitShape
        The unit.
    panel : Panel
        Where to draw.
    top_mm : float
        Upper edge [mm].

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> panel = Panel.on(blank_sheet("A4"), (20.0, 20.0, 105.0, 60.0))
    >>> draw_unit(UnitShape("negarim", 10.0, 0.03, 0.45, 0.25, 2.5), panel, top_mm=0.0)
    >>> {"side 10.0 m", "on contour"} <= {text.get_text() for text in panel.axes.texts}
    True
    """
    middle = (_PLAN_MM / 2.0, top_mm + 1.5 + _HALF_MM)
    if shape.kind == "negarim":
        _draw_square(shape, panel, middle)
    else:
        _draw_half_moon(shape, panel, middle)
    _draw_section(shape, panel, _PLAN_MM + 3.0, top_mm + 1.5)


def _draw_square(shape: UnitShape, panel: Panel, middle: tuple[float, float]) -> None:
    """The square on its corner, with pit, tree and contour."""
    corners = _HALF_MM * np.array([[0.0, 1.0], [-1.0, 0.0], [0.0, -1.0], [1.0, 0.0]]) + middle
    mm_per_m = _HALF_MM * np.sqrt(2.0) / shape.size_m
    _area(panel, corners, palette.BUND_FACE)
    _contour(panel, middle)
    foot_m = shape.top_m / 2.0 + shape.height_m
    pit_half_mm = shape.pit_m * mm_per_m / np.sqrt(2.0)
    pit = np.array([middle[0], middle[1] + _HALF_MM - foot_m * mm_per_m * np.sqrt(2.0) - pit_half_mm])
    _area(panel, pit_half_mm * np.array([[0.0, 1.0], [-1.0, 0.0], [0.0, -1.0], [1.0, 0.0]]) + pit, palette.EARTH_FACE)
    panel.line([*corners, corners[0]], color=palette.BUND, linewidth=1.8, solid_joinstyle="miter", zorder=4)
    _tree(panel, [tuple(pit)])
    _write(panel, f"side {shown(shape.size_m, 'm', units=shape.units, decimals=1)}", middle[0] + 7.6, middle[1] - 8.0)
    pit_words = f"pit {number(shape.pit_m, 'm', units=shape.units, decimals=1)} × {_m(shape.pit_m, shape.units, 1)}"
    _write(panel, pit_words, middle[0] + 5.6, middle[1] + 10.6)
    _fall(panel, (middle[0], middle[1] - _HALF_MM + 3.0), 6.0)


def _draw_half_moon(shape: UnitShape, panel: Panel, middle: tuple[float, float]) -> None:
    """The bow below its tips on one contour, and where surplus leaves."""
    centre = (middle[0], middle[1] - 3.0)
    angle = np.linspace(0.0, np.pi, 40)
    bow = _HALF_MM * np.column_stack([-np.cos(angle), np.sin(angle)]) + centre
    _area(panel, bow, palette.BUND_FACE)
    _contour(panel, centre)
    panel.line(bow, color=palette.BUND, linewidth=1.8, zorder=4)
    _tree(panel, [(centre[0], centre[1] + 0.72 * _HALF_MM)])
    panel.line([centre, (centre[0] + _HALF_MM * 0.71, centre[1] + _HALF_MM * 0.71)], color=palette.QUIET_INK,
               linewidth=0.5, zorder=3)  # fmt: skip
    words = f"radius {shown(shape.size_m, 'm', units=shape.units)}"
    _write(panel, words, centre[0] + 0.72 * _HALF_MM + 1.5, centre[1] + 0.75 * _HALF_MM + 2.0)
    _fall(panel, (middle[0], middle[1] - _HALF_MM + 1.0), 6.0)
    for side in (-1.0, 1.0):
        start = (centre[0] + side * (_HALF_MM + 1.0), centre[1] - 1.2)
        _arrow(panel, start, (start[0] + side * 1.5, start[1] + 5.0))


def _draw_section(shape: UnitShape, panel: Panel, left_mm: float, top_mm: float) -> None:
    """Ground, pit, bund and the level that water may reach, heights several times too great."""
    length, slope = shape.length_m, shape.slope
    across = (panel.width_mm - left_mm - 1.0) / (length * (1.0 + 2.0 * _BEYOND))
    deep_m = 0.4 if shape.pit_m else 0.0
    rise_m = slope * length * (1.0 + _BEYOND)
    tall_m = max(rise_m, shape.height_m) + max(deep_m, slope * length * _BEYOND)
    times = next((times for times in _TIMES if tall_m * across * times <= _UP_MM), 1)
    up = across * times
    base_mm = top_mm + 4.5 + max(rise_m, shape.height_m) * up

    def paper(points: Sequence[tuple[float, float]]) -> Places:
        """Distance uphill of the middle of the bund, and height above the ground there [m], on paper."""
        distance, height = np.array(points, np.float64).T
        at = left_mm + (length * (1.0 + _BEYOND) - distance) * across
        return np.column_stack([at, base_mm - height * up])

    half_top, half_base = shape.top_m / 2.0, shape.top_m / 2.0 + shape.height_m
    crest_m = shape.height_m
    ends = (length * (1.0 + _BEYOND), -length * _BEYOND)
    surface = [(ends[0], slope * ends[0])]
    if shape.pit_m:
        near, far = half_base, half_base + shape.pit_m * float(np.sqrt(2.0))
        floor = slope * near - deep_m
        surface += [(far, slope * far), (far, floor), (near, floor), (near, slope * near)]
    surface += [(ends[1], slope * ends[1])]
    bund = [(half_base, slope * half_base), (half_top, crest_m), (-half_top, crest_m), (-half_base, -slope * half_base)]
    level_m = crest_m if shape.kind == "negarim" else slope * length
    wet = level_m / max(slope, 1e-6)
    if shape.kind != "negarim":
        edge = max(half_base - (level_m - slope * half_base), half_top)
        _area(panel, paper([(wet, level_m), (half_base, slope * half_base), (edge, level_m)]), palette.WATER_FACE)
    _area(panel, paper(bund), palette.EARTH_FACE)
    quiet: dict[str, Any] = {"color": palette.QUIET_INK, "linewidth": 0.5, "zorder": 3}
    panel.line(paper([(min(wet, ends[0]), level_m), (half_top, level_m)]), linestyle=palette.SETBACK_DASH, **quiet)
    panel.line(paper(surface), color=palette.INK, linewidth=1.0, solid_joinstyle="miter", zorder=4)
    panel.line(paper(bund), color=palette.INK, linewidth=1.0, solid_joinstyle="miter", zorder=4)
    top = paper([(0.0, crest_m)])[0]
    bund_words = f"bund {_m(shape.height_m, shape.units, 2)}"
    half_words = text_width_mm(bund_words, LEAST_SIZE_PT) / 2.0
    right = min(float(top[0]) + half_words, panel.width_mm)
    _write(panel, bund_words, right, float(top[1]) - 1.2, ha="right")
    level = "level with the highest corner" if shape.kind == "negarim" else "level with the tips"
    ((_, y),) = paper([(0.0, level_m)])
    _write(panel, level, right - 2.0 * half_words - 1.5, float(y) - 0.9, ha="right")
    foot = base_mm + max(deep_m, slope * length * _BEYOND) * up + 3.4
    if shape.pit_m:
        ((x, y),) = paper([(half_base + shape.pit_m * 0.7, 0.0)])
        _write(panel, f"pit {_m(deep_m, shape.units, 2)} deep", float(x), foot, ha="center")
        foot += 3.0
    fall = f"fall {100.0 * slope:.1f} %, heights × {times}" if times > 1 else f"fall {100.0 * slope:.1f} %"
    _write(panel, fall, left_mm, foot, ha="left", color=palette.QUIET_INK)


def _m(length_m: float, units: str, decimals: int) -> str:
    return shown(length_m, "m", units=units, decimals=decimals)


def _area(panel: Panel, places: Any, color: str) -> None:
    path = area_path(shapely.Polygon(places))
    panel.axes.add_patch(PathPatch(path, facecolor=color, linewidth=0, zorder=1))


def _contour(panel: Panel, middle: tuple[float, float]) -> None:
    """The contour through corners or tips."""
    ends = [(0.5, middle[1]), (_PLAN_MM - 0.5, middle[1])]
    panel.line(ends, color=palette.CONTOUR, linewidth=0.8, linestyle=palette.SETBACK_DASH, zorder=2)
    _write(panel, "on contour", 0.0, middle[1] - 1.0, color=palette.QUIET_INK)


def _tree(panel: Panel, places: list[tuple[float, float]]) -> None:
    style: dict[str, Any] = {"linestyle": "none", "marker": "o", "markersize": 3.6, "markeredgewidth": 0.0}
    panel.line(places, color=palette.CANOPY_EDGE, zorder=5, **style)


def _fall(panel: Panel, start: tuple[float, float], length_mm: float) -> None:
    """An arrow downhill."""
    _arrow(panel, start, (start[0], start[1] + length_mm))


def _arrow(panel: Panel, start: tuple[float, float], stop: tuple[float, float]) -> None:
    arrow: dict[str, Any] = {"arrowstyle": "-|>", "mutation_scale": 6, "linewidth": 0.9, "color": palette.SPILL}
    panel.axes.add_patch(FancyArrowPatch(start, stop, shrinkA=0, shrinkB=0, zorder=5, **arrow))


def _write(panel: Panel, text: str, x_mm: float, y_mm: float, **style: Any) -> None:
    panel.letter(x_mm, y_mm, text, LEAST_SIZE_PT, zorder=6, path_effects=halo(), **style)
