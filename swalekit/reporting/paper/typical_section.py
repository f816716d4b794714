"""The cross-section of a swale, drawn to scale with its dimensions."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from matplotlib.patches import PathPatch
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.design.plan.record import SwaleSection
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import LEAST_SIZE_PT, halo
from swalekit.reporting.paper.outlines import area_path
from swalekit.reporting.paper.paper import Panel
from swalekit.reporting.words.shown import number, shown

_SCALES = (10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 500, 1000)
GREATEST_HEIGHT_MM = 12.0
_SIDE_MM = 7.0  # ground shown on either side
_FREEBOARD_MM = 22.0  # lettering right of the crest
_CHAIN_MM = 5.0  # dimensions below the section
_CLEAR_MM = 1.5  # above the crest


def section_scale(section: SwaleSection, width_mm: float, *, highest_mm: float = GREATEST_HEIGHT_MM) -> int:
    """Denominator of the largest round scale at which a section fits a width and a height.

    Parameters
    ----------
    section : SwaleSection
        The section.
    width_mm : float
        Width of the panel, ground on either side included [mm].
    highest_mm : float
        Height that the section may take, without its dimensions [mm].

    Returns
    -------
    int
        Metres of ground in a metre of paper.

    Examples
    --------
    >>> section_scale(record.sections["S1"], 80.0), section_scale(record.sections["S1"], 180.0, highest_mm=40.0)
    (100, 50)
    """
    across_m, up_m = np.ptp(section.xy, axis=0)
    least = 1000 * max(across_m / (width_mm - 2 * _SIDE_MM), up_m / highest_mm)
    return next((scale for scale in _SCALES if scale >= least), _SCALES[-1])


def section_height_mm(section: SwaleSection, width_mm: float, *, highest_mm: float = GREATEST_HEIGHT_MM) -> float:
    """Height that the drawing takes at that scale, dimensions included [mm].

    Parameters
    ----------
    section : SwaleSection
        The section.
    width_mm : float
        Width of the panel, ground on either side included [mm].
    highest_mm : float
        Height that the section may take, without its dimensions [mm].

    Returns
    -------
    float
        Height [mm].

    Examples
    --------
    >>> round(section_height_mm(record.sections["S1"], 80.0), 1)
    12.7
    """
    mm_per_m = 1000 / section_scale(section, width_mm, highest_mm=highest_mm)
    return float(np.ptp(section.xy[:, 1])) * mm_per_m + _CLEAR_MM + _CHAIN_MM


@dataclass(frozen=True, eq=False)
class _Paper:
    """From the section to millimetres of paper, which count downward."""

    section: SwaleSection
    panel: Panel
    left_mm: float
    top_mm: float
    mm_per_m: float
    size_pt: float

    def places(self, points_m: Any) -> NDArray[np.float64]:
        """Points of the section [m] on paper, shape (n, 2) [mm]."""
        first_m, highest_m = self.section.xy[0, 0], self.section.xy[:, 1].max()
        along, down = (np.asarray(points_m, np.float64) - (first_m, highest_m)).T * self.mm_per_m
        return np.column_stack([self.left_mm + along, self.top_mm - down])

    def line(self, points_m: Any, **style: Any) -> None:
        """A broken line through points of the section [m]."""
        self.panel.line(self.places(points_m), **style)

    def area(self, geometry_m: BaseGeometry, color: str) -> None:
        """An area of the section [m]."""
        path = area_path(shapely.transform(geometry_m, self.places))
        self.panel.axes.add_patch(PathPatch(path, facecolor=color, linewidth=0, zorder=1))

    def write(self, text: str, x_mm: float, y_mm: float, **style: Any) -> None:
        """Small lettering at a place on paper [mm]."""
        self.panel.letter(x_mm, y_mm, text, self.size_pt, path_effects=halo(), **style)


def draw_typical_section(
    section: SwaleSection,
    panel: Panel,
    *,
    top_mm: float,
    units: str,
    highest_mm: float = GREATEST_HEIGHT_MM,
    size_pt: float = LEAST_SIZE_PT,
) -> None:
    """Draw a section with its dimensions in the middle of a panel.

    Parameters
    ----------
    section : SwaleSection
        The section.
    panel : Panel
        Where to draw.
    top_mm : float
        Upper edge [mm].
    units : str
        ``metric`` or ``us``.
    highest_mm : float
        Height that the section may take, without its dimensions [mm].
    size_pt : float
        Size of the lettering [pt].

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import blank_sheet
    >>> panel = Panel.on(blank_sheet("A4"), (20.0, 20.0, 180.0, 60.0))
    >>> draw_typical_section(record.sections["S1"], panel, top_mm=0.0, units="metric")
    >>> [text.get_text() for text in panel.axes.texts]
    ['floor 1.80', 'bench 0.30', 'crest 0.50', '0.35', 'freeboard 0.15 m']
    """
    mm_per_m = 1000 / section_scale(section, panel.width_mm, highest_mm=highest_mm)
    used_mm = float(np.ptp(section.xy[:, 0])) * mm_per_m
    left_mm = max((panel.width_mm - used_mm) / 2 - _FREEBOARD_MM / 4, _SIDE_MM)
    paper = _Paper(section, panel, left_mm, top_mm + _CLEAR_MM, mm_per_m, size_pt)
    _draw_earth(paper)
    _letter_chain(paper, units)
    _letter_heights(paper, units)


def _draw_earth(paper: _Paper) -> None:
    """Ground, ditch, berm and the water at the sill's level."""
    xy, slope, side_m = paper.section.xy, paper.section.slope, _SIDE_MM / paper.mm_per_m
    ends = [(x, -slope * x) for x in (xy[0, 0] - side_m, xy[-1, 0] + side_m)]
    bowl = shapely.Polygon([ends[0], *xy[:6], (xy[5, 0], ends[0][1] + 1.0), (ends[0][0], ends[0][1] + 1.0)])
    water = bowl.intersection(shapely.box(ends[0][0], xy[:, 1].min(), xy[5, 0], paper.section.sill_m))
    paper.area(water, palette.WATER_FACE)
    paper.area(shapely.Polygon(xy[4:]), palette.EARTH_FACE)
    hidden: dict[str, Any] = {"color": palette.QUIET_INK, "linewidth": 0.5, "linestyle": palette.SETBACK_DASH}
    paper.line(ends, zorder=2, **hidden)
    paper.line([ends[0], *xy, ends[1]], color=palette.INK, linewidth=1.0, solid_joinstyle="miter", zorder=3)


