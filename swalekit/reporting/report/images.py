"""The ground and the catchments as images that a page carries in itself."""

import base64
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from math import ceil

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.reporting.map import layers as map_layers
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.relief import draw_contours, draw_relief, reference_contours, terrain_in_view
from swalekit.reporting.map.view import MapView

_LONGER_SIDE_PX = 2000
_DPI = 200
_VIEW_MARGIN, _IMAGE_MARGIN = 0.06, 0.3
"""Ground round the site that is shown at first, and that the images hold, as shares of its longer side."""
_QUALITY = 80

Bounds = tuple[float, float, float, float]
"""West, south, east and north edge [m]."""


@dataclass(frozen=True)
class GroundImage:
    """An image and the ground that it covers.

    Parameters
    ----------
    source : str
        Address with the data in it.
    bounds : tuple of float
        West, south, east and north edge [m].
    """

    source: str
    bounds: Bounds


def shown_bounds(content: MapContent) -> Bounds:
    """What a map shows at first: the site with a margin, no more than the tile.

    Parameters
    ----------
    content : MapContent
        What is on the map.

    Returns
    -------
    tuple of float
        West, south, east and north edge [m].

    Examples
    --------
    >>> west, south, east, north = shown_bounds(content)
    >>> east - west, north - south
    (100.0, 120.0)
    """
    return _bounds(content, _VIEW_MARGIN)


def relief_image(content: MapContent) -> GroundImage:
    """Shaded relief with contours for orientation.

    Parameters
    ----------
    content : MapContent
        What is on the map.

    Returns
    -------
    GroundImage
        The ground of the site with a margin, as WebP.

    Examples
    --------
    >>> relief_image(content).source[:23]
    'data:image/webp;base64,'
    """
    return _image(lambda axes: _draw_ground(content, axes), _bounds(content, _IMAGE_MARGIN))


def catchment_image(content: MapContent) -> GroundImage:
    """Catchments tinted, clear elsewhere.

    Parameters
    ----------
    content : MapContent
        What is on the map.

    Returns
    -------
    GroundImage
        As much ground as `relief_image` shows, as WebP.
    """
    return _image(lambda axes: map_layers.draw_catchments(content, axes), _bounds(content, _IMAGE_MARGIN))


def _bounds(content: MapContent, margin: float) -> Bounds:
    west, south, east, north = content.framed_bounds
    pad = margin * max(east - west, north - south)
    tile_west, tile_south, tile_east, tile_north = content.terrain.grid.bounds
    return (
        max(west - pad, tile_west),
        max(south - pad, tile_south),
        min(east + pad, tile_east),
        min(north + pad, tile_north),
    )


def _draw_ground(content: MapContent, axes: Axes) -> Axes:
    view = MapView.of_axes(axes)
    ground = terrain_in_view(content.terrain, view, greatest_side=_LONGER_SIDE_PX)
    if ground is not None:
        draw_relief(ground, axes)
    draw_contours(reference_contours(content.terrain, view, units=content.units)[1], axes)
    return axes


def _image(draw: Callable[[Axes], Axes], bounds: Bounds) -> GroundImage:
    """What a function draws on axes that are just the bounds."""
    west, south, east, north = bounds
    per_m = _LONGER_SIDE_PX / max(east - west, north - south)
    pixels = [max(ceil(side * per_m), 1) for side in (east - west, north - south)]
    figure = Figure(figsize=(pixels[0] / _DPI, pixels[1] / _DPI), dpi=_DPI)
    axes = figure.add_axes((0, 0, 1, 1), frameon=False)
    axes.set(xlim=(west, east), ylim=(south, north))
    draw(axes)
    axes.set(xlim=(west, east), ylim=(south, north), aspect="auto")
    axes.set_axis_off()
    buffer = BytesIO()
    figure.savefig(buffer, format="webp", transparent=True, pil_kwargs={"quality": _QUALITY, "method": 4})
    return GroundImage("data:image/webp;base64," + base64.b64encode(buffer.getvalue()).decode("ascii"), bounds)
