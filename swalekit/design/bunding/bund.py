"""From a site and its terrain to microcatchments: the order of the work, each step done by the room that owns it."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from swalekit.design.brief.settings import soil_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.bunding.bunding import Bunding
from swalekit.design.bunding.cautions import bund_cautions
from swalekit.design.bunding.records import BundRecords
from swalekit.design.bunding.site_ground import asked_ground, asked_slope, greatest_slope
from swalekit.design.bunding.size import UnitSize, unit_size
from swalekit.design.layout.ground import Ground, Stage, silent, study_ground
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.errors import TerrainError
from swalekit.microcatchments.lay_negarim import lay_negarim
from swalekit.microcatchments.lay_semicircles import lay_semicircles
from swalekit.microcatchments.open_ground import OpenGround
from swalekit.microcatchments.units import Units
from swalekit.tables.microcatchments import microcatchment_rule
from swalekit.terrain.terrain import Terrain

_NOTHING_READ = BundRecords()


def bund(
    site: Site,
    terrain: Terrain,
    records: BundRecords = _NOTHING_READ,
    *,
    design: Design | None = None,
    stage: Stage = silent,
) -> Bunding:
    """Lay microcatchments on the ground of a site that suits them.

    Parameters
    ----------
    site : Site
        The site; its polygons are moved to the CRS of the terrain.
    terrain : Terrain
        The conditioned tile.
    records : BundRecords
        Ground asked for and rain of the years.
    design : Design, optional
        The swales of a plan, which they keep off whatever the brief says; planned here when not given, unless the
        brief wants none.
    stage : callable
        Told the name of each stage as it begins.

    Returns
    -------
    Bunding
        The units. No unit at all is a result. Where the terrain can't carry level ditches there are no swales, which a
        note tells.

    Raises
    ------
    BriefError
        If neither rain nor a size is known.
    TerrainError
        If the cells are wider than a unit.
    GeometryError
        If the area asked for lies off the site.

    Examples
    --------
    >>> asked = {"size_m": 3.0, "rain_mm": 220.0, "greatest_slope": 0.12, "swales": "kept"}
    >>> found = bund(site.with_values({"microcatchments": asked}), terrain, design=design)
    >>> found.trees == len(found.units), found.size.sizes_m
    (True, (3.0,))
    """
    size = unit_size(site.brief.microcatchments, records)
    _check_cells(terrain, size)
    design, notes = _swales(site, terrain, design, stage)
    ground = study_ground(site, terrain, stage=stage) if design is None else design.ground
    site = site.in_crs(terrain.grid.crs)
    stage("laying microcatchments")
    asked = asked_ground(site, ground, design, records.area, size=size)
    units = _lay(site, asked.open, size)
    runoff_m3 = _runoff_mm(site, ground, units) / 1000.0 * units.unit_m2
    found = Bunding(
        site,
        ground,
        design,
        records,
        size,
        asked,
        units,
        runoff_m3,
        (*records.notes, *notes, *_slope_notes(site, size)),
    )
    return replace(found, cautions=bund_cautions(found))


def _swales(site: Site, terrain: Terrain, design: Design | None, stage: Stage) -> tuple[Design | None, tuple[str, ...]]:
    """The swales that units keep off, and why there are none."""
    if design is not None:
        return design, ()
    if site.brief.microcatchments.swales == "none":
        return None, ()
    try:
        return plan(site, terrain, stage=stage), ()
    except TerrainError as error:
        return None, (f"no swales are kept clear of: {error}",)


def _slope_notes(site: Site, size: UnitSize) -> tuple[str, ...]:
    """Where the height of the bund sets a limit below the slope asked for."""
    asked, steepest = asked_slope(site), greatest_slope(site, size)
    if steepest >= asked:
        return ()
    why = "published" if size.kind == "negarim" else "that common practice builds without an engineer"
    highest_m = microcatchment_rule(f"{size.kind} greatest bund").value
    return (
        f"units of {min(size.sizes_m):g} m are laid on up to {100 * steepest:.1f} %: on steeper ground their bund "
        f"would be higher than {highest_m:.2g} m, the highest {why}",
    )


def _check_cells(terrain: Terrain, size: UnitSize) -> None:
    cell_m, least_m = terrain.grid.cell_m, min(size.sizes_m)
    if cell_m > least_m:
        message = (
            f"cells of {cell_m:.3g} m are wider than a unit of {least_m:g} m: the tile can't say where it lies; "
            "get 1 m lidar or a drone survey, or set units out on site by level and tape"
        )
        raise TerrainError(message)


def _lay(site: Site, ground: OpenGround, size: UnitSize) -> Units:
    part = site.brief.microcatchments
    if size.negarim is not None:
        return lay_negarim(ground, size.negarim, turn_deg=part.block_turn_degrees, freeboard_m=part.freeboard_m)
    return lay_semicircles(
        ground,
        size.bunds,
        catchment_m2=size.catchment_m2 or 0.0,
        turn_deg=part.block_turn_degrees,
        tip_tolerance_m=part.tip_tolerance_m,
    )


def _runoff_mm(site: Site, ground: Ground, units: Units) -> NDArray[np.float64]:
    """Runoff of the design storm from the soil at the middle of each unit."""
    soil = soil_of(site).with_condition(site.brief.conditions.moisture)
    by_class = np.asarray(soil.runoff_mm(storm_of(site).depth_mm), np.float64)
    if ground.soil_class is None:
        return np.full(len(units), by_class[0])
    rows, columns = ground.terrain.grid.rows_columns(*units.pegs_m.mean(axis=1).T)
    return np.asarray(by_class[ground.soil_class[np.rint(rows).astype(int), np.rint(columns).astype(int)]])
