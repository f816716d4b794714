"""The water of the planted ground year by year, as its canopies and roots grow."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.growth.chosen_species import stand_of_cover
from swalekit.design.growth.growth import Conditions, StandYear, SwaleGrowth
from swalekit.design.growth.plant_groups import COVER, PIONEER
from swalekit.design.growth.tree_water import rule_of, wetted_m
from swalekit.design.plan.design import Design, Swale
from swalekit.planting.plants.canopy import canopy_diameter_m
from swalekit.planting.plants.plant_positions import Planting
from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import RoleCanopy, canopies_by_year, role_years
from swalekit.planting.water.months import month_table
from swalekit.planting.water.root_spread import reached_share, root_depth_m, rooted_share
from swalekit.planting.water.stand import Stand
from swalekit.planting.water.water_budget import WaterBudget, water_budget

HAND_STEPS_L_WEEK = (0.0, 5.0, 10.0, 20.0, 40.0, 80.0, 160.0)
"""Water by hand that is tried, a plant and week of the dry months [L]."""
_DRINKING = ("pioneer", "fruit")
"""Roles whose canopies count; ground cover lives on the rain of the berm."""


class _Young(NamedTuple):
    """The plants of a swale in one year: the ground that they are carried on, their canopies and their water.

    Parameters
    ----------
    canopy_m2 : float
        Ground under their canopies [m²].
    planted_m2 : float
        Ground that the roots of the grown ones fill [m²].
    depth_m : float
        How deep their roots go [m].
    budget : WaterBudget
        Every day of the record.
    least_ratio : float
        Share of a year's full transpiration below which they suffer [-].
    """

    canopy_m2: float
    planted_m2: float
    depth_m: float
    budget: WaterBudget
    least_ratio: float


def canopies_of(
    counts: Mapping[Species, int], stays: Mapping[Species, int], part: PlantingPart
) -> dict[str, RoleCanopy]:
    """Plants and canopies of each role at the end of each year, with pioneers that nurse and those that stay.

    Parameters
    ----------
    counts : mapping of Species to int
        Plants of each species.
    stays : mapping of Species to int
        Of those, pioneers that stand for trees and stay.
    part : PlantingPart
        The years.

    Returns
    -------
    dict of str to RoleCanopy
        By role.

    Examples
    --------
    >>> list(canopies_of(growth.counts, {}, site.brief.planting))
    ['pioneer', 'fruit', 'ground cover']
    """
    nursing = {species: plants - stays.get(species, 0) for species, plants in counts.items()}
    found = canopies_by_year(nursing, succession=part.years_by_role, years=part.years)
    kept = canopies_by_year(stays, succession=part.years_of_lasting, years=part.years)
    for role, canopy in kept.items():
        before = found[role]
        found[role] = RoleCanopy(
            before.plants + canopy.plants, before.canopy_m2 + canopy.canopy_m2, before.grown_m2 + canopy.grown_m2
        )
    return found


def stand_years(design: Design, shared: Conditions, swales: Sequence[SwaleGrowth]) -> tuple[StandYear, ...]:
    """What the stand of each year wants and gets, under the whole record of weather.

    Parameters
    ----------
    design : Design
        The swales.
    shared : Conditions
        Weather, species and soil.
    swales : sequence of SwaleGrowth
        What each carries, as in the design.

    Returns
    -------
    tuple of StandYear
        Years in order; none where nothing is planted.

    Notes
    -----
    Canopies of pioneers and trees together cover the ground; both are taken to use what the trees do for as much
    canopy, or what the pioneers do where no tree is carried. Roots spread and deepen as the canopies widen, so that
    young ones fill less of the ground, less deep, and reach less of the ditch. Trees under pioneers want less by the
    brief's ``shade_relief``, an assumption. A year of growth ends in the calendar
    year after the planting where the rains go over the turn of the year. The brief's irrigation and water by hand
    count; what is carried to young plants (`first_water_m3`) comes on top. How much that must be at least is sought in
    steps, the same for every plant.
    """
    part = design.site.brief.planting
    planted = [pair for pair in zip(design.swales, swales, strict=True) if pair[1].kind not in ("", COVER)]
    canopies = [_drinking(carried, part) for _, carried in planted]
    found = []
    for year in range(part.years):
        calendar_year = part.calendar_year(1 + year + (shared.season.first > shared.season.last))
        for litres in HAND_STEPS_L_WEEK:
            grown = [
                young
                for (swale, carried), drinking in zip(planted, canopies, strict=True)
                if (young := _young(part, swale, carried, shared, drinking, year=year, hand_l_week=litres)) is not None
            ]
            if not grown:
                break
            told = _stand_year(grown, calendar_year)
            if not litres:
                found.append(told)
            if told.short_share <= 1.0 - part.reliability + 1e-9:
                found[-1] = replace(found[-1], hand_l_week=litres)
                break
    return tuple(found)


def _drinking(carried: SwaleGrowth, part: PlantingPart) -> dict[str, RoleCanopy]:
    """Canopies of a swale's pioneers and trees by year."""
    counts = {species: plants for species, plants in carried.planting.counts.items() if species.role in _DRINKING}
    years = part.years_of_lasting if carried.kind == PIONEER else part.years_by_role
    return canopies_by_year(counts, succession=years, years=part.years)


