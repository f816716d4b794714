"""The low plants of the berms: how far apart rain alone carries them."""

from dataclasses import dataclass
from functools import cache
from math import ceil

import numpy as np

from swalekit._one_line import one_line
from swalekit.design.brief.brief import Brief
from swalekit.design.growth.chosen_species import Chosen, root_zone_of, stand_of_cover
from swalekit.design.growth.plant_groups import low_plants_of
from swalekit.planting.water.carrying_capacity import CarryRule, PlantedGround, carrying_capacity
from swalekit.planting.water.crop_coefficients import GrowingDays
from swalekit.planting.water.daily_water import DailyWater
from swalekit.planting.water.root_spread import rooted_m2
from swalekit.planting.water.water_budget import Ditch

_ROW = 41
"""Plants of a row long enough that its ends count for little."""
_STEP = 1.1


@one_line("spacing_m", "closest_m", "least_ratio")
@dataclass(frozen=True)
class BermCover:
    """How the berms are covered.

    Parameters
    ----------
    spacing_m : float or None
        Distance between neighbours on the crest at which rain carries them; None where there are none, or it carries
        none however far apart [m].
    closest_m : float
        Distance at which they would close, 0 where there are none [m].
    least_ratio : float
        Share of a year's full transpiration below which they suffer [-].
    """

    spacing_m: float | None
    closest_m: float
    least_ratio: float


def berm_cover(
    chosen: Chosen, brief: Brief, days: GrowingDays, rain: DailyWater, rule: CarryRule, *, group: str = "ground cover"
) -> BermCover:
    """Find how far apart the low plants of a berm must stand to live on rain.

    Parameters
    ----------
    chosen : Chosen
        The species.
    brief : Brief
        The soil, and the least share of their want.
    days : GrowingDays
        The days as crops meet them.
    rain : DailyWater
        Rain and what runs off; harvested water isn't read.
    rule : CarryRule
        Reliability and first month; its other figures aren't read.
    group : str
        Whose least share of the want counts.

    Returns
    -------
    BermCover
        As close as the species stand, or farther: until the roots of neighbours don't meet.

    Notes
    -----
    The berm stands above the ditch's water and gets none of it: on the safe side. Fill that isn't firm yet holds less.
    """
    least = brief.planting.least_ratio_of(group)
    if not chosen.ground_cover:
        return BermCover(None, 0.0, least)
    low = low_plants_of(chosen)
    closest_m = min(plant.spacing_m for plant in chosen.ground_cover)
    radius_m = 0.5 * brief.planting.root_spread * low.mean_canopy_m
    zone, water = root_zone_of(low, brief), rain.without_harvest()
    given = CarryRule(rule.reliability, least, first_month=rule.first_month)

    @cache
    def lives_at(spacing_m: float) -> bool:
        x_m = spacing_m * np.arange(_ROW)
        planted_m2 = rooted_m2(np.column_stack([x_m, 0.0 * x_m]), radius_m) / _ROW
        stand = stand_of_cover(low, days, cover=min(1.0, low.mean_canopy_m2 / planted_m2), mulch_cover=0.0)
        ground = PlantedGround(planted_m2, 0.0, stand)
        return carrying_capacity(water, lambda _: ground, zone, Ditch.none(), room=1, rule=given).trees == 1

    spacing_m = closest_m
    while spacing_m < 2.0 * radius_m and not lives_at(spacing_m):
        spacing_m *= _STEP
    spacing_m = ceil(round(10.0 * spacing_m, 6)) / 10.0
    return BermCover(spacing_m if lives_at(spacing_m) else None, closest_m, least)
