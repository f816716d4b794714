"""A plan read back from the folder it was written to."""

import json
from collections.abc import Mapping
from dataclasses import replace
from math import ceil
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import rasterio
from affine import Affine
from numpy.typing import NDArray
from pyogrio.errors import DataLayerError, DataSourceError
from pyproj import CRS
from rasterio.errors import RasterioError
from rasterio.windows import Window
from shapely.geometry.base import BaseGeometry

from swalekit.design.options.option import OPTION_COLUMNS
from swalekit.design.plan.columns import Entry
from swalekit.design.plan.record import Feature, PlanRecord, SiteWater, SwaleSection
from swalekit.design.plan.storm_table import WATER_COLUMNS
from swalekit.design.stages.staged import STAGE_COLUMNS
from swalekit.errors import InputError
from swalekit.formats.local_file import local_file
from swalekit.formats.table import read_table
from swalekit.grid import Grid
from swalekit.results.folder.inputs import input_hashes
from swalekit.results.folder.seal import SIGNATURE, check_as_written, is_unbroken
from swalekit.results.plan.layers import BARE_GROUND_PICTURE, LAYERS, STAGE_PICTURE, STAGE_TABLE
from swalekit.results.plan.record import profile_stations
from swalekit.section.section import Section
from swalekit.terrain.block_mean import block_mean
from swalekit.terrain.sample import bilinear
from swalekit.terrain.terrain import Terrain

_KEYS = (
    "site",
    "totals",
    "swales",
    "brief",
    "values_used",
    "cautions",
    "warnings",
    "breach",
    "terrain",
    "storm",
    "water_account",
)
_TILE = "terrain.file"
_OPTION_LAYERS = "options.gpkg"
_BUILT, _MOVED = "design_surface.tif", "cut_fill.tif"
_GREATEST_SIDE = 1500
"""Cells along the longer side of the ground that is kept."""


def read_plan_folder(folder: str | Path, *, options: str | Path | None = None) -> PlanRecord:
    """Read what a report needs from a folder of results.

    Parameters
    ----------
    folder : str or Path
        Folder that a plan was written to.
    options : str or Path, optional
        Folder that a comparison was written to.

    Returns
    -------
    PlanRecord
        The plan as written; only the ground is made coarser where it has more than 1500 cells a side.

    Raises
    ------
    InputError
        If a file is missing, damaged, or of a version that kept less.

    Examples
    --------
    >>> plan = read_plan_folder(plan_folder)
    >>> [swale["swale"] for swale in plan.swales], plan.ground.grid.shape
    (['S1', 'S2'], (120, 100))
    """
    folder = Path(folder)
    summary = read_summary(folder, _KEYS)
    for name in ("site.gpkg", _BUILT, _MOVED):
        check_as_written(summary, _file(folder, name))
    layers = {name: read_layer(folder / "site.gpkg", name) for name in LAYERS}
    try:
        built, moved = (_thinned(_file(folder, name)) for name in (_BUILT, _MOVED))
        profiles = _profiles(folder, layers["swales"])
    except RasterioError as fault:
        message = f"'{folder}': the rasters of the plan are damaged ({fault}); run swalekit plan again"
        raise InputError(message) from fault
    sigma_m = summary["terrain"]["vertical_sigma_m"]
    return PlanRecord(
        summary=summary,
        layers=layers,
        ponds=tuple(("", area) for area, _ in layers["ponds"]),
        ground=Terrain.from_heights(built.heights - moved.heights, built.grid, vertical_sigma_m=sigma_m),
        sections=_sections(summary),
        profiles=profiles,
        water=_water(summary, folder / "site_water.csv"),
        bare_ground_png=_picture(folder, summary, BARE_GROUND_PICTURE),
        stages=_stages(folder, summary),
        stages_png=_picture(folder, summary, STAGE_PICTURE),
        options=() if options is None else _options(Path(options), summary),
        option_lines={} if options is None else _option_lines(Path(options)),
    )


def _picture(folder: Path, summary: dict[str, Any], name: str) -> bytes:
    """A picture of the plan, where it has one."""
    if name not in summary["files"]:
        return b""
    file = _file(folder, name)
    check_as_written(summary, file)
    return file.read_bytes()


def _stages(folder: Path, summary: dict[str, Any]) -> tuple[dict[str, str], ...]:
    """Rows of the seasons of building, where the plan has some."""
    if STAGE_TABLE not in summary["files"]:
        return ()
    file = _file(folder, STAGE_TABLE)
    check_as_written(summary, file)
    return tuple(read_table(file, STAGE_COLUMNS))


def _file(folder: Path, name: str) -> Path:
    if not (folder / name).is_file():
        message = f"'{folder}' holds no {name}; name a folder that this version of swalekit wrote"
        raise InputError(message)
    return local_file(folder / name, what="result", error=InputError)


def read_summary(folder: Path, keys: tuple[str, ...]) -> dict[str, Any]:
    """Read the summary in a folder of results.

    Parameters
    ----------
    folder : Path
        Folder that a command wrote.
    keys : tuple of str
        What it must hold.

    Returns
    -------
    dict
        The summary.

    Raises
    ------
    InputError
        If it is missing, damaged, or of a version or command that kept less.

    Examples
    --------
    >>> read_summary(plan_folder, ("totals",))["totals"]["swales"]
    2
    """
    file = _file(folder, SIGNATURE)
    try:
        summary = json.loads(file.read_text(encoding="utf-8"))
    except (ValueError, RecursionError) as fault:
        message = f"'{file}' is damaged ({fault}); run the command that wrote it again"
        raise InputError(message) from fault
    missing = [key for key in (*keys, "files", "seal") if not isinstance(summary, dict) or key not in summary]
    if missing:
        message = f"'{file}' has no '{missing[0]}'; it is of another version or command: run swalekit again"
        raise InputError(message)
    if not is_unbroken(summary):
        message = f"'{file}' was changed after it was written; run the swalekit command that wrote it again"
        raise InputError(message)
    return dict(summary)


