"""The files that microcatchments are worked out from, as a brief names them."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from swalekit.design.brief.brief import BUND_PARTS, Brief
from swalekit.design.brief.site import Site
from swalekit.design.bunding.records import BundRecords
from swalekit.design.growth.tree_weather import station_of
from swalekit.errors import InputError
from swalekit.formats.inputs.file_hash import hashes_of
from swalekit.formats.inputs.polygons import read_polygon
from swalekit.formats.inputs.rain_record import read_daily_record
from swalekit.formats.inputs.weather_csv import read_weather
from swalekit.hydrology.storm.counted_years import counted_years
from swalekit.hydrology.storm.daily_record import DailyRecord
from swalekit.planting.water.months import year_sums
from swalekit.planting.weather.weather import Weather
from swalekit.terrain.terrain import Terrain

_NONE: NDArray[np.float64] = np.empty(0)


def bund_records_of(site: Site, terrain: Terrain) -> BundRecords:
    """Read the ground asked for and the rain of the years that a site's brief names.

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        Its tile, to whose CRS the ground is brought.

    Returns
    -------
    BundRecords
        Ground, and rain of every whole year: of the daily record of ``[weather] rain``, else of ``[weather] file``,
        else of ``[storm] record``; none where the brief gives the rain, or names no daily record.

    Raises
    ------
    GeometryError, InputError
        If a file can't be used, in one line.

    Examples
    --------
    >>> bund_records_of(site.with_values({"microcatchments.rain_mm": 220.0}), terrain).area is None
    True
    """
    brief, part = site.brief, site.brief.microcatchments
    crs = terrain.grid.crs
    area, notes = (None, ()) if part.area is None else read_polygon(part.area, crs, what="microcatchments area")
    hashes = hashes_of(brief, BUND_PARTS)
    if part.rain_mm is not None:
        hashes = {key: digest for key, digest in hashes.items() if key.startswith("microcatchments.")}
        return BundRecords(area, notes=notes, hashes=hashes)
    years_mm, file, more = _years(brief, site, terrain)
    return BundRecords(area, years_mm, file, (*notes, *more), hashes)


def _years(brief: Brief, site: Site, terrain: Terrain) -> tuple[NDArray[np.float64], str, tuple[str, ...]]:
    """Rain of the years, the file that it is from, and what a reader must know."""
    weather, storm = brief.weather, brief.storm
    if weather.rain is not None:
        return _counted(read_daily_record(weather.rain, unit=weather.rain_unit), weather.rain)
    if weather.file is not None:
        days, notes = read_weather(weather.file, station_of(site, terrain))
        if isinstance(days, Weather):
            return _whole_years(days), Path(weather.file).name, notes
    if storm.record is not None:
        return _counted(read_daily_record(storm.record, unit=storm.record_unit), storm.record)
    return _NONE, "", ()


def _counted(record: DailyRecord, path: str) -> tuple[NDArray[np.float64], str, tuple[str, ...]]:
    counted = counted_years(record)
    years = record.years
    sums = [float(record.depth_mm[years == year].sum()) for year in counted.years]
    name = Path(path).name
    return np.array(sums, np.float64), name, tuple(f"rain of '{name}': {note}" for note in counted.notes)


def _whole_years(days: Weather) -> NDArray[np.float64]:
    """Rain of the whole calendar years of daily weather; none where there is no such year."""
    try:
        return year_sums(days.rain_mm, days.dates)
    except InputError:
        return _NONE
