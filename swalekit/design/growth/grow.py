"""From a design and its records to a planting: the order of the work, each step done by the room that owns it."""

from collections.abc import Mapping, Sequence

import numpy as np

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.growth.chosen_species import chosen_species, mature_stand, root_zone_of
from swalekit.design.growth.greywater import Greywater
from swalekit.design.growth.greywater_plan import plan_greywater
from swalekit.design.growth.growth import Conditions, Growth, SwaleGrowth, plant_counts
from swalekit.design.growth.notes import bed_cautions, fruit_cautions, growth_notes, plant_cautions
from swalekit.design.growth.records import Records, check_growable
from swalekit.design.growth.stand_years import stand_years
from swalekit.design.growth.tree_water import grow_swales
from swalekit.design.growth.tree_weather import daily_weather, reference_of, station_of
from swalekit.design.layout.ground import Stage, silent
from swalekit.design.plan.design import Design
from swalekit.planting.plants.species import known_species
from swalekit.planting.plants.succession import RoleCanopy, canopies_by_year, role_years
from swalekit.planting.water.crop_coefficients import growing_days
from swalekit.planting.water.harvest_ratio import LEAST_SEASONS, harvest_ratio, probable_rain_mm
from swalekit.planting.water.months import mean_months, year_sums
from swalekit.planting.weather.weather import Weather
from swalekit.planting.work.bill import Bill, bill_of
from swalekit.planting.work.materials import MulchPlan, compost_m3, first_water_m3, mulch_plan
from swalekit.planting.work.nursery import NurseryLine, nursery_stock
from swalekit.planting.work.work_calendar import rainy_season, work_calendar
from swalekit.planting.work.yearly_work import schedule

MATERIALS = ("mulch", "compost", "gravel", "pipe")
"""What is priced besides plants."""

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
    chosen = chosen_species(part, records.species)
    part.check_prices((*known_species(), *records.species, *MATERIALS))
    stand = mature_stand(chosen, growing_days(weather, reference.air), part)
    season = rainy_season(mean_months(weather.rain_mm, weather.dates), mean_months(reference.et_mm, weather.dates))
    shared = Conditions(weather, reference, chosen, stand, root_zone_of(chosen, brief), season)
    stage("following the water of the trees")
    swales = grow_swales(design, shared)
    stage("looking for a place for the reed bed")
    greywater = plan_greywater(design, shared, swales)
    counts, roles = plant_counts(swales, chosen), part.years_by_role
    nursery = tuple(
        nursery_stock(counts, np.datetime64(f"{part.planting_year}-{season.first:02d}", "M"), succession=roles)
    )
    canopies = canopies_by_year(counts, succession=roles, years=part.years)
    planted_m2 = sum(swale.capacity.planted_m2 for swale in swales)
    mulch, compost = _mulch(part, canopies, planted_m2), compost_m3(counts)
    lowest_c = float(weather.tmin_c.min()) if weather is records.weather else None
    return Growth(
        design=design,
        **vars(shared),
        made_rain=records.rain is None and not isinstance(records.weather, Weather),
        swales=swales,
        schedule=tuple(schedule(counts, succession=roles, years=part.years)),
        canopies=canopies,
        stand_years=stand_years(design, shared, swales, canopies),
        mulch=mulch,
        compost_m3=compost,
        first_water_m3=first_water_m3(counts, season, succession=roles),
        nursery=nursery,
        calendar=work_calendar(season, nursery=nursery, planted=bool(counts)),
        greywater=greywater,
        bill=_bill(part, nursery, mulch, compost, greywater),
        needed_ratio=_needed_ratio(weather, swales),
        notes=(*records.notes, *weather_notes, *growth_notes(brief, swales, shared)),
        cautions=plant_cautions(chosen, canopies, planted_m2, lowest_c=lowest_c)
        | fruit_cautions(swales)
        | ({} if greywater is None else bed_cautions(design, greywater)),
        hashes=records.hashes,
    )


def _mulch(part: PlantingPart, canopies: Mapping[str, RoleCanopy], planted_m2: float) -> MulchPlan:
    pruned_from = role_years("pioneer", part.years_by_role).prune_from_year
    return mulch_plan(
        part.mulch_cover * planted_m2,
        canopies["pioneer"].canopy_m2 if "pioneer" in canopies else np.zeros(part.years),
        prune_from_year=part.years + 1 if pruned_from is None else pruned_from,
        depth_m=part.mulch_depth_m,
        top_up_m=part.mulch_top_up_m,
    )


def _bill(
    part: PlantingPart,
    nursery: Sequence[NurseryLine],
    mulch: MulchPlan,
    compost: float,
    greywater: Greywater | None,
) -> Bill:
    """Plants with their replacements, mulch that must be bought, compost, and the reed bed with its pipe."""
    first, top_up = "mulch at planting", f"mulch, top-up to year {part.years}"
    bought = mulch.bought_m3
    items = [(line.species.name, float(line.planted + line.replacements), "plants") for line in nursery]
    items += [(first, float(bought[0]), "m3"), (top_up, float(bought[1:].sum()), "m3"), ("compost", compost, "m3")]
    prices = dict(part.prices)
    if "mulch" in prices:
        prices |= {first: prices["mulch"], top_up: prices["mulch"]}
    if greywater is not None and greywater.route is not None:
        bed = greywater.bed
        items += [("gravel", bed.area_m2 * bed.depth_m, "m3"), ("pipe", greywater.route.length_m, "m")]
    return bill_of(items, prices)


def _needed_ratio(weather: Weather, swales: Sequence[SwaleGrowth]) -> float | None:
    """Catchment over planted ground by the manual's formula, for trees that want for nothing."""
    planted = [swale for swale in swales if swale.water is not None]
    rain_mm = year_sums(weather.rain_mm, weather.dates)
    harvested_mm = (
        1000.0 * sum(swale.harvested_m3 for swale in planted) / max(sum(swale.catchment_m2 for swale in planted), 1)
    )
    if not planted or rain_mm.size < LEAST_SEASONS or not 0.0 < harvested_mm < rain_mm.mean():
        return None
    tables = [swale.water.table for swale in planted if swale.water is not None]
    return harvest_ratio(
        float(tables[0].demand_mm.sum()) / rain_mm.size,
        probable_rain_mm(rain_mm, _TWO_YEARS_OF_THREE),
        runoff_coefficient=harvested_mm / float(rain_mm.mean()),
        efficiency=_EFFICIENCY,
    )
