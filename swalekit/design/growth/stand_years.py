"""The water of the planted ground year by year, as its canopies and roots grow."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.growth.chosen_species import stand_of_cover
from swalekit.design.growth.growth import Conditions, StandYear, SwaleGrowth
from swalekit.design.growth.tree_water import ditch_of, wetted_m
from swalekit.design.plan.design import Design, Swale
from swalekit.planting.plants.canopy import canopy_diameter_m
from swalekit.planting.plants.plant_positions import Planting
from swalekit.planting.plants.succession import RoleCanopy
from swalekit.planting.water.crop_coefficients import GrowingDays, growing_days
from swalekit.planting.water.months import month_table
from swalekit.planting.water.root_spread import reached_share, root_depth_m, rooted_share
from swalekit.planting.water.water_budget import WaterBudget, water_budget

_DRINKING = ("pioneer", "fruit")
"""Roles whose canopies count; ground cover lives on the rain of the berm."""


@dataclass(frozen=True)
class _Grown:
    """How far plants have grown by the end of a year.

    Parameters
    ----------
    year : int
        Calendar year.
    cover : float
        Share of the planted ground under canopies [-].
    rooted : float
        Share of it with roots beneath [-].
    depth_m : float
        How deep the roots go [m].
    radius_m : mapping of str to float
        How far those of a plant of each role reach [m].
    standing : mapping of str to float
        Share of the places of each role on which a plant stands [-].
    """

    year: int
    cover: float
    rooted: float
    depth_m: float
    radius_m: Mapping[str, float]
    standing: Mapping[str, float]


def stand_years(
    design: Design, shared: Conditions, swales: Sequence[SwaleGrowth], canopies: Mapping[str, RoleCanopy]
) -> tuple[StandYear, ...]:
    """What the stand of each year wants and gets, under the whole record of weather.

    Parameters
    ----------
    design : Design
        The swales.
    shared : Conditions
        Weather, species and soil.
    swales : sequence of SwaleGrowth
        What each carries, as in the design.
    canopies : mapping of str to RoleCanopy
        Plants and canopies of each role at the end of each year.

    Returns
    -------
    tuple of StandYear
        Years in order; none where nothing is planted.

    Notes
    -----
    Canopies of pioneers and trees together cover the ground; both are taken to use what the trees do for as much
    canopy, since nothing is published for most pioneers. Roots spread and deepen as the canopies widen, so that young
    ones fill less of the ground, less deep, and reach less of the ditch. A year of growth ends in the calendar year
    after the planting where the rains go over the turn of the year. The brief's irrigation counts; what is carried to
    young plants by hand (`first_water_m3`) comes on top.
    """
    if not any(swale.water for swale in swales):
        return ()
    days = growing_days(shared.weather, shared.reference.air)
    drinking = {role: canopy for role, canopy in canopies.items() if role in _DRINKING}
    planted_m2 = sum(swale.capacity.planted_m2 for swale in swales)
    part = design.site.brief.planting
    grown = [
        _grown(part, shared, drinking, planted_m2, year=year)
        for year in range(part.years)
        if any(canopy.canopy_m2[year] for canopy in drinking.values())
    ]
    return tuple(_stand_year(state, days, design, shared, swales) for state in grown)


def _grown(
    part: PlantingPart, shared: Conditions, drinking: Mapping[str, RoleCanopy], planted_m2: float, *, year: int
) -> _Grown:
    canopy_m2 = {role: float(canopy.canopy_m2[year]) for role, canopy in drinking.items()}
    all_m2 = sum(canopy_m2.values())
    depths_m = {
        role: root_depth_m(shared.zone.root_depth_m, area_m2 / float(drinking[role].grown_m2[year]))
        for role, area_m2 in canopy_m2.items()
        if area_m2
    }
    one_m2 = {role: area_m2 / max(int(drinking[role].plants[year]), 1) for role, area_m2 in canopy_m2.items()}
    return _Grown(
        year=part.calendar_year(1 + year + (shared.season.first > shared.season.last)),
        cover=min(all_m2 / planted_m2, 1.0),
        rooted=rooted_share(all_m2 / planted_m2, part.root_spread),
        depth_m=sum(canopy_m2[role] * depth_m for role, depth_m in depths_m.items()) / all_m2,
        radius_m={role: 0.5 * part.root_spread * canopy_diameter_m(area_m2) for role, area_m2 in one_m2.items()},
        standing={
            role: float(canopy.plants[year] / max(int(canopy.plants.max()), 1)) for role, canopy in drinking.items()
        },
    )


def _stand_year(
    grown: _Grown, days: GrowingDays, design: Design, shared: Conditions, swales: Sequence[SwaleGrowth]
) -> StandYear:
    part = design.site.brief.planting
    stand = stand_of_cover(shared.chosen, days, part, cover=min(grown.cover / grown.rooted, 1.0))
    zone = replace(shared.zone, root_depth_m=grown.depth_m)

    def budget_of(swale: Swale, mature: WaterBudget, planting: Planting) -> WaterBudget:
        return water_budget(
            mature.water,
            stand,
            zone,
            ditch_of(design, swale),
            planted_m2=grown.rooted * mature.planted_m2,
            reached_share=_reached(swale, planting, grown, wet_m=wetted_m(swale, part)),
            irrigation_mm_month=part.irrigation_mm_month,
        )

    budgets = [
        budget_of(swale, carried.water.budget, carried.planting)
        for swale, carried in zip(design.swales, swales, strict=True)
        if carried.water is not None
    ]
    tables = [(budget.planted_m2, month_table(budget, least_ratio=part.least_ratio)) for budget in budgets]
    years = tables[0][1].years
    wanted, got = (
        sum(m2 / 1000.0 * np.bincount(table.year - years[0], getattr(table, name)) for m2, table in tables)
        for name in ("demand_mm", "transpiration_mm")
    )
    soaked_m3 = sum(float(budget.soaked_m3.sum()) for budget in budgets)
    beyond_m3 = sum(float(budget.beyond_m3.sum()) for budget in budgets)
    return StandYear(
        year=grown.year,
        cover=grown.cover,
        root_depth_m=grown.depth_m,
        reached_share=1.0 - beyond_m3 / soaked_m3 if soaked_m3 else 0.0,
        want_m3=float(np.mean(wanted)),
        met=float(np.sum(got) / np.sum(wanted)),
        short_share=float(np.mean(got < part.least_ratio * wanted)),
    )


def _reached(swale: Swale, planting: Planting, grown: _Grown, *, wet_m: float) -> float:
    """Share of a ditch that the roots of pioneers and trees reach; thinned ones are taken out evenly [-]."""
    xy, radii = [np.zeros((0, 2))], [np.zeros(0)]
    for role, standing in grown.standing.items():
        places = planting.xy[planting.of_roles(role)]
        counted = np.floor(standing * np.arange(len(places) + 1) + 1e-9)
        kept = places[np.diff(counted) > 0]
        xy.append(kept)
        radii.append(np.full(len(kept), grown.radius_m[role]))
    return reached_share(swale.line, np.vstack(xy), np.concatenate(radii), wet_m=wet_m)
