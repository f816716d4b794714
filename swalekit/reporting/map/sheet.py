"""A map on a sheet of paper, at a true round scale."""

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.furniture import draw_grid
from swalekit.reporting.map.map import draw_map
from swalekit.reporting.map.panel import draw_panel
from swalekit.reporting.map.relief import GREATEST_SIDE, reference_contours, relief_exaggeration, terrain_in_view
from swalekit.reporting.map.view import MapView, centre_on, round_scale
from swalekit.reporting.paper.lettering import LEAST_SIZE_PT
from swalekit.reporting.paper.paper import EDGE_MM, PAPERS_MM, Panel, axes_on, blank_sheet
from swalekit.units import METRES_PER_FOOT

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
        ``A4``, ``A3``, ``A2``, ``A1``, ``letter`` or ``tabloid``.

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
    figure = blank_sheet(paper)
    width_mm, height_mm = PAPERS_MM[paper]
    panel_mm = min(max(0.25 * width_mm, 86.0), 130.0)
    left, bottom, clear = EDGE_MM + _TICK_MM, EDGE_MM + _TICK_MM, EDGE_MM + _PAD_MM
    frame = (left, bottom, width_mm - left - panel_mm - _PAD_MM - clear, height_mm - bottom - clear)
    panel = (width_mm - clear - panel_mm, clear, panel_mm, height_mm - 2 * clear)
    axes = axes_on(figure, frame)
    view = draw_framed_map(content, axes, frame[2:], margin_mm=_SITE_MARGIN_MM)
    draw_panel(content, view, Panel.on(figure, panel), notes=_map_notes(content, view))
    return figure


def draw_framed_map(
    content: MapContent,
    axes: Axes,
    frame_mm: tuple[float, float],
    *,
    margin_mm: float,
    relief: bool = True,
    least_pt: float = LEAST_SIZE_PT,
) -> MapView:
    """Draw a map with its grid at the largest round scale at which the site fits.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw, in their final size.
    frame_mm : tuple of float
        Their width and height [mm].
    margin_mm : float
        Room left round the site [mm].
    relief : bool
        Whether to shade the ground.
    least_pt : float
        Smallest lettering [pt].

    Returns
    -------
    MapView
        What the map shows.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure(figsize=(200 / 25.4, 150 / 25.4)).add_axes((0.0, 0.0, 1.0, 1.0))
    >>> round(draw_framed_map(content, axes, (200.0, 150.0), margin_mm=4.0).denominator)
    1000
    """
    free_mm = (frame_mm[0] - 2 * margin_mm, frame_mm[1] - 2 * margin_mm)
    scale = round_scale(content.framed_bounds, free_mm, units=content.units)
    centre_on(axes, content.framed_bounds, width_m=frame_mm[0] / 1000 * scale, height_m=frame_mm[1] / 1000 * scale)
    draw_map(content, axes, relief=relief, least_pt=least_pt)
    view = MapView.of_axes(axes)
    draw_grid(view, axes, size_pt=least_pt)
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
