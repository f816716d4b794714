"""The site: a brief with the polygon files it names."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from swalekit._checks import check_between, check_one_of
from swalekit.contours.obstacles import KEEP_OUT_KINDS, KeepOut
from swalekit.design.brief.brief import SITE_PARTS, TERRAIN_PARTS, Brief
from swalekit.design.brief.settings import storm_of
from swalekit.design.brief.site import WGS84, Site
from swalekit.design.brief.soil_part import SoilPart, soil_loss
from swalekit.design.brief.storm_part import StormPart
from swalekit.design.brief.values import check_brief
from swalekit.errors import GeometryError, InputError
from swalekit.formats.inputs.brief import brief_of, brief_text
from swalekit.formats.inputs.crossings import read_crossings
from swalekit.formats.inputs.depth_table_csv import read_depth_table
from swalekit.formats.inputs.file_hash import hashes_of
from swalekit.formats.inputs.hyetograph_csv import read_hyetograph
from swalekit.formats.inputs.infiltration_csv import read_infiltration_test
from swalekit.formats.inputs.lines_file import read_lines
from swalekit.formats.inputs.measured_points import read_measured_points
from swalekit.formats.inputs.named_files import check_files
from swalekit.formats.inputs.polygons import property_number, read_features, read_polygon
from swalekit.formats.inputs.rain_record import read_daily_record
from swalekit.formats.inputs.soil_zones import read_soil_zones
from swalekit.formats.table import named
from swalekit.formats.terrain.raster import read_terrain
from swalekit.hydrology.losses.curve_number import PUBLISHED_RATIO
from swalekit.hydrology.losses.infiltration_test import InfiltrationFit
from swalekit.hydrology.storm.annual_maxima import annual_maxima
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.frequency import FrequencyAnalysis, analyse_frequency
from swalekit.tables.values import setback
from swalekit.terrain.correction import judged_by_points
from swalekit.terrain.terrain import Terrain

RESAMPLING_SEED = 1
"""Confidence bands are drawn with this seed, so that the same record gives the same figures."""

_GREATEST_SETBACK_M = 10_000.0
"""A larger one is a slip."""

_LITTLE_RAIN_MM = 10.0
"""A smaller storm wets the ground and seldom runs off."""

_COARSE_H = 0.5
"""A storm of blocks longer than this has lost its hardest rain."""


def read_site(path: str | Path) -> Site:
    """Read a brief and the polygon files it names.

    Parameters
    ----------
    path : str or Path
        Brief, a TOML file; paths in it are taken from its folder.

    Returns
    -------
    Site
        The brief with what its files say, in WGS 84.

    Raises
    ------
    BriefError, GeometryError
        If the brief or a polygon file can't be used, in one line.
    """
    text = brief_text(path)
    brief = brief_of(text, path)
    check_files(brief, str(path))
    return replace(site_of(brief), text=text)


def site_from_values(values: Mapping[str, Any]) -> Site:
    """Make a site from nested dictionaries laid out as the brief's parts; paths are taken from the working folder.

    Parameters
    ----------
    values : mapping
        Part -> key -> value, or ``part.key`` -> value.

    Returns
    -------
    Site
        The brief with what its files say, in WGS 84.

    Raises
    ------
    BriefError, GeometryError
        If a value or a file that it names can't be used, in one line.

    Examples
    --------
    >>> site_from_values({"terrain.file": "t.tif", "storm.depth_mm": 50, "soil.curve_number": 80,
    ...     "levels.interval_m": 2}).brief.storm.depth_mm
    50.0
    """
    return site_of(check_brief(values, source="brief"))


def site_of(brief: Brief) -> Site:
    """Read the polygon files that a brief names.

    Parameters
    ----------
    brief : Brief
        The brief, with paths as they can be opened.

    Returns
    -------
    Site
        The brief with what its files say, in WGS 84.

    Raises
    ------
    GeometryError, InputError
        If a file can't be used, in one line.

    Examples
    --------
    >>> from swalekit.design.brief.values import check_brief
    >>> site_of(check_brief({"terrain.file": "t.tif", "storm.depth_mm": 5, "soil.curve_number": 80,
    ...     "levels.interval_m": 2})).notes
    ('the design storm is only 5.0 mm: check the unit of the depth, the table or the record',)
    """
    hashes = hashes_of(brief, SITE_PARTS)
    area, soil, storm = brief.area, brief.soil, brief.storm
    boundary, notes = (None, ()) if area.boundary is None else read_polygon(area.boundary, WGS84, what="boundary")
    keep_outs, more = ((), ()) if area.keep_outs is None else _read_keep_outs(area.keep_outs, area.setbacks_m)
    crossings, way_notes = ((), ()) if area.crossings is None else read_crossings(area.crossings)
    infiltration, test_notes = _read_infiltration(soil)
    tested_mm_h = None if infiltration is None else infiltration.conductivity_mm_h
    zones, zone_notes = ((), ()) if soil.zones is None else read_soil_zones(soil.zones, soil, tested_mm_h=tested_mm_h)
    rain, rain_notes = _read_rain(storm)
    course = None
    if storm.course_file is not None:
        course = read_hyetograph(storm.course_file, time=storm.course_time, values=storm.course_values)
    lines, line_notes = (None, ()) if brief.lines.file is None else read_lines(brief.lines.file)
    site = Site(
        brief,
        boundary,
        keep_outs,
        zones,
        rain,
        course=course,
        infiltration=infiltration,
        crossings=crossings,
        lines=lines,
        notes=(*notes, *more, *way_notes, *zone_notes, *_ratio_notes(soil), *test_notes, *rain_notes, *line_notes),
        hashes=hashes,
    )
    return replace(site, notes=(*site.notes, *_storm_notes(site)))


def terrain_of(site: Site) -> Terrain:
    """Read the terrain tile that a site's brief names, conditioned as it says, judged and corrected by its points.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    Terrain
        The ground, with a note of every step.

    Raises
    ------
    TerrainError
        If the tile can't be used, in one line.
    InputError
        If the points can't be used, in one line.
    """
    part, hashes = site.brief.terrain, hashes_of(site.brief, TERRAIN_PARTS)
    terrain = read_terrain(
        part.file,
        crs=part.crs,
        vertical_unit=part.vertical_unit,
        cell_m=part.cell_m,
        vertical_sigma_m=part.vertical_sigma_m,
        fill_voids_m2=part.fill_voids_m2,
        denoise_radius_m=part.denoise_radius_m,
        memory_bytes=None if part.memory_gb is None else round(part.memory_gb * 1e9),
    )
    terrain = replace(terrain, hashes=hashes)
    if part.points is None:
        return terrain
    points, notes = read_measured_points(part.points, terrain.grid.crs, crs=part.points_crs, unit=part.points_unit)
    terrain = replace(terrain, notes=(*terrain.notes, *notes))
    with named(f"measured points '{part.points}'"):
        keep_sigma = part.vertical_sigma_m is not None
        return judged_by_points(terrain, points, correction=part.correction, keep_sigma=keep_sigma)


def _read_rain(part: StormPart) -> tuple[DepthTable | FrequencyAnalysis | None, tuple[str, ...]]:
    """The atlas table, or the record's annual maxima analysed, and what a reader must know of them."""
    if part.table is not None:
        table = read_depth_table(part.table, unit=part.table_unit)
        return table, _table_notes(part, table)
    if part.record is None:
        return None, ()
    record = read_daily_record(part.record, unit=part.record_unit)
    with named(f"daily rain '{part.record}'"):
        maxima = annual_maxima(record, reading_factor=part.reading_factor)
        analysis = analyse_frequency(maxima, seed=RESAMPLING_SEED, distribution=part.distribution)
    return analysis, (*_record_notes(part, analysis), *analysis.notes)


