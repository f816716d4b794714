"""What a planting is worked out from: the brief's parts as values of the planting room, and daily weather."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from pyproj import Transformer

from swalekit.design.brief import Brief
from swalekit.design.planting_part import CoefficientsPart, PlantingPart, WeatherPart
from swalekit.design.site import WGS84, Site
from swalekit.errors import BriefError, InputError
from swalekit.hydrology.daily_record import DailyRecord, days_in_year
from swalekit.planting.air import Filling
from swalekit.planting.canopy import canopy_area_m2, canopy_diameter_m
from swalekit.planting.crop_coefficients import GrowingDays
from swalekit.planting.made_year import MonthlyNormals, made_years
from swalekit.planting.root_zone import RootZone
from swalekit.planting.species import Species, crop_of, find_species, known_species
from swalekit.planting.stand import Stand, StandPart, stand_of
from swalekit.planting.weather import Place, Weather
from swalekit.tables.crop_coefficients import CropRow, growth_stages
from swalekit.terrain.terrain import Terrain

_FIRST_MADE_YEAR = 1  # so that nobody takes made years for those of the calendar
_GREATEST_GAP = 0.1
"""Share of a year's days without reading above which the year is not taken."""
_USUAL_DEPLETION = 0.5
"""FAO-56 (1998) Table 22: most fruit trees; for crops whose row gives none."""
_GROWN_YEARS = 100.0


@dataclass(frozen=True, eq=False)
class Records:
    """What the files that a brief names say.

    Parameters
    ----------
    weather : Weather or MonthlyNormals
        Days, or monthly normals.
    rain : DailyRecord, optional
        Daily rain that goes with normals.
    species : mapping of str to Species
        The user's own species.
    notes : tuple of str
        What a reader must know of them.
    """

    weather: Weather | MonthlyNormals
    rain: DailyRecord | None = None
    species: Mapping[str, Species] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Chosen:
    """The species of a planting, each in its place, with the coefficients of the trees.

    Parameters
    ----------
    pioneers, sheltered, ground_cover : tuple of Species
        Nurses, the trees they nurse, low plants of the berm.
    crops : tuple of CropRow
        Coefficients of each sheltered tree.
    """

    pioneers: tuple[Species, ...]
    sheltered: tuple[Species, ...]
    ground_cover: tuple[Species, ...]
    crops: tuple[CropRow, ...]

    @property
    def all(self) -> tuple[Species, ...]:
        """Every species."""
        return self.pioneers + self.sheltered + self.ground_cover

    @property
    def tree_area_m2(self) -> float:
        """Ground of a tree: the widest spacing squared [m²]."""
        return max(each.spacing_m for each in self.sheltered) ** 2

    @property
    def mean_canopy_m(self) -> float:
        """Diameter of a full-grown canopy of mean area [m]."""
        areas = [canopy_area_m2(each.canopy_m, each.growth, _GROWN_YEARS) for each in self.sheltered]
        return canopy_diameter_m(sum(areas) / len(areas))

    @property
    def mature_cover(self) -> float:
        """Share of the planted ground under full-grown trees, at most 1 [-]."""
        return min(1.0, sum(_cover_of(self, each) for each in self.sheltered))


def check_growable(brief: Brief) -> None:
    """Check that a brief says what a planting needs.

    Raises
    ------
    BriefError
        If not, naming all that is missing in one line.
    """
    part, soil = brief.planting, brief.soil
    needed = {
        "[weather] file": brief.weather.file,
        "[planting] pioneers": part.pioneers,
        "[planting] sheltered": part.sheltered,
        "[planting] planting_year": part.planting_year,
        "[soil] texture": part.texture or soil.texture,
        "[soil] intake_mm_h, infiltration_test or texture": soil.intake_mm_h or soil.infiltration_test or soil.texture,
    }
    missing = [name for name, value in needed.items() if not value]
    if missing:
        message = f"the brief lacks {', '.join(missing)}, which a planting needs; add what is missing"
        raise BriefError(message)


def station_of(site: Site, terrain: Terrain) -> Place:
    """Where the weather is measured: as the brief says, else the middle of the tile and the mean of its heights."""
    part, grid = site.brief.weather, terrain.grid
    west, south, east, north = grid.bounds
    move = Transformer.from_crs(grid.crs, WGS84, always_xy=True)
    _, latitude = move.transform(0.5 * (west + east), 0.5 * (south + north))
    return Place(
        round(float(latitude), 4) if part.latitude_deg is None else part.latitude_deg,
        round(float(np.nanmean(terrain.heights)), 1) if part.elevation_m is None else part.elevation_m,
        part.wind_height_m,
    )


