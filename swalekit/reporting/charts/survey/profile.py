"""A swale along its line: as designed, and as surveyed with the stretches that must be cured."""

from dataclasses import dataclass
from itertools import groupby
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import ScalarFormatter
from numpy.typing import NDArray

from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, dress, legend_above, note, scale, size_mm
from swalekit.reporting.paper.lettering import text_width_mm
from swalekit.reporting.paper.save import hatched
from swalekit.reporting.words.shown import shown
from swalekit.section.laid_swale import LaidSwale
from swalekit.verification.as_built import AsBuilt
from swalekit.verification.built_profile import BuiltProfile
from swalekit.verification.spots import Spot

_SIZE_PT = 8.0
_CLEAR_PT = 5.0  # lettering off what it speaks of
_GAP_MM = 2.0  # between the lettering of two spots
_CHART_MM, _MARGINS_MM = 80.0, (17.0, 13.0, 6.0, 14.0)
_MANY = 150  # points, beyond which they are drawn as dots
_EDGE_M = 0.001  # the crest steps down to the sill within so much
_ROOM = 0.16  # for lettering above and below, as a share of the height from floor to crest
_MARKERS = {"floor": ("v", palette.PAPER), "crest": ("^", palette.INK), "sill": ("s", palette.SPILL)}


@dataclass(frozen=True, eq=False)
class _Paper:
    """Axes that show metres in the reader's units."""

    axes: Axes
    units: str
    factor: float
    unit: str

    def line(self, x_m: NDArray[np.float64], y_m: NDArray[np.float64], **style: Any) -> None:
        """A line through places [m]."""
        self.axes.plot(self.factor * x_m, self.factor * y_m, **style)

    def write(self, text: str, x_m: float, y_m: float, *, above: bool) -> None:
        """Lettering above or below a place [m]."""
        at, offset_pt = (self.factor * x_m, self.factor * y_m), (0, _CLEAR_PT if above else -_CLEAR_PT)
        note(self.axes, text, at, offset_pt, _SIZE_PT, zorder=7, annotation_clip=False)


@hatched
def draw_survey_profile(built: AsBuilt, ax: Axes | None = None, *, units: str = "metric") -> Axes:
    """Draw floor, crest, sill and ground of a swale along its line, with the surveyed points and what is wrong.

    Parameters
    ----------
    built : AsBuilt
        The swale as built, with its design.
    ax : Axes, optional
        Where to draw; new axes unless given.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes: chainage across, height up. Stretches beyond the tolerance are filled dark between the level as
        designed and as built; a bar with ends marks a stretch without a point.

    Raises
    ------
    InputError
        If the units are unknown.

    Examples
    --------
    >>> axes = draw_survey_profile(survey.check.swales[0])
    >>> [text.get_text() for text in axes.get_legend().get_texts()]
    ['ground at the line', 'floor and crest as designed', 'floor, surveyed']
    """
    paper = _Paper(axes_in_cell(ax, _CHART_MM, margins_mm=_MARGINS_MM), units, *scale("m", units=units))
    _draw_design(built.design, paper)
    for part, profile in built.parts.items():
        if profile.count:
            _draw_points(part, profile, paper)
    if built.spill is not None:
        level = (
            f"water leaves over the {built.spill.over} at {shown(built.spill.level_m, 'm', units=units, decimals=2)}"
        )
        ends = np.array([0.0, built.design.line.length_m])
        paper.line(
            ends, np.full(2, built.spill.level_m), color=palette.SPILL, lw=1.1, ls=(0, (5, 2)), zorder=2.5, label=level
        )
    _set_limits(built, paper)
    for spot in built.spots:
        _fill_spot(built, spot, paper)
    _letter_spots(built, paper)
    _mark_unchecked(built, paper)
    _frame(built.design, paper)
    return paper.axes


def _draw_design(design: LaidSwale, paper: _Paper) -> None:
    """Ground, floor and crest with its sill, as designed."""
    line, half_m = design.line, design.sill_length_m / 2.0
    along = np.append(line.chainage_m, line.length_m) if line.closed else line.chainage_m
    paper.line(
        along,
        design.line.at(line.ground_m, along),
        color=palette.QUIET_INK,
        lw=0.9,
        ls=(0, (1, 1.6)),
        label="ground at the line",
    )
    paper.line(
        along,
        design.line.at(design.floor_m, along),
        color=palette.INK,
        lw=1.0,
        zorder=2,
        label="floor and crest as designed",
    )
    ends = np.add.outer([-half_m, half_m], [-_EDGE_M, _EDGE_M]).ravel() + design.sill_chainage_m
    ends = ends % line.length_m if line.closed else ends.clip(0.0, line.length_m)
    edges = np.unique(np.concatenate([[0.0, line.length_m], ends]))
    on_sill = design.from_sill_m(edges) < half_m
    level = np.where(on_sill, design.shape.sill_level_m, design.shape.crest_level_m)
    paper.line(edges, level, color=palette.INK, lw=1.0, zorder=2)


def _draw_points(part: str, profile: BuiltProfile, paper: _Paper) -> None:
    """Surveyed points, many as dots."""
    marker, face = _MARKERS[part]
    many = profile.count > _MANY
    paper.line(
        profile.chainage_m, profile.height_m, ls="", marker="." if many else marker, markersize=2.0 if many else 4.5,
        markerfacecolor=palette.INK if many else face, markeredgecolor=palette.INK, markeredgewidth=0.7, zorder=4,
        label=f"{part}, surveyed", rasterized=many, clip_on=False,
    )  # fmt: skip


