"""A drawing as one cell of a notebook makes it: axes on a figure of their own, which show themselves as a picture."""

import io
import warnings
from typing import Any

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.errors import InputError
from swalekit.reporting.paper.lettering import font
from swalekit.reporting.paper.palette import INK, PAPER, PRINT_STYLE

WIDTH_MM = 190.0
"""Width of the axes of a drawing."""

_DPI, _SHOWN_DPI = 160, 100  # of the picture, and at which it is shown: so it is sharp on a dense screen
_EDGE_IN = 0.08
_TITLE_PT = 11.0
_MM_PER_IN = 25.4


class CellAxes(Axes):
    """Axes that a notebook shows as a picture of their whole figure."""

    def _repr_png_(self) -> tuple[bytes, dict[str, int]]:
        return picture_of(self)


def picture_of(axes: Axes, *, dpi: int = _DPI) -> tuple[bytes, dict[str, int]]:
    """The figure that axes stand on as PNG, and the width and height at which it is shown.

    Parameters
    ----------
    axes : Axes
        Axes whose figure has no window.
    dpi : int
        Dots per inch.

    Returns
    -------
    bytes
        The picture, cropped to what is drawn.
    dict of str to int
        ``width`` and ``height`` [px].

    Raises
    ------
    InputError
        If the axes were taken off their figure.
    """
    figure = axes.get_figure(root=True)
    if figure is None:
        message = "the axes stand on no figure, so they have no picture"
        raise InputError(message)
    with io.BytesIO() as file, rc_context(PRINT_STYLE), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        style: dict[str, Any] = {"dpi": dpi, "bbox_inches": "tight", "pad_inches": _EDGE_IN}
        figure.savefig(file, format="png", metadata={"Software": "swalekit"}, **style)
        picture = file.getvalue()
    sides = (int.from_bytes(picture[start : start + 4], "big") for start in (16, 20))  # of the PNG's first chunk
    width, height = (round(side * _SHOWN_DPI / dpi) for side in sides)
    return picture, {"width": width, "height": height}


def axes_in_cell(
    ax: Axes | None,
    height_mm: float,
    *,
    width_mm: float = WIDTH_MM,
    margins_mm: tuple[float, float, float, float] = (17.0, 13.0, 6.0, 9.0),
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
    >>> print((axes_in_cell(None, 100.0).figure.get_size_inches() * 25.4).round())
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
    """Width and height of axes on paper [mm]."""
    box, dots_per_mm = axes.get_window_extent(), axes.figure.dpi / _MM_PER_IN
    return float(box.width / dots_per_mm), float(box.height / dots_per_mm)


def title(axes: Axes, words: str, *, above_pt: float = 5.0) -> Axes:
    """Set a title above the left edge of axes, plain characters only."""
    axes.set_title(words, loc="left", pad=above_pt, color=INK, **font(_TITLE_PT))
    return axes
