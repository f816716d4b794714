"""Options on a chart: their marks, what these mean, and the lettering beside them."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from numpy.typing import NDArray

from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import legend_above, size_mm
from swalekit.reporting.paper.label_placement import Label, place_labels, spots_around
from swalekit.reporting.paper.lettering import font, halo, text_width_mm, wrap

_SIZE_PT = 8.0
_MARK_PT, _SMALL_MARK_PT = 7.0, 4.0
_POINTS_PER_MM = 72 / 25.4
_CLEAR_PT = {False: (3.0, 2.0, 7.0, 4.9), True: (2.0, 1.0, 9.1, 4.2)}
"""Beside and above a name, from it to its mark, and round every mark; names that may be left out stand tighter."""
_MEANINGS = {
    (True, True, False): "recommended",
    (True, False, False): "keeps all limits",
    (False, False, False): "breaks a limit",
    (True, False, True): "keeps all, outdone",
    (False, False, True): "breaks one, outdone",
}
"""What marks mean, by whether an option keeps all limits, is recommended, and is dominated: outdone."""


def mark_of(keeps: bool, recommended: bool, dominated: bool) -> dict[str, Any]:
    """Star for the recommended one, full dot for what keeps all limits, open dot for what doesn't, small if dominated.

    Parameters
    ----------
    keeps : bool
        Whether the option holds the design storm and keeps all other limits.
    recommended : bool
        Whether it is the recommended one.
    dominated : bool
        Whether another option outdoes it.

    Returns
    -------
    dict
        Style of a line of matplotlib.

    Examples
    --------
    >>> mark_of(True, True, False)["marker"], mark_of(False, False, True)["markersize"]
    ('*', 4.0)
    """
    if recommended:
        faces = {"markerfacecolor": palette.SWALE, "markeredgecolor": palette.INK}
        return {"marker": "*", "markersize": 15, "zorder": 3.2, **faces}
    color = palette.HOLDS if keeps else palette.FAILS
    return {
        "marker": "o",
        "markersize": _SMALL_MARK_PT if dominated else _MARK_PT,
        "markerfacecolor": color if keeps else palette.PAPER,
        "markeredgecolor": color,
        "markeredgewidth": 0.9 if dominated else 1.6,
        "alpha": 0.6 if dominated else 1.0,
        "zorder": 2.8 if dominated else 3.0,
    }


def explain_marks(occurring: Iterable[tuple[bool, bool, bool]], axes: Axes) -> None:
    """Set a legend of the marks that occur above the chart; none where nothing is marked.

    Parameters
    ----------
    occurring : iterable of (bool, bool, bool)
        Whether each option keeps all limits, is recommended, and is dominated, as `mark_of` takes it.
    axes : Axes
        The chart.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().subplots()
    >>> explain_marks([(True, False, False), (True, True, False), (True, False, False)], axes)
    >>> [text.get_text() for text in axes.get_legend().get_texts()]
    ['recommended', 'keeps all limits']
    """
    kinds = set(occurring)
    samples = [
        Line2D([], [], linestyle="none", label=meaning, **mark_of(*kind))
        for kind, meaning in _MEANINGS.items()
        if kind in kinds
    ]
    if samples:
        legend_above(axes, side="right", handles=samples, ncols=len(samples), borderaxespad=0)


def letter_marks(
    names: Sequence[tuple[str, str]],
    at: NDArray[np.float64],
    axes: Axes,
    *,
    level: tuple[float, str] | None = None,
    optional: bool = False,
) -> None:
    """Name marks beside them, clear of one another and of all marks.

    Parameters
    ----------
    names : sequence of (str, str)
        Words for each mark, '' for none, and their weight.
    at : ndarray of float64, shape (n, 2)
        Places of the marks, as the axes count.
    axes : Axes
        Where to write, in their final size and limits.
    level : tuple of (float, str), optional
        A line across the axes and its name, which is set first.
    optional : bool
        Whether a name is left out rather than laid over something.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().add_subplot(xlim=(0.0, 10.0), ylim=(0.0, 10.0))
    >>> letter_marks([("fall 3 m", "bold"), ("", "normal")], np.array([[2.0, 5.0], [8.0, 5.0]]), axes)
    >>> [text.get_text() for text in axes.texts]
    ['fall 3 m']
    """
    size_pt = np.array(size_mm(axes)) * _POINTS_PER_MM
    (left, right), (bottom, top) = axes.get_xlim(), axes.get_ylim()
    origin, pt_per_unit = np.array([left, bottom]), size_pt / (right - left, top - bottom)
    at_pt = (at - origin) * pt_per_unit
    beside_pt, above_pt, gap_pt, round_pt = _CLEAR_PT[optional]
    words, labels, crossed = [], [], []

    def size_of(text: str, weight: str) -> tuple[float, float]:
        return text_width_mm(text, _SIZE_PT, weight) * _POINTS_PER_MM + beside_pt, _SIZE_PT + above_pt

    if level is not None:
        level_pt, size = (level[0] - bottom) * pt_per_unit[1], size_of(level[1], "normal")
        words.append((level[1], "normal"))
        labels.append(Label(*size, spots_around((0.0, level_pt, 0.0, level_pt), *size)[4:]))
        crossed.append(shapely.LineString([(0, level_pt), (size_pt[0], level_pt)]))
    for (text, weight), (x, y) in zip(names, at_pt, strict=True):
        if text:
            size = size_of(text, weight)
            words.append((text, weight))
            labels.append(Label(*size, spots_around((x, y, x, y), *size, gap_pt=gap_pt), optional))
    taken = [shapely.Point(x, y).buffer(round_pt) for x, y in at_pt]
    spots = place_labels(labels, shapely.box(0, 0, *size_pt), taken=taken, crossed=crossed)
    style: dict[str, Any] = {"ha": "center", "va": "center_baseline", "color": palette.INK, "zorder": 5}
    for (text, weight), spot in zip(words, spots, strict=True):
        if spot is not None:
            x, y = np.array([spot.x_pt, spot.y_pt]) / pt_per_unit + origin
            axes.text(x, y, text, path_effects=halo(), **style, **font(_SIZE_PT, weight))


def label_lines(label: str, width_mm: float, size_pt: float, weight: str = "normal") -> list[str]:
    """An option's words in lines that fit a width, broken between values where that can be.

    Parameters
    ----------
    label : str
        What sets the option apart: values with commas between them.
    width_mm : float
        Width of a line [mm].
    size_pt : float
        Size of the lettering [pt].
    weight : str
        ``normal`` or ``bold``.

    Returns
    -------
    list of str
        The lines; one at least.

    Examples
    --------
    >>> label_lines("spacing 35 m, bottom 0.8 m, depth to 1.2 m", 45.0, 7.0)
    ['spacing 35 m, bottom 0.8 m,', 'depth to 1.2 m']
    """
    lines = [""]
    *listed, last = label.split(", ")
    for part in (*(f"{value}," for value in listed), last):
        longer = f"{lines[-1]} {part}".strip()
        if text_width_mm(longer, size_pt, weight) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(part)
    return [short for line in lines if line for short in wrap(line, width_mm, size_pt, weight)] or [""]
