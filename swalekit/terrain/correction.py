"""A terrain tile corrected by points measured on bare ground, as far as it is asked for."""

from dataclasses import replace
from typing import Literal, get_args

import numpy as np

from swalekit._checks import check_one_of
from swalekit.terrain.control import TerrainControl
from swalekit.terrain.control_fit import control_of
from swalekit.terrain.control_words import control_notes, correction_notes, sigma_note, taken_out_note
from swalekit.terrain.error_surface import KINDS, TERMS, ErrorSurface
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.terrain.terrain import Terrain

Correction = Literal["none", "shift", "plane", "bowl", "fitted"]

CORRECTIONS: tuple[Correction, ...] = get_args(Correction)

LEAST_SIGMA_M = 0.01
"""Grass and clods leave the height of bare ground no better known."""

LEAST_TO_LOWER = 6
"""Points that lower the standard error of a height; of fewer that by chance lie close it would be told too small."""

_STRIP_CELLS = 2**20
_LOOKS = 64
"""Rows, and columns, that are looked at for where a surface is known worst."""


def judged_by_points(
    terrain: Terrain, points: SurveyPoints, *, correction: Correction = "none", keep_sigma: bool = False
) -> Terrain:
    """Judge a tile by points measured on bare ground, and correct it if that is asked for.

    Parameters
    ----------
    terrain : Terrain
        The tile.
    points : SurveyPoints
        Points in its CRS, heights in its vertical datum, names as descriptions.
    correction : {"none", "shift", "plane", "bowl", "fitted"}
        What is taken out of the heights; ``fitted`` is the surface that `control_of` chooses.
    keep_sigma : bool
        Whether the standard error of a height stays as it was given, rather than that by the points.

    Returns
    -------
    Terrain
        The tile with its control, the standard error of a height by the points, and a note of everything.

    Raises
    ------
    InputError
        If there is no such correction, or no point lies on ground that the tile shows.

    Notes
    -----
    Where points can't bear a surface, the next simpler one is taken. Heights in another unit are never corrected, and
    those of another vertical datum only by ``shift``: other surfaces then leave the mean height as it is. The standard
    error of a height is the root mean square of the leave-one-out errors of the surface that was taken out; where none
    was it is that of a shift, which moves no level line. Fewer than six points may raise it and not lower it, as one
    in six sites with three points shows less than half of the truth; with fewer than three it stays as it was.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> terrain = Terrain.from_heights(np.full((9, 9), 5.0), Grid.from_corner((9, 9), cell_m=1.0, west_m=0, north_m=9))
    >>> place = np.array([1.0, 4.0, 8.0])
    >>> points = SurveyPoints(np.arange(3), place, place[::-1], np.array([4.9, 4.91, 4.92]), ("A", "B", "C"))
    >>> lowered = judged_by_points(terrain, points, correction="shift")
    >>> print(lowered.heights[0, 0], lowered.notes[-1])
    4.91 the measured points show a vertical error of 0.012 m and are too few to lower that of 0.1 m
    """
    check_one_of(CORRECTIONS, correction=correction)
    control = control_of(terrain, points)
    surface = surface_to_take_out(control, correction)
    terrain = replace(terrain, control=control, notes=(*terrain.notes, *control_notes(control)))
    if surface is not None:
        terrain = corrected(terrain, control, surface)
    told = correction_notes(control, correction, surface)
    left_in = surface or control.surface("shift")
    if left_in is None:
        return replace(terrain, notes=(*terrain.notes, *told))
    shown_m = float(f"{max(LEAST_SIGMA_M, left_in.leave_one_out_rmse_m):.2g}")
    too_few = control.used < LEAST_TO_LOWER and shown_m < terrain.vertical_sigma_m
    kept_m = terrain.vertical_sigma_m if keep_sigma or too_few else None
    note = sigma_note(shown_m, before_m=terrain.vertical_sigma_m, kept=kept_m is not None, given=keep_sigma)
    notes = (*terrain.notes, *told, note)
    return replace(terrain, vertical_sigma_m=kept_m or shown_m, notes=notes)