def _options(folder: Path, plan: dict[str, Any]) -> tuple[dict[str, Entry], ...]:
    compared = read_summary(folder, ("options",))
    options = tuple(compared["options"])
    if not all(column.name in option for option in options for column in OPTION_COLUMNS):
        message = f"'{folder}' holds a comparison of another version; run swalekit compare again"
        raise InputError(message)
    if input_hashes(compared).get(_TILE) != input_hashes(plan).get(_TILE):
        message = f"'{folder}' compares options on another tile; run swalekit compare on the brief of the plan"
        raise InputError(message)
    return options


def _option_lines(folder: Path) -> dict[int, BaseGeometry]:
    """Lines of the options that kept theirs, by number; none where the comparison kept none."""
    file, summary = folder / _OPTION_LAYERS, read_summary(folder, ())
    if file.name not in summary["files"]:
        return {}
    check_as_written(summary, _file(folder, file.name))
    return {int(properties["number"]): lines for lines, properties in read_layer(file, "options")}


def read_layer(file: Path, name: str) -> tuple[Feature, ...]:
    """Read the features of a layer of a GeoPackage among results.

    Parameters
    ----------
    file : Path
        GeoPackage.
    name : str
        Layer.

    Returns
    -------
    tuple of (shapely geometry, dict)
        Geometry and figures of each feature.

    Raises
    ------
    InputError
        If the file is missing or damaged, or has no such layer.

    Examples
    --------
    >>> [(line.geom_type, figures["swale"]) for line, figures in read_layer(plan_folder / "site.gpkg", "swales")]
    [('LineString', 'S1'), ('LineString', 'S2')]
    """
    try:
        frame = pyogrio.read_dataframe(_file(file.parent, file.name), layer=name)
    except (DataLayerError, DataSourceError) as fault:
        message = f"'{file}' has no layer '{name}' or is damaged; run the swalekit command that wrote it again"
        raise InputError(message) from fault
    names = [column for column in frame.columns if column != "geometry"]
    rows = zip(*(frame[column].tolist() for column in names), strict=True) if names else [()] * len(frame)
    return tuple((shape, dict(zip(names, row, strict=True))) for shape, row in zip(frame.geometry, rows, strict=True))


def _thinned(file: Path) -> Terrain:
    """A raster in blocks averaged to at most so many cells a side, read in strips."""
    with rasterio.open(file) as tile:
        factor = ceil(max(tile.shape) / _GREATEST_SIDE)
        step = 256 * factor
        strips = [
            block_mean(tile.read(1, window=Window(0, row, tile.width, min(step, tile.height - row))), factor)
            for row in range(0, tile.height, step)
        ]
        heights, transform = np.vstack(strips), tile.transform * Affine.scale(factor)
        grid = Grid(heights.shape, transform, CRS.from_wkt(tile.crs.to_wkt()))
    return Terrain.from_heights(heights, grid)


_OWN = ("bottom_width_m", "uphill_side_slope", "downhill_side_slope", "crest_width_m", "freeboard_m")
"""What of a section is a swale's own; folders of before had the first and the last."""


def _sections(summary: dict[str, Any]) -> dict[str, SwaleSection]:
    """Section of each swale at its rounded figures."""
    part = summary["brief"]["section"]
    section = Section(**{name: value for name, value in part.items() if name in Section.__match_args__})
    return {
        row["swale"]: SwaleSection.standing(
            row["swale"],
            replace(section, **{name: float(row[name]) for name in _OWN if name in row}),
            depth_m=row["depth_m"],
            crest_m=float(row["crest_m"] - row["level_m"]),
            sill_m=float(row["sill_m"] - row["level_m"]),
            slope=float(row["mean_slope"]),
        )
        for row in summary["swales"]
    }


def _profiles(folder: Path, swales: tuple[Feature, ...]) -> Mapping[str, NDArray[np.float64]]:
    """Ground before along each line, from the rasters at their full resolution."""
    with rasterio.open(_file(folder, _BUILT)) as built, rasterio.open(_file(folder, _MOVED)) as moved:
        return {properties["swale"]: _profile(line, built, moved) for line, properties in swales}


def _profile(line: BaseGeometry, built: Any, moved: Any) -> NDArray[np.float64]:
    chainage_m, xy = profile_stations(line)
    columns, rows = ~built.transform * xy.T
    first_row, first_column = int(max(rows.min() - 2, 0)), int(max(columns.min() - 2, 0))
    height, width = int(np.ptp(rows)) + 6, int(np.ptp(columns)) + 6
    window = Window(first_column, first_row, width, height).intersection(Window(0, 0, built.width, built.height))
    ground = built.read(1, window=window) - moved.read(1, window=window)
    heights = bilinear(ground, rows - 0.5 - first_row, columns - 0.5 - first_column)
    return np.column_stack([chainage_m, heights])


def _water(summary: dict[str, Any], file: Path) -> SiteWater | None:
    if file.name not in summary["files"]:
        return None
    check_as_written(summary, _file(file.parent, file.name))
    rows = read_table(file, WATER_COLUMNS)
    series = {column.name: np.array([float(row[column.name]) for row in rows]) for column in WATER_COLUMNS}
    return SiteWater(soaked_total_m3=series.pop("soaked_m3"), **series)
