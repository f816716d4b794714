"""A map as one cell of a notebook draws it: framed on the site, with legend, scale and north below."""

from matplotlib.axes import Axes

from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.furniture import draw_grid, draw_north_arrow, draw_scale_bar
from swalekit.reporting.map.legend import draw_legend, legend_height_mm
from swalekit.reporting.map.map import draw_map
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper.axes import WIDTH_MM, axes_in_cell, size_mm, title
from swalekit.reporting.paper.paper import Panel

_LEAST_ASPECT, _GREATEST_ASPECT = 0.35, 1.15
_SCALE_MM = 12.0
_BELOW_MAP_MM = 7.0  # coordinates, and the gap to the legend
_BAR_MM = 60.0
_SIZE_PT = 7.5
_COLUMNS = 4
_ARROW_MM = 12.0  # right of the legend


def draw_content(content: MapContent, ax: Axes | None = None, *, beside_mm: float = 4.0) -> Axes:
    """Draw a map with its title above, and legend, scale bar and north arrow below.

    Parameters
    ----------
    content : MapContent
        What the map shows; table, cautions and credits are left to sheets.
    ax : Axes, optional
        Where to draw; new axes, as wide as a notebook, unless given.
    beside_mm : float
        Room right of new axes [mm].

    Returns
    -------
    Axes
        The map's axes.

    Examples
    --------
    >>> import numpy as np
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain.terrain import Terrain
    >>> slope = np.add.outer(np.arange(30.0), np.zeros(40))
    >>> hillside = Terrain.from_heights(slope, Grid.from_corner((30, 40), cell_m=2.0))
    >>> draw_content(MapContent("Upper field", hillside)).get_title(loc="left")
    'Upper field'
    """
    west, south, east, north = content.framed_bounds
    aspect = min(max((north - south) / (east - west), _LEAST_ASPECT), _GREATEST_ASPECT)
    foot_mm = legend_height_mm(content, columns=_COLUMNS) + _SCALE_MM
    axes = axes_in_cell(ax, WIDTH_MM * aspect, margins_mm=(9.0, foot_mm + _BELOW_MAP_MM + 2.0, beside_mm, 9.0))
    draw_map(content, axes)
    view = MapView.of_axes(axes)
    draw_grid(view, axes)
    _draw_foot(content, view, axes, foot_mm)
    return title(axes, content.title)


def _draw_foot(content: MapContent, view: MapView, axes: Axes, foot_mm: float) -> None:
    """Scale bar and north arrow below a map, then the legend."""
    width_mm, height_mm = size_mm(axes)
    below = axes.inset_axes((0.0, -(_BELOW_MAP_MM + foot_mm) / height_mm, 1.0, foot_mm / height_mm))
    panel = Panel(below, width_mm, foot_mm)
    bar = {"left_mm": 1.5, "top_mm": 0.0, "room_mm": _BAR_MM, "size_pt": _SIZE_PT}
    draw_scale_bar(view, panel.axes, units=content.units, **bar)
    draw_north_arrow(panel.axes, centre_mm=width_mm - _ARROW_MM / 2.0, top_mm=0.5)
    panel.letter(_BAR_MM + 14.0, 5.0, content.subtitle, _SIZE_PT)
    legend = {"top_mm": _SCALE_MM - 1.0, "width_mm": width_mm - _ARROW_MM, "size_pt": _SIZE_PT}
    draw_legend(content, panel.axes, columns=_COLUMNS, **legend)
