"""Scale bar, north arrow and coordinate grid."""

import math

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Polygon, Rectangle
from numpy.typing import NDArray

from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper.lettering import LEAST_SIZE_PT, font
from swalekit.reporting.paper.palette import INK, PAPER, QUIET_INK
from swalekit.units import METRES_PER_FOOT

_GRID_SPACING_MM = 45.0
_BAR_HEIGHT_MM = 1.6
_LABEL_HALF_MM = 7.0


def round_length(greatest: float) -> float:
    """The largest of 1, 2 or 5 times a power of ten that does not exceed a length.

    Parameters
    ----------
    greatest : float
        A length above zero, in any unit.

    Returns
    -------
    float
        In the same unit.

    Examples
    --------
    >>> round_length(78.0), round_length(0.3)
    (50.0, 0.2)
    """
    decade = 10.0 ** math.floor(math.log10(greatest) + 1e-9)
    return max(step * decade for step in (1.0, 2.0, 5.0) if step * decade <= greatest * (1 + 1e-9))


def draw_scale_bar(
    view: MapView, axes: Axes, *, left_mm: float, top_mm: float, room_mm: float, units: str, size_pt: float = 6.5
) -> Axes:
    """Draw a scale bar of four parts on axes that count in millimetres of paper, downward.

    Parameters
    ----------
    view : MapView
        The map it belongs to.
    axes : Axes
        Where to draw.
    left_mm, top_mm, room_mm : float
        Upper left corner and greatest length [mm].
    units : str
        ``metric`` or ``us``.
    size_pt : float
        Size of the lettering [pt].

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> view, axes = MapView(0.0, 0.0, 200.0, 100.0, points_per_m=72 / 25.4), Figure().subplots()
    >>> axes = draw_scale_bar(view, axes, left_mm=0.0, top_mm=0.0, room_mm=60.0, units="metric")
    >>> [text.get_text() for text in axes.texts]
    ['0', '10', '20', '40 m']
    """
    unit_m, name = (METRES_PER_FOOT, "ft") if units == "us" else (1.0, "m")
    part = round_length(view.metres(room_mm) / unit_m / 4)
    part_mm = part * unit_m / view.metres(1.0)
    for number in range(4):
        face = INK if number % 2 == 0 else PAPER
        corner = (left_mm + number * part_mm, top_mm + 3.4)
        bar = Rectangle(corner, part_mm, _BAR_HEIGHT_MM, facecolor=face, edgecolor=INK, linewidth=0.6)
        axes.add_patch(bar)
    for number in (0, 1, 2, 4):
        text = f"{number * part:.10g}" + (f" {name}" if number == 4 else "")
        at = (left_mm + number * part_mm, top_mm + 2.6)
        axes.text(*at, text, ha="center", va="baseline", color=INK, **font(size_pt))
    return axes


def draw_north_arrow(axes: Axes, *, centre_mm: float, top_mm: float, turn: float = 0.0) -> Axes:
    """Draw an arrow to grid north on axes that count in millimetres of paper, downward.

    Parameters
    ----------
    axes : Axes
        Where to draw.
    centre_mm, top_mm : float
        Middle, and upper end of an arrow that points straight up [mm].
    turn : float
        Clockwise turn of north from straight up [rad].

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = draw_north_arrow(Figure().subplots(), centre_mm=5.0, top_mm=0.0, turn=math.pi / 2)
    >>> [round(float(place), 3) for place in axes.texts[0].get_position()]
    [0.7, 5.4]
    """
    sine, cosine = math.sin(turn), math.cos(turn)
    middle_mm = top_mm + 5.4

    def turned(right_mm: float, down_mm: float) -> tuple[float, float]:
        down_mm -= 5.4
        return centre_mm + cosine * right_mm - sine * down_mm, middle_mm + sine * right_mm + cosine * down_mm

    for side, face in ((-2.2, INK), (2.2, PAPER)):
        corners = [turned(0.0, 0.0), turned(0.0, 6.0), turned(side, 7.7)]
        axes.add_patch(Polygon(corners, closed=True, facecolor=face, edgecolor=INK, linewidth=0.7, joinstyle="miter"))
    lettering = {"ha": "center", "va": "center_baseline", "color": INK, **font(8.5, "bold")}
    axes.text(*turned(0.0, 9.7), "N", rotation=-math.degrees(turn), rotation_mode="anchor", **lettering)
    return axes


def draw_grid(view: MapView, axes: Axes, *, size_pt: float = LEAST_SIZE_PT) -> Axes:
    """Rule a map's frame, tick it with eastings and northings and mark where they meet with small crosses.

    Parameters
    ----------
    view : MapView
        What the axes show.
    axes : Axes
        The map.
    size_pt : float
        Size of the lettering [pt].

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().add_subplot(xlim=(500000.0, 500200.0), ylim=(4000000.0, 4000150.0))
    >>> axes = draw_grid(MapView.of_axes(axes), axes)
    >>> [int(easting) for easting in axes.get_xticks()]
    [500050, 500100, 500150]
    """
    step = round_length(view.metres(_GRID_SPACING_MM) * 1.2)
    clear = view.metres(_LABEL_HALF_MM)
    eastings = multiples(step, view.west_m + clear, view.east_m - clear)
    northings = multiples(step, view.south_m + clear, view.north_m - clear)
    lettering = {"color": QUIET_INK, **font(size_pt)}
    axes.set_xticks(eastings, [grouped(value) for value in eastings], **lettering)
    axes.set_yticks(northings, [grouped(value) for value in northings], rotation=90, va="center", **lettering)
    axes.tick_params(length=2.5, width=0.6, pad=1.5, color=INK, top=True, right=True)
    x, y = (axis.ravel() for axis in np.meshgrid(eastings, northings))
    axes.scatter(x, y, s=22, marker="+", color=QUIET_INK, linewidths=0.45, zorder=3.3)
    return rule_frame(axes)


def rule_frame(axes: Axes) -> Axes:
    """Draw the frame of a map over all that lies in it.

    Parameters
    ----------
    axes : Axes
        The map.

    Returns
    -------
    Axes
        The same axes.
    """
    for spine in axes.spines.values():
        spine.set(linewidth=0.9, edgecolor=INK, zorder=20)
    return axes


def multiples(step: float, low: float, high: float) -> NDArray[np.float64]:
    """Whole multiples of a step between two values.

    Parameters
    ----------
    step : float
        The step, above zero.
    low, high : float
        The values, both taken in.

    Returns
    -------
    ndarray of float64, shape (n,)
        The multiples, rising.

    Examples
    --------
    >>> multiples(25.0, 40.0, 100.0)
    array([ 50.,  75., 100.])
    """
    return np.arange(math.ceil(low / step), math.floor(high / step) + 1, dtype=np.float64) * step


def grouped(value: float) -> str:
    r"""A coordinate with its thousands set apart.

    Parameters
    ----------
    value : float
        Easting or northing [m].

    Returns
    -------
    str
        Whole metres, with thin spaces.

    Examples
    --------
    >>> grouped(4180250.4).split("\u2009")
    ['4', '180', '250']
    """
    return f"{value:,.0f}".replace(",", "\u2009")