def _set_limits(built: AsBuilt, paper: _Paper) -> None:
    """All levels in view, with room for lettering."""
    shape, line = built.design.shape, built.design.line
    levels = [part.height_m for part in built.parts.values()]
    heights = np.concatenate([*levels, line.ground_m, [shape.floor_level_m, shape.crest_level_m]])
    low, high = float(heights.min()), float(heights.max())
    room = _ROOM * (high - low)
    paper.axes.set_xlim(0.0, paper.factor * line.length_m)
    paper.axes.set_ylim(paper.factor * (low - 1.5 * room), paper.factor * (high + 1.5 * room))


def _fill_spot(built: AsBuilt, spot: Spot, paper: _Paper) -> None:
    """Dark between design and survey; a ring round a point that stands alone."""
    design, profile = built.design, built.parts[spot.part]
    stop_m = spot.start_m + spot.length_m
    along, departure = profile.between(spot.start_m, stop_m)
    level = _design_level(design, spot.part, along)
    if spot.length_m == 0.0:
        paper.line(
            along, level + departure, ls="", marker="o", markersize=11.0, markerfacecolor="none",
            markeredgecolor=palette.FAILS, markeredgewidth=1.4, zorder=5, clip_on=False,
        )  # fmt: skip
    for turn_m in (0.0, design.line.length_m) if stop_m > design.line.length_m else (0.0,):
        paper.axes.fill_between(
            paper.factor * (along - turn_m), paper.factor * level, paper.factor * (level + departure),
            facecolor=palette.FAILS, edgecolor=palette.INK, hatch="////", linewidth=0.6, zorder=3,
        )  # fmt: skip


def _letter_spots(built: AsBuilt, paper: _Paper) -> None:
    """Depth and chainages of the spots: those of the crest above it, of the floor below; the worst where room lacks."""
    for above, spots in groupby(built.spots, key=lambda spot: spot.part != "floor"):
        taken: list[tuple[float, float]] = []
        for spot in sorted(spots, key=lambda spot: -spot.greatest_m):
            _letter_spot(built, spot, paper, above=above, taken=taken)


def _letter_spot(built: AsBuilt, spot: Spot, paper: _Paper, *, above: bool, taken: list[tuple[float, float]]) -> None:
    """Letter one spot beside those that are lettered already, if it has room."""
    length_m = built.design.line.length_m
    middle_m = (spot.start_m + spot.length_m / 2.0) % length_m
    words = _words(spot, paper.units)
    width_mm = max(text_width_mm(line, _SIZE_PT) for line in words) + _GAP_MM
    half_m = length_m * width_mm / size_mm(paper.axes)[0] / 2.0
    middle_m = float(np.clip(middle_m, half_m, max(length_m - half_m, half_m)))
    if any(middle_m + half_m > start and middle_m - half_m < stop for start, stop in taken):
        return
    taken.append((middle_m - half_m, middle_m + half_m))
    heights = built.parts[spot.part].height_m
    shape = built.design.shape
    edge_m = max(shape.crest_level_m, float(heights.max())) if above else min(shape.floor_level_m, float(heights.min()))
    paper.write("\n".join(words), middle_m, edge_m, above=above)


def _words(spot: Spot, units: str) -> tuple[str, str]:
    """How far out, and from where to where."""
    by = shown(spot.greatest_m, "m", units=units, decimals=2)
    start, stop = (shown(chainage_m, "m", units=units, decimals=1) for chainage_m in (spot.start_m, spot.stop_m))
    where = f"at {start}" if spot.length_m == 0.0 else f"{start.split(' ')[0]} to {stop}"
    return f"{spot.part} {by} {spot.kind}", where


def _mark_unchecked(built: AsBuilt, paper: _Paper) -> None:
    """A bar with ends along each stretch without a point."""
    length_m, label = built.design.line.length_m, "without a point"
    for stretch in built.unchecked:
        over = stretch.stop_m < stretch.start_m
        pieces = [(stretch.start_m, length_m), (0.0, stretch.stop_m)] if over else [(stretch.start_m, stretch.stop_m)]
        for ends in map(np.array, pieces):
            paper.line(
                ends, _design_level(built.design, stretch.part, ends), color=palette.QUIET_INK, lw=3.2, alpha=0.55,
                marker="|", markersize=9.0, markeredgewidth=1.4, zorder=1.5, clip_on=False, label=label,
            )  # fmt: skip
            label = ""


def _design_level(design: LaidSwale, part: str, chainage_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Level of a part as designed at given chainages [m]."""
    shape = design.shape
    if part == "floor":
        return design.line.at(design.floor_m, chainage_m)
    return np.full(chainage_m.shape, shape.crest_level_m if part == "crest" else shape.sill_level_m)


def _frame(design: LaidSwale, paper: _Paper) -> None:
    """Axis names with the exaggeration of heights, ticks and legend."""
    axes = paper.axes
    (width_mm, height_mm), (left, right), (low, high) = size_mm(axes), axes.get_xlim(), axes.get_ylim()
    times = (height_mm / (high - low)) / (width_mm / (right - left))
    across = f"Chainage along {design.id} [{paper.unit}]; heights drawn {times:.2g} times larger"
    dress(axes, across, f"Height [{paper.unit}]")
    axes.yaxis.set_major_formatter(ScalarFormatter(useOffset=False))
    legend_above(axes, side="left", ncols=4, columnspacing=1.4, handlelength=2.2)
