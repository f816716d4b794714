"""The weather that trees live in: every day of it, measured or made, and what the air asks for."""

from dataclasses import replace
from itertools import groupby

import numpy as np
from pyproj import Transformer

from swalekit.design.brief.site import WGS84, Site
from swalekit.design.brief.weather_part import WeatherPart
from swalekit.design.growth.records import Records
from swalekit.errors import InputError
from swalekit.hydrology.storm.counted_years import counted_years
from swalekit.hydrology.storm.daily_record import DailyRecord
from swalekit.planting.weather.air import Filling
from swalekit.planting.weather.made_year import made_years
from swalekit.planting.weather.reference_et import ReferenceEt, hargreaves_mm, reference_et
from swalekit.planting.weather.weather import Place, Weather
from swalekit.terrain.terrain import Terrain

_FIRST_MADE_YEAR = 1  # so that nobody takes made years for those of the calendar


def station_of(site: Site, terrain: Terrain) -> Place:
    """Where the weather is measured: as the brief says, else the middle of the tile and the mean of its heights.

    Parameters
    ----------
    site : Site
        The brief.
    terrain : Terrain
        The tile.

    Returns
    -------
    Place
        Latitude [°], height above the sea [m], and that of the wind gauge above ground [m].

    Examples
    --------
    >>> station_of(site, terrain).latitude_deg
    36.1442
    """
    part, grid = site.brief.weather, terrain.grid
    west, south, east, north = grid.bounds
    move = Transformer.from_crs(grid.crs, WGS84, always_xy=True)
    _, latitude = move.transform(0.5 * (west + east), 0.5 * (south + north))
    return Place(
        round(float(latitude), 4) if part.latitude_deg is None else part.latitude_deg,
        round(float(np.nanmean(terrain.heights)), 1) if part.elevation_m is None else part.elevation_m,
        part.wind_height_m,
    )


def reference_of(part: WeatherPart, weather: Weather) -> ReferenceEt:
    """Work out reference evapotranspiration by the method that the brief names.

    Parameters
    ----------
    part : WeatherPart
        The method, and what stands in for missing readings.
    weather : Weather
        Every day.

    Returns
    -------
    ReferenceEt
        What the air asks for on every day [mm].

    Examples
    --------
    >>> bool((reference_of(site.brief.weather, growth.weather).et_mm > 0.0).all())
    True
    """
    full = reference_et(weather, filling=_filling_of(part))
    return full if part.method == "Penman-Monteith" else replace(full, et_mm=hargreaves_mm(weather))


def _filling_of(part: WeatherPart) -> Filling:
    """What stands in for missing readings."""
    return Filling(part.range_coefficient, part.wind_m_s, part.dew_below_tmin_c)


def daily_weather(part: WeatherPart, records: Records, place: Place) -> tuple[Weather, tuple[str, ...]]:
    """Weather of every day and what a reader must know of it.

    Parameters
    ----------
    part : WeatherPart
        How years are made where only normals are known.
    records : Records
        Days as measured; or normals, whose rain is that of a daily record or made too.
    place : Place
        Where.

    Returns
    -------
    weather : Weather
        Every day of whole years.
    notes : tuple of str
        What a reader must know of it.

    Raises
    ------
    InputError
        If days are measured and a daily record of rain is given too, or that record has no whole year.

    Examples
    --------
    >>> weather, notes = daily_weather(site.brief.weather, Records(growth.weather), growth.weather.place)
    >>> weather is growth.weather, notes
    (True, ())
    """
    given, rain = records.weather, records.rain
    if isinstance(given, Weather):
        if rain is not None:
            message = (
                "[weather] rain goes with monthly normals, but file holds daily weather with its own rain; take it out"
            )
            raise InputError(message)
        return given, ()
    if rain is None:
        made = made_years(
            given,
            place,
            first_year=_FIRST_MADE_YEAR,
            years=part.made_years,
            seed=part.seed,
            rain_spread=part.made_spread,
            month_spread=part.made_month_spread,
        )
        return made, (
            f"weather: {part.made_years} years made of monthly normals; real dry spells last longer and storms "
            "are harder, so that the tree count is a rough guess; give a daily record of rain if there is one",
        )
    first, years, gaps = _years_in_a_row(rain)
    made = made_years(given, place, first_year=first, years=years, seed=part.seed)
    rain_mm = np.zeros(made.dates.size)
    at = (rain.dates - made.dates[0]).astype(np.int64)
    inside = (at >= 0) & (at < rain_mm.size)
    rain_mm[at[inside]] = rain.depth_mm[inside]
    weather = Weather(place, made.dates, made.tmax_c, made.tmin_c, rain_mm, made.readings)
    return weather, (f"weather: daily rain of {first} to {first + years - 1}, all else by monthly normals", *gaps)


def _years_in_a_row(record: DailyRecord) -> tuple[int, int, tuple[str, ...]]:
    """First year and number of years of the longest run of those that count, the latest of equals, and what lacks."""
    counted = counted_years(record)
    runs = [
        [year for _, year in run] for _, run in groupby(enumerate(counted.years), key=lambda pair: pair[1] - pair[0])
    ]
    if not runs:
        why = "; ".join(counted.notes)
        message = (
            f"rain record from {record.dates[0]} to {record.dates[-1]} holds no whole year ({why}); give a longer one"
        )
        raise InputError(message)
    years = max(reversed(runs), key=len)
    notes = [f"rain record: {note}" for note in counted.notes]
    others = [year for year in counted.years if year not in years]
    if others:
        notes.append(
            f"rain record: a daily budget needs years in a row; of {len(runs)} runs the longest is taken, without "
            f"{', '.join(map(str, others))}"
        )
    missing = sum(record.missing_days[year] for year in years)
    if missing:
        notes.append(f"rain record: days without reading, taken as dry: {missing}")
    return years[0], len(years), tuple(notes)
