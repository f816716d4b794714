"""Axes of a chart: where it is drawn unless axes are given, and what all charts share in dress, units and title."""

from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit._checks import check_one_of
from swalekit.reporting.paper.lettering import FONT_FAMILY, font, halo
from swalekit.reporting.paper.palette import INK, PAPER
from swalekit.reporting.paper.save import picture_of
from swalekit.reporting.words.shown import unit_name
from swalekit.units import to_us

WIDTH_MM = 190.0
"""Width of the axes of a drawing."""
ABOVE_LEGEND_PT = 20.0
"""From axes to a title that stands above a legend."""

_MM_PER_IN = 25.4
_LEGEND_PT = 8.0


class CellAxes(Axes):
    """Axes that a notebook shows as a picture of their whole figure."""

    def _repr_png_(self) -> tuple[bytes, dict[str, int]]:
        return picture_of(self)


def axes_in_cell(
    ax: Axes | None,
    height_mm: float,
    *,
    width_mm: float = WIDTH_MM,
    margins_mm: tuple[float, float, float, float],
) -> Axes:
    """The axes given, or new ones of a size, on a figure of their own.

    Parameters
    ----------
    ax : Axes or None
        Axes to draw on, taken as they are.
    height_mm, width_mm : float
        Size of new axes [mm].
    margins_mm : tuple of float
        Left of, below, right of and above them [mm].

    Returns
    -------
    Axes
        Where to draw.

    Examples
    --------
    >>> print((axes_in_cell(None, 100.0, margins_mm=(17.0, 13.0, 6.0, 9.0)).figure.get_size_inches() * 25.4).round())
    [213. 122.]
    """
    if ax is not None:
        return ax
    left, bottom, right, top = margins_mm
    across, up = left + width_mm + right, bottom + height_mm + top
    figure = Figure(figsize=(across / _MM_PER_IN, up / _MM_PER_IN), facecolor=PAPER)
    box = (left / across, bottom / up, width_mm / across, height_mm / up)
    return figure.add_axes(box, axes_class=CellAxes)


def size_mm(axes: Axes) -> tuple[float, float]:
    """Width and height of axes on paper [mm].

    Parameters
    ----------
    axes : Axes
        Axes on a figure.

    Returns
    -------
    tuple of float
        Width and height [mm].

    Examples
    --------
    >>> [round(side) for side in size_mm(axes_in_cell(None, 100.0, margins_mm=(17.0, 13.0, 6.0, 9.0)))]
    [190, 100]
    """
    box, dots_per_mm = axes.get_window_extent(), axes.figure.dpi / _MM_PER_IN
    return float(box.width / dots_per_mm), float(box.height / dots_per_mm)


def scale(unit: str, *, units: str) -> tuple[float, str]:
    """How much of the reader's unit one of an SI unit is, and the name of the reader's.

    Parameters
    ----------
    unit : str
        SI unit, as `swalekit.units.to_us` knows it.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    float
        Factor from the SI unit to the reader's.
    str
        Name of the reader's unit.

    Raises
    ------
    InputError
        If the units are unknown.

    Examples
    --------
    >>> scale("m3", units="metric"), scale("mm", units="us")
    ((1.0, 'm³'), (0.03937007874015748, 'in'))
    """
    check_one_of(("metric", "us"), units=units)
    return to_us(1.0, unit)[0] if units == "us" else 1.0, unit_name(unit, units=units)


def title(axes: Axes, words: str, *, above_pt: float = 6.0, size_pt: float = 11.0) -> Axes:
    """Set a title above the left edge of axes, in place of any there, plain characters only.

    Parameters
    ----------
    axes : Axes
        Where to set it.
    words : str
        The title.
    above_pt : float
        From axes to title [pt].
    size_pt : float
        Size of the lettering [pt].

    Returns
    -------
    Axes
        Those given.

    Examples
    --------
    >>> title(Figure().subplots(), "Soil & $water$").get_title(loc="left")
    'Soil & $water$'
    """
    axes.set_title(words, loc="left", pad=above_pt, **font(size_pt))
    return axes


def dress(axes: Axes, across: str = "", up: str = "", *, size_pt: float = 9.0) -> Axes:
    """Name the axes of a chart, letter its ticks a point smaller, and leave out the frame above and on the right.

    Parameters
    ----------
    axes : Axes
        Axes of a chart.
    across, up : str
        Names of the horizontal and of the vertical axis.
    size_pt : float
        Size of the names [pt].

    Returns
    -------
    Axes
        Those given.

    Examples
    --------
    >>> axes = dress(Figure().subplots(), "Time [h]", "Rain [mm]")
    >>> axes.get_xlabel(), axes.spines["top"].get_visible()
    ('Time [h]', False)
    """
    axes.set_xlabel(across, **font(size_pt))
    axes.set_ylabel(up, **font(size_pt))
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=size_pt - 1.0, labelfontfamily=FONT_FAMILY)
    return axes


def legend_above(axes: Axes, *, side: str, **style: Any) -> Axes:
    """Set the legend of a chart above its left or right corner.

    Parameters
    ----------
    axes : Axes
        Axes of a chart whose marks bear labels.
    side : str
        ``left`` or ``right``.
    **style
        Further arguments of matplotlib's `Axes.legend`, which go before those of the house.

    Returns
    -------
    Axes
        Those given.

    Examples
    --------
    >>> axes = Figure().subplots()
    >>> _ = axes.plot([0.0, 1.0], label="runoff")
    >>> [text.get_text() for text in legend_above(axes, side="right").get_legend().get_texts()]
    ['runoff']
    """
    style = {"borderaxespad": 0.2, "frameon": False, "prop": {"family": FONT_FAMILY, "size": _LEGEND_PT}} | style
    axes.legend(loc=f"lower {side}", bbox_to_anchor=(side == "right", 1), **style)
    return axes


def note(
    axes: Axes, words: str, at: tuple[float, float], offset_pt: tuple[float, float], size_pt: float, **style: Any
) -> None:
    """Letter a place on axes, as far right of and above it as an offset says [pt], on that side of it.

    Parameters
    ----------
    axes : Axes
        Where to letter.
    words : str
        The lettering, plain characters only.
    at : tuple of float
        The place, in the values of the axes.
    offset_pt : tuple of float
        To the right and upward from there to the lettering's nearest edge, negative to the left and downward; where it
        is 0 the lettering is centred on the place [pt].
    size_pt : float
        Size of the lettering [pt].
    **style
        Further arguments of matplotlib's `Axes.annotate`, which go before those of the house.

    Examples
    --------
    >>> axes = Figure().subplots()
    >>> note(axes, "sill", (0.5, 0.5), (3.0, 0.0), 6.5)
    >>> axes.texts[0].get_text(), axes.texts[0].get_horizontalalignment()
    ('sill', 'left')
    """
    right, up = offset_pt
    style = {
        "ha": "left" if right > 0.0 else "right" if right < 0.0 else "center",
        "va": "bottom" if up > 0.0 else "top" if up < 0.0 else "center",
        "color": INK,
        "path_effects": halo(),
        "weight": "normal",
    } | style
    axes.annotate(words, at, offset_pt, textcoords="offset points", **font(size_pt, style.pop("weight")), **style)
