"""Bare ground from a drone's surface: what stands on it taken off, the grain of the survey smoothed."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit.errors import TerrainError
from swalekit.grid import Grid
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.blocks import blocks
from swalekit.terrain.film import harmonic_heights
from swalekit.terrain.standing import above_drawn_ground, standing_cells
from swalekit.terrain.taken_off import counted_things, taken_off, things_standing
from swalekit.terrain.terrain import Terrain
from swalekit.terrain.unseen import with_drawn_ground
from swalekit.terrain.voids import cells_with_height

_MARGIN_RADII = 4.0
"""What a block sees beyond itself, in radii: an object across its edge as a whole, and the ground around it."""
_GRAIN_M = 0.05
"""Where the mean of the neighbours would move a height farther, it is a form of the ground (a wall), no grain."""
_GREATEST_RADIUS_M, _LOOK_AGAIN_M = 8.0, 1.0
"""What is left is looked for up to this radius, on cells of about this width."""
_MOST_COVERED = 0.4
"""Share of the ground that may be covered before what is left between is doubted."""
_WHOLE_CELLS = 64
"""Blocks and their margins are whole numbers of the largest cells that windows are laid on."""


def bare_ground(terrain: Terrain, *, radius_m: float) -> Terrain:
    """Take off what stands on the ground and is narrower than twice a radius.

    Parameters
    ----------
    terrain : Terrain
        A surface, as photogrammetry gives it.
    radius_m : float
        Half the width of the widest canopy or roof to be taken off [m].

    Returns
    -------
    Terrain
        The ground, with a note of the change; beneath what was taken off it is drawn across from the ground around,
        and a height's standard error is larger there. What touches no known ground becomes void and is counted.

    Raises
    ------
    InputError
        If the radius isn't greater than zero.
    TerrainError
        If no ground would be left.

    Notes
    -----
    `standing_cells` tells objects from ground. One pass of a 1-2-1 mean along rows and columns, where both
    neighbours are known and the height moves by no more than 5 cm, then smooths the rest; every plane stays as it
    is. The tile is worked on in blocks of a fixed size, so that memory doesn't grow with it.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.zeros((9, 9))
    >>> heights[4, 4] = 0.8
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((9, 9), cell_m=1.0))
    >>> bare = bare_ground(terrain, radius_m=1.5)
    >>> print(bare.relief_m, bare.notes[0])
    0.0 took off what stands on the ground and is up to 3 m wide, or tall with upright sides, 1.2 % of it: heights \
changed by 0.089 m (RMS), at most 0.80 m
    """
    check_positive(radius_m=radius_m)
    grid = terrain.grid
    heights, unseen = grid.zeros(np.float32), grid.zeros(np.bool_)
    margin = math.ceil(_MARGIN_RADII * radius_m / grid.cell_m / _WHOLE_CELLS) * _WHOLE_CELLS
    for block in blocks(grid.shape, margin):
        bare, objects = _cleared(terrain.heights[block.seen], grid.cell_m, radius_m)
        heights[block.own], unseen[block.own] = bare[block.inner], objects[block.inner]
    lost = int((terrain.valid & np.isnan(heights)).sum())
    if lost == terrain.valid.sum():
        message = (
            f"no ground would be left of the terrain with denoise_radius_m = {radius_m:g}: all of it stands out; "
            "give a smaller radius, or a tile of the bare ground"
        )
        raise TerrainError(message)
    note = _told(terrain, heights, unseen, radius_m)
    found = taken_off(grid, terrain.heights, heights, unseen, radius_m=radius_m)
    more = [f"{lost:,} cells of objects that touch no ground became void"] if lost else []
    if unseen.sum() > _MOST_COVERED * terrain.valid.sum():
        more.append(
            "most of this ground is covered, and what is left may be canopies too: a drone can't see it; get lidar, or "
            "level points on the ground ([terrain] points)"
        )
    if found.counted:
        more.append(
            f"found on the surface, 2 m and taller: {found.counted} (a smooth top is taken for a roof: check them); "
            "proposed as keep-outs, none is kept clear yet"
        )
    left = _left_standing(grid, heights, radius_m)
    if left:
        more.append(
            f"wider than {2 * radius_m:g} m and left on the ground: {left}; lines run round them: take them off with a "
            f"greater denoise_radius_m, up to {_GREATEST_RADIUS_M:g}, or name them as keep-outs"
        )
    return with_drawn_ground(
        replace(
            terrain,
            taken_off=found,
            heights=heights,
            valid=cells_with_height(grid, heights),
            notes=(*terrain.notes, note, *more),
        ),
        np.flatnonzero(unseen),
    )


def _cleared(
    seen: NDArray[np.float32], cell_m: float, radius_m: float
) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """Ground of a window, smoothed, and the cells whose ground wasn't seen."""
    objects = standing_cells(seen, cell_m=cell_m, radius_m=radius_m)
    cells = np.flatnonzero(objects)
    ground = seen.copy()
    if cells.size:
        ground.flat[cells] = harmonic_heights(seen, cells)
    _smooth(ground)
    return ground, objects


def _left_standing(grid: Grid, heights: NDArray[np.float32], radius_m: float) -> str:
    """What is wider than was looked for and still stands, counted on cells of about a metre; '' for nothing."""
    if radius_m >= _GREATEST_RADIUS_M:
        return ""
    factor = max(1, round(_LOOK_AGAIN_M / grid.cell_m))
    coarse = block_mean(heights, factor)
    cells = Grid.from_corner(coarse.shape, cell_m=factor * grid.cell_m, crs=grid.crs.to_wkt())
    objects = standing_cells(coarse, cell_m=cells.cell_m, radius_m=_GREATEST_RADIUS_M)
    ground = coarse - above_drawn_ground(coarse, objects)
    return counted_things(list(things_standing(cells, coarse, ground, objects)))


def _told(terrain: Terrain, heights: NDArray[np.float32], unseen: NDArray[np.bool_], radius_m: float) -> str:
    """Sentence on what was taken off and how far that moved the heights."""
    squares, greatest, cells = 0.0, 0.0, 0
    for block in blocks(heights.shape, 0):
        change = np.abs(heights[block.own] - terrain.heights[block.own])
        known = np.isfinite(change)
        squares += float((change[known].astype(np.float64) ** 2).sum())
        greatest = max(greatest, float(change[known].max(initial=0.0)))
        cells += int(known.sum())
    rms_m = math.sqrt(squares / max(cells, 1))
    share = 100.0 * unseen.sum() / terrain.valid.sum()
    return (
        f"took off what stands on the ground and is up to {2 * radius_m:g} m wide, or tall with upright sides, "
        f"{share:.2g} % of it: heights changed by {rms_m:.3f} m (RMS), at most {greatest:.2f} m"
    )


def _smooth(heights: NDArray[np.float32]) -> None:
    """One 1-2-1 mean along columns and rows, in place, of cells between known ones, for grain only."""
    for lines in (heights, heights.T):
        rise = np.nan_to_num(lines[:-2] - 2 * lines[1:-1] + lines[2:]) / 4
        lines[1:-1] += np.where(np.abs(rise) <= _GRAIN_M, rise, 0)
