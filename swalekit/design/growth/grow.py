"""From a design and its records to a planting: the order of the work, each step done by the room that owns it."""

from collections.abc import Mapping, Sequence

import numpy as np

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.growth.bed_ground import lay_garden
from swalekit.design.growth.bed_plan import water_garden
from swalekit.design.growth.berm_cover import berm_cover
from swalekit.design.growth.chosen_species import Chosen, chosen_species, mature_stand, root_zone_of
from swalekit.design.growth.cold_ground import cold_ground, cold_words
from swalekit.design.growth.greywater_plan import plan_greywater
from swalekit.design.growth.growth import Conditions, Growth, SwaleGrowth, lasting_pioneers, plant_counts, pockets_m3
from swalekit.design.growth.guilds import guild_cautions
from swalekit.design.growth.house_cautions import bed_cautions, bed_water_cautions, toilet_site_cautions
from swalekit.design.growth.house_lines import HOUSE_MATERIALS, house_lines
from swalekit.design.growth.notes import fruit_cautions, growth_notes, plant_cautions
from swalekit.design.growth.plant_groups import plant_groups
from swalekit.design.growth.planting_bill import MATERIALS, planting_bill
from swalekit.design.growth.records import Records, check_growable, names_species
from swalekit.design.growth.site_palette import (
    check_stands,
    palette_cautions,
    palette_notes,
    planting_ground,
    with_proposal,
)
from swalekit.design.growth.stand_years import canopies_of, lost_by_year, stand_years
from swalekit.design.growth.tree_water import class_areas_m2, daily_water, grow_swales, rule_of
from swalekit.design.growth.tree_weather import daily_weather, reference_of, station_of
from swalekit.design.growth.windbreak import windbreak_notes, windbreak_row
from swalekit.design.layout.ground import Stage, silent
from swalekit.design.plan.design import Design
from swalekit.planting.palette.proposal import palette_of
from swalekit.planting.plants.species import Species, known_species
from swalekit.planting.plants.succession import RoleCanopy, canopies_by_year, role_years
from swalekit.planting.water.crop_coefficients import growing_days
from swalekit.planting.water.harvest_ratio import LEAST_SEASONS, harvest_ratio, probable_rain_mm
from swalekit.planting.water.months import mean_months, year_sums
from swalekit.planting.weather.reference_et import ReferenceEt
from swalekit.planting.weather.weather import Weather
from swalekit.planting.work.materials import MulchPlan, compost_m3, first_water_m3, mulch_plan, mulched_m2
from swalekit.planting.work.nursery import nursery_stock
from swalekit.planting.work.work_calendar import RainySeason, rainy_season, work_calendar
from swalekit.planting.work.yearly_work import Work, schedule

_EFFICIENCY = 0.5
"""Share of harvested water that trees use: Critchley & Siegert (1991) ch. 4, the lower of 0.5 to 0.75."""
_TWO_YEARS_OF_THREE = 67.0


def grow(design: Design, records: Records, *, stage: Stage = silent) -> Growth:
    """Work out what the swales' water carries, and plan the planting.

    Parameters
    ----------
    design : Design
        The swales, with the brief.
    records : Records
        What the weather and species files say.
    stage : callable
        Told the name of each stage as it begins.

    Returns
    -------
    Growth
        Trees, places, schedule, materials, calendar, greywater. No tree at all is a result.

    Raises
    ------
    BriefError
        If the brief lacks what a planting needs.
    InputError
        If a species, a reading or a price can't be used.

    Examples
    --------
    >>> grown = grow(design, Records(growth.weather))
    >>> [swale.trees for swale in grown.swales] == [swale.trees for swale in growth.swales]
    True
    """
    brief, part = design.site.brief, design.site.brief.planting
    check_growable(brief)
    stage("reading the weather")
    weather, weather_notes = daily_weather(brief.weather, records, station_of(design.site, design.ground.terrain))
    reference = reference_of(brief.weather, weather)
    ground = planting_ground(part, weather, days_measured=weather is records.weather)
    palette, named = palette_of(known_species() | dict(records.species), ground), names_species(part)
    if not named:
        design = with_proposal(design, palette)
        brief, part = design.site.brief, design.site.brief.planting
    chosen = chosen_species(part, records.species)
    check_stands(chosen.all, palette, part)
    part.check_prices((*known_species(), *records.species, *MATERIALS, *HOUSE_MATERIALS))
    season = rainy_season(mean_months(weather.rain_mm, weather.dates), mean_months(reference.et_mm, weather.dates))
    shared = _conditions(design, weather, reference, chosen, season, frost_c=ground.frost_c)
    stage("following the water of the trees")
    swales = grow_swales(design, shared)
    windbreak = windbreak_row(design, shared, swales)
    plantings = (*(swale.planting for swale in swales), windbreak)
    cold_note, cold_caution = cold_words(shared.cold, plantings, chosen.all)
    if records.beds is not None:
        stage("laying the beds")
    garden = lay_garden(design, swales, records.beds)
    stage("looking for a place for the reed bed")
    greywater = plan_greywater(design, shared, swales, garden)
    bed_water = water_garden(design, shared, garden, greywater)
    counts, roles = plant_counts(swales, chosen, windbreak), part.years_by_role
    stays = lasting_pioneers(swales)
    works = tuple(_schedule(counts, stays, part))
    nursery = tuple(nursery_stock(works, np.datetime64(f"{part.planting_year}-{season.first:02d}", "M")))
    canopies = canopies_of(counts, stays, part)
    mulch, first_m3 = _mulch(part, chosen, canopies, stays), first_water_m3(works, season, succession=roles)
    planted_m2 = sum(swale.capacity.planted_m2 for swale in swales if swale.water is not None)
    return Growth(
        design=design,
        **vars(shared),
        made_rain=records.rain is None and not isinstance(records.weather, Weather),
        ground=ground,
        palette=palette,
        swales=swales,
        windbreak=windbreak,
        schedule=works,
        canopies=canopies,
        lost_by_year=lost_by_year(counts, stays, part),
        stand_years=stand_years(design, shared, swales),
        mulch=mulch,
        compost_m3=compost_m3(counts),
        first_water_m3=first_m3,
        nursery=nursery,
        calendar=work_calendar(season, nursery=nursery, planted=bool(counts)),
        greywater=greywater,
        garden=garden,
        bed_water=bed_water,
        bill=planting_bill(
            design.site, nursery, works, mulch, first_m3, house_lines(design, greywater, garden), pockets_m3(swales)
        ),
        needed_ratio=_needed_ratio(weather, swales),
        notes=(
            *palette_notes(chosen.all, palette, named=named),
            *records.notes,
            *weather_notes,
            *growth_notes(brief, swales, shared),
            *filter(None, (cold_note, *windbreak_notes(design, shared, windbreak))),
        ),
        cautions=palette_cautions(chosen.all, palette)
        | plant_cautions(chosen, canopies, planted_m2, frost_c=ground.frost_c)
        | fruit_cautions(swales)
        | guild_cautions(plantings)
        | ({"cold air": cold_caution} if cold_caution else {})
        | ({} if greywater is None else bed_cautions(design, greywater))
        | bed_water_cautions(garden, bed_water)
        | toilet_site_cautions(design),
        hashes=records.hashes,
    )


