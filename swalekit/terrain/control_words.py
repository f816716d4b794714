"""Sentences on a terrain tile beside points measured on bare ground."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from swalekit.terrain.control import TerrainControl
from swalekit.terrain.error_surface import TERMS, ErrorSurface, Kind

_SHOWN = 12
"""Names that a sentence lists at most."""

_FAR_SHARE = 0.5
"""With more of the ground beyond the points a plane is carried on too far to be trusted unseen."""
_GEOID_M = 10.0
_DIRECTIONS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
_LEFT = "RMS error at points left out of the fit"
_A: dict[Kind, str] = {"none": "nothing", "shift": "a shift", "plane": "a plane", "bowl": "a bowl"}


def control_notes(control: TerrainControl) -> tuple[str, ...]:
    """What points say of a tile, whatever is done about it.

    Parameters
    ----------
    control : TerrainControl
        Tile and points.

    Returns
    -------
    tuple of str
        Sentences.

    Examples
    --------
    >>> from swalekit.terrain import SurveyPoints, control_of
    >>> place = np.array([500050.0]), np.array([3999940.0])
    >>> control_notes(control_of(terrain, SurveyPoints(np.arange(1), *place, np.array([106.02]), ("gate",))))
    ('1 measured point on the tile, where 3 are needed to judge it: it lies 0.020 m too low at gate',)
    """
    beyond, outlier, told = ~np.isfinite(control.tile_m), control.outlier, [_judgement(control)]
    if beyond.any():
        told.append(
            f"measured points beyond the tile, beside a void or on ground drawn across: {_few(control.names(beyond))}"
        )
    if outlier.any():
        told.append(
            f"measured points left out as outliers: the tile lies {_off_at(control, outlier)}; measure them again"
        )
    if control.doubt == "datum":
        told.append(_datum(control))
    return tuple(told)


def correction_notes(control: TerrainControl, correction: str, surface: ErrorSurface | None) -> tuple[str, ...]:
    """Whether what was asked for is what the points bear, and what else would help.

    Parameters
    ----------
    control : TerrainControl
        Tile and points.
    correction : str
        What was asked for: a kind of surface, or ``fitted``.
    surface : ErrorSurface or None
        What is taken out.

    Returns
    -------
    tuple of str
        Sentences, none where all is well.

    Examples
    --------
    >>> from swalekit.terrain import SurveyPoints, control_of
    >>> place = np.array([500050.0]), np.array([3999940.0])
    >>> control = control_of(terrain, SurveyPoints(np.arange(1), *place, np.array([106.02]), ("gate",)))
    >>> print(*correction_notes(control, "plane", None))
    correction = "plane" was not made, it takes 6 points: nothing was taken out of the heights
    """
    if control.doubt.endswith("feet"):
        return ()
    chosen, taken = control.chosen.kind, "none" if surface is None else surface.kind
    told = [
        f'correction = "{kind}" was not made, {reason}: {_A[taken]} was taken out of the heights'
        for kind, reason in control.lacking
        if kind == correction
    ]
    datum_alone = control.doubt == "datum" and TERMS[chosen] <= TERMS["shift"]
    if TERMS[chosen] > TERMS[taken] and not datum_alone:
        told.append(
            f'the points show {_shape(control)}: correction = "{chosen}" would take it out '
            f"({_LEFT}: {_left(control, chosen)}, now {_left(control, taken)})"
        )
    if TERMS[chosen] < TERMS[taken] and not datum_alone:
        told.append(
            f"the points don't bear {_A[taken]} out ({_LEFT}: {_left(control, taken)}, with {_A[chosen]} taken out "
            f"{_left(control, chosen)})"
        )
    return tuple(told)


def taken_out_note(
    control: TerrainControl, surface: ErrorSurface, *, change_m: tuple[float, float], sigma_m: float
) -> str:
    """What was done to a tile's heights.

    Parameters
    ----------
    control : TerrainControl
        Tile and points.
    surface : ErrorSurface
        What was taken out.
    change_m : tuple of float
        The least and the greatest change of a height [m].
    sigma_m : float
        Greatest standard error of the surface on the ground [m].

    Returns
    -------
    str
        A sentence.

    Examples
    --------
    >>> from swalekit.terrain import SurveyPoints, control_of
    >>> place = np.array([500010.0, 500050.0, 500090.0]), np.array([3999940.0, 3999910.0, 3999990.0])
    >>> points = SurveyPoints(np.arange(3), *place, np.array([106.0, 103.0, 111.1]), ("A", "B", "C"))
    >>> control = control_of(terrain, points)
    >>> taken_out_note(control, control.surfaces[1], change_m=(0.03, 0.03), sigma_m=0.01).partition(" (")[0]
    'took a shift by 3 measured points out of the heights, which changed by 0.030 m'
    """
    changed = " to ".join(dict.fromkeys(map(_m, change_m)))
    note = (
        f"took {_A[surface.kind]} by {control.used} measured points out of the heights, which changed by {changed} m "
        f"({_LEFT}: {_left(control, surface.kind)})"
    )
    if surface.kind != "shift" and control.outside_share > 0:
        note += (
            f"; {100 * control.outside_share:.0f} % of the ground lies beyond the points, where it is carried on: its "
            f"standard error grows to {_m(sigma_m)} m"
        )
        if control.outside_share > _FAR_SHARE:
            note += ', too far to be trusted: measure points out there, or take correction = "shift"'
    return note


def sigma_note(shown_m: float, *, before_m: float, kept: bool, given: bool) -> str:
    """Where the standard error of a height comes from.

    Parameters
    ----------
    shown_m : float
        That by the points [m].
    before_m : float
        That which the tile had before [m].
    kept : bool
        Whether it stays.
    given : bool
        Whether it stays because the brief gives it, else because the points are few.

    Returns
    -------
    str
        A sentence.

    Examples
    --------
    >>> sigma_note(0.021, before_m=0.05, kept=True, given=True)
    'vertical_sigma_m = 0.05 of the brief goes before the 0.021 m that the measured points show'
    """
    if not kept:
        return f"vertical error by the measured points: {shown_m:g} m, in place of {before_m:g} m"
    if given:
        return (
            f"vertical_sigma_m = {before_m:g} of the brief goes before the {shown_m:g} m that the measured points show"
        )
    return f"the measured points show a vertical error of {shown_m:g} m and are too few to lower that of {before_m:g} m"


def _judgement(control: TerrainControl) -> str:
    """How far the tile is off at the points."""
    used, points = control.used, "measured point" if control.used == 1 else "measured points"
    if control.doubt == "points in feet":
        return 'the measured heights look like feet beside a tile in metres: set points_unit = "ft" (or "us-ft")'
    if control.doubt == "tile in feet":
        return 'the tile looks like feet beside measured heights in metres: set vertical_unit = "ft" (or "us-ft")'
    if control.surface("shift") is None:
        off = _off_at(control, control.judged)
        return f"{used} {points} on the tile, where 3 are needed to judge it: it lies {off}"
    low_m, high_m = control.bias_interval_m
    least_m, most_m = control.rmse_interval_m
    return (
        f"at {used} {points} the tile lies {_off(control.bias_m)} on average (95 %: {_m(low_m)} to {_m(high_m)} m), "
        f"with a root mean square error of {_m(control.rmse_m)} m ({_m(least_m)} to {_m(most_m)} m)"
    )


def _datum(control: TerrainControl) -> str:
    """What an error of metres throughout is likely to be."""
    far = abs(control.bias_m) > _GEOID_M
    likely = "heights above the ellipsoid beside heights above the geoid" if far else "or the length of a pole"
    return (
        f"an error of {_m(control.bias_m)} m with a standard deviation of {_m(control.spread_m)} m is likely of "
        f'another vertical datum, {likely}: bring points and tile to one datum; only correction = "shift" takes it out'
    )


def _shape(control: TerrainControl) -> str:
    """What the chosen surface looks like."""
    if control.chosen.kind == "shift":
        return f"the tile {_off(control.bias_m)} throughout, which moves no level line"
    slope, azimuth = control.tilt or (0.0, 0.0)
    x_m, y_m = (part[control.judged] for part in (control.points.easting_m, control.points.northing_m))
    along_m = float(np.ptp(x_m * np.sin(np.deg2rad(azimuth)) + y_m * np.cos(np.deg2rad(azimuth))))
    tilt = (
        f"a tilt of {_m(slope * along_m / 100.0)} m over {along_m:.0f} m "
        f"(down to the {_DIRECTIONS[round(azimuth / 45.0) % 8]}, azimuth {azimuth:.0f}°)"
    )
    if control.chosen.kind == "plane" or control.bowl_m is None:
        return tilt
    return f"{'a bowl' if control.bowl_m > 0 else 'a dome'} of {_m(abs(control.bowl_m))} m and {tilt}"


def _left(control: TerrainControl, kind: Kind) -> str:
    """The error that a surface leaves at a point which has no say in it."""
    surface = control.surface(kind)
    return "" if surface is None else f"{_m(surface.leave_one_out_rmse_m)} m"


def _off_at(control: TerrainControl, which: NDArray[np.bool_]) -> str:
    """How far the tile is off at some of the points, by name."""
    named = zip(control.error_m[which].tolist(), control.names(which), strict=True)
    return _few([f"{_off(error_m)} at {name}" for error_m, name in named])


def _off(error_m: float) -> str:
    return f"{_m(abs(error_m))} m too {'high' if error_m >= 0 else 'low'}"


def _m(length_m: float) -> str:
    """A length to the millimetre, to the centimetre from a metre on."""
    return f"{length_m:.3f}" if abs(length_m) < 1.0 else f"{length_m:.2f}"


def _few(names: Sequence[str]) -> str:
    """Names parted by commas, those that are too many as a number."""
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return ", ".join(names[:_SHOWN]) + more