def surface_to_take_out(control: TerrainControl, correction: Correction) -> ErrorSurface | None:
    """Find the surface that a correction takes out of a tile's heights.

    Parameters
    ----------
    control : TerrainControl
        What points say of the tile.
    correction : {"none", "shift", "plane", "bowl", "fitted"}
        What is asked for.

    Returns
    -------
    ErrorSurface or None
        That surface or the next simpler one which the points bear; without its mean height where that is one of
        another datum and no shift was asked for. None where nothing is taken out.

    Examples
    --------
    >>> place = np.array([500010.0, 500050.0, 500090.0]), np.array([3999940.0, 3999910.0, 3999990.0])
    >>> control = control_of(terrain, SurveyPoints(np.arange(3), *place, np.array([106.0, 103.1, 111.1]), tuple("ABC")))
    >>> surface_to_take_out(control, "none") is None, surface_to_take_out(control, "plane").kind
    (True, 'shift')
    """
    surface = control.chosen
    if correction != "fitted":
        wanted = KINDS[: KINDS.index(correction) + 1]
        surface = [bearable for bearable in control.surfaces if bearable.kind in wanted][-1]
    if control.doubt == "datum" and correction != "shift":
        if TERMS[surface.kind] <= TERMS["shift"]:
            return None
        surface = replace(surface, coefficients_m=surface.coefficients_m - control.bias_m * np.eye(1, 6)[0])
    return None if surface.kind == "none" else surface


def corrected(terrain: Terrain, control: TerrainControl, surface: ErrorSurface) -> Terrain:
    """Take a surface of error out of a tile's heights, strip by strip.

    Parameters
    ----------
    terrain : Terrain
        The tile.
    control : TerrainControl
        What points say of it.
    surface : ErrorSurface
        What its heights are too great by.

    Returns
    -------
    Terrain
        With heights less the surface, in arrays of its own grid, and a note of the change.

    Examples
    --------
    >>> place = np.array([500010.0, 500050.0, 500090.0]), np.array([3999940.0, 3999910.0, 3999990.0])
    >>> points = SurveyPoints(np.arange(3), *place, np.array([106.0, 103.0, 111.3]), ("A", "B", "C"))
    >>> control = control_of(terrain, points)
    >>> print(f"{corrected(terrain, control, control.surfaces[1]).heights[0, 0] - terrain.heights[0, 0]:.3f}")
    0.100
    """
    grid, (rows, columns) = terrain.grid, terrain.grid.shape
    heights = grid.zeros(np.float32)
    least_m, greatest_m = np.inf, -np.inf
    step = max(1, _STRIP_CELLS // columns)
    for first in range(0, rows, step):
        strip = slice(first, min(first + step, rows))
        x_m, y_m = grid.centres(np.arange(strip.start, strip.stop)[:, np.newaxis], np.arange(columns))
        error_m, valid = surface.at(x_m, y_m), terrain.valid[strip]
        heights[strip] = terrain.heights[strip] - error_m
        least_m = min(least_m, float(error_m.min(where=valid, initial=np.inf)))
        greatest_m = max(greatest_m, float(error_m.max(where=valid, initial=-np.inf)))
    note = taken_out_note(
        control, surface, change_m=(-greatest_m, -least_m), sigma_m=_greatest_sigma_m(terrain, surface)
    )
    control = replace(control, taken_out=surface)
    return replace(terrain, heights=heights, control=control, notes=(*terrain.notes, note))


def _greatest_sigma_m(terrain: Terrain, surface: ErrorSurface) -> float:
    """Greatest standard error of a surface on the ground, by a look at some thousands of its cells [m]."""
    down, across = (max(1, size // _LOOKS) for size in terrain.grid.shape)
    row, column = np.nonzero(terrain.valid[::down, ::across])
    return float(surface.sigma_at(*terrain.grid.centres(down * row, across * column)).max(initial=0.0))
