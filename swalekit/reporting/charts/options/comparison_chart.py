"""Options side by side: soil dug against storm held."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.ticker import StrMethodFormatter
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_one_of
from swalekit.errors import InputError
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.label_placement import Label, place_labels, spots_around
from swalekit.reporting.paper.lettering import FONT_FAMILY, font, halo, shorten, text_width_mm
from swalekit.units import to_us

LABEL_PT = 8.0
"""Size of the lettering."""
LONGEST_MM = 40.0
"""Room for the words of an option beside its mark."""
_MARK_PT = 7.0
_SMALL_MARK_PT = 4.0
_POINTS_PER_MM = 72 / 25.4
_MEANINGS = {
    (True, True, False): "cheapest that holds",
    (True, False, False): "holds",
    (False, False, False): "falls short",
    (True, False, True): "holds, outdone",
    (False, False, True): "falls short, outdone",
}
"""What marks mean, by whether an option holds the storm, is the cheapest that does, and is dominated: outdone."""
_MARGIN = 0.14
"""Room around the points, as a share of their spread."""


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
    kept_share : float
        Share of the design storm's water that stays on the site [-].
    meets : bool
        Whether it holds the design storm.
    cheapest : bool
        Whether it is the cheapest of those that do.
    dominated : bool
        Whether another is as good in every respect and better in one.

    Raises
    ------
    InputError
        If a figure is negative or not finite, or the cheapest doesn't hold.
    """

    label: str
    dug_m3: float
    held_storm_mm: float
    cost: float | None
    kept_share: float
    meets: bool
    cheapest: bool = False
    dominated: bool = False

    def __post_init__(self) -> None:
        check_not_negative(
            dug_m3=self.dug_m3, held_storm_mm=self.held_storm_mm, cost=self.cost or 0.0, kept_share=self.kept_share
        )
        if self.cheapest and not self.meets:
            message = f"option '{self.label}' is marked cheapest but doesn't hold the design storm; mark one that does"
            raise InputError(message)


