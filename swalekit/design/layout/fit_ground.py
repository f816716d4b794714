"""Whether a tile can carry the ditches that a brief asks for, told before any work is done on it."""

import math
from typing import NamedTuple

import numpy as np
import shapely

from swalekit.contours.spacing_rules import vertical_interval_m
from swalekit.design.brief.settings import depths_of, section_of, soil_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.errors import TerrainError
from swalekit.section.even_slope import matched_spacing_m, metre_of_swale
from swalekit.tables.spacing_rules import spacing_rule
from swalekit.terrain.fitness import Fitness, fitness, height_step_words
from swalekit.terrain.terrain import Terrain

LEAST_CELLS_BETWEEN = 3.0
"""Cells between neighbouring lines, at least: our choice. With fewer, lines share their cells and catchments vanish."""
WIDEST_TO_DITCH = 5.0
"""Widest cell over the top width of the deepest ditch: our choice. What is dug then lies between heights far apart."""
ALWAYS_FINE_ENOUGH_M = 10.0
"""Cells up to this are never called too wide for the section: national models of 5 and 10 m are common in planning."""
GREATEST_STEP_M = 0.5
"""Greatest step that heights may come in: our choice, as deep as a shallow ditch is dug."""
GREATEST_STEP_SHARE = 0.5
"""Steps must be less than this share of the interval: our choice. Lines else lie on the edges of the steps."""
_ROUNDING = 1e-3
"""Share by which a limit may be missed, so that what the way out names goes through."""

_WAY_OUT = "get 1 m lidar or a drone survey; slopes and spacing rules this tile can still tell: compare --rules"


class _Fault(NamedTuple):
    """What, the value and its limit; and the interval from which it would not be [m], infinite where none helps."""

    words: str
    least_interval_m: float = math.inf


def check_fit(site: Site, found: Fitness | None, *, lines_given: bool = False) -> None:
    """Check that a tile can carry the ditches that a brief asks for.

    Parameters
    ----------
    site : Site
        What was asked.
    found : Fitness or None
        What its ground can carry, from `fitness_of`; None where the boundary lies off the tile, which `study_ground`
        tells.
    lines_given : bool
        Whether lines are given in place of those that the brief asks for: then its levels don't count.

    Raises
    ------
    TerrainError
        If cells, heights or their error make level ditches meaningless.

    Notes
    -----
    Refused are cells wider than `ALWAYS_FINE_ENOUGH_M` and than `WIDEST_TO_DITCH` top widths of the deepest ditch;
    fewer than `LEAST_CELLS_BETWEEN` cells between neighbouring lines; heights in steps that break `GREATEST_STEP_M` or
    `GREATEST_STEP_SHARE`; and an error of place, height error over slope, greater than the distance between lines. That
    a height error over slope moves a contour is common practice; that lines whose error passes half their distance
    are cautioned and those past all of it refused is our choice. Distances are those on the median slope.

    Examples
    --------
    >>> check_fit(site, fitness_of(site, terrain))
    >>> check_fit(site, Fitness(1.0, 0.0, 0.1, 9.73))
    Traceback (most recent call last):
    swalekit.errors.TerrainError: the tile can't carry level ditches: height error 9.73 m moves a line by 97.3 m on the
    median slope of 10 %, more than the 40 m between lines; give levels 9.8 m or more apart, or get 1 m lidar or a
    drone survey; slopes and spacing rules this tile can still tell: compare --rules
    """
    if found is None:
        return
    faults = _faults(site, found, lines_given=lines_given)
    if faults:
        least_m = max(fault.least_interval_m for fault in faults)
        told = "; ".join(fault.words for fault in faults if fault.least_interval_m == least_m or math.isfinite(least_m))
        larger = f"{_larger(site, found, least_m)}, or " if math.isfinite(least_m) else ""
        message = f"the tile can't carry level ditches: {told}; {larger}{_WAY_OUT}"
        raise TerrainError(message)


def fitness_of(site: Site, terrain: Terrain) -> Fitness | None:
    """What a tile can carry on the ground of a site that lines may lie on.

    Parameters
    ----------
    site : Site
        The site; its boundary is moved to the CRS of the terrain.
    terrain : Terrain
        The conditioned tile.

    Returns
    -------
    Fitness or None
        None where the boundary lies off the tile.

    Examples
    --------
    >>> round(fitness_of(site, terrain).median_slope, 3)
    0.1
    """
    area, lines = site.in_crs(terrain.grid.crs).boundary, site.brief.lines
    if area is not None and not area.intersects(shapely.box(*terrain.grid.bounds)):
        return None
    return fitness(terrain, area, least_slope=lines.least_slope, greatest_slope=lines.greatest_slope)