def _letter_chain(paper: _Paper, units: str) -> None:
    """Widths along one line below the section."""
    xy = paper.section.xy
    edges, heights = paper.places(xy).T
    y_mm = heights.max() + 2.0
    quiet = {"color": palette.QUIET_INK, "linewidth": 0.5}
    paper.panel.line([(edges[0], y_mm), (edges[-1], y_mm)], **quiet)
    for edge in edges:
        paper.panel.line([(edge, y_mm - 0.8), (edge, y_mm + 0.8)], **quiet)
    for name, start, stop in (("floor", 1, 2), ("bench", 3, 4), ("crest", 5, 6)):
        width_m = float(xy[stop, 0] - xy[start, 0])
        if width_m > 0:
            text = f"{name} {number(width_m, 'm', units=units, decimals=2)}"
            paper.write(text, (edges[start] + edges[stop]) / 2, y_mm + 3.0, ha="center")


def _letter_heights(paper: _Paper, units: str) -> None:
    """Depth at the stake, and the freeboard beside the crest."""
    section, quiet = paper.section, {"color": palette.QUIET_INK, "linewidth": 0.5, "zorder": 4}
    floor_m, (crest_x, crest_m) = float(section.xy[1, 1]), map(float, section.xy[6])
    paper.line([(0.0, 0.0), (0.0, floor_m)], marker="_", markersize=3.0, **quiet)
    ((x_mm, y_mm),) = paper.places([(0.0, 0.3 * floor_m)])
    paper.write(number(-floor_m, "m", units=units, decimals=2), x_mm + 0.8, y_mm, ha="left", va="center", zorder=5)
    right_m = crest_x + 3.0 / paper.mm_per_m
    for level_m in (crest_m, section.sill_m):
        paper.line([(crest_x, level_m), (right_m + 1.0 / paper.mm_per_m, level_m)], **quiet)
    paper.line([(right_m, crest_m), (right_m, section.sill_m)], **quiet)
    ((x_mm, y_mm),) = paper.places([(right_m, (crest_m + section.sill_m) / 2)])
    text = f"freeboard {shown(crest_m - section.sill_m, 'm', units=units, decimals=2)}"
    paper.write(text, x_mm + 1.6, y_mm, ha="left", va="center")
