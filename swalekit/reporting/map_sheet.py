"""A map on a sheet of paper, at a true round scale."""

from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from swalekit._checks import check_one_of
from swalekit.reporting.map import draw_map
from swalekit.reporting.map_content import MapContent, MapLine
from swalekit.reporting.map_furniture import draw_grid
from swalekit.reporting.map_panel import Panel, draw_panel
from swalekit.reporting.map_view import MapView, centre_on, round_scale
from swalekit.reporting.palette import INK, PAPER, PRINT_STYLE
from swalekit.reporting.relief import GREATEST_SIDE, reference_contours, relief_exaggeration, terrain_in_view
from swalekit.units import METRES_PER_FOOT

__all__ = ["PAPERS_MM", "MapContent", "MapLine", "map_sheet"]

PAPERS_MM = {
    "A4": (297.0, 210.0),
    "A3": (420.0, 297.0),
    "A2": (594.0, 420.0),
    "A1": (841.0, 594.0),
    "tabloid": (431.8, 279.4),
}
"""Width and height of the sheets, landscape [mm]; tabloid is 17 × 11 inches."""

_EDGE_MM = 7.0  # from the paper's edge to the neat line
_PAD_MM = 4.5  # from the neat line to the map and the panel
_TICK_MM = 5.5  # left of and below the map, for coordinates
_SITE_MARGIN_MM = 4.0


def map_sheet(content: MapContent, *, paper: str = "A3") -> Figure:
    """Draw a map with title, totals, table of lines, cautions, legend and scale on one landscape sheet.

    Parameters
    ----------
    content : MapContent
        What the sheet shows.
    paper : str
        ``A4``, ``A3``, ``A2``, ``A1`` or ``tabloid``.

    Returns
    -------
    Figure
        The sheet in its true size: printed without fitting to the page, the scale holds.

    Raises
    ------
    InputError
        If the paper is unknown.

    Notes
    -----
    The scale is the largest round one at which the site fits the frame with a margin of 4 mm.

    Examples
    --------
    >>> import numpy as np
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain.terrain import Terrain
    >>> slope = np.add.outer(np.arange(30.0), np.zeros(40))
    >>> hillside = Terrain.from_heights(slope, Grid.from_corner((30, 40), cell_m=2.0))
    >>> sheet = map_sheet(MapContent("Upper field", hillside))
    >>> print((sheet.get_size_inches() * 25.4).round())
    [420. 297.]
    """
    check_one_of(tuple(PAPERS_MM), paper=paper)
    width_mm, height_mm = PAPERS_MM[paper]
    panel_mm = min(max(0.25 * width_mm, 86.0), 130.0)
    left, bottom, clear = _EDGE_MM + _TICK_MM, _EDGE_MM + _TICK_MM, _EDGE_MM + _PAD_MM
    frame = (left, bottom, width_mm - left - panel_mm - _PAD_MM - clear, height_mm - bottom - clear)
    panel = (width_mm - clear - panel_mm, clear, panel_mm, height_mm - 2 * clear)
    with rc_context(PRINT_STYLE):
        figure = Figure(figsize=(width_mm / 25.4, height_mm / 25.4), facecolor=PAPER)
        FigureCanvasAgg(figure)
        view = _draw_framed_map(content, figure, frame)
        axes = figure.add_axes(_fractions(panel, figure))
        draw_panel(content, view, Panel(axes, *panel[2:]), notes=_map_notes(content, view))
        _draw_neat_line(figure)
    return figure


def _draw_framed_map(content: MapContent, figure: Figure, frame_mm: tuple[float, float, float, float]) -> MapView:
    """Draw the map in its frame, at a round scale; returns what it shows."""
    axes = figure.add_axes(_fractions(frame_mm, figure))
    free_mm = (frame_mm[2] - 2 * _SITE_MARGIN_MM, frame_mm[3] - 2 * _SITE_MARGIN_MM)
    scale = round_scale(content.framed_bounds, free_mm, units=content.units)
    ground = {"width_m": frame_mm[2] / 1000 * scale, "height_m": frame_mm[3] / 1000 * scale}
    centre_on(axes, content.framed_bounds, **ground)
    draw_map(content, axes)
    view = MapView.of_axes(axes)
    draw_grid(view, axes)
    for spine in axes.spines.values():
        spine.set(linewidth=0.9, edgecolor=INK, zorder=20)
    return view


def _map_notes(content: MapContent, view: MapView) -> list[str]:
    """How the ground was drawn, and the coordinate system."""
    crs = f"Grid: {content.terrain.grid.crs.name}, metres; north is grid north."
    ground = terrain_in_view(content.terrain, view, greatest_side=GREATEST_SIDE)
    interval_m, contours = reference_contours(content.terrain, view, units=content.units)
    if ground is None or not contours:
        return [crs]
    interval = f"{interval_m / METRES_PER_FOOT:.4g} ft" if content.units == "us" else f"{interval_m:.4g} m"
    lit = f"Relief lit from the north-west, heights × {relief_exaggeration(ground):g}."
    return [f"Grey contours every {interval}, for orientation only. {lit}", crs]


def _draw_neat_line(figure: Figure) -> None:
    """A frame round the sheet."""
    left, bottom, _, _ = _fractions((_EDGE_MM, _EDGE_MM, 0, 0), figure)
    frame = Rectangle((left, bottom), 1 - 2 * left, 1 - 2 * bottom, fill=False, edgecolor=INK, linewidth=1.2)
    frame.set_transform(figure.transFigure)
    figure.add_artist(frame)


def _fractions(box_mm: tuple[float, float, float, float], figure: Figure) -> tuple[float, float, float, float]:
    """Left, bottom, width and height as parts of the figure, from millimetres."""
    width, height = figure.get_size_inches() * 25.4
    left, bottom, across, up = box_mm
    return left / width, bottom / height, across / width, up / height
