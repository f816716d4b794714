"""Options side by side: soil dug against storm held."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from swalekit._checks import check_not_negative, check_one_of
from swalekit.errors import InputError
from swalekit.reporting import palette
from swalekit.reporting.label_placement import Label, place_labels, spots_around
from swalekit.reporting.lettering import FONT_FAMILY, font, halo, shorten, text_width_mm
from swalekit.units import to_us

_LABEL_PT = 8.0
_LONGEST_MM = 40.0
_MARK_PT = 7.0
_POINTS_PER_MM = 72 / 25.4


@dataclass(frozen=True)
class OptionPoint:
    """One layout in a comparison.

    Parameters
    ----------
    label : str
        Name.
    dug_m3 : float
        Soil dug [m³].
    held_storm_mm : float
        Deepest storm that leaves no line spilling [mm].
    cost : float or None
        Cost of the earthwork [currency]; None where no rates are known.
    meets : bool
        Whether it holds the design storm.
    cheapest : bool
        Whether it is the cheapest of those that do.

    Raises
    ------
    InputError
        If a figure is negative or not finite, or the cheapest doesn't hold.
    """

    label: str
    dug_m3: float
    held_storm_mm: float
    cost: float | None
    meets: bool
    cheapest: bool = False

    def __post_init__(self) -> None:
        check_not_negative(dug_m3=self.dug_m3, held_storm_mm=self.held_storm_mm, cost=self.cost or 0.0)
        if self.cheapest and not self.meets:
            message = f"option '{self.label}' is marked cheapest but doesn't hold the design storm; mark one that does"
            raise InputError(message)


def draw_comparison(
    points: Sequence[OptionPoint], design_storm_mm: float, axes: Axes, *, units: str = "metric"
) -> Axes:
    """Draw soil dug against storm held, with the design storm as a line.

    Parameters
    ----------
    points : sequence of OptionPoint
        The options.
    design_storm_mm : float
        Storm that a layout should hold [mm].
    axes : Axes
        Where to draw; give the figure its size first, labels are placed for it.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> options = [OptionPoint("fall 1.5 m", 900.0, 71.0, 6000.0, meets=True, cheapest=True)]
    >>> draw_comparison(options, 60.0, Figure().subplots()).get_xlabel()
    'Soil dug [m³]'
    """
    check_one_of(("metric", "us"), units=units)
    dug = np.array([_shown(point.dug_m3, "m3", units) for point in points], np.float64)
    held = np.array([_shown(point.held_storm_mm, "mm", units) for point in points], np.float64)
    design = _shown(design_storm_mm, "mm", units)
    volume, depth = ("yd³", "in") if units == "us" else ("m³", "mm")
    axes.set_xlim(0, 1.18 * max([*dug, 1e-9]) if len(dug) else 1)
    axes.set_ylim(0, 1.18 * max([*held, design]))
    axes.set_xlabel(f"Soil dug [{volume}]", **font(9))
    axes.set_ylabel(f"Storm held [{depth}]", **font(9))
    axes.axhspan(0, design, color=palette.PANEL_STRIPE, zorder=0)
    axes.axhline(design, color=palette.INK, linewidth=1.0, linestyle=(0, (5, 2)), zorder=1)
    for point, x, y in zip(points, dug, held, strict=True):
        axes.plot(
            [x], [y], linestyle="none", zorder=3, clip_on=False, **_mark(meets=point.meets, cheapest=point.cheapest)
        )
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=_LABEL_PT, labelfontfamily=FONT_FAMILY)
    _explain(points, axes)
    _letter(points, np.column_stack([dug, held]), (design, f"design storm {design:.3g} {depth}"), axes)
    return axes


def _shown(value: float, unit: str, units: str) -> float:
    """Value in the reader's units."""
    return to_us(value, unit)[0] if units == "us" else value


def _mark(*, meets: bool, cheapest: bool) -> dict[str, Any]:
    """Star for the cheapest that holds, full dot for what holds, open dot for what doesn't."""
    if cheapest:
        return {"marker": "*", "markersize": 15, "markerfacecolor": palette.SWALE, "markeredgecolor": palette.INK}
    if meets:
        return {"marker": "o", "markersize": _MARK_PT, "color": palette.HOLDS}
    face, edge = palette.PAPER, palette.FAILS
    return {
        "marker": "o",
        "markersize": _MARK_PT,
        "markerfacecolor": face,
        "markeredgecolor": edge,
        "markeredgewidth": 1.6,
    }


def _letter(points: Sequence[OptionPoint], at: Any, design: tuple[float, str], axes: Axes) -> None:
    """Name every option beside its mark and the design storm on its line, clear of one another."""
    frame = axes.get_window_extent()
    size_pt = np.array([frame.width, frame.height]) / axes.figure.dpi * 72
    extent = np.array([axes.get_xlim()[1], axes.get_ylim()[1]])
    at_pt = at / extent * size_pt
    level_pt = design[0] / extent[1] * size_pt[1]
    words = [(design[1], "normal"), *((_name(point), "bold" if point.cheapest else "normal") for point in points)]
    sizes = [(text_width_mm(text, _LABEL_PT, weight) * _POINTS_PER_MM + 3, _LABEL_PT + 2) for text, weight in words]
    boxes = [(x, y, x, y) for x, y in at_pt]
    labels = [Label(*sizes[0], spots_around((0.0, level_pt, 0.0, level_pt), *sizes[0])[4:])]
    labels += [
        Label(*size, spots_around(box, *size, gap_pt=_MARK_PT)) for box, size in zip(boxes, sizes[1:], strict=True)
    ]
    spots = place_labels(
        labels,
        shapely.box(0, 0, *size_pt),
        taken=[shapely.Point(x, y).buffer(_MARK_PT * 0.7) for x, y in at_pt],
        crossed=[shapely.LineString([(0, level_pt), (size_pt[0], level_pt)])],
    )
    for (text, weight), spot in zip(words, spots, strict=True):
        if spot is not None:
            x, y = np.array([spot.x_pt, spot.y_pt]) / size_pt * extent
            style: dict[str, Any] = {
                "ha": "center",
                "va": "center_baseline",
                "color": palette.INK,
                "path_effects": halo(),
                "zorder": 5,
            }
            axes.text(x, y, text, **style, **font(_LABEL_PT, weight))


def _name(point: OptionPoint) -> str:
    """Label and cost of an option, as lettered beside its mark."""
    label = shorten(point.label, _LONGEST_MM, _LABEL_PT)
    return label if point.cost is None else f"{label} · {point.cost:,.0f}"


def _explain(points: Sequence[OptionPoint], axes: Axes) -> None:
    """Legend of the marks that occur, above the chart."""
    meanings = ((True, True, "cheapest that holds"), (True, False, "holds"), (False, False, "falls short"))
    occurring = {(point.meets, point.cheapest) for point in points}
    samples = [
        Line2D([], [], linestyle="none", label=meaning, **_mark(meets=meets, cheapest=cheapest))
        for meets, cheapest, meaning in meanings
        if (meets, cheapest) in occurring
    ]
    title = "Option · cost" if any(point.cost is not None for point in points) else None
    if samples:
        legend = axes.legend(
            handles=samples, title=title, loc="lower right", bbox_to_anchor=(1, 1), ncols=3, frameon=False,
            prop={"family": FONT_FAMILY, "size": _LABEL_PT}, alignment="left", borderaxespad=0,
        )  # fmt: skip
        legend.get_title().set(fontfamily=FONT_FAMILY, fontsize=_LABEL_PT)
