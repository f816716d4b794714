"""Spacing rules side by side on the slopes of a site, with the spacing that the storm asks for."""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, nan
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from swalekit._checks import check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.contours.levels import levels_by_spacing, spacing_ground
from swalekit.contours.spacing_rules import (
    horizontal_interval_m,
    line_length_m_per_ha,
    ratio_spacing_m,
    slope_note,
    wedge_spacing_m,
)
from swalekit.design.brief.settings import depths_of, section_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground, Stage, silent, study_ground
from swalekit.design.layout.matched_levels import mean_runoff_mm
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.errors import InputError
from swalekit.section.even_slope import matched_spacing_m, metre_of_swale
from swalekit.section.shape import ShapedSwale
from swalekit.tables.spacing_rules import SpacingRule, spacing_rules
from swalekit.terrain.terrain import Terrain
from swalekit.units import M2_PER_HECTARE

SPACING_COLUMNS: tuple[Column, ...] = (
    Column("rule", "", "name of the rule", 0),
    Column("interval_m", "m", "vertical interval at the site's median slope", 2),
    Column("spacing_m", "m", "horizontal distance from line to line at the site's median slope"),
    Column("interval_gentle_m", "m", "vertical interval at the lower quartile of the site's slopes", 2),
    Column("spacing_gentle_m", "m", "horizontal distance at the lower quartile"),
    Column("interval_steep_m", "m", "vertical interval at the upper quartile of the site's slopes", 2),
    Column("spacing_steep_m", "m", "horizontal distance at the upper quartile"),
    Column("lines", "", "levels that would follow on the site, empty where they are found only by laying them", 0),
    Column("length_m_per_ha", "m/ha", "length of line on a hectare at the median slope", 0),
    Column("length_m", "m", "length of line on the whole site at the median slope", 0),
    Column("applies", "", "region, rain and ground that the rule is meant for", 0),
    Column("status", "", "whether the rule was read in print or is from memory", 0),
    Column("source", "", "publication", 0),
    Column("note", "", "where the site's median slope is not one that the rule is meant for", 0),
)

WEDGE, RATIO, MATCHED = "wedge behind the berm", "catchment to planted ground", "matched to the storm"
"""Names of the rows that follow the storm or the plants instead of a rule."""


_WEDGE_SOURCE = "Directorate of Watershed and Soil Conservation, Rajasthan, bund design sheet"
_RATIO_SOURCE = "Critchley & Siegert (1991), FAO AGL/MISC/17/91, ch. 4"


@dataclass(frozen=True)
class PlantedStrip:
    """Planted ground along each line, and the ground that must drain to it.

    Parameters
    ----------
    catchment_ratio : float
        Catchment over planted area [-].
    width_m : float
        Width of the strip [m].

    Raises
    ------
    InputError
        If the ratio is negative or the width isn't positive.
    """

    catchment_ratio: float
    width_m: float

    def __post_init__(self) -> None:
        check_not_negative(catchment_ratio=self.catchment_ratio)
        check_positive(planted_width_m=self.width_m)


@one_line("rule", "spacings_m", "lines", "status")
@dataclass(frozen=True)
class SpacingRow:
    """What one rule asks for.

    Parameters
    ----------
    rule : str
        Its name.
    spacings_m : tuple of float
        Horizontal distance from line to line at the slopes of the table [m].
    lines : int or None
        Levels that would follow; None where they are found only by laying them.
    applies, status, source, note : str
        Where it applies, whether it was read in print, its publication, and where the site's slope isn't one that it is
        meant for.
    """

    rule: str
    spacings_m: tuple[float, float, float]
    lines: int | None
    applies: str
    status: str
    source: str
    note: str


@one_line("rows", "slopes", "area_m2")
@dataclass(frozen=True)
class SpacingTable:
    """Rules side by side.

    Parameters
    ----------
    slopes : tuple of float
        Lower quartile, median and upper quartile of the site's slopes [m/m].
    area_m2 : float
        Ground of the site [m²].
    rows : tuple of SpacingRow
        Every rule of the table, then the spacing matched to the storm.
    """

    slopes: tuple[float, float, float]
    area_m2: float
    rows: tuple[SpacingRow, ...]

    @property
    def summary(self) -> dict[str, Any]:
        """Slopes, area and rows as JSON holds them."""
        slopes = [round(slope, 4) for slope in self.slopes]
        return {"slopes": slopes, "area_m2": round(self.area_m2), "rules": [self.figures(row) for row in self.rows]}

    def figures(self, row: SpacingRow) -> dict[str, Entry]:
        """Figures of a row by the names of `SPACING_COLUMNS`, rounded; none where a spacing has no end or section.

        Parameters
        ----------
        row : SpacingRow
            One of its rows.

        Returns
        -------
        dict of str to Entry
            Figures by name.

        Examples
        --------
        >>> row = SpacingRow("even", (30.0, 20.0, 10.0), 4, "", "calculated", "", "")
        >>> figures = SpacingTable((0.05, 0.1, 0.2), 5000.0, (row,)).figures(row)
        >>> figures["interval_m"], figures["spacing_steep_m"], figures["length_m"]
        (2.0, 10.0, 250)
        """
        median_m = row.spacings_m[1]
        per_ha = line_length_m_per_ha(median_m) if 0 < median_m < inf else nan
        given: dict[str, Entry] = {"length_m_per_ha": per_ha, "length_m": per_ha * self.area_m2 / M2_PER_HECTARE}
        for ground, slope, spacing_m in zip(("_gentle", "", "_steep"), self.slopes, row.spacings_m, strict=True):
            given |= {f"interval{ground}_m": slope * spacing_m, f"spacing{ground}_m": spacing_m}
        return row_of(row, SPACING_COLUMNS, **given)


