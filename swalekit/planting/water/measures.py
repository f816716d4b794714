"""Days with and without swales, with and without mulch."""

from typing import Any

from numpy.typing import ArrayLike

from swalekit.planting.water.daily_water import DailyWater
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import Stand
from swalekit.planting.water.water_budget import Ditch, WaterBudget, water_budget

PLANTED = "swale and mulch"
"""The measure, among those compared, that is proposed."""
UNMULCHED = "swale"
"""The same without its mulch."""
MEASURES = ("bare", "mulch", UNMULCHED, PLANTED)


def compare_measures(
    water: DailyWater,
    stand: Stand,
    zone: RootZone,
    ditch: Ditch,
    *,
    planted_m2: float,
    reached_share: float = 1.0,
    irrigation_mm_month: ArrayLike = 0.0,
) -> dict[str, WaterBudget]:
    """Budgets of one planting under four measures.

    Parameters
    ----------
    water : DailyWater
        What comes with the swale.
    stand : Stand
        With its mulch.
    zone, ditch : RootZone, Ditch
        Soil and store.
    planted_m2 : float
        Ground that the roots fill [m²].
    reached_share : float
        Share of what soaks in from the ditch that the roots reach [-].
    irrigation_mm_month : array_like, shape (12,) or one for all
        Water that may be given in a calendar month, under each measure [mm].

    Returns
    -------
    dict of str to WaterBudget
        By the names of `MEASURES`.

    Examples
    --------
    >>> import numpy as np
    >>> days, dry = np.arange("2001-05-01", "2001-05-31", dtype="datetime64[D]"), np.zeros(30)
    >>> rain = np.where(np.arange(30) % 6 == 0, 12.0, 0.0)
    >>> water = DailyWater(days, rain, dry, np.full(30, 6.0), 0.5 * rain)
    >>> stand, zone = Stand(np.full(30, 0.6), np.full(30, 1.2), 0.4, 0.8), RootZone(130.0, 0.6, 0.5, 8.0, 18.0)
    >>> budgets = compare_measures(water, stand, zone, Ditch(15.0, 60.0, 5.0), planted_m2=300.0)
    >>> {name: round(float(done.transpiration_mm.sum() / done.demand_mm.sum()), 2) for name, done in budgets.items()}
    {'bare': 0.53, 'mulch': 0.63, 'swale': 1.0, 'swale and mulch': 1.0}
    """
    rain_alone, unmulched, no_ditch = water.without_harvest(), stand.with_mulch(0.0), Ditch.none()
    cases = (
        (rain_alone, unmulched, no_ditch),
        (rain_alone, stand, no_ditch),
        (water, unmulched, ditch),
        (water, stand, ditch),
    )
    given: dict[str, Any] = {
        "planted_m2": planted_m2,
        "reached_share": reached_share,
        "irrigation_mm_month": irrigation_mm_month,
    }
    return {
        name: water_budget(comes, grows, zone, store, **given)
        for name, (comes, grows, store) in zip(MEASURES, cases, strict=True)
    }