def _young(
    part: PlantingPart,
    swale: Swale,
    carried: SwaleGrowth,
    shared: Conditions,
    canopies: Mapping[str, RoleCanopy],
    *,
    year: int,
    hand_l_week: float,
) -> _Young | None:
    """The plants of a swale as far as they have grown by the end of a year; None before any is planted."""
    group, water = carried.group, carried.water
    all_m2 = sum(float(canopy.canopy_m2[year]) for canopy in canopies.values())
    if group is None or water is None or not all_m2:
        return None
    mature = water.budget
    standing = {role: canopy for role, canopy in canopies.items() if canopy.canopy_m2[year]}
    depth_m = (
        sum(
            float(canopy.canopy_m2[year])
            * root_depth_m(group.zone.root_depth_m, float(canopy.canopy_m2[year] / canopy.grown_m2[year]))
            for canopy in standing.values()
        )
        / all_m2
    )
    rooted = rooted_share(all_m2 / mature.planted_m2, part.root_spread)
    cover = min(min(all_m2 / mature.planted_m2, 1.0) / rooted, 1.0)
    rule, planted_m2 = rule_of(part, shared.season, group.least_ratio), rooted * mature.planted_m2
    plants = carried.capacity.trees
    if hand_l_week > rule.hand_l_week:
        plants = sum(int(canopy.plants[year]) for canopy in standing.values())
        rule = replace(rule, hand_l_week=hand_l_week)
    stand = _shaded(
        stand_of_cover(group.chosen, shared.days, cover=cover, mulch_cover=water.stand.mulch_cover),
        part.shade_relief * _shaded_share(standing, carried.capacity.trees * group.chosen.tree_area_m2, year),
    )
    budget = water_budget(
        mature.water,
        stand,
        replace(group.zone, root_depth_m=depth_m),
        water.ditch,
        planted_m2=planted_m2,
        reached_share=_reached(swale, carried.planting, standing, part, year=year),
        irrigation_mm_month=rule.allowed_mm(plants, planted_m2),
    )
    return _Young(all_m2, mature.planted_m2, depth_m, budget, group.least_ratio)


def _shaded_share(standing: Mapping[str, RoleCanopy], trees_m2: float, year: int) -> float:
    """Share of all canopies that is fruit trees under pioneers, which stand anywhere on the trees' own ground [-]."""
    if not {"pioneer", "fruit"} <= set(standing):
        return 0.0
    pioneer_m2, fruit_m2 = (float(standing[role].canopy_m2[year]) for role in ("pioneer", "fruit"))
    return min(pioneer_m2 / trees_m2, 1.0) * fruit_m2 / (pioneer_m2 + fruit_m2)


