"""A surface as it was flown, beside the bare ground."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon

from swalekit.design.plan.design import Design
from swalekit.errors import InputError
from swalekit.reporting.map.relief import draw_relief, relief_exaggeration
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import axes_in_cell, title
from swalekit.reporting.paper.lettering import font
from swalekit.reporting.paper.save import hatched
from swalekit.reporting.words.shown import shown
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.taken_off import TakenOff
from swalekit.terrain.terrain import Terrain

_SIDE_IN, _HEAD_IN, _FOOT_IN, _GAP_IN = 6.0, 0.75, 0.65, 0.25
_GREATEST_TALL = 2.0
"""Height of a panel over its width, at most."""
_DASHES = {"building": "-", "tree": (0, (1.2, 1.0))}
_CELL_MM, _MARGINS_MM = 120.0, (6.0, 6.0, 6.0, 10.0)


@hatched
def draw_flown(ground: Terrain, ax: Axes | None = None) -> Axes:
    """Draw a surface as it was flown, with outlines of the trees and buildings found on it.

    Parameters
    ----------
    ground : Terrain
        Bare ground that was got from a surface.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If nothing was taken off the ground.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain import bare_ground
    >>> heights = np.zeros((9, 9))
    >>> heights[3:6, 3:6] = 4.0
    >>> surface = Terrain.from_heights(heights, Grid.from_corner((9, 9), cell_m=1.0))
    >>> draw_flown(bare_ground(surface, radius_m=3.0)).get_title(loc="left")
    'As flown: 1 building'
    """
    taken = _taken_off(ground)
    axes = axes_in_cell(ax, _CELL_MM, margins_mm=_MARGINS_MM)
    flown = Terrain.from_heights(taken.flown_m, taken.grid)
    draw_relief(flown, axes, exaggeration=relief_exaggeration(_as_coarse(ground, taken)))
    for thing in taken.things:
        axes.add_patch(
            Polygon(
                np.array(thing.outline.exterior.coords),
                fill=False,
                edgecolor=palette.KEEP_OUT,
                linestyle=_DASHES[thing.kind],
                linewidth=1.0,
            )
        )
    return _framed(title(axes, f"As flown: {taken.counted or 'neither tree nor building of 2 m'}"))


@hatched
def draw_bare(ground: Terrain, ax: Axes | None = None) -> Axes:
    """Draw bare ground as `draw_flown` draws the surface that it was got from.

    Parameters
    ----------
    ground : Terrain
        Bare ground that was got from a surface.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If nothing was taken off the ground.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> from swalekit.terrain import bare_ground
    >>> surface = Terrain.from_heights(np.zeros((9, 9)), Grid.from_corner((9, 9), cell_m=1.0))
    >>> draw_bare(bare_ground(surface, radius_m=3.0)).get_title(loc="left")
    'Bare ground, drawn across beneath what stood on it'
    """
    taken = _taken_off(ground)
    axes = axes_in_cell(ax, _CELL_MM, margins_mm=_MARGINS_MM)
    coarse = _as_coarse(ground, taken)
    draw_relief(coarse, axes, exaggeration=relief_exaggeration(coarse))
    return _framed(title(axes, "Bare ground, drawn across beneath what stood on it"))


def bare_ground_sheet(design: Design) -> Figure:
    """Draw the surface that a design was given beside the bare ground that it stands on.

    Parameters
    ----------
    design : Design
        A design on ground that was got from a surface.

    Returns
    -------
    Figure
        Two panels of one scale, with what a designer must look for.

    Raises
    ------
    InputError
        If nothing was taken off its ground.

    Examples
    --------
    >>> bare_ground_sheet(design)
    Traceback (most recent call last):
    swalekit.errors.InputError: nothing was taken off this terrain: denoise_radius_m is 0
    """
    ground, part = design.ground.terrain, design.site.brief.site
    taken = _taken_off(ground)
    rows, columns = taken.grid.shape
    tall_in = _SIDE_IN * min(rows / columns, _GREATEST_TALL)
    width_in, height_in = 2 * _SIDE_IN + 3 * _GAP_IN, tall_in + _HEAD_IN + _FOOT_IN
    figure = Figure(figsize=(width_in, height_in), facecolor=palette.PAPER)
    for place, draw in enumerate((draw_flown, draw_bare)):
        left_in = _GAP_IN + place * (_SIDE_IN + _GAP_IN)
        box = (left_in / width_in, _FOOT_IN / height_in, _SIDE_IN / width_in, tall_in / height_in)
        draw(ground, figure.add_axes(box))
    head = f"{part.name}: what was taken off the surface"
    figure.text(_GAP_IN / width_in, 1 - 0.3 / height_in, head, **font(13.0, "bold"))
    wide = shown(2 * taken.radius_m, "m", units=part.units, decimals=0)
    words = (
        f"Looked for: what is up to {wide} wide. Outlined: 2 m and taller (trees dotted), proposed as keep-outs in "
        "proposed_keep_outs.geojson.\nLook at both: a bank, wall or rock that is missing on the right was taken for an "
        "object; a canopy or roof that stays was wider."
    )
    figure.text(_GAP_IN / width_in, 0.2 / height_in, words, **font(9.0), va="bottom", linespacing=1.35)
    return figure


def _taken_off(ground: Terrain) -> TakenOff:
    """What was taken off ground."""
    if ground.taken_off is None:
        message = "nothing was taken off this terrain: denoise_radius_m is 0"
        raise InputError(message)
    return ground.taken_off


def _as_coarse(ground: Terrain, taken: TakenOff) -> Terrain:
    """Bare ground on the cells of the picture."""
    factor = max(1, round(taken.grid.cell_m / ground.grid.cell_m))
    return Terrain.from_heights(block_mean(ground.heights, factor), taken.grid)


def _framed(axes: Axes) -> Axes:
    """The map alone, in a thin frame."""
    axes.set_xticks([])
    axes.set_yticks([])
    axes.set_aspect("equal")
    for spine in axes.spines.values():
        spine.set(color=palette.QUIET_INK, linewidth=0.6)
    return axes