def _record_notes(part: StormPart, analysis: FrequencyAnalysis) -> tuple[str, ...]:
    """Where the depths come from, and what daily readings miss."""
    years, name = analysis.maxima.year, analysis.chosen.name
    source = f"depths by {name} ({analysis.reason}) from {len(years)} yearly maxima, {years[0]} to {years[-1]}"
    if part.reading_factor != 1.0:
        return (source,)
    return source, "the record's depths are taken as those of the wettest 24 hours (reading_factor = 1)"


def _table_notes(part: StormPart, table: DepthTable) -> tuple[str, ...]:
    shortest_h = float(table.durations_h[0])
    if part.course != "alternating block" or shortest_h <= _COARSE_H:
        return ()
    return (
        f"the table's shortest duration is {shortest_h:g} h: the storm built from it has no harder rain than that; "
        "runoff and peaks may be greater",
    )


def _ratio_notes(part: SoilPart) -> tuple[str, ...]:
    """A word on a curve number that goes with another Ia/S than the handbook's."""
    ratio = part.initial_abstraction_ratio
    if ratio == PUBLISHED_RATIO:
        return ()
    if part.curve_number is not None:
        return (
            f"curve_number {part.curve_number:g} is taken as one for Ia/S {ratio:g}; those of the handbooks stand for "
            f"{PUBLISHED_RATIO:g}",
        )
    if part.cover is None:
        return ()
    loss = soil_loss(part.loss_keys)
    return (f"the published number for Ia/S {PUBLISHED_RATIO:g} of cover '{part.cover}' is converted: {loss}",)