def _shaded(stand: Stand, less: float) -> Stand:
    """A stand that wants less by a share, as its trees stand in shade."""
    return replace(stand, kcb=stand.kcb * (1.0 - less))


def lost_by_year(counts: Mapping[Species, int], stays: Mapping[Species, int], part: PlantingPart) -> tuple[int, ...]:
    """Trees and pioneers that die in each year of the schedule.

    Parameters
    ----------
    counts : mapping of Species to int
        Plants of each species.
    stays : mapping of Species to int
        Of those, pioneers that stand for trees and stay.
    part : PlantingPart
        The years, with the shares that are lost.

    Returns
    -------
    tuple of int
        Plants, a figure a year.

    Examples
    --------
    >>> lost_by_year(growth.counts, {}, site.brief.planting)
    (6, 3, 7, 3, 2, 0, 0, 0, 0, 0)
    """
    lost = np.zeros(part.years, np.int64)
    for species, plants in counts.items():
        if species.role not in _DRINKING:
            continue
        stay = stays.get(species, 0)
        for number, years in ((plants - stay, part.years_by_role), (stay, part.years_of_lasting)):
            plan = role_years(species.role, years)
            dead = plan.gaps(number, part.years).lost[: (plan.remove_year or part.years + 1) - plan.plant_year]
            lost[plan.plant_year - 1 :][: dead.size] += dead
    return tuple(lost.tolist())


def _stand_year(grown: Sequence[_Young], year: int) -> StandYear:
    """All swales of one year together."""
    tables = [(one, month_table(one.budget, least_ratio=one.least_ratio)) for one in grown]
    years = tables[0][1].years
    wanted, got = (
        np.array(
            [
                one.budget.planted_m2 / 1000.0 * np.bincount(table.year - years[0], getattr(table, name))
                for one, table in tables
            ]
        )
        for name in ("demand_mm", "transpiration_mm")
    )
    enough = np.array([one.least_ratio for one in grown]) @ wanted
    wanted, got = wanted.sum(axis=0), got.sum(axis=0)
    canopy_m2 = sum(one.canopy_m2 for one in grown)
    soaked_m3 = sum(float(one.budget.soaked_m3.sum()) for one in grown)
    beyond_m3 = sum(float(one.budget.beyond_m3.sum()) for one in grown)
    return StandYear(
        year=year,
        cover=min(canopy_m2 / sum(one.planted_m2 for one in grown), 1.0),
        root_depth_m=sum(one.canopy_m2 * one.depth_m for one in grown) / canopy_m2,
        reached_share=1.0 - beyond_m3 / soaked_m3 if soaked_m3 else 0.0,
        want_m3=float(np.mean(wanted)),
        met=float(np.sum(got) / np.sum(wanted)),
        short_share=float(np.mean(got < enough)),
    )


def _reached(
    swale: Swale, planting: Planting, standing: Mapping[str, RoleCanopy], part: PlantingPart, *, year: int
) -> float:
    """Share of a ditch that the roots of pioneers and trees reach; thinned ones are taken out evenly [-]."""
    xy, radii = [np.zeros((0, 2))], [np.zeros(0)]
    for role, canopy in standing.items():
        places, plants = planting.xy[planting.of_roles(role)], int(canopy.plants[year])
        counted = np.floor(plants / len(places) * np.arange(len(places) + 1) + 1e-9)
        kept = places[np.diff(counted) > 0]
        xy.append(kept)
        radius_m = 0.5 * part.root_spread * canopy_diameter_m(float(canopy.canopy_m2[year]) / max(plants, 1))
        radii.append(np.full(len(kept), radius_m))
    return reached_share(swale.line, np.vstack(xy), np.concatenate(radii), wet_m=wetted_m(swale, part))
