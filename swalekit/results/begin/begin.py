"""From a tile to a first brief and the sheet for a first meeting."""

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

import shapely
from matplotlib.figure import Figure

from swalekit._one_line import one_line
from swalekit.contours.obstacles import KeepOut
from swalekit.design.appraisal.answers import Answers
from swalekit.design.appraisal.appraisal import Appraisal, appraise
from swalekit.design.appraisal.first_brief import LEAST_SLOPE, Setting, first_brief, values_of
from swalekit.design.brief.settings import storm_of
from swalekit.design.brief.site import Site
from swalekit.design.brief.values import check_brief
from swalekit.design.layout.fit_ground import check_fit, fitness_of
from swalekit.design.layout.ground import Stage, silent, study_ground
from swalekit.errors import GeometryError, TerrainError
from swalekit.formats.exchange.brief_toml import brief_toml
from swalekit.formats.exchange.layers import feature_layer, write_geojson
from swalekit.formats.inputs.brief import read_brief
from swalekit.formats.inputs.polygons import read_polygon
from swalekit.formats.inputs.site import site_of
from swalekit.formats.terrain.raster import read_terrain
from swalekit.frozen import Frozen
from swalekit.reporting.charts.site.sheet import site_sheet
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.plan_map import keep_outs_of
from swalekit.reporting.paper.outlines import polygons_of
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.reporting.words.site_words import pond_table, site_cautions, site_credits, site_facts
from swalekit.results.folder.folder import check_free, result_folder
from swalekit.results.plan.layers import pond_outlines
from swalekit.tables.values import setback, site_limit
from swalekit.terrain.fitness import fitness
from swalekit.terrain.standing_width import radius_to_take_off
from swalekit.terrain.terrain import Terrain

BRIEF = "site.toml"
NOTHING_KNOWN = Answers()
_BOUNDARY, _KEEP_OUTS = "boundary.geojson", "keep_outs.geojson"


@one_line("site.brief.site.name", "appraisal.area_m2", "guesses")
@dataclass(frozen=True, eq=False)
class Begun(Frozen):
    """What a site begins with.

    Parameters
    ----------
    site : Site
        The brief and its polygons.
    settings : tuple of Setting
        The brief's keys as they are written, each with its note.
    appraisal : Appraisal
        What the tile says of the site.
    unfit : str
        Why the tile can't carry the ditches of the brief; '' where it can.
    """

    site: Site
    settings: tuple[Setting, ...]
    appraisal: Appraisal
    unfit: str = ""

    @property
    def guesses(self) -> tuple[str, ...]:
        """Part and key of what was guessed."""
        return tuple(f"[{setting.part}] {setting.key}" for setting in self.settings if setting.guess)


def begin(
    tile: str | Path,
    folder: str | Path,
    *,
    boundary: str | Path | None = None,
    keep_outs: str | Path | None = None,
    answers: Answers = NOTHING_KNOWN,
    title: Mapping[str, str] | None = None,
    terrain: Mapping[str, Any] | None = None,
    stage: Stage = silent,
) -> Begun:
    """Write a folder with a brief that runs at once, and the sheet of the site for a first meeting.

    Parameters
    ----------
    tile : str or Path
        Terrain: a raster, a point cloud, or a folder of either.
    folder : str or Path
        Where it goes; nothing is there yet. It appears whole or not at all.
    boundary, keep_outs : str or Path, optional
        Files of the land and of what is kept clear: GeoJSON, GeoPackage, Shapefile, KML, KMZ or GPX. They are copied
        as GeoJSON; the tile stays where it is.
    answers : Answers
        What is known; the rest is guessed, and marked in the brief with how to find the true value.
    title : mapping, optional
        Keys of ``[site]``: ``name``, ``subtitle``, ``units``.
    terrain : mapping, optional
        Keys of ``[terrain]`` that the tile leaves open: ``crs``, ``vertical_unit``, ``cell_m``.
    stage : callable
        Told the name of each stage as it begins.

    Returns
    -------
    Begun
        What was found and written.

    Raises
    ------
    InputError
        If the tile or a file can't be used.
    OutputError
        If something is in the folder already, or it can't be written.

    Examples
    --------
    >>> from swalekit.formats.terrain.cog import write_terrain
    >>> write_terrain(folder / "hill.tif", terrain.heights, terrain.grid)
    >>> begun = begin(folder / "hill.tif", folder / "site", answers=Answers(storm_mm=40.0, texture="clay loam"))
    >>> (folder / "site" / "site.toml").read_text().count("GUESS"), begun.site.brief.levels.spacing_m
    (7, 14.0)
    """
    check_free(Path(folder), overwrite=False)
    stage("reading the terrain")
    begun = look_at(
        tile, boundary=boundary, keep_outs=keep_outs, answers=answers, title=title, terrain=terrain, stage=stage
    )
    stage("writing the brief and the sheet")
    _write(begun, Path(tile), Path(folder))
    return begun