def _read_infiltration(part: SoilPart) -> tuple[InfiltrationFit | None, tuple[str, ...]]:
    """The test in the field, and what it says."""
    if part.infiltration_test is None:
        return None, ()
    fit = read_infiltration_test(part.infiltration_test, unit=part.infiltration_test_unit)
    wanted = {"conductivity": part.loss_is_tested, "intake of the ditches": part.intake_mm_h is None}
    uses = [name for name, takes in wanted.items() if takes]
    note = (
        f"infiltration test '{Path(part.infiltration_test).name}': K {fit.conductivity_mm_h:.3g} mm/h with a standard "
        f"error of {fit.spread_mm_h:.2g} ({fit.method}), taken as {' and '.join(uses)}; {fit.late_rate_mm_h:.3g} mm/h "
        "over its last third. One place is not the site: test at several"
    )
    return fit, (note,)


def _storm_notes(site: Site) -> tuple[str, ...]:
    """A word on a storm so small that its unit may be mistaken."""
    depth_mm = storm_of(site).depth_mm
    if depth_mm >= _LITTLE_RAIN_MM:
        return ()
    return (f"the design storm is only {depth_mm:.1f} mm: check the unit of the depth, the table or the record",)


def _read_keep_outs(path: str, setbacks_m: Mapping[str, float]) -> tuple[tuple[KeepOut, ...], tuple[str, ...]]:
    """Keep-outs with the setback of the feature, else of the brief, else of the table."""
    features, notes = read_features(path, WGS84, what="keep_outs")
    keep_outs = []
    for number, (geometry, properties) in enumerate(features, start=1):
        named = f" '{properties['name']}'" if properties.get("name") else ""
        where = f"keep_outs '{path}', feature {number}{named}"
        kind = properties.get("kind")
        if not isinstance(kind, str):
            message = (
                f"{where} has kind {kind!r}; give each feature a property kind, or a pin its kind as name, one "
                f"of {', '.join(KEEP_OUT_KINDS)}"
            )
            raise GeometryError(message)
        try:
            check_one_of(tuple(KEEP_OUT_KINDS), kind=kind)
            given = properties.get("setback_m")
            usual_m = setbacks_m.get(kind, setback(kind).value)
            distance = usual_m if given is None else property_number("setback_m", given)
            check_between(0.0, _GREATEST_SETBACK_M, setback_m=distance)
            keep_outs.append(KeepOut(kind, geometry, distance, str(properties.get("name") or "")))
        except InputError as error:
            message = f"{where}: {error}"
            raise GeometryError(message) from error
    return tuple(keep_outs), notes
