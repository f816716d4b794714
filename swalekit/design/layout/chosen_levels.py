"""Which levels get a line, as the brief asks for them."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.levels import check_levels, levels_by_interval, levels_by_spacing, spacing_ground
from swalekit.contours.spacing_rules import slope_note
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.matched_levels import matched_levels
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.tables.spacing_rules import spacing_rule

_MOST_LEVELS = 1000
"""Levels that are laid at most: lines closer than a thousandth of the relief are a slip."""


@one_line("levels_m", "notes")
@dataclass(frozen=True, eq=False)
class ChosenLevels(Frozen):
    """Levels from the top down.

    Parameters
    ----------
    levels_m : ndarray of float64, shape (n,)
        The levels [m].
    notes : tuple of str
        What the reader must know of how they were chosen.
    """

    levels_m: NDArray[np.float64]
    notes: tuple[str, ...] = ()


def choose_levels(site: Site, ground: Ground, area: BaseGeometry) -> ChosenLevels:
    """Levels that get a line, from the top down.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    area : shapely polygon or multipolygon
        Where lines may run.

    Returns
    -------
    ChosenLevels
        The levels [m], and what the reader must know of them.

    Raises
    ------
    InputError
        If there are more than a thousand, or the start of matched levels lies off the ground.

    Examples
    --------
    >>> choose_levels(site, ground, ground.area).levels_m
    array([108., 104.])
    """
    chosen = _levels_asked(site, ground, area)
    if chosen.levels_m.size > _MOST_LEVELS:
        message = (
            f"[levels] asks for {chosen.levels_m.size:,} levels on this site and at most {_MOST_LEVELS:,} are laid; "
            "give a larger interval or spacing, or a smaller boundary"
        )
        raise InputError(message)
    if chosen.levels_m.size == 0 and not chosen.notes:
        return ChosenLevels(chosen.levels_m, (f"no level line fits: {_why_none(site, ground)}",))
    return chosen


def _why_none(site: Site, ground: Ground) -> str:
    """Why no level lies on the ground, and the way out."""
    part, (lowest_m, highest_m) = site.brief.levels, ground.height_range_m
    if part.start_m is not None and part.start_m <= lowest_m:
        return (
            f"the start level of {part.start_m:g} m lies below the ground of this site, which reaches from "
            f"{lowest_m:.2f} to {highest_m:.2f} m; give a level on it"
        )
    asked = f"interval of {part.interval_m:g} m" if part.interval_m is not None else "spacing"
    return f"the {asked} leaves no level on the ground of this site; ask for a smaller one"


def _levels_asked(site: Site, ground: Ground, area: BaseGeometry) -> ChosenLevels:
    part = site.brief.levels
    if part.levels_m is not None:
        return ChosenLevels(check_levels(part.levels_m))
    if part.matched:
        matched = matched_levels(site, ground, area, depth_m=part.matched_depth_m, start_m=part.start_m)
        return ChosenLevels(matched.levels_m, matched.notes)
    if part.interval_m is not None:
        lowest, highest = ground.height_range_m
        return ChosenLevels(levels_by_interval(highest, lowest, part.interval_m, start_m=part.start_m))
    heights, slopes = _ground_to_dig(site, ground, area)
    if part.rule is None:
        return ChosenLevels(levels_by_spacing(heights, slopes, part.spacing_m or 0.0, start_m=part.start_m))
    rule = spacing_rule(part.rule)
    notes = [slope_note(rule, float(np.median(slopes.astype(np.float64))))]
    if rule.status != "verified":
        notes.append(f"the coefficients of rule '{rule.name}' are {rule.status}: confirm them in {rule.source}")
    levels = levels_by_spacing(heights, slopes, rule.x_m, base_interval_m=rule.y_m, start_m=part.start_m)
    return ChosenLevels(levels, tuple(note for note in notes if note))


def off_keep_outs(site: Site, area: BaseGeometry) -> BaseGeometry:
    """An area less the keep-outs with their setbacks; all of it where these leave nothing.

    Parameters
    ----------
    site : Site
        In the CRS of the area.
    area : shapely polygon or multipolygon
        Where lines may run.

    Returns
    -------
    shapely polygon or multipolygon
        What lines can take of it.

    Examples
    --------
    >>> from dataclasses import replace
    >>> off_keep_outs(replace(site, keep_outs=()), ground.area).equals(ground.area)
    True
    """
    free = area.difference(shapely.union_all([keep_out.zone for keep_out in site.keep_outs]))
    return area if free.is_empty else free


def _ground_to_dig(site: Site, ground: Ground, area: BaseGeometry) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Heights and slopes of the ground that lines may run on: off the keep-outs, within the limits of slope."""
    slopes = (site.brief.lines.least_slope, site.brief.lines.greatest_slope)
    return spacing_ground(ground.terrain, off_keep_outs(site, area), slopes=slopes)