def look_at(
    tile: str | Path,
    *,
    boundary: str | Path | None = None,
    keep_outs: str | Path | None = None,
    answers: Answers = NOTHING_KNOWN,
    title: Mapping[str, str] | None = None,
    terrain: Mapping[str, Any] | None = None,
    stage: Stage = silent,
) -> Begun:
    """Look at a tile as `begin` does, without writing anything.

    Parameters
    ----------
    tile, boundary, keep_outs, answers, title, terrain, stage
        As for `begin`.

    Returns
    -------
    Begun
        What was found.

    Raises
    ------
    InputError
        If the tile or a file can't be used.

    Examples
    --------
    >>> from swalekit.formats.terrain.cog import write_terrain
    >>> write_terrain(folder / "hill.tif", terrain.heights, terrain.grid)
    >>> look_at(folder / "hill.tif").guesses[-2:]
    ('[levels] spacing_m', '[section] bottom_width_m')
    """
    given = {key: value for key, value in (terrain or {}).items() if value is not None}
    read = partial(read_terrain, tile, **given)
    surface = read()
    stage("looking for what stands on it")
    area, _ = (None, ()) if boundary is None else read_polygon(boundary, surface.grid.crs, what="boundary")
    radius_m = radius_to_take_off(surface, None if area is None else (area.centroid.x, area.centroid.y))
    ground_tile = read(denoise_radius_m=radius_m) if radius_m else surface
    named = {"terrain.file": str(tile)} | {f"terrain.{key}": value for key, value in given.items()}
    named |= {f"area.{key}": str(file) for key, file in (("boundary", boundary), ("keep_outs", keep_outs)) if file}
    found = fitness(
        ground_tile, area, least_slope=LEAST_SLOPE, greatest_slope=site_limit("swale greatest slope").value / 100.0
    )
    about = {"name": Path(tile).stem, "subtitle": "First look, before anything is measured"} | dict(title or {})
    settings = first_brief(answers, found, files=named, radius_m=radius_m, site=about)
    site = _with_house(site_of(check_brief(values_of(settings), source="first brief")), answers, ground_tile)
    try:
        check_fit(site, fitness_of(site, ground_tile))
        unfit = ""
    except TerrainError as fault:
        unfit = str(fault)
    ground = study_ground(site, ground_tile, stage=stage)
    stage("looking at the site")
    return Begun(site, settings, appraise(site, ground, rain_year_mm=answers.rain_year_mm), unfit)


def begun_summary(begun: Begun) -> dict[str, Any]:
    """What was found, in JSON types.

    Parameters
    ----------
    begun : Begun
        What a site begins with.

    Returns
    -------
    dict
        Figures by name.

    Examples
    --------
    >>> from swalekit.formats.terrain.cog import write_terrain
    >>> write_terrain(folder / "hill.tif", terrain.heights, terrain.grid)
    >>> begun_summary(look_at(folder / "hill.tif"))["slope_quartiles"]
    [0.1, 0.1, 0.1]
    """
    found, terrain, storm = begun.appraisal, begun.appraisal.ground.terrain, storm_of(begun.site)
    low, high = found.ground.height_range_m
    return {
        "site": begun.site.brief.site.name,
        "crs": terrain.grid.crs.name,
        "cell_m": round(terrain.grid.cell_m, 4),
        "vertical_sigma_m": round(terrain.vertical_sigma_m, 4),
        "heights_m": [round(low, 2), round(high, 2)],
        "latitude_deg": round(found.latitude_deg, 4),
        "area_m2": round(found.area_m2, 1),
        "slope_quartiles": [round(slope, 4) for slope in found.slope_quartiles],
        "ground": [
            {"use": row.use, "ground": row.name, "area_m2": round(row.area_m2, 1), "reason": row.reason}
            for row in found.classes
        ],
        "watercourses_m": round(found.watercourses_m),
        "storms_mm": [round(storm.depth_mm, 1), round(storm.check_depth_mm, 1)],
        "ponds": [
            {
                "name": pond.name,
                "depth_m": round(pond.depth_m, 2),
                "full_m3": round(pond.full_m3, 1),
                "area_m2": [round(area_m2, 1) for area_m2 in pond.area_m2],
                "held_m3": [round(held_m3, 1) for held_m3 in pond.held_m3],
            }
            for pond in found.ponds
        ],
        "spacing_m": begun.site.brief.levels.spacing_m,
        "denoise_radius_m": begun.site.brief.terrain.denoise_radius_m,
        "guesses": list(begun.guesses),
        "unfit": begun.unfit,
        "notes": [*begun.site.notes, *terrain.notes],
    }


