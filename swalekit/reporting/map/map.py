"""The map itself, without the sheet round it."""

from matplotlib.axes import Axes

from swalekit.reporting.map import layers as map_layers
from swalekit.reporting.map.bund_marks import draw_bunds
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.labels import draw_labels
from swalekit.reporting.map.plant_marks import draw_planting
from swalekit.reporting.map.relief import (
    GREATEST_SIDE,
    draw_contours,
    draw_relief,
    reference_contours,
    terrain_in_view,
)
from swalekit.reporting.map.view import MapView, frame_axes
from swalekit.reporting.paper.lettering import LEAST_SIZE_PT
from swalekit.reporting.paper.palette import PAPER, VOID


def draw_map(content: MapContent, axes: Axes, *, relief: bool = True, least_pt: float = LEAST_SIZE_PT) -> Axes:
    """Draw a map of level lines over shaded relief.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw. Axes whose limits were set keep them; others are framed on the site.
    relief : bool
        Whether to shade the ground; else the map stands on plain paper.
    least_pt : float
        Smallest lettering [pt].

    Returns
    -------
    Axes
        The same axes.

    Notes
    -----
    Lettering is placed for the size the axes have now: give the figure its size first.

    Examples
    --------
    >>> import numpy as np
    >>> from matplotlib.figure import Figure
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain.terrain import Terrain
    >>> slope = np.add.outer(np.arange(30.0), np.zeros(40))
    >>> hillside = Terrain.from_heights(slope, Grid.from_corner((30, 40), cell_m=2.0))
    >>> axes = draw_map(MapContent("Upper field", hillside), Figure().subplots())
    >>> axes.get_aspect()
    1.0
    """
    if axes.get_autoscalex_on() and axes.get_autoscaley_on():
        frame_axes(axes, content.framed_bounds)
    axes.set_aspect("equal", adjustable="box")
    axes.apply_aspect()
    axes.set_facecolor(VOID if relief else PAPER)
    view = MapView.of_axes(axes)
    ground = terrain_in_view(content.terrain, view, greatest_side=GREATEST_SIDE) if relief else None
    if ground is not None:
        draw_relief(ground, axes)
    axes.set(xlim=(view.west_m, view.east_m), ylim=(view.south_m, view.north_m))
    _, contours = reference_contours(content.terrain, view, units=content.units)
    map_layers.draw_catchments(content, axes)
    draw_contours(contours, axes)
    map_layers.draw_boundary(content, view, axes)
    map_layers.draw_water(content, axes)
    map_layers.draw_keep_outs(content, axes)
    map_layers.draw_refused(content, axes)
    map_layers.draw_bands(content, axes)
    if content.bunds is not None:
        draw_bunds(content.bunds, view, axes)
    map_layers.draw_lines(content, axes)
    map_layers.draw_roadways(content, axes)
    map_layers.draw_failure(content, view, axes)
    map_layers.draw_sills(content, view, axes)
    if content.planting is not None:
        draw_planting(content.planting, axes)
    draw_labels(content, contours, view, axes, least_pt=least_pt)
    axes.ticklabel_format(style="plain", useOffset=False)
    return axes