def filling_of(part: WeatherPart) -> Filling:
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

    Raises
    ------
    InputError
        If days are measured and a daily record of rain is given too, or that record has no whole year.
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
        )
        return made, (
            f"weather: {part.made_years} years made of monthly normals; real dry spells last longer, storms are "
            "harder, and all months of a made year are wetter or drier together, so that the tree count is a rough "
            "guess; give a daily record of rain if there is one",
        )
    first, years, missing = _whole_years(rain)
    made = made_years(given, place, first_year=first, years=years, seed=part.seed)
    rain_mm = np.zeros(made.dates.size)
    at = (rain.dates - made.dates[0]).astype(np.int64)
    inside = (at >= 0) & (at < rain_mm.size)
    rain_mm[at[inside]] = rain.depth_mm[inside]
    weather = Weather(place, made.dates, made.tmax_c, made.tmin_c, rain_mm, made.readings)
    notes = [f"weather: daily rain of {first} to {first + years - 1}, all else by monthly normals"]
    if missing:
        notes.append(f"rain record: days without reading, taken as dry: {missing}")
    return weather, tuple(notes)


def _whole_years(record: DailyRecord) -> tuple[int, int, int]:
    """First year, number of years, and days without reading in them; years of many gaps at the ends left out."""
    gaps = record.missing_days
    poor = {year for year, days in gaps.items() if days > _GREATEST_GAP * days_in_year(year)}
    whole = [year for year in gaps if year not in poor]
    if not whole:
        message = f"rain record from {record.dates[0]} to {record.dates[-1]} holds no whole year; give a longer one"
        raise InputError(message)
    years = range(whole[0], whole[-1] + 1)
    amid = [year for year in years if year in poor]
    if amid:
        message = (
            f"rain record: {gaps[amid[0]]} days of {amid[0]} are missing, amid other years; fill them from a gauge "
            "near by, or cut the record there"
        )
        raise InputError(message)
    return years[0], len(years), sum(gaps[year] for year in years)


def chosen_species(part: PlantingPart, own: Mapping[str, Species]) -> Chosen:
    """The species that a brief names.

    Raises
    ------
    InputError
        If one isn't known, stands in a place that isn't its role's, or a sheltered one has no crop coefficients.
    """
    known = known_species() | dict(own)

    def found(names: tuple[str, ...], key: str, role: str) -> tuple[Species, ...]:
        species = tuple(find_species(name, known) for name in names)
        for each in species:
            if each.role != role:
                message = (
                    f"[planting] {key} names {each.name}, whose role is {each.role}; list one whose role is {role}"
                )
                raise InputError(message)
        return species

    sheltered = found(part.sheltered, "sheltered", "fruit")
    crops = [_given_crop(find_species(name, known), own) for name, own in part.coefficients.items()]
    given = {crop.crop: crop for crop in crops}
    return Chosen(
        found(part.pioneers, "pioneers", "pioneer"),
        sheltered,
        found(part.ground_cover, "ground_cover", "ground cover"),
        tuple(_crop(each, given) for each in sheltered),
    )


def _crop(species: Species, given: Mapping[str, CropRow]) -> CropRow:
    try:
        return crop_of(species, given)
    except InputError as error:
        message = (
            f"no crop coefficient is published for {species.name}; give your own in the brief, as "
            f'[planting.coefficients."{species.name}"] with kcb and stages'
        )
        raise InputError(message) from error


def _given_crop(species: Species, own: CoefficientsPart) -> CropRow:
    stages = None if own.stages is None else growth_stages(own.stages)
    return CropRow(
        species.name, None, own.kcb, species.height_m, depletion_fraction=own.depletion_fraction, stages=stages
    )


def mature_stand(chosen: Chosen, days: GrowingDays, part: PlantingPart) -> Stand:
    """The stand of full-grown trees, as it is when the pioneers are gone."""
    parts = [
        StandPart(crop, min(1.0, _cover_of(chosen, each)))
        for each, crop in zip(chosen.sheltered, chosen.crops, strict=True)
    ]
    try:
        return stand_of(parts, days, mulch_cover=part.mulch_cover)
    except InputError as error:
        message = f'{error} in the brief, as [planting.coefficients."NAME"] with kcb and stages'
        raise InputError(message) from error


def stand_of_cover(chosen: Chosen, days: GrowingDays, part: PlantingPart, *, cover: float) -> Stand:
    """The same mix of trees with canopies over another share of the planted ground [-]."""
    mature = [min(1.0, _cover_of(chosen, each)) for each in chosen.sheltered]
    parts = [StandPart(crop, cover * share / sum(mature)) for crop, share in zip(chosen.crops, mature, strict=True)]
    return stand_of(parts, days, mulch_cover=part.mulch_cover)


def root_zone_of(chosen: Chosen, brief: Brief) -> RootZone:
    """Soil with the trees' roots in it: no deeper than they go, nor than the soil lets them."""
    part = brief.planting
    deepest = float(np.mean([each.root_depth_m for each in chosen.sheltered]))
    fractions = [
        _USUAL_DEPLETION if crop.depletion_fraction is None else crop.depletion_fraction for crop in chosen.crops
    ]
    return RootZone.of_texture(
        part.texture or brief.soil.texture or "",
        root_depth_m=deepest if part.root_depth_m is None else min(part.root_depth_m, deepest),
        depletion_fraction=float(np.mean(fractions)),
        stone_share=part.stone_share,
    )


def _cover_of(chosen: Chosen, species: Species) -> float:
    """Share of the planted ground under the full-grown canopies of one sheltered species."""
    canopy = canopy_area_m2(species.canopy_m, species.growth, _GROWN_YEARS)
    return canopy / chosen.tree_area_m2 / len(chosen.sheltered)