def draw_comparison(
    points: Sequence[OptionPoint],
    design_storm_mm: float,
    axes: Axes,
    *,
    units: str = "metric",
    currency: str = "",
    names: Sequence[str] | None = None,
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
    currency : str
        Currency of the costs.
    names : sequence of str, optional
        Lettering beside each mark, '' for none; label, cost and kept share unless given.

    Returns
    -------
    Axes
        The same axes, framed on the options and the design storm.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> options = [OptionPoint("fall 1.5 m", 900.0, 71.0, 6000.0, 0.8, meets=True, cheapest=True)]
    >>> draw_comparison(options, 60.0, Figure().subplots(), currency="EUR").get_xlabel()
    'Soil dug [m³]'
    """
    check_one_of(("metric", "us"), units=units)
    across = np.array([_shown(point.dug_m3, "m3", units) for point in points], np.float64)
    held = np.array([_shown(point.held_storm_mm, "mm", units) for point in points], np.float64)
    design, depth = _shown(design_storm_mm, "mm", units), "in" if units == "us" else "mm"
    axes.set_xlim(*_framed(across))
    axes.set_ylim(*_framed(np.append(held, design)))
    axes.set_xlabel(f"Soil dug [{'yd³' if units == 'us' else 'm³'}]", **font(9))
    axes.set_ylabel(f"Deepest storm held without spilling [{depth}]", **font(9))
    axes.axhspan(axes.get_ylim()[0], design, color=palette.PANEL_STRIPE, zorder=0)
    axes.axhline(design, color=palette.INK, linewidth=1.0, linestyle=(0, (5, 2)), zorder=1)
    for point, x, y in zip(points, across, held, strict=True):
        axes.plot([x], [y], linestyle="none", **mark_of(point.meets, point.cheapest, point.dominated))
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=LABEL_PT, labelfontfamily=FONT_FAMILY)
    axes.xaxis.set_major_formatter(StrMethodFormatter("{x:,.10g}"))
    explain_marks({(point.meets, point.cheapest, point.dominated) for point in points}, axes)
    lettered = [_name(point, currency) for point in points] if names is None else names
    _letter(points, lettered, np.column_stack([across, held]), (design, f"design storm {design:.3g} {depth}"), axes)
    return axes


def _framed(values: NDArray[np.float64]) -> tuple[float, float]:
    """Limits that leave room round values; about a tenth of the value round a single one."""
    if not values.size:
        return 0.0, 1.0
    low, high = float(values.min()), float(values.max())
    room = max(_MARGIN * (high - low), 0.02 * high, 1e-9)
    return low - room if low > room else 0.0, high + room


def _shown(value: float, unit: str, units: str) -> float:
    """Value in the reader's units."""
    return to_us(value, unit)[0] if units == "us" else value


def mark_of(meets: bool, cheapest: bool, dominated: bool) -> dict[str, Any]:
    """Star for the cheapest that holds, full dot for what holds, open dot for what doesn't, small if dominated."""
    if cheapest:
        faces = {"markerfacecolor": palette.SWALE, "markeredgecolor": palette.INK}
        return {"marker": "*", "markersize": 15, "zorder": 3.2, **faces}
    color = palette.HOLDS if meets else palette.FAILS
    return {
        "marker": "o",
        "markersize": _SMALL_MARK_PT if dominated else _MARK_PT,
        "markerfacecolor": color if meets else palette.PAPER,
        "markeredgecolor": color,
        "markeredgewidth": 0.9 if dominated else 1.6,
        "alpha": 0.6 if dominated else 1.0,
        "zorder": 2.8 if dominated else 3.0,
    }


def _letter(
    points: Sequence[OptionPoint], names: Sequence[str], at: NDArray[np.float64], design: tuple[float, str], axes: Axes
) -> None:
    """Name every option beside its mark and the design storm on its line, clear of one another."""
    frame = axes.get_window_extent()
    size_pt = np.array([frame.width, frame.height]) / axes.figure.dpi * 72
    (left, right), (bottom, top) = axes.get_xlim(), axes.get_ylim()
    origin, pt_per_unit = np.array([left, bottom]), size_pt / (right - left, top - bottom)
    at_pt = (at - origin) * pt_per_unit
    level_pt = (design[0] - bottom) * pt_per_unit[1]
    named = [place for place, name in enumerate(names) if name]
    words = [
        (design[1], "normal"),
        *((names[place], "bold" if points[place].cheapest else "normal") for place in named),
    ]
    sizes = [(text_width_mm(text, LABEL_PT, weight) * _POINTS_PER_MM + 3, LABEL_PT + 2) for text, weight in words]
    boxes = [(x, y, x, y) for x, y in at_pt[named]]
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
            x, y = np.array([spot.x_pt, spot.y_pt]) / pt_per_unit + origin
            style: dict[str, Any] = {
                "ha": "center",
                "va": "center_baseline",
                "color": palette.INK,
                "path_effects": halo(),
                "zorder": 5,
            }
            axes.text(x, y, text, **style, **font(LABEL_PT, weight))


def _name(point: OptionPoint, currency: str) -> str:
    """Option, its cost where it is known, and the share of water it keeps, as lettered beside its mark."""
    cost = "" if point.cost is None else f" · {point.cost:,.0f} {currency}".rstrip()
    return f"{shorten(point.label, LONGEST_MM, LABEL_PT)}{cost} · keeps {100 * point.kept_share:.0f} %"


def explain_marks(occurring: set[tuple[bool, bool, bool]], axes: Axes) -> None:
    """Legend of the marks that occur, above the chart; each as `mark_of` takes it."""
    samples = [
        Line2D([], [], linestyle="none", label=meaning, **mark_of(*kind))
        for kind, meaning in _MEANINGS.items()
        if kind in occurring
    ]
    if samples:
        axes.legend(
            handles=samples, loc="lower right", bbox_to_anchor=(1, 1), ncols=len(samples), frameon=False,
            prop={"family": FONT_FAMILY, "size": LABEL_PT}, borderaxespad=0,
        )  # fmt: skip
