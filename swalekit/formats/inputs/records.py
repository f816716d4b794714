"""The files that a planting is worked out from, as a brief names them."""

from swalekit.design.brief.brief import RECORD_PARTS
from swalekit.design.brief.site import Site
from swalekit.design.growth.records import Records, check_growable
from swalekit.design.growth.tree_weather import station_of
from swalekit.formats.inputs.bed_area import bed_area
from swalekit.formats.inputs.file_hash import hashes_of
from swalekit.formats.inputs.rain_record import read_daily_record
from swalekit.formats.inputs.species_csv import read_species
from swalekit.formats.inputs.weather_csv import read_weather
from swalekit.terrain.terrain import Terrain


def records_of(site: Site, terrain: Terrain) -> Records:
    """Read weather, rain and species files that a site's brief names.

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        Its tile, which says where the weather is measured unless the brief does.

    Returns
    -------
    Records
        Weather, rain, species and the ground for beds, with what a reader must know of them.

    Raises
    ------
    BriefError
        If the brief lacks what a planting needs.
    InputError
        If a file can't be read, in one line.
    GeometryError
        If the ground for beds can't be used.
    """
    check_growable(site.brief)
    hashes = hashes_of(site.brief, RECORD_PARTS)
    part, own = site.brief.weather, site.brief.planting.species
    weather, notes = read_weather(part.file or "", station_of(site, terrain))
    rain = None if part.rain is None else read_daily_record(part.rain, unit=part.rain_unit)
    beds, bed_notes = bed_area(site.brief.beds, terrain.grid.crs)
    species = {} if own is None else read_species(own)
    return Records(weather, rain, species, beds, (*notes, *bed_notes), hashes)