def _faults(site: Site, found: Fitness, *, lines_given: bool) -> tuple[_Fault, ...]:
    """Why ground can't carry the ditches that a brief asks for, the gravest first."""
    interval_m = None if lines_given else _interval_m(site, found.median_slope)
    faults = (
        _too_wide_for_ditch(site, found),
        None if interval_m is None else _too_wide_for_spacing(found, interval_m),
        _in_steps(found, interval_m),
        None if interval_m is None else _out_of_place(found, interval_m),
    )
    return tuple(fault for fault in faults if fault is not None)


def _too_wide_for_ditch(site: Site, found: Fitness) -> _Fault | None:
    section = section_of(site)
    sides = section.uphill_side_slope + section.downhill_side_slope
    by_ditch_m = WIDEST_TO_DITCH * (section.bottom_width_m + sides * depths_of(site).greatest_m)
    widest_m = max(ALWAYS_FINE_ENOUGH_M, by_ditch_m)
    if found.cell_m <= widest_m:
        return None
    why = (
        "five times the top width of the deepest ditch" if widest_m == by_ditch_m else "too wide for any ditch so small"
    )
    return _Fault(f"cells of {found.cell_m:.3g} m are wider than {widest_m:.3g} m, {why}")


def _too_wide_for_spacing(found: Fitness, interval_m: float) -> _Fault | None:
    spacing_m = found.spacing_m(interval_m)
    between = spacing_m / found.cell_m
    if between >= LEAST_CELLS_BETWEEN * (1.0 - _ROUNDING):
        return None
    return _Fault(
        f"cells of {found.cell_m:.3g} m leave {between:.2g} between lines {spacing_m:.3g} m apart on the median slope "
        f"of {100.0 * found.median_slope:.3g} %, and {LEAST_CELLS_BETWEEN:g} are needed",
        LEAST_CELLS_BETWEEN * found.cell_m * found.median_slope,
    )


def _in_steps(found: Fitness, interval_m: float | None) -> _Fault | None:
    step_m = found.height_step_m
    too_great = step_m > GREATEST_STEP_M
    if not step_m or not (too_great or (interval_m is not None and step_m >= GREATEST_STEP_SHARE * interval_m)):
        return None
    come = f"heights come in steps of {height_step_words(step_m)}"
    if too_great:
        return _Fault(f"{come}, more than {GREATEST_STEP_M:g} m")
    return _Fault(f"{come}, half the interval of {interval_m:.3g} m or more", 1.01 * step_m / GREATEST_STEP_SHARE)


def _out_of_place(found: Fitness, interval_m: float) -> _Fault | None:
    if found.median_slope == 0 or found.vertical_sigma_m <= interval_m * (1.0 + _ROUNDING):
        return None
    return _Fault(
        f"height error {found.vertical_sigma_m:.3g} m moves a line by {found.place_error_m:.3g} m on the median slope "
        f"of {100.0 * found.median_slope:.3g} %, more than the {found.spacing_m(interval_m):.3g} m between lines",
        found.vertical_sigma_m,
    )


def _interval_m(site: Site, slope: float) -> float | None:
    """Vertical distance between neighbouring lines on a slope [m]; None for a lone level."""
    part = site.brief.levels
    if part.interval_m is not None:
        return part.interval_m
    if part.levels_m is not None:
        gaps = np.diff(np.sort(part.levels_m))
        return float(gaps.min()) if gaps.size and gaps.min() > 0 else None
    if part.spacing_m is not None:
        return slope * part.spacing_m
    if part.rule is not None:
        return float(vertical_interval_m(spacing_rule(part.rule), slope))
    return _matched_interval_m(site, slope)


def _matched_interval_m(site: Site, slope: float) -> float:
    """Interval by hand of levels matched to the storm, as `matched_levels` begins with [m]."""
    part, lines, storm_mm = site.brief.levels, site.brief.lines, storm_of(site).depth_mm
    workable = float(np.clip(slope, lines.least_slope, lines.greatest_slope))
    depth_m = depths_of(site).greatest_m if part.matched_depth_m is None else part.matched_depth_m
    metre = metre_of_swale(workable, section_of(site), depth_m=depth_m, fill_factor=site.brief.soil.fill_factor)
    runoff_mm = float(soil_of(site).runoff_mm(storm_mm)[0])
    return workable * max(matched_spacing_m(metre, rain_mm=storm_mm, runoff_mm=runoff_mm), metre.strip_m2)


def _larger(site: Site, found: Fitness, least_interval_m: float) -> str:
    """What to ask for that the tile carries, in the terms of the brief."""
    part = site.brief.levels
    if part.spacing_m is not None:
        return f"give a spacing of {_rounded_up(found.spacing_m(least_interval_m)):g} m or more"
    least = f"{_rounded_up(least_interval_m):g} m or more"
    return f"give levels {least} apart" if part.levels_m is not None else f"give an interval of {least}"


def _rounded_up(length_m: float) -> float:
    """To two digits, so that it can be typed."""
    digit = 10.0 ** (math.floor(math.log10(length_m)) - 1)
    return math.ceil(length_m / digit - 10.0 * _ROUNDING) * digit