def spacing_table(site: Site, ground: Ground, *, strip: PlantedStrip | None = None) -> SpacingTable:
    """Put every published rule and the spacings by storm and plants side by side on a site's own slopes.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, and the ground.
    strip : PlantedStrip, optional
        What the catchment-to-planted-area ratio is asked for.

    Returns
    -------
    SpacingTable
        Rules in the order of their table; then `wedge_spacing_m` for the water that the berm of the site's section
        holds above its line, `ratio_spacing_m` where a strip is given, and `matched_spacing_m`, sections dug to the
        greatest depth allowed.

    Raises
    ------
    InputError
        If the boundary is too narrow for its slopes to be judged.

    Examples
    --------
    >>> [row.rule for row in spacing_table(site, ground).rows[-2:]]
    ['wedge behind the berm', 'matched to the storm']
    """
    heights, slope = spacing_ground(ground.terrain, ground.area)
    quarter, median, three_quarters = np.quantile(slope.astype(np.float64), [0.25, 0.5, 0.75]).tolist()
    slopes = (quarter, median, three_quarters)

    def rule_row(rule: SpacingRule) -> SpacingRow:
        levels = levels_by_spacing(heights, slope, rule.x_m, base_interval_m=rule.y_m)
        spacings = _at(slopes, lambda gradient: float(horizontal_interval_m(rule, gradient)))
        return SpacingRow(
            rule.name, spacings, levels.size, rule.applies, rule.status, rule.source, slope_note(rule, median)
        )

    area_m2 = float(np.count_nonzero(ground.inside)) * ground.terrain.grid.cell_area_m2
    by_ratio = () if strip is None else (_ratio_row(strip, heights, slope),)
    rules = (rule_row(rule) for rule in spacing_rules())
    return SpacingTable(
        slopes, area_m2, (*rules, _wedge_row(site, ground, slopes), *by_ratio, _matched_row(site, ground, slopes))
    )


def spacing_rules_of(
    site: Site, terrain: Terrain, *, strip: PlantedStrip | None = None, stage: Stage = silent
) -> SpacingTable:
    """Put the rules side by side as `spacing_table` does, for a site and its tile.

    Parameters
    ----------
    site : Site
        The site; its polygons are moved to the CRS of the terrain.
    terrain : Terrain
        The conditioned tile.
    strip : PlantedStrip, optional
        What the catchment-to-planted-area ratio is asked for.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    SpacingTable
        Rules in the order of their table, then the spacings by storm and plants.

    Examples
    --------
    >>> spacing_rules_of(site, terrain, strip=PlantedStrip(5.0, 3.0)).rows[-2].rule
    'catchment to planted ground'
    """
    site = site.in_crs(terrain.grid.crs)
    return spacing_table(site, study_ground(site, terrain, stage=stage), strip=strip)


def _wedge_row(site: Site, ground: Ground, slopes: tuple[float, float, float]) -> SpacingRow:
    """Spacing at which the wedge of water behind a berm, without its ditch, holds the runoff between the lines."""
    runoff_mm = mean_runoff_mm(site, ground)

    def spacing_m(slope: float) -> float:
        metre = _metre(site, slope)
        depth_m = 0.0 if metre is None else metre.sill_level_m - metre.stations.level_m
        return wedge_spacing_m(slope, runoff_mm, depth_m) if min(slope, runoff_mm, depth_m) > 0 else nan

    applies = f"this site; {runoff_mm:.1f} mm of runoff; water above the ground at the line, the ditch left out"
    return SpacingRow(WEDGE, _at(slopes, spacing_m), None, applies, "calculated", _WEDGE_SOURCE, "")


def _ratio_row(strip: PlantedStrip, heights: ArrayLike, slope: ArrayLike) -> SpacingRow:
    """Spacing at which each planted strip gets the runoff of so much ground."""
    spacing_m = ratio_spacing_m(strip.catchment_ratio, strip.width_m)
    applies = f"{strip.catchment_ratio:g} parts of catchment to one of planted ground, strips {strip.width_m:g} m wide"
    lines = levels_by_spacing(heights, slope, spacing_m).size
    return SpacingRow(RATIO, (spacing_m,) * 3, lines, applies, "calculated", _RATIO_SOURCE, "")


def _matched_row(site: Site, ground: Ground, slopes: tuple[float, float, float]) -> SpacingRow:
    """Spacing at which the section dug to the greatest depth is just full."""
    rain_mm, runoff_mm, depth_m = storm_of(site).depth_mm, mean_runoff_mm(site, ground), depths_of(site).greatest_m

    def spacing_m(slope: float) -> float:
        metre = _metre(site, slope)
        return nan if metre is None else matched_spacing_m(metre, rain_mm=rain_mm, runoff_mm=runoff_mm)

    applies = f"this site; {rain_mm:g} mm of rain, {runoff_mm:.1f} mm of runoff; ditches {depth_m:g} m deep"
    return SpacingRow(MATCHED, _at(slopes, spacing_m), None, applies, "calculated", "storage of the section", "")


def _metre(site: Site, slope: float) -> ShapedSwale | None:
    """A metre of the site's swale at its greatest depth; None where a side is too flat to meet ground so steep."""
    depth_m, fill_factor = depths_of(site).greatest_m, site.brief.soil.fill_factor
    try:
        return metre_of_swale(slope, section_of(site), depth_m=depth_m, fill_factor=fill_factor)
    except InputError:
        return None


def _at(slopes: tuple[float, float, float], spacing_m: Callable[[float], float]) -> tuple[float, float, float]:
    gentle, median, steep = slopes
    return spacing_m(gentle), spacing_m(median), spacing_m(steep)