def _conditions(
    design: Design,
    weather: Weather,
    reference: ReferenceEt,
    chosen: Chosen,
    season: RainySeason,
    *,
    frost_c: float | None,
) -> Conditions:
    """What all swales share."""
    brief, part, days = design.site.brief, design.site.brief.planting, growing_days(weather, reference.air)
    rain = daily_water(design, weather, reference, class_areas_m2(design).sum(axis=0))
    return Conditions(
        weather,
        reference,
        chosen,
        mature_stand(chosen, days, part),
        root_zone_of(chosen, brief),
        season,
        days,
        plant_groups(chosen, brief),
        berm_cover(chosen, brief, days, rain, rule_of(part, season, part.least_ratio)),
        cold_ground(design.ground, frost_c=frost_c),
    )


def _schedule(counts: Mapping[Species, int], stays: Mapping[Species, int], part: PlantingPart) -> list[Work]:
    """Work of each year; pioneers that stand where no tree is carried are planted and left."""
    nursing = {species: plants - stays.get(species, 0) for species, plants in counts.items()}
    works: dict[tuple[int, str, Species], int] = {}
    for standing, roles in ((nursing, part.years_by_role), (stays, part.years_of_lasting)):
        for work in schedule(standing, succession=roles, years=part.years):
            key = (work.year, work.task, work.species)
            works[key] = works.get(key, 0) + work.plants
    return sorted((Work(*key, plants) for key, plants in works.items()), key=lambda work: work.year)


def _mulch(
    part: PlantingPart, chosen: Chosen, canopies: Mapping[str, RoleCanopy], stays: Mapping[Species, int]
) -> MulchPlan:
    """Rings of mulch round the trees, and round pioneers that stay, which widen with their canopies."""
    pruned_from = role_years("pioneer", part.years_by_role).prune_from_year
    kept = canopies_by_year(stays, succession=part.years_of_lasting, years=part.years).get("pioneer")
    rings = [
        mulched_m2(canopy, grown_m2=part.mulch_cover * chosen.tree_area_m2)
        for canopy in (canopies.get("fruit"), kept)
        if canopy is not None
    ]
    return mulch_plan(
        np.sum(rings, axis=0) if rings else np.zeros(part.years),
        canopies["pioneer"].canopy_m2 if "pioneer" in canopies else np.zeros(part.years),
        prune_from_year=part.years + 1 if pruned_from is None else pruned_from,
        depth_m=part.mulch_depth_m,
        top_up_m=part.mulch_top_up_m,
    )


def _needed_ratio(weather: Weather, swales: Sequence[SwaleGrowth]) -> float | None:
    """Catchment over planted ground by the manual's formula, for trees that want for nothing."""
    planted = [swale for swale in swales if swale.water is not None]
    rain_mm = year_sums(weather.rain_mm, weather.dates)
    harvested_mm = (
        1000.0 * sum(swale.harvested_m3 for swale in planted) / max(sum(swale.catchment_m2 for swale in planted), 1)
    )
    if not planted or rain_mm.size < LEAST_SEASONS or not 0.0 < harvested_mm < rain_mm.mean():
        return None
    budgets = [swale.water.budget for swale in planted if swale.water is not None]
    want_m3 = sum(float(budget.demand_mm.sum()) * budget.planted_m2 for budget in budgets)
    return harvest_ratio(
        want_m3 / sum(budget.planted_m2 for budget in budgets) / rain_mm.size,
        probable_rain_mm(rain_mm, _TWO_YEARS_OF_THREE),
        runoff_coefficient=harvested_mm / float(rain_mm.mean()),
        efficiency=_EFFICIENCY,
    )
