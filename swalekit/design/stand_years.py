"""The water of the planted ground year by year, as its canopies and roots grow."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swalekit.design.chosen_species import stand_of_cover
from swalekit.design.design import Design, Swale
from swalekit.design.growth import StandYear, SwaleGrowth, plant_counts
from swalekit.design.tree_water import Conditions, ditch_of
from swalekit.planting.canopy import canopy_diameter_m
from swalekit.planting.crop_coefficients import GrowingDays, growing_days
from swalekit.planting.months import month_table
from swalekit.planting.plant_positions import Planting
from swalekit.planting.root_spread import reached_share, root_depth_m, rooted_share
from swalekit.planting.water_budget import WaterBudget, water_budget

Values = NDArray[np.float64]

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
        Share of it with roots beneath; they don't shrink where a canopy is cut [-].
    depth_m : float
        How deep the roots go [m].
    radius_m : mapping of str to float
        How far those of a plant of each role reach [m].
    """

    year: int
    cover: float
    rooted: float
    depth_m: float
    radius_m: Mapping[str, float]


def stand_years(
    design: Design, shared: Conditions, swales: Sequence[SwaleGrowth], canopy_m2: Mapping[str, Values]
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
    canopy_m2 : mapping of str to ndarray of float64, shape (years,)
        Canopy of each role at the end of each year [m²].

    Returns
    -------
    tuple of StandYear
        Years in order; none where nothing is planted.

    Notes
    -----
    Canopies of pioneers and trees together cover the ground; both are taken to use what the trees do for as much
    canopy, since nothing is published for most pioneers. Roots spread as the canopies do, so that young ones fill less
    of the ground, less deep, and reach less of the ditch. Water given by hand (`first_water_m3`) comes on top.
    """
    if not any(each.water for each in swales):
        return ()
    days = growing_days(shared.weather, shared.reference.air)
    grown = _grown_years(design, shared, swales, canopy_m2)
    return tuple(_stand_year(each, days, design, shared, swales) for each in grown)


def _grown_years(
    design: Design, shared: Conditions, swales: Sequence[SwaleGrowth], canopy_m2: Mapping[str, Values]
) -> list[_Grown]:
    """Years whose plants have canopies."""
    part, planted_m2 = design.site.brief.planting, sum(each.capacity.planted_m2 for each in swales)
    plants = {
        role: sum(count for species, count in plant_counts(swales, shared.chosen).items() if species.role == role)
        for role in _DRINKING
    }
    canopy = {role: canopy_m2.get(role, np.zeros(part.years)) for role in _DRINKING}
    widest = {role: np.maximum.accumulate(area) for role, area in canopy.items()}
    cover, rooted = (np.sum(list(areas.values()), axis=0) / planted_m2 for areas in (canopy, widest))
    return [
        _Grown(
            (part.planting_year or 1) + year,
            min(float(cover[year]), 1.0),
            rooted_share(float(rooted[year]), part.root_spread),
            root_depth_m(shared.zone.root_depth_m, float(rooted[year]) / shared.chosen.mature_cover),
            {
                role: 0.5 * part.root_spread * canopy_diameter_m(float(area[year]) / max(plants[role], 1))
                for role, area in widest.items()
            },
        )
        for year in range(part.years)
        if cover[year] > 0.0
    ]


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
            reached_share=_reached(swale, planting, grown.radius_m),
            irrigation_mm_month=part.irrigation_mm_month,
        )

    budgets = [
        budget_of(swale, each.water.budget, each.planting)
        for swale, each in zip(design.swales, swales, strict=True)
        if each.water is not None
    ]
    tables = [(each.planted_m2, month_table(each, least_ratio=part.least_ratio)) for each in budgets]
    years = tables[0][1].years
    wanted, got = (
        sum(m2 / 1000.0 * np.bincount(each.year - years[0], getattr(each, name)) for m2, each in tables)
        for name in ("demand_mm", "transpiration_mm")
    )
    soaked_m3 = sum(float(each.soaked_m3.sum()) for each in budgets)
    beyond_m3 = sum(float(each.beyond_m3.sum()) for each in budgets)
    return StandYear(
        year=grown.year,
        cover=grown.cover,
        root_depth_m=grown.depth_m,
        reached_share=1.0 - beyond_m3 / soaked_m3 if soaked_m3 else 0.0,
        want_m3=float(np.mean(wanted)),
        met=float(np.sum(got) / np.sum(wanted)),
        short_share=float(np.mean(got < part.least_ratio * wanted)),
    )


def _reached(swale: Swale, planting: Planting, radius_m: Mapping[str, float]) -> float:
    """Share of a ditch that the roots of pioneers and trees reach [-]."""
    drinking = [number for number, each in enumerate(planting.species) if each.role in _DRINKING]
    radii = [radius_m[planting.species[number].role] for number in drinking]
    return reached_share(swale.line, planting.xy[drinking], radii)
