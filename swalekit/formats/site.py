"""The site: a brief with the polygon files it names."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from swalekit._checks import check_between, check_one_of
from swalekit.contours.keep_outs import KEEP_OUT_KINDS, KeepOut
from swalekit.design.brief import Brief, StormPart
from swalekit.design.site import WGS84, Site
from swalekit.errors import GeometryError, InputError
from swalekit.formats.brief import check_brief, read_brief
from swalekit.formats.depth_table_csv import read_depth_table
from swalekit.formats.rain_record import read_daily_record
from swalekit.formats.terrain_raster import read_terrain
from swalekit.formats.vector_layers import read_features, read_polygon
from swalekit.hydrology.annual_maxima import annual_maxima
from swalekit.hydrology.depth_table import DepthTable
from swalekit.hydrology.frequency import FrequencyAnalysis, analyse_frequency
from swalekit.hydrology.soil_zones import SoilZone
from swalekit.tables.values import setback
from swalekit.terrain.terrain import Terrain

RESAMPLING_SEED = 1
"""Confidence bands are drawn with this seed, so that the same record gives the same figures."""

_GREATEST_SETBACK_M = 10_000.0
"""A larger one is a slip."""

_MOST_ZONES = 255
"""The zone of a cell is kept in one byte."""


def read_site(path: str | Path) -> Site:
    """Read a brief and the polygon files it names.

    Parameters
    ----------
    path : str or Path
        Brief, a TOML file; paths in it are taken from its folder.

    Raises
    ------
    BriefError, GeometryError
        If the brief or a polygon file can't be used, in one line.
    """
    return site_of(read_brief(path))


def site_from_values(values: Mapping[str, Any]) -> Site:
    """A site from nested dictionaries laid out as the brief's parts; paths are taken from the working folder."""
    return site_of(check_brief(values, source="brief"))


def site_of(brief: Brief) -> Site:
    """Read the polygon files that a brief names."""
    area = brief.area
    for kind in area.setbacks_m:
        check_one_of(KEEP_OUT_KINDS, setbacks_m=kind)
    boundary, notes = (None, ()) if area.boundary is None else read_polygon(area.boundary, WGS84, what="boundary")
    keep_outs, more = ((), ()) if area.keep_outs is None else _read_keep_outs(area.keep_outs, area.setbacks_m)
    zones, still_more = ((), ()) if brief.soil.zones is None else _read_soil_zones(brief.soil.zones)
    rain, rain_notes = _read_rain(brief.storm)
    return Site(brief, boundary, keep_outs, zones, rain, WGS84, (*notes, *more, *still_more, *rain_notes))


def terrain_of(site: Site) -> Terrain:
    """Read the terrain tile that a site's brief names, conditioned as it says."""
    part = site.brief.terrain
    return read_terrain(
        part.file,
        crs=part.crs,
        vertical_unit=part.vertical_unit,
        cell_m=part.cell_m,
        vertical_sigma_m=part.vertical_sigma_m,
        fill_voids_m2=part.fill_voids_m2,
        denoise_radius_m=part.denoise_radius_m,
    )


def _read_rain(part: StormPart) -> tuple[DepthTable | FrequencyAnalysis | None, tuple[str, ...]]:
    """The atlas table, or the record's annual maxima analysed, and what a reader must know of them."""
    if part.table is not None:
        return read_depth_table(part.table, unit=part.table_unit), ()
    if part.record is None:
        return None, ()
    maxima = annual_maxima(read_daily_record(part.record, unit=part.record_unit), reading_factor=part.reading_factor)
    analysis = analyse_frequency(maxima, seed=RESAMPLING_SEED, distribution=part.distribution)
    return analysis, analysis.notes


def _read_keep_outs(path: str, setbacks_m: Mapping[str, float]) -> tuple[tuple[KeepOut, ...], tuple[str, ...]]:
    """Keep-outs with the setback of the feature, else of the brief, else of the table."""
    features, notes = read_features(path, WGS84, what="keep_outs")
    keep_outs = []
    for number, (geometry, properties) in enumerate(features, start=1):
        where = f"keep_outs '{path}', feature {number}"
        kind = properties.get("kind")
        if not isinstance(kind, str):
            message = (
                f"{where} has kind {kind!r}; give each feature a property kind, one of {', '.join(KEEP_OUT_KINDS)}"
            )
            raise GeometryError(message)
        try:
            check_one_of(KEEP_OUT_KINDS, kind=kind)
            distance = _number(properties, "setback_m", setbacks_m.get(kind, setback(kind).value))
            check_between(0.0, _GREATEST_SETBACK_M, setback_m=distance)
            keep_outs.append(KeepOut(kind, geometry, distance, str(properties.get("name") or "")))
        except InputError as error:
            message = f"{where}: {error}"
            raise GeometryError(message) from error
    return tuple(keep_outs), notes


def _read_soil_zones(path: str) -> tuple[tuple[SoilZone, ...], tuple[str, ...]]:
    features, notes = read_features(path, WGS84, what="soil zones")
    zones = []
    for number, (geometry, properties) in enumerate(features, start=1):
        where = f"soil zones '{path}', feature {number}"
        if geometry.area == 0:
            message = f"{where} is a {geometry.geom_type}; draw it as a polygon"
            raise GeometryError(message)
        try:
            zones.append(SoilZone(_number(properties, "curve_number"), geometry))
        except InputError as error:
            message = f"{where}: {error}"
            raise GeometryError(message) from error
    if len(zones) > _MOST_ZONES:
        message = (
            f"soil zones '{path}' holds {len(zones)} polygons and at most {_MOST_ZONES} are read; "
            "join those of one curve number, or cut the file to the site"
        )
        raise GeometryError(message)
    return tuple(zones), notes


def _number(properties: Mapping[str, Any], key: str, default: float | None = None) -> float:
    """A property that holds a number, as such or as text; the default where it has no value."""
    value = default if properties.get(key) is None else properties[key]
    try:
        if not isinstance(value, bool):
            return float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        pass
    message = f"{key} is {value!r}; give a number"
    raise InputError(message)