def _with_house(site: Site, answers: Answers, terrain: Terrain) -> Site:
    """The site with the house that was told, kept clear by the table's setback."""
    if not answers.house:
        return site
    latitude, longitude = answers.house
    house = KeepOut("building", shapely.Point(longitude, latitude), setback("building").value, "House")
    (placed,) = replace(site, keep_outs=(house,), boundary=None).in_crs(terrain.grid.crs).keep_outs
    if not placed.geometry.intersects(shapely.box(*terrain.grid.bounds)):
        message = (
            f"the house, at latitude {latitude:g} and longitude {longitude:g}, lies off the tile; check the order of "
            "the two, and their signs"
        )
        raise GeometryError(message)
    return replace(site, keep_outs=(*site.keep_outs, house))


def _write(begun: Begun, tile: Path, folder: Path) -> None:
    """Brief, polygons and sheet in the folder, which appears whole."""
    site = begun.site
    files = {"file": _way(tile, folder)}
    with result_folder(folder) as results:
        if site.boundary is not None:
            files["boundary"] = _BOUNDARY
            write_geojson(feature_layer([{"name": site.brief.site.name}], [site.boundary], site.crs, kind="Unknown"),
                          results / _BOUNDARY)  # fmt: skip
        if site.keep_outs:
            files["keep_outs"] = _KEEP_OUTS
            rows = [
                {"kind": keep_out.kind, "name": keep_out.name, "setback_m": _own_setback_m(keep_out)}
                for keep_out in site.keep_outs
            ]
            shapes = [keep_out.geometry for keep_out in site.keep_outs]
            write_geojson(feature_layer(rows, shapes, site.crs, kind="Unknown"), results / _KEEP_OUTS)
        text = brief_toml(_placed(begun.settings, files), head=_head(begun))
        (results / BRIEF).write_text(text, encoding="utf-8")
        sheet = _sheet(begun)
        save_png(sheet, results / "site_sheet.png")
        save_pdf([sheet], results / "site_sheet.pdf")
        read_brief(results / BRIEF)  # what is written can be read, or nothing is


def _sheet(begun: Begun) -> Figure:
    """The site sheet."""
    site, found = begun.site.in_crs(begun.appraisal.ground.terrain.grid.crs), begun.appraisal
    ground, units = found.ground, site.brief.site.units
    named = [(pond.name, shapely.Point(pond.xy).buffer(ground.terrain.grid.cell_m)) for pond in found.ponds]
    ponds = [pond for outline in pond_outlines(ground.terrain.grid, ground.ponds) for pond in polygons_of(outline)]
    header, table = pond_table(found, units=units)
    content = MapContent(
        title=site.brief.site.name,
        subtitle=site.brief.site.subtitle,
        terrain=ground.terrain,
        boundary=ground.area,
        keep_outs=keep_outs_of(site),
        watercourses=ground.watercourse_lines,
        ponds=tuple((next((name for name, place in named if place.intersects(pond)), ""), pond) for pond in ponds),
        header=header,
        table=table,
        facts=site_facts(site, found),
        cautions=site_cautions(site, found, unfit=begun.unfit),
        credits=site_credits(found),
        units=units,
    )
    return site_sheet(found, content)


def _own_setback_m(keep_out: KeepOut) -> float | None:
    """Its setback where it isn't that of the table, which the brief may still change."""
    return None if keep_out.setback_m == setback(keep_out.kind).value else keep_out.setback_m


def _placed(settings: tuple[Setting, ...], files: Mapping[str, str]) -> list[Setting]:
    """Settings whose files are named as they lie from the folder."""
    return [
        replace(setting, value=files[setting.key], offered=False, guess=False, note="")
        if setting.part in ("terrain", "area") and setting.key in files
        else setting
        for setting in settings
    ]


def _head(begun: Begun) -> list[str]:
    told = [
        f"First brief of {begun.site.brief.site.name}. Plan it at once: swalekit plan {BRIEF} --out plan",
        "GUESS marks what was neither told nor measured; behind it stands how to find the true value. A licensed "
        "engineer and the local code decide before anything is dug.",
    ]
    return told + ([f"CAUTION: {begun.unfit}"] if begun.unfit else [])


def _way(file: Path, folder: Path) -> str:
    """Path of a file from a folder; whole where it lies on another drive."""
    try:
        return Path(os.path.relpath(file.resolve(), folder.resolve())).as_posix()
    except ValueError:
        return file.resolve().as_posix()
