"""Bare ground in a notebook's cell: its heights, and its slopes by class."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap, ListedColormap
from numpy.typing import NDArray

from swalekit.contours.levels import SPACING_CELL_M
from swalekit.errors import InputError
from swalekit.reporting.map.cell import draw_content
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.relief import terrain_in_view
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import size_mm
from swalekit.reporting.paper.lettering import FONT_FAMILY, font
from swalekit.reporting.words.shown import area_shown
from swalekit.terrain.coarsen import coarsen
from swalekit.terrain.slope import slope
from swalekit.terrain.terrain import Terrain
from swalekit.units import METRES_PER_FOOT

_SLOPE_BREAKS = (0.02, 0.05, 0.10, 0.15, 0.22)
"""Edges of the classes of slope [m/m], chosen for reading only."""

_SIDE = 900  # cells of a coloured layer
_BAR_MM, _BAR_GAP_MM = 4.0, 2.5  # width of the colour bar, and its distance from the map
_HEIGHTS_MM, _CLASSES_MM = 20.0, 33.0  # room beside the map for bar and lettering
_SIZE_PT = 8.0


def terrain_words(terrain: Terrain, *, units: str = "metric") -> str:
    """Size, cell, heights and their error in one line.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        A phrase without a full stop.

    Examples
    --------
    >>> terrain_words(terrain)
    '1.20 ha in cells of 1 m, heights 100.1 to 111.9 m, each within about 0.05 m'
    """
    unit_m, unit = (METRES_PER_FOOT, "ft") if units == "us" else (1.0, "m")
    grid, (low, high) = terrain.grid, (float(np.nanmin(terrain.heights)), float(np.nanmax(terrain.heights)))
    area = area_shown(float(np.count_nonzero(terrain.valid)) * grid.cell_area_m2, units=units)
    return (
        f"{area} in cells of {grid.cell_m / unit_m:.3g} {unit}, heights {low / unit_m:.1f} to {high / unit_m:.1f} "
        f"{unit}, each within about {terrain.vertical_sigma_m / unit_m:.2g} {unit}"
    )


def draw_terrain(terrain: Terrain, ax: Axes | None = None, *, units: str = "metric") -> Axes:
    """Draw ground as shaded relief, tinted by height, with contours and a scale.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    ax : Axes, optional
        Where to draw; new axes unless given.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The map's axes.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> hillside = np.add.outer(np.arange(30.0), np.zeros(40))
    >>> axes = draw_terrain(Terrain.from_heights(hillside, Grid.from_corner((30, 40), cell_m=2.0)))
    >>> axes.get_title(loc="left")
    'Heights of the ground'
    """
    unit_m, unit = (METRES_PER_FOOT, "ft") if units == "us" else (1.0, "m")
    words = terrain_words(terrain, units=units)
    axes = draw_content(
        MapContent("Heights of the ground", terrain, subtitle=words, units=units), ax, beside_mm=_HEIGHTS_MM
    )
    seen = terrain_in_view(terrain, MapView.of_axes(axes), greatest_side=_SIDE)
    if seen is None:
        return axes
    colours = LinearSegmentedColormap.from_list("heights", palette.HEIGHT_TINTS)
    image = _lay(seen, seen.heights / np.float32(unit_m), axes, cmap=colours)
    _draw_bar(image, axes, unit)
    return axes


def draw_slope(
    terrain: Terrain, ax: Axes | None = None, *, breaks: tuple[float, ...] = _SLOPE_BREAKS, units: str = "metric"
) -> Axes:
    r"""Draw the slopes of the ground by class, with the share of the ground in each.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    ax : Axes, optional
        Where to draw; new axes unless given.
    breaks : tuple of float
        Edges of the classes, rising, at most five [m/m].
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The map's axes.

    Raises
    ------
    InputError
        If the edges don't rise from above zero, or there are none or more than five.

    Notes
    -----
    Judged on ground averaged to cells of about 3 m, as spacing is, so that stones and tufts don't count as slope.

    Examples
    --------
    >>> beside = draw_slope(terrain, breaks=(0.05, 0.15)).child_axes
    >>> [bar] = [axes for axes in beside if axes.get_title() == "slope"]
    >>> bar.get_yticklabels()[1].get_text()
    '5 to 15 %:\n100 % of it'
    """
    if not 0 < len(breaks) < len(palette.SLOPE_TINTS) or any(np.diff((0.0, *breaks)) <= 0):
        message = (
            f"slope classes have the edges {breaks}; give one to five that rise from above 0, as (0.02, 0.1, 0.22)"
        )
        raise InputError(message)
    coarse = coarsen(terrain, max(1, round(SPACING_CELL_M / terrain.grid.cell_m)))
    slopes = slope(coarse)
    known = slopes[np.isfinite(slopes)]
    shares = np.bincount(np.digitize(known, breaks), minlength=len(breaks) + 1) / max(known.size, 1)
    classes = np.digitize(slopes, breaks).astype(np.float32)
    classes[~np.isfinite(slopes)] = np.nan
    words = f"judged over about {coarse.grid.cell_m:g} m; half of the ground is steeper than {_percent(known)} %"
    content = MapContent("Slopes of the ground", terrain, subtitle=words, units=units)
    axes = draw_content(content, ax, beside_mm=_CLASSES_MM)
    tints = palette.SLOPE_TINTS[: len(breaks) + 1]
    image = _lay(coarse, classes, axes, cmap=ListedColormap(tints), vmin=-0.5, vmax=len(breaks) + 0.5)
    named = zip(_class_words(breaks), shares, strict=True)
    _draw_bar(image, axes, "slope", [f"{name}:\n{100 * share:.0f} % of it" for name, share in named])
    return axes


def _percent(slopes: NDArray[np.float32]) -> str:
    return f"{100 * float(np.median(slopes)):.0f}" if slopes.size else "–"


def _class_words(breaks: tuple[float, ...]) -> list[str]:
    """Names of the classes."""
    edges = [f"{100 * edge:g}" for edge in breaks]
    between = [f"{low} to {high} %" for low, high in pairwise(edges)]
    return [f"under {edges[0]} %", *between, f"over {edges[-1]} %"]


def _draw_bar(image: Any, axes: Axes, head: str, classes: Sequence[str] = ()) -> None:
    """What the colours mean, in a bar beside the map."""
    width_mm, _ = size_mm(axes)
    beside = axes.inset_axes((1.0 + _BAR_GAP_MM / width_mm, 0.0, _BAR_MM / width_mm, 1.0))
    axes.figure.colorbar(image, cax=beside)
    if classes:
        beside.set_yticks(range(len(classes)), classes)
        beside.tick_params(length=0)
    beside.set_title(head, **font(_SIZE_PT))
    beside.tick_params(labelsize=_SIZE_PT, labelfontfamily=FONT_FAMILY)


def _lay(ground: Terrain, values: NDArray[np.float32], axes: Axes, **style: Any) -> Any:
    """Colour the cells of a map, the relief showing through."""
    west, south, east, north = ground.grid.bounds
    return axes.imshow(
        np.ma.masked_invalid(values), extent=(west, east, south, north), alpha=0.5, zorder=0.2, interpolation="nearest",
        **style,
    )  # fmt: skip
