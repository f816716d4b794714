"""A row to windward of the planting that breaks the wind, as far as rain alone carries it."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.design.growth.berm_cover import BermCover, berm_cover
from swalekit.design.growth.growth import Conditions, SwaleGrowth
from swalekit.design.growth.tree_water import class_areas_m2, daily_water, plantable, rule_of
from swalekit.design.plan.design import Design
from swalekit.planting.plants.plant_positions import Planting

_OFFSETS_M = (5.0, 8.0, 3.0, 12.0, 16.0, 2.0)
"""How far to windward of the outermost plant the row is tried: first where it shades and drinks least of theirs."""
_CLEAR_M = 2.0
_FACING = 0.5
"""Sides within 60 degrees of the wind face it."""
NO_ROW = Planting(np.zeros((0, 2)), (), ())


def windbreak_row(design: Design, shared: Conditions, swales: Sequence[SwaleGrowth]) -> Planting:
    """Set a row of windbreak across the wind, to windward of all trees and pioneers.

    Parameters
    ----------
    design : Design
        The swales; its brief says from where the wind blows.
    shared : Conditions
        Weather, species and soil.
    swales : sequence of SwaleGrowth
        What they carry.

    Returns
    -------
    Planting
        Its plants; none where the brief names no windbreak or no wind, no tree is planted, or rain carries none.

    Notes
    -----
    Common practice: a windbreak shelters ten to fifteen times its height to leeward. It goes along those sides of the
    planting that face the wind, apart from the ditches, and lives on rain: plants stand as far apart as that carries
    them (`windbreak_spacing`), on the share of their want of pioneers.

    Examples
    --------
    >>> len(windbreak_row(design, growth, growth.swales).species)
    0
    """
    part, kinds = design.site.brief.planting, shared.chosen.windbreak
    spacing_m = windbreak_spacing(design, shared).spacing_m if kinds else None
    trees = [swale.planting.xy[~swale.planting.of_roles("ground cover")] for swale in swales]
    xy = np.vstack([np.zeros((0, 2)), *trees])
    if part.wind_from_deg is None or spacing_m is None or not len(xy):
        return NO_ROW
    places = _along(_best_line(xy, part.wind_from_deg, _free(design, xy)), spacing_m)
    species = tuple(kinds[place % len(kinds)] for place in range(len(places)))
    return Planting(places, species, ("windbreak",) * len(places))


def windbreak_spacing(design: Design, shared: Conditions) -> BermCover:
    """How far apart rain alone carries the plants of a windbreak.

    Parameters
    ----------
    design : Design
        The swales, with the brief.
    shared : Conditions
        Weather, species and soil.

    Returns
    -------
    BermCover
        As of low plants of a berm; no spacing where rain carries none.

    Examples
    --------
    >>> windbreak_spacing(design, growth).closest_m
    0.0
    """
    brief, part, chosen = design.site.brief, design.site.brief.planting, shared.chosen
    as_cover = replace(chosen, ground_cover=chosen.windbreak, cover_crops=chosen.windbreak_crops)
    rain = daily_water(design, shared.weather, shared.reference, class_areas_m2(design).sum(axis=0))
    rule = rule_of(part, shared.season, part.least_ratio)
    return berm_cover(as_cover, brief, shared.days, rain, rule, group="pioneer")


def windbreak_notes(design: Design, shared: Conditions, row: Planting) -> tuple[str, ...]:
    """Tell how the row stands, or why there is none though the brief asks for it.

    Parameters
    ----------
    design : Design
        The swales, with the brief.
    shared : Conditions
        Weather, species and soil.
    row : Planting
        The row.

    Returns
    -------
    tuple of str
        One sentence at most; none where the brief asks for no windbreak.

    Examples
    --------
    >>> windbreak_notes(design, growth, NO_ROW)
    ()
    """
    from_deg, kinds = design.site.brief.planting.wind_from_deg, shared.chosen.windbreak
    if from_deg is None:
        return ()
    if not kinds:
        return (f"wind blows from {from_deg:g}° and no windbreak is named: palette.csv lists plants of that role",)
    names, high_m = ", ".join(kind.name for kind in kinds), min(kind.height_m for kind in kinds)
    if not row.species:
        return (
            f"no windbreak ({names}) is planted: rain alone carries none on its own, or no ground to windward is free; "
            "plant it where water gathers, or set a fence or brush",
        )
    return (
        f"the windbreak of {len(row.species):,} {names} to windward, towards {from_deg:g}° lives on rain, "
        f"{windbreak_spacing(design, shared).spacing_m:g} m apart; grown {high_m:g} m high it shelters some "
        f"{10 * high_m:.0f} m to leeward (ten times its height, common practice)",
    )


def _free(design: Design, xy: NDArray[np.float64]) -> BaseGeometry:
    """Ground that may be planted, clear of works and plants."""
    works = shapely.union_all([swale.works for swale in design.swales]).buffer(_CLEAR_M)
    return plantable(design).difference(works).difference(shapely.MultiPoint(xy).buffer(_CLEAR_M))


def _best_line(xy: NDArray[np.float64], from_deg: float, free: BaseGeometry) -> BaseGeometry:
    """The longest row on free ground among those that are tried, the nearest of equal ones."""
    rows = [_windward_side(xy, from_deg, off_m).intersection(free) for off_m in _OFFSETS_M]
    longest = max(row.length for row in rows)
    return next(row for row in rows if row.length >= 0.9 * longest)


def _windward_side(xy: NDArray[np.float64], from_deg: float, off_m: float) -> BaseGeometry:
    """The sides that face the wind of the ground that holds all plants, widened."""
    azimuth = np.radians(from_deg)
    hull = shapely.MultiPoint(xy).convex_hull.buffer(max(off_m, 0.1), join_style="mitre")
    ring = shapely.get_coordinates(shapely.orient_polygons(hull))
    along = np.diff(ring, axis=0)
    facing = (along[:, 1] * np.sin(azimuth) - along[:, 0] * np.cos(azimuth)) / np.hypot(*along.T) > _FACING
    return shapely.line_merge(shapely.MultiLineString([ring[side : side + 2] for side in np.flatnonzero(facing)]))


def _along(line: BaseGeometry, spacing_m: float) -> NDArray[np.float64]:
    """Places along a row, piece by piece."""
    places = []
    for piece in shapely.get_parts(line):
        count = int(piece.length // spacing_m)
        steps = (np.arange(count + 1) if count else np.zeros(0)) * spacing_m + 0.5 * (piece.length % spacing_m)
        places += [shapely.get_coordinates(shapely.line_interpolate_point(piece, step))[0] for step in steps]
    return np.array(places, np.float64).reshape(-1, 2)
